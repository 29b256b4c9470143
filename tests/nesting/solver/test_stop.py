"""Stops tell the share of their budget that is spent, and hand out portions of it."""

import pickle
from collections.abc import Callable

import pytest

from nesting.solver.stop import (
    FirstOf,
    Fits,
    NoImprovement,
    Rounds,
    Seconds,
    State,
    Stop,
    StopToken,
    UntilUnlikely,
    repeats,
)

STATE = State(seconds=12, rounds=150, length=900, bound=500, since_better=3)


@pytest.mark.parametrize(
    ("stop", "spent"),
    [
        (Seconds(24), 0.5),
        (Seconds(0), 1.0),
        (Rounds(100), 1.5),
        (Rounds(0), 1.0),
        (NoImprovement(seconds=12), 0.25),
        (Fits(900), 1.0),
        (Fits(899), 0.0),
        (FirstOf(Seconds(24), Rounds(600)), 0.5),
        (FirstOf(Rounds(600), Fits(900)), 1.0),
    ],
)
def test_share_spent(stop: Stop, spent: float) -> None:
    assert stop(STATE) == pytest.approx(spent)
    assert pickle.loads(pickle.dumps(stop))(STATE) == pytest.approx(spent)


@pytest.mark.parametrize(
    ("stop", "half"),
    [
        (Seconds(24), Seconds(12)),
        (Rounds(100), Rounds(100)),
        (NoImprovement(10), NoImprovement(5)),
        (Fits(900), Fits(900)),
        (FirstOf(Seconds(2), Rounds(5)), FirstOf(Seconds(1), Rounds(5))),
    ],
)
def test_portion(stop: Stop, half: Stop) -> None:
    assert stop.portion(0.5) == half
    assert stop.portion(0.0)(STATE) >= 1


@pytest.mark.parametrize("clock", [Seconds, UntilUnlikely, NoImprovement])
@pytest.mark.parametrize("seconds", [0.0, 20.0])
def test_only_what_never_looks_at_the_clock_repeats(
    clock: Callable[[float], Stop], seconds: float
) -> None:
    """Not even one that is spent from the beginning: what it leaves undone, the clock decides."""
    assert not repeats(clock(seconds))
    assert not repeats(FirstOf(Rounds(3), clock(seconds)))
    for stop in (Rounds(0), Rounds(3), Fits(900), StopToken(), FirstOf(Rounds(3), StopToken())):
        assert repeats(stop)
