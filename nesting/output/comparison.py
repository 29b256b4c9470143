"""A comparison of lays and widths: in words, as data, and as one picture of small layouts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from nesting.lay import End
from nesting.output import key, words
from nesting.output.cloth import Stretch, drawn_flaws, drawn_marker, stretches
from nesting.output.data import FORMAT, compared_data
from nesting.output.report import compared_notes, compared_table, heading, paragraph
from nesting.output.rows import MARGIN_MM, Row
from nesting.output.sheet import DASH_DOT, DOTTED, FAINT, INK, Sheet, rectangle, size_to_fit
from nesting.plans import Alternative, ComparedCloth, Comparison
from pieces.units import Unit, format_length

_PAGE_MM = 297.0
_TITLE_MM, _CLOTH_MM = 15.0, 9.0
_CAPTION_MM, _LINE_MM = 16.0, 4.0
_WIDE_MM = 60.0
"""A caption's three lines fit a cell so wide; in a narrower one two of them may be broken."""
_SPACE_MM = 6.0
_BOLDER = 1.15
"""How much longer a line is in bold."""
_DEEPEST_MM = 40.0
"""No small layout is drawn deeper than this."""
_MOST_ACROSS = 6
_LEAST_ACROSS = 3


def comparison_report(comparison: Comparison) -> str:
    """The comparison as tables, ready for the terminal."""
    unit = words.tape(comparison.unit)
    lines = [heading(f"Lays and widths compared: {comparison.order}", "=")]
    for cloth in comparison.cloths:
        lines += ["", heading(cloth.fabric.name, "-")]
        figures = [one.figures for one in cloth.alternatives]
        currency = cloth.fabric.price.currency if cloth.fabric.price is not None else ""
        lines += compared_table(figures, currency, unit)
        lines += [paragraph(text) for text in _no_room(cloth, unit)]
    figures = [one.figures for cloth in comparison.cloths for one in cloth.alternatives]
    lines += ["", *compared_notes(figures), "A wider cloth is priced like the order's own."]
    if comparison.interrupted:
        lines.append("Stopped early: lays that are missing were not tried.")
    lines.append(f"Searched {comparison.seconds:.1f} seconds; seed number {comparison.seed}.")
    return "\n".join(lines)


def _no_room(cloth: ComparedCloth, unit: Unit) -> Iterator[str]:
    for width_mm, group in groupby(cloth.refused, key=lambda entry: entry[0]):
        names = dict.fromkeys(name.value.replace("-", " ") for _, name in group)
        yield f"No room at {format_length(width_mm, unit)}: {', '.join(names)}."


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """What compare.json holds; `lays_compared` is as in plan.json."""
    return {
        "format": FORMAT,
        "order": comparison.order,
        "seed": comparison.seed,
        "seconds": round(comparison.seconds, 3),
        "complete": not comparison.interrupted,
        "fabrics": [
            {
                "name": cloth.fabric.name,
                "lays_compared": [compared_data(one.figures) for one in cloth.alternatives],
                "no_room": [
                    {"width_mm": width_mm, "lay": name.value} for width_mm, name in cloth.refused
                ],
            }
            for cloth in comparison.cloths
        ],
    }


