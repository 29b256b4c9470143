"""Lines cut off at the edges of a box, as a page or the frame on it shows them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pieces.pdf.pages import DrawnLine
from pieces.piece import Point

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""
_BEYOND_MM = 0.005
"""What lies so little outside still lies inside: the library keeps 24 bits of a number."""


def clipped(drawn: DrawnLine, box: Box) -> Iterator[DrawnLine]:
    """The parts of a line that lie in a box; the line itself where all of it does."""
    if box[2] <= box[0] or box[3] <= box[1]:
        return
    if all(_inside(point, box) for point in drawn.line):
        yield drawn
        return
    way = (*drawn.line, drawn.line[0]) if drawn.closed else drawn.line
    part: list[Point] = []
    parts: list[list[Point]] = []
    for a, b in pairwise(way):
        kept = _segment(a, b, box)
        if kept is None:
            continue
        if not part or part[-1] != kept[0]:
            part = [kept[0]]
            parts.append(part)
        part.append(kept[1])
    if drawn.closed and len(parts) > 1 and parts[-1][-1] == parts[0][0]:
        parts[0] = parts.pop() + parts[0][1:]
    for points in parts:
        if any(a != b for a, b in pairwise(points)):
            yield replace(drawn, line=tuple(points), closed=False)


def _inside(point: Point, box: Box) -> bool:
    (x, y), (left, low, right, high) = point, box
    off = _BEYOND_MM
    return left - off <= x <= right + off and low - off <= y <= high + off


def _segment(a: Point, b: Point, box: Box) -> tuple[Point, Point] | None:
    """What of a straight line lies in a box (Liang and Barsky 1984)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    start, end = 0.0, 1.0
    for slope, room in (
        (-dx, a[0] - box[0]), (dx, box[2] - a[0]), (-dy, a[1] - box[1]), (dy, box[3] - a[1]),
    ):  # fmt: skip
        if slope == 0:
            if room < 0:
                return None
        elif slope < 0:
            start = max(start, room / slope)
        else:
            end = min(end, room / slope)
    if start > end:
        return None
    first = a if start == 0 else (a[0] + start * dx, a[1] + start * dy)
    last = b if end == 1 else (a[0] + end * dx, a[1] + end * dy)
    return first, last
