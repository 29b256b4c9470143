"""Workers beyond this process: a cluster of Dask's, an optional extra, as an executor."""

from __future__ import annotations

import logging
import os
import signal
import socket
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, CancelledError, Executor
from contextlib import ExitStack, contextmanager
from importlib import import_module
from importlib.metadata import version
from threading import current_thread, main_thread
from typing import Any

from pieces.errors import Fault, OrderFault

LOCAL = "local"
"""The address of a cluster that is started on this machine and ends with the work."""
_PATIENCE_SECONDS = 20.0
_SCHEDULER_PORT = 8786
"""Where a scheduler listens if it isn't told otherwise."""


@contextmanager
def cluster(address: str, jobs: int | None = None) -> Iterator[tuple[Executor, int]]:
    """The workers at the address of a Dask scheduler, or `jobs` on this machine if it is LOCAL.

    Given is an executor, and how many tasks it works at once.

    A local cluster can be reached from this machine alone and serves no dashboard. Workers
    elsewhere must have the same version of this package; no files are shared with them. Dask
    runs what it is sent, so a scheduler belongs in a network that can be trusted.

    Raises
    ------
    OrderFault : the extra isn't installed, nobody answers at the address, workers don't suit
    BrokenExecutor : the cluster was lost meanwhile
    """
    dask = _dask()
    with ExitStack() as held:
        place = address if address != LOCAL else held.enter_context(_started(dask, jobs))
        client = held.enter_context(_client(dask, place))
        _require_workers(client, address)
        # Searches with equal arguments need not find the same, so nothing may be looked up.
        executor: Executor = client.get_executor(pure=False)
        try:
            yield executor, sum(client.nthreads().values())
        except (dask.KilledWorker, dask.comm.CommClosedError, CancelledError) as error:
            raise BrokenExecutor(str(error)) from error
        finally:
            executor.shutdown(wait=False)


def _dask() -> Any:
    try:
        return import_module("distributed")
    except ImportError:
        raise _fault(
            "Clusters need the package distributed, which isn't installed.",
            'Install it beside metrage: pip install "distributed>=2024.8".',
        ) from None


@contextmanager
def _started(dask: Any, jobs: int | None) -> Iterator[Any]:
    """A cluster on this machine, whose processes leave Ctrl-C to this one."""
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
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
