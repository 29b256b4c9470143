"""The verifier on random pieces: they may touch and may not overlap."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric
from nesting.fabric.marker import Marker
from nesting.verify.judge import verify
from pieces.piece import Outline, Piece
from tests.examples import examples
from tests.nesting.rules.rules_table import OPEN
from tests.nesting.verify.hand_made import (
    codes,
    placed,
    right,
    shifted,
)


@st.composite
def rounded(draw: st.DrawFn) -> Outline:
    """A convex piece: corners on an ellipse, anticlockwise, no two close together."""
    steps = draw(st.lists(st.floats(0.4, 1.0), min_size=4, max_size=12))
    wide, high = draw(st.floats(20, 80)), draw(st.floats(20, 80))
    angles = [2 * math.pi * sum(steps[:n]) / sum(steps) for n in range(len(steps))]
    return tuple((wide * math.cos(angle), high * math.sin(angle)) for angle in angles)


@st.composite
def jagged(draw: st.DrawFn) -> Outline:
    """A star-shaped piece with deep bays."""
    reaches = draw(st.lists(st.floats(15, 80), min_size=5, max_size=14))
    angles = [2 * math.pi * n / len(reaches) for n in range(len(reaches))]
    return tuple(
        (reach * math.cos(angle), reach * math.sin(angle))
        for reach, angle in zip(reaches, angles, strict=True)
    )


def singles(outlines: Sequence[Outline]) -> list[Piece]:
    return [
        Piece(f"{number}", "sateen", outline, ((0, 0), (10, 0)))
        for number, outline in enumerate(outlines)
    ]


@given(st.lists(st.one_of(rounded(), jagged()), min_size=1, max_size=14), st.floats(0, 10))
@settings(max_examples=examples(60), deadline=None)
def test_shelves_of_random_pieces_pass(outlines: list[Outline], gap_mm: float) -> None:
    pieces = singles(outlines)
    cloth = Fabric("sateen", 700.0, gap_mm=gap_mm)
    placements, x_mm, y_mm, shelf_end = [], 0.0, 0.0, 0.0
    for piece in pieces:
        if y_mm + 160 > cloth.width_mm:
            x_mm, y_mm = shelf_end + gap_mm, 0.0
        one = placed(piece, piece.outline, (x_mm, y_mm))
        placements.append(one)
        y_mm = max(y for _, y in one.outline_mm) + gap_mm
        shelf_end = max(shelf_end, right(one.outline_mm))
    marker = Marker("sateen", OPEN, shelf_end, tuple(placements))
    assert verify(cloth, pieces, marker) == ()


def touching(one: Outline, other: Outline, edge: int, into_mm: float) -> tuple[float, float]:
    """The shift that brings the other's nearest corner to the middle of an edge, or inside it."""
    (x0, y0), (x1, y1) = one[edge], one[(edge + 1) % len(one)]
    size = math.hypot(x1 - x0, y1 - y0)
    inward = (-(y1 - y0) / size, (x1 - x0) / size)
    corner = max(other, key=lambda point: point[0] * inward[0] + point[1] * inward[1])
    return (
        (x0 + x1) / 2 + into_mm * inward[0] - corner[0],
        (y0 + y1) / 2 + into_mm * inward[1] - corner[1],
    )


@given(rounded(), rounded(), st.integers(0, 3), st.floats(0.01, 15))
@settings(max_examples=examples(150), deadline=None)
def test_random_pieces_may_touch_and_may_not_overlap(
    one: Outline, other: Outline, edge: int, depth_mm: float
) -> None:
    """Convex pieces: brought against an edge they only touch; any deeper they overlap."""
    pieces = singles([one, other])
    cloth = Fabric("sateen", 1000.0)

    def found(into_mm: float) -> set[str]:
        base = placed(pieces[0], one, (200.0, 200.0))
        loose = placed(pieces[1], other, (0.0, 0.0))
        shift = touching(base.outline_mm, loose.outline_mm, edge, into_mm)
        both = (base, shifted(loose, *shift))
        length_mm = max(right(placement.outline_mm) for placement in both)
        return codes(cloth, pieces, Marker("sateen", OPEN, length_mm, both))

    assert found(0.0) == set()
    assert found(0.0015) == set()
    assert found(depth_mm) == {"overlap"}


@given(jagged(), jagged(), st.integers(0, 4), st.floats(0.01, 10))
@settings(max_examples=examples(100), deadline=None)
def test_a_corner_in_a_random_edge_is_an_overlap(
    one: Outline, other: Outline, edge: int, depth_mm: float
) -> None:
    pieces = singles([one, other])
    base = placed(pieces[0], one, (200.0, 200.0))
    loose = placed(pieces[1], other, (0.0, 0.0))
    both = (base, shifted(loose, *touching(base.outline_mm, loose.outline_mm, edge, depth_mm)))
    length_mm = max(right(placement.outline_mm) for placement in both)
    found = codes(Fabric("sateen", 1000.0), pieces, Marker("sateen", OPEN, length_mm, both))
    assert "overlap" in found
