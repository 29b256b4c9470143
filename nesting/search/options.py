"""How every door searches, what it wants, and what lets it be stopped."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from threading import current_thread, main_thread
from typing import TypedDict

from nesting.search.state import Watch
from nesting.solver.stop import StopToken


class SearchOptions(TypedDict, total=False):
    """How a door searches; each may be left out.

    Attributes
    ----------
    seed : of the random numbers; 1
    jobs : the processes it starts, or the tasks that the executor takes at once; one for each core
    executor : where it searches instead of in processes of its own
    watch : sees every better layout
    token : ends the search once it is asked to, with the best so far; Ctrl-C asks it
    """

    seed: int
    jobs: int | None
    executor: Executor | None
    watch: Watch
    token: StopToken


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted of a search.

    `every_lay` tells that each lay is to be as short as can be, for a comparison; otherwise lays
    beside the freest are to fit into what that buys. `with_one` tells whether of several garments
    alike one is planned first, where a search repeats itself.
    """

    every_lay: bool = False
    with_one: bool = True


USUAL = Asked()


@contextmanager
def asked_by_ctrl_c(token: StopToken) -> Iterator[None]:
    """Let Ctrl-C ask a search to stop; pressed once more it ends all, as it does elsewhere.

    A handler that is not Python's own is left as it is, and so is Ctrl-C in other threads.
    """
    usual = signal.default_int_handler
    if current_thread() is not main_thread() or signal.getsignal(signal.SIGINT) is not usual:
        yield
        return

    def ask(_: int, __: object) -> None:
        token.ask()
        signal.signal(signal.SIGINT, usual)

    signal.signal(signal.SIGINT, ask)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
