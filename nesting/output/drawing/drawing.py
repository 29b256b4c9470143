"""The cutting plan of one cloth on a page, drawn to scale: PNG, SVG and PDF from one drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from nesting.fabric.fabric import Nap
from nesting.fabric.plans import FabricPlan, Plan, Remnant
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.cloth import cloth_end_mm, drawn, drawn_flaws, stretches
from nesting.output.drawing.edges import draw_edges, extent_of, in_row
from nesting.output.drawing.label import fitted
from nesting.output.drawing.naming import Part, parts_of, settled
from nesting.output.drawing.opening import write_opening
from nesting.output.drawing.piece_lines import draw_shape, fold_arrows
from nesting.output.drawing.printed import draw_border, draw_print
from nesting.output.drawing.rows import MARGIN_MM, Extent, Row
from nesting.output.drawing.ruler import draw_scale_bar
from nesting.output.drawing.sheet import (
    FAINT,
    MM_PER_POINT,
    Sheet,
    line_height_mm,
    rectangle,
    shortened,
    size_to_fit,
    text_width_mm,
)
from pieces.units import Unit, format_kept, format_length

_EDGE_MM = key.FOLD_PT * MM_PER_POINT / 2
_APART_MM = 6.0
"""Between what stands at the left and at the right above the cloth."""
_HINTED = 0.95
"""Letters on a grid of dots come out wider, which tells in a long line."""


def draw_plan(plan: Plan, entry: FabricPlan) -> Sheet:
    """Draw the cutting plan of one cloth; `Sheet.saved` gives the files.

    Every piece carries its number in laying order, as in the report, and its name; where
    there is no room for all, the key beside or below the cloth says the rest. A long marker
    is broken into rows.
    """
    unit = words.tape(plan.unit)
    number = plan.fabrics.index(entry) + 1
    entry = drawn(entry)
    parts = parts_of(entry)
    extent = extent_of(entry, tuple(part.span_mm for part in parts))
    # The same colours on every cloth of the plan.
    fills = key.fills_of([piece.garment for piece in plan.pieces])
    page, named, entries = settled(entry, extent, parts, fills)
    sheet = Sheet(page.width_mm, page.height_mm, f"{plan.order}: {entry.title}")
    _draw_header(sheet, plan, entry, number, unit)
    for index, row in enumerate(page.rows):
        _draw_row(sheet, entry, extent, row, parts, fills)
        draw_edges(sheet, entry, extent, page, index, unit)
        for remnant in entry.remnants:
            _name_remnant(sheet, remnant, row, unit)
    for one in named:
        placement, both_ways = one.part.placement, entry.fabric.nap is Nap.NONE
        fill = fills[placement.garment].colour
        one.label.draw(sheet, placement.grain_deg, both_ways=both_ways, backing=fill)
    opened = stretches(entry.marker, entry.fabric, extent.length_mm)[1:]
    for row, section in product(page.rows, opened):
        outlines = [row.on_page(part.placement.outline_mm) for part in parts]
        write_opening(sheet, entry, section, row, outlines, unit)
    key.draw_key(sheet, entries, page.key_left, page.key_top, page.key_columns)
    draw_scale_bar(sheet, (MARGIN_MM + 2, MARGIN_MM), page.scale, unit)
    return sheet


def _draw_header(sheet: Sheet, plan: Plan, entry: FabricPlan, number: int, unit: Unit) -> None:
    top, right = sheet.height_mm - MARGIN_MM, sheet.width_mm - MARGIN_MM
    how = words.laid(entry.marker, entry.fabric, unit)
    left_lines = (
        (f"{plan.order}: cloth {number} of {len(plan.fabrics)}", 8.0, False),
        (entry.title, 17.0, True),
        (how, 9.0, False),
        (_cloth(entry, unit), 8.0, False),
    )
    right_lines = (
        "to buy" if entry.bolt is None else "in hand",
        words.source(entry, unit),
        _cost_and_waste(entry),
        _cutting(entry, unit),
    )
    y = top - 1.5
    for (text, size, bold), other in zip(left_lines, right_lines, strict=True):
        fit = size_to_fit(other, size, (right - MARGIN_MM) / 2 - _APART_MM, bold)
        sheet.text((right, y - size * 0.16), other, fit, bold=bold, align="right")
        room = _HINTED * (right - MARGIN_MM - text_width_mm(other, fit, bold) - _APART_MM)
        at = (MARGIN_MM, y - size * 0.16)
        if text == how:
            y -= _written_in(sheet, text, at, size, room)
        else:
            fit = size_to_fit(text, size, room, bold)
            sheet.text(at, shortened(text, fit, room, bold), fit, bold=bold)
        y -= 7.6 if bold else 4.6
    base = min(top - 23.5, y + 0.8)
    sheet.line([(MARGIN_MM, base), (right, base)], 0.8, colour=FAINT)


def _written_in(
    sheet: Sheet, text: str, at: tuple[float, float], size_pt: float, room_mm: float
) -> float:
    """Write in so much room, smaller or else on more lines; give how far they reach down more."""
    fit = size_to_fit(text, size_pt, room_mm)
    lines, step = key.wrapped(text, fit, room_mm), line_height_mm(fit)
    for number, line in enumerate(lines):
        sheet.text((at[0], at[1] - number * step), line, fit)
    return (len(lines) - 1) * step


def _cloth(entry: FabricPlan, unit: Unit) -> str:
    fabric = entry.fabric
    width = format_length(fabric.width_mm, unit)
    usable = format_kept(fabric.usable_width_mm, unit)
    washed = " after washing" if fabric.shrinkage_length or fabric.shrinkage_width else ""
    return f"{width} wide, {usable} to use{washed}; {words.NAP[fabric.nap]}"


def _cost_and_waste(entry: FabricPlan) -> str:
    price = words.cost(entry.fabric, entry.purchase)
    waste = f"waste {words.percent(entry.waste_percent)} of the cloth used"
    return f"{price}; {waste}" if price else waste


def _cutting(entry: FabricPlan, unit: Unit) -> str:
    outlines = words.outlines(entry.cut_outlines)
    metres = words.cutting_line(entry.cut_metres, unit)
    return f"{outlines} to cut, {metres} of cutting line"


def _draw_row(
    sheet: Sheet,
    entry: FabricPlan,
    extent: Extent,
    row: Row,
    parts: Sequence[Part],
    fills: Mapping[str, key.Fill],
) -> None:
    low, high = row.y(extent.low_mm), row.y(extent.high_mm)
    clip = sheet.window(row.left, low, row.right - row.left, high - low)
    for stretch in stretches(entry.marker, entry.fabric, extent.length_mm):
        part_row = in_row(row, stretch)
        if part_row is not None:
            width, depth = part_row.right - part_row.left, stretch.high_mm - stretch.low_mm
            corner = (part_row.left, row.y(stretch.low_mm))
            sheet.area(rectangle(*corner, width, depth * row.scale), key.CLOTH, layer=0)
    for remnant in entry.remnants:
        corner = (row.x(remnant.x_mm), row.y(remnant.y_mm))
        size = (remnant.length_mm * row.scale, remnant.width_mm * row.scale)
        box = rectangle(*corner, *size)
        sheet.area(box, "white", edge=key.LEFT_OVER, width_pt=0.8, hatch="////", layer=1, clip=clip)
    for flaw in drawn_flaws(entry.marker, entry.fabric, cloth_end_mm(entry)):
        key.draw_flaw(sheet, row.on_page(flaw), clip)
    draw_border(sheet, entry, row, clip)
    # An edge on a fold is as heavy as in the key: half of its line lies outside the cloth.
    left = row.left - _EDGE_MM * (row.start_mm == 0)
    right = row.right + _EDGE_MM * (row.end_mm == extent.length_mm)
    around = sheet.window(left, low - _EDGE_MM, right - left, high - low + 2 * _EDGE_MM)
    for part in parts:
        start, end = part.span_mm
        if end > row.start_mm and start < row.end_mm:
            draw_shape(sheet, row, part.shape, fills[part.placement.garment], around)
            for tail, head in fold_arrows(part.shape, row):
                if row.left < head[0] < row.right:
                    sheet.arrow(tail, head, both=False)
    draw_print(sheet, entry, row, clip)


def _name_remnant(sheet: Sheet, remnant: Remnant, row: Row, unit: Unit) -> None:
    """Write its measures on a remnant, in every row in which there is room."""
    from shapely.geometry import box

    left, right = max(remnant.x_mm, row.start_mm), remnant.x_mm + remnant.length_mm
    right = min(right, row.end_mm)
    if right <= left:
        return
    top = remnant.y_mm + remnant.width_mm
    room = box(row.x(left), row.y(remnant.y_mm), row.x(right), row.y(top)).buffer(-1.0)
    size = f"{format_kept(remnant.length_mm, unit)} by {format_kept(remnant.width_mm, unit)}"
    name, layers = ("left over", False), (words.layers(remnant.layers), False)
    label = fitted([room], [[[name, (size, False), layers]], [[name]]], None)
    if label is not None:
        label.draw(sheet, 0.0, both_ways=False, backing="white")
