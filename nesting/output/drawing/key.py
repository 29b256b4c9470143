"""The key of a cutting plan: what each kind of line means, whose colour is whose, numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nesting.output.drawing.sheet import (
    DASH_DOT,
    DASHED,
    DOTTED,
    FAINT,
    INK,
    SOLID,
    Dashes,
    Sheet,
    line_height_mm,
    rectangle,
    text_width_mm,
)
from pieces.piece import Outline, Point

if TYPE_CHECKING:
    from matplotlib.patches import Rectangle

SIZE_PT = 7.0
COLUMN_MM = 63.0
"""Width of a column, with the space to the next."""
_SPACE_MM = 4.0
_SAMPLE_MM = 9.0
_GAP_MM = 2.0
_SIGN_MM = 1.1
_LEADING_MM, _HEADING_MM = 0.9, 1.5
"""Below an entry, and above a heading that isn't the first of its column."""
_BY_A_NUMBER, _HARD_SPACE = re.compile(r"(?<=\d) (?=\d+/\d|[a-zA-Z%])"), "\N{NO-BREAK SPACE}"
PALETTE = (
    "#bcd9ec",
    "#f3dfae",
    "#c9e2cf",
    "#e7cfe0",
    "#f2c8b4",
    "#d9d6ee",
    "#e3e3b5",
    "#d2d2d2",
)
"""Pale fills, under black text; garments are told by name too, never by colour alone."""
PATTERNS = ("", "//", "..", "||", "--", "\\\\", "oo", "++", "*", "/o", "-.")
"""Drawn over the fills, so that garments are told apart in black and white; beyond as many as
there are, by pattern and colour together."""
_PATTERN_INK = "#8f8f8f"

CLOTH = "#fcfaf4"
SELVEDGE = "#ded8ca"
LEFT_OVER = "#a39c8d"
BORDER_FILL = "#efe0d0"
PRINT, PRINT_INK = "#c79a86", "#8a4b32"
PRINT_PT, BORDER_PT = 0.5, 0.8
SEWING = "#7a7a7a"
FLAW_HATCH = "xxxxxx"
CUT_PT, SEWING_PT, FOLD_PT, NOTCH_PT = 1.1, 0.45, 3.0, 1.0


@dataclass(frozen=True, slots=True)
class Fill:
    """What a garment's pieces are filled with: a colour, and a pattern over it."""

    colour: str
    pattern: str = ""

    def draw(
        self,
        sheet: Sheet,
        outline: Outline,
        width_pt: float,
        clip: Rectangle | None = None,
    ) -> None:
        """Fill an outline on the page and draw it."""
        if self.pattern:
            sheet.area(outline, self.colour, layer=2, clip=clip)
            sheet.area(outline, "none", edge=_PATTERN_INK, hatch=self.pattern, layer=2, clip=clip)
            sheet.area(outline, "none", edge=INK, width_pt=width_pt, layer=2, clip=clip)
        else:
            sheet.area(outline, self.colour, edge=INK, width_pt=width_pt, layer=2, clip=clip)


