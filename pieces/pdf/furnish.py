"""From outlines to pieces: each with what is written and drawn inside it and at its edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from pieces.curves import length
from pieces.errors import Fault, OrderFault
from pieces.geometry import anticlockwise, area, bounds, reflected, squared
from pieces.importers.fold import folded
from pieces.importers.gathering import Gathering
from pieces.importers.marks import away, notch_at
from pieces.importers.outlines import (
    Shape,
    grain_through,
    named_apart,
    region_of,
    same_place,
    tell_open,
)
from pieces.importers.strokes import Stroke
from pieces.pdf.meaning import Arrow, arrows, fold_edge, grain_of, straight_line, upwards
from pieces.pdf.pages import Words
from pieces.pdf.said import Said, Vocabulary
from pieces.pdf.sizes import evenly_inside, nested
from pieces.piece import Line, Notch, Outline, Piece, Point
from pieces.wording import either

if TYPE_CHECKING:
    from shapely.geometry import Point as Spot
    from shapely.geometry.base import BaseGeometry

_NOTCH_MM = (1.5, 16.0)
_TOUCH_MM = 1.2
_LONG_MM = 150.0
"""Longer loose lines may be outlines; shorter ones are of the writing and drawings beside."""
_ON_EDGE_MM = 0.4
_SQUARED_DEG = 1.0


def sewing_lines(closed: Sequence[Stroke]) -> tuple[list[tuple[Line, Line]], list[Stroke]]:
    """The outlines that run evenly inside others, each with that other; and all the rest."""
    found: list[tuple[Line, Line]] = []
    inner: set[int] = set()
    for outer, inside in nested([stroke.line for stroke in closed]):
        one, other = closed[outer].line, closed[inside].line
        if not same_place(one, other) and evenly_inside(other, one):
            found.append((one, other))
            inner.add(inside)
    return found, [stroke for index, stroke in enumerate(closed) if index not in inner]


class Furnisher:
    """Makes pieces of outlines; knows all lines and words that are no outlines."""

    def __init__(
        self,
        lines: Sequence[Stroke],
        words: Sequence[Words],
        sewing: Sequence[tuple[Line, Line]],
        vocabulary: Vocabulary,
        fold: str,
        gathering: Gathering,
    ) -> None:
        self._open = [stroke for stroke in lines if not stroke.closed]
        self._loose = [stroke.line for stroke in self._open]
        self._small = [stroke.line for stroke in lines if stroke.closed]
        self._words = words
        self._sewing = sewing
        self._vocabulary = vocabulary
        self._fold = fold
        self._gathering = gathering

    def pieces(self, shapes: Sequence[Shape]) -> list[Piece]:
        """A piece for each outline, in the order drawn.

        Raises
        ------
        OrderFault : with every piece of which it can't be told what lies on the fold
        """
        from shapely import STRtree, points  # takes a while to load
        from shapely.geometry import LineString

        regions = [region_of(shape.outline) for shape in shapes]
        self._tell_open(regions)
        loose = STRtree([LineString(line) for line in self._loose])
        small = STRtree([LineString(line) for line in self._small])
        written = STRtree(points([said.at for said in self._words] or [(0.0, 0.0)]))
        said = []
        for region in regions:
            inside = written.query(region, predicate="contains") if self._words else ()
            said.append(self._vocabulary.read([self._words[i] for i in sorted(inside)]))
        names = named_apart(one.name or self._gathering.path.stem for one in said)
        folds = [bool(one.folds) for one in said]
        if self._fold and not any(folds):
            folds = [True] * len(said)
        found = []
        faults: list[Fault] = []
        for place, (shape, region) in enumerate(zip(shapes, regions, strict=True)):
            reach = region.buffer(_TOUCH_MM)
            near = [self._loose[i] for i in sorted(loose.query(reach, predicate="intersects"))]
            marks = [self._small[i] for i in sorted(small.query(reach, predicate="intersects"))]
            one = _Outlined(shape, region, names[place], said[place], near, marks)
            try:
                found.append(self._piece(one, on_fold=folds[place]))
            except OrderFault as error:
                faults += error.faults
        if faults:
            raise OrderFault(faults)
        return found

    def _tell_open(self, regions: Sequence[BaseGeometry]) -> None:
        """Tell of long lines that lie in no piece and may be outlines that don't close."""
        from shapely import STRtree  # takes a while to load
        from shapely.geometry import LineString

        cloth = STRtree([region.buffer(_TOUCH_MM) for region in regions])
        for stroke in self._open:
            if length(stroke.line) < _LONG_MM:
                continue
            middle = LineString(stroke.line).interpolate(0.5, normalized=True)
            if len(cloth.query(middle, predicate="within")) == 0:
                tell_open(stroke, self._gathering)

    def _piece(self, one: _Outlined, *, on_fold: bool) -> Piece:
        outline, fold = anticlockwise(one.shape.outline), None
        if on_fold:
            edge = fold_edge(outline, one.said.folds, self._fold, one.name, self._gathering)
            outline, fold = folded(outline, edge, one.name, self._gathering)
        inside = one.inside()
        found = arrows(inside, one.small)
        used = {i for _, parts in found for i in parts}
        lines = [line for i, line in enumerate(inside) if i not in used]
        grain = self._grain(one, [arrow for arrow, _ in found], lines, outline, fold)
        notches = one.notches(outline)
        cut, pair = self._count(one, whole=fold is None)
        sewing = self._sewn(one.shape.outline)
        if sewing:
            self._gathering.find(
                "sewing-line-read",
                f"{one.name} has a line evenly inside it, which was taken for its sewing line and "
                "the outer one for the line to cut.",
            )
        if fold is not None and not sewing:
            sewing, lines = _sewn_to_fold(lines, outline, fold)
        return Piece(
            name=one.name,
            fabric="",
            outline=outline,
            grain=grain,
            on_fold=fold,
            cut=cut,
            pair=pair,
            sewing_line=sewing,
            notches=tuple(notches),
            drawn_lines=(*(line for line in lines if not one.is_mark(line)), *one.shape.inside),
        )

    def _sewn(self, outline: Outline) -> Outline:
        own = [inner for outer, inner in self._sewing if same_place(outer, outline)]
        return anticlockwise(max(own, key=area)) if own else ()

    def _grain(
        self,
        one: _Outlined,
        found: Sequence[Arrow],
        lines: Sequence[Line],
        outline: Outline,
        fold: tuple[Point, Point] | None,
    ) -> tuple[Point, Point]:
        told_deg = self._gathering.grain_deg
        straight = [ends for line in lines if (ends := straight_line(line)) is not None]
        arrow, named = grain_of(found, straight, one.said.grains)
        if told_deg is not None or arrow is None:
            self._gathering.find_no_grain(one.name, "its fold edge" if fold else "the x axis")
            way = told_deg
            return (
                fold if fold and way is None else _squared(grain_through(outline, way or 0), fold)
            )
        shown = upwards(arrow) if arrow.both_ways else arrow
        way_deg = math.degrees(
            math.atan2(shown.head[1] - shown.tail[1], shown.head[0] - shown.tail[0])
        )
        self._gathering.find(
            "grain-read",
            f"{one.name} has its grain from "
            f"{'the line beside that word' if named else 'the longest arrow in it'}, "
            f"{way_deg % 360:.0f} degrees from the x axis"
            f"{', its head taken to be the upper end' if arrow.both_ways else ''}.",
        )
        return _squared(grain_through(outline, way_deg), fold)

    def _count(self, one: _Outlined, *, whole: bool) -> tuple[int, bool]:
        """How many to cut, and whether they are pairs."""
        count = one.said.count
        if whole and one.said.pairs is not None:
            return one.said.pairs, True
        if count is None:
            self._gathering.find(
                "count-assumed",
                f"{one.name} says not how many to cut; one was taken. "
                + either("Give cut beside the file", "Say how many with this drawing")
                + " for another number.",
            )
            return 1, False
        if not whole:
            return count, False
        if count % 2:
            return count, False
        if not one.said.pair and _is_even(one.shape.outline):
            return count, False
        if not one.said.pair:
            self._gathering.find(
                "pair-assumed",
                f"{one.name} says '{one.said.counted_by}', which was taken for "
                f"{'a left and a right' if count == 2 else 'lefts and rights'}; "
                + either(
                    f"give pair = false and cut = {count} beside the file",
                    f"say no to left and right, and that there are {count},",
                )
                + " if all are alike.",
            )
        return count // 2, True


