"""Measures of overlap to compare with the solver's own, each in the form of `severity.overlap`.

All are times the solver's size factor (a mean of the square roots of the two hulls' areas) and
nothing outside the no-fit polygon. What differs is how much an overlap counts as it deepens.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nesting.solver import circles, prepared, search, severity
from nesting.solver.instance import IntArray
from nesting.solver.nofit import FloatArray
from nesting.solver.severity import (
    CONTACT,
    Floats,
    Singles,
    circle_overlap,
    distance,
    fast,
    is_inside,
)

Overlap = Callable[[Floats, Floats, Singles, int, int, float, float], float]

_WELL_COVERED = 0.8
"""Share of an outline's area from which its circles stand for it where measures are mixed."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A severity: how it is told, by at most how many circles; none is the solver's own.

    With `mixed`, pairs with an outline that its circles don't cover well are marked for depth.
    """

    about: str
    overlap: Overlap | None = None
    circles: int = 8
    mixed: bool = False


@fast
def _depth_inside(edges: Floats, pairs: Floats, row: int, dx: float, dy: float) -> float:
    """How far a place lies inside a no-fit polygon; 0 outside and at contact."""
    if dx <= pairs[row, 0] or dy <= pairs[row, 1] or dx >= pairs[row, 2] or dy >= pairs[row, 3]:
        return 0.0
    count = int(pairs[row, 5])
    if count < 0:
        pairs[row, 5] = -2.0
        return 0.0
    if not is_inside(edges, int(pairs[row, 4]), count, dx, dy):
        return 0.0
    depth = distance(edges, int(pairs[row, 6]), int(pairs[row, 7]), dx, dy)
    return depth if depth >= CONTACT else 0.0


@fast
def _depth(
    edges: Floats, pairs: Floats, circles: Singles, fixed: int, moved: int, dx: float, dy: float
) -> float:
    row = fixed * len(circles) + moved
    return _depth_inside(edges, pairs, row, dx, dy) * abs(pairs[row, 9])


@fast
def _root_of_depth(
    edges: Floats, pairs: Floats, circles: Singles, fixed: int, moved: int, dx: float, dy: float
) -> float:
    row = fixed * len(circles) + moved
    return math.sqrt(_depth_inside(edges, pairs, row, dx, dy)) * pairs[row, 9]


@fast
def _mean_of_both(
    edges: Floats, pairs: Floats, circles: Singles, fixed: int, moved: int, dx: float, dy: float
) -> float:
    row = fixed * len(circles) + moved
    depth = _depth_inside(edges, pairs, row, dx, dy)
    if depth == 0.0:
        return 0.0
    total, _ = circle_overlap(circles, fixed, moved, dx, dy, pairs[row, 8])
    return math.sqrt(math.sqrt(total) * depth) * pairs[row, 9]


@fast
def _by_form(
    edges: Floats, pairs: Floats, circles: Singles, fixed: int, moved: int, dx: float, dy: float
) -> float:
    row = fixed * len(circles) + moved
    if pairs[row, 9] < 0.0:
        return _depth(edges, pairs, circles, fixed, moved, dx, dy)
    return _SHIPPED(edges, pairs, circles, fixed, moved, dx, dy)


_SHIPPED = severity.overlap
OWN = "circles"
"""The measure that the solver uses."""

MEASURES = {
    "depth": Measure("depth in the no-fit polygon", _depth),
    "root": Measure("square root of that depth", _root_of_depth),
    "circles": Measure("8 inscribed circles: what the solver uses"),
    "circles16": Measure("16 inscribed circles", circles=16),
    "mean": Measure("geometric mean of 8 circles and depth", _mean_of_both),
    "mean16": Measure("geometric mean of 16 circles and depth", _mean_of_both, circles=16),
    "form": Measure(
        "8 circles where they cover both outlines to four fifths, else depth", _by_form, mixed=True
    ),
}


class _Mixed(prepared.Prepared):
    """Marks pairs for depth by a negative size factor."""

    def _pair_table(self, outlines: list[IntArray], simple: list[IntArray]) -> FloatArray:
        pairs = super()._pair_table(outlines, simple)
        discs = math.pi * (self.circles[:, 2].astype(np.float64) ** 2).sum(axis=1)
        areas = np.array([prepared._area(outline) for outline in outlines])
        covered = discs >= _WELL_COVERED * areas
        pairs[~np.logical_and.outer(covered, covered).ravel(), 9] *= -1
        return pairs


def use(name: str) -> None:
    """Let this process search with a measure, once and before anything is compiled.

    numba's cache is not to be shared with processes that use another.
    """
    measure = MEASURES[name]
    if measure.overlap is not None:
        severity.overlap = measure.overlap
    circles.MOST = prepared.MOST = measure.circles
    if measure.mixed:
        search.Prepared = _Mixed  # type: ignore[misc]
    search.warm_up()
