"""Curves as the lines of points that are cut: arcs, cubics, smooth curves. Millimetres.

Every curve keeps its ends exactly, and none of its chords strays from it by `tolerance_mm`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from pieces.counts import at_least
from pieces.geometry import rotated, translated
from pieces.piece import Line, Point

TOLERANCE_MM = 0.08
"""Under the tenth of a millimetre that a chord may stray, with room for what an allowance adds."""

_STRAIGHT_RAD = 1e-6
_SHORT = 0.1
"""First and last chord of a curve that ends at seams, over the others."""


def length(line: Sequence[Point]) -> float:
    """Length of an open line.

    >>> length(((0, 0), (3, 4), (3, 5)))
    6.0
    """
    return math.fsum(math.dist(a, b) for a, b in pairwise(line))


def cut_at(line: Line, at_mm: float) -> tuple[Line, Line]:
    """A line as two, parted so far along it.

    Raises
    ------
    ValueError : that is no place between its ends

    >>> cut_at(((0, 0), (10, 0), (10, 10)), 14)
    (((0, 0), (10, 0), (10.0, 4.0)), ((10.0, 4.0), (10, 10)))
    """
    gone = 0.0
    for i, (a, b) in enumerate(pairwise(line)):
        step = math.dist(a, b)
        if 0 < at_mm - gone < step or (at_mm - gone == step and i + 2 < len(line)):
            share = (at_mm - gone) / step
            point = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            return (*line[: i + 1], point), (point, *line[i + 1 :])
        gone += step
    raise ValueError(f"a line of {gone:.3f} mm can't be parted at {at_mm:.3f}")


def onward(a: Point, b: Point, by_mm: float) -> Point:
    """The point so far beyond `b` on the line from `a`; before it where that is less than 0.

    >>> onward((0, 0), (3, 4), 10)
    (9.0, 12.0)
    """
    share = by_mm / math.dist(a, b)
    return b[0] + (b[0] - a[0]) * share, b[1] + (b[1] - a[1]) * share


def arc(
    centre: Point,
    radius_mm: float,
    start_deg: float,
    end_deg: float,
    tolerance_mm: float = TOLERANCE_MM,
    *,
    sewn: bool = False,
) -> Line:
    """Part of a circle, from one angle to another, whichever way that is.

    `sewn` as in `bezier`.

    Raises
    ------
    ValueError : the radius or the tolerance is not above zero

    >>> len(arc((0, 0), 500, 0, 90, tolerance_mm=0.1))
    41
    """
    if radius_mm <= 0 or tolerance_mm <= 0:
        raise ValueError("an arc's radius and tolerance must be above zero")
    sweep = math.radians(end_deg - start_deg)
    # The middle of a chord over the angle s lies radius * (1 - cos(s / 2)) inside the arc.
    step = 2 * math.acos(max(0.5, 1 - tolerance_mm / radius_mm))
    count = max(1, at_least(abs(sweep) / step))
    turns = (start_deg + (end_deg - start_deg) * step for step in _steps(count, sewn))
    return tuple(translated(rotated(((radius_mm, 0.0),), turn), *centre)[0] for turn in turns)


def bezier(
    start: Point,
    pull: Point,
    push: Point,
    end: Point,
    tolerance_mm: float = TOLERANCE_MM,
    *,
    sewn: bool = False,
) -> Line:
    """A cubic Bezier curve that leaves `start` towards `pull` and reaches `end` from `push`.

    Equal steps of the parameter, as many as the curve's second derivative asks for: a chord
    over a step h strays at most h * h / 8 times the greatest second derivative. A `sewn` one ends
    at seams, so its first and last chords are short: they point as the curve itself does there.
    """
    bend = max(
        math.hypot(*(a - 2 * b + c for a, b, c in zip(*three, strict=True)))
        for three in ((start, pull, push), (pull, push, end))
    )
    count = max(1, at_least(math.sqrt(6 * bend / (8 * tolerance_mm))))
    inner = _steps(count, sewn)[1:-1]
    return (start, *(_at(start, pull, push, end, step) for step in inner), end)


def _steps(count: int, sewn: bool) -> list[float]:
    """Shares of a curve at which its points lie, from 0 to 1."""
    short = _SHORT / count
    even = [i / count for i in range(1, count)]
    return [0.0, *([short] if sewn else []), *even, *([1 - short] if sewn else []), 1.0]


def rounded(start: Point, corner: Point, end: Point, tolerance_mm: float = TOLERANCE_MM) -> Line:
    """From a start towards a corner and from there to an end, the corner rounded.

    An arc touches both lines, the widest that they have room for; what is left of the longer one
    stays straight. So no curve between these two directions is less tight.

    >>> rounded((0, 3), (0, 0), (0, -1))
    ((0, 3), (0, -1))
    """
    before, after = math.dist(start, corner), math.dist(corner, end)
    reach = min(before, after)
    into = ((corner[0] - start[0]) / before, (corner[1] - start[1]) / before)
    out = ((end[0] - corner[0]) / after, (end[1] - corner[1]) / after)
    turn = abs(math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1]))
    if turn < _STRAIGHT_RAD:
        return (start, end)
    pull = reach * 4 / 3 * math.tan(turn / 4) / math.tan(turn / 2)
    first = (corner[0] - reach * into[0], corner[1] - reach * into[1])
    last = (corner[0] + reach * out[0], corner[1] + reach * out[1])
    curve = bezier(
        first,
        (first[0] + pull * into[0], first[1] + pull * into[1]),
        (last[0] - pull * out[0], last[1] - pull * out[1]),
        last,
        tolerance_mm,
        sewn=True,
    )
    ends = (start,) if before > reach else (), (end,) if after > reach else ()
    return (*ends[0], *curve, *ends[1])


def _at(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    s = 1 - t
    w = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    return (
        w[0] * a[0] + w[1] * b[0] + w[2] * c[0] + w[3] * d[0],
        w[0] * a[1] + w[1] * b[1] + w[2] * c[1] + w[3] * d[1],
    )


def smooth(points: Sequence[Point], tolerance_mm: float = TOLERANCE_MM) -> Line:
    """A smooth curve through the points, in their order: a cubic between each two.

    Its direction at an inner point is that of the circle through the point and its neighbours;
    an end's mirrors its neighbour's in the chord between them.

    Raises
    ------
    ValueError : fewer than two points, or two neighbours that are the same
    """
    chords = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    spans = [math.hypot(*chord) for chord in chords]
    if not spans or min(spans) == 0:
        raise ValueError("a smooth curve needs two points or more, neighbours apart")
    unit = [(x / span, y / span) for (x, y), span in zip(chords, spans, strict=True)]
    inner = [
        _directed(u, v, before, after)
        for (u, v), (before, after) in zip(pairwise(unit), pairwise(spans), strict=True)
    ]
    first = _mirrored_in(inner[0], unit[0]) if inner else unit[0]
    last = _mirrored_in(inner[-1], unit[-1]) if inner else unit[-1]
    ways = [first, *inner, last]
    line: list[Point] = [points[0]]
    for i, span in enumerate(spans):
        (ax, ay), (bx, by) = points[i], points[i + 1]
        (ux, uy), (vx, vy) = ways[i], ways[i + 1]
        third = span / 3
        pull, push = (ax + ux * third, ay + uy * third), (bx - vx * third, by - vy * third)
        line += bezier(points[i], pull, push, points[i + 1], tolerance_mm)[1:]
    return tuple(line)


def _directed(u: Point, v: Point, before: float, after: float) -> Point:
    x, y = u[0] * after + v[0] * before, u[1] * after + v[1] * before
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 1e-12 else u


def _mirrored_in(way: Point, chord: Point) -> Point:
    along = 2 * (way[0] * chord[0] + way[1] * chord[1])
    return along * chord[0] - way[0], along * chord[1] - way[1]
