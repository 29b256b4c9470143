"""The picture of a comparison: small layouts, a row for each width and a column for each lay."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.fabric.fabric import LayName
from nesting.fabric.lay import End
from nesting.fabric.plans import Alternative, ComparedCloth, Comparison
from nesting.fabric.purchase import asked_for_length, asked_for_marker, purchase
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.cloth import Stretch, drawn_flaws, drawn_marker, stretches
from nesting.output.drawing.rows import MARGIN_MM, Row
from nesting.output.drawing.sheet import (
    DASH_DOT,
    DOTTED,
    FAINT,
    Sheet,
    rectangle,
    shortened,
    size_to_fit,
)
from pieces.units import Unit, format_length

_PAGE_MM, _HIGH_MM = 297.0, 210.0
"""A4 on its side; what needs more is drawn on several, one above the other."""
_ROOM_MM = _PAGE_MM - 2 * MARGIN_MM
_TITLE_MM, _CLOTH_MM = 19.0, 9.0
_WIDTHS_MM, _SPACE_MM = 27.0, 5.0
"""The column at the left with the widths; between cells."""
_BELOW_MM, _BETWEEN_MM = 2.0, 4.0
"""From a layout to its caption; from there to the next row."""
_DEEPEST_MM = 45.0
"""No small layout is drawn deeper than this."""
_LEAST_ACROSS = 3
_SIZE_PT, _LINE_MM = 7.0, 3.3
_BOLDER = 1.15
"""How much longer a line is in bold."""
_BEST = "#f6e7a8"
_LEGEND = (
    "Shaded: the least of the cloth to buy; bold: the least to buy on that lay. "
    "Cloth and pieces of a cloth all to one scale.",
    "Thick lines are folds; dashes and dots an edge of the cloth that lies inside; past a dotted "
    "line the cloth is opened out, one layer.",
)


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a caption."""

    text: str
    bold: bool = False
    shaded: bool = False


@dataclass(frozen=True, slots=True)
class _Cell:
    """A lay at one width, and its caption; without one where the cloth can't lie so."""

    caption: tuple[_Line, ...]
    one: Alternative | None = None


@dataclass(frozen=True, slots=True)
class _Strip:
    """Cells side by side, what stands at their left, and the deepest of them as it is drawn.

    `head` tells that the cloth is named above; `page` and `top` are where it stands.
    """

    cloth: ComparedCloth
    cells: tuple[_Cell, ...]
    label: tuple[_Line, ...]
    cell_mm: float
    scale: float
    deep_mm: float
    head: bool = False
    page: int = 0
    top: float = 0.0

    @property
    def high_mm(self) -> float:
        """Height of it all, with the cloth's name and the space below."""
        lines = max(len(lines) for lines in (self.label, *(one.caption for one in self.cells)))
        head_mm = _CLOTH_MM if self.head else 0.0
        return head_mm + self.deep_mm + _BELOW_MM + lines * _LINE_MM + _BETWEEN_MM


def draw_comparison(comparison: Comparison) -> Sheet:
    """Small layouts side by side: a row for each width, a column for each lay.

    All of a cloth are drawn to one scale. As many pages of A4 as it takes, one above the other,
    no row broken.
    """
    cloths = comparison.cloths
    unit = words.tape(comparison.unit)
    strips = list(_flowed(_strips(cloth, unit, len(cloths)) for cloth in cloths))
    pages = 1 + max((strip.page for strip in strips), default=0)
    height = pages * _HIGH_MM
    if pages == 1:
        end_mm = max((s.top + s.high_mm - _BETWEEN_MM for s in strips), default=_TITLE_MM)
        height = MARGIN_MM + end_mm
    title = f"{comparison.order}: lays and widths compared"
    sheet = Sheet(_PAGE_MM, height, title)
    size = size_to_fit(title, 15.0, _ROOM_MM, True)
    named = shortened(title, size, _ROOM_MM, True)
    sheet.text((MARGIN_MM, height - MARGIN_MM - 4), named, size, bold=True)
    for number, line in enumerate(_LEGEND):
        sheet.text((MARGIN_MM, height - MARGIN_MM - 10 - 3.6 * number), line, 7.0, colour=FAINT)
    fills = key.fills_of([piece.garment for cloth in cloths for piece in cloth.pieces])
    for strip in strips:
        _draw_strip(sheet, strip, height - strip.page * _HIGH_MM - strip.top, fills)
    return sheet


def _flowed(cloths: Iterable[Sequence[_Strip]]) -> Iterator[_Strip]:
    """Each strip on its page; a cloth begins a new one rather than be broken, if it fits one."""
    page, top, limit = 0, MARGIN_MM + _TITLE_MM, _HIGH_MM - MARGIN_MM + _BETWEEN_MM
    for strips in cloths:
        whole_mm = sum(strip.high_mm for strip in strips)
        for number, strip in enumerate(strips):
            together = number == 0 and MARGIN_MM + whole_mm <= limit
            if top > MARGIN_MM and top + (whole_mm if together else strip.high_mm) > limit:
                page, top, strip = page + 1, MARGIN_MM, replace(strip, head=True)
            yield replace(strip, page=page, top=top)
            top += strip.high_mm


