"""The command line as its user meets it: its words, its exit status, what it writes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import chdir
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from nesting.cli.commands import main
from tests.examples import some

SMALL_ORDER = """
name = "two squares"
units = "cm"

[fabric.lawn]
width = 110
selvedge = 1
sold_by = "10 cm"
price = 6.50
currency = "EUR"
per = "m"

[[piece]]
name = "square"
fabric = "lawn"
outline = [[0, 0], [40, 0], [40, 40], [0, 40]]
cut = 2
"""


KITES = 'name = "kites"\nunits = "cm"\n[fabric.lawn]\nwidth = 100\n' + "".join(
    f'[[piece]]\nname = "kite {n}"\nfabric = "lawn"\ncut = 2\n'
    f"outline = [[0, 0], [{30 + 3 * n}, 4], [{26 + 3 * n}, {28 - 2 * n}], [3, {20 - n}]]\n"
    for n in range(9)
)
"""Nobody can tell that a layout of these is the shortest."""
COMMAND = [sys.executable, "-m", "nesting.cli"]


def metrage(*arguments: str, cwd: Path) -> Result:
    """The command in this process alone; no fault of ours may come out of it."""
    searches = arguments[0] in ("plan", "compare", "bolt") and "--jobs" not in arguments
    alone = ("--jobs", "1") if searches else ()
    with chdir(cwd):
        return CliRunner(catch_exceptions=False).invoke(main, [*arguments, *alone])


def in_a_process(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *arguments], cwd=cwd, capture_output=True, text=True, timeout=300, check=False
    )


@pytest.fixture
def order(tmp_path: Path) -> Path:
    path = tmp_path / "squares.toml"
    path.write_text(SMALL_ORDER)
    return path


def test_plan_writes_everything_and_tells_what_to_buy(order: Path, tmp_path: Path) -> None:
    done = in_a_process("plan", order.name, "--rounds", "5", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    folder = tmp_path / "two-squares-plan"
    names = {path.name for path in folder.glob("[!.]*")}
    assert names == {
        "plan.json",
        "report.txt",
        "shopping.txt",
        *(f"lawn.{kind}" for kind in ("png", "dxf", "svg", "pdf")),
    }
    plan = json.loads((folder / "plan.json").read_text())
    # 40 + 40 cm lie side by side between the selvedges of 110 - 2 cm: 40 cm at 6.50 a metre.
    (lawn,) = plan["fabrics"]
    assert lawn["length_mm"] == pytest.approx(400, abs=0.01)
    assert lawn["purchase"]["cost"] == pytest.approx(2.60)
    assert lawn["proven_least"] is True
    assert "0.40 m" in done.stdout
    assert "2.60 EUR" in done.stdout


def test_quiet_says_nothing(order: Path, tmp_path: Path) -> None:
    done = metrage("plan", order.name, "--rounds", "2", "--quiet", cwd=tmp_path)
    assert (done.exit_code, done.stdout, done.stderr) == (0, "", "")


@pytest.mark.parametrize("lay", some(["open", "lengthwise-fold", "crosswise-fold", "quarter-fold"]))
def test_a_lay_can_be_forced(order: Path, tmp_path: Path, lay: str) -> None:
    done = metrage("plan", order.name, "--rounds", "2", "--lay", lay, "--out", "o", cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    plan = json.loads((tmp_path / "o" / "plan.json").read_text())
    assert [entry["lay"] for entry in plan["fabrics"]] == [lay]


def test_compare_writes_a_table_and_a_picture(order: Path, tmp_path: Path) -> None:
    done = metrage(
        "compare", order.name, "--rounds", "1", "--width", "90", "--width", "60 in", "--out", "c",
        cwd=tmp_path,
    )  # fmt: skip
    assert done.exit_code == 0, done.stderr
    assert "crosswise fold" in done.stdout
    assert {path.name for path in (tmp_path / "c").glob("[!.]*")} == {
        "compare.json",
        "compare.txt",
        "compare.png",
    }
    (lawn,) = json.loads((tmp_path / "c" / "compare.json").read_text())["fabrics"]
    assert {entry["width_mm"] for entry in lawn["lays_compared"]} == {900, 1524}


def test_compare_tells_a_width_that_is_none(order: Path, tmp_path: Path) -> None:
    done = metrage("compare", order.name, "--width", "1", cwd=tmp_path)
    assert done.exit_code == 2
    assert "--width" in done.stderr
    assert "lawn" in done.stderr


def test_draft_writes_the_pieces(order: Path, tmp_path: Path) -> None:
    done = metrage("draft", order.name, "--out", "d", cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    assert {path.suffix for path in (tmp_path / "d").iterdir()} >= {".png", ".dxf", ".txt"}


@pytest.mark.long
def test_tiles_come_on_the_paper_asked_for(order: Path, tmp_path: Path) -> None:
    done = metrage("draft", order.name, "--out", "d", "--tiles", "letter", cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "d" / "pieces-letter.pdf").read_bytes().startswith(b"%PDF")
    done = metrage("plan", order.name, "--rounds", "1", "--tiles", "a4", cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    folder = tmp_path / "two-squares-plan"
    (lawn,) = json.loads((folder / "plan.json").read_text())["fabrics"]
    assert lawn["files"]["tiles"] == "lawn-a4.pdf"
    assert (folder / "lawn-a4.pdf").exists()
    assert (folder / "pieces-a4.pdf").exists()
    assert metrage("draft", "--tiles", "a5", cwd=tmp_path).exit_code == 2


def test_the_same_seed_and_rounds_give_the_same_plan(order: Path, tmp_path: Path) -> None:
    plans = []
    for out, jobs in (("a", "1"), ("b", "2")):
        done = metrage(
            "plan", order.name, "--rounds", "5", "--jobs", jobs, "--out", out, cwd=tmp_path
        )
        assert done.exit_code == 0, done.stderr
        plan = json.loads((tmp_path / out / "plan.json").read_text())
        del plan["seconds"]
        plans.append(plan)
    assert plans[0] == plans[1]


def test_a_piece_wider_than_the_cloth_names_both_widths(order: Path, tmp_path: Path) -> None:
    order.write_text(
        SMALL_ORDER.replace(
            "[[0, 0], [40, 0], [40, 40], [0, 40]]", "[[0, 0], [40, 0], [40, 140], [0, 140]]"
        )
    )
    done = metrage("plan", order.name, "--out", "o", cwd=tmp_path)
    assert done.exit_code == 3
    for word in ("square", "140 cm", "108 cm", "wider cloth"):
        assert word in done.stderr
    assert not list(tmp_path.glob("o/*")), "nothing half-written"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["plan", "missing.toml"], ["missing.toml"]),
        (["compare", "."], ["folder"]),
        (["plan", "squares.toml", "--lay", "sideways"], ["sideways", "lengthwise-fold"]),
        (["plan", "squares.toml", "--seconds", "0"], ["--seconds"]),
        (["plan", "squares.toml", "--out", "squares.toml"], ["squares.toml"]),
        (["plam"], ["plam"]),
    ],
)
def test_wrong_use_is_one_message_and_status_two(
    order: Path, tmp_path: Path, arguments: list[str], words: list[str]
) -> None:
    done = metrage(*arguments, cwd=tmp_path)
    assert done.exit_code == 2
    for word in words:
        assert word in done.stderr


def test_a_process_that_is_used_wrongly_ends_with_status_two(tmp_path: Path) -> None:
    done = in_a_process("plan", "missing.toml", cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "missing.toml" in done.stderr


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_an_unwritable_folder_is_told_before_the_search(order: Path, tmp_path: Path) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    done = metrage("plan", order.name, "--out", "locked/plan", cwd=tmp_path)
    assert done.exit_code == 2
    assert "locked" in done.stderr


def test_help_is_instant(tmp_path: Path) -> None:
    """Measured against a bare start of the interpreter: the aim is 0.3 s on a usual machine."""

    def best(*command: str) -> float:
        times = []
        for _ in range(5):
            begun = time.perf_counter()
            subprocess.run(
                [sys.executable, *command], check=True, capture_output=True, cwd=tmp_path
            )
            times.append(time.perf_counter() - begun)
        return min(times)

    bare = best("-c", "pass")
    assert best("-m", "nesting.cli", "--help") < bare + 0.25


def _searching(process: subprocess.Popen[str]) -> None:
    """Waits until the process has two that search for it."""
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
    until = time.monotonic() + 120
    while len(children.read_text().split()) < 2 and time.monotonic() < until:
        time.sleep(0.05)


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT to a child there")
@pytest.mark.parametrize(
    ("words", "wait_s"),
    [
        pytest.param(["kites.toml"], 0.5, id="a small order"),
        pytest.param([], 30, id="the example", marks=pytest.mark.long),
    ],
)
def test_ctrl_c_gives_the_best_plan_so_far(tmp_path: Path, words: list[str], wait_s: float) -> None:
    (tmp_path / "kites.toml").write_text(KITES)
    process = subprocess.Popen(
        [*COMMAND, "plan", *words, "--seconds", "300", "--jobs", "2", "--out", "o"],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    _searching(process)
    time.sleep(wait_s)
    os.killpg(process.pid, signal.SIGINT)
    _, told = process.communicate(timeout=60)
    assert process.returncode == 0, told
    assert "Traceback" not in told
    plan = json.loads((tmp_path / "o" / "plan.json").read_text())
    assert plan["fabrics"]
    assert plan["seconds"] < 90
