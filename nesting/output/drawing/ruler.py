"""Rulers, scale bars and the round lengths they are marked with, in the order's unit."""

from __future__ import annotations

from nesting.output.drawing.rows import Row
from nesting.output.drawing.sheet import FAINT, INK, Sheet, rectangle, text_width_mm
from pieces.piece import Point
from pieces.units import Unit, format_length

_INCH_MM = 25.4
_METRIC_MM = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0)
_INCHES_MM = tuple(inches * _INCH_MM for inches in (1, 2, 3, 6, 9, 18, 36, 72))
_PAPER = {(210.0, 297.0): "A4", (297.0, 420.0): "A3"}
_SIZE_PT = 6.5


def round_lengths_mm(unit: Unit) -> tuple[float, ...]:
    """Lengths that people of this unit count in, rising."""
    return _INCHES_MM if unit in (Unit.IN, Unit.YD) else _METRIC_MM


def draw_ruler(sheet: Sheet, row: Row, low_mm: float, unit: Unit) -> None:
    """Mark distances from the cut end along the lower edge of a row."""
    steps = round_lengths_mm(unit)
    room = 4 + max(text_width_mm(format_length(step, unit), _SIZE_PT) for step in steps)
    marked = next((step for step in steps if step * row.scale >= room), steps[-1])
    # Fine marks that the others are among: 9 in. are no whole number of 2 in.
    fine = next((s for s in steps if s * row.scale >= 1.6 and _shares(marked, s)), marked)
    edge = row.y(low_mm)
    for step, high in ((fine, 1.0), (marked, 2.0)):
        for index in range(round(row.start_mm // step), int(row.end_mm // step) + 1):
            at = index * step
            if row.start_mm <= at <= row.end_mm:
                sheet.line([(row.x(at), edge), (row.x(at), edge - high)], 0.5)
                if step == marked:
                    label = format_length(at, unit) if at else "0"
                    sheet.text((row.x(at), edge - 3.6), label, _SIZE_PT, align="center")


def _shares(whole_mm: float, part_mm: float) -> bool:
    return abs(whole_mm / part_mm - round(whole_mm / part_mm)) < 1e-9


def draw_scale_bar(sheet: Sheet, at: Point, scale: float, unit: Unit) -> None:
    """A bar of a round length in light and dark fields, and the scale in figures."""
    x, y = at
    steps = round_lengths_mm(unit)
    whole = max((step for step in steps if step * scale <= 60), default=steps[0])
    field = whole * scale / 4
    for index in range(4):
        fill = INK if index % 2 == 0 else "white"
        sheet.area(rectangle(x + index * field, y, field, 1.8), fill, edge=INK, width_pt=0.6)
    end = x + 4 * field
    sheet.text((x, y + 4.0), "0", _SIZE_PT, align="center")
    sheet.text((end, y + 4.0), format_length(whole, unit), _SIZE_PT, align="center")
    size = (sheet.width_mm, sheet.height_mm)
    paper = _PAPER.get((min(size), max(size)), f"{size[0]:g} by {size[1]:g} mm")
    sheet.text((end + 8, y + 0.9), f"drawn 1 : {1 / scale:.3g} on {paper}", 7.0, colour=FAINT)
