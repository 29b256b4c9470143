"""No cloth waits for the others: each is seen laid before any is searched."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.fabric.fabric import Bolt, Fabric
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.search.state import PlanState
from nesting.solver.stop import Rounds, StopToken
from nesting.verify.judge import verify
from pieces.units import Unit
from tests.nesting.manual.test_repin import box, corner

PIECES = (
    *(corner(f"panel {n}", 120 + n, 90, cut=2) for n in range(4)),
    *(box(f"band {n}", 150, 31 + n) for n in range(4)),
)


def order(**in_hand: object) -> Order:
    cloths = {name: Fabric(name, 300.0, **in_hand) for name in ("lawn", "silk", "net")}  # type: ignore[arg-type]
    pieces = tuple(replace(one, fabric=name) for name in cloths for one in PIECES)
    return Order("three", "three.toml", Unit.CM, cloths, (), pieces)


@pytest.mark.long
def test_every_cloth_is_laid_before_any_is_searched() -> None:
    seen: list[PlanState] = []
    made = plan(order(), Rounds(2), jobs=1, watch=seen.append)
    assert [state.fabric for state in seen[:3]] == ["lawn", "silk", "net"]
    for state in seen[:3]:
        assert state.layout is not None
        assert state.spent == 0.0
        marker = state.packing.marker(state.layout)
        own = [piece for piece in order().pieces if piece.fabric == state.fabric]
        assert verify(state.packing.fabric, own, marker) == ()
    assert {fabric.fabric.name for fabric in made.fabrics} == {"lawn", "silk", "net"}


def test_first_layouts_count_when_the_search_is_stopped_at_once() -> None:
    told = 0
    token = StopToken()

    def stop(state: PlanState) -> None:
        nonlocal told
        told += 1
        if told == 3:
            token.ask()

    made = plan(order(), Rounds(50), jobs=1, watch=stop, token=token)
    assert made.interrupted
    assert len(made.fabrics) == 3
    assert told <= 4


@pytest.mark.long
def test_cloth_in_hand_is_shared_out_first() -> None:
    seen: list[PlanState] = []
    bolts = (Bolt("bolt", 3000.0, 300.0),)
    plan(order(in_hand=bolts), Rounds(1), jobs=1, watch=seen.append)
    assert [state.fabric for state in seen[:3]] != ["lawn", "silk", "net"]
