"""Pieces from an SVG drawing: its closed shapes, named by their ids (W3C, SVG 1.1 and 2)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import chain
from xml.parsers import expat

from pieces.curves import bezier
from pieces.geometry import bounds
from pieces.importers.gathering import IF_UNIT_IS_WRONG, TOLERANCE_MM, Beneath, Gathering
from pieces.importers.grain import names_grain, parted
from pieces.importers.interchange import GRAIN_RULE, MATERIAL, QUANTITY, SIZE
from pieces.importers.marks import counted
from pieces.importers.named import drawn_and_named, folds_of, role_of, with_named
from pieces.importers.outlines import plain_pieces, shapes_of
from pieces.importers.strokes import Stroke
from pieces.importers.svg_path import (
    PathError,
    Pen,
    Subpath,
    draw_ellipse,
    draw_points,
    draw_rect,
    read_path,
)
from pieces.importers.svg_space import (
    MM_PER_PX,
    Matrix,
    length,
    moved,
    times,
    transform,
    viewport,
)
from pieces.importers.wording import shown
from pieces.piece import Draft, GrainRule, Line, Piece, Point
from pieces.units import mm_per

_NAMESPACE = "http://www.w3.org/2000/svg"
_UNSEEN = frozenset(
    [
        *("clipPath", "defs", "desc", "filter", "foreignObject", "marker", "mask", "metadata"),
        *("pattern", "script", "style", "symbol", "text", "title"),
    ]
)
_PHOTOGRAPH = re.compile(r"data:image/(?:jpeg|png);base64,[A-Za-z0-9+/=]+")
_UNREAD = {"use": "copies of shapes (use)", "image": "pictures (image)"}
PHOTOGRAPH = "photograph"
"""The id of the picture beneath traced outlines."""
DATA = {
    word: "data-" + word.lower().replace(" ", "-")
    for word in (MATERIAL, QUANTITY, SIZE, GRAIN_RULE)
}
"""Attributes of the group of a piece, in drawings of ours, by what they tell."""
_HIDDEN = re.compile(r"(?:^|;)\s*display\s*:\s*none\s*(?:;|$)")
_DEEPEST = 100
_MOST_ELEMENTS = 50_000


def read_svg(data: bytes, gathering: Gathering) -> Draft:
    """The pieces of an SVG file; a unit, if told, is that of its own numbers.

    Raises
    ------
    OrderFault : it is no SVG drawing, or holds no piece that can be cut
    """
    reader = _Reader(gathering)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.EntityDeclHandler = reader.entity
    try:
        parser.Parse(data, True)
    except (expat.ExpatError, ValueError, LookupError) as error:
        line = f" at line {error.lineno}" if isinstance(error, expat.ExpatError) else ""
        raise gathering.refused(
            f"This is no SVG drawing, or it is damaged{line}.",
            "Save it anew from the program that drew it, as plain SVG.",
        ) from error
    drawn, named = drawn_and_named(reader.strokes)
    lines, grains = parted(drawn)
    shapes = shapes_of(lines, gathering)
    names = [shape.name or gathering.path.stem for shape in shapes]
    folds = folds_of([shape.outline for shape in shapes], named, gathering)
    pieces = plain_pieces(shapes, names, grains, gathering, folds)
    whole = with_named(pieces, folds, named, gathering)
    told = [reader.told.get(shape.group, {}) for shape in shapes]
    both = zip(whole, told, strict=True)
    return gathering.draft(chain(*(_as_told(piece, says, gathering) for piece, says in both)))


def _as_told(piece: Piece, says: Mapping[str, str], gathering: Gathering) -> list[Piece]:
    """The piece with what a drawing of ours says of it, in the words of the standard.

    In a piece that was kept no line is taken for the grain by its name alone.
    """
    if DATA[SIZE] in says:
        gathering.sizes[piece.name] = says[DATA[SIZE]]
    if DATA[QUANTITY] in says:
        gathering.forget("grain-read", piece.name)
    rule = says.get(DATA[GRAIN_RULE], "")
    ruled = replace(
        piece,
        fabric=says.get(DATA[MATERIAL], ""),
        grain_rule=GrainRule(rule) if rule in list(GrainRule) else piece.grain_rule,
    )
    return counted(ruled, says.get(DATA[QUANTITY], "1"), gathering)


class _Reader:
    """Walks through the elements; each has a matrix to mm, a name, and a number for its group.

    And whether it is called a grain line, or lies in a group that is.
    """

    def __init__(self, gathering: Gathering) -> None:
        self.strokes: list[Stroke] = []
        self.told: dict[str, dict[str, str]] = {}
        self._gathering = gathering
        self._open: list[tuple[Matrix, str, int, bool, str]] = []
        self._skipped = 0
        self._elements = 0

    def entity(self, *_: object) -> None:
        """Texts that stand for other texts can grow without end, and no drawing needs them."""
        raise self._gathering.refused(
            "The drawing declares entities of its own, which are not read.",
            "Save it anew as plain SVG.",
        )

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """An element begins."""
        self._elements += 1
        if len(self._open) > _DEEPEST or self._elements > _MOST_ELEMENTS:
            raise self._gathering.refused(
                "The drawing has far too many parts, or too many inside each other.",
                "Save the outlines of the pieces alone.",
            )
        kind = _local(name)
        if not self._open:
            self._begin(kind, attributes)
        elif self._skipped or kind is None or _is_unseen(kind, attributes):
            self._skipped += 1
        else:
            self._enter(kind, attributes)

    def end(self, name: str) -> None:
        """An element ends."""
        if self._skipped:
            self._skipped -= 1
        else:
            self._open.pop()

    def _begin(self, kind: str | None, attributes: Mapping[str, str]) -> None:
        if kind != "svg":
            raise self._gathering.refused(
                "This is no SVG drawing.", "Save it as SVG from the program that drew it."
            )
        to_px, real = viewport(attributes)
        if self._gathering.unit is not None:
            scale = float(mm_per(self._gathering.unit))
            matrix: Matrix = (scale, 0.0, 0.0, -scale, 0.0, 0.0)
        else:
            # The y axis of SVG points down, that of a piece up.
            matrix = times((MM_PER_PX, 0.0, 0.0, -MM_PER_PX, 0.0, 0.0), to_px)
            if not real:
                self._gathering.find(
                    "unit-guessed",
                    "the drawing has no width in mm, cm or in, so its numbers were taken for px, "
                    "96 to the inch. " + IF_UNIT_IS_WRONG,
                )
        self._open.append((matrix, "", 0, False, ""))

    def _enter(self, kind: str, attributes: Mapping[str, str]) -> None:
        outer, group_name, group, grain, role = self._open[-1]
        own = transform(attributes.get("transform", ""))
        if own is None:
            self._gathering.find(
                "line-unreadable",
                "a transform can't be read; what it moves was left out. Save the drawing anew.",
            )
            self._skipped += 1
            return
        matrix = times(outer, own)
        called = _called(attributes)
        name = next((text for text in map(shown, called) if text), "") or group_name
        if kind == "svg":
            x, y = (length(attributes.get(key, "0")) or (0.0, False) for key in ("x", "y"))
            matrix = times(times(matrix, (1.0, 0.0, 0.0, 1.0, x[0], y[0])), viewport(attributes)[0])
        names = [*called, *attributes.get("class", "").split()]
        grain = grain or names_grain(*names)
        role = role or role_of(names)
        self._open.append((matrix, name, self._elements, grain, role))
        self.told[str(self._elements)] = {
            key: shown(attributes[key]) for key in DATA.values() if key in attributes
        }
        if kind == "image" and name == PHOTOGRAPH:
            self._gathering.beneath = _beneath(attributes, matrix)
            return
        if kind in _UNREAD:
            self._gathering.find(
                "element-ignored", f"{_UNREAD[kind]} are not read; draw each piece by itself."
            )
            return
        for subpath in self._drawn(kind, attributes):
            line = self._flat(subpath, matrix)
            stroke = Stroke(line, subpath.closed, name, str(group), grain=grain, role=role)
            self.strokes.append(stroke)

    def _drawn(self, kind: str, attributes: Mapping[str, str]) -> list[Subpath]:
        pen = Pen()
        try:
            _draw(pen, kind, attributes)
        except PathError as error:
            self._gathering.find(
                "line-unreadable",
                f"a shape can't be read to its end ({error}); it was read up to there. Look "
                "whether all pieces are whole, or save the drawing anew.",
            )
        return [subpath for subpath in pen.subpaths if subpath.parts]

    def _flat(self, subpath: Subpath, matrix: Matrix) -> Line:
        """A subpath as points in mm."""
        points: list[Point] = list(self._gathering.counted((moved(matrix, subpath.start),)))
        for part in subpath.parts:
            ends = self._gathering.counted(tuple(moved(matrix, point) for point in part))
            if len(ends) == 1:
                points += ends
            else:
                pull, push, to = ends
                curve = bezier(points[-1], pull, push, to, TOLERANCE_MM)
                points += self._gathering.counted(curve[1:])
        return tuple(points)


def _beneath(attributes: Mapping[str, str], matrix: Matrix) -> Beneath | None:
    """The photograph under the pieces, if its content stands in the drawing."""
    own = {key.rpartition(" ")[2]: value for key, value in attributes.items()}
    if not _PHOTOGRAPH.fullmatch(own.get("href", "")):
        return None
    sides = [length(own.get(key, "0")) or (0.0, False) for key in ("x", "y", "width", "height")]
    x, y, wide, tall = (side for side, _ in sides)
    corners = (moved(matrix, (x, y)), moved(matrix, (x + wide, y + tall)))
    return Beneath(own["href"], bounds(corners))


def _local(name: str) -> str | None:
    """An element's own name; None if it is of something else than SVG."""
    space, _, own = name.rpartition(" ")
    return own if space in ("", _NAMESPACE) else None


