"""Lengths as people write them, and as millimetres.

Reading and writing work in exact fractions and become floats only at the end, so that
2.25 m is 2250 mm and not a hair more. Nothing here depends on the computer's language.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from enum import StrEnum
from fractions import Fraction

from pieces.errors import BadValue
from pieces.wording import either


class Unit(StrEnum):
    """The units in which an order may give bare numbers, and those that text may name."""

    MM = "mm"
    CM = "cm"
    IN = "in"
    M = "m"
    YD = "yd"


UNDERSTOOD = either(
    '30, "30 cm", "2.25 m", "1 1/2 in" or "1 3/8 yd"', "30, 30 cm, 2.25 m, 1 1/2 in or 1 3/8 yd"
)
"""What a length may look like in an order, for messages."""
_LOOKS_LIKE = "A length looks like " + UNDERSTOOD + "."

_MM_PER = {
    Unit.MM: Fraction(1),
    Unit.CM: Fraction(10),
    Unit.IN: Fraction("25.4"),
    Unit.M: Fraction(1000),
    Unit.YD: Fraction("914.4"),
}
_WRITTEN = {
    Unit.MM: ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    Unit.CM: ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    Unit.IN: ("in", "in.", "inch", "inches", '"', "″", "”", "''"),
    Unit.M: ("m", "metre", "metres", "meter", "meters"),
    Unit.YD: ("yd", "yd.", "yds", "yard", "yards"),
}
_UNIT_OF = {word: unit for unit, words in _WRITTEN.items() for word in words}
_LONGEST_MM = 10_000_000
"""Ten kilometres: more is a slip of the pen."""

_DIGITS = 6
"""Of a millimetre: a length typed in inches, to as many digits as there are, is the same in cm."""

_NUMBER = re.compile(
    r"""(?P<sign>[-+]?)\s*
    (?:(?P<decimal>[0-9]{1,9}(?:[.,][0-9]{1,9})?|[.,][0-9]{1,9})
      |(?:(?P<whole>[0-9]{1,9})(?:\s+|-))?(?P<above>[0-9]{1,9})\s*/\s*(?P<below>0*[1-9][0-9]{0,8}))
    \s*(?P<unit>[^0-9\s.,/+-][^0-9]*)?""",
    re.VERBOSE,
)
_AMBIGUOUS_COMMA = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
"""1,500 is one and a half to some and fifteen hundred to others."""


def mm_per(unit: Unit) -> Fraction:
    """How many millimetres one of `unit` is, exactly.

    The inch is 25.4 mm and the yard 0.9144 m since the international agreement of 1959.
    """
    return _MM_PER[unit]


def parse_length(value: str | int | float, unit: Unit) -> float:
    """Millimetres of a length as written; a number without a unit is in `unit`.

    Raises
    ------
    BadValue : with a sentence that names what is understood

    >>> parse_length("1 1/2 in", Unit.CM), parse_length(150, Unit.CM), parse_length("½", Unit.IN)
    (38.1, 1500.0, 12.7)
    """
    number, written_in = _from_text(value) if isinstance(value, str) else (_exact(value), None)
    length = number * _MM_PER[written_in or unit]
    if abs(length) > _LONGEST_MM:
        raise BadValue(f"{shown(value)} is longer than any cloth.", "Look at its number and unit.")
    return float(round(length, _DIGITS))


def _exact(value: int | float) -> Fraction:
    if isinstance(value, int) and not isinstance(value, bool):
        return Fraction(value)
    if not isinstance(value, float) or not math.isfinite(value):
        raise BadValue(f"{shown(value)} is not a length.", _LOOKS_LIKE)
    # The shortest text of a float is what was typed: 0.1 is a tenth, exactly.
    return Fraction(repr(value))


def _from_text(text: str) -> tuple[Fraction, Unit | None]:
    plain = _spelt_out(text)
    if _AMBIGUOUS_COMMA.search(plain):
        raise BadValue(
            f"The comma in {shown(text)} can be read two ways.",
            "Write a point for decimals and nothing between thousands.",
        )
    match = _NUMBER.fullmatch(plain)
    if match is None:
        raise BadValue(f"{shown(text)} is not a length.", _LOOKS_LIKE)
    number = _number(match)
    return (-number if match["sign"] == "-" else number), _unit(match["unit"], text)


def _number(match: re.Match[str]) -> Fraction:
    if match["decimal"] is not None:
        return Fraction(match["decimal"].replace(",", "."))
    return int(match["whole"] or 0) + Fraction(int(match["above"]), int(match["below"]))


def _unit(word: str | None, text: str) -> Unit | None:
    if word is None:
        return None
    unit = _UNIT_OF.get(" ".join(word.lower().split()))
    if unit is None:
        raise BadValue(
            f"{shown(word)} in {shown(text)} is not a unit known here.",
            "Lengths may be in mm, cm, m, in (or the inch mark) and yd.",
        )
    return unit


def _spelt_out(text: str) -> str:
    """Fractions of one character as figures, and every kind of minus and slash as the plain one."""
    spelt = "".join(
        f" {unicodedata.normalize('NFKC', char)}"
        if unicodedata.decomposition(char).startswith("<fraction>")
        else char
        for char in text
    )
    return spelt.replace("⁄", "/").replace("−", "-").strip()


def shown(value: object) -> str:
    """A value as the order has it, on one line, without unseen signs and cut short.

    >>> shown("thirty cm"), shown(2.5), shown(True), shown([1, 2])
    ("'thirty cm'", '2.5', 'true', 'a list')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) >= 10**15:
        return "a number of so many digits"
    if isinstance(value, int | float):
        return f"{value:.15g}"
    if isinstance(value, str):
        text = "".join(char for char in " ".join(value.split()) if char.isprintable())
        return f"'{text}'" if len(text) <= 40 else f"'{text[:36]}...'"
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    return f"'{value}'"