class _Outlined:
    """An outline with what lies in it and touches it."""

    def __init__(
        self,
        shape: Shape,
        region: BaseGeometry,
        name: str,
        said: Said,
        near: Sequence[Line],
        small: Sequence[Line],
    ) -> None:
        self.shape = shape
        self.name = name
        self.said = said
        self.small = small
        self._region = region
        self._near = near
        self._notches = [line for line in near if self._is_notch(line)]

    def inside(self) -> list[Line]:
        """The lines inside that are no notches and don't run along the outline."""
        from shapely.geometry import LineString

        inner = self._region.buffer(-_ON_EDGE_MM)
        return [
            line
            for line in self._near
            if line not in self._notches
            and LineString(line).intersection(inner).length > 0.5 * length(line)
        ]

    def is_mark(self, line: Line) -> bool:
        """Whether a line is too short to be worth drawing, as strokes of letters are."""
        return length(line) < _NOTCH_MM[0]

    def notches(self, outline: Outline) -> list[Notch]:
        """The notches: short strokes at the edge or across it, and small shapes on it."""
        places = [_at_edge(line, outline) for line in self._notches]
        least, most = _NOTCH_MM
        for shape in self.small:
            if self._touches(shape) and least <= length((*shape, shape[0])) / 3 <= most:
                middle = tuple(sum(values) / len(shape) for values in zip(*shape, strict=True))
                places.append(_nearest((middle[0], middle[1]), outline))
        kept: list[Point] = []
        for at in places:
            if all(math.dist(at, other) > _NOTCH_MM[0] for other in kept):
                kept.append(at)
        return [notch_at(at, None, outline) for at in kept]

    def _is_notch(self, line: Line) -> bool:
        from shapely.geometry import LineString

        least, most = _NOTCH_MM
        if not least <= length(line) <= most:
            return False
        edge = self._region.boundary
        off = [edge.distance(_spot(end)) for end in (line[0], line[-1])]
        if LineString(line).intersects(edge):
            return max(off) >= least / 2
        return min(off) <= _TOUCH_MM and max(off) >= least

    def _touches(self, shape: Line) -> bool:
        from shapely.geometry import LineString

        ring = LineString((*shape, shape[0]))
        return bool(ring.distance(self._region.boundary) <= _TOUCH_MM)


