"""N garments alike together need no more than N times one, and are rounded up once."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, Faces, LayName, Nap
from nesting.fabric.marker import Marker
from nesting.fabric.plans import FabricPlan
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.search.lay_result import verified
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for
from nesting.search.warm_start.replicated_marker import one_of, repeated
from nesting.solver.solve import solve
from nesting.solver.stop import Rounds
from pieces.piece import GrainRule, Outline, Piece
from pieces.units import Unit
from tests.examples import examples

GRAIN = ((0.0, 0.0), (10.0, 0.0))
SHAPES: list[Outline] = [
    ((0, 0), (300, 0), (300, 120), (0, 120)),
    ((0, 0), (250, 0), (180, 140), (0, 90)),
    ((0, 0), (200, 0), (200, 60), (120, 60), (120, 150), (0, 150)),
    ((0, 0), (160, 0), (80, 130)),
]


def dresses(count: int, pieces: list[Piece], fabric: Fabric, rounds: int = 3) -> FabricPlan:
    own = [replace(piece, garment=f"{n}") for n in range(count) for piece in pieces]
    order = Order("test", "test.toml", Unit.CM, {"lawn": fabric}, (), tuple(own))
    return plan(order, Rounds(rounds), jobs=1).fabrics[0]


@pytest.mark.long
@given(
    st.lists(
        st.tuples(st.sampled_from(SHAPES), st.booleans(), st.sampled_from(GrainRule)),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from(list(Nap)),
    st.sampled_from(list(Faces)),
    st.sampled_from([0.0, 100.0]),
    st.sampled_from([0.0, 4.0]),
    st.integers(2, 3),
)
@settings(max_examples=examples(12), deadline=None)
def test_several_together_need_no_more_than_each_by_itself(
    shapes: list[tuple[Outline, bool, GrainRule]],
    nap: Nap,
    faces: Faces,
    step_mm: float,
    gap_mm: float,
    count: int,
) -> None:
    """Same rounds, same seed: what one is planned with shows the way for all."""
    cloth = Fabric(
        "lawn", 500.0, nap=nap, faces=faces, sold_by_mm=step_mm, gap_mm=gap_mm, edge_gap_mm=gap_mm
    )
    pieces = [
        Piece(f"piece {n}", "lawn", shape, GRAIN, pair=pair, grain_rule=rule)
        for n, (shape, pair, rule) in enumerate(shapes)
    ]
    one, all_of_them = dresses(1, pieces, cloth), dresses(count, pieces, cloth)
    slack_mm = 0.001 * count
    single = {lay.lay: lay.length_mm for lay in one.lays_compared}
    for lay in all_of_them.lays_compared:
        if lay.lay is not LayName.PARTIAL_FOLD and lay.lay in single:
            assert lay.length_mm <= count * single[lay.lay] + slack_mm
    assert all_of_them.purchase.length_mm <= count * one.purchase.length_mm


def test_the_counter_rounds_once_for_all_together() -> None:
    """3 x 0.92 m make 2.76 m, bought as 2.80 m and not as 3 x 1.00 m."""
    block: Outline = ((0, 0), (920, 0), (920, 700), (0, 700))
    piece = Piece("block", "lawn", block, GRAIN)
    cloth = Fabric("lawn", 1000.0, sold_by_mm=100.0, lays=(LayName.OPEN,))
    assert dresses(1, [piece], cloth).purchase.length_mm == 1000
    assert dresses(3, [piece], cloth).purchase.length_mm == 2800


BLOCK: Outline = ((0, 0), (300, 0), (300, 200), (0, 200))


def across(begin: float, end: float) -> Outline:
    """A flaw from selvedge to selvedge of a cloth of 210 mm."""
    return ((begin, 0), (end, 0), (end, 210), (begin, 210))


@pytest.mark.parametrize(
    ("flaws", "wanted_mm"),
    [
        ([(350, 360)], 960),  # the second goes past it
        ([(310, 320), (700, 710)], 1010),  # the second past the first, the third past the second
        ([(0, 20)], 920),
        ([(5000, 5010)], 900),
    ],
)
def test_each_is_laid_past_the_flaws_behind_the_one_before(
    flaws: list[tuple[float, float]], wanted_mm: float
) -> None:
    cloth = Fabric(
        "lawn", 210.0, flaws=tuple(across(*flaw) for flaw in flaws), lays=(LayName.OPEN,)
    )
    block = Piece("block", "lawn", BLOCK, GRAIN)
    pieces = [replace(block, garment=f"{n}") for n in range(3)]
    order = Order("test", "test.toml", Unit.CM, {"lawn": cloth}, (), tuple(pieces))
    shown = one_behind_another(problem_for(order, cloth, pieces, None))
    assert shown.length_mm == pytest.approx(wanted_mm, abs=0.01)
    assert dresses(3, [block], cloth).marker.length_mm <= wanted_mm + 0.01


@pytest.mark.parametrize("gap_mm", [7.0, 10.0, 50.0])
def test_a_flaw_in_a_hollow_is_kept_from_by_half_the_gap(gap_mm: float) -> None:
    """The second one's hollow lies over the flaw, as near as may be."""
    hollow = tuple((60 * math.sin(math.pi * y / 200), float(y)) for y in range(200, -1, -4))
    block = Piece("block", "lawn", ((300.0, 0.0), (300.0, 200.0), *hollow), GRAIN)
    flaw = tuple((380.0 + x, 105.0 + y) for x, y in ((0, -1), (10, -1), (10, 1), (0, 1)))
    cloth = Fabric("lawn", 210.0, gap_mm=gap_mm, flaws=(flaw,), lays=(LayName.OPEN,))
    pieces = [replace(block, garment=f"{n}") for n in range(2)]
    order = Order("test", "test.toml", Unit.CM, {"lawn": cloth}, (), tuple(pieces))
    shown = one_behind_another(problem_for(order, cloth, pieces, None))
    second = Polygon(max(shown.placements, key=lambda one: one.x_mm).outline_mm)
    apart_mm = second.distance(Polygon(flaw))
    assert gap_mm / 2 - 0.002 <= apart_mm <= 1.1 * gap_mm / 2


def one_behind_another(problem: FabricProblem) -> Marker:
    """Garments alike laid as a short search of one has it."""
    one = one_of(problem)
    assert one is not None
    packing = one.packings[0]
    found = solve(packing.instance, Rounds(1))
    shown = repeated(problem, verified(packing, found.layout, 0.0, one.pieces))
    assert shown is not None
    return shown.lay_result.marker
