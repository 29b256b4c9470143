"""Drawings made by hand, tag by tag, for the readers; nothing here comes from our own writers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from pieces.piece import Draft
from pieces.ready import read_pieces

SQUARE = ((0, 0), (200, 0), (200, 100), (0, 100))
"""Called so for short: 200 by 100."""


def tags(*pairs: tuple[int, object]) -> str:
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def polyline(
    points: Sequence[tuple[float, float]], layer: str = "0", *, closed: bool = True
) -> str:
    """In the way of releases 11 to 13."""
    drawn = tags((0, "POLYLINE"), (8, layer), (66, 1), (70, int(closed)))
    for x, y, *bulge in points:
        drawn += tags((0, "VERTEX"), (8, layer), (10, x), (20, y))
        drawn += tags((42, bulge[0])) if bulge else ""
    return drawn + tags((0, "SEQEND"), (8, layer))


def lwpolyline(
    points: Sequence[tuple[float, ...]], layer: str = "0", *, closed: bool = True
) -> str:
    drawn = tags((0, "LWPOLYLINE"), (100, "AcDbEntity"), (8, layer), (100, "AcDbPolyline"))
    drawn += tags((90, len(points)), (70, int(closed)))
    for x, y, *bulge in points:
        drawn += tags((10, x), (20, y), *([(42, bulge[0])] if bulge else []))
    return drawn


def line(start: tuple[float, float], end: tuple[float, float], layer: str = "0") -> str:
    (ax, ay), (bx, by) = start, end
    return tags((0, "LINE"), (8, layer), (10, ax), (20, ay), (11, bx), (21, by))


def arc(at: tuple[float, float], radius: float, start: float, end: float) -> str:
    x, y = at
    return tags((0, "ARC"), (8, "0"), (10, x), (20, y), (40, radius), (50, start), (51, end))


def circle(at: tuple[float, float], radius: float) -> str:
    return tags((0, "CIRCLE"), (8, "0"), (10, at[0]), (20, at[1]), (40, radius))


def point(at: tuple[float, float], layer: str, *more: tuple[int, object]) -> str:
    return tags((0, "POINT"), (8, layer), (10, at[0]), (20, at[1]), *more)


def text(words: str, layer: str = "1", at: tuple[float, float] = (50, 50)) -> str:
    return tags((0, "TEXT"), (8, layer), (10, at[0]), (20, at[1]), (40, 5), (1, words))


def insert(block: str, *more: tuple[int, object]) -> str:
    return tags((0, "INSERT"), (8, "0"), (2, block), (10, 0), (20, 0), *more)


def dxf(
    entities: str = "", blocks: Mapping[str, str] | None = None, units: int | None = None
) -> str:
    """A whole file; without `units` its header is empty, as in files of the trade."""
    header = "" if units is None else tags((9, "$ACADVER"), (1, "AC1015"))
    header += "" if units is None else tags((9, "$INSUNITS"), (70, units))
    inside = "".join(
        tags((0, "BLOCK"), (8, "0"), (2, name), (70, 0), (10, 0), (20, 0), (3, name))
        + content
        + tags((0, "ENDBLK"), (8, "0"))
        for name, content in (blocks or {}).items()
    )
    sections = {"HEADER": header, "TABLES": "", "BLOCKS": inside, "ENTITIES": entities}
    return "".join(
        tags((0, "SECTION"), (2, name)) + content + tags((0, "ENDSEC"))
        for name, content in sections.items()
    ) + tags((0, "EOF"))


def piece_block(*more: str, outline: Sequence[tuple[float, float]] = SQUARE) -> str:
    """A block of the interchange standard: boundary and name, and whatever more."""
    return polyline(outline, "1") + text("Piece Name: front") + "".join(more)


def interchange(*blocks: str, units: str = "METRIC") -> str:
    named = {f"block {number}": block for number, block in enumerate(blocks)}
    said = text(f"Units: {units}") if units else ""
    return dxf(said + "".join(insert(name) for name in named), named)


def svg(content: str, head: str = 'width="400mm" height="300mm" viewBox="0 0 400 300"') -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{content}</svg>'


def read(folder: Path, name: str, drawing: str, **told: object) -> Draft:
    file = folder / name
    file.write_text(drawing, encoding="utf-8")
    return read_pieces(file, **told)


def codes(draft: Draft) -> set[str]:
    return {finding.code for finding in draft.findings}
