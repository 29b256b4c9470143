"""Sewing notes on paper: each garment begins a page, with a box before each step to tick off."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

from nesting.fabric.plans import Plan
from nesting.notes.notes import GarmentNotes, notes_of
from nesting.output.drawing.sheet import (
    FAINT,
    Sheet,
    line_height_mm,
    pages_pdf,
    rectangle,
    shortened,
    text_width_mm,
)
from nesting.output.paper.tiling import Paper

_MARGIN_MM = 18.0
_TITLE_PT, _HEAD_PT, _TEXT_PT = 16.0, 11.5, 10.0
_INDENT_MM, _BOX_MM = 9.0, 3.2
_ABOVE_HEAD_MM, _BETWEEN_MM = 5.0, 1.2
_FOOT_PT = 7.0


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of writing: how large, how far in, what stands above it, a box or a number before."""

    text: str
    size_pt: float = _TEXT_PT
    indent_mm: float = 0.0
    above_mm: float = 0.0
    mark: str = ""
    box: bool = False

    @property
    def height_mm(self) -> float:
        """What it takes of the page."""
        return self.above_mm + line_height_mm(self.size_pt)


def notes_pdf(plan: Plan, paper: Paper) -> bytes:
    """The notes on every garment of a plan as a PDF of pages of this paper."""
    title = f"{plan.order}: sewing notes"
    each = (_pages(notes, paper, title) for notes in notes_of(plan))
    return pages_pdf(chain.from_iterable(each), title)


def _pages(notes: GarmentNotes, paper: Paper, title: str) -> Iterator[Sheet]:
    wide, tall = paper.size_mm
    groups = list(_broken(list(_lines(notes, wide - 2 * _MARGIN_MM)), tall - 2 * _MARGIN_MM))
    for number, group in enumerate(groups, start=1):
        sheet = Sheet(wide, tall, title)
        y = tall - _MARGIN_MM
        for line in group:
            y -= line.height_mm
            _draw(sheet, line, y)
        of = f", page {number} of {len(groups)}" if len(groups) > 1 else ""
        foot = shortened(f"{title}: {notes.garment}{of}", _FOOT_PT, wide - 2 * _MARGIN_MM)
        sheet.text((_MARGIN_MM, _MARGIN_MM / 2), foot, _FOOT_PT, colour=FAINT)
        yield sheet


def _draw(sheet: Sheet, line: _Line, y: float) -> None:
    x = _MARGIN_MM + line.indent_mm
    bold = line.size_pt > _TEXT_PT
    sheet.text((x, y), line.text, line.size_pt, bold=bold)
    if line.box:
        corners = rectangle(_MARGIN_MM, y - _BOX_MM / 2, _BOX_MM, _BOX_MM)
        sheet.line((*corners, corners[0]), 0.5)
    if line.mark:
        at = x - 1.5 - text_width_mm(line.mark, _TEXT_PT)
        sheet.text((at, y), line.mark, _TEXT_PT)


def _lines(notes: GarmentNotes, room_mm: float) -> Iterator[_Line]:
    yield _Line(shortened(notes.garment, _TITLE_PT, room_mm, True), _TITLE_PT)
    for section in notes.sections:
        yield _Line(section.title, _HEAD_PT, above_mm=_ABOVE_HEAD_MM)
        for number, words in enumerate(section.lines, start=1):
            indent = 2 * _INDENT_MM if section.numbered else _INDENT_MM
            for index, text in enumerate(_wrapped(words, room_mm - indent)):
                first = index == 0
                yield _Line(
                    text,
                    indent_mm=indent,
                    above_mm=_BETWEEN_MM if first else 0.0,
                    mark=(f"{number}." if section.numbered else "–") if first else "",
                    box=section.numbered and first,
                )


def _wrapped(words: str, room_mm: float) -> list[str]:
    """The words in lines that fit; as many letters as do are found by trying."""
    columns = max(20, int(room_mm / text_width_mm("n", _TEXT_PT)))
    while columns > 20:
        lines = textwrap.wrap(words, columns)
        if all(text_width_mm(line, _TEXT_PT) <= room_mm for line in lines):
            return lines
        columns -= 2
    return textwrap.wrap(words, columns)


def _broken(lines: list[_Line], room_mm: float) -> Iterator[list[_Line]]:
    """The lines in pages; no title stands last on one."""
    page: list[_Line] = []
    left = room_mm
    for index, line in enumerate(lines):
        is_head = line.size_pt == _HEAD_PT
        with_next = line.height_mm + (lines[index + 1].height_mm if is_head else 0.0)
        if page and with_next > left:
            yield page
            page, left = [], room_mm
        page.append(line)
        left -= line.height_mm
    yield page
