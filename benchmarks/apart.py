"""Work done in a process of its own, so that its peak memory and processor time are its own."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


def apart(work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """What a function returns in another process, to which Ctrl-C is left meanwhile.

    On Linux it is forked, so compiled kernels are shared. Exits as that process does if it fails.
    """
    context = get_context("fork" if sys.platform == "linux" else None)
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=_send, args=(there, work, args, kwargs))
    process.start()
    there.close()
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        found: T = here.recv()
    except EOFError:
        process.join()
        sys.exit(process.exitcode or 1)
    finally:
        signal.signal(signal.SIGINT, before)
    process.join()
    return found


def _send(
    there: Connection, work: Callable[..., T], args: tuple[object, ...], kwargs: dict[str, object]
) -> None:
    there.send(work(*args, **kwargs))


def peak_memory_mb(workers: int) -> float:
    """The most memory that this process and its workers, which have ended, can have held.

    Counted as if each worker had held what the largest did, and nothing were shared.
    """
    import resource

    unit = 1 if sys.platform == "darwin" else 1024
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    largest = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return (own + workers * largest) * unit / 1e6
