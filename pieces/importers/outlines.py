"""From the lines of a drawing to the outlines of pieces: weeded of doubles and specks, sorted.

All in millimetres. What is repaired leaves the shape as it was meant, and is told.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from pieces.geometry import anticlockwise, bounds, is_simple, rotated, translated
from pieces.importers.gathering import Gathering
from pieces.importers.grain import Grain, grains_of, way_deg
from pieces.importers.strokes import SAME_MM, Stroke, joined, spread
from pieces.piece import Line, Outline, Piece, Point
from pieces.units import Unit, format_length

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_ALIKE_MM = 0.1
_MOST_LOOSE = 10_000
_MOST_OUTLINES = 500
_SPECK_MM2 = 25.0
"""Smaller outlines are arrow heads and strokes of letters; common practice."""


@dataclass(slots=True)
class Shape:
    """A closed outline, what it is called, the lines inside it, and the group that it was in."""

    outline: Outline
    name: str
    inside: list[Line] = field(default_factory=list)
    group: str = ""


_UPRIGHT = 1.2


def plain_pieces(
    shapes: Sequence[Shape],
    names: Iterable[str],
    grains: Sequence[Grain],
    gathering: Gathering,
    folds: Sequence[Grain | None] = (),
) -> list[Piece]:
    """The pieces of a drawing that knows nothing of pieces: outlines, each on its own grain.

    Where it shows none, and one of the `folds` is its own, the grain runs along that.
    """
    called = named_apart(names)
    ways = grains_of([shape.outline for shape in shapes], grains, called, gathering)
    for place, fold in enumerate(folds):
        if fold is not None and ways[place] is None and gathering.grain_deg is None:
            gathering.find_no_grain(called[place], "its fold edge")
            ways[place] = way_deg(fold)
    bare = [name for name, way in zip(called, ways, strict=True) if way is None]
    gathering.grainless.update(bare)
    bare = [name for name in bare if not gathering.tells_grain(name)]
    upright = any(
        _is_upright(shape.outline) for shape, way in zip(shapes, ways, strict=True) if way is None
    )
    across = ", which is across what stands upright in it" if upright else ""
    for name in bare if len(bare) < len(called) else bare and ["the drawing"]:
        gathering.find_no_grain(name, f"the x axis, from left to right{across}")
    usual_deg = gathering.grain_deg or 0.0
    return [
        Piece(
            name=name,
            fabric="",
            outline=anticlockwise(shape.outline),
            grain=grain_through(shape.outline, usual_deg if way is None else way),
            drawn_lines=tuple(shape.inside),
        )
        for shape, name, way in zip(shapes, called, ways, strict=True)
    ]


def _is_upright(outline: Outline) -> bool:
    """Whether an outline is drawn higher than wide, as pieces are that hang by their grain."""
    wide, high = spread(outline)
    return high > _UPRIGHT * wide


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
    if sum(not stroke.closed for group in groups.values() for stroke in group) > _MOST_LOOSE:
        raise gathering.refused(
            f"There are more than {_MOST_LOOSE} loose lines in it.",
            "Save the outlines of the pieces alone, each as one closed line.",
        )
    closed: list[Stroke] = []
    loose: list[Stroke] = []
    for group in groups.values():
        whole, rest = joined(group, gathering)
        closed += whole
        loose += rest
    closed.sort(key=lambda stroke: stroke.place)
    loose.sort(key=lambda stroke: stroke.place)
    return _sorted(_weeded(closed, gathering), loose, gathering)


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
                f"{stroke.where} is drawn more than once in the same place; it was taken once.",
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
    wide, high = spread(line)
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
    from shapely.geometry import LineString

    shapes = [Shape(stroke.line, stroke.name, group=stroke.group) for stroke in closed]
    cloth = [region_of(stroke.line) for stroke in closed]
    tree = STRtree([region.buffer(SAME_MM) for region in cloth])

    def hosts(lines: Sequence[BaseGeometry]) -> dict[int, int]:
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
            tell_open(stroke, gathering)
    return [shape for index, shape in enumerate(shapes) if index not in inner]


def region_of(outline: Outline) -> BaseGeometry:
    """What an outline encloses; of one that crosses itself, and will be refused, its hull."""
    from shapely.geometry import Polygon  # takes a while to load

    region = Polygon(outline)
    return region if is_simple(outline) else region.convex_hull


def tell_cutout(gathering: Gathering, name: str) -> None:
    """Tell that a closed line inside a piece is drawn and not cut."""
    gathering.find(
        "cutout-ignored",
        f"{name} has a closed line inside it, which is drawn and not cut, and its cloth is "
        "counted. If it is an opening, cut it out afterwards.",
    )


def tell_open(stroke: Stroke, gathering: Gathering) -> None:
    """Tell that a line is not closed, and so no outline."""
    apart = format_length(math.dist(stroke.line[0], stroke.line[-1]), Unit.MM)
    gathering.find(
        "open-outline",
        f"{stroke.where} is not closed (its ends lie {apart} apart) "
        "and was left out. Close it in the drawing if it is the outline of a piece.",
    )


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
