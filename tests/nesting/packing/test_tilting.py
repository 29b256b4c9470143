"""Pieces turned a little off the grain: only as far as allowed, only where that saves cloth."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.marker import Marker
from nesting.fabric.plans import FabricPlan
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output import words
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.errors import OrderFault
from pieces.geometry import rotated
from pieces.piece import Outline, Piece
from pieces.units import Unit
from tests.examples import examples
from tests.nesting.verify.hand_made import codes, placed

GRAIN = ((0.0, 0.0), (10.0, 0.0))
BAR: Outline = rotated(((0, 0), (300, 0), (300, 50), (0, 50)), 1.0)
"""A bar whose long edges run one degree off its grain."""
BLADE: Outline = ((0, 0), (120, 4), (80, 90), (5, 60))
PATCH: Outline = ((0, 0), (90, 0), (60, 40), (0, 30))


def planned(pieces: list[Piece], **cloth: object) -> FabricPlan:
    fabric = Fabric("lawn", **cloth)  # type: ignore[arg-type]
    order = Order("test", "test.toml", Unit.CM, {"lawn": fabric}, (), tuple(pieces))
    return plan(order, Rounds(40), jobs=1).fabrics[0]


def bars(count: int = 2) -> list[Piece]:
    return [Piece("bar", "lawn", BAR, GRAIN, cut=count)]


def test_bars_drawn_a_degree_off_lie_side_by_side_only_when_turned_back() -> None:
    """Two of 50 mm side by side on 103 mm: as drawn they stand 105.25 mm high together."""
    straight = planned(bars(), width_mm=103.0, lays=(LayName.OPEN,))
    turned = planned(bars(), width_mm=103.0, lays=(LayName.OPEN,), tilt_deg=1.0)
    assert straight.marker.length_mm > 400
    assert turned.marker.length_mm == pytest.approx(300, abs=1.0)
    assert {abs(math.remainder(p.grain_deg, 180)) for p in turned.marker.placements} <= {
        1.0,
        0.5,
        0.0,
    }
    assert not turned.proven_least or turned.least_possible_mm <= turned.marker.length_mm


def test_nothing_is_tilted_where_the_counter_cuts_as_much_without() -> None:
    made = planned(bars(), width_mm=103.0, lays=(LayName.OPEN,), tilt_deg=1.0, sold_by_mm=1000.0)
    assert all(math.remainder(p.grain_deg, 180) == 0 for p in made.marker.placements)


@pytest.mark.long
def test_cutting_open_is_never_longer_than_a_fold_with_tilted_pieces() -> None:
    """On the fold two bars one behind the other give four; so does cutting them open."""
    pieces = [Piece("bar", "lawn", BAR, GRAIN, cut=2, pair=True)]
    made = planned(pieces, width_mm=206.0, tilt_deg=1.0)
    length = {one.lay: one.length_mm for one in made.lays_compared}
    assert length[LayName.OPEN] <= min(length.values()) + 0.001
    assert made.marker.length_mm == pytest.approx(300, abs=1.0)


@pytest.mark.parametrize(
    ("turn", "nap", "found"),
    [
        (2.0, Nap.NONE, set()),
        (-2.0, Nap.ONE_WAY, set()),
        (178.0, Nap.NONE, set()),
        (178.0, Nap.ONE_WAY, {"nap"}),
        (2.1, Nap.NONE, {"grain"}),
        (-177.9, Nap.NONE, {"grain"}),
        (88.0, Nap.NONE, {"grain"}),
    ],
)
def test_the_judge_allows_the_tilt_and_no_more(turn: float, nap: Nap, found: set[str]) -> None:
    piece = Piece("patch", "lawn", PATCH, GRAIN)
    one = placed(piece, PATCH, (0.0, 0.0), way=(turn, False))
    marker = Marker("lawn", LayName.OPEN, max(x for x, _ in one.outline_mm), (one,))
    cloth = Fabric("lawn", 200.0, nap=nap, tilt_deg=2.0)
    assert codes(cloth, [piece], marker) == found
    assert codes(replace(cloth, tilt_deg=0.0), [piece], marker) & {"grain", "nap"}


def test_nothing_tilts_on_a_fold() -> None:
    """Its fold edge would lie off the fold by less than is seen; it is told all the same."""
    half: Outline = ((0, 0), (1, 0), (1, 50), (0, 50))
    piece = Piece("stay", "lawn", half, GRAIN, on_fold=((0.0, 0.0), (1.0, 0.0)))
    one = placed(piece, half, (0.0, 0.0), way=(0.05, False), gives=(1, 0, 2), on_fold=True)
    length_mm = max(x for x, _ in one.outline_mm)
    marker = Marker("lawn", LayName.LENGTHWISE_FOLD, length_mm, (one,))
    assert "grain" in codes(Fabric("lawn", 200.0, tilt_deg=2.0), [piece], marker)


def test_a_tilt_is_told_in_words() -> None:
    piece = Piece("patch", "lawn", PATCH, GRAIN)

    def said(turn: float) -> str:
        one = placed(piece, PATCH, (0.0, 0.0), way=(turn, False))
        return words.arrow(one, "cut end", "lower edge")

    assert said(0) == "arrow away from the cut end"
    assert said(1) == "arrow away from the cut end, tilted 1 degree anticlockwise off the grain"
    assert said(179.5) == ("arrow towards the cut end, tilted 0.5 degrees clockwise off the grain")
    assert said(89) == ("arrow away from the lower edge, tilted 1 degree clockwise off the grain")


def test_more_tilt_than_any_cloth_allows_is_refused() -> None:
    text = 'units = "cm"\n[fabric.lawn]\nwidth = 100\ntilt = 8\n[[piece]]\nname = "patch"\n'
    text += 'fabric = "lawn"\noutline = [[0, 0], [30, 0], [30, 20]]\n'
    with pytest.raises(OrderFault, match="askew"):
        order_from_text(text, "frock.toml")
    assert order_from_text(text.replace("8", "1.5"), "frock.toml").fabrics["lawn"].tilt_deg == 1.5


@pytest.mark.long
@given(
    st.lists(st.sampled_from([BAR, PATCH, BLADE]), min_size=1, max_size=3),
    st.sampled_from(list(Nap)),
    st.floats(110, 300),
    st.booleans(),
)
@settings(max_examples=examples(6), deadline=None)
def test_a_tilt_allowed_is_never_longer(
    shapes: list[Outline], nap: Nap, width_mm: float, pair: bool
) -> None:
    pieces = [
        Piece(f"piece {n}", "lawn", shape, GRAIN, cut=1 + n, pair=pair, garment="Ines")
        for n, shape in enumerate(shapes)
    ]
    straight = planned(pieces, width_mm=width_mm, nap=nap)
    turned = planned(pieces, width_mm=width_mm, nap=nap, tilt_deg=2.0)
    assert turned.marker.length_mm <= straight.marker.length_mm + 0.001