NO_FILL = Fill("none")


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the key: a sample, a colour or a number, and what it means.

    `line` is a width in points, dashes and a colour; `arrow` has "one" or "two" heads; `sign` is
    that of a point at which the print meets.
    """

    text: str
    line: tuple[float, Dashes, str] | None = None
    arrow: str = ""
    fill: str = ""
    hatch: str = ""
    garment: Fill | None = None
    number: str = ""
    heading: bool = False
    sign: bool = False


CUT_LINE = Entry("cut line", line=(CUT_PT, SOLID, INK))
SEWING_LINE = Entry("sewing line", line=(SEWING_PT, SOLID, SEWING))
DRAWN_LINE = Entry("drawn, not cut", line=(0.6, DASHED, INK))
FOLD_EDGE = Entry("edge on the fold: don't cut it", line=(FOLD_PT, SOLID, INK))
SELVEDGES = Entry("selvedge", line=(1.2, DASH_DOT, INK))
OPENED_OUT = Entry("middle of a piece opened out", line=(0.7, DOTTED, INK))
END_OF_CLOTH = Entry("end of the cloth", line=(1.0, DASHED, FAINT))
END_OF_PIECES = Entry("end of the pieces", line=(1.0, DASHED, FAINT))
END_OF_FOLD = Entry("end of the fold: open out past it", line=(1.6, DOTTED, INK))
REMNANT = Entry("left over", fill="white", hatch="////")
FLAW = Entry("flaw of the cloth: cut round it", fill="white", hatch=FLAW_HATCH)
PRINT_LINE = Entry("print repeats here", line=(PRINT_PT, SOLID, PRINT))
MEETING_POINT = Entry("point that meets the print", sign=True)
BORDER = Entry("border of the cloth", line=(BORDER_PT, DASHED, PRINT_INK), fill=BORDER_FILL)
EITHER_WAY = Entry("thread line; may lie either way", arrow="two")
ONE_WAY = Entry("thread line; arrows as drawn", arrow="one")


def fills_of(garments: Sequence[str]) -> dict[str, Fill]:
    """A fill for each garment, in the order in which they come; no two of the first 88 alike."""
    unique = dict.fromkeys(garments)
    return {
        name: Fill(PALETTE[index % len(PALETTE)], PATTERNS[index % len(PATTERNS)])
        for index, name in enumerate(unique)
    }


def draw_flaw(sheet: Sheet, outline: Outline, clip: Rectangle | None = None) -> None:
    """A flaw of the cloth, where it lies on the page."""
    sheet.area(outline, "white", edge=INK, width_pt=0.8, hatch=FLAW_HATCH, layer=2, clip=clip)


def wrapped(text: str, size_pt: float, room_mm: float) -> list[str]:
    """Text broken into lines that fit the room; only a single word may be longer.

    A number stays with its fraction and its unit.
    """
    lines: list[str] = []
    for word in _BY_A_NUMBER.sub(_HARD_SPACE, text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, size_pt) <= room_mm:
            lines[-1] = longer
        elif word:
            lines.append(word)
    return [line.replace(_HARD_SPACE, " ") for line in lines]


def height_mm(entries: Sequence[Entry], columns: int) -> float:
    """The least height at which the entries fit so many columns."""
    high = sum(map(_height, entries)) / columns
    while max(column for column, _, _ in _flowed(entries, high)) >= columns:
        high += 0.5
    return high


def draw_key(sheet: Sheet, entries: Sequence[Entry], left: float, top: float, columns: int) -> None:
    """Write the entries in columns from the top left corner."""
    for column, down, entry in _flowed(entries, height_mm(entries, columns)):
        _draw(sheet, entry, left + column * COLUMN_MM, top - down)


def _flowed(entries: Sequence[Entry], high_mm: float) -> Iterator[tuple[int, float, Entry]]:
    """Column and depth of each entry; a heading stays with what follows it."""
    column, down = 0, 0.0
    for entry, following in zip(entries, [*entries[1:], None], strict=True):
        needs = _height(entry)
        if entry.heading and following is not None:
            needs += _HEADING_MM + _height(following)
        if down and down + needs > high_mm + 1e-6:
            column, down = column + 1, 0.0
        if entry.heading and down:
            down += _HEADING_MM
        yield column, down, entry
        down += _height(entry)


def _lines(entry: Entry) -> list[str]:
    return wrapped(entry.text, SIZE_PT, COLUMN_MM - _SPACE_MM - _SAMPLE_MM - _GAP_MM)


def _height(entry: Entry) -> float:
    return len(_lines(entry)) * line_height_mm(SIZE_PT) + _LEADING_MM


def _draw(sheet: Sheet, entry: Entry, x: float, top: float) -> None:
    step = line_height_mm(SIZE_PT)
    y = top - step / 2
    if entry.line is not None:
        weight, dashes, colour = entry.line
        sheet.line([(x, y), (x + _SAMPLE_MM, y)], weight, colour=colour, dashes=dashes)
    if entry.arrow:
        sheet.arrow((x, y), (x + _SAMPLE_MM, y), both=entry.arrow == "two")
    if entry.fill:
        box = rectangle(x, y - 1.1, _SAMPLE_MM, 2.2)
        edge = LEFT_OVER if entry.hatch == REMNANT.hatch else INK
        sheet.area(box, entry.fill, edge=edge, width_pt=0.5, hatch=entry.hatch)
    if entry.garment is not None:
        entry.garment.draw(sheet, rectangle(x, y - 1.1, _SAMPLE_MM, 2.2), 0.5)
    if entry.sign:
        draw_sign(sheet, (x + _SAMPLE_MM / 2, y))
    if entry.number:
        sheet.text((x + _SAMPLE_MM, y), entry.number, SIZE_PT, bold=True, align="right")
    start = x if entry.heading else x + _SAMPLE_MM + _GAP_MM
    for index, line in enumerate(_lines(entry)):
        sheet.text((start, y - index * step), line, SIZE_PT, bold=entry.heading)


def draw_sign(sheet: Sheet, at: Point) -> None:
    """The sign at a point that meets the print: a small square on its corner."""
    (x, y), d = at, _SIGN_MM
    corners = ((x - d, y), (x, y - d), (x + d, y), (x, y + d))
    sheet.signs.append((x - d, y - d, x + d, y + d))
    sheet.area(corners, "white", edge=PRINT_INK, width_pt=0.9, layer=5)
