"""Pieces with two fold edges: closed round their corner, and opened out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pieces.check import check
from pieces.corner import cloth_mm2, cornered, halves, opened_out
from pieces.curves import arc
from pieces.geometry import area, bounds, is_simple, laid, reflected, rotated, translated
from pieces.piece import Line, Piece, Point


@st.composite
def quarters(draw: st.DrawFn) -> Piece:
    """A quarter as drawn anywhere: points at growing angles, perhaps with a hole at the corner."""
    size = st.floats(50.0, 900.0)
    count = draw(st.integers(2, 7))
    outer = [draw(size) for _ in range(count)]
    share = draw(st.sampled_from([0.0, 0.2, 0.8]))
    angles = [90.0 * number / (count - 1) for number in range(count)]

    def around(radii: list[float]) -> list[tuple[float, float]]:
        (x, _), *between, (_, y) = (
            (r * math.cos(math.radians(a)), r * math.sin(math.radians(a)))
            for r, a in zip(radii, angles, strict=True)
        )
        return [(x, 0.0), *between, (0.0, y)]

    hem = around(outer)
    hole = around([share * radius for radius in outer]) if share else [(0.0, 0.0)]
    turn_deg = draw(st.sampled_from([0.0, 90.0, 180.0, 270.0]))
    flip, (dx, dy) = draw(st.booleans()), (draw(size), draw(size))

    def move(points: list[tuple[float, float]]) -> Line:
        line = reflected(tuple(points), ((0.0, 0.0), (1.0, 1.0))) if flip else tuple(points)
        return translated(rotated(line, turn_deg), dx, dy)

    hem_line, hole_line, grain = move(hem), move(hole), move([(10.0, 10.0), (20.0, 10.0)])
    return Piece(
        "cape",
        "lawn",
        (*hem_line, *reversed(hole_line)),
        (grain[0], grain[1]),
        on_fold=(hole_line[0], hem_line[0]),
        second_fold=(hem_line[-1], hole_line[-1]),
    )


def rounded(point: Point) -> tuple[float, float]:
    return round(point[0], 6), round(point[1], 6)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(quarters())
def test_a_quarter_opens_out_to_four_times_its_area(drawn: Piece) -> None:
    """Whichever edge comes first; without the hole, to four times what was drawn."""
    piece = laid(cornered(drawn))
    whole = opened_out(piece)
    assert area(whole) == pytest.approx(4 * area(piece.outline))
    assert cloth_mm2(piece) == pytest.approx(4 * area(drawn.outline))
    assert is_simple(whole)
    _, _, right, high = bounds(piece.outline)
    assert bounds(whole) == pytest.approx((-right, -high, right, high))
    for half in halves(piece):
        assert area(half.outline) == pytest.approx(2 * area(piece.outline))
        again = opened_out(half)
        assert len(again) == len(whole)
        assert all(min(math.dist(a, b) for b in whole) < 1e-9 for a in again)
    swapped = replace(drawn, on_fold=drawn.second_fold, second_fold=drawn.on_fold)
    other = laid(cornered(swapped))
    corners = [sorted(one.outline, key=rounded) for one in (other, piece)]
    assert np.asarray(corners[0]) == pytest.approx(np.asarray(corners[1]))
    lines = [(*one.hole, *one.fold_edges[1]) for one in (other, piece)]
    assert np.asarray(lines[0]) == pytest.approx(np.asarray(lines[1]))


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(quarters())
def test_the_laid_form_has_the_corner_at_the_origin(drawn: Piece) -> None:
    piece = laid(cornered(drawn))
    left, low, right, high = bounds(piece.outline)
    assert (left, low) == (0.0, 0.0)
    assert piece.on_fold == ((0.0, 0.0), (pytest.approx(piece.on_fold[1][0]), 0.0))  # type: ignore[index]
    assert piece.second_fold is not None
    assert piece.second_fold[1][0] == 0.0
    assert (0.0, 0.0) in piece.outline
    assert piece.grain[1][0] > piece.grain[0][0]
    assert check([piece]) == () or min(right, high) < 60.0
    assert laid(piece) == piece


def test_a_ring_holds_as_much_cloth_as_geometry_says() -> None:
    """pi (R^2 - r^2); its outline is closed to the middle."""
    ring = Piece(
        "skirt",
        "lawn",
        (*arc((0.0, 0.0), 500.0, 0.0, 90.0), *arc((0.0, 0.0), 80.0, 90.0, 0.0)),
        ((100.0, 10.0), (200.0, 10.0)),
        on_fold=((80.0, 0.0), (500.0, 0.0)),
        second_fold=((0.0, 80.0), (0.0, 500.0)),
    )
    piece = laid(cornered(ring))
    assert cloth_mm2(piece) == pytest.approx(math.pi * (500.0**2 - 80.0**2), rel=1e-3)
    assert area(piece.outline) == pytest.approx(math.pi * 500.0**2 / 4, rel=1e-3)
    assert math.dist(piece.hole[0], (80.0, 0.0)) < 1e-6 > math.dist(piece.hole[-1], (0.0, 80.0))


def test_edges_without_a_corner_are_found() -> None:
    square = ((0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0))
    piece = Piece("x", "lawn", square, ((5.0, 5.0), (9.0, 5.0)), on_fold=((0.0, 0.0), (50.0, 0.0)))
    good = replace(piece, second_fold=((0.0, 0.0), (0.0, 50.0)))
    assert check([good]) == ()
    opposite = replace(piece, second_fold=((50.0, 50.0), (0.0, 50.0)))
    apart = replace(piece, second_fold=((50.0, 50.0), (50.0, 0.0)))
    for bad in (opposite, apart):
        assert [found.code for found in check([bad])] == ["folds-not-square"]
    inside = replace(piece, second_fold=((0.0, 0.0), (0.0, 30.0)))
    assert [found.code for found in check([inside])] == ["fold-not-an-edge"]
    with pytest.raises(ValueError, match="square"):
        cornered(opposite)
