"""Pieces and markers as DXF drawings (release 2010), true size in millimetres.

Each piece is a block in its own coordinates with its origin as base point; a marker inserts it
shifted, turned and, with a y scale of -1, mirrored. A piece opened out is a block of its own.
Writing stays outside the blocks, so that it never reads mirrored. An outline is closed: the
edge of a piece that lies on the fold, drawn again on the layer FOLD, is not to be cut.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Sequence
from typing import Any

from nesting.fabric.lay import End
from nesting.fabric.plans import FabricPlan
from nesting.output import words
from nesting.output.drawing.cloth import (
    Stretch,
    cloth_end_mm,
    drawn,
    drawn_flaws,
    stretches,
)
from nesting.output.drawing.shape import Shape, opened_about, shape_of
from pieces.geometry import bounds
from pieces.piece import Draft, Line, Notch, Piece, Point

LAYERS = {
    "CUT": ("cut line of a piece", 7, "CONTINUOUS"),
    "SEW": ("sewing line", 8, "DASHED"),
    "GRAIN": ("thread line, arrow from tail to head", 5, "CONTINUOUS"),
    "FOLD": ("fold of the cloth, and edges of pieces that lie on one", 1, "DASHDOT"),
    "CENTRE": ("middle of a piece opened out", 6, "CENTER"),
    "NOTCH": ("notch", 3, "CONTINUOUS"),
    "DRAWN": ("line to draw and not to cut", 4, "DASHED"),
    "CLOTH": ("usable cloth of the marker", 9, "CONTINUOUS"),
    "SELVEDGE": ("outer edge of a selvedge", 30, "DASHDOT"),
    "FLAW": ("flaw of the cloth, in one of its layers", 6, "CONTINUOUS"),
    "LEFT_OVER": ("what is left of the cloth", 8, "DOT"),
    "TEXT": ("names and numbers", 7, "CONTINUOUS"),
}
"""Every layer with its meaning, colour number and line type."""

_MILLIMETRES = 4
_NOTCH_MM = 5.0
_ARROW_MM = 12.0
_TEXT_MM = 8.0
_SPACE_MM = 40.0
_RESERVED = re.compile(r"[<>/\\\":;?*|=`,']+")


def marker_dxf(entry: FabricPlan) -> bytes:
    """The marker of one cloth: every piece in its place, the cloth, its fold and selvedges."""
    drawing = _Drawing()
    entry = drawn(entry)
    pieces = {piece.key: piece for piece in entry.pieces}
    for number, placement in enumerate(words.in_laying_order(entry.marker.placements), start=1):
        piece = pieces[placement.garment, placement.piece]
        drawing.insert(
            drawing.block(piece, opened_about(piece, placement)),
            (placement.x_mm, placement.y_mm),
            placement.turn_deg,
            placement.mirrored,
        )
        left, low, right, high = bounds(placement.outline_mm)
        middle = ((left + right) / 2, (low + high) / 2)
        turn_deg = 90.0 if high - low > 2 * (right - left) else 0.0
        drawing.text(f"{number} {words.named(piece.name, piece.garment)}", middle, turn_deg)
    _draw_cloth(drawing, entry)
    return drawing.saved()


def pieces_dxf(draft: Draft) -> bytes:
    """The pieces alone, their blocks side by side, each with its name and how many to cut."""
    drawing = _Drawing()
    x = 0.0
    for piece in draft.pieces:
        left, low, right, _ = bounds(piece.outline)
        drawing.insert(drawing.block(piece), (x - left, -low), 0.0, False)
        lines = (words.named(piece.name, piece.garment), words.to_cut(piece), piece.fabric)
        for index, text in enumerate(lines, start=1):
            drawing.text(text, (x + (right - left) / 2, -2 * index * _TEXT_MM))
        x += max(right - left, _TEXT_MM * max(map(len, lines))) + _SPACE_MM
    return drawing.saved()


class _Drawing:
    """A document with our layers, and a block for each piece drawn so far."""

    def __init__(self) -> None:
        from ezdxf.filemanagement import new

        self.document = new("R2010", setup=["linetypes", "styles"])
        self.document.header["$INSUNITS"] = _MILLIMETRES
        self.document.header["$MEASUREMENT"] = 1
        self.document.header["$LTSCALE"] = 10.0
        for name, (meaning, colour, line_type) in LAYERS.items():
            layer = self.document.layers.add(name, color=colour, linetype=line_type)
            layer.description = meaning
        self.space: Any = self.document.modelspace()
        self.blocks: dict[tuple[tuple[str, str], tuple[Line, ...]], str] = {}

    def block(self, piece: Piece, about: Sequence[Line] = ()) -> str:
        """Name of the piece's block, opened out `about` some edges, drawn when first asked for."""
        known = (piece.key, tuple(about))
        if known not in self.blocks:
            name = self._free_name(piece, bool(about))
            block = self.document.blocks.new(name)
            block.block_record.dxf.units = _MILLIMETRES
            _draw_shape(block, shape_of(piece, about))
            self.blocks[known] = name
        return self.blocks[known]

    def _free_name(self, piece: Piece, unfolded: bool) -> str:
        """A block name out of the piece's; block names know no capitals."""
        full = " - ".join(part for part in (piece.garment, piece.name) if part)
        base = _RESERVED.sub(" ", full + (" opened out" if unfolded else "")).strip()
        base = base.lstrip("*_ ")[:200] or "piece"
        name, number = base, 2
        while name in self.document.blocks:
            name, number = f"{base} {number}", number + 1
        return name

    def insert(self, block: str, at: Point, turn_deg: float, mirrored: bool) -> None:
        """Put a block in its place."""
        self.space.add_blockref(
            block,
            at,
            dxfattribs={
                "layer": "CUT",
                "rotation": turn_deg,
                "yscale": -1.0 if mirrored else 1.0,
            },
        )

    def line(self, points: Line, layer: str, *, closed: bool = False) -> None:
        """A line in model space."""
        self.space.add_lwpolyline(points, close=closed, dxfattribs={"layer": layer})

    def text(self, text: str, at: Point, turn_deg: float = 0.0) -> None:
        """A line of writing about a point."""
        from ezdxf.enums import TextEntityAlignment

        written = self.space.add_text(
            text, height=_TEXT_MM, rotation=turn_deg, dxfattribs={"layer": "TEXT"}
        )
        written.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)

    def saved(self) -> bytes:
        """The document as the bytes of a file."""
        from ezdxf import bbox, zoom

        box = bbox.extents(self.space, fast=True)
        if box.has_data:
            self.space.reset_extents(box.extmin, box.extmax)
            zoom.window(self.space, box.extmin, box.extmax)
        text = io.StringIO()
        self.document.write(text)
        return text.getvalue().encode(self.document.output_encoding, errors="dxfreplace")


