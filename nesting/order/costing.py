"""The table of work and prices, checked against the garments and cloths of its order."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from nesting.fabric.costing import Costing, CutterMinutes, Done, Handling
from nesting.fabric.fabric import Fabric
from nesting.order.faults import FaultCollector, joined, nearest
from nesting.order.schema_costing import CostingTable, CutterTable, DoneTable
from pieces.wording import such_as


def costing_of(
    collector: FaultCollector,
    raw: Mapping[str, Any],
    garments: Collection[str],
    fabrics: Collection[Fabric],
) -> Costing | None:
    """What the order's table `[costing]` says; None without one, or where it is at fault."""
    given = raw.get("costing")
    if not isinstance(given, dict):
        return None
    table = collector.read(CostingTable, given, "costing")
    if table is None:
        return None
    for name in table.garment:
        if name not in garments:
            collector.fault(
                joined("costing", "garment", name),
                "The order has no garment of this name.",
                nearest(name, garments) or "Write the name of one it has; copies each by its own.",
            )
    cutter = collector.read(CutterTable, table.cutter, "costing.cutter") or CutterTable()
    return Costing(
        currency=_currency(collector, table, fabrics),
        rate=table.rate,
        minutes=table.minutes,
        own=table.garment,
        done=_works(collector, table),
        overhead=_exact(table.overhead),
        margin=_exact(table.margin),
        tax=_exact(table.tax),
        brought=tuple(table.brought),
        amounts=table.amounts,
        cutter=CutterMinutes(cutter.fold, cutter.outline, cutter.metre, cutter.join),
    )


def handled(fabric: Fabric, costing: Costing | None) -> Fabric:
    """A cloth with what the cutter's work at it costs, where both have prices in one currency."""
    price = fabric.price
    if costing is None or price is None or not costing.rate or price.currency != costing.currency:
        return fabric
    return replace(fabric, handling=Handling(costing.rate / 60, costing.cutter))


def _currency(collector: FaultCollector, table: CostingTable, fabrics: Collection[Fabric]) -> str:
    """The order's, or that of its prices if they have but one."""
    known = {cloth.price.currency for cloth in fabrics if cloth.price is not None}
    if table.currency is None and len(known) != 1:
        collector.fault(
            "costing.currency",
            "Prices are in several currencies." if known else "No currency is named.",
            "Add the one to reckon in, " + such_as("currency", "EUR") + ".",
        )
    return table.currency or next(iter(known), "")


def _works(collector: FaultCollector, table: CostingTable) -> tuple[Done, ...]:
    read = [
        collector.read(DoneTable, one, f"costing.done[{index}]")
        for index, one in enumerate(table.done)
    ]
    return tuple(Done(one.parts, one.minutes) for one in read if one is not None)


def _exact(percent: float) -> Decimal:
    return Decimal(repr(percent))
