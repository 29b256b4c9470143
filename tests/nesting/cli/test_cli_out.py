"""Where the command line writes, and what it leaves alone there."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import nesting.planning.comparer
import nesting.planning.planner
import nesting.studies.fullness
import nesting.studies.sharing
import nesting.studies.yields
from nesting.cli.commands import main
from tests.examples import some

ORDER = """
name = "leaves"
units = "cm"
[fabric.lawn]
width = 90
sold_by = "10 cm"
lays = ["open"]
in_hand = [{ length = 14, name = "end" }]
[[garment]]
name = "Ada"
[[piece]]
file = "lawn.svg"
fabric = "lawn"
garment = "Ada"
"""
LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="12cm" viewBox="0 0 20 12">'
    '<path d="M0 0 L20 0 L5 12 Z"/></svg>'
)
SEARCH = ("leaves.toml", "--rounds", "1", "--jobs", "1")
DOORS = {
    "plan": ("plan", *SEARCH),
    "compare": ("compare", *SEARCH),
    "bolt": ("bolt", *SEARCH),
    "how many": ("bolt", *SEARCH, "--how-many", "Ada"),
    "how full": ("bolt", *SEARCH, "--how-full", "lawn", "--by", "layers"),
    "tiles": ("plan", *SEARCH, "--tiles", "a4"),
    "draft": ("draft", "leaves.toml"),
}
WRITES = {
    "plan": "report.txt",
    "compare": "compare.png",
    "bolt": "bolts.txt",
    "how many": "bolts.json",
    "how full": "fullness.png",
    "draft": "pieces.png",
    "tiles": "pieces-a4.pdf",
}

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """The command in a folder with an order and the drawing that it reads."""
    monkeypatch.chdir(tmp_path)
    Path("leaves.toml").write_text(ORDER, encoding="utf-8")
    Path("lawn.svg").write_text(LEAF, encoding="utf-8")

    def command(*words: str) -> Result:
        return CliRunner().invoke(main, words)

    return command


def no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is planned from here on would search."""

    def never(*_: object, **__: object) -> None:
        raise AssertionError

    for door in ("planning.planner.plan", "planning.comparer.compare", "studies.sharing.share"):
        monkeypatch.setattr(f"nesting.{door}", never)
    monkeypatch.setattr("nesting.studies.yields.how_many", never)
    monkeypatch.setattr("nesting.studies.fullness.how_full", never)


@pytest.mark.parametrize("more", [(), ("--overwrite",)])
def test_a_drawing_that_the_order_reads_is_never_replaced(
    run: Run, monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...]
) -> None:
    no_search(monkeypatch)
    done = run(*DOORS["plan"], "--out", ".", *more)
    assert done.exit_code == 2
    assert done.stderr.startswith("One thing to put right:\n  .: This work reads lawn.svg")
    assert "--out" in done.stderr
    assert Path("lawn.svg").read_text(encoding="utf-8") == LEAF
    assert sorted(os.listdir()) == ["lawn.svg", "leaves.toml"]


def test_an_order_and_a_book_are_never_replaced(run: Run) -> None:
    assert (
        run("stock", "bolts.txt", "--add", "satin", "--length", "1 m", "--width", "90").exit_code
        == 0
    )
    Path("leaves.toml").rename("bolts.json")
    done = run(
        "bolt", "bolts.json", "--rounds", "1", "--stock", "bolts.txt", "--out", ".", "--overwrite"
    )  # fmt: skip
    assert done.exit_code == 2
    assert "This work reads bolts.json, bolts.txt and lawn.svg" in done.stderr
    assert run("stock", "bolts.txt").exit_code == 0


def test_a_drawing_of_ours_that_an_order_reads_is_not_replaced_either(run: Run) -> None:
    """The pieces that were drafted become a drawing of another order."""
    assert run(*DOORS["draft"], "--out", ".").exit_code == 0
    before = Path("pieces-interchange.dxf").read_bytes()
    text = ORDER.replace("lawn.svg", "pieces-interchange.dxf")
    Path("leaves.toml").write_text(text, encoding="utf-8")
    done = run(*DOORS["draft"], "--out", ".")
    assert (done.exit_code, Path("pieces-interchange.dxf").read_bytes()) == (2, before)
    assert "This work reads pieces-interchange.dxf" in done.stderr