def _draw_shape(block: Any, shape: Shape) -> None:
    def line(points: Iterable[Point], layer: str, *, closed: bool = False) -> None:
        block.add_lwpolyline(tuple(points), close=closed, dxfattribs={"layer": layer})

    line(shape.outline, "CUT", closed=True)
    for stretch in shape.inside:
        line(stretch, "CUT")
    for stretch in shape.sewing:
        line(stretch, "SEW")
    for stretch in shape.drawn:
        line(stretch, "DRAWN")
    for stretch in shape.folds:
        line(stretch, "FOLD")
    for stretch in shape.centres:
        line(stretch, "CENTRE")
    for notch in shape.notches:
        line(_notch_line(notch), "NOTCH")
    for stretch in _arrow(shape.grain):
        line(stretch, "GRAIN")


def _notch_line(notch: Notch) -> Line:
    angle = math.radians(notch.inward_deg)
    x, y = notch.at
    return (notch.at, (x + _NOTCH_MM * math.cos(angle), y + _NOTCH_MM * math.sin(angle)))


def _arrow(grain: Line) -> tuple[Line, Line]:
    """The thread line and the two strokes of its head."""
    (x0, y0), (x1, y1) = grain
    back = math.atan2(y0 - y1, x0 - x1)
    size = min(_ARROW_MM, math.hypot(x1 - x0, y1 - y0) / 3)
    left, right = (
        (x1 + size * math.cos(back + turn), y1 + size * math.sin(back + turn))
        for turn in (math.radians(25), math.radians(-25))
    )
    return grain, (left, (x1, y1), right)


def _draw_cloth(drawing: _Drawing, entry: FabricPlan) -> None:
    along = stretches(entry.marker, entry.fabric, cloth_end_mm(entry))
    for stretch in along:
        _draw_stretch(drawing, stretch)
    for section in along[1:]:
        middle = (section.low_mm + section.high_mm) / 2
        text = "from here on: open out, single layer"
        drawing.text(text, (section.start_mm, middle), 90.0)
    for flaw in drawn_flaws(entry.marker, entry.fabric, cloth_end_mm(entry)):
        drawing.line(flaw, "FLAW", closed=True)
    for remnant in entry.remnants:
        corners = _box(remnant.x_mm, remnant.y_mm, remnant.length_mm, remnant.width_mm)
        drawing.line(corners, "LEFT_OVER", closed=True)


def _draw_stretch(drawing: _Drawing, stretch: Stretch) -> None:
    """The edges of a stretch of cloth that lies one way, and its folds."""
    lay, start, end = stretch.lay, stretch.start_mm, stretch.end_mm
    first, last = lay.bands[0], lay.bands[-1]
    low, high = first.low_mm, last.high_mm
    drawing.line(_box(start, low, end - start, high - low), "CLOTH", closed=True)
    for at, is_fold, side in (
        (stretch.low_mm, first.fold_low, -1.0),
        (stretch.high_mm, last.fold_high, 1.0),
    ):
        drawing.line(((start, at), (end, at)), "FOLD" if is_fold else "SELVEDGE")
        outside = at + side * 2 * _TEXT_MM
        drawing.text("fold" if is_fold else "selvedge", ((start + end) / 2, outside))
    for y in lay.inner_edges_mm:
        drawing.line(((start, y), (end, y)), "SELVEDGE")
    for x, how in ((start, lay.near), (end, lay.far)):
        if how is End.FOLD:
            drawing.line(((x, low), (x, high)), "FOLD")


def _box(x: float, y: float, length: float, width: float) -> Line:
    return ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
