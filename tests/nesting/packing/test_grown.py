"""Outlines grown by half the gap, against the exact distance that a reference library measures."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from nesting.packing.grown import grown
from pieces.piece import Outline

ROUNDING_MM = 1e-9
MOST_OVER = 1 / math.cos(math.pi / 32) - 1 + 1e-9
"""By how much the corners of a polygon of 32 sides lie outside the circle it is drawn about."""


@st.composite
def wavy(draw: st.DrawFn) -> Outline:
    """Curved outlines as necks and armholes are: hollows and bulges drawn with many points."""
    number = draw(st.integers(12, 200))
    waves = draw(st.integers(1, 9))
    deep, radius = draw(st.floats(0, 0.6)), draw(st.floats(15, 400))
    flat, turn = draw(st.floats(0.2, 1)), draw(st.floats(0, math.pi))
    found = []
    for k in range(number):
        angle = 2 * math.pi * k / number
        out = radius * (1 + deep * math.cos(waves * angle + turn))
        found.append((out * math.cos(angle), flat * out * math.sin(angle)))
    return tuple(found)


@given(wavy(), st.sampled_from([0.5, 1, 3.5, 5, 10, 25]))
def test_nowhere_less_than_asked_and_hardly_more(outline: Outline, by_mm: float) -> None:
    piece, around = Polygon(outline), Polygon(grown(outline, by_mm))
    assert around.is_valid
    assert around.covers(piece)
    assert around.exterior.distance(piece) >= by_mm - ROUNDING_MM
    farthest = max(piece.distance(Point(corner)) for corner in around.exterior.coords)
    assert farthest <= by_mm * (1 + MOST_OVER)


@pytest.mark.parametrize("by_mm", [3.5, 5, 25])
def test_a_hollow_drawn_with_shallow_corners_is_kept(by_mm: float) -> None:
    hollow = [(x, 60 * math.sin(math.pi * x / 300)) for x in range(0, 301, 4)]
    outline: Outline = (*hollow[::-1], (0.0, -80.0), (300.0, -80.0))
    upside_down: Outline = ((300.0, 200.0), (0.0, 200.0), *hollow)
    for shape in (outline, upside_down):
        ring = Polygon(grown(shape, by_mm)).exterior
        assert ring.distance(Polygon(shape)) >= by_mm - ROUNDING_MM


def test_no_gap_leaves_the_outline_as_it_is() -> None:
    square: Outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert grown(square, 0.0) is square
