"""Outlines and strategies that the solver's tests share."""

import math

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from shapely.geometry import Polygon

from nesting.solver.instance import IntArray, Orientation


def way(outline: IntArray, width: int, direction: int = 0) -> Orientation:
    """An orientation that may lie anywhere across the strip."""
    (left, low), (right, high) = outline.min(axis=0).tolist(), outline.max(axis=0).tolist()
    return Orientation(outline, -left, right, ((-low, width - high),), direction)


@st.composite
def outlines(draw: st.DrawFn, size: int = 100_000, most: int = 40) -> IntArray:
    """Concave outlines about the origin."""
    radii = draw(st.lists(st.integers(size // 5, size), min_size=3, max_size=most))
    turns = [2 * math.pi * i / len(radii) for i in range(len(radii))]
    corners = np.array(
        [
            (round(r * math.cos(t)), round(r * math.sin(t)))
            for r, t in zip(radii, turns, strict=True)
        ]
    )
    shape = Polygon(corners)
    assume(shape.is_valid and shape.area > 0 and shape.exterior.is_ccw)
    return corners
