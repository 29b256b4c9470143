"""The open pattern-interchange standard: its layers, its texts and what they mean.

ASTM D6673, standard practice for sewn products pattern data interchange, a use of DXF with one
block for each piece. Whoever reads and whoever writes such files takes the names from here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum

from pieces.units import Unit

COMMENT = "ASTM/D6673"
"""Stands in a comment at the head of a file, so that people see what it is."""


class Layer(StrEnum):
    """Layers by the meaning that the standard gives them."""

    BOUNDARY = "1"
    TURN = "2"
    CURVE = "3"
    NOTCH = "4"
    GRADE = "5"
    MIRROR = "6"
    GRAIN = "7"
    INTERNAL = "8"
    STRIPE = "9"
    PLAID = "10"
    CUTOUT = "11"
    DRILL = "13"
    SEW = "14"
    ANNOTATION = "15"


NOTCHES = frozenset([Layer.NOTCH, "80", "81", "82", "83"])
"""Slit and V notches; T, castle, check and U notches."""
SILENT = frozenset([Layer.TURN, Layer.CURVE, Layer.GRADE, "12", "84", "85", "86", "87"])
"""What a cutter has no use for: points of lines that are drawn anyway, grading, check curves."""
UNITS = {"METRIC": Unit.MM, "ENGLISH": Unit.IN}

STYLE_NAME = "Style Name"
UNITS_TEXT = "Units"
PIECE_NAME = "Piece Name"
SIZE = "Size"
QUANTITY = "Quantity"
MATERIAL = "Material"
GRAIN_RULE = "Grain rule"
"""Not of the standard: told in an annotation, where any text may stand."""
JOINS = "Joins"
"""Not of the standard, as `GRAIN_RULE`."""
_KNOWN = (STYLE_NAME, UNITS_TEXT, PIECE_NAME, SIZE, QUANTITY, MATERIAL, GRAIN_RULE, JOINS)
_MOST = 500


def told(texts: Iterable[str]) -> dict[str, str]:
    """What texts such as "Piece Name: front" say; of two that say the same the first counts.

    >>> told(["PIECE NAME: front", "Category: A", "hello", "Quantity: 1,1"])
    {'Piece Name': 'front', 'Quantity': '1,1'}
    """
    by_word = {word.upper(): word for word in _KNOWN}
    found: dict[str, str] = {}
    for text in texts:
        word, _, value = text.partition(":")
        key = by_word.get(" ".join(word.upper().split()))
        if key is not None and value.strip():
            found.setdefault(key, " ".join(value.split()))
    return found


def quantity(text: str) -> tuple[int, int] | None:
    """How many as drawn and how many mirrored; None if that can't be read.

    >>> quantity("2"), quantity("1, 1"), quantity("two"), quantity("0")
    ((2, 0), (1, 1), None, None)
    """
    if not re.fullmatch(r"[0-9]{1,4}(?:[\s,;/]+[0-9]{1,4})?", text.strip(), re.ASCII):
        return None
    drawn, *rest = (int(number) for number in re.findall(r"[0-9]+", text))
    mirrored = rest[0] if rest else 0
    return (drawn, mirrored) if 1 <= max(drawn, mirrored) <= _MOST else None
