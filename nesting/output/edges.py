"""The edges of the cloth on a cutting plan: fold, selvedges and ends, with their measures."""

from __future__ import annotations

from string import ascii_uppercase

from nesting.lay import Lay, lay_under
from nesting.output import key, words
from nesting.output.cloth import cloth_end_mm
from nesting.output.rows import Arrangement, Extent, Row
from nesting.output.ruler import draw_ruler
from nesting.output.sheet import DASH_DOT, DASHED, DOTTED, FAINT, Sheet, size_to_fit
from nesting.plans import FabricPlan
from pieces.units import Unit, format_length

_NAME_PT = 7.5
_FOLD_GAP_MM = 0.9
_LEAST_LEFT_MM = 18.0
"""A dimension shorter than this on the page isn't drawn."""


def extent_of(entry: FabricPlan, spans: tuple[tuple[float, float], ...]) -> Extent:
    """The cloth with its selvedges, as far as it is bought; `spans` of its pieces along it."""
    lay = lay_under(entry.marker, entry.fabric)
    selvedge = entry.fabric.washed_selvedge_mm
    return Extent(
        length_mm=cloth_end_mm(entry),
        low_mm=0.0 if lay.bands[0].fold_low else -selvedge,
        high_mm=lay.depth_mm + (0.0 if lay.bands[-1].fold_high else selvedge),
        spans=spans,
    )


def draw_edges(
    sheet: Sheet, entry: FabricPlan, extent: Extent, page: Arrangement, index: int, unit: Unit
) -> None:
    """Draw the edges of one row, with their names and measures."""
    row = page.rows[index]
    lay = lay_under(entry.marker, entry.fabric)
    middle = (row.left + row.right) / 2
    for at, edge, is_fold, text_y in (
        (0.0, extent.low_mm, lay.bands[0].fold_low, row.y(extent.low_mm) - 7.4),
        (lay.depth_mm, extent.high_mm, lay.bands[-1].fold_high, row.y(extent.high_mm) + 2.6),
    ):
        _draw_long_edge(sheet, row, at, edge, is_fold)
        name = "fold of the cloth" if is_fold else "selvedge"
        sheet.text((middle, text_y), name, _NAME_PT, bold=is_fold, align="center")
    _draw_inner_edges(sheet, row, lay)
    draw_ruler(sheet, row, extent.low_mm, unit)
    _draw_ends(sheet, extent, page, index, lay)
    _draw_length(sheet, entry, extent, row, unit)
    if index == 0:
        _draw_depths(sheet, row, lay, unit)


def _draw_depths(sheet: Sheet, row: Row, lay: Lay, unit: Unit) -> None:
    """How far each band reaches across, with its layers where they differ from the usual."""
    x = row.left - 8.5
    for band in lay.bands:
        text = format_length(band.depth_mm, unit)
        if len(lay.bands) > 1 or band.layers > 2:
            text += f", {words.layers(band.layers)}"
        elif lay.lengths == 1:
            text += " folded" if band.layers > 1 else " to use"
        else:
            text += f" to use, {words.layers(band.layers)}"
        sheet.dimension((x, row.y(band.low_mm)), (x, row.y(band.high_mm)), text)


def _draw_inner_edges(sheet: Sheet, row: Row, lay: Lay) -> None:
    """Selvedges that lie on the layer below: between two bands, where nothing is cut."""
    for edge in lay.inner_edges_mm:
        below = max((b.high_mm for b in lay.bands if b.high_mm <= edge), default=edge)
        above = min((b.low_mm for b in lay.bands if b.low_mm >= edge), default=edge)
        strip = [(x, y) for y in (below, above) for x in (row.start_mm, row.end_mm)]
        if above > below:
            around = (strip[0], strip[1], strip[3], strip[2])
            sheet.area(row.on_page(around), key.SELVEDGE, layer=1)
        line = row.on_page([(row.start_mm, edge), (row.end_mm, edge)])
        sheet.line(line, 1.2, dashes=DASH_DOT, layer=4)


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


def _draw_ends(sheet: Sheet, extent: Extent, page: Arrangement, index: int, lay: Lay) -> None:
    """The cut end, the far end, or the mark at which the next row goes on."""
    row, last = page.rows[index], len(page.rows) - 1
    low, high = row.y(extent.low_mm), row.y(extent.high_mm)
    middle = (low + high) / 2
    if index == 0:
        sheet.line([(row.left, low), (row.left, high)], 1.2, layer=4)
        sheet.text((row.left - 3.0, middle), "cut end", _NAME_PT, align="center", turn_deg=90)
    else:
        _draw_break(sheet, row.left, (low, high), -3.4, index)
    if index == last:
        _draw_far_end(sheet, row.right, (low, high), lay)
    else:
        _draw_break(sheet, row.right, (low, high), 3.4, index + 1)


def _draw_far_end(sheet: Sheet, x: float, ends: tuple[float, float], lay: Lay) -> None:
    """The end of the cloth; or its middle, folded or cut apart there."""
    line = [(x, y) for y in ends]
    if not (lay.fold_end or lay.turned):
        sheet.line(line, 1.0, colour=FAINT, dashes=DASHED, layer=4)
        return
    sheet.line(line, 1.0, layer=4)
    if lay.fold_end:
        sheet.line([(x + _FOLD_GAP_MM, y) for _, y in line], 1.0, layer=4)
    name = "fold of the cloth" if lay.fold_end else "cut here, turn the upper layer"
    middle = (x + 3.6, sum(ends) / 2)
    size = size_to_fit(name, _NAME_PT, ends[1] - ends[0], True)
    sheet.text(middle, name, size, bold=True, align="center", turn_deg=90)


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
