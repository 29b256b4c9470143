"""The edges of the cloth on a cutting plan: fold, selvedges and ends, with their measures."""

from __future__ import annotations

from dataclasses import replace
from string import ascii_uppercase

from nesting.fabric.lay import Band, End, Lay
from nesting.fabric.plans import FabricPlan
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.cloth import Stretch, cloth_end_mm, stretches
from nesting.output.drawing.rows import Arrangement, Extent, Row
from nesting.output.drawing.ruler import draw_ruler
from nesting.output.drawing.sheet import (
    DASH_DOT,
    DASHED,
    DOTTED,
    FAINT,
    Sheet,
    has_room,
    size_to_fit,
)
from pieces.units import Unit, format_kept, format_length, format_needed

_NAME_PT = 7.5
_FOLD_GAP_MM = 0.9
_ASIDE_MM = 3.2
"""From a depth to what is said of it, where that has no room behind it."""
_LEAST_LEFT_MM = 18.0
"""A dimension shorter than this on the page isn't drawn."""


def extent_of(entry: FabricPlan, spans: tuple[tuple[float, float], ...]) -> Extent:
    """The cloth with its selvedges, as far as it is bought; `spans` of its pieces along it."""
    end_mm = cloth_end_mm(entry)
    along = stretches(entry.marker, entry.fabric, end_mm)
    return Extent(
        length_mm=end_mm,
        low_mm=min(stretch.low_mm for stretch in along),
        high_mm=max(stretch.high_mm for stretch in along),
        spans=spans,
    )


def in_row(row: Row, stretch: Stretch) -> Row | None:
    """The part of a row that a stretch of cloth takes, if any."""
    start_mm, end_mm = max(row.start_mm, stretch.start_mm), min(row.end_mm, stretch.end_mm)
    if end_mm <= start_mm:
        return None
    return replace(row, start_mm=start_mm, end_mm=end_mm, left=row.x(start_mm))


def draw_edges(
    sheet: Sheet, entry: FabricPlan, extent: Extent, page: Arrangement, index: int, unit: Unit
) -> None:
    """Draw the edges of one row, with their names and measures."""
    row = page.rows[index]
    along = stretches(entry.marker, entry.fabric, extent.length_mm)
    for stretch in along:
        part = in_row(row, stretch)
        if part is not None:
            _draw_long_edges(sheet, part, extent, stretch)
            _draw_inner_edges(sheet, part, stretch.lay)
    draw_ruler(sheet, row, extent.low_mm, unit)
    _draw_ends(sheet, along, page, index)
    for section in along[1:]:
        _draw_opening(sheet, section, row)
    _draw_length(sheet, entry, extent, row, unit)
    if index == 0:
        _draw_depths(sheet, row, along[0].lay, unit)


def _draw_long_edges(sheet: Sheet, row: Row, extent: Extent, stretch: Stretch) -> None:
    """The edges of a stretch along the cloth, with their names."""
    first, last = stretch.lay.bands[0], stretch.lay.bands[-1]
    # Below all of the cloth stands the ruler.
    below = 7.4 if stretch.low_mm == extent.low_mm else 2.6
    for at, edge, is_fold, text_y in (
        (first.low_mm, stretch.low_mm, first.fold_low, row.y(stretch.low_mm) - below),
        (last.high_mm, stretch.high_mm, last.fold_high, row.y(stretch.high_mm) + 2.6),
    ):
        _draw_long_edge(sheet, row, at, edge, is_fold)
        name = "fold of the cloth" if is_fold else "selvedge"
        size = size_to_fit(name, _NAME_PT, row.right - row.left, is_fold)
        middle = (row.left + row.right) / 2
        sheet.text((middle, text_y), name, size, bold=is_fold, align="center")


def _draw_opening(sheet: Sheet, section: Stretch, row: Row) -> None:
    """Where the fold ends: a line across the cloth."""
    if row.start_mm <= section.start_mm < row.end_mm:
        x, ends = row.x(section.start_mm), (row.y(section.low_mm), row.y(section.high_mm))
        sheet.line([(x, y) for y in ends], 1.6, dashes=DOTTED, layer=5)


