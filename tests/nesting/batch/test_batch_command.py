"""A folder of orders at the command line: its end, killed and stopped, on a cluster."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from nesting.batch.outcome import State
from nesting.batch.run import plan_folder
from nesting.search.parallel.cluster import LOCAL, cluster
from nesting.solver.stop import Rounds
from tests.nesting.batch.batches import FOUR, ORDER, alone, four_orders, keep, planned, states


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    return four_orders(tmp_path)


def command(orders: Path, out: Path, rounds: int) -> list[str]:
    words = ["plan", str(orders), "--out", str(out), "--rounds", str(rounds), "--jobs", "2"]
    return [sys.executable, "-m", "nesting.cli", *words]


def marks(out: Path) -> dict[str, int]:
    return {path.parent.name: path.stat().st_mtime_ns for path in out.glob("[!.]*/finished.json")}


@contextmanager
def begun(words: list[str]) -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        try:
            yield process
        finally:
            process.kill()


@pytest.mark.long
def test_the_command_tells_faults_and_ends_with_their_status(orders: Path, tmp_path: Path) -> None:
    keep(orders, "ada")
    (orders / "zoe.toml").write_text("units = 7", encoding="utf-8")
    out = tmp_path / "out"
    done = subprocess.run(
        [*command(orders, out, 1), "--lay", "open", "--quiet"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stdout == ""
    assert "zoe.toml: units: 7 is not one of" in done.stderr
    assert json.loads((out / "batch.json").read_text(encoding="utf-8"))["orders"][0]["totals"]
    assert (out / "ada" / "report.txt").exists()


@pytest.mark.long
@pytest.mark.parametrize("kills", [1, 4])
def test_killed_at_random_moments_nothing_is_lost_or_done_twice(
    orders: Path, tmp_path: Path, kills: int
) -> None:
    """Kills fall anywhere: while orders are read, planned, drawn, written or renamed."""
    for number in range(2):
        text = ORDER.format(name=f"more {number}", width=110, length=30 + number)
        (orders / f"more-{number}.toml").write_text(text, encoding="utf-8")
    out = tmp_path / "out"
    draw, before = random.Random(), dict[str, int]()
    for kill in [True] * kills + [False]:
        with begun(command(orders, out, 4)) as process:
            if kill:
                _until_finished(out, len(before) + draw.randint(0, 1), process)
                time.sleep(draw.uniform(0, 0.7))
                process.kill()
            process.communicate()
        now = marks(out)
        assert before.items() <= now.items()
        before = now
    assert process.returncode == 0
    assert len(now) == 6
    assert not list(out.glob(".batch-*"))
    report = json.loads((out / "batch.json").read_text(encoding="utf-8"))
    assert len(report["orders"]) == 6
    for name in ("ada", "more-1"):
        assert planned(out / name) == alone(orders / f"{name}.toml", 4)


def _until_finished(out: Path, count: int, process: subprocess.Popen[str]) -> None:
    waited = time.monotonic() + 120
    while len(marks(out)) < count and process.poll() is None and time.monotonic() < waited:
        time.sleep(0.02)


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="sends a signal")
def test_ctrl_c_leaves_open_orders_for_the_next_time(orders: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    with begun(command(orders, out, 10_000_000)) as process:
        waited = time.monotonic() + 60
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
        while len(children.read_text().split()) < 2 and time.monotonic() < waited:
            time.sleep(0.1)
        time.sleep(1)
        process.send_signal(signal.SIGINT)
        said, told = process.communicate(timeout=60)
    assert process.returncode == 130, told
    assert "goes on with the orders still open" in told
    assert "Finished: 0 of 4 orders." in said
    assert marks(out) == {}
    done = subprocess.run(command(orders, out, 2), check=False, capture_output=True)
    assert done.returncode == 0
    assert set(marks(out)) == set(FOUR)


@pytest.mark.long
def test_a_batch_on_a_cluster_makes_the_same_plans(orders: Path, tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    keep(orders, "ada", "dot")
    plan_folder(orders, here, Rounds(5), jobs=1)
    with cluster(LOCAL, 2) as (executor, _):
        made = plan_folder(orders, there, Rounds(5), executor=executor)
        assert states(made) == [State.PLANNED] * 2
        assert executor.submit(os.getpid).result() != os.getpid()
    for name in ("ada", "dot"):
        assert planned(there / name) == planned(here / name)
