"""A cluster that is lost: told as that, with all kept that was done."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import contextmanager, suppress
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from click.testing import CliRunner

import nesting.batch.run
import nesting.search.parallel.cluster as module
from nesting.batch.outcome import State
from nesting.batch.run import plan_folder
from nesting.batch.summary import batch_data
from nesting.cli.commands import main
from nesting.order.read import read_order
from nesting.planning.planner import plan
from nesting.search.parallel.cluster import ClusterLost, OrHere, TaskLost, _Watched
from nesting.solver.stop import Rounds
from tests.nesting.batch.test_batch import FOUR, ORDER, planned


class CommClosedError(OSError):
    """As Dask's."""


class KilledWorker(Exception):
    """As Dask's."""


DASK = SimpleNamespace(
    KilledWorker=KilledWorker, comm=SimpleNamespace(CommClosedError=CommClosedError)
)


class Client(Executor):
    """A client of a cluster that does a task when it is told to, and can be lost."""

    def __init__(self) -> None:
        self.status, self.workers = "running", {"one": 1}
        self.waiting: list[tuple[Future[Any], Callable[[], Any]]] = []

    def get_executor(self, pure: bool) -> Client:
        assert not pure
        return self

    def nthreads(self) -> dict[str, int]:
        return self.workers

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        if self.status == "closed":
            raise RuntimeError("cannot schedule new futures")
        future: Future[Any] = Future()
        self.waiting.append((future, lambda: fn(*args, **kwargs)))
        return future

    def do(self) -> None:
        future, task = self.waiting.pop(0)
        try:
            future.set_result(task())
        except Exception as error:
            future.set_exception(error)

    def cancel(self) -> None:
        """As a client does with all that is open when its scheduler is gone."""
        for future, _ in self.waiting:
            future.cancel()
            future.set_running_or_notify_cancel()


@contextmanager
def watched() -> Iterator[tuple[_Watched, Client]]:
    client = Client()
    executor = _Watched(DASK, client)
    try:
        yield executor, client
    finally:
        executor._ended.set()


def kill() -> None:
    raise KilledWorker("no memory")


def test_what_is_done_is_handed_on() -> None:
    with watched() as (executor, client):
        good, bad, killed = (executor.submit(fn) for fn in (int, lambda: int("x"), kill))
        for _ in range(3):
            client.do()
        assert good.result(5) == 0
        with pytest.raises(ValueError, match="invalid literal"):
            bad.result(5)
        with pytest.raises(TaskLost, match="no memory"):
            killed.result(5)


def lose_scheduler(client: Client) -> None:
    client.status = "connecting"
    client.cancel()


def lose_answers(client: Client) -> None:
    client.status = "connecting"


def lose_workers(client: Client) -> None:
    client.workers = {}


