"""What the values of plan.json are: numbers with their bounds, points and lines, closed tables."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field, with_config

from nesting.fabric.marker import MAIN, OPENED_OUT

Number = Annotated[float, Field(allow_inf_nan=False)]
Length = Annotated[Number, Field(ge=0)]
Percent = Annotated[Number, Field(ge=0, le=100)]
Cost = Annotated[Number, Field(ge=0)]
Count = Annotated[int, Field(ge=0)]
FromOne = Annotated[int, Field(ge=1)]
Name = Annotated[str, Field(min_length=1)]
Point = Annotated[list[Number], Field(min_length=2, max_length=2)]
Segment = Annotated[list[Point], Field(min_length=2, max_length=2)]
Line = Annotated[list[Point], Field(min_length=2)]
Outline = Annotated[list[Point], Field(min_length=3)]
LayerMap = Annotated[list[Number], Field(min_length=6, max_length=6)]
Section = Annotated[str, Field(json_schema_extra={"enum": [MAIN, OPENED_OUT]})]
Kind = Annotated[str, Field(pattern="^(png|svg|pdf|dxf|tiles)$")]

_DECIMALS = 6

closed = with_config(ConfigDict(extra="forbid", use_attribute_docstrings=True))
"""Of a table with these keys and no other; the sentence below a key describes it."""


def number(value: float) -> float:
    """A number as it is written: to a millionth, far below what a cutter or a checker can tell.

    >>> number(1 / 3)
    0.333333
    """
    return round(value, _DECIMALS)
