"""Where searches run: processes of their own, or whatever executor is at hand."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import active_children, get_context, parent_process
from threading import Thread

from nesting.solver.solve import warm_up


@contextmanager
def workers(jobs: int | None = None, executor: Executor | None = None) -> Iterator[Executor | None]:
    """Where to search: the executor at hand, or else processes that end with the context.

    Processes are `jobs`, or one for each core; none for a single one. They leave Ctrl-C to the
    process that started them, and don't outlive it.
    """
    jobs = jobs or os.cpu_count() or 1
    if executor is not None or jobs == 1:
        yield executor
        return
    # Forked workers share the compiled kernels and need no main module to import.
    context = get_context("fork" if sys.platform == "linux" else None)
    if sys.platform == "linux":
        warm_up()
    others = active_children()
    pool = ProcessPoolExecutor(jobs, mp_context=context, initializer=_begin_worker)
    try:
        # All are started before there are threads, whose locks they would take along.
        pool.submit(int).result()
        yield pool
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
        # What is still worked at is not wanted, and may take long: it may be a whole order. A
        # forked process has this one's answer to SIGTERM, which may be to go on.
        for process in set(active_children()).difference(others):
            process.kill()


def _begin_worker() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Without this a worker whose parent was killed would wait for work for ever."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