def _is_even(outline: Outline) -> bool:
    """Whether an outline is its own mirror image, level or upright, so that pairs are alike."""
    left, low, right, high = bounds(outline)
    x, y = (left + right) / 2, (low + high) / 2
    upright, level = ((x, low), (x, high)), ((left, y), (right, y))
    return any(same_place(outline, reflected(outline, axis)) for axis in (upright, level))


def _spot(point: Point) -> Spot:
    from shapely.geometry import Point as Spot

    return Spot(point)


def _at_edge(line: Line, outline: Outline) -> Point:
    """Where a notch is on the outline: where it crosses it, or by its nearer end."""
    from shapely.geometry import LinearRing, LineString

    crossing = LineString(line).intersection(LinearRing(outline))
    if not crossing.is_empty:
        middle = crossing.centroid
        return _nearest((middle.x, middle.y), outline)
    edges = list(zip(outline, outline[1:] + outline[:1], strict=True))
    end = min((line[0], line[-1]), key=lambda one: min(away(one, *edge) for edge in edges))
    return _nearest(end, outline)


def _nearest(point: Point, outline: Outline) -> Point:
    from shapely.geometry import LinearRing

    ring = LinearRing(outline)
    spot = ring.interpolate(ring.project(_spot(point)))
    return (spot.x, spot.y)


def _sewn_to_fold(
    lines: Sequence[Line], outline: Outline, fold: tuple[Point, Point]
) -> tuple[Outline, list[Line]]:
    """The line of stitching that runs from one end of a fold edge to the other, and the rest."""
    found = [
        line
        for line in lines
        if len(line) > 2
        and all(away(end, *fold) <= _TOUCH_MM for end in (line[0], line[-1]))
        and evenly_inside(line, outline)
    ]
    if len(found) != 1:
        return (), list(lines)
    return anticlockwise(found[0]), [line for line in lines if line is not found[0]]


def _squared(grain: tuple[Point, Point], fold: tuple[Point, Point] | None) -> tuple[Point, Point]:
    """The grain, exactly along or across a fold edge where it was drawn nearly so."""
    straight = None if fold is None else squared(grain, fold, _SQUARED_DEG)
    return straight or grain
