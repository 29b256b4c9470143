"""From the lines of a drawing to closed outlines: joined, weeded of doubles and specks, sorted.

All in millimetres. What is repaired leaves the shape as it was meant, and is told.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from pieces.geometry import anticlockwise, bounds, rotated, translated, without_repeats
from pieces.importers.gathering import Gathering
from pieces.piece import Line, Outline, Piece, Point
from pieces.units import Unit, format_length

SAME_MM = 0.01
"""Ends nearer than this are one point."""
GAP_MM = 1.0
"""Ends nearer than this were meant to meet: no seam is sewn finer; common practice."""
_ALIKE_MM = 0.1
_MOST_OUTLINES = 500
_SPECK_MM2 = 25.0
"""Smaller outlines are arrow heads and strokes of letters; common practice."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of a drawing; only strokes of one `group` are joined with each other.

    `place` counts them in the order drawn.
    """

    line: Line
    closed: bool
    name: str = ""
    group: str = ""
    place: int = 0


@dataclass(slots=True)
class Shape:
    """A closed outline, what it is called, and the lines inside it."""

    outline: Outline
    name: str
    inside: list[Line] = field(default_factory=list)


def plain_pieces(
    shapes: Sequence[Shape], names: Iterable[str], gathering: Gathering
) -> list[Piece]:
    """The pieces of a drawing that knows nothing of pieces: outlines, all on one grain."""
    if shapes:
        gathering.find_no_grain("the drawing", "its x axis, from left to right")
    return [
        Piece(
            name=name,
            fabric="",
            outline=anticlockwise(shape.outline),
            grain=grain_through(shape.outline, gathering.grain_deg or 0.0),
            drawn_lines=tuple(shape.inside),
        )
        for shape, name in zip(shapes, named_apart(names), strict=True)
    ]


def grain_through(outline: Outline, way_deg: float) -> tuple[Point, Point]:
    """A grain line through the middle of an outline, half as long as its box."""
    left, low, right, high = bounds(outline)
    middle = (left + right) / 2, (low + high) / 2
    reach = max(right - left, high - low, 1.0) / 4
    tail, head = rotated(((-reach, 0.0), (reach, 0.0)), way_deg)
    return translated((tail,), *middle)[0], translated((head,), *middle)[0]


def shapes_of(strokes: Iterable[Stroke], gathering: Gathering) -> list[Shape]:
    """The outlines that lie in no other, each with the lines inside it, in drawing order."""
    groups: dict[str, list[Stroke]] = defaultdict(list)
    for place, stroke in enumerate(strokes):
        groups[stroke.group].append(replace(stroke, place=place))
    closed: list[Stroke] = []
    loose: list[Stroke] = []
    for group in groups.values():
        whole, rest = joined(group, gathering)
        closed += whole
        loose += rest
    closed.sort(key=lambda stroke: stroke.place)
    loose.sort(key=lambda stroke: stroke.place)
    return _sorted(_weeded(closed, gathering), loose, gathering)


def joined(strokes: Sequence[Stroke], gathering: Gathering) -> tuple[list[Stroke], list[Stroke]]:
    """The closed strokes and those that join into closed ones; and what stays open.

    Ends that meet are joined first, then those with a gap of up to `GAP_MM`, which is told.
    """
    closed = [stroke for stroke in strokes if stroke.closed]
    loose = [stroke for stroke in strokes if not stroke.closed and len(stroke.line) > 1]
    for reach in (SAME_MM, GAP_MM):
        done, loose = _chained(loose, reach)
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
            f"{_called(stroke)} {_near(stroke.line[0])} meets others in one point; the outer edge "
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
        f"{_called(stroke)} {_near(stroke.line[0])} did not quite close; gaps of up to "
        f"{format_length(GAP_MM, Unit.MM)} were closed with straight lines.",
    )


def _chained(strokes: Sequence[Stroke], reach: float) -> tuple[list[Stroke], list[Stroke]]:
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
    return len(line) > 3 and math.dist(line[0], line[-1]) <= reach < max(_spread(line))


def _spread(line: Line) -> tuple[float, float]:
    left, low, right, high = bounds(line)
    return right - left, high - low


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
        """The nearest free end within reach; none where more ends meet, which is a branch."""
        column, row = self._cell(point)
        near = [
            (math.dist(point, self._strokes[index].line[-end]), (index, end))
            for i in (column - 1, column, column + 1)
            for j in (row - 1, row, row + 1)
            for index, end in self._cells.get((i, j), ())
            if (index, end) != last
        ]
        within = [found for distance, found in near if distance <= self._reach]
        return within[0] if len(within) == 1 and within[0][0] in free else None

    def _cell(self, point: Point) -> tuple[int, int]:
        return math.floor(point[0] / self._reach), math.floor(point[1] / self._reach)


def _weeded(closed: Sequence[Stroke], gathering: Gathering) -> list[Stroke]:
    """The outlines without specks, and each drawn twice in one place only once."""
    kept: list[Stroke] = []
    boxes: list[tuple[float, ...]] = []
    for stroke in closed:
        box = bounds(stroke.line)
        if _is_speck(stroke.line):
            gathering.find(
                "speck-left-out",
                "closed lines of less than 0.25 square centimetres, too small for a piece, were "
                "left out. If they are pieces, look at the unit of the drawing.",
            )
        elif any(
            _alike(box, place) and same_place(stroke.line, other.line)
            for other, place in zip(kept, boxes, strict=True)
        ):
            gathering.find(
                "duplicate-outline",
                f"{_called(stroke)} {_near(stroke.line[0])} is drawn more than once in the same "
                "place; it was taken once.",
            )
        elif len(kept) == _MOST_OUTLINES:
            raise gathering.refused(
                f"There are more than {_MOST_OUTLINES} closed outlines in it.",
                "Save the outlines of the pieces alone.",
            )
        else:
            kept.append(stroke)
            boxes.append(box)
    return kept


def _is_speck(line: Line) -> bool:
    """Whether a line could not go round a piece; one that crosses itself still could."""
    wide, high = _spread(line)
    if wide * high < _SPECK_MM2:
        return True
    from shapely.geometry import MultiPoint  # takes a while to load

    return bool(MultiPoint(line).convex_hull.area < _SPECK_MM2)


def _alike(one: Sequence[float], other: Sequence[float]) -> bool:
    return all(abs(a - b) <= _ALIKE_MM for a, b in zip(one, other, strict=True))


def same_place(one: Outline, other: Outline) -> bool:
    """Whether two outlines are one to a tenth of a millimetre, where they lie."""
    if not _alike(bounds(one), bounds(other)):
        return False
    from shapely.geometry import LinearRing  # takes a while to load

    return bool(LinearRing(one).hausdorff_distance(LinearRing(other)) <= _ALIKE_MM)


def _sorted(closed: Sequence[Stroke], loose: Sequence[Stroke], gathering: Gathering) -> list[Shape]:
    """Outer outlines with the lines inside each; what lies in none is told of."""
    from shapely import STRtree  # takes a while to load
    from shapely.geometry import LineString, Polygon

    shapes = [Shape(stroke.line, stroke.name) for stroke in closed]
    cloth = [Polygon(stroke.line).buffer(0) for stroke in closed]
    tree = STRtree([region.buffer(SAME_MM) for region in cloth])

    def hosts(lines: Sequence[LineString | Polygon]) -> dict[int, int]:
        """For each line that lies in another outline, the largest such outline."""
        found: dict[int, int] = {}
        if not lines:
            return found
        for line, host in zip(*tree.query(list(lines), predicate="covered_by"), strict=True):
            if lines[line] is not cloth[host]:
                best = found.setdefault(line, host)
                found[line] = max(best, host, key=lambda index: cloth[index].area)
        return found

    inner = hosts(cloth)
    for index, host in inner.items():
        shapes[host].inside.append((*shapes[index].outline, shapes[index].outline[0]))
        tell_cutout(gathering, shapes[host].name or "a piece")
    within = hosts([LineString(stroke.line) for stroke in loose])
    for index, stroke in enumerate(loose):
        if index in within:
            shapes[within[index]].inside.append(stroke.line)
        else:
            _tell_open(stroke, gathering)
    return [shape for index, shape in enumerate(shapes) if index not in inner]


def tell_cutout(gathering: Gathering, name: str) -> None:
    """Tell that a closed line inside a piece is drawn and not cut."""
    gathering.find(
        "cutout-ignored",
        f"{name} has a closed line inside it, which is drawn and not cut, and its cloth is "
        "counted. If it is an opening, cut it out afterwards.",
    )


def _tell_open(stroke: Stroke, gathering: Gathering) -> None:
    apart = format_length(math.dist(stroke.line[0], stroke.line[-1]), Unit.MM)
    gathering.find(
        "open-outline",
        f"{_called(stroke)} {_near(stroke.line[0])} is not closed (its ends lie {apart} apart) "
        "and was left out. Close it in the drawing if it is the outline of a piece.",
    )


def _called(stroke: Stroke) -> str:
    return f"the line '{stroke.name}'" if stroke.name else "a line"


def _near(point: Point) -> str:
    x, y = (format_length(value, Unit.MM) for value in point)
    return f"near ({x}, {y})"


def named_apart(names: Iterable[str]) -> list[str]:
    """The names, with a number after each that has been there before.

    >>> named_apart(["cuff", "front", "cuff"])
    ['cuff', 'front', 'cuff 2']
    """
    found: dict[str, None] = {}
    for name in names:
        choice, number = name, 2
        while choice in found:
            choice, number = f"{name} {number}", number + 1
        found[choice] = None
    return list(found)


def largest_side(lines: Iterable[Line]) -> float:
    """The longer side of the largest line's box."""
    return max((max(_spread(line)) for line in lines if line), default=0.0)


def scaled(line: Line, scale: float) -> Line:
    """The points with both coordinates made larger alike."""
    return line if scale == 1.0 else tuple((x * scale, y * scale) for x, y in line)