def format_length(mm: float, unit: Unit, *, finest: int = 16) -> str:
    """A length in the dresser's unit, to the nearest mark of the tape.

    Millimetres and centimetres to 1 mm, metres to 1 cm, yards to an eighth, inches to one
    `finest` (a sixteenth; 8 for an eighth). Halves go away from zero.

    >>> format_length(1500, Unit.CM), format_length(2400, Unit.M), format_length(38.1, Unit.IN)
    ('150 cm', '2.40 m', '1 1/2 in')
    """
    if not math.isfinite(mm):
        raise ValueError(f"{mm} mm is not a length that can be written")
    parts = _marks(unit, finest)
    return _at_mark(_nearest(Fraction(repr(float(mm))) / _MM_PER[unit] * parts), parts, unit)


def format_needed(mm: float, unit: Unit) -> str:
    """A length that must be there: as `format_length`, but up to the next mark.

    What is less than half a micrometre past a mark counts as being on it.

    >>> format_needed(962.7, Unit.CM), format_needed(962.7, Unit.IN), format_needed(400, Unit.CM)
    ('96.3 cm', '37 15/16 in', '40 cm')
    """
    return _at_mark(math.ceil(_in_marks(mm, unit)), _marks(unit), unit)


def format_kept(mm: float, unit: Unit) -> str:
    """A length that is there, or is the least there can be: down to the mark before.

    >>> format_kept(962.7, Unit.CM), format_kept(38.0, Unit.IN)
    ('96.2 cm', '1 7/16 in')
    """
    return _at_mark(math.floor(_in_marks(mm, unit)), _marks(unit), unit)


def _marks(unit: Unit, finest: int = 16) -> int:
    return {Unit.MM: 1, Unit.CM: 10, Unit.M: 100, Unit.YD: 8, Unit.IN: finest}[unit]


def _in_marks(mm: float, unit: Unit) -> Fraction:
    """How many marks a length is, by whole micrometres: sums of floats are not exact."""
    return Fraction(round(mm * 1000), 1000) / _MM_PER[unit] * _marks(unit)


def _at_mark(count: int, parts: int, unit: Unit) -> str:
    sign = "-" if count < 0 else ""
    amount = Fraction(abs(count), parts)
    if unit is Unit.M:
        return f"{sign}{abs(count) // 100}.{abs(count) % 100:02d} m"
    if unit in (Unit.IN, Unit.YD):
        return f"{sign}{_mixed(amount)} {unit}"
    return f"{sign}{float(amount):.15g} {unit}"


def format_in_both(
    mm: float, unit: Unit, written: Callable[[float, Unit], str] = format_length
) -> str:
    """A length in the dresser's unit, with the other system's in brackets.

    >>> format_in_both(300, Unit.CM), format_in_both(914.4, Unit.YD)
    ('30 cm (11 13/16 in)', '1 yd (0.91 m)')
    >>> format_in_both(914.4, Unit.YD, format_needed)
    '1 yd (0.92 m)'
    """
    other = {
        Unit.MM: Unit.IN,
        Unit.CM: Unit.IN,
        Unit.IN: Unit.CM,
        Unit.M: Unit.YD,
        Unit.YD: Unit.M,
    }[unit]
    return f"{written(mm, unit)} ({written(mm, other)})"


def _nearest(value: Fraction) -> int:
    whole = math.floor(abs(value) + Fraction(1, 2))
    return -whole if value < 0 else whole


def _mixed(amount: Fraction) -> str:
    whole, rest = divmod(amount, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
