"""Types of the values in an order file, read by pydantic and converted on the way in.

An options class of a draft is a frozen, slotted, keyword-only dataclass whose fields carry
these types; every field has a default, and None where the body or the trade fills it.

Whoever validates hands over the order's unit: ``context={"unit": Unit.CM}``.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo

from pieces.errors import BadValue
from pieces.units import parse_length, shown
from pieces.wording import either

_MOST = 1_000_000
"""No count, share or price in a sewing room is larger."""
_NUMBERS = re.compile(r"\d+(?:[.,]\d+)?")
_YES_OR_NO = either("Write true or false, unquoted.", "Say yes or no.")
_IN_QUOTES = either("Put it in quotes.", "Write it anew in its field.")
_NOTHING = either("There is nothing between the quotes.", "There is nothing in this field.")
_SOMETHING = either("Write something in them.", "Write something in it.")


def _length(value: object, info: ValidationInfo) -> float:
    # parse_length refuses whatever is no length, so its own types are not asked here.
    return parse_length(value, info.context["unit"])  # type: ignore[arg-type, index]


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadValue(f"{shown(value)} is not a number.", _plain_number(value))
    if not abs(value) <= _MOST:  # which is so of no value that is not a number
        raise BadValue(f"{shown(value)} is out of all measure.", "Look at the number.")
    return float(value)


def _plain_number(value: object) -> str:
    """What to write for text with a number in it.

    >>> _plain_number("7,50 EUR/m")
    'Write the number alone: 7.50.'
    """
    found = _NUMBERS.findall(value) if isinstance(value, str) else []
    if len(found) != 1:
        return "Write a plain number, such as 2.5."
    return f"Write the number alone: {found[0].replace(',', '.')}."


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadValue(f"{shown(value)} is not a count.", "Write a whole number, such as 2.")
    if abs(value) > _MOST:
        raise BadValue(f"{shown(value)} is out of all measure.", "Look at the number.")
    return value


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise BadValue(f"{shown(value)} is not a yes or no.", _YES_OR_NO)
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise BadValue(f"{shown(value)} is not text.", _IN_QUOTES)
    if not value.strip():
        raise BadValue(_NOTHING, _SOMETHING)
    if not value.isprintable():
        raise BadValue(
            "There are line breaks or other unseen signs in the text.", "Write it on one line."
        )
    return value.strip()


def _money(value: float) -> Decimal:
    # The shortest text of a float is what was typed: 7.90 is seven ninety, exactly.
    return Decimal(repr(value))


Length = Annotated[float, BeforeValidator(_length), Field(gt=0)]
"""A length above zero: a bare number in the order's unit, or text with a unit; mm inside."""
LengthOrZero = Annotated[float, BeforeValidator(_length), Field(ge=0)]
"""A length of zero or more."""
Coordinate = Annotated[float, BeforeValidator(_length)]
"""A place along an axis: a length that may be negative."""
Ratio = Annotated[float, BeforeValidator(_number), Field(gt=0)]
"""A plain number above zero."""
Degrees = Annotated[float, BeforeValidator(_number), Field(ge=0)]
"""An angle of zero or more."""
Percent = Annotated[float, BeforeValidator(_number), Field(ge=0, lt=100)]
"""A share in percent, from 0 to below 100."""
Count = Annotated[int, BeforeValidator(_count), Field(ge=1)]
"""A whole number, one or more."""
CountOrZero = Annotated[int, BeforeValidator(_count), Field(ge=0)]
"""A whole number, none or more."""
Flag = Annotated[bool, BeforeValidator(_flag)]
"""true or false."""
Text = Annotated[str, BeforeValidator(_text)]
"""Text with something in it, on one line; blanks at its ends fall away."""
Money = Annotated[Decimal, BeforeValidator(_money), BeforeValidator(_number), Field(ge=0)]
"""An amount of money, exact as typed."""
