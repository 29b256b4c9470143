"""Cloth that is there already: from an order's `in_hand` to bolts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nesting.fabric.fabric import Bolt, Fabric
from nesting.fabric.in_hand import cloth_of
from nesting.order.cloths.flaws import flaws_of
from nesting.order.faults import FaultCollector, joined
from nesting.order.schema import BoltTable
from pieces.units import format_length


def bolts_of(
    collector: FaultCollector, fabric: Fabric, raw: Sequence[object], key: str
) -> tuple[Bolt, ...]:
    """The lengths at hand of one fabric; those at fault are noted and left out.

    Each is a length, or a table with more to say. One without a name is called by its place.
    """
    found: list[Bolt] = []
    for index, one in enumerate(raw):
        place = joined(key, index)
        bolt = _bolt(collector, fabric, one, index, place)
        if bolt is None:
            continue
        if bolt.name in [one.name for one in found]:
            collector.fault(
                joined(place, "name"),
                f"Two lengths at hand are called '{bolt.name}'.",
                "Give each a name of its own.",
            )
        found.append(bolt)
    return tuple(found)


def _bolt(
    collector: FaultCollector, fabric: Fabric, raw: object, index: int, key: str
) -> Bolt | None:
    fields = raw if isinstance(raw, Mapping) else {"length": raw}
    table = collector.read(BoltTable, fields, key)
    if table is None:
        return None
    own_mm = fabric.washed_width_mm if table.washed else fabric.width_mm
    bolt = Bolt(
        name=table.name or f"bolt {index + 1}",
        length_mm=table.length,
        width_mm=table.width or own_mm,
        washed=table.washed,
        selvedge_mm=table.selvedge,
        flaws=flaws_of(collector, table.flaws, table.width or own_mm, joined(key, "flaws")),
    )
    if cloth_of(fabric, bolt).usable_width_mm <= 2 * fabric.edge_gap_mm:
        collector.fault(
            joined(key, "width"),
            f"{format_length(bolt.width_mm, collector.unit)} leaves nothing between the selvedges.",
            "Give the full width of the piece, or leave it out.",
        )
    return bolt
