"""Lines that are drawn as many short strokes, put together again."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pieces.curves import length
from pieces.importers.strokes import Stroke, chained
from pieces.piece import Line, Point

_Points = NDArray[np.float64]
_LONGEST_DASH_MM = 25.0
_WIDEST_GAP_MM = 8.0
_GAP_TO_DASH = 1.5
_LEAST_DASHES = 6
_TURN_DEG = 40.0
_CORNER = 2.5
"""At a corner both dashes may end short, so that the gap there is so many times as wide."""


def undashed(strokes: Sequence[Stroke]) -> list[Stroke]:
    """The strokes, dashes of one group that follow one another made one line."""
    groups: dict[str, list[Stroke]] = defaultdict(list)
    for stroke in strokes:
        groups[stroke.group].append(stroke)
    found: list[Stroke] = []
    for group in groups.values():
        short = [s for s in group if not s.closed and length(s.line) <= _LONGEST_DASH_MM]
        found += [s for s in group if s.closed or length(s.line) > _LONGEST_DASH_MM]
        found += _linked(short) if len(short) >= _LEAST_DASHES else short
    return found


def _linked(dashes: Sequence[Stroke]) -> list[Stroke]:
    """Dashes linked where each end is the other's nearest that goes on in its direction."""
    reach = min(_WIDEST_GAP_MM, _GAP_TO_DASH * float(np.median([length(s.line) for s in dashes])))
    links = _links(dashes, reach)
    lines: list[Stroke] = []
    free = set(range(len(dashes)))
    for start in range(len(dashes)):
        if start not in free:
            continue
        free.discard(start)
        line, count = _followed(dashes, links, (start, 1), dashes[start].line, free)
        line, more = _followed(dashes, links, (start, 0), line[::-1], free)
        shut = (
            links.get((start, 0)) is not None
            and count + more >= 2
            and (math.dist(line[0], line[-1]) <= reach)
        )
        lines.append(replace(dashes[start], line=line, closed=shut and len(line) > 3))
    closed = [one for one in lines if one.closed]
    long = [one for one in lines if not one.closed and length(one.line) > 2 * _LONGEST_DASH_MM]
    rest = [one for one in lines if not one.closed and length(one.line) <= 2 * _LONGEST_DASH_MM]
    done, loose = chained([_cornered(one, long, reach) for one in long], _CORNER * reach)
    return [*closed, *done, *loose, *rest]


def _links(dashes: Sequence[Stroke], reach: float) -> dict[tuple[int, int], tuple[int, int]]:
    from scipy.spatial import cKDTree  # takes a while to load

    ends = [(index, end) for index in range(len(dashes)) for end in (0, 1)]
    at = np.array([dashes[index].line[-end] for index, end in ends])
    way = np.array([_outward(dashes[index].line, end) for index, end in ends])
    tree = cKDTree(at)
    best: dict[int, int] = {}
    for here, near in enumerate(tree.query_ball_point(at, reach)):
        found = [
            there
            for there in near
            if ends[there][0] != ends[here][0] and _goes_on(at, way, here, there)
        ]
        if found:
            best[here] = min(found, key=lambda there: math.dist(at[here], at[there]))
    return {ends[a]: ends[b] for a, b in best.items() if best.get(b) == a}


def _goes_on(at: _Points, way: _Points, here: int, there: int) -> bool:
    """Whether an end leads on to another: both look at each other, and hardly turn."""
    least = math.cos(math.radians(_TURN_DEG))
    if float(way[here] @ way[there]) > -least:
        return False
    gap = at[there] - at[here]
    size = float(np.hypot(*gap))
    return size < 0.05 or float(gap @ way[here]) / size >= least


def _outward(line: Line, end: int) -> Point:
    a, b = (line[1], line[0]) if end == 0 else (line[-2], line[-1])
    size = math.dist(a, b) or 1.0
    return (b[0] - a[0]) / size, (b[1] - a[1]) / size


def _followed(
    dashes: Sequence[Stroke],
    links: dict[tuple[int, int], tuple[int, int]],
    last: tuple[int, int],
    line: Line,
    free: set[int],
) -> tuple[Line, int]:
    """The line, continued over the dashes that follow; and how many did."""
    points, count = list(line), 0
    while (found := links.get(last)) is not None and found[0] in free:
        index, end = found
        free.discard(index)
        more = dashes[index].line
        points += more if end == 0 else more[::-1]
        last = (index, 1 - end)
        count += 1
    return tuple(points), count


def _cornered(stroke: Stroke, others: Sequence[Stroke], reach: float) -> Stroke:
    """A line lengthened at its ends to where it would meet another's end at a corner."""
    line = stroke.line
    for end in (0, 1):
        tip, way = line[-end], _outward(line, end)
        corners = [
            corner
            for other in others
            for far in (0, 1)
            if (other is not stroke or far != end)
            and 0.05 < math.dist(tip, other.line[-far]) <= _CORNER * reach
            and (corner := _crossing(tip, way, other.line[-far], _outward(other.line, far)))
            and max(math.dist(corner, tip), math.dist(corner, other.line[-far])) <= 2 * reach
        ]
        if corners:
            nearest = min(corners, key=lambda corner: math.dist(corner, tip))
            line = (nearest, *line) if end == 0 else (*line, nearest)
    return replace(stroke, line=line)


def _crossing(a: Point, u: Point, b: Point, v: Point) -> Point | None:
    """Where two rays meet ahead of both their starts."""
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 0.17:  # less than 10 degrees apart
        return None
    dx, dy = b[0] - a[0], b[1] - a[1]
    along, other = (dx * v[1] - dy * v[0]) / cross, (dx * u[1] - dy * u[0]) / cross
    return (a[0] + along * u[0], a[1] + along * u[1]) if along > -1 and other > -1 else None
