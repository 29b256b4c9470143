"""The quote on paper, to hand over: a block for each garment, amounts under each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.costing.quote import quote_of
from nesting.fabric.costing import Costing
from nesting.fabric.plans import Plan
from nesting.output.drawing import key
from nesting.output.drawing.sheet import FAINT, Sheet, pages_pdf, shortened
from nesting.output.paper.tiling import Paper
from nesting.output.report.quote import Row, remarks, rows_of, together

_MARGIN_MM = 20.0
_TITLE_PT, _HEAD_PT, _TEXT_PT, _SMALL_PT = 16.0, 12.0, 10.0, 8.0
_LINE_MM, _SMALL_MM, _GAP_MM = 5.2, 4.2, 5.0
_AMOUNT_MM = 45.0
"""Room for the amounts."""


@dataclass(frozen=True, slots=True)
class _Block:
    """A garment's name over its lines."""

    head: str
    rows: tuple[Row, ...]


def quote_pdf(plan: Plan, costing: Costing, paper: Paper) -> bytes:
    """The quote of a plan as a PDF; no garment is broken over two pages that fits one."""
    quote = quote_of(plan, costing)
    blocks = [_Block(one.garment, tuple(rows_of(one, quote))) for one in quote.garments]
    if len(blocks) > 1:
        blocks.append(_Block("Together", tuple(together(quote))))
    title = f"Quote: {quote.order}"
    return pages_pdf(_pages(title, blocks, list(remarks(quote)), paper), title)


def _pages(
    title: str, blocks: Sequence[_Block], notes: Sequence[str], paper: Paper
) -> Iterator[Sheet]:
    wide, tall = paper.size_mm
    room = wide - 2 * _MARGIN_MM
    sheet, y = _begun(title, paper)
    for block in blocks:
        needs = _GAP_MM + (1.5 + sum(len(_lines(row, room)) for row in block.rows)) * _LINE_MM
        if y - needs < _MARGIN_MM and y < tall - 2.5 * _MARGIN_MM:
            yield sheet
            sheet, y = _begun(title, paper)
        y -= _GAP_MM
        sheet.text(
            (_MARGIN_MM, y), shortened(block.head, _HEAD_PT, room, True), _HEAD_PT, bold=True
        )
        y -= 1.2 * _LINE_MM
        for row in block.rows:
            if y < _MARGIN_MM:
                yield sheet
                sheet, y = _begun(title, paper)
            y = _row(sheet, row, y, room)
    lines = [line for text in notes for line in key.wrapped(text, _SMALL_PT, room)]
    if y - _GAP_MM - len(lines) * _SMALL_MM < _MARGIN_MM / 2:
        yield sheet
        sheet, y = _begun(title, paper)
    y -= _GAP_MM
    for line in lines:
        sheet.text((_MARGIN_MM, y), line, _SMALL_PT, colour=FAINT)
        y -= _SMALL_MM
    yield sheet


def _begun(title: str, paper: Paper) -> tuple[Sheet, float]:
    """A page with its title, and the height at which it goes on."""
    wide, tall = paper.size_mm
    sheet = Sheet(wide, tall, title)
    top = tall - _MARGIN_MM
    shown = shortened(title, _TITLE_PT, wide - 2 * _MARGIN_MM, True)
    sheet.text((_MARGIN_MM, top), shown, _TITLE_PT, bold=True)
    sheet.line([(_MARGIN_MM, top - 5), (wide - _MARGIN_MM, top - 5)], 0.8, colour=FAINT)
    return sheet, top - 9


def _lines(row: Row, room_mm: float) -> list[str]:
    return key.wrapped(row.what, _TEXT_PT, room_mm - _AMOUNT_MM)


def _row(sheet: Sheet, row: Row, y: float, room_mm: float) -> float:
    right = _MARGIN_MM + room_mm
    sheet.text((right, y), row.amount, _TEXT_PT, bold=row.strong, align="right")
    for line in _lines(row, room_mm):
        sheet.text((_MARGIN_MM, y), line, _TEXT_PT, bold=row.strong)
        y -= _LINE_MM
    return y
