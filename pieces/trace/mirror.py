"""Pieces whose halves mirror each other: the middle line, and one half made of both.

A piece that mirrors itself in more than one line, as a rectangle or a round one does, is left as
it is: nothing tells which of them is its middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pieces.piece import Outline, Point
from pieces.trace.camera import Points
from pieces.trace.smooth import Shape, smoothed

_ALIKE_MM = 1.5
"""Halves cut from folded paper differ by less; a choice of ours."""
_LIKELY = 0.05
"""Of the area: what may lie beside its mirror image in a line that is worth a closer look."""
_STEP_DEG = 1.5
_MANY = 6
"""Lines in which no piece of clothes mirrors itself, but what is round does."""
_ON_LINE_MM = 0.3
_STEP_MM = 0.5


@dataclass(frozen=True, slots=True)
class Half:
    """One half of a piece, the mean of both, with its edge on the fold.

    `apart_mm` is how far the two lay apart at most.
    """

    shape: Shape
    fold: tuple[Point, Point]
    apart_mm: float


@dataclass(frozen=True, slots=True)
class _Axis:
    """A line at an angle, so far to the left of the origin."""

    turn_rad: float
    off_mm: float

    def _turn(self) -> NDArray[np.float64]:
        cos, sin = np.cos(self.turn_rad), np.sin(self.turn_rad)
        return np.array([[cos, -sin], [sin, cos]])

    def own(self, points: Points) -> Points:
        """Points along the line and off it to the left."""
        result: Points = points @ self._turn() - (0.0, self.off_mm)
        return result

    def back(self, own: Points) -> Points:
        """The points that lie so."""
        result: Points = (own + np.array([0.0, self.off_mm])) @ self._turn().T
        return result

    def mirrored(self, points: Points) -> Points:
        return self.back(self.own(points) * (1.0, -1.0))


def halved(ring: Points, outline: Outline) -> Half | None:
    """The half of a piece whose halves mirror each other; None if they don't, or in many lines.

    The piece is given by the points of its edge, and by the outline that was made of them.
    """
    smooth = np.array(outline)
    found = [
        axis for axis in _likely(ring, outline) if _apart(ring, smooth, axis).max() <= _ALIKE_MM
    ]
    return _half(ring, smooth, found[0]) if len(found) == 1 else None


def _likely(ring: Points, outline: Outline) -> list[_Axis]:
    """The lines in which a piece may mirror itself, each put where it does best."""
    from shapely.affinity import affine_transform  # takes a while to load
    from shapely.geometry import Polygon

    whole = Polygon(outline)
    x, y = whole.centroid.coords[0]

    def beside(turn_deg: float) -> float:
        cos, sin = np.cos(np.radians(2 * turn_deg)), np.sin(np.radians(2 * turn_deg))
        there = affine_transform(
            whole, [cos, sin, sin, -cos, x - cos * x - sin * y, y - sin * x + cos * y]
        )
        return float(whole.symmetric_difference(there).area / whole.area)

    turns = np.arange(0.0, 180.0, _STEP_DEG)
    shares = np.array([beside(turn) for turn in turns])
    lowest = (shares <= np.roll(shares, 1)) & (shares < np.roll(shares, -1))
    likely = turns[lowest & (shares <= _LIKELY)]
    if len(likely) > _MANY:
        return []
    some = ring[:: max(1, len(ring) // 400)]
    return [_settled(some, np.array(outline), np.radians(turn), (x, y)) for turn in likely]


def _settled(some: Points, smooth: Points, turn_rad: float, middle: Point) -> _Axis:
    """A line turned and moved until the halves lie on each other as well as they can."""
    from scipy.optimize import least_squares  # takes a while to load

    def axis(change: NDArray[np.float64]) -> _Axis:
        turn = turn_rad + change[0] / 100
        off = -np.sin(turn) * middle[0] + np.cos(turn) * middle[1]
        return _Axis(turn, float(off + change[1]))

    best = least_squares(
        lambda change: _apart(some, smooth, axis(change)), [0.0, 0.0], diff_step=1e-4
    )
    return axis(best.x)


def _apart(points: Points, smooth: Points, axis: _Axis) -> NDArray[np.float64]:
    """How far points of an edge lie from the mirror image of its outline."""
    import shapely  # takes a while to load

    there = shapely.linearrings(axis.mirrored(smooth))
    return np.asarray(shapely.distance(shapely.points(points), there), dtype=np.float64)


def _half(ring: Points, smooth: Points, axis: _Axis) -> Half | None:
    """The mean of both halves; None where the line parts the piece in more than two."""
    import shapely  # takes a while to load

    there = shapely.linearrings(axis.mirrored(smooth))
    spots = shapely.points(ring)
    feet = shapely.get_coordinates(
        shapely.line_interpolate_point(there, shapely.line_locate_point(there, spots))
    )
    own = axis.own((ring + feet) / 2)
    above = own[:, 1] > 0
    starts = np.nonzero(above & ~np.roll(above, 1))[0]
    if len(starts) != 1:
        return None
    own, above = np.roll(own, -starts[0], axis=0), np.roll(above, -starts[0])
    half = own[above]
    first, last = (_crossing(half[i], own[j]) for i, j in ((0, -1), (-1, int(above.sum()))))
    count = max(2, int(abs(last[0] - first[0]) / _STEP_MM))
    fold = np.linspace(last, first, count)
    drawn = smoothed(np.concatenate([half, fold]))
    edge = _fold_edge(drawn)
    if edge is None:
        return None
    moved = drawn.moved(lambda point: _point(axis, point))
    ends = _point(axis, edge[0]), _point(axis, edge[1])
    return Half(moved, ends, float(_apart(ring, smooth, axis).max()))


def _crossing(inside: NDArray[np.float64], outside: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where the edge crosses the line, between two neighbours."""
    share = inside[1] / max(inside[1] - outside[1], 1e-9)
    return np.array([inside[0] + share * (outside[0] - inside[0]), 0.0])


def _fold_edge(drawn: Shape) -> tuple[Point, Point] | None:
    """The straight part on the line."""
    ends = [drawn.start, *(part[-1] for part in drawn.parts)]
    for (start, end), part in zip(pairwise(ends), drawn.parts, strict=True):
        if len(part) == 1 and max(abs(start[1]), abs(end[1])) <= _ON_LINE_MM:
            return start, end
    return None


def _point(axis: _Axis, own: Point) -> Point:
    x, y = axis.back(np.array([own]))[0]
    return float(x), float(y)
