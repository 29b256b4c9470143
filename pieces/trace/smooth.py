"""A traced edge as lines and curves: noise taken out, true corners kept, straight edges straight.

Millimetres. Corners are where the edge turns sharply within a few millimetres; between them it is
a straight line where it strays from one by no more than noise, else a smoothing spline (Dierckx,
Curve and Surface Fitting with Splines, 1993).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pieces.geometry import anticlockwise
from pieces.piece import Outline
from pieces.trace.camera import Points

_STEP_MM = 0.5
_ARM_MM = 5.0
_CORNER_DEG = 14.0
_CLEAR_MM = 2.5
"""So much beside a corner the picture rounds it, and it is left out of what is fitted."""
_STRAIGHT_MM = 0.45
_NOISE_MM = 0.12
_CHORD_MM = 0.05


def smoothed(points: Points) -> Outline:
    """An outline, anticlockwise, of points round a piece in their order, y upwards."""
    ring = _evenly(points, _STEP_MM)
    corners = _corners(ring)
    if len(corners) < 2:
        return anticlockwise(_round(np.roll(ring, -corners[0], axis=0) if corners else ring))
    parts = [
        _Part(_between(ring, here, there))
        for here, there in zip(corners, [*corners[1:], corners[0] + len(ring)], strict=True)
    ]
    outline: list[tuple[float, float]] = []
    for before, part in zip([parts[-1], *parts[:-1]], parts, strict=True):
        corner = _meeting(before, part)
        inner = part.points[1:-1] if len(part.points) > 2 else part.points[:0]
        outline.append((float(corner[0]), float(corner[1])))
        outline += [(float(x), float(y)) for x, y in inner]
    return anticlockwise(tuple(outline))


class _Part:
    """The edge from one corner to the next, as a straight line or a curve."""

    def __init__(self, raw: Points) -> None:
        clear = round(_CLEAR_MM / _STEP_MM)
        inner = raw[clear:-clear] if len(raw) > 4 * clear else raw[len(raw) // 4 : -len(raw) // 4]
        inner = inner if len(inner) >= 3 else raw
        middle, way = _line_through(inner)
        off = np.abs((inner - middle) @ np.array([-way[1], way[0]]))
        # The largest of many is off by more than noise; the ninth tenth is not.
        self.straight = bool(np.quantile(off, 0.97) <= _STRAIGHT_MM)
        if self.straight:
            ends = (raw[[0, -1]] - middle) @ way
            self.points = middle + ends[:, None] * way
        else:
            self.points = _curve(inner, raw[0], raw[-1])
        self.first = self.points[0], self.points[1] - self.points[0]
        self.last = self.points[-1], self.points[-1] - self.points[-2]
        self.raw_start, self.raw_end = raw[0], raw[-1]


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


def _curve(inner: Points, start: Points, end: Points) -> Points:
    """A smoothing spline through points, lengthened to where the part begins and ends."""
    from scipy.interpolate import splev, splprep  # takes a while to load

    weights = np.full(len(inner), 1 / _NOISE_MM)
    spline, _ = splprep(inner.T, w=weights, s=len(inner) * 1.0, k=3)
    count = max(8, len(inner))
    fine = np.stack(splev(np.linspace(0, 1, count), spline), axis=1)
    return _thinned(
        np.concatenate([[_carried(fine[:4], start)], fine, [_carried(fine[:-5:-1], end)]])
    )


def _carried(tip: Points, target: Points) -> Points:
    """The tip of a curve carried straight on to beside a point beyond it."""
    way = tip[0] - tip[-1]
    way = way / max(float(np.hypot(*way)), 1e-9)
    result: Points = tip[0] + max(0.0, float((target - tip[0]) @ way)) * way
    return result


def _round(ring: Points) -> Outline:
    """A ring without corners, as a closed smoothing spline."""
    from scipy.interpolate import splev, splprep  # takes a while to load

    closed = np.concatenate([ring, ring[:1]])
    weights = np.full(len(closed), 1 / _NOISE_MM)
    spline, _ = splprep(closed.T, w=weights, s=len(closed) * 1.0, k=3, per=True)
    fine = np.stack(splev(np.linspace(0, 1, len(ring) + 1), spline), axis=1)
    return tuple((float(x), float(y)) for x, y in _thinned(fine)[:-1])


def _thinned(points: Points) -> Points:
    """Points of a curve, without those that its chords pass within a hair."""
    from shapely.geometry import LineString  # takes a while to load

    return np.array(LineString(points).simplify(_CHORD_MM).coords)


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