@pytest.mark.parametrize("lose", [lose_scheduler, lose_answers, lose_workers])
def test_all_that_is_open_ends_with_one_error(
    lose: Callable[[Client], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "_LOOK_SECONDS", 0.01)
    monkeypatch.setattr(module, "_PATIENCE_SECONDS", 0.05)
    with watched() as (executor, client):
        done, *open_ = (executor.submit(int) for _ in range(3))
        client.do()
        lose(client)
        for future in open_:
            with pytest.raises(ClusterLost):
                future.result(5)
        assert done.result(5) == 0
        with pytest.raises(ClusterLost):
            executor.submit(int)


def test_a_closed_client_is_as_much_as_lost() -> None:
    with watched() as (executor, client):
        client.status = "closed"
        with pytest.raises(BrokenExecutor):
            executor.submit(int)


class Failing(Executor):
    """Does so many tasks, loses some that are open then, and refuses all further."""

    def __init__(self, good: int, lost: int = 2) -> None:
        self.good, self.left = good, good + lost

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        self.left -= 1
        if self.left < 0:
            raise ClusterLost
        self.good -= 1
        future: Future[Any] = Future()
        if self.good >= 0:
            future.set_result(fn(*args, **kwargs))
        else:
            future.set_exception(ClusterLost())
        return future


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    folder = tmp_path / "orders"
    folder.mkdir()
    for name, length in FOUR.items():
        text = ORDER.format(name=name, width=110, length=length)
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.mark.long
def test_a_search_goes_on_here_and_finds_the_same(orders: Path) -> None:
    order = read_order(orders / "ada.toml")
    alone = plan(order, Rounds(40), jobs=1)
    for good in (0, 1, 3):
        executor = OrHere(Failing(good))
        made = plan(order, Rounds(40), executor=executor)
        assert executor.lost
        assert made.fabrics[0].marker == alone.fabrics[0].marker


@pytest.mark.long
def test_the_command_tells_that_the_cluster_was_lost(
    orders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    @contextmanager
    def failing(*_: object) -> Iterator[tuple[Executor, int]]:
        yield Failing(1), 2

    monkeypatch.setattr(module, "cluster", failing)
    words = ["plan", str(orders / "ada.toml"), "--rounds", "20", "--out", str(tmp_path / "o")]
    done = CliRunner().invoke(main, [*words, "--cluster", "tcp://there"])
    assert done.exit_code == 0, done.stderr
    assert "The cluster at tcp://there was lost; the search went on" in done.stderr
    assert (tmp_path / "o" / "plan.json").stat().st_size


@pytest.mark.long
def test_a_batch_keeps_what_is_done_and_says_how_to_go_on(
    orders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    @contextmanager
    def failing(*_: object) -> Iterator[tuple[Executor, int]]:
        yield Failing(2, lost=1), 2

    monkeypatch.setattr(module, "cluster", failing)
    out = tmp_path / "o"
    words = ["plan", str(orders), "--rounds", "1", "--out", str(out), "--cluster", "tcp://there"]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 1
    assert "The cluster at tcp://there was lost. The same command goes on" in done.stderr
    assert "Finished: 2 of 4 orders." in done.stdout
    told = json.loads((out / "batch.json").read_text(encoding="utf-8"))
    assert told["workers_lost"] is True
    made = plan_folder(orders, out, Rounds(1), jobs=1)
    # Asked for as on the command line, so that what was done counts.
    assert [one.state for one in made.orders].count(State.BEFORE) == 2
    assert planned(out / "dot")


def test_an_order_that_its_workers_die_of_ends_alone(
    orders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Deadly(Failing):
        def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
            if args[0].name != "bea":
                return super().submit(fn, *args, **kwargs)
            future: Future[Any] = Future()
            future.set_exception(TaskLost())
            return future

    monkeypatch.setattr(nesting.batch.run, "plan_contents", lambda *_: {"plan.json": b"{}"})
    made = plan_folder(orders, tmp_path / "o", Rounds(1), executor=Deadly(9))
    assert [one.exit_status for one in made.orders] == [0, 1, 0, 0]
    assert "for want of memory" in made.orders[1].faults[0]
    assert not batch_data(made)["workers_lost"]


@contextmanager
def dask(*words: str) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", f"distributed.cli.dask_{words[0]}", *words[1:]]
    process = subprocess.Popen(
        [*command, "--no-dashboard"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


@pytest.mark.long
def test_a_scheduler_killed_in_mid_search_is_told_at_once(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A cluster of Dask's own, its scheduler killed while two tasks are open."""
    pytest.importorskip("distributed")
    where = tmp_path / "scheduler.json"
    places = ("--scheduler-file", str(where))
    with dask("scheduler", *places, "--host", "127.0.0.1", "--port", "0") as scheduler:
        waited = time.monotonic() + 30
        while not where.exists() and time.monotonic() < waited:
            time.sleep(0.1)
        address = json.loads(where.read_text(encoding="utf-8"))["address"]
        with dask("worker", address, "--nworkers", "1", "--nthreads", "1"):
            with suppress(TimeoutError), module.cluster(address) as (executor, count):
                assert count == 1
                assert executor.submit(int).result(30) == 0
                open_ = [executor.submit(time.sleep, 60) for _ in range(2)]
                threading.Timer(0.5, scheduler.kill).start()
                begun = time.monotonic()
                for future in open_:
                    with pytest.raises(ClusterLost):
                        future.result(30)
                with pytest.raises(ClusterLost):
                    executor.submit(int)
            assert time.monotonic() - begun < 10
    # Told in our words alone.
    assert capfd.readouterr() == ("", "")