def _called(attributes: Mapping[str, str]) -> list[str]:
    """Whatever an element is called: by a label in any namespace, or its id."""
    own = {key.rpartition(" ")[2]: value for key, value in attributes.items()}
    return [own[key] for key in ("label", "aria-label", "id") if key in own]


def _is_unseen(kind: str, attributes: Mapping[str, str]) -> bool:
    if kind in _UNSEEN or attributes.get("display", "").strip() == "none":
        return True
    return _HIDDEN.search(attributes.get("style", "")) is not None


def _draw(pen: Pen, kind: str, attributes: Mapping[str, str]) -> None:
    """Draw one of the shapes; nothing for other elements.

    Raises
    ------
    PathError : it can't be read to its end
    """

    def sizes(*keys: str) -> list[float]:
        return [_size(attributes, key) for key in keys]

    if kind == "path":
        read_path(attributes.get("d", ""), pen)
    elif kind == "rect":
        x, y, width, height = sizes("x", "y", "width", "height")
        if width > 0 and height > 0:
            draw_rect(pen, x, y, width, height, _corner_radii(attributes))
    elif kind in ("circle", "ellipse"):
        x, y, *radii = sizes("cx", "cy", *(["r"] if kind == "circle" else ["rx", "ry"]))
        if min(radii) > 0:
            draw_ellipse(pen, x, y, radii[0], radii[-1])
    elif kind in ("polygon", "polyline"):
        draw_points(pen, attributes.get("points", ""), closed=kind == "polygon")
    elif kind == "line":
        x1, y1, x2, y2 = sizes("x1", "y1", "x2", "y2")
        pen.move((x1, y1))
        pen.line((x2, y2))


def _corner_radii(attributes: Mapping[str, str]) -> Point:
    """Each radius of a rectangle's corners stands for the other where that is not given."""
    given = [attributes.get(key, "auto").strip() for key in ("rx", "ry")]
    both = [value for value in given if value != "auto"]
    if not both:
        return 0.0, 0.0
    rx, ry = (both[0] if value == "auto" else value for value in given)
    return max(_px(rx), 0.0), max(_px(ry), 0.0)


def _size(attributes: Mapping[str, str], key: str) -> float:
    return _px(attributes.get(key, "0"))


def _px(text: str) -> float:
    found = length(text)
    if found is None:
        raise PathError(f"'{shown(text)[:20]}' is no length")
    return found[0]
