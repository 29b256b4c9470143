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

from nesting.solver import search
from nesting.solver.instance import IntArray
from nesting.solver.overlap import circles, fields, severity
from nesting.solver.overlap.bundles import Floats, Singles
from nesting.solver.overlap.severity import circle_overlap, depth_at, fast

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
def depth(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """The depth in the no-fit polygon."""
    return depth_at(sides, first, last, scale[0], x, y) * abs(float(scale[1]))


@fast
def root_of_depth(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """The square root of that depth."""
    return math.sqrt(depth_at(sides, first, last, scale[0], x, y)) * scale[1]


@fast
def by_circles(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """The overlap of inscribed circles."""
    return math.sqrt(circle_overlap(circles, x, y, scale[0])) * scale[1]


@fast
def _by_form(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    if scale[1] < 0.0:
        return depth(circles, sides, first, last, scale, x, y)
    return by_circles(circles, sides, first, last, scale, x, y)


OWN = "mean"
"""The measure that the solver uses."""

MEASURES = {
    "depth": Measure("depth in the no-fit polygon", depth),
    "root": Measure("square root of that depth", root_of_depth),
    "circles": Measure("8 inscribed circles", by_circles),
    "circles16": Measure("16 inscribed circles", by_circles, circles=16),
    "mean": Measure("geometric mean of 8 circles and depth: what the solver uses"),
    "mean16": Measure("geometric mean of 16 circles and depth", circles=16),
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
