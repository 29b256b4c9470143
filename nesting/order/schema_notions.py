"""The table of a notion as it is written; beside those of `schema.py`."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import BeforeValidator

from nesting.order.faults import in_text
from nesting.order.schema import Copies, FabricName
from pieces.errors import BadValue
from pieces.fields import Count, Flag, Length, LengthOrZero, Money, Percent, Ratio, Text


def _sizes(value: object) -> object:
    if not isinstance(value, list) or not value:
        remedy = in_text("Write sizes = [20, 25, 30].")
        raise BadValue("The lengths that are sold are a list of at least one.", remedy)
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionTable:
    """What is bought besides cloth: added, changed or refused."""

    name: Text
    garment: Text = ""
    wanted: Flag = True
    where: Text = ""
    edge: Text = ""
    of: Text = ""
    length: Length | None = None
    count: Copies | None = None
    spacing: Length | None = None
    fullness: Ratio = 1.0
    stretch: Percent = 0.0
    ends: LengthOrZero | None = None
    shorter: LengthOrZero = 0.0
    waste: Percent = 0.0
    width: Length | None = None
    fabric: FabricName | None = None
    sizes: Annotated[list[Length], BeforeValidator(_sizes)] = field(default_factory=list)
    price: Money | None = None
    currency: Text | None = None
    per: Literal["m", "yd"] | None = None
    sold_by: Length | None = None
    minimum: LengthOrZero = 0.0
    package: Count | None = None
    card: Length | None = None
