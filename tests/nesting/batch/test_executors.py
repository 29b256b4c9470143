"""Searches on executors and clusters: any will do, and all find the same within a round limit."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.files.data import plan_data
from nesting.output.write import plan_files
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.search.parallel.cluster import LOCAL, cluster
from nesting.solver.stop import Rounds
from nesting.studies.fullness import By, how_full
from nesting.studies.sharing import share
from nesting.studies.yields import how_many
from pieces.errors import OrderFault
from tests.examples import some

KITES = """
name = "kites"
units = "cm"
[fabric.satin]
width = 90
lays = ["open"]
in_hand = {in_hand}
[[piece]]
name = "kite"
garment = "Ines"
fabric = "satin"
outline = [[0, 0], [40, 5], [36, 40], [3, 28]]
cut = 3
"""
DRESS = """
name = "one frock"
units = "cm"
[fabric.satin]
width = 90
[[garment]]
name = "Ines"
size = "4 years"
[[garment.part]]
draft = "bodice"
fabric = "satin"
[[garment.part]]
draft = "gathered skirt"
fabric = "satin"
length = 40
"""


class Counting(Executor):
    """Does everything in threads, and counts."""

    def __init__(self) -> None:
        self.threads = ThreadPoolExecutor(2)
        self.count = 0

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        self.count += 1
        return self.threads.submit(fn, *args, **kwargs)


def frock() -> Order:
    return order_from_text(DRESS, "frock.toml")


def kites(in_hand: str = "[]") -> Order:
    return order_from_text(KITES.format(in_hand=in_hand), "kites.toml")


def told(made: Plan) -> dict[str, Any]:
    return plan_data(made, plan_files(made)) | {"seconds": 0}


DOORS: dict[str, Callable[[Executor], object]] = {
    "plan": lambda one: plan(kites(), Rounds(2), executor=one),
    "compare": lambda one: compare(kites(), Rounds(2), executor=one),
    "share": lambda one: share(kites('["30 cm"]'), Rounds(2), executor=one),
    "how_many": lambda one: how_many(kites('["2 m"]'), ["Ines"], Rounds(1), executor=one),
    "how_full": lambda one: how_full(kites('["2 m"]'), "kite", By.LAYERS, Rounds(1), executor=one),
}


@pytest.mark.parametrize("door", some(DOORS))
def test_every_door_searches_on_the_executor_it_is_given(door: str) -> None:
    executor = Counting()
    DOORS[door](executor)
    assert executor.count > 1
    # It is the caller's, and goes on.
    assert executor.submit(int).result() == 0


@pytest.mark.long
def test_a_cluster_of_two_finds_what_one_process_finds() -> None:
    """Only this machine reaches it meanwhile."""
    psutil = pytest.importorskip("psutil")
    alone = told(plan(frock(), Rounds(2), seed=3, jobs=1))
    with cluster(LOCAL, 2) as (executor, jobs):
        assert jobs == 2
        assert told(plan(frock(), Rounds(2), seed=3, jobs=jobs, executor=executor)) == alone
        assert executor.submit(os.getpid).result() != os.getpid()
        own = psutil.Process()
        heard = [
            one.laddr.ip
            for process in (own, *own.children(recursive=True))
            for one in process.net_connections()
            if one.status == psutil.CONN_LISTEN
        ]
    assert set(heard) == {"127.0.0.1"}


@pytest.mark.long
def test_the_command_on_a_cluster_writes_the_same_plan(tmp_path: Path) -> None:
    (tmp_path / "kites.toml").write_text(KITES.format(in_hand="[]"), encoding="utf-8")
    plans = []
    for more in ([], ["--cluster", "local", "--jobs", "2"]):
        words = ["plan", "kites.toml", "--rounds", "12", "--out", f"out{len(plans)}", *more]
        done = subprocess.run(
            [sys.executable, "-m", "nesting.cli", *words, "--quiet"],
            cwd=tmp_path, capture_output=True, text=True, timeout=300, check=False,
        )  # fmt: skip
        assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
        written = json.loads((tmp_path / f"out{len(plans)}" / "plan.json").read_text())
        plans.append(written | {"seconds": 0})
    assert plans[0] == plans[1]


def test_a_missing_extra_is_told_with_its_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(OrderFault, match=r"isn't installed.*pip install"), cluster(LOCAL):
        pass


@pytest.mark.parametrize("address", ["nowhere", "tcp://127.0.0.1:9", "tcp://:x", "over://there"])
def test_an_address_where_nobody_answers_is_a_fault(address: str) -> None:
    with pytest.raises(OrderFault, match=f"No cluster answers at {address}"), cluster(address):
        pass


def test_workers_of_another_version_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nesting.search.parallel.cluster.version", lambda _: "0.0.9")
    refusal = r"Without metrage 0\.0\.9: the workers tcp://127"
    with pytest.raises(OrderFault, match=refusal), cluster(LOCAL, 1):
        pass


def test_workers_that_are_lost_are_told_in_words() -> None:
    from nesting.cli.faults import faults_in_words

    with pytest.raises(SystemExit) as left, faults_in_words():
        raise BrokenExecutor("gone")
    assert left.value.code == 1


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_workers_end_with_a_parent_that_was_killed(tmp_path: Path) -> None:
    (tmp_path / "frock.toml").write_text(DRESS, encoding="utf-8")
    words = ["plan", "frock.toml", "--seconds", "120", "--jobs", "2", "--quiet"]
    made = subprocess.Popen([sys.executable, "-m", "nesting.cli", *words], cwd=tmp_path)
    children = Path(f"/proc/{made.pid}/task/{made.pid}/children")
    workers: list[str] = []
    waited = time.monotonic() + 60
    while len(workers) < 2 and time.monotonic() < waited:
        time.sleep(0.2)
        workers = children.read_text().split()
    assert len(workers) == 2
    time.sleep(2)
    made.send_signal(signal.SIGKILL)
    made.wait()
    waited = time.monotonic() + 20
    while any(map(_runs, workers)) and time.monotonic() < waited:
        time.sleep(0.2)
    assert not any(map(_runs, workers))


def _runs(pid: str) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] not in "ZX"
    except FileNotFoundError:
        return False
