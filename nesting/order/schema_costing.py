"""The tables of work and prices as they are written; beside those of `schema.py`."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from nesting.order.schema import FabricName
from pieces.fields import Count, Money, Percent, Text


def _stages(value: object) -> object:
    if not isinstance(value, dict):
        raise ValueError(
            "Minutes are told by stage. Write minutes = { cutting = 60, sewing = 300 }."
        )
    return value


def _named(value: object) -> object:
    if not isinstance(value, list):
        raise ValueError('Cloths are a list of names. Write brought = ["satin"].')
    return value


Stages = Annotated[dict[str, Money], BeforeValidator(_stages)]


def _garments(value: object) -> object:
    if not isinstance(value, dict) or not all(isinstance(one, dict) for one in value.values()):
        raise ValueError(
            "Garments have minutes of their own by name. Write garment.Pia = { sewing = 240 }."
        )
    return value


def _works(value: object) -> object:
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        raise ValueError(
            "Each work done before needs a table of its own. Head every one [[costing.done]]."
        )
    return value


def _table(value: object) -> object:
    if not isinstance(value, dict):
        raise ValueError("Write cutter = { fold = 4, outline = 1.5, metre = 1, join = 3 }.")
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
