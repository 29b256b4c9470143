"""Workers beyond this process: a cluster of Dask's, an optional extra, as an executor."""

from __future__ import annotations

import logging
import os
import signal
import socket
import time
from collections.abc import Callable, Iterator
from concurrent.futures import (
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ThreadPoolExecutor,
)
from contextlib import ExitStack, contextmanager, suppress
from functools import partial
from importlib import import_module
from importlib.metadata import version
from threading import Event, Lock, Thread, current_thread, main_thread
from typing import Any

from pieces.errors import Fault, OrderFault

LOCAL = "local"
"""The address of a cluster that is started on this machine and ends with the work."""
_PATIENCE_SECONDS = 20.0
_SCHEDULER_PORT = 8786
"""Where a scheduler listens if it isn't told otherwise."""
_LOOK_SECONDS = 0.5
"""Between two looks at whether the cluster is still there."""


class ClusterLost(BrokenExecutor):
    """The scheduler of a cluster is gone, or all of its workers: nothing more comes of it."""


class TaskLost(BrokenExecutor):
    """Workers ended by themselves at one task, time and again; the cluster goes on."""


@contextmanager
def cluster(address: str, jobs: int | None = None) -> Iterator[tuple[Executor, int]]:
    """The workers at the address of a Dask scheduler, or `jobs` on this machine if it is LOCAL.

    Given is an executor, and how many tasks it works at once. Once the cluster is lost, all that
    is open ends with ClusterLost, and so does what is submitted after.

    A local cluster can be reached from this machine alone and serves no dashboard. Workers
    elsewhere must have the same version of this package; no files are shared with them. Dask
    runs what it is sent, so a scheduler belongs in a network that can be trusted.

    Raises
    ------
    OrderFault : the extra isn't installed, nobody answers at the address, workers don't suit
    """
    dask = _dask()
    _hush()
    with ExitStack() as held:
        place = address if address != LOCAL else held.enter_context(_started(dask, jobs))
        client = held.enter_context(_client(dask, place))
        try:
            _require_workers(client, address)
            count = sum(client.nthreads().values())
        except (OSError, TimeoutError, dask.comm.CommClosedError):
            raise _fault(
                f"The cluster at {address} answered, and then no more.",
                "See that its scheduler and its workers run, or leave --cluster out.",
            ) from None
        executor = _Watched(dask, client)
        try:
            yield executor, count
        finally:
            executor.shutdown(wait=False)


class _Watched(Executor):
    """The workers of a cluster, watched for as long as something is open.

    A client whose scheduler is gone waits for another, and a scheduler without workers waits for
    some: neither tells.
    """

    def __init__(self, dask: Any, client: Any) -> None:
        self._dask, self._client = dask, client
        # Searches with equal arguments need not find the same, so nothing may be looked up.
        self._workers: Executor = client.get_executor(pure=False)
        self._open: set[Future[Any]] = set()
        self._lock, self._ended, self._lost = Lock(), Event(), Event()
        Thread(target=self._watch, daemon=True).start()

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Have it done by a worker.

        Raises
        ------
        ClusterLost : there are none any more
        """
        if self._lost.is_set():
            raise ClusterLost
        told: Future[Any] = Future()
        told.set_running_or_notify_cancel()
        with self._lock:
            self._open.add(told)
        try:
            self._workers.submit(fn, *args, **kwargs).add_done_callback(partial(self._tell, told))
        except (OSError, ValueError, RuntimeError, self._dask.comm.CommClosedError) as error:
            # So says a client that is closed, which is as much as lost.
            self._lose()
            raise ClusterLost from error
        if self._lost.is_set():
            self._lose()
        return told

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End; what is open is no longer wanted."""
        self._ended.set()
        if self._lost.is_set():
            # It would wait for an answer.
            return
        with suppress(OSError, TimeoutError, self._dask.comm.CommClosedError):
            self._workers.shutdown(wait=wait)

    def _tell(self, told: Future[Any], done: Future[Any]) -> None:
        """Hand on what came of a task."""
        error = ClusterLost() if done.cancelled() else done.exception()
        if isinstance(error, ClusterLost | self._dask.comm.CommClosedError):
            self._lose()
        elif not self._closed(told):
            return
        elif error is None:
            told.set_result(done.result())
        else:
            killed = isinstance(error, self._dask.KilledWorker)
            told.set_exception(TaskLost(str(error)) if killed else error)

    def _closed(self, told: Future[Any]) -> bool:
        """Take a task from those that are open; whether it was one."""
        with self._lock:
            was_open = told in self._open
            self._open.discard(told)
        return was_open

    def _lose(self) -> None:
        """End all that is open."""
        self._lost.set()
        with self._lock:
            lost, self._open = self._open, set()
        for told in lost:
            told.set_exception(ClusterLost())

    def _watch(self) -> None:
        since = time.monotonic()
        while not self._ended.wait(_LOOK_SECONDS) and not self._lost.is_set():
            with suppress(OSError, TimeoutError, self._dask.comm.CommClosedError):
                if self._client.status == "running" and self._client.nthreads():
                    since = time.monotonic()
            if self._client.status != "running" or time.monotonic() > since + _PATIENCE_SECONDS:
                self._lose()


