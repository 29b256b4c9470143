"""A traced edge as lines and curves: noise taken out, true corners kept, straight edges straight.

Millimetres. Corners are where the edge turns sharply within a few millimetres; between them it is
a straight line where it strays from one by no more than noise, else a smoothing spline (Dierckx,
Curve and Surface Fitting with Splines, 1993), which is a chain of cubic Bezier curves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pieces.curves import bezier
from pieces.geometry import signed_area
from pieces.piece import Outline, Point
from pieces.trace.camera import Points

_STEP_MM = 0.5
_ARM_MM = 5.0
_CORNER_DEG = 14.0
_CLEAR_MM = 2.5
"""So much beside a corner the picture rounds it, and it is left out of what is fitted."""
_STRAIGHT_MM = 0.45
_NOISE_MM = 0.12
_CHORD_MM = 0.05


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed line, anticlockwise: from its start on, each part a line or a curve.

    A part holds its end, or the two points that pull a cubic Bezier curve and its end. `corners`
    are those of the ends at which it is not smooth.
    """

    start: Point
    parts: tuple[tuple[Point, ...], ...]
    corners: tuple[Point, ...] = ()

    @property
    def outline(self) -> Outline:
        """The same as points."""
        points = [self.start]
        for part in self.parts:
            if len(part) == 1:
                points.append(part[0])
            else:
                pull, push, end = part
                points += bezier(points[-1], pull, push, end, _CHORD_MM)[1:]
        return tuple(points[:-1])

    def moved(self, move: Callable[[Point], Point]) -> Shape:
        """The shape with all its points moved."""
        parts = tuple(tuple(map(move, part)) for part in self.parts)
        return Shape(move(self.start), parts, tuple(map(move, self.corners)))


def smoothed(points: Points) -> Shape:
    """The shape, anticlockwise, of points round a piece in their order, y upwards."""
    ring = _evenly(points, _STEP_MM)
    if signed_area(tuple(map(tuple, ring))) < 0:
        ring = ring[::-1]
    corners = _corners(ring)
    if not corners:
        return _round(ring)
    parts = [
        _Part(_between(ring, here, there))
        for here, there in zip(corners, [*corners[1:], corners[0] + len(ring)], strict=True)
    ]
    meetings = [
        _meeting(before, part) for before, part in zip([parts[-1], *parts[:-1]], parts, strict=True)
    ]
    drawn: list[tuple[Point, ...]] = []
    for part, start, end in zip(parts, meetings, [*meetings[1:], meetings[0]], strict=True):
        drawn += part.drawn(start, end)
    return Shape(_point(meetings[0]), tuple(drawn), tuple(map(_point, meetings)))