@pytest.mark.parametrize("door", some(DOORS))
def test_only_its_own_files_are_replaced(
    run: Run, door: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twice into one folder, until somebody puts a file of theirs into the place of one."""
    for _ in range(2):
        done = run(*DOORS[door], "--out", "o")
        assert done.exit_code == 0, done.stderr
    own = Path("o", WRITES[door])
    own.write_text("mine", encoding="utf-8")
    with monkeypatch.context() as patch:
        no_search(patch)
        done = run(*DOORS[door], "--out", "o")
    assert done.exit_code == 2
    assert (
        f"  o: {own.name} would be replaced, and is not a file as metrage wrote it" in done.stderr
    )
    assert "--overwrite" in done.stderr
    assert own.read_text(encoding="utf-8") == "mine"
    assert run(*DOORS[door], "--out", "o", "--overwrite").exit_code == 0
    assert own.read_bytes() != b"mine"
    own.write_bytes(b"")
    assert run(*DOORS[door], "--out", "o").exit_code == 0
    assert own.read_bytes()


def test_all_files_in_the_way_are_named_at_once(run: Run) -> None:
    Path("o").mkdir()
    for name in ("plan.json", "lawn-end.pdf", "letter.txt"):
        Path("o", name).write_text("mine", encoding="utf-8")
    done = run(*DOORS["plan"], "--out", "o")
    assert done.exit_code == 2
    assert "lawn-end.pdf and plan.json would be replaced" in done.stderr
    assert "letter.txt" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="makes a link")
def test_a_link_is_not_followed_nor_replaced(run: Run) -> None:
    assert run(*DOORS["plan"], "--out", "o").exit_code == 0
    Path("o", "report.txt").rename("kept.txt")
    Path("o", "report.txt").symlink_to(Path("kept.txt").resolve())
    done = run(*DOORS["plan"], "--out", "o")
    assert done.exit_code == 2
    assert "report.txt would be replaced" in done.stderr
    assert Path("o", "report.txt").is_symlink()


@pytest.mark.long
def test_a_batch_replaces_its_own_files_only(run: Run) -> None:
    Path("orders").mkdir()
    for name in ("leaves.toml", "lawn.svg"):
        Path(name).rename(Path("orders", name))
    words = ("plan", "orders", "--rounds", "1", "--jobs", "1", "--out", "o")
    for _ in range(2):
        assert run(*words).exit_code == 0
    note = Path("o", "leaves", "report.txt")
    note.write_text("mine", encoding="utf-8")
    done = run(*words)
    assert done.exit_code == 2
    assert "report.txt would be replaced" in " ".join(done.output.split())
    assert note.read_text(encoding="utf-8") == "mine"
    assert run(*words, "--overwrite").exit_code == 0
    assert note.read_text(encoding="utf-8") != "mine"
    Path("o", "batch.csv").write_text("mine", encoding="utf-8")
    done = run(*words)
    assert done.exit_code == 2
    assert "  o: batch.csv would be replaced" in done.stderr


def test_a_batch_keeps_the_drawings_that_its_orders_read(run: Run) -> None:
    """An order may read what lies in its own folder of plans."""
    words = ("plan", ".", "--rounds", "1", "--jobs", "1", "--out", "o", "--overwrite")
    Path("o", "leaves").mkdir(parents=True)
    for name in ("finished.json", "lawn.dxf", "lawn.svg"):
        Path("o", "leaves", name).write_text(LEAF, encoding="utf-8")
    text = ORDER.replace("lawn.svg", "o/leaves/lawn.svg")
    Path("leaves.toml").write_text(text, encoding="utf-8")
    done = run(*words)
    assert done.exit_code == 2
    assert "This work reads lawn.svg" in " ".join(done.output.split())
    assert Path("o", "leaves", "lawn.svg").read_text(encoding="utf-8") == LEAF


@pytest.mark.parametrize("option", ["--out", "--stock"])
def test_a_path_without_a_name_is_no_path(run: Run, option: str) -> None:
    for words in ((*DOORS["plan"], option, ""), ("plan", "")):
        done = run(*words)
        assert done.exit_code == 2
        assert "it has no name" in done.stderr
    assert sorted(os.listdir()) == ["lawn.svg", "leaves.toml"]


@pytest.mark.parametrize("option", ["--out", "--stock"])
def test_a_name_that_no_disk_takes_is_told(run: Run, option: str) -> None:
    for words in ((*DOORS["plan"], option, "x" * 300), ("plan", "x" * 300), ("stock", "x" * 300)):
        done = run(*words)
        assert done.exit_code == 2
        assert "file name too long" in done.stderr


def test_a_length_called_as_another_cloth_is_refused(run: Run) -> None:
    """Their drawings would have one name, and one of them be lost."""
    text = ORDER.replace("[[garment]]", '[fabric."lawn, end"]\nwidth = 90\n[[garment]]')
    Path("leaves.toml").write_text(text, encoding="utf-8")
    done = run(*DOORS["plan"])
    assert done.exit_code == 2
    assert "fabric.lawn.in_hand: 'end' of lawn would be told as 'lawn, end'" in done.stderr


@pytest.mark.long
def test_two_at_once_into_one_folder_are_refused(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder is held from before the search until all is written."""
    words = [sys.executable, "-m", "nesting.cli", *DOORS["draft"], "--out", "o"]
    tried: list[subprocess.CompletedProcess[str]] = []
    real = nesting.planning.planner.plan

    def meanwhile(*arguments: object, **more: object) -> object:
        tried.append(subprocess.run(words, capture_output=True, text=True, check=False))
        return real(*arguments, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(nesting.planning.planner, "plan", meanwhile)
    done = run(*DOORS["plan"], "--out", "o")
    assert done.exit_code == 0, done.stderr
    (other,) = tried
    assert other.returncode == 2
    assert "o: metrage is already at work in this folder." in other.stderr
    assert not list(Path("o").glob("pieces*"))
    assert subprocess.run(words, check=False, capture_output=True).returncode == 0


def test_a_search_that_fails_leaves_no_folder(run: Run) -> None:
    text = ORDER.replace("width = 90", "width = 5").replace("in_hand", "#")
    Path("leaves.toml").write_text(text, encoding="utf-8")
    done = run(*DOORS["plan"], "--out", "new/deep/o")
    assert done.exit_code == 3
    assert not Path("new").exists()


def test_what_a_kill_left_is_cleared_away(run: Run) -> None:
    Path("o").mkdir()
    for name in (".metrage-abc.part", "theirs.part"):
        Path("o", name).write_text("half", encoding="utf-8")
    assert run(*DOORS["draft"], "--out", "o").exit_code == 0
    assert [path.name for path in Path("o").glob("*.part")] == ["theirs.part"]


@pytest.mark.parametrize(
    ("option", "values"),
    [
        ("--seconds", ["nan", "inf", "-inf", "-3", "0", "1e400", "1e300", "ten"]),
        ("--rounds", ["nan", "inf", "0", "-1", "1.5", "1e400", "1" + "0" * 400]),
        ("--jobs", ["nan", "0", "-2", "1000000", "1" + "0" * 400]),
        ("--width", ["nan", "inf", "-5", "0", "1e400", "wide"]),
    ],
)
def test_numbers_that_are_none_are_refused(run: Run, option: str, values: list[str]) -> None:
    for value in values:
        done = run("compare", "leaves.toml", "--out", "o", option, value)
        assert (done.exit_code, option in done.stderr) == (2, True), (value, done.output)
        assert not Path("o").exists()


@pytest.mark.long
def test_a_manifest_that_was_damaged_claims_nothing(run: Run) -> None:
    assert run(*DOORS["draft"], "--out", "o").exit_code == 0
    for text in ("", "{", "[]", '{"files": []}', '{"files": {"pieces.txt": 3}}', "[" * 100_000):
        Path("o", ".metrage-files.json").write_text(text, encoding="utf-8")
        done = run(*DOORS["draft"], "--out", "o")
        assert done.exit_code == 2
        assert "pieces.txt" in done.stderr
    assert run(*DOORS["draft"], "--out", "o", "--overwrite").exit_code == 0
    files = json.loads(Path("o", ".metrage-files.json").read_text(encoding="utf-8"))["files"]
    assert set(files) == {path.name for path in Path("o").glob("pieces*")}
