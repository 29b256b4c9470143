"""Types of the values in an order file, read by pydantic and converted on the way in.

An options class of a draft is a frozen, slotted, keyword-only dataclass whose fields carry
these types; every field has a default, and None where the body or the trade fills it.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo


def _length(value: object, info: ValidationInfo) -> float:
    raise NotImplementedError


Length = Annotated[float, BeforeValidator(_length), Field(gt=0)]
"""A length above zero: a bare number in the order's unit, or text with a unit; mm inside."""
LengthOrZero = Annotated[float, BeforeValidator(_length), Field(ge=0)]
"""A length of zero or more."""
Ratio = Annotated[float, Field(gt=0)]
Count = Annotated[int, Field(ge=1)]
