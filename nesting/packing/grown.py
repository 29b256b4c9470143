"""Outlines with half the gap added all round, so that pieces whose outlines touch keep it."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from pieces.geometry import anticlockwise
from pieces.piece import Outline

_CORNERS = 32
"""Of the regular polygon, drawn about its circle, that stands for it where outlines are grown."""


@lru_cache(maxsize=1024)
def grown(outline: Outline, by_mm: float) -> Outline:
    """The outline with `by_mm` added all round: never less, and at most 0.5 % more.

    What a polygon about the circle covers as it goes along every edge. A library's offset is
    quicker, but drops shallow corners before it begins, and cuts arcs short.
    """
    from shapely import convex_hull, get_coordinates, get_exterior_ring, multipoints, union_all
    from shapely.geometry import Polygon

    if by_mm == 0:
        return outline
    angles = np.arange(_CORNERS) * (2 * math.pi / _CORNERS)
    radius = by_mm / math.cos(math.pi / _CORNERS)
    round_it = radius * np.column_stack((np.cos(angles), np.sin(angles)))
    tails = np.asarray(outline)[:, None] + round_it
    ends = np.concatenate((tails, np.roll(tails, -1, axis=0)), axis=1)
    covered = union_all([Polygon(outline), *map(convex_hull, multipoints(list(ends)))])
    ring = get_coordinates(get_exterior_ring(covered))
    return anticlockwise(tuple((float(x), float(y)) for x, y in ring[:-1]))