def _strips(cloth: ComparedCloth, unit: Unit, cloths: int) -> list[_Strip]:
    """The rows of a cloth; a lone width of a lone cloth is broken into several, to be larger."""
    names = {one.figures.lay for one in cloth.alternatives}
    lays = [name for name in LayName if name in names]
    widths = sorted({one.figures.width_mm for one in cloth.alternatives})
    alone = cloths == 1 and len(widths) == 1
    across = _LEAST_ACROSS if alone else max(_LEAST_ACROSS, len(lays))
    cell_mm = (_ROOM_MM - _WIDTHS_MM - (across - 1) * _SPACE_MM) / across
    longest_mm = max(one.marker.table_length_mm for one in cloth.alternatives)
    deepest_mm = max(map(_depth_mm, cloth.alternatives))
    scale = min(cell_mm / longest_mm, _DEEPEST_MM / deepest_mm)
    strips: list[_Strip] = []
    for width_mm in widths:
        label = _label(cloth, width_mm, unit)
        for first in range(0, len(lays), across):
            own = lays[first : first + across]
            cells = tuple(_cell(cloth, width_mm, name, cell_mm, unit) for name in own)
            deep_mm = max(_depth_mm(cell.one) for cell in cells if cell.one) * scale
            strips.append(
                _Strip(cloth, cells, label, cell_mm, scale, deep_mm, head=not strips),
            )
            label = ()
    return strips


def _depth_mm(one: Alternative) -> float:
    low, high = _limits_mm(one)
    return high - low


def _limits_mm(one: Alternative) -> tuple[float, float]:
    """From where to where across the cloth is drawn."""
    along = stretches(one.marker, one.fabric, one.marker.table_length_mm)
    return min(s.low_mm for s in along), max(s.high_mm for s in along)


def _label(cloth: ComparedCloth, width_mm: float, unit: Unit) -> tuple[_Line, ...]:
    """A width, and what would be bought there if the print need not meet."""
    lines = [_Line(f"{format_length(width_mm, unit)} wide", bold=True)]
    plain_mm = dict(cloth.plain_purchase_mm).get(width_mm)
    if plain_mm is not None:
        bought = f"buy {asked_for_length(cloth.fabric, plain_mm)}"
        lines += [_Line("as plain cloth"), *_broken(bought, _WIDTHS_MM - 2)]
    return tuple(lines)


def _broken(text: str, room_mm: float, bold: bool = False, shaded: bool = False) -> list[_Line]:
    room_mm = room_mm / _BOLDER if bold else room_mm
    return [_Line(line, bold, shaded) for line in key.wrapped(text, _SIZE_PT, room_mm)]


def _cell(
    cloth: ComparedCloth, width_mm: float, name: LayName, room_mm: float, unit: Unit
) -> _Cell:
    """One lay at one width, with its figures and where it is the best."""
    every = [one.figures for one in cloth.alternatives]
    one = next(
        (a for a in cloth.alternatives if (a.figures.width_mm, a.figures.lay) == (width_mm, name)),
        None,
    )
    if one is None:
        called = name.words
        untold = "no room" if (width_mm, name) in cloth.refused else "not tried"
        return _Cell((*_broken(called, room_mm, bold=True), _Line(untold)))
    own = one.figures
    on_lay = [figures.purchase_mm for figures in every if figures.lay is name]
    least = own.purchase_mm == min(figures.purchase_mm for figures in every)
    bold = least or (own.purchase_mm == min(on_lay) < max(on_lay))
    bought = f"buy {asked_for_marker(cloth.fabric, own.length_mm)}"
    price = words.cost(one.fabric, purchase(one.fabric, own.length_mm))
    if price:
        bought += f", {price}"
    fewest = own.cut_outlines == min(figures.cut_outlines for figures in every)
    outlines = f"{words.outlines(own.cut_outlines)}{', the fewest' if fewest else ''}"
    return _Cell(
        (
            *_broken(words.called(own), room_mm, bold=True),
            *_broken(bought, room_mm, bold, least),
            *_broken(outlines, room_mm),
            _Line(f"{words.cutting_line(own.cut_metres, unit)} to cut"),
        ),
        one,
    )


def _draw_strip(sheet: Sheet, strip: _Strip, y: float, fills: Mapping[str, key.Fill]) -> None:
    """A strip whose upper edge is at y."""
    if strip.head:
        _draw_head(sheet, strip, y)
        y -= _CLOTH_MM
    bottom = y - strip.deep_mm
    _write(sheet, strip.label, (MARGIN_MM, bottom - _BELOW_MM), _WIDTHS_MM)
    for number, cell in enumerate(strip.cells):
        left = MARGIN_MM + _WIDTHS_MM + number * (strip.cell_mm + _SPACE_MM)
        if cell.one is not None:
            _draw_small(sheet, cell.one, strip.scale, (left, bottom), fills)
        _write(sheet, cell.caption, (left, bottom - _BELOW_MM), strip.cell_mm)


def _draw_head(sheet: Sheet, strip: _Strip, y: float) -> None:
    right = _PAGE_MM - MARGIN_MM
    sheet.line([(MARGIN_MM, y), (right, y)], 0.8, colour=FAINT)
    sheet.text((MARGIN_MM, y - 4.5), strip.cloth.fabric.name, 11.0, bold=True)
    scale = f"drawn 1 : {1 / strip.scale:.3g}"
    sheet.text((right, y - 4.5), scale, 7.0, colour=FAINT, align="right")


def _write(sheet: Sheet, lines: Sequence[_Line], at: tuple[float, float], room_mm: float) -> None:
    x, y = at
    for line in lines:
        if line.shaded:
            sheet.area(rectangle(x - 0.8, y - _LINE_MM, room_mm, _LINE_MM), _BEST, layer=0)
        sheet.text((x, y - _LINE_MM / 2), line.text, _SIZE_PT, bold=line.bold)
        y -= _LINE_MM


def _draw_small(
    sheet: Sheet,
    one: Alternative,
    scale: float,
    corner: tuple[float, float],
    fills: Mapping[str, key.Fill],
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
        fills[placement.garment].draw(sheet, outline, 0.45)


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
