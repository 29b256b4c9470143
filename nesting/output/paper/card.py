"""A card to take measures by: a figure with numbers, and a line for each measure asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.figure import draw_figures
from nesting.output.drawing.sheet import FAINT, Sheet, pages_pdf, shortened, size_to_fit
from nesting.output.paper.tiling import Paper
from pieces.body.measurements import in_words
from pieces.drafting.asked import measures_asked
from pieces.drafting.spec import GarmentSpec
from pieces.units import Unit, format_length

_MARGIN_MM = 18.0
_TITLE_PT, _TEXT_PT, _SMALL_PT = 16.0, 10.0, 8.0
_NAME_MM, _ROW_MM, _SMALL_MM = 46.0, 9.0, 3.8
HOW = {
    "height": "standing, without shoes",
    "chest": "round the fullest part, the tape level under the arms",
    "waist": "where it is narrowest; leave a string tied there",
    "hip": "round the fullest part, over the seat",
    "back_waist": "from the bone at the nape straight down to the string",
    "shoulder": "from the side of the neck to the shoulder's point",
    "upper_arm": "round the fullest part, the arm hanging",
    "arm": "from the shoulder's point over the bent elbow to the wrist",
    "wrist": "round the bone",
    "neck": "round its base, the tape standing on edge",
    "across_shoulders": "from one shoulder's point to the other, over the back",
    "across_back": "from armhole to armhole, half way down it",
    "across_front": "from armhole to armhole, half way down it",
    "bust_height": "from the side of the neck to the bust point",
    "bust_span": "from one bust point to the other",
    "front_waist": "from the side of the neck over the bust to the string",
    "rise": "sitting, at the side from the string to the chair",
}
"""How each is taken: the words of `Body`, and common practice."""
_ADVICE = (
    "Over what is worn underneath; the tape lies snug and never tight. Take each twice; measure a "
    "growing child anew for every order."
)


def measuring_card(
    order: str, garments: Sequence[GarmentSpec], unit: Unit, paper: Paper, *, filled: bool
) -> bytes:
    """A PDF with a page for each garment; with `filled`, the measures that were taken stand in it.

    Those that a size table filled are left blank, as nobody took them.
    """
    tape = words.tape(unit)
    pages = (_page(order, one, tape, paper, filled) for one in garments)
    return pages_pdf(pages, f"{order}: measures")


def _page(order: str, garment: GarmentSpec, unit: Unit, paper: Paper, filled: bool) -> Sheet:
    wide, tall = paper.size_mm
    room = wide - 2 * _MARGIN_MM
    sheet = Sheet(wide, tall, f"{order}: measures")
    y = tall - _MARGIN_MM
    title = f"Measures: {garment.name}"
    size = size_to_fit(title, _TITLE_PT, room, bold=True)
    sheet.text((_MARGIN_MM, y), shortened(title, size, room, True), size, bold=True)
    sheet.text((_MARGIN_MM, y - 8), f"{order}; in {_UNITS[unit]}", _TEXT_PT, colour=FAINT)
    sheet.text((wide - _MARGIN_MM, y - 8), "date ____________", _TEXT_PT, align="right")
    sheet.line([(_MARGIN_MM, y - 12), (wide - _MARGIN_MM, y - 12)], 0.8, colour=FAINT)
    names = measures_asked(garment)
    numbers = {name: number for number, name in enumerate(names, start=1)}
    y -= 16
    y -= draw_figures(sheet, numbers, (_MARGIN_MM, y), room)
    for line in _rows(sheet, garment, numbers, unit, y - 8, filled):
        y = line
    for text in key.wrapped(_ADVICE, _SMALL_PT, room):
        sheet.text((_MARGIN_MM, y), text, _SMALL_PT, colour=FAINT)
        y -= _SMALL_MM
    return sheet


_UNITS = {Unit.MM: "millimetres", Unit.CM: "centimetres", Unit.IN: "inches"}


def _rows(
    sheet: Sheet, garment: GarmentSpec, numbers: dict[str, int], unit: Unit, y: float, filled: bool
) -> Iterator[float]:
    """A line for each measure; gives the height below each."""
    right = sheet.width_mm - _MARGIN_MM
    blank = right - _NAME_MM
    for name, number in numbers.items():
        mm: float | None = getattr(garment.body, name)
        known = filled and mm is not None and name not in garment.filled
        label = f"{number}  {in_words(name)}"
        sheet.text((_MARGIN_MM, y), label, _TEXT_PT, bold=True)
        how = shortened(HOW[name], _SMALL_PT, blank - _MARGIN_MM - _NAME_MM - 2)
        sheet.text((_MARGIN_MM + _NAME_MM, y), how, _SMALL_PT, colour=FAINT)
        if known and mm is not None:
            sheet.text((right, y), format_length(mm, unit), _TEXT_PT, align="right")
        else:
            sheet.text((right, y), str(unit), _TEXT_PT, colour=FAINT, align="right")
        sheet.line([(blank, y - 2.2), (right, y - 2.2)], 0.4)
        y -= _ROW_MM
        yield y
