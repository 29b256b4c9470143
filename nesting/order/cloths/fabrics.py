"""From the table of a cloth to the `Fabric`, with the limits that cloth and shops set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from nesting.fabric.fabric import Fabric, Price
from nesting.fabric.lay import suits_nap
from nesting.order.cloths.bolts import bolts_of
from nesting.order.cloths.flaws import flaws_of
from nesting.order.faults import FaultCollector, joined
from nesting.order.prints import border_of, repeat_of
from nesting.order.schema import FabricTable, ShrinkageTable
from pieces.units import Unit, format_length, mm_per
from pieces.wording import choose, either, such_as

WIDEST_MM = 10_000.0
_PER = {"m": Unit.M, "yd": Unit.YD}


def fabric_of(
    collector: FaultCollector, name: str, raw: Mapping[str, Any], key: str
) -> Fabric | None:
    """The cloth of one table; None, with its faults noted, if it can't be."""
    if name != name.strip() or not name.strip() or not name.isprintable():
        collector.fault(
            key,
            "A cloth's name is a word or two on one line.",
            either("Head its table [fabric.satin].", "Give it another name."),
        )
    table = collector.read(FabricTable, raw, key)
    washed = raw.get("shrinkage", {})
    shrinkage = (
        collector.read(ShrinkageTable, washed, joined(key, "shrinkage"))
        if isinstance(washed, dict)
        else None  # told of where the cloth's own table is read
    )
    if table is None or shrinkage is None:
        return None
    fabric = Fabric(
        name=name,
        width_mm=table.width,
        selvedge_mm=table.selvedge,
        nap=table.nap,
        faces=table.faces,
        shrinkage_length=shrinkage.length / 100,
        shrinkage_width=shrinkage.width / 100,
        gap_mm=table.gap,
        edge_gap_mm=table.edge_gap,
        tilt_deg=table.tilt,
        end_allowance_mm=table.end_allowance,
        lays=None if table.lays is None else tuple(dict.fromkeys(table.lays)),
        price=_price(collector, table, key),
        sold_by_mm=table.sold_by or 0.0,
        minimum_mm=table.minimum,
        flaws=flaws_of(collector, table.flaws, table.width, joined(key, "flaws")),
        repeat=repeat_of(collector, raw, key),
        border=border_of(collector, raw, key),
        by_yards=collector.unit is Unit.IN,
    )
    _check_width(collector, fabric, key)
    _check_lays(collector, fabric, key)
    return replace(
        fabric, in_hand=bolts_of(collector, fabric, table.in_hand, joined(key, "in_hand"))
    )


def _price(collector: FaultCollector, table: FabricTable, key: str) -> Price | None:
    """The price; by the metre where the order doesn't say, or by the yard if it is in inches."""
    if table.price is None:
        return None
    if table.currency is None:
        collector.fault(
            joined(key, "currency"),
            "The price has no currency.",
            "Add one beside it, " + such_as("currency", "EUR") + ".",
        )
        return None
    own = "yd" if collector.unit is Unit.IN else "m"
    return Price(table.price, table.currency, float(mm_per(_PER[table.per or own])))


def _check_lays(collector: FaultCollector, fabric: Fabric, key: str) -> None:
    for lay in fabric.lays or ():
        if not suits_nap(lay, fabric.nap):
            several = len(fabric.lays or ()) > 1
            out = either(
                f'Take "{lay}" out' if several else "Take the line out",
                f"Untick “{lay}”" if several else "Tick no lay",
            )
            collector.fault(
                joined(key, "lays"),
                f"Of the four layers of a {lay} two lie against the nap.",
                out + ", or " + choose("nap", "none") + " if pieces may lie either way.",
            )


def _check_width(collector: FaultCollector, fabric: Fabric, key: str) -> None:
    def said(mm: float) -> str:
        return format_length(mm, collector.unit)

    if fabric.width_mm > WIDEST_MM:
        collector.fault(
            joined(key, "width"),
            f"No cloth is {said(fabric.width_mm)} wide.",
            "Look at the number and at the unit: cloth is mostly between 70 cm and 320 cm wide.",
        )
    elif fabric.usable_width_mm <= 0:
        collector.fault(
            joined(key, "selvedge"),
            f"Two selvedges of {said(fabric.selvedge_mm)} leave nothing of a cloth that is "
            f"{said(fabric.width_mm)} wide.",
            "Give the width of one selvedge; it is taken off at each edge.",
        )
    elif fabric.usable_width_mm <= 2 * fabric.edge_gap_mm:
        collector.fault(
            joined(key, "edge_gap"),
            f"Keeping {said(fabric.edge_gap_mm)} from each edge leaves nothing of "
            f"{said(fabric.usable_width_mm)} of usable cloth.",
            "Give a smaller gap to the edges.",
        )