class OrHere(Executor):
    """A cluster as long as it is there; then this process, so that a search goes on.

    What was open when the cluster was lost is done again. `lost` tells whether it was.
    """

    def __init__(self, workers: Executor) -> None:
        self._workers, self._here = workers, ThreadPoolExecutor(1)
        self.lost = False

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Have it done on the cluster, or here."""
        told: Future[Any] = Future()
        told.set_running_or_notify_cancel()
        again = partial(self._again, told, fn, args, kwargs)
        try:
            self._workers.submit(fn, *args, **kwargs).add_done_callback(again)
        except ClusterLost as error:
            gone: Future[Any] = Future()
            gone.set_exception(error)
            again(gone)
        return told

    def _again(
        self,
        told: Future[Any],
        fn: Callable[..., Any],
        args: tuple[Any, ...],
        kwargs: dict[str, Any],
        done: Future[Any],
    ) -> None:
        """Hand on what came of a task; what was lost is done here."""
        if isinstance(done.exception(), ClusterLost):
            self.lost = True
            done = self._here.submit(fn, *args, **kwargs)
        done.add_done_callback(partial(_hand_on, told))

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End what is done here; the cluster is its owner's."""
        self._here.shutdown(wait=wait, cancel_futures=cancel_futures)


def _hand_on(told: Future[Any], done: Future[Any]) -> None:
    if done.cancelled():
        told.set_exception(CancelledError())
    elif (error := done.exception()) is not None:
        told.set_exception(error)
    else:
        told.set_result(done.result())


def _dask() -> Any:
    try:
        return import_module("distributed")
    except ImportError:
        raise _fault(
            "Clusters need the package distributed, which isn't installed.",
            'Install it beside metrage: pip install "distributed>=2024.8".',
        ) from None


def _hush() -> None:
    """A lost cluster is told in our own words; each part of Dask has a log of its own."""
    for name in list(logging.root.manager.loggerDict):
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)


@contextmanager
def _started(dask: Any, jobs: int | None) -> Iterator[Any]:
    """A cluster on this machine, whose processes leave Ctrl-C to this one."""
    # New processes inherit what is ignored; only the main thread has a say in it.
    in_charge = current_thread() is main_thread()
    before = signal.signal(signal.SIGINT, signal.SIG_IGN) if in_charge else None
    try:
        started = dask.LocalCluster(
            n_workers=jobs or os.cpu_count() or 1,
            threads_per_worker=1,
            host="127.0.0.1",
            dashboard_address="127.0.0.1:0",
            worker_dashboard_address=None,
            silence_logs=logging.CRITICAL,
        )
    finally:
        if in_charge:
            signal.signal(signal.SIGINT, before)
    with started:
        yield started


def _client(dask: Any, place: Any) -> Any:
    try:
        if isinstance(place, str):
            _require_answer(dask, place)
        return dask.Client(place, timeout=_PATIENCE_SECONDS, set_as_default=False)
    except (OSError, ValueError, TypeError):
        raise _fault(
            f"No cluster answers at {place}.",
            "Give the address that its scheduler shows, such as tcp://192.168.1.20:8786, or local.",
        ) from None


def _require_answer(dask: Any, address: str) -> None:
    """See that somebody is there, as a client that finds nobody takes long to give up.

    Raises
    ------
    OSError, ValueError : nobody is, or this is no address
    """
    scheme, place = dask.comm.parse_address(address)
    if scheme not in ("tcp", "tls"):
        raise ValueError(scheme)
    host, port = dask.comm.addressing.parse_host_port(place, _SCHEDULER_PORT)
    socket.create_connection((host, port), _PATIENCE_SECONDS).close()


def _require_workers(client: Any, address: str) -> None:
    """Some there are, and all with the same version of this package.

    Raises
    ------
    OrderFault : naming each worker that doesn't suit
    """
    try:
        client.wait_for_workers(1, timeout=_PATIENCE_SECONDS)
    except TimeoutError:
        raise _fault(
            f"The cluster at {address} has no workers.",
            f"Start some on each machine: dask worker {address} --nworkers auto --nthreads 1.",
        ) from None
    ours = own_version()
    theirs = client.run(own_version, on_error="return")
    unlike = [place for place, found in theirs.items() if found != ours]
    if unlike:
        raise _fault(
            f"Without metrage {ours}: the workers {', '.join(sorted(unlike))}.",
            "Install the version that is used here in the environment of each worker.",
        )


def own_version() -> str:
    """The version of this package where this is asked."""
    return version("metrage")


def _fault(message: str, remedy: str) -> OrderFault:
    return OrderFault([Fault("--cluster", "", message, remedy)])