class _Part:
    """The edge from one corner to the next, as a straight line or a curve."""

    def __init__(self, raw: Points) -> None:
        clear = round(_CLEAR_MM / _STEP_MM)
        inner = raw[clear:-clear] if len(raw) > 4 * clear else raw[len(raw) // 4 : -len(raw) // 4]
        self._inner = inner if len(inner) >= _LEAST else raw
        middle, way = _line_through(self._inner)
        off = np.abs((self._inner - middle) @ np.array([-way[1], way[0]]))
        # The largest of many is off by more than noise; the ninth tenth is not.
        self._straight = bool(np.quantile(off, 0.97) <= _STRAIGHT_MM) or len(self._inner) < _LEAST
        if self._straight:
            points = middle + ((raw[[0, -1]] - middle) @ way)[:, None] * way
        else:
            points = _evaluated(_spline(self._inner, np.full(len(self._inner), 1 / _NOISE_MM)))
            points = np.concatenate(
                [[_carried(points[:4], raw[0])], points, [_carried(points[:-5:-1], raw[-1])]]
            )
        self.first = points[0], points[1] - points[0]
        self.last = points[-1], points[-1] - points[-2]

    def drawn(
        self, start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> list[tuple[Point, ...]]:
        """Its parts, from the corner where it starts to that where it ends."""
        if self._straight:
            return [(_point(end),)]
        head, tail = _stepped(start, self._inner[0]), _stepped(end, self._inner[-1])[::-1]
        points = np.concatenate([head, self._inner, tail])
        weights = np.full(len(points), 1 / _NOISE_MM)
        weights[[0, -1]] *= _HELD
        drawn = _beziers(_spline(points, weights))
        drawn[-1] = (*drawn[-1][:-1], _point(end))
        return drawn


_LEAST = 5
_HELD = 100.0
"""How much more the ends of a curve count, which are its corners, than a point of its edge."""


def _stepped(corner: NDArray[np.float64], inner: NDArray[np.float64]) -> Points:
    """Points from a corner straight towards the edge that is clear of it."""
    count = max(1, int(np.hypot(*(inner - corner)) / _STEP_MM))
    result: Points = corner + np.arange(count)[:, None] / count * (inner - corner)
    return result


def _meeting(before: _Part, after: _Part) -> NDArray[np.float64]:
    """The corner between two parts: where both would meet, if that is near."""
    (a, u), (b, v) = before.last, after.first
    cross = u[0] * v[1] - u[1] * v[0]
    middle: NDArray[np.float64] = (a + b) / 2
    if abs(cross) < 0.1 * np.hypot(*u) * np.hypot(*v):
        return middle
    along = ((b - a)[0] * v[1] - (b - a)[1] * v[0]) / cross
    found: NDArray[np.float64] = a + along * u
    return found if np.hypot(*(found - middle)) <= 3 * _CLEAR_MM else middle


def _line_through(points: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The middle and the way of the straight line nearest to points."""
    middle = points.mean(axis=0)
    _, _, ways = np.linalg.svd(points - middle, full_matrices=False)
    way = ways[0] if (points[-1] - points[0]) @ ways[0] >= 0 else -ways[0]
    return middle, way


def _spline(points: Points, weights: NDArray[np.float64], *, closed: bool = False) -> Any:
    """A smoothing spline through points, as knots, coefficients and degree."""
    from scipy.interpolate import splprep  # takes a while to load

    spline, _ = splprep(points.T, w=weights, s=len(points) * 1.0, k=3, per=closed)
    return spline


def _evaluated(spline: Any) -> Points:
    from scipy.interpolate import splev  # takes a while to load

    return np.stack(splev(np.linspace(0, 1, 200), spline), axis=1)


def _beziers(spline: Any) -> list[tuple[Point, ...]]:
    """A spline as a chain of cubic Bezier curves, each by its pulls and its end."""
    from scipy.interpolate import BPoly, PPoly  # takes a while to load

    knots, coefficients, degree = spline
    both = [
        BPoly.from_power_basis(PPoly.from_spline((knots, values, degree))).c
        for values in coefficients
    ]
    spans = [
        index
        for index, (here, there) in enumerate(pairwise(knots))
        if there > here and here >= 0 and there <= 1
    ]
    return [
        tuple((float(both[0][row, span]), float(both[1][row, span])) for row in (1, 2, 3))
        for span in spans
    ]


def _carried(tip: Points, target: Points) -> Points:
    """The tip of a curve carried straight on to beside a point beyond it."""
    way = tip[0] - tip[-1]
    way = way / max(float(np.hypot(*way)), 1e-9)
    result: Points = tip[0] + max(0.0, float((target - tip[0]) @ way)) * way
    return result


def _round(ring: Points) -> Shape:
    """A ring without corners, as a closed smoothing spline."""
    closed = np.concatenate([ring, ring[:1]])
    drawn = _beziers(_spline(closed, np.full(len(closed), 1 / _NOISE_MM), closed=True))
    return Shape(drawn[-1][-1], tuple(drawn))


def _point(at: NDArray[np.float64]) -> Point:
    return float(at[0]), float(at[1])


def _between(ring: Points, here: int, there: int) -> Points:
    result: Points = np.take(ring, np.arange(here, there + 1), axis=0, mode="wrap")
    return result


def _corners(ring: Points) -> list[int]:
    """Where the ring turns sharply: the places of the greatest turns."""
    arm = round(_ARM_MM / _STEP_MM)
    ahead = np.roll(ring, -arm, axis=0) - np.roll(ring, -2, axis=0)
    behind = np.roll(ring, 2, axis=0) - np.roll(ring, arm, axis=0)
    turn = np.arctan2(
        behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0], np.sum(behind * ahead, axis=1)
    )
    sharp = np.abs(np.degrees(turn))
    found: list[int] = []
    for index in np.argsort(-sharp):
        if sharp[index] < _CORNER_DEG:
            break
        if all(min((index - one) % len(ring), (one - index) % len(ring)) > arm for one in found):
            found.append(int(index))
    return sorted(found)


def _evenly(points: Points, step: float) -> Points:
    closed = np.concatenate([points, points[:1]])
    gone = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    at = np.linspace(0, gone[-1], max(16, int(gone[-1] / step)), endpoint=False)
    return np.stack([np.interp(at, gone, closed[:, i]) for i in (0, 1)], axis=1)
