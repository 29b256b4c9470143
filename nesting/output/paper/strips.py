"""Pages of text: plain strips, which measures tell as well as pages at true size would."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from nesting.fabric.lay import lay_under
from nesting.fabric.plans import FabricPlan
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.sheet import FAINT, Sheet, shortened, size_to_fit
from nesting.output.paper.tiling import MARGIN_MM, Paper
from nesting.output.report.report import step
from pieces.units import Unit

_SIZE_PT, _LINE_MM, _BETWEEN_MM = 9.0, 4.6, 2.6


def heading(sheet: Sheet, text: str) -> float:
    """Write a heading; give the height at which the page goes on below it."""
    room = sheet.width_mm - 2 * MARGIN_MM
    size = size_to_fit(text, 15.0, room, bold=True)
    top = sheet.height_mm - MARGIN_MM
    sheet.text((MARGIN_MM, top - 3), shortened(text, size, room, bold=True), size, bold=True)
    sheet.line([(MARGIN_MM, top - 8), (sheet.width_mm - MARGIN_MM, top - 8)], 0.8, colour=FAINT)
    return top - 14


def text_pages(title: str, paragraphs: Sequence[str], paper: Paper) -> Iterator[Sheet]:
    """As many pages as the paragraphs take, none for none."""
    sheet, y = None, 0.0
    for text in paragraphs:
        lines = key.wrapped(text, _SIZE_PT, paper.size_mm[0] - 2 * MARGIN_MM)
        if sheet is None or y - len(lines) * _LINE_MM < MARGIN_MM:
            if sheet is not None:
                yield sheet
            sheet = Sheet(*paper.size_mm, title)
            y = heading(sheet, title)
        for line in lines:
            sheet.text((MARGIN_MM, y), line, _SIZE_PT)
            y -= _LINE_MM
        y -= _BETWEEN_MM
    if sheet is not None:
        yield sheet


def strips_laid(entry: FabricPlan, plain: Collection[tuple[str, str]], unit: Unit) -> list[str]:
    """Where each of the plain strips lies on a cloth, in laying order."""
    lay = lay_under(entry.marker, entry.fabric)
    placements = words.in_laying_order(entry.marker.placements)
    copies, end = words.copies(placements), words.near_end(lay)
    laid = [
        step(one, copies[one.garment, one.piece], here, end, entry.fabric, unit)
        for one in placements
        if (one.garment, one.piece) in plain
        for here in [words.lay_there(one, lay, entry.fabric)]
    ]
    where = f"Places are measured {words.measuring(lay, entry.fabric)}."
    return [where, *laid] if laid else []
