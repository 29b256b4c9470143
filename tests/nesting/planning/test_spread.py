"""Cloths searched at once where there are hands for it: the same plans, one progress, one end."""

from __future__ import annotations

import os
import signal
import sys
import time
from dataclasses import replace
from threading import Timer
from typing import Any

import pytest

from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.files.data import plan_data
from nesting.output.report.comparison import comparison_data
from nesting.output.write import plan_files
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.search.state import PlanState
from nesting.solver.stop import Rounds, Seconds, StopToken
from pieces.errors import CannotFit

CLOTHS = ("lawn", "net", "satin")


def three_cloths() -> Order:
    text = 'name = "three"\nunits = "cm"\n'
    for number, cloth in enumerate(CLOTHS):
        text += f'[fabric.{cloth}]\nwidth = 110\nlays = ["open"]\n'
        text += f'[[piece]]\nname = "{cloth} kite"\nfabric = "{cloth}"\ncut = {3 + number}\n'
        text += "outline = [[0, 0], [40, 5], [36, 40], [3, 28]]\n"
    return order_from_text(text, "three.toml")


def told(made: Plan) -> dict[str, Any]:
    return plan_data(made, plan_files(made)) | {"seconds": 0}


def test_rounds_give_the_same_plan_however_many_cloths_are_searched_at_once() -> None:
    one, other = (plan(three_cloths(), Rounds(6), seed=2, jobs=jobs) for jobs in (1, 6))
    assert told(one) == told(other)


@pytest.mark.long
def test_rounds_give_the_same_comparison() -> None:
    one, other = (
        compare(three_cloths(), Rounds(2), widths_mm=(900, 1100), jobs=jobs) for jobs in (1, 4)
    )
    assert comparison_data(replace(one, seconds=0)) == comparison_data(replace(other, seconds=0))


@pytest.mark.long
def test_progress_of_all_is_one() -> None:
    seen: list[PlanState] = []
    plan(three_cloths(), Rounds(12), jobs=6, watch=seen.append)
    spent = [state.spent for state in seen]
    assert spent == sorted(spent)
    assert 0 <= spent[0] <= spent[-1] <= 1
    assert {state.fabric for state in seen} == set(CLOTHS)


def test_a_watcher_ends_all_cloths() -> None:
    """As the page does when its user is content."""
    seen = []
    token = StopToken()

    def content(state: PlanState) -> None:
        seen.append(state)
        if len(seen) == 6:
            token.ask()

    begun = time.monotonic()
    made = plan(three_cloths(), Seconds(600), jobs=6, watch=content, token=token)
    assert made.interrupted
    assert [entry.fabric.name for entry in made.fabrics] == list(CLOTHS)
    assert time.monotonic() - begun < 120


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="sends a signal")
def test_ctrl_c_ends_all_cloths_with_the_best_so_far() -> None:
    timer = Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))

    def begin(_: PlanState) -> None:
        if timer.ident is None:
            timer.start()

    begun = time.monotonic()
    try:
        made = plan(three_cloths(), Seconds(600), jobs=6, watch=begin)
    finally:
        timer.cancel()
    assert made.interrupted
    assert [entry.fabric.name for entry in made.fabrics] == list(CLOTHS)
    assert time.monotonic() - begun < 120


@pytest.mark.long
def test_a_fault_of_one_cloth_ends_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    from nesting.search.candidate import Straight

    honest = Straight.take

    def faulty(self: Straight, clock: Any) -> Any:
        if self.problem.fabric.name == "net":
            raise CannotFit([])
        return honest(self, clock)

    monkeypatch.setattr(Straight, "take", faulty)
    begun = time.monotonic()
    with pytest.raises(CannotFit):
        plan(three_cloths(), Seconds(600), jobs=6)
    assert time.monotonic() - begun < 120
