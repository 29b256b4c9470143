"""Pieces by the open pattern-interchange standard, ASTM D6673, for other programs to read.

The lines of the file are written one by one, in the way of releases 11 to 13: readers of the
standard take every block for a piece, so there is none but the pieces, and of the tables only
the layers. Millimetres, one style a file.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from nesting.output.drawing.shape import Shape, shape_of
from pieces.geometry import bounds
from pieces.importers.interchange import (
    COMMENT,
    GRAIN_RULE,
    JOINS,
    MATERIAL,
    PIECE_NAME,
    QUANTITY,
    STYLE_NAME,
    UNITS_TEXT,
    Layer,
)
from pieces.piece import GrainRule, Line, Notch, Outline, Piece, Point

_Tag = tuple[int, object]
_TURN_DEG = 15.0
"""Where the outline bends more, the point is a corner; less, it is one of a curve."""
_NOTCH_MM = 5.0
_TEXT_MM = 5.0
_SPACE_MM = 40.0
_LONGEST_NAME = 31
"""Of a block, in the oldest release that may read it."""


def interchange_dxf(pieces: Sequence[Piece], style: str) -> bytes:
    """The pieces of one style, each a block, laid side by side."""
    blocks = _block_names(pieces)
    tags = [(999, COMMENT), *_section("HEADER", [(9, "$ACADVER"), (1, "AC1009")])]
    tags += _section("TABLES", _layer_table())
    drawn = (tag for piece, name in zip(pieces, blocks, strict=True) for tag in _block(piece, name))
    tags += _section("BLOCKS", drawn)
    tags += [*_section("ENTITIES", _entities(pieces, blocks, style)), (0, "EOF")]
    return "".join(f"{code:3d}\n{_written(value)}\n" for code, value in tags).encode("ascii")


def _written(value: object) -> str:
    """A value as the format has it; signs beyond the basic ones by their numbers."""
    if isinstance(value, float):
        return f"{value:.6f}"
    halves = str(value).encode("utf-16-be")
    units = (int.from_bytes(halves[i : i + 2], "big") for i in range(0, len(halves), 2))
    return "".join(chr(unit) if unit < 128 else f"\\U+{unit:04X}" for unit in units)


def _section(name: str, tags: Iterable[_Tag]) -> Iterator[_Tag]:
    yield from ((0, "SECTION"), (2, name))
    yield from tags
    yield (0, "ENDSEC")


def _layer_table() -> Iterator[_Tag]:
    yield from ((0, "TABLE"), (2, "LAYER"), (70, len(Layer)))
    for layer in Layer:
        yield from ((0, "LAYER"), (2, layer), (70, 0), (62, 7), (6, "CONTINUOUS"))
    yield (0, "ENDTAB")


def _block_names(pieces: Sequence[Piece]) -> list[str]:
    """A name of plain capitals for each block, numbered so that no two are the same."""
    names = []
    for number, piece in enumerate(pieces, start=1):
        plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in piece.name.upper())
        names.append(f"{number}-{plain}"[:_LONGEST_NAME].rstrip("-"))
    return names


def _block(piece: Piece, name: str) -> Iterator[_Tag]:
    shape = _shape(piece)
    yield from ((0, "BLOCK"), (8, Layer.BOUNDARY), (2, name), (70, 0), *_at((0.0, 0.0)), (3, name))
    yield from _polyline(shape.outline, Layer.BOUNDARY, closed=True)
    yield from _corners(shape.outline)
    for notch in shape.notches:
        yield from _notch(notch)
    for line in shape.folds:
        yield from _line((line[0], line[1]), Layer.MIRROR)
    for line in shape.inside:
        yield from _polyline(line, Layer.CUTOUT)
    yield from _line(piece.grain, Layer.GRAIN)
    for line in shape.drawn:
        yield from _polyline(line, Layer.INTERNAL)
    for line in shape.sewing:
        yield from _polyline(line, Layer.SEW)
    yield from _texts(piece)
    yield from ((0, "ENDBLK"), (8, Layer.BOUNDARY))


def _shape(piece: Piece) -> Shape:
    """What is drawn of a piece: the standard knows one mirror line, so one fold edge at most."""
    return shape_of(piece, piece.fold_edges[1:])


def _texts(piece: Piece) -> Iterator[_Tag]:
    left, low, right, high = bounds(piece.outline)
    x, y = left + (right - left) / 4, (low + high) / 2
    quantity = f"{piece.cut},{piece.cut}" if piece.pair else f"{piece.cut}"
    lines = [(Layer.BOUNDARY, PIECE_NAME, piece.name), (Layer.BOUNDARY, QUANTITY, quantity)]
    if piece.fabric:
        lines.append((Layer.BOUNDARY, MATERIAL, piece.fabric))
    if piece.grain_rule is not GrainRule.LENGTHWISE:
        lines.append((Layer.ANNOTATION, GRAIN_RULE, piece.grain_rule))
    if piece.joins:
        lines.append((Layer.ANNOTATION, JOINS, str(piece.joins)))
    for row, (layer, word, value) in enumerate(lines):
        yield from _text(f"{word}: {value}", (x, y - 2 * _TEXT_MM * row), layer)


def _entities(pieces: Sequence[Piece], blocks: Sequence[str], style: str) -> Iterator[_Tag]:
    texts = [f"{UNITS_TEXT}: METRIC"] + ([f"{STYLE_NAME}: {style}"] if style else [])
    for row, text in enumerate(texts, start=1):
        yield from _text(text, (0.0, -2 * _TEXT_MM * row), Layer.BOUNDARY)
    x = 0.0
    for piece, block in zip(pieces, blocks, strict=True):
        left, low, right, _ = bounds(_shape(piece).outline)
        yield from ((0, "INSERT"), (8, Layer.BOUNDARY), (2, block), *_at((x - left, -low)))
        x += right - left + _SPACE_MM


def _at(point: Point, z: float = 0.0) -> tuple[_Tag, ...]:
    return (10, float(point[0])), (20, float(point[1])), (30, z)


def _polyline(line: Line, layer: Layer, *, closed: bool = False) -> Iterator[_Tag]:
    yield from ((0, "POLYLINE"), (8, layer), (66, 1), *_at((0.0, 0.0)), (70, int(closed)))
    for point in line:
        yield from ((0, "VERTEX"), (8, layer), *_at(point))
    yield from ((0, "SEQEND"), (8, layer))


def _line(line: tuple[Point, Point], layer: Layer) -> Iterator[_Tag]:
    (_, (x, y)) = line
    yield from ((0, "LINE"), (8, layer), *_at(line[0]), (11, float(x)), (21, float(y)), (31, 0.0))


def _corners(outline: Outline) -> Iterator[_Tag]:
    """A mark at every point of the outline that says whether it is a corner or on a curve."""
    for i, (x, y) in enumerate(outline):
        (ax, ay), (bx, by) = outline[i - 1], outline[(i + 1) % len(outline)]
        turn = math.atan2(by - y, bx - x) - math.atan2(y - ay, x - ax)
        bend_deg = abs((math.degrees(turn) + 180.0) % 360.0 - 180.0)
        layer = Layer.TURN if bend_deg > _TURN_DEG else Layer.CURVE
        yield from ((0, "POINT"), (8, layer), *_at((x, y)))


def _notch(notch: Notch) -> Iterator[_Tag]:
    """A slit: a point with its depth for height, no width, and the direction inwards."""
    yield from ((0, "POINT"), (8, Layer.NOTCH), *_at(notch.at, _NOTCH_MM), (39, 0.0))
    yield (50, float(notch.inward_deg))


def _text(text: str, at: Point, layer: Layer) -> Iterator[_Tag]:
    yield from ((0, "TEXT"), (8, layer), *_at(at), (40, _TEXT_MM), (1, text))
