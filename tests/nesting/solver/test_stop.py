"""Stops tell the share of their budget that is spent, and hand out portions of it."""

import pickle

import pytest

from nesting.solver.stop import FirstOf, Fits, NoImprovement, Rounds, Seconds, State, Stop

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
