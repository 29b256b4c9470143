"""Measures of overlap to compare with the solver's own, each in the form of `severity_at`.

All are times the solver's size factor (a mean of the square roots of the two hulls' areas) and
count for nothing outside the no-fit polygon. What differs is how much an overlap counts as it
deepens.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nesting.solver import circles, fields, search, severity
from nesting.solver.instance import IntArray
from nesting.solver.severity import Floats, Singles, circle_overlap, fast

Severity = Callable[[Singles, Floats, int, int, Floats, float, float], float]

_WELL_COVERED = 0.8
"""Share of an outline's area from which its circles stand for it where measures are mixed."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A severity: how it is told, by at most how many circles; none is the solver's own.

    With `mixed`, pairs with an outline that its circles don't cover well are marked for depth.
    """

    about: str
    severity_at: Severity | None = None
    circles: int = 8
    mixed: bool = False


@fast
def _depth_at(sides: Floats, first: int, last: int, least: float, x: float, y: float) -> float:
    """Depth in a no-fit polygon, with the same tail as that of circles; also outside."""
    nearest, crossed = math.inf, 0
    for k in range(first, last):
        side = sides[k]
        crossed += (side[0] <= y) & (side[1] > y) & (x < side[2] + y * side[3])
        x0, y0, ex, ey = side[4] - x, side[5] - y, side[6] - side[4], side[7] - side[5]
        part = min(1.0, max(0.0, -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)))
        u, v = x0 + part * ex, y0 + part * ey
        nearest = min(nearest, u * u + v * v)
    depth = math.sqrt(nearest) if crossed & 1 == 1 else -math.sqrt(nearest)
    return depth if depth >= least else least * least / (2 * least - depth)


@fast
def depth(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """The depth in the no-fit polygon."""
    return _depth_at(sides, first, last, scale[0], x, y) * abs(float(scale[1]))


@fast
def root_of_depth(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """The square root of that depth."""
    return math.sqrt(_depth_at(sides, first, last, scale[0], x, y)) * scale[1]


@fast
def _mean_of_both(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    by_circles = math.sqrt(circle_overlap(circles, x, y, scale[0]))
    return math.sqrt(by_circles * _depth_at(sides, first, last, scale[0], x, y)) * scale[1]


@fast
def _by_form(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    if scale[1] < 0.0:
        return depth(circles, sides, first, last, scale, x, y)
    return _SHIPPED(circles, sides, first, last, scale, x, y)


_SHIPPED = severity.severity_at
OWN = "circles"
"""The measure that the solver uses."""

MEASURES = {
    "depth": Measure("depth in the no-fit polygon", depth),
    "root": Measure("square root of that depth", root_of_depth),
    "circles": Measure("8 inscribed circles: what the solver uses"),
    "circles16": Measure("16 inscribed circles", circles=16),
    "mean": Measure("geometric mean of 8 circles and depth", _mean_of_both),
    "mean16": Measure("geometric mean of 16 circles and depth", _mean_of_both, circles=16),
    "form": Measure(
        "8 circles where they cover both outlines to four fifths, else depth", _by_form, mixed=True
    ),
}


def _marked(fixed: IntArray, moved: IntArray) -> Floats:
    """The scale of a pair, with a factor below 0 where circles cover one of the two badly."""
    scale = _SCALE_OF(fixed, moved)
    return scale * (1, 1 if _is_covered(fixed) and _is_covered(moved) else -1)


_SCALE_OF = fields.scale_of


def _is_covered(outline: IntArray) -> bool:
    x, y = outline.astype(np.float64).T
    area = abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
    discs = math.pi * (fields.size_of(outline).circles[2] ** 2).sum()
    return bool(discs >= _WELL_COVERED * area)


def use(name: str) -> None:
    """Let this process search with a measure, once and before anything is compiled.

    numba's cache is not to be shared with processes that use another.
    """
    measure = MEASURES[name]
    circles.MOST = measure.circles
    if measure.severity_at is not None:
        severity.severity_at = fields.severity_at = measure.severity_at
    if measure.mixed:
        fields.scale_of = _marked
    search.warm_up()
