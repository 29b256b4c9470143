"""Outlines with fewer corners that hold the given ones, for a search that need not be exact."""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.instance import IntArray

_ENOUGH = 20
_FIT = 0.002
"""How far an edge may move outward, as a share of the outline's diameter."""

Corner = tuple[float, float]


def simplified(outline: IntArray, enough: int = _ENOUGH) -> IntArray:
    """An outline around the given one, with edges dropped while none moves out far.

    Hollow corners are bridged and short edges on bulges cut off by their neighbours, the least
    change first, down to `enough` corners. New corners are rounded to whole units.
    """
    corners = [(float(x), float(y)) for x, y in outline]
    limit = _FIT * float(np.hypot(*np.ptp(outline, axis=0)))
    changes = [_change(corners, i) for i in range(len(corners))]
    while len(corners) > enough:
        best = min(range(len(corners)), key=lambda i: changes[i][0])
        if changes[best][0] > limit:
            break
        _apply(corners, best, changes[best][1])
        del changes[best]
        for beside in range(best - 2, best + 2):
            i = beside % len(corners)
            changes[i] = _change(corners, i)
    found = np.rint(corners).astype(np.int64)
    return found if len(found) < len(outline) and _is_simple(found) else outline


def _change(corners: list[Corner], i: int) -> tuple[float, Corner | None]:
    """What dropping corner i, or the edge that begins there, moves outward; the new corner."""
    n = len(corners)
    before, here, after, beyond = (corners[(i + k) % n] for k in (-1, 0, 1, 2))
    if _turn(before, here, after) <= 0:
        return _height(before, here, after), None
    if _turn(here, after, beyond) <= 0:
        return math.inf, None
    meeting = _meeting(before, here, after, beyond)
    if meeting is None:
        return math.inf, None
    return _height(here, meeting, after), meeting


def _apply(corners: list[Corner], i: int, meeting: Corner | None) -> None:
    if meeting is not None:
        corners[(i + 1) % len(corners)] = meeting
    del corners[i]


def _turn(a: Corner, b: Corner, c: Corner) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _height(a: Corner, b: Corner, c: Corner) -> float:
    """How far b lies from the line through a and c."""
    base = math.dist(a, c)
    return abs(_turn(a, b, c)) / base if base > 0 else math.inf


def _meeting(a: Corner, b: Corner, c: Corner, d: Corner) -> Corner | None:
    """Where the line from a past b meets the one from d past c."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - d[0], c[1] - d[1]
    cross = ux * vy - uy * vx
    if cross == 0:
        return None
    part = ((d[0] - a[0]) * vy - (d[1] - a[1]) * vx) / cross
    other = ((d[0] - a[0]) * uy - (d[1] - a[1]) * ux) / cross
    return (a[0] + part * ux, a[1] + part * uy) if part >= 1 and other >= 1 else None


def _is_simple(outline: IntArray) -> bool:
    from shapely.geometry import Polygon

    return bool(Polygon(outline).is_valid)
