"""The tables of work and prices as they are written; beside those of `schema.py`."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from nesting.order.faults import in_text
from nesting.order.schema import FabricName
from pieces.errors import BadValue
from pieces.fields import Count, Money, Percent, Text
from pieces.wording import either


def _stages(value: object) -> object:
    if not isinstance(value, dict):
        remedy = in_text("Write minutes = { cutting = 60, sewing = 300 }.")
        raise BadValue("Minutes are told by stage.", remedy)
    return value


def _named(value: object) -> object:
    if not isinstance(value, list):
        raise BadValue("Cloths are a list of names.", in_text('Write brought = ["satin"].'))
    return value


Stages = Annotated[dict[str, Money], BeforeValidator(_stages)]


def _garments(value: object) -> object:
    if not isinstance(value, dict) or not all(isinstance(one, dict) for one in value.values()):
        remedy = in_text("Write garment.Pia = { sewing = 240 }.")
        raise BadValue("Garments have minutes of their own by name.", remedy)
    return value


def _works(value: object) -> object:
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        remedy = in_text("Head every one [[costing.done]].")
        raise BadValue("Each work done before needs a table of its own.", remedy)
    return value


def _table(value: object) -> object:
    if not isinstance(value, dict):
        raise BadValue(
            either(
                "Write cutter = { fold = 4, outline = 1.5, metre = 1, join = 3 }.",
                "A cutter's minutes are given each by its name.",
            ),
            in_text(""),
        )
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class CostingTable:
    """What work costs, and how a price is reckoned from cost."""

    currency: Text | None = None
    rate: Money = Decimal(0)
    minutes: Stages = field(default_factory=dict)
    garment: Annotated[dict[str, Stages], BeforeValidator(_garments)] = field(default_factory=dict)
    done: Annotated[list[dict[str, Any]], BeforeValidator(_works)] = field(default_factory=list)
    overhead: Percent = 0.0
    margin: Percent = 0.0
    tax: Percent = 0.0
    brought: Annotated[list[FabricName], BeforeValidator(_named)] = field(default_factory=list)
    amounts: Literal["1,234.56", "1.234,56", "1 234,56"] = "1,234.56"
    cutter: Annotated[dict[str, Any], BeforeValidator(_table)] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneTable:
    """A piece of work done before."""

    parts: Count
    minutes: Stages


@dataclass(frozen=True, slots=True, kw_only=True)
class CutterTable:
    """Minutes of a cutter's work."""

    fold: Money = Decimal(4)
    outline: Money = Decimal("1.5")
    metre: Money = Decimal(1)
    join: Money = Decimal(3)
