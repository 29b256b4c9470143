"""One block of an interchange file, which is one piece: its lines by what their layers mean."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

from pieces.geometry import area, squared
from pieces.importers.dxf_lines import UnreadableError, stroke_of, tell_unreadable
from pieces.importers.fold import folded
from pieces.importers.gathering import TOLERANCE_MM, Gathering
from pieces.importers.grain import names_grain
from pieces.importers.interchange import (
    GRAIN_RULE,
    JOINS,
    MATERIAL,
    NOTCHES,
    PIECE_NAME,
    QUANTITY,
    SILENT,
    Layer,
    told,
)
from pieces.importers.marks import counted, cross, notch_at, sewing_ring, stroke_notch
from pieces.importers.outlines import grain_through, tell_cutout
from pieces.importers.strokes import Stroke, joined, largest_side, scaled
from pieces.importers.wording import shown, text_of
from pieces.piece import GrainRule, Line, Notch, Outline, Piece, Point

_DRAWN = frozenset(["LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"])
_COARSE = 1.0
"""Tolerance for a look at the size alone."""
_DRAWN_BY_EYE_DEG = 0.5
"""A grain line this near to its fold edge, or to square with it, is meant to be just that."""


class Block:
    """A block of the drawing, its entities sorted by layer."""

    def __init__(self, space: Any) -> None:
        self.name = str(space.name)
        self.layers: dict[str, list[Any]] = defaultdict(list)
        self.texts: list[str] = []
        for entity in space:
            self.layers[entity.dxf.get("layer", "0").strip().lstrip("0")].append(entity)
            text = text_of(entity)
            if text:
                self.texts.append(text)
        self.says = told(self.texts)

    def is_piece(self) -> bool:
        """Whether it has a boundary where the standard has it, and a piece's name or number."""
        numbered = all(layer.isdecimal() or not layer for layer in self.layers)
        return bool(self.boundary()) and (PIECE_NAME in self.says or numbered)

    def boundary(self) -> list[Any]:
        """The lines of the piece's edge."""
        return [one for one in self.layers[Layer.BOUNDARY] if one.dxftype() in _DRAWN]

    def size(self) -> float:
        """The longer side of its boundary, in the drawing's unit; 0 if that can't be read."""
        try:
            strokes = [stroke_of(entity, _COARSE) for entity in self.boundary()]
        except UnreadableError:
            return 0.0
        return largest_side(stroke.line for stroke in strokes if stroke is not None)


class _Reader:
    """Reads the lines of one block, in millimetres."""

    def __init__(self, block: Block, scale: float, gathering: Gathering) -> None:
        self.block = block
        self.scale = scale
        self.gathering = gathering
        self.name = block.says.get(PIECE_NAME, block.name)

    def strokes(self, layer: str) -> list[Stroke]:
        found = []
        for entity in self.block.layers.get(layer, ()):
            try:
                stroke = stroke_of(entity, TOLERANCE_MM / self.scale)
            except UnreadableError as error:
                tell_unreadable(self.gathering, error)
                continue
            if stroke is not None:
                line = scaled(self.gathering.counted(stroke.line), self.scale)
                found.append(Stroke(line, stroke.closed, self.name))
        return found

    def drawn(self, layer: str) -> list[Line]:
        """Lines as they are to be drawn: closed ones come back to their first point."""
        return [
            (*stroke.line, stroke.line[0]) if stroke.closed else stroke.line
            for stroke in self.strokes(layer)
            if len(stroke.line) > 1
        ]

    def points(self, layer: str) -> list[tuple[Point, Any]]:
        points = [e for e in self.block.layers.get(layer, ()) if e.dxftype() == "POINT"]
        found = []
        for entity in points:
            x, y, _ = entity.dxf.location
            found.append((scaled(self.gathering.counted(((x, y),)), self.scale)[0], entity))
        return found

    def straight(self, layer: str) -> tuple[Point, Point] | None:
        """The longest line of a layer, from its beginning to its end."""
        lines = [stroke.line for stroke in self.strokes(layer) if len(stroke.line) > 1]
        if not lines:
            return None
        if len(lines) > 1:
            self.find(
                "line-ignored",
                f"has {len(lines)} lines on layer {layer}, where one is wanted; the longest was "
                "taken.",
            )
        longest = max(lines, key=lambda line: math.dist(line[0], line[-1]))
        return longest[0], longest[-1]

    def find(self, code: str, what: str) -> None:
        self.gathering.find(code, f"{self.name} {what}")