def _draw_depths(sheet: Sheet, row: Row, lay: Lay, unit: Unit) -> None:
    """How far each band reaches across, with its layers where they differ from the usual."""
    x = row.left - 8.5
    for number, band in enumerate(lay.bands):
        start, end = (x, row.y(band.low_mm)), (x, row.y(band.high_mm))
        depth, what = format_kept(band.depth_mm, unit), _said_of(band, lay)
        if has_room(depth + what, _NAME_PT, end[1] - start[1]):
            sheet.dimension(start, end, depth + what)
            continue
        # A depth that has no room lies outside of all bands.
        sheet.dimension(start, end, depth, before=number == 0 < len(lay.bands) - 1)
        beside = (x - _ASIDE_MM, (start[1] + end[1]) / 2)
        sheet.text(beside, what.lstrip(", "), _NAME_PT, align="center", turn_deg=90)


def _said_of(band: Band, lay: Lay) -> str:
    """What follows the depth of a band."""
    if len(lay.bands) > 1 or band.layers > 2:
        return f", {words.layers(band.layers)}"
    if lay.lengths == 1:
        return " folded" if band.layers > 1 else " to use"
    return f" to use, {words.layers(band.layers)}"


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
        outward = -_FOLD_GAP_MM if at <= 0 else _FOLD_GAP_MM
        line = row.on_page([(x, at) for x in ends])
        sheet.line(line, 1.0)
        sheet.line([(x, y + outward) for x, y in line], 1.0)
        return
    if edge != at:
        strip = row.on_page([(ends[0], at), (ends[1], at), (ends[1], edge), (ends[0], edge)])
        sheet.area(strip, key.SELVEDGE, layer=1)
    sheet.line(row.on_page([(x, edge) for x in ends]), 1.2, dashes=DASH_DOT, layer=4)


def _draw_ends(sheet: Sheet, along: list[Stretch], page: Arrangement, index: int) -> None:
    """The near end, the far end, or the mark at which the next row goes on."""
    row, last = page.rows[index], len(page.rows) - 1

    def across(x_mm: float) -> tuple[float, float]:
        here = next((one for one in along if x_mm <= one.end_mm), along[-1])
        return row.y(here.low_mm), row.y(here.high_mm)

    if index == 0:
        _draw_near_end(sheet, row.left, across(row.start_mm), along[0].lay)
    else:
        _draw_break(sheet, row.left, across(row.start_mm), -3.4, index)
    if index == last:
        _draw_far_end(sheet, row.right, across(row.end_mm), along[-1].lay)
    else:
        _draw_break(sheet, row.right, across(row.end_mm), 3.4, index + 1)


def _draw_near_end(sheet: Sheet, x: float, ends: tuple[float, float], lay: Lay) -> None:
    """The cut end; or the fold with which a fold across the cloth begins that opens out."""
    folded = lay.near is End.FOLD
    sheet.line([(x, y) for y in ends], 1.2, layer=4)
    if folded:
        sheet.line([(x - _FOLD_GAP_MM, y) for y in ends], 1.0, layer=4)
    name = "fold of the cloth" if folded else "cut end"
    middle = (x - 3.0, sum(ends) / 2)
    sheet.text(middle, name, _NAME_PT, bold=folded, align="center", turn_deg=90)


def _draw_far_end(sheet: Sheet, x: float, ends: tuple[float, float], lay: Lay) -> None:
    """The end of the cloth; or its middle, folded or cut apart there."""
    line = [(x, y) for y in ends]
    if lay.far is End.EDGE:
        sheet.line(line, 1.0, colour=FAINT, dashes=DASHED, layer=4)
        return
    sheet.line(line, 1.0, layer=4)
    if lay.far is End.FOLD:
        sheet.line([(x + _FOLD_GAP_MM, y) for _, y in line], 1.0, layer=4)
    name = "fold of the cloth" if lay.far is End.FOLD else "cut here, turn the upper layer"
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
        reach = format_needed(used, unit) if end == used else format_length(end, unit)
        text = f"{format_length(row.start_mm, unit)} to {reach}"
        if row.start_mm == 0 and end == used:
            text = f"{reach} used"
        sheet.dimension((row.x(row.start_mm), y), (row.x(end), y), text)
    start = max(used, row.start_mm)
    if (row.end_mm - start) * row.scale > _LEAST_LEFT_MM:
        text = f"{format_kept(row.end_mm - start, unit)} left"
        sheet.dimension((row.x(start), y), (row.right, y), text)
