"""The lines of a drawing, joined end to end into closed ones. Millimetres.

What is repaired leaves the shape as it was meant, and is told.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from pieces.geometry import bounds, without_repeats
from pieces.importers.gathering import Gathering
from pieces.piece import Line, Point
from pieces.units import Unit, format_length

SAME_MM = 0.01
"""Ends nearer than this are one point."""
GAP_MM = 1.0
"""Ends nearer than this were meant to meet: no seam is sewn finer; common practice."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of a drawing; only strokes of one `group` are joined with each other.

    `place` counts them in the order drawn; `grain` tells that its name, or its layer's, is that of
    a grain line, `role` what else it is called.
    """

    line: Line
    closed: bool
    name: str = ""
    group: str = ""
    place: int = 0
    grain: bool = False
    role: str = ""

    @property
    def where(self) -> str:
        """What to call it in a message, with the place where it begins."""
        x, y = (format_length(value, Unit.MM) for value in self.line[0])
        line = f"the line '{self.name}'" if self.name else "a line"
        return f"{line} near ({x}, {y})"


def joined(strokes: Sequence[Stroke], gathering: Gathering) -> tuple[list[Stroke], list[Stroke]]:
    """The closed strokes and those that join into closed ones; and what stays open.

    Ends that meet are joined first, then those with a gap of up to `GAP_MM`, which is told.
    """
    closed = [stroke for stroke in strokes if stroke.closed]
    loose = [stroke for stroke in strokes if not stroke.closed and len(stroke.line) > 1]
    for reach in (SAME_MM, GAP_MM):
        done, loose = chained(loose, reach)
        if reach > SAME_MM:
            for stroke in done:
                _tell_gaps(stroke, gathering)
        closed += done
    outer, loose = _outer_edges(loose, gathering)
    closed += outer
    return [_cleaned(stroke) for stroke in closed], loose


def _outer_edges(
    strokes: Sequence[Stroke], gathering: Gathering
) -> tuple[list[Stroke], list[Stroke]]:
    """Where three lines or more meet in a point: the edges of the areas between them."""
    if len(strokes) < 3:
        return [], list(strokes)
    import shapely  # takes a while to load
    from shapely.geometry import LineString
    from shapely.ops import polygonize, unary_union

    ways = [LineString([(round(x, 2), round(y, 2)) for x, y in s.line]) for s in strokes]
    union = unary_union([face.buffer(0) for face in polygonize(ways)])
    if union.is_empty:
        return [], list(strokes)
    outer = [
        replace(strokes[0], line=tuple(region.exterior.coords)[:-1], closed=True)
        for region in getattr(union, "geoms", [union])
    ]
    for stroke in outer:
        gathering.find(
            "branched-outline",
            f"{stroke.where} meets others in one point; the outer edge "
            "of what they enclose was taken for the outline.",
        )
    edges = union.boundary.buffer(SAME_MM)
    shapely.prepare(edges)
    used = shapely.covers(edges, ways)
    return outer, [stroke for stroke, done in zip(strokes, used, strict=True) if not done]


def _cleaned(stroke: Stroke) -> Stroke:
    kept: list[Point] = []
    for point in without_repeats(stroke.line):
        if not kept or math.dist(kept[-1], point) > SAME_MM / 10:
            kept.append(point)
    return replace(stroke, line=tuple(kept), closed=True)


def _tell_gaps(stroke: Stroke, gathering: Gathering) -> None:
    gathering.find(
        "gap-closed",
        f"{stroke.where} did not quite close; gaps of up to "
        f"{format_length(GAP_MM, Unit.MM)} were closed with straight lines.",
    )


def chained(strokes: Sequence[Stroke], reach: float) -> tuple[list[Stroke], list[Stroke]]:
    """Strokes joined end to end wherever just two ends lie within reach of each other."""
    ends = _Ends(strokes, reach)
    free = set(range(len(strokes)))
    closed: list[Stroke] = []
    loose: list[Stroke] = []
    for start in range(len(strokes)):
        if start not in free:
            continue
        free.discard(start)
        line = ends.followed(strokes[start].line, (start, 1), free)
        if not _closes(line, reach):
            line = ends.followed(line[::-1], (start, 0), free)[::-1]
        (closed if _closes(line, reach) else loose).append(
            replace(strokes[start], line=_shut(line, reach), closed=_closes(line, reach))
        )
    return closed, loose


def _closes(line: Line, reach: float) -> bool:
    # A line and back again encloses nothing, and what is shorter than the gap is no outline.
    return len(line) > 3 and math.dist(line[0], line[-1]) <= reach < max(spread(line))


def _shut(line: Line, reach: float) -> Line:
    """A closed line without its last point where that is the first again."""
    if _closes(line, reach) and math.dist(line[0], line[-1]) <= SAME_MM:
        return line[:-1]
    return line


class _Ends:
    """Which ends of strokes lie within reach of each other; an end is (stroke, 0 or 1)."""

    def __init__(self, strokes: Sequence[Stroke], reach: float) -> None:
        self._strokes = strokes
        self._reach = reach
        self._cells: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
        for index, stroke in enumerate(strokes):
            for end in (0, 1):
                self._cells[self._cell(stroke.line[-end])].append((index, end))

    def followed(self, line: Line, last: tuple[int, int], free: set[int]) -> Line:
        """The line, continued over the strokes that are still free as far as one follows."""
        points = list(line)
        while (found := self._next(points[-1], last, free)) is not None:
            index, end = found
            free.discard(index)
            more = self._strokes[index].line
            more = more if end == 0 else more[::-1]
            points += more[1:] if math.dist(points[-1], more[0]) <= SAME_MM else more
            last = (index, 1 - end)
        return tuple(points)

    def _next(self, point: Point, last: tuple[int, int], free: set[int]) -> tuple[int, int] | None:
        """The only end within reach, if it is free; where more ends meet is a branch."""
        within = list(islice(self._near(point, last), 2))
        return within[0] if len(within) == 1 and within[0][0] in free else None

    def _near(self, point: Point, last: tuple[int, int]) -> Iterator[tuple[int, int]]:
        """All ends within reach of a point but the one that is there."""
        column, row = self._cell(point)
        for i in (column - 1, column, column + 1):
            for j in (row - 1, row, row + 1):
                for index, end in self._cells.get((i, j), ()):
                    away = math.dist(point, self._strokes[index].line[-end])
                    if (index, end) != last and away <= self._reach:
                        yield index, end

    def _cell(self, point: Point) -> tuple[int, int]:
        return math.floor(point[0] / self._reach), math.floor(point[1] / self._reach)


def spread(line: Line) -> tuple[float, float]:
    """Width and height of a line's box."""
    left, low, right, high = bounds(line)
    return right - left, high - low


def largest_side(lines: Iterable[Line]) -> float:
    """The longer side of the largest line's box."""
    return max((max(spread(line)) for line in lines if line), default=0.0)


def scaled(line: Line, scale: float) -> Line:
    """The points with both coordinates made larger alike."""
    return line if scale == 1.0 else tuple((x * scale, y * scale) for x, y in line)
