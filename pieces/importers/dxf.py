"""Pieces from a DXF drawing: by the open interchange standard, or plain closed outlines."""

from __future__ import annotations

import io
import logging
import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from pieces.importers.dxf_blocks import Block, piece_of
from pieces.importers.dxf_lines import Walk
from pieces.importers.gathering import IF_UNIT_IS_WRONG, TOLERANCE_MM, Gathering, guessed_unit
from pieces.importers.grain import parted
from pieces.importers.interchange import SIZE, STYLE_NAME, UNITS, UNITS_TEXT, told
from pieces.importers.outlines import named_apart, plain_pieces, region_of, shapes_of
from pieces.importers.strokes import largest_side, scaled
from pieces.importers.wording import text_of
from pieces.piece import Draft, Line, Piece, Point
from pieces.units import Unit, mm_per

# What the library mends it also logs, which would reach the terminal; findings tell it instead.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

_BINARY = b"AutoCAD Binary DXF"
_HEADER = re.compile(rb"(?:\s*999\s*\n[^\n]*\n)*\s*0\s+SECTION\s+2\s+HEADER[ \t]*\r?\n")
_OWN_LAYERS = ("CUT", "SEW", "GRAIN", "FOLD", "LEFT_OVER")
"""Of the drawings that are written for people."""
_HEADER_UNITS = {1: Unit.IN, 4: Unit.MM, 5: Unit.CM, 6: Unit.M, 10: Unit.YD}
"""$INSUNITS of the published reference, as far as cloth is measured in them."""


def read_dxf(data: bytes, gathering: Gathering) -> Draft:
    """The pieces of a DXF file; a unit, if told, counts more than what the file says.

    Raises
    ------
    OrderFault : it is no DXF drawing, or holds no piece that can be cut
    """
    document = _document(data, gathering)
    blocks = [Block(space) for space in document.blocks if not space.is_any_layout]
    blocks = [block for block in blocks if block.is_piece()]
    if blocks:
        return gathering.draft(_interchanged(document, blocks, gathering))
    return gathering.draft(_plain(document, gathering))


def _document(data: bytes, gathering: Gathering) -> Any:
    if data.startswith(_BINARY):
        raise gathering.refused(
            "This is a binary DXF file.", "Save the drawing as a DXF file of text."
        )
    from ezdxf import recover  # takes a while to load
    from ezdxf.audit import AuditError

    unreadable = (AuditError.INVALID_FLOATING_POINT_VALUE, AuditError.INVALID_INTEGER_VALUE)
    try:
        if b"SECTION" not in data:
            raise ValueError("no section in it")
        document, auditor = recover.read(io.BytesIO(_dated(data)))
        if any(error.code in unreadable for error in auditor.errors):
            raise ValueError("a number in it can't be read")
    except Exception as error:  # damaged files fail in whatever way the library has
        raise gathering.refused(
            "This is no DXF drawing, or it is damaged beyond reading.",
            "Save it anew from the program that drew it.",
        ) from error
    if auditor.errors or auditor.fixes:
        gathering.find(
            "file-damaged",
            "parts of the file are damaged and were mended or left out. Look whether all pieces "
            "are there and whole, or save the drawing anew.",
        )
    return document


def _dated(data: bytes) -> bytes:
    """The file with its release at its head, where that is absent and is not the oldest.

    Files of the trade leave their header empty, and then readers take them for release 12.
    """
    if b"$ACADVER" in data or b"AcDbEntity" not in data:
        return data
    release = b"9\n$ACADVER\n1\nAC1015\n"
    head = _HEADER.match(data)
    if head is None:
        return b"0\nSECTION\n2\nHEADER\n" + release + b"0\nENDSEC\n" + data
    return data[: head.end()] + release + data[head.end() :]


def _interchanged(document: Any, blocks: Sequence[Block], gathering: Gathering) -> list[Piece]:
    style = told(
        [text for block in blocks for text in block.texts]
        + [text for entity in document.modelspace() if (text := text_of(entity))]
    )
    said = UNITS.get(style.get(UNITS_TEXT, "").upper())
    scale = _scale(gathering, said, (block.size() for block in blocks))
    sized = [
        (piece, block.says.get(SIZE, ""))
        for block in blocks
        for piece in piece_of(block, scale, gathering)
    ]
    times = Counter(piece.name for piece, _ in sized)
    names = [
        f"{piece.name} size {size}" if size and times[piece.name] > 1 else piece.name
        for piece, size in sized
    ]
    garment = style.get(STYLE_NAME, "")
    return [
        replace(piece, name=name, garment=garment)
        for (piece, _), name in zip(sized, named_apart(names), strict=True)
    ]


def _plain(document: Any, gathering: Gathering) -> list[Piece]:
    if all(document.layers.has_entry(layer) for layer in _OWN_LAYERS):
        raise gathering.refused(
            "This is a drawing to cut by, which tells people and not programs what is on a fold.",
            "Name the file pieces-interchange beside it.",
        )
    space = document.modelspace()
    said = _HEADER_UNITS.get(document.header.get("$INSUNITS", 0))
    sides = (largest_side([stroke.line]) for stroke in Walk(gathering, 1.0).strokes(space))
    scale = _scale(gathering, said, sides)
    strokes = [
        replace(stroke, line=scaled(gathering.counted(stroke.line), scale))
        for stroke in Walk(gathering, TOLERANCE_MM / scale).strokes(space)
    ]
    lines, grains = parted(strokes)
    shapes = shapes_of(lines, gathering)
    texts = list(_texts(space, scale))
    stem = gathering.path.stem
    names = [shape.name or _written_in(shape.outline, texts) or stem for shape in shapes]
    return plain_pieces(shapes, names, grains, gathering)


def _scale(gathering: Gathering, said: Unit | None, sides: Iterable[float]) -> float:
    """Millimetres in one unit of the drawing: as told, as the file says, or by its size."""
    unit = gathering.unit
    if unit is not None and said not in (None, unit):
        gathering.find(
            "unit-overruled",
            f"the file says that it is in {said}, the order says {unit}; the order was followed.",
        )
    chosen = unit or said
    if chosen is None:
        largest = max(sides, default=0.0)
        chosen = guessed_unit(largest)
        gathering.find(
            "unit-guessed",
            f"the file tells no unit; its largest piece measures {largest:.4g}, so {chosen} was "
            "taken. " + IF_UNIT_IS_WRONG,
        )
    return float(mm_per(chosen))


def _texts(space: Iterable[Any], scale: float) -> Iterable[tuple[Point, str]]:
    for entity in space:
        text = text_of(entity)
        if text:
            x, y, _ = entity.dxf.insert
            if math.isfinite(x) and math.isfinite(y):
                yield (x * scale, y * scale), text


def _written_in(outline: Line, texts: Sequence[tuple[Point, str]]) -> str:
    """The first writing that begins inside an outline."""
    if not texts:
        return ""
    from shapely.geometry import Point as Spot  # takes a while to load

    cloth = region_of(outline)
    return next((text for at, text in texts if cloth.covers(Spot(at))), "")