@dataclass(frozen=True, slots=True)
class _Grid:
    """How the small layouts of a cloth sit on the page, all at one scale."""

    across: int
    cell_mm: float
    scale: float
    depth_mm: float

    def rows(self, count: int) -> int:
        """Rows for so many layouts."""
        return -(-count // self.across)

    @property
    def row_mm(self) -> float:
        """Height of a row with its captions."""
        broken = 0 if self.cell_mm >= _WIDE_MM else 2
        return self.depth_mm + _CAPTION_MM + broken * _LINE_MM + _SPACE_MM


def draw_comparison(comparison: Comparison) -> Sheet:
    """Small layouts side by side: a row for each width of a cloth, all of a cloth to one scale."""
    grids = [_grid(cloth) for cloth in comparison.cloths]
    heights = [
        _CLOTH_MM + sum(grid.rows(len(row)) * grid.row_mm for row in _by_width(cloth))
        for cloth, grid in zip(comparison.cloths, grids, strict=True)
    ]
    height = 2 * MARGIN_MM + _TITLE_MM + sum(heights)
    sheet = Sheet(_PAGE_MM, height, f"{comparison.order}: lays and widths compared")
    top = height - MARGIN_MM
    title = f"{comparison.order}: lays and widths compared"
    room = _PAGE_MM - 2 * MARGIN_MM
    sheet.text((MARGIN_MM, top - 4), title, size_to_fit(title, 15, room, True), bold=True)
    lines = (
        "thick lines are folds; dashes and dots an edge of the cloth that lies inside; past a "
        "dotted line the cloth is opened out, one layer"
    )
    sheet.text((MARGIN_MM, top - 10), lines, 7.0, colour=FAINT)
    top -= _TITLE_MM
    garments = [piece.garment for cloth in comparison.cloths for piece in cloth.pieces]
    fills = key.colours(garments)
    unit = words.tape(comparison.unit)
    for cloth, grid, high in zip(comparison.cloths, grids, heights, strict=True):
        _draw_cloth(sheet, cloth, grid, top, fills, unit)
        top -= high
    return sheet


def _by_width(cloth: ComparedCloth) -> list[list[Alternative]]:
    grouped = groupby(cloth.alternatives, key=lambda one: one.fabric.width_mm)
    return [list(group) for _, group in grouped]


def _grid(cloth: ComparedCloth) -> _Grid:
    """The largest scale at which every layout fits its cell."""
    widest = max(len(row) for row in _by_width(cloth))
    across = min(_MOST_ACROSS, max(_LEAST_ACROSS, widest))
    room = _PAGE_MM - 2 * MARGIN_MM
    cell = (room - (across - 1) * _SPACE_MM) / across
    longest = max(one.marker.table_length_mm for one in cloth.alternatives)
    deepest = max(_full_depth_mm(one) for one in cloth.alternatives)
    scale = min(cell / longest, _DEEPEST_MM / deepest)
    return _Grid(across, cell, scale, deepest * scale)


def _full_depth_mm(one: Alternative) -> float:
    low, high = _limits_mm(one)
    return high - low


def _limits_mm(one: Alternative) -> tuple[float, float]:
    """From where to where across the cloth is drawn."""
    along = stretches(one.marker, one.fabric, one.marker.table_length_mm)
    return min(s.low_mm for s in along), max(s.high_mm for s in along)


def _draw_cloth(
    sheet: Sheet,
    cloth: ComparedCloth,
    grid: _Grid,
    top: float,
    fills: Mapping[str, str],
    unit: Unit,
) -> None:
    right = _PAGE_MM - MARGIN_MM
    sheet.line([(MARGIN_MM, top), (right, top)], 0.8, colour=FAINT)
    sheet.text((MARGIN_MM, top - 4.5), cloth.fabric.name, 11.0, bold=True)
    scale = f"drawn 1 : {1 / grid.scale:.3g}"
    sheet.text((right, top - 4.5), scale, 7.0, colour=FAINT, align="right")
    figures = [one.figures for one in cloth.alternatives]
    least = min(one.purchase_mm for one in figures)
    fewest = min(one.cut_outlines for one in figures)
    y = top - _CLOTH_MM
    for row in _by_width(cloth):
        for number, one in enumerate(row):
            down, along = divmod(number, grid.across)
            left = MARGIN_MM + along * (grid.cell_mm + _SPACE_MM)
            bottom = y - down * grid.row_mm - grid.depth_mm
            _draw_small(sheet, one, grid.scale, (left, bottom), fills)
            best = one.figures.purchase_mm == least, one.figures.cut_outlines == fewest
            _caption(sheet, one, (left, bottom - 3.5), grid.cell_mm, best, unit)
        y -= grid.rows(len(row)) * grid.row_mm


def _draw_small(
    sheet: Sheet,
    one: Alternative,
    scale: float,
    corner: tuple[float, float],
    fills: Mapping[str, str],
) -> None:
    long = one.marker.table_length_mm
    low, high = _limits_mm(one)
    row = Row(0.0, long, corner[0], corner[1] - low * scale, scale)
    for stretch in stretches(one.marker, one.fabric, long):
        _draw_stretch(sheet, row, stretch)
    clip = sheet.window(row.left, row.y(low), row.right - row.left, row.y(high) - row.y(low))
    for flaw in drawn_flaws(one.marker, one.fabric, long):
        key.draw_flaw(sheet, row.on_page(flaw), clip)
    for placement in drawn_marker(one.marker, one.fabric).placements:
        outline = row.on_page(placement.outline_mm)
        fill = fills[placement.garment]
        sheet.area(outline, fill, edge=INK, width_pt=0.45, layer=2)


def _draw_stretch(sheet: Sheet, row: Row, stretch: Stretch) -> None:
    """Cloth with its folds as thick lines, edges that lie inside as dashes and dots."""
    lay, start, end = stretch.lay, stretch.start_mm, stretch.end_mm
    low, high = stretch.low_mm, stretch.high_mm
    around = row.on_page(rectangle(start, low, end - start, high - low))
    sheet.area(around, key.SELVEDGE, edge=FAINT, width_pt=0.5, layer=0)
    for band in lay.bands:
        clear = rectangle(start, band.low_mm, end - start, band.depth_mm)
        sheet.area(row.on_page(clear), key.CLOTH, layer=1)
        if band.fold_mm is not None:
            line = [(start, band.fold_mm), (end, band.fold_mm)]
            sheet.line(row.on_page(line), 2.0, layer=4)
    for edge in lay.inner_edges_mm:
        sheet.line(row.on_page([(start, edge), (end, edge)]), 0.8, dashes=DASH_DOT, layer=4)
    for x, how in ((start, lay.near), (end, lay.far)):
        if how is End.FOLD:
            sheet.line(row.on_page([(x, low), (x, high)]), 2.0, layer=4)
        elif how in (End.GOES_ON, End.LOWER_GOES_ON):
            sheet.line(row.on_page([(x, low), (x, high)]), 1.0, dashes=DOTTED, layer=4)


def _caption(
    sheet: Sheet,
    one: Alternative,
    at: tuple[float, float],
    room: float,
    best: tuple[bool, bool],
    unit: Unit,
) -> None:
    figures = one.figures
    name = words.compared(figures)
    bought = format_length(figures.purchase_mm, unit)
    least, fewest = best
    outlines = f"{figures.cut_outlines} outlines{', the fewest' if fewest else ''}"
    lines = (
        (f"{name}, {format_length(figures.width_mm, unit)} wide", 8.0, True),
        (f"buy {bought}{', the least' if least else ''}", 7.5, least),
        (f"{outlines}, {figures.cut_metres:.1f} m to cut", 7.0, fewest),
    )
    x, y = at
    for text, size, bold in lines:
        for line in key.wrapped(text, size, room / _BOLDER if bold else room):
            sheet.text((x, y), line, size, bold=bold)
            y -= _LINE_MM
