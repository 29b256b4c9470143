"""Outlines of very many corners, drawn with fewer for the search.

Round them for what is kept apart, so that no two pieces overlap; within them for what is proven,
so that no bound is too long. What is cut, drawn and verified is always the outline itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

import numpy as np

from nesting.packing.grown import grown
from pieces.geometry import anticlockwise
from pieces.piece import Outline

_MANY = 400
"""An outline with no more corners stays as it is."""
_MOST = 800
"""Corners that the search can do with: its work grows with their square."""
_FINE_MM = 0.005
"""An outline may stray by twice as much at first, a tenth of a sewing thread; by twice as much
again each time until its corners are few enough."""


def drawn(outline: Outline, by_mm: float) -> tuple[Outline, Outline | None]:
    """An outline as the search has it, and one within it if that is another; both grown."""
    if len(outline) <= _MANY:
        return grown(outline, by_mm), None
    return grown(drawn_round(outline), by_mm), grown(drawn_within(outline), by_mm)


@lru_cache(maxsize=256)
def drawn_round(outline: Outline) -> Outline:
    """An outline of fewer corners that holds the given one, in mm."""
    from shapely.geometry import Polygon  # takes a while to load

    for off_mm in _finer_to_coarser():
        # Whatever is at least so far outside may move so far without coming inside.
        wider = Polygon(outline).buffer(off_mm, join_style="mitre").exterior.simplify(off_mm)
        if len(wider.coords) <= _MOST:
            break
    return _corners(wider.coords)


@lru_cache(maxsize=256)
def drawn_within(outline: Outline) -> Outline:
    """An outline of fewer corners that the given one holds, in mm."""
    from shapely import get_parts
    from shapely.geometry import Polygon

    for off_mm in _finer_to_coarser():
        narrower = Polygon(outline).buffer(-off_mm, join_style="mitre").simplify(off_mm)
        if narrower.is_empty:
            return outline
        largest = max(get_parts(narrower), key=lambda part: float(part.area))
        if len(largest.exterior.coords) <= _MOST:
            break
    return _corners(largest.exterior.coords)


def same_corners(one: Outline, other: Outline, tolerance_mm: float = 0.002) -> bool:
    """Whether two outlines have the same corners, wherever each begins."""
    if len(one) != len(other):
        return False
    a, b = np.asarray(one), np.asarray(other)
    starts = np.flatnonzero(np.abs(b - a[0]).max(axis=1) <= tolerance_mm)
    return any(np.abs(np.roll(b, -start, axis=0) - a).max() <= tolerance_mm for start in starts)


def _finer_to_coarser() -> Iterator[float]:
    off_mm = _FINE_MM
    while True:
        yield off_mm
        off_mm *= 2


def _corners(closed: Iterable[tuple[float, ...]]) -> Outline:
    corners = tuple((corner[0], corner[1]) for corner in closed)
    return anticlockwise(corners[:-1])