def piece_of(block: Block, scale: float, gathering: Gathering) -> list[Piece]:
    """The piece of one block; two where its numbers as drawn and mirrored differ.

    Raises
    ------
    OrderFault : its boundary does not close, or its mirror line is no edge of it
    """
    reader = _Reader(block, scale, gathering)
    mirror = reader.straight(Layer.MIRROR)
    outline, fold = folded(_boundary(reader, mirror), mirror, reader.name, gathering)
    sewing, stitched = sewing_ring(reader.strokes(Layer.SEW), fold, gathering)
    if stitched:
        reader.find(
            "sewing-line-open",
            "has a sewing line that does not go all round; it is drawn as a line.",
        )
    piece = Piece(
        name=reader.name,
        fabric=block.says.get(MATERIAL, ""),
        outline=outline,
        grain=_grain(reader, outline, fold),
        on_fold=fold,
        grain_rule=_grain_rule(reader),
        sewing_line=sewing,
        notches=tuple(_notches(reader, outline)),
        drawn_lines=(*reader.drawn(Layer.INTERNAL), *stitched, *_openings(reader)),
        joins=_joins(block.says.get(JOINS, "0")),
    )
    _tell_unread(reader)
    return counted(piece, block.says.get(QUANTITY, "1"), gathering)


def _boundary(reader: _Reader, mirror: tuple[Point, Point] | None) -> Outline:
    """The largest closed line on the boundary's layer; open at the mirror line is closed there."""
    closed, loose = joined(reader.strokes(Layer.BOUNDARY), reader.gathering)
    closed = [stroke for stroke in closed if len(stroke.line) > 2]
    if not closed and mirror is not None and len(loose) == 1:
        ends = loose[0].line[0], loose[0].line[-1]
        if all(min(math.dist(end, other) for other in mirror) <= 1.0 for end in ends):
            return loose[0].line
    if not closed:
        raise reader.gathering.refused(
            "The boundary of this piece is not closed.",
            "Close it in the program that drew it, and save the file anew.",
            f"piece '{reader.name}'",
        )
    largest = max(closed, key=lambda stroke: area(stroke.line))
    if len(closed) > 1:
        reader.find(
            "duplicate-outline",
            f"has {len(closed)} boundaries; the largest was taken.",
        )
    return largest.line


def _grain(
    reader: _Reader, outline: Outline, fold: tuple[Point, Point] | None
) -> tuple[Point, Point]:
    grain = reader.straight(next(iter(_grain_layers(reader.block)), Layer.GRAIN))
    if grain is not None and math.dist(*grain) > TOLERANCE_MM:
        straight = None if fold is None else squared(grain, fold, _DRAWN_BY_EYE_DEG)
        return straight or grain
    told_deg = reader.gathering.grain_deg
    along = "its fold edge" if fold else "the x axis of the drawing"
    reader.gathering.find_no_grain(reader.name, along)
    if fold is not None and told_deg is None:
        return fold
    return grain_through(outline, told_deg or 0.0)


def _grain_layers(block: Block) -> list[str]:
    """The standard's layer of the grain, and any other that is called so."""
    named = [layer for layer in block.layers if names_grain(layer)]
    return [layer for layer in (Layer.GRAIN, *named) if block.layers.get(layer)]


def _grain_rule(reader: _Reader) -> GrainRule:
    said = reader.block.says.get(GRAIN_RULE, "").lower()
    return GrainRule(said) if said in list(GrainRule) else GrainRule.LENGTHWISE


def _joins(said: str) -> int:
    return int(said) if said.isascii() and said.isdecimal() and len(said) < 4 else 0


def _notches(reader: _Reader, outline: Outline) -> list[Notch]:
    found = []
    for layer in sorted(NOTCHES):
        for at, entity in reader.points(layer):
            angle = entity.dxf.angle if entity.dxf.hasattr("angle") else None
            found.append(notch_at(at, angle, outline))
        found += [stroke_notch(stroke.line, outline) for stroke in reader.strokes(layer)]
    return found


def _openings(reader: _Reader) -> list[Line]:
    cutouts = reader.drawn(Layer.CUTOUT)
    holes = [at for at, _ in reader.points(Layer.DRILL)]
    if cutouts:
        tell_cutout(reader.gathering, reader.name)
    if holes:
        reader.find("drill-hole-drawn", "has drill holes, which are drawn as small crosses.")
    return cutouts + [line for at in holes for line in cross(at)]


def _tell_unread(reader: _Reader) -> None:
    read = NOTCHES | SILENT | set(Layer) - {Layer.STRIPE, Layer.PLAID}
    unread = sorted(
        shown(layer) or "0"
        for layer, entities in reader.block.layers.items()
        if layer not in read
        and not names_grain(layer)
        and any(entity.dxftype() in _DRAWN for entity in entities)
    )
    if unread:
        reader.find(
            "line-ignored",
            f"has lines on layers that mean nothing to a cutter here ({', '.join(unread)}); they "
            "were left out.",
        )
