"""What is left of a budget, and what holds once it is over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.budget import Budget
from nesting.fabric import Fabric
from nesting.jobs import jobs_for
from nesting.order import Order
from nesting.stop import Rounds, Seconds
from nesting.trials import Search
from pieces.piece import Piece
from pieces.units import Unit


def test_what_is_left_for_all_the_rest_is_no_more_than_is_left() -> None:
    """Weights come back as sums of parts: what ought to be nothing may be a little off."""
    budget = Budget(Rounds(5), 0.3)
    assert budget.share_of(0.1) == pytest.approx(1 / 3)
    for weight in (0.1, 0.1, 0.1):
        budget.give_back(weight)
    assert budget.share_of(1.0) == 1.0
    assert Budget(Seconds(0), 0.0).share_of(1.0) == 0.0
    assert Budget(Rounds(5), 0.0).share_of(0.0) == 0.0


def test_a_bound_without_time_left_holds_for_strips_cut_otherwise_too() -> None:
    corners = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
    piece = Piece("patch", "lawn", corners, ((0.0, 0.0), (10.0, 0.0)))
    order = Order("test", "test.toml", Unit.CM, {"lawn": Fabric("lawn", 250.0)}, (), (piece,))
    (job,) = jobs_for(order, order.pieces, None)
    search = Search(Budget(Rounds(1), job.weight), 1, None)
    shown = [search.trial(job, job.packings[-1], job.weight, None)]
    search.interrupt()
    (found,) = search.best_lays(replace(job, least_mm=100.0), shown)
    assert found.bound_mm == 100.0
