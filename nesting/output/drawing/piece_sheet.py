"""Sheets that show the pieces of an order one by one, each with its measures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.piece_lines import draw_shape, grain_arrow
from nesting.output.drawing.rows import MARGIN_MM, Row
from nesting.output.drawing.shape import shape_of
from nesting.output.drawing.sheet import (
    FAINT,
    Sheet,
    line_height_mm,
    rectangle,
    shortened,
    size_to_fit,
    text_width_mm,
)
from pieces.curves import length
from pieces.geometry import bounds
from pieces.piece import Piece
from pieces.units import Unit, format_length

_WIDTH_MM, _HEIGHT_MM = 297.0, 210.0
_HEADER_MM, _FOOTER_MM = 12.0, 2.0
_MOST = 12
_GRIDS = {1: (1, 1), 2: (2, 1), 4: (2, 2), 6: (3, 2), 9: (3, 3), 12: (4, 3)}
"""Columns and rows for up to so many pieces."""
_RATIOS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200)
_BESIDE_MM, _BELOW_MM = 8.0, 6.2
"""Left of a piece and below it: its dimensions."""
_NAME_MM = 4.0
_SPACE_MM, _PAD_MM = 4.0, 3.0
"""Between the frames, and inside them."""
_SMALL_PT = 7.0


def draw_pieces(name: str, pieces: Sequence[Piece], unit: Unit) -> list[Sheet]:
    """Draw the pieces, at most a dozen to a sheet; each at the round scale that it fits."""
    unit = words.tape(unit)
    count = max(1, math.ceil(len(pieces) / _MOST))
    each = math.ceil(len(pieces) / count)
    fills = key.fills_of([piece.garment for piece in pieces])
    sheets = []
    for number in range(count):
        title = f"{name}: pieces" + (f", sheet {number + 1} of {count}" if count > 1 else "")
        shown = pieces[number * each : (number + 1) * each]
        sheets.append(_sheet(title, shown, fills, unit))
    return sheets


@dataclass(frozen=True, slots=True)
class _Cell:
    """Room on the page for one piece: its upper left corner and its size."""

    left: float
    top: float
    width: float
    height: float


def _sheet(title: str, pieces: Sequence[Piece], fills: Mapping[str, key.Fill], unit: Unit) -> Sheet:
    sheet = Sheet(_WIDTH_MM, _HEIGHT_MM, title)
    right, top = _WIDTH_MM - MARGIN_MM, _HEIGHT_MM - MARGIN_MM
    room = right - MARGIN_MM
    size = size_to_fit(title, 15.0, room, bold=True)
    sheet.text((MARGIN_MM, top - 2.5), shortened(title, size, room, bold=True), size, bold=True)
    sheet.line([(MARGIN_MM, top - 8), (right, top - 8)], 0.8, colour=FAINT)
    for piece, cell in zip(pieces, _cells(len(pieces)), strict=False):
        frame = rectangle(cell.left, cell.top - cell.height, cell.width, cell.height)
        sheet.area(frame, "none", edge=key.SELVEDGE, width_pt=0.6)
        _fill(sheet, cell, piece, fills[piece.garment], unit)
    note = (
        "thin grey: sewing line; arrow: thread line; heavy edge: on the fold of the cloth; "
        "measures are of the cut line; pieces are drawn to different scales"
    )
    sheet.text((MARGIN_MM, MARGIN_MM), note, _SMALL_PT, colour=FAINT)
    return sheet


def _cells(count: int) -> Iterator[_Cell]:
    """The cells of the grid that holds so many pieces, row by row from the top."""
    columns, rows = next(grid for most, grid in _GRIDS.items() if count <= most)
    wide = (_WIDTH_MM - 2 * MARGIN_MM + _SPACE_MM) / columns
    high = (_HEIGHT_MM - 2 * MARGIN_MM - _HEADER_MM - _FOOTER_MM) / rows
    for row in range(rows):
        for column in range(columns):
            left = MARGIN_MM + column * wide
            top = _HEIGHT_MM - MARGIN_MM - _HEADER_MM - row * high
            yield _Cell(left, top, wide - _SPACE_MM, high - _SPACE_MM)


def _fill(sheet: Sheet, cell: _Cell, piece: Piece, fill: key.Fill, unit: Unit) -> None:
    """Draw one piece with its dimensions and, under it, what is said of it."""
    left, width = cell.left + _PAD_MM, cell.width - 2 * _PAD_MM
    facts = _facts(piece, width, unit)
    caption = _NAME_MM + len(facts) * line_height_mm(_SMALL_PT)
    room = (width - _BESIDE_MM, cell.height - caption - _BELOW_MM - 3 * _PAD_MM)
    low_x, low_y, high_x, high_y = bounds(piece.outline)
    along, across = high_x - low_x, high_y - low_y
    ratio = next((r for r in _RATIOS if along / r <= room[0] and across / r <= room[1]), 0)
    scale = 1 / ratio if ratio else min(room[0] / along, room[1] / across)
    x = left + _BESIDE_MM + (room[0] - along * scale) / 2
    y = cell.top - _PAD_MM - room[1] / 2 - across * scale / 2
    _draw_piece(sheet, Row(low_x, high_x, x, y - low_y * scale, scale), piece, fill)
    right, top = x + along * scale, y + across * scale
    lower, beside = y - _BELOW_MM, x - 4.0
    sheet.dimension((x, lower), (right, lower), format_length(along, unit), _SMALL_PT)
    sheet.dimension((beside, y), (beside, top), format_length(across, unit), _SMALL_PT)
    base = cell.top - cell.height + _PAD_MM + caption
    _write_caption(sheet, (left, base), width, piece, [*facts, f"drawn 1 : {1 / scale:.3g}"])


def _draw_piece(sheet: Sheet, row: Row, piece: Piece, fill: key.Fill) -> None:
    shape = shape_of(piece)
    draw_shape(sheet, row, shape, fill)
    sheet.arrow(*grain_arrow(shape, row), both=False)
    for number, edge in enumerate(shape.folds):
        (x0, y0), (x1, y1) = row.on_page(edge)
        at, turn_deg = ((x0 + x1) / 2, min(y0, y1) - 2.7), 0.0
        if number:  # it runs upwards, and beside it stands its measure
            at, turn_deg = (min(x0, x1) + 2.7, (y0 + y1) / 2), 90.0
        sheet.text(at, "on the fold", _SMALL_PT, bold=True, align="center", turn_deg=turn_deg)


def _facts(piece: Piece, width: float, unit: Unit) -> list[str]:
    """How many to cut of what, and the lengths of the seams, in lines that fit the width."""
    lines = key.wrapped(f"{words.to_cut(piece)}, {piece.fabric}", _SMALL_PT, width)
    for said in words.slit(piece, unit):
        lines += key.wrapped(said, _SMALL_PT, width)
    seams = ", ".join(f"{s.name} {format_length(length(s.line), unit)}" for s in piece.seams)
    if seams:
        part = words.part_drawn(piece)
        this = f" of this {part}" if part else ""
        lines += key.wrapped(f"seams{this}: {seams}", _SMALL_PT, width)
    return lines


def _write_caption(
    sheet: Sheet, corner: tuple[float, float], width: float, piece: Piece, facts: Sequence[str]
) -> None:
    """Name and facts from the upper left corner down; the last fact stands at the right."""
    left, top = corner
    *below, scale = facts
    name = words.named(piece.name, piece.garment)
    room = width - text_width_mm(scale, _SMALL_PT) - 2
    size = size_to_fit(name, 8.5, room, bold=True)
    sheet.text((left, top - 2), shortened(name, size, room, bold=True), size, bold=True)
    sheet.text((left + width, top - 2), scale, _SMALL_PT, colour=FAINT, align="right")
    for index, line in enumerate(below):
        y = top - _NAME_MM - (index + 0.5) * line_height_mm(_SMALL_PT)
        sheet.text((left, y), line, _SMALL_PT)
