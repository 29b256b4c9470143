"""Ctrl-C and other ways to stop a search all ask one token."""

from __future__ import annotations

import os
import pickle
import signal
import sys
from collections.abc import Callable
from threading import Thread

import pytest

from nesting.search.clock import Clock
from nesting.search.options import asked_by_ctrl_c
from nesting.solver.stop import FirstOf, Rounds, Seconds, State, StopToken, repeats

NOW = State(seconds=1.0, rounds=1, length=9, bound=5, since_better=1.0)
on_posix = pytest.mark.skipif(sys.platform == "win32", reason="sends a signal")


def test_a_clock_is_over_once_its_token_is_asked() -> None:
    clock = Clock(Seconds(600))
    part = clock.part(0.5)
    assert not clock.is_over
    clock.token.ask()
    assert clock.is_over
    assert part.is_over


def test_a_token_lets_rounds_repeat_and_ends_them() -> None:
    token = StopToken()
    stop = FirstOf(Rounds(1000), token)
    assert repeats(stop)
    assert stop(NOW) < 1
    token.ask()
    assert stop(NOW) == stop.portion(0.25)(NOW) == 1
    assert token.portion(0.0)(NOW) == 1


def test_a_token_may_be_sent_to_another_process() -> None:
    assert not pickle.loads(pickle.dumps(StopToken())).asked


@on_posix
def test_ctrl_c_asks_and_a_second_one_ends_all() -> None:
    token = StopToken()
    with asked_by_ctrl_c(token):
        os.kill(os.getpid(), signal.SIGINT)
        assert token.asked
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def untouched(within: Callable[[], object]) -> None:
    token = StopToken()
    with asked_by_ctrl_c(token):
        within()
    assert not token.asked


def test_a_door_within_a_door_leaves_ctrl_c_to_the_outer_one() -> None:
    outer = StopToken()
    with asked_by_ctrl_c(outer):
        mine = signal.getsignal(signal.SIGINT)
        untouched(lambda: None)
        assert signal.getsignal(signal.SIGINT) is mine


def test_ctrl_c_is_left_alone_in_other_threads() -> None:
    seen = []
    thread = Thread(target=lambda: untouched(lambda: seen.append(signal.getsignal(signal.SIGINT))))
    before = signal.getsignal(signal.SIGINT)
    thread.start()
    thread.join()
    assert seen == [before]
