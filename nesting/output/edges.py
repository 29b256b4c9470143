"""The edges of the cloth on a cutting plan: fold, selvedges and ends, with their measures."""

from __future__ import annotations

from string import ascii_uppercase

from nesting.lay import lay_of
from nesting.output import key
from nesting.output.rows import Arrangement, Extent, Row
from nesting.output.ruler import draw_ruler
from nesting.output.sheet import DASH_DOT, DASHED, DOTTED, FAINT, Sheet
from nesting.plans import FabricPlan
from pieces.units import Unit, format_length

_NAME_PT = 7.5
_FOLD_GAP_MM = 0.9
_LEAST_LEFT_MM = 18.0
"""A dimension shorter than this on the page isn't drawn."""


def extent_of(entry: FabricPlan, spans: tuple[tuple[float, float], ...]) -> Extent:
    """The cloth with its selvedges, as far as it is bought; `spans` of its pieces along it."""
    lay = lay_of(entry.fabric, entry.marker.lay)
    selvedge = entry.fabric.selvedge_mm * (1 - entry.fabric.shrinkage_width)
    ends = [remnant.x_mm + remnant.length_mm for remnant in entry.remnants]
    return Extent(
        length_mm=max([entry.table_length_mm, *ends]),
        low_mm=0.0 if lay.bands[0].fold_low else -selvedge,
        high_mm=lay.depth_mm + (0.0 if lay.bands[-1].fold_high else selvedge),
        spans=spans,
    )


def draw_edges(
    sheet: Sheet, entry: FabricPlan, extent: Extent, page: Arrangement, index: int, unit: Unit
) -> None:
    """Draw the edges of one row, with their names and measures."""
    row = page.rows[index]
    lay = lay_of(entry.fabric, entry.marker.lay)
    middle = (row.left + row.right) / 2
    for at, edge, is_fold, text_y in (
        (0.0, extent.low_mm, lay.bands[0].fold_low, row.y(extent.low_mm) - 7.4),
        (lay.depth_mm, extent.high_mm, lay.bands[-1].fold_high, row.y(extent.high_mm) + 2.6),
    ):
        _draw_long_edge(sheet, row, at, edge, is_fold)
        name = "fold of the cloth" if is_fold else "selvedge"
        sheet.text((middle, text_y), name, _NAME_PT, bold=is_fold, align="center")
    draw_ruler(sheet, row, extent.low_mm, unit)
    _draw_ends(sheet, extent, page, index)
    _draw_length(sheet, entry, extent, row, unit)
    if index == 0:
        folded = " folded" if any(b.fold_low or b.fold_high for b in lay.bands) else " to use"
        x = row.left - 8.5
        depth = format_length(lay.depth_mm, unit) + folded
        sheet.dimension((x, row.y(0.0)), (x, row.y(lay.depth_mm)), depth)


def _draw_long_edge(sheet: Sheet, row: Row, at: float, edge: float, is_fold: bool) -> None:
    """A fold as a double line; a selvedge as a strip with a line of dashes and dots."""
    ends = (row.start_mm, row.end_mm)
    if is_fold:
        outward = -_FOLD_GAP_MM if at == 0 else _FOLD_GAP_MM
        line = row.on_page([(x, at) for x in ends])
        sheet.line(line, 1.0)
        sheet.line([(x, y + outward) for x, y in line], 1.0)
        return
    if edge != at:
        strip = row.on_page([(ends[0], at), (ends[1], at), (ends[1], edge), (ends[0], edge)])
        sheet.area(strip, key.SELVEDGE, layer=1)
    sheet.line(row.on_page([(x, edge) for x in ends]), 1.2, dashes=DASH_DOT, layer=4)


def _draw_ends(sheet: Sheet, extent: Extent, page: Arrangement, index: int) -> None:
    """The cut end, the end of the purchase, or the mark at which the next row goes on."""
    row, last = page.rows[index], len(page.rows) - 1
    low, high = row.y(extent.low_mm), row.y(extent.high_mm)
    middle = (low + high) / 2
    if index == 0:
        sheet.line([(row.left, low), (row.left, high)], 1.2, layer=4)
        sheet.text((row.left - 3.0, middle), "cut end", _NAME_PT, align="center", turn_deg=90)
    else:
        _draw_break(sheet, row.left, (low, high), -3.4, index)
    if index == last:
        sheet.line([(row.right, low), (row.right, high)], 1.0, colour=FAINT, dashes=DASHED, layer=4)
    else:
        _draw_break(sheet, row.right, (low, high), 3.4, index + 1)


def _draw_break(
    sheet: Sheet, x: float, ends: tuple[float, float], aside: float, number: int
) -> None:
    """A dotted line where the cloth goes on in another row, with the same letter at both."""
    low, high = ends
    round_, place = divmod(number - 1, len(ascii_uppercase))
    letter = ascii_uppercase[place] * (round_ + 1)
    sheet.line([(x, low), (x, high)], 1.0, dashes=DOTTED, layer=4)
    sheet.text((x + aside, (low + high) / 2), letter, 11.0, bold=True, align="center")


def _draw_length(sheet: Sheet, entry: FabricPlan, extent: Extent, row: Row, unit: Unit) -> None:
    """How far the pieces reach, and what of the cloth is left past them."""
    y = row.y(extent.high_mm) + 6.6
    used = entry.table_length_mm
    if row.start_mm < used:
        end = min(used, row.end_mm)
        text = f"{format_length(row.start_mm, unit)} to {format_length(end, unit)}"
        if row.start_mm == 0 and end == used:
            text = f"{format_length(used, unit)} used"
        sheet.dimension((row.x(row.start_mm), y), (row.x(end), y), text)
    start = max(used, row.start_mm)
    if (row.end_mm - start) * row.scale > _LEAST_LEFT_MM:
        text = f"{format_length(row.end_mm - start, unit)} left"
        sheet.dimension((row.x(start), y), (row.right, y), text)
