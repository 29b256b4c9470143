"""The test square of a pattern: a square or line with its length beside it, to check a printer.

It is compared with what it measures in the file, so that no piece comes in at a wrong scale.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pieces.geometry import area, bounds
from pieces.importers.gathering import Gathering
from pieces.importers.strokes import Stroke
from pieces.pdf.pages import Page, Words
from pieces.pdf.words import lines_of
from pieces.piece import Line
from pieces.wording import either

_LENGTH = re.compile(
    r"(?<![\w./])(?P<number>[0-9]+(?:[.,][0-9]+)?(?:\s+[0-9]/[0-9]+)?|[0-9]/[0-9]+)\s*"
    r"(?P<unit>mm|cm|inch(?:es)?|in\b|\"|″|”)",
    re.IGNORECASE,
)
_NAMED = re.compile(
    r"(?<!\w)(?:test|square|scale|check|control|calibration|measures?|ruler)(?!\w)", re.IGNORECASE
)
_LEAST_MM, _LARGEST_MM = 12.0, 210.0
_NEAR_MM = 12.0
_RIGHT, _WRONG = 0.006, 0.3
"""Squares are drawn to less than 1 in 160; what is off by more than a third is none of it."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A square or a line of a known length, and by how much the drawing is to grow to match."""

    stroke: Stroke
    measures_mm: float
    written_mm: float

    @property
    def factor(self) -> float:
        """What is written over what it measures."""
        return self.written_mm / self.measures_mm

    @property
    def right(self) -> bool:
        """Whether it measures what is written."""
        return abs(self.factor - 1) <= _RIGHT


def squares_in(strokes: Sequence[Stroke], words: Sequence[Words]) -> list[Checked]:
    """The test squares and lines of a drawing."""
    found = []
    for stroke in strokes:
        side = _side(stroke)
        if side is None:
            continue
        near = [said for said in words if _is_near(said, stroke.line)]
        named = any(_NAMED.search(said.text) for said in near)
        written = [mm for said in near for mm in lengths_in(said.text)]
        if not written:
            continue
        closest = min(written, key=lambda mm: abs(math.log(mm / side)))
        checked = Checked(stroke, side, closest)
        alone = stroke.closed and all(_is_length(said.text) for said in near)
        if (named and abs(checked.factor - 1) <= _WRONG) or (alone and checked.right):
            found.append(checked)
    return found


def _side(stroke: Stroke) -> float | None:
    """The length that a square or a straight line would show; None if it is neither."""
    left, low, right, high = bounds(stroke.line)
    wide, tall = right - left, high - low
    if stroke.closed:
        is_square = abs(wide - tall) <= 0.01 * max(wide, tall)
        full = area(stroke.line) >= 0.99 * wide * tall
        return wide if is_square and full and _LEAST_MM <= wide <= _LARGEST_MM else None
    straight = len(stroke.line) == 2 and min(wide, tall) < 0.05
    return max(wide, tall) if straight and _LEAST_MM <= max(wide, tall) <= _LARGEST_MM else None


def _is_near(said: Words, line: Line) -> bool:
    left, low, right, high = bounds(line)
    reach = _NEAR_MM + said.high_mm
    return left - reach <= said.at[0] <= right + reach and low - reach <= said.at[1] <= high + reach


def _is_length(text: str) -> bool:
    return re.sub(r"[\W_]|each way|by|x", "", _LENGTH.sub("", text)) == ""


def lengths_in(text: str) -> Iterator[float]:
    """Lengths with a unit in a text, in mm.

    >>> [round(mm, 2) for mm in lengths_in('test square 4" (10.16 cm), 1 1/2 inches')]
    [101.6, 101.6, 38.1]
    """
    for found in _LENGTH.finditer(text):
        number = sum(_number(part) for part in found["number"].replace(",", ".").split())
        unit = found["unit"].lower()
        mm = number * {"mm": 1.0, "cm": 10.0}.get(unit, 25.4)
        if mm > 0:
            yield mm


def _number(text: str) -> float:
    top, _, low = text.partition("/")
    return float(top) / (float(low) if low and float(low) else 1.0)


def scale_of(
    pages: Sequence[Page], strokes: Sequence[Stroke], square_mm: float | None, gathering: Gathering
) -> float:
    """By how much the drawing is to grow, as the test squares tell on any page.

    Raises
    ------
    OrderFault : its square has another size than is written beside it, or there is none to scale by
    """
    found = [one for page in pages for one in squares_in(_strokes(page), lines_of(page.words))]
    if square_mm is not None:
        return _to_square(strokes, found, square_mm, gathering)
    for checked in dict.fromkeys((round(c.measures_mm, 2), round(c.written_mm, 2)) for c in found):
        measures, written = checked
        if abs(written / measures - 1) > _RIGHT:
            raise gathering.refused(
                f"Its test square measures {_told(measures, written)}, and {_told(written)} is "
                "written beside it: the file is not at true size.",
                "Get it at true size, or "
                + either(
                    f'give square = "{_told(written)}" beside the file,',
                    f"write {_told(written)} for its test square,",
                )
                + " to have all of it scaled until the square measures that.",
            )
        gathering.find(
            "test-square-right",
            f"the test square or line of {_told(written)} measures {_told(measures, written)}.",
        )
    if not found:
        gathering.find(
            "no-test-square",
            "no test square with its length was found, so nothing confirms the scale; compare a "
            "measure of a piece with the body before you cut.",
        )
    return 1.0


def _strokes(page: Page) -> list[Stroke]:
    return [Stroke(drawn.line, drawn.closed) for drawn in page.lines]


def _to_square(
    strokes: Sequence[Stroke], found: Sequence[Checked], square_mm: float, gathering: Gathering
) -> float:
    sides = [one.measures_mm for one in found] or [
        side for stroke in strokes if stroke.closed and (side := _side(stroke)) is not None
    ]
    near = [side for side in sides if abs(square_mm / side - 1) <= _WRONG]
    if not near:
        raise gathering.refused(
            f"It has no square that could be meant to measure {_told(square_mm)}.",
            "Take out square, or look at its length.",
        )
    side = min(near, key=lambda one: abs(math.log(square_mm / one)))
    gathering.find(
        "scaled-to-square",
        f"its square measures {_told(side, square_mm)} and is to measure {_told(square_mm)}; all "
        f"of the drawing was made {square_mm / side:.4f} times as large.",
    )
    return square_mm / side


def _told(mm: float, like_mm: float | None = None) -> str:
    """A length, in inches where it (or another, of which it should be one) is plain in inches.

    >>> _told(101.6), _told(100.0), _told(96.3), _told(100.0, 101.6)
    ('4.00 in', '100.0 mm', '96.3 mm', '3.94 in')
    """
    plain = mm if like_mm is None else like_mm
    eighths = plain / 25.4 * 8
    if abs(eighths - round(eighths)) < 0.02 and abs(plain - round(plain)) > 0.05:
        return f"{mm / 25.4:.2f} in"
    return f"{mm:.1f} mm"
