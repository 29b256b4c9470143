"""The sheet that lies beside paper pieces in a photograph, drawn true to size: two pages of it."""

from __future__ import annotations

from nesting.output.drawing.sheet import FAINT, INK, Sheet, pages_pdf, rectangle
from nesting.output.paper.tiling import Paper
from pieces.geometry import area, translated
from pieces.piece import Outline
from pieces.trace.board import SHEETS, TALL_MM, WIDE_MM, black_cells

LINE_MM = 150.0
"""The line to check the printer by."""
_BLACK, _WHITE = "#000000", "#ffffff"
_BELOW_MM = 5.0
_TICK_MM = 2.0
_HAIR_MM = 0.001
"""Cells that touch grow together."""


def sheet_pdf(paper: Paper) -> bytes:
    """Both sheets, each with markers of its own, as a PDF of two pages."""
    title = "Sheet to photograph beside paper pieces"
    return pages_pdf((_page(title, number, paper) for number in range(SHEETS)), title)


def _page(title: str, number: int, paper: Paper) -> Sheet:
    wide, tall = paper.size_mm
    sheet = Sheet(wide, tall, title)
    left, low = (wide - WIDE_MM) / 2, (tall - TALL_MM) / 2
    for layer, (outline, fill) in enumerate(_rings(number)):
        sheet.area(translated(outline, left, low), fill, layer=layer)
    start, y = (wide - LINE_MM) / 2 - 15, low - _BELOW_MM
    sheet.line(((start, y), (start + LINE_MM, y)), 0.6)
    for x in (start, start + LINE_MM):
        sheet.line(((x, y - _TICK_MM), (x, y + _TICK_MM)), 0.6)
    sheet.text((start + LINE_MM + 3, y), "150 mm (5.91 in)", 7.0, colour=INK)
    told = f"sheet {number + 1} of {SHEETS}: print at 100 %, measure the line below, lay flat"
    sheet.text((start, tall - low + 3.5), told, 7.0, colour=FAINT)
    return sheet


def _rings(number: int) -> list[tuple[Outline, str]]:
    """What to fill black and white in turn, the larger first, as small ones lie in them."""
    from shapely.geometry import Polygon  # takes a while to load
    from shapely.ops import unary_union

    grown = 2 * _HAIR_MM
    union = unary_union(
        [
            Polygon(rectangle(x - _HAIR_MM, y - _HAIR_MM, side + grown, side + grown))
            for (x, y), side in ((cell.at, cell.side_mm) for cell in black_cells(number))
        ]
    )
    parts = list(getattr(union, "geoms", [union]))
    rings = [(tuple(part.exterior.coords), _BLACK) for part in parts]
    rings += [(tuple(hole.coords), _WHITE) for part in parts for hole in part.interiors]
    return sorted(rings, key=lambda ring: -area(ring[0][:-1]))
