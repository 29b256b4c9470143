"""Sewing notes on paper: each garment begins a page, with a box before each step to tick off."""

from __future__ import annotations

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
from nesting.output.report.text import HARD_SPACE, kept_together

_MARGIN_MM = 18.0
_TITLE_PT, _HEAD_PT = 16.0, 11.5
_TEXT_PT = (10.0, 9.25, 8.5)
"""The largest in which a garment finds room on one page; the first where it finds none."""
_INDENT_MM, _STEP_MM, _BOX_MM, _BEFORE_MM = 6.0, 13.0, 3.2, 1.5
_ABOVE_HEAD_MM, _BETWEEN_MM = 5.0, 1.2
_FOOT_PT = 7.0


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of writing: how large, how far in, what stands above it, a box or a number before."""

    text: str
    size_pt: float
    indent_mm: float = 0.0
    above_mm: float = 0.0
    mark: str = ""
    box: bool = False
    bold: bool = False

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
    """A garment's pages: one, in smaller type if it must be, or else as many as it takes."""
    wide, tall = paper.size_mm
    room = (wide - 2 * _MARGIN_MM, tall - 2 * _MARGIN_MM)
    tried = ([*_broken(list(_lines(notes, room[0], size)), room[1])] for size in _TEXT_PT)
    first = next(tried)
    groups = first if len(first) == 1 else next((one for one in tried if len(one) == 1), first)
    for number, group in enumerate(groups, start=1):
        sheet = Sheet(wide, tall, title)
        y = tall - _MARGIN_MM
        for line in group:
            y -= line.height_mm
            _draw(sheet, line, y)
        of = f", page {number} of {len(groups)}" if len(groups) > 1 else ""
        foot = shortened(f"{title}: {notes.garment}{of}", _FOOT_PT, room[0])
        sheet.text((_MARGIN_MM, _MARGIN_MM / 2), foot, _FOOT_PT, colour=FAINT)
        yield sheet


def _draw(sheet: Sheet, line: _Line, y: float) -> None:
    x = _MARGIN_MM + line.indent_mm
    sheet.text((x, y), line.text, line.size_pt, bold=line.bold)
    if line.box:
        corners = rectangle(_MARGIN_MM, y - _BOX_MM / 2, _BOX_MM, _BOX_MM)
        sheet.line((*corners, corners[0]), 0.5)
    if line.mark:
        at = x - _BEFORE_MM - text_width_mm(line.mark, line.size_pt)
        sheet.text((at, y), line.mark, line.size_pt)


def _lines(notes: GarmentNotes, room_mm: float, size_pt: float) -> Iterator[_Line]:
    title = shortened(notes.garment, _TITLE_PT, room_mm, True)
    yield _Line(title, _TITLE_PT, bold=True)
    for section in notes.sections:
        yield _Line(section.title, _HEAD_PT, above_mm=_ABOVE_HEAD_MM, bold=True)
        for number, words in enumerate(section.lines, start=1):
            indent = _STEP_MM if section.numbered else _INDENT_MM
            for index, text in enumerate(_wrapped(words, room_mm - indent, size_pt)):
                first = index == 0
                yield _Line(
                    text,
                    size_pt,
                    indent_mm=indent,
                    above_mm=_BETWEEN_MM if first else 0.0,
                    mark=(f"{number}." if section.numbered else "–") if first else "",
                    box=section.numbered and first,
                )


def _wrapped(words: str, room_mm: float, size_pt: float) -> list[str]:
    """The words in lines that fit; a number keeps its fraction and its unit beside it."""
    lines, line, used = [], "", 0.0
    space_mm = text_width_mm("n n", size_pt) - text_width_mm("nn", size_pt)
    for word in kept_together(words).split(" "):
        wide_mm = sum(text_width_mm(part, size_pt) for part in word.split(HARD_SPACE))
        wide_mm += space_mm * word.count(HARD_SPACE)
        if line and used + space_mm + wide_mm > room_mm:
            lines.append(line)
            line, used = word, wide_mm
        else:
            line, used = (f"{line} {word}", used + space_mm + wide_mm) if line else (word, wide_mm)
    return [text.replace(HARD_SPACE, " ") for text in (*lines, line)]


def _broken(lines: list[_Line], room_mm: float) -> Iterator[list[_Line]]:
    """The lines in pages; no title stands last on one."""
    page: list[_Line] = []
    left = room_mm
    for index, line in enumerate(lines):
        following = lines[index + 1 : index + 2] if line.bold else []
        with_next = line.height_mm + sum(one.height_mm for one in following)
        if page and with_next > left:
            yield page
            page, left = [], room_mm
        page.append(line)
        left -= line.height_mm
    yield page
