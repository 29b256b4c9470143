"""The tables of what is bought besides cloth, checked as far as the order alone tells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from nesting.order.faults import FaultCollector, joined, nearest
from nesting.order.garments import tables_in
from nesting.order.model import AskedNotion, Shop
from nesting.order.schema_notions import NotionTable
from pieces.drafting.spec import GarmentSpec
from pieces.units import Unit, mm_per, shown
from pieces.wording import either, such_as
from pieces.wording import key as named

ENDS_MM = 20.0
"""What a run of ribbon or lace has more for a join or two turned-in ends; common practice."""
_PER = {"m": Unit.M, "yd": Unit.YD}
_OF_AN_EDGE = ("fullness", "stretch", "shorter", "spacing")
_NOT_OF_CLOTH = (
    "edge",
    "length",
    "count",
    "spacing",
    "sizes",
    "price",
    "sold_by",
    "package",
    "card",
)
_SHOP = ("price", "currency", "per", "sold_by", "minimum", "package", "card", "sizes")


def notions_asked(
    collector: FaultCollector,
    raw: Mapping[str, Any],
    garments: Mapping[str, tuple[GarmentSpec, ...]],
) -> tuple[AskedNotion, ...]:
    """The notions of an order; those whose table is at fault are left out, the fault noted."""
    found = []
    shops: dict[str, tuple[str, Shop]] = {}
    for index, one in enumerate(tables_in(raw, "notion")):
        key = joined("notion", index)
        table = collector.read(NotionTable, one, key)
        if table is None:
            continue
        _check_together(collector, table, one, key)
        shop = _shop(collector, table, key) if any(name in one for name in _SHOP) else None
        names = _garments(collector, table, garments, key)
        if shop is not None:
            where, known = shops.setdefault(table.name, (key, shop))
            if known != shop:
                collector.fault(
                    key,
                    f"How {shown(table.name)} is sold is told otherwise at {where}.",
                    "Say it once, or give one of the two another name.",
                )
        found.append(_asked(table, key, names, shop))
    return tuple(found)


def _asked(table: NotionTable, key: str, names: tuple[str, ...], shop: Shop | None) -> AskedNotion:
    counted = table.spacing is not None or (
        table.count is not None and not table.edge and table.length is None
    )
    return AskedNotion(
        name=table.name,
        key=key,
        garments=names,
        wanted=table.wanted,
        where=table.where,
        edge=table.edge,
        of=table.of,
        length_mm=table.length,
        count=table.count,
        spacing_mm=table.spacing,
        fullness=table.fullness,
        stretch_percent=table.stretch,
        ends_mm=(0.0 if counted else ENDS_MM) if table.ends is None else table.ends,
        shorter_mm=table.shorter,
        waste_percent=table.waste,
        width_mm=table.width or 0.0,
        cloth=table.fabric or "",
        shop=shop,
    )


def _garments(
    collector: FaultCollector,
    table: NotionTable,
    garments: Mapping[str, tuple[GarmentSpec, ...]],
    key: str,
) -> tuple[str, ...]:
    """The names of the garments that it is for, copies each by its own; none for all."""
    if not table.garment:
        return ()
    if table.garment not in garments:
        collector.fault(
            joined(key, "garment"),
            f"The order has no garment called {shown(table.garment)}.",
            nearest(table.garment, garments) or _listed(garments),
        )
        return ()
    return tuple(copy.name for copy in garments[table.garment])


def _listed(names: Iterable[str]) -> str:
    known = ", ".join(sorted(names))
    add = either("Add a garment in a table [[garment]].", "Add a wearer.")
    return f"There are: {known}." if known else add


def _check_together(
    collector: FaultCollector, table: NotionTable, raw: Mapping[str, Any], key: str
) -> None:
    """Keys that ask for others, or for none beside them."""
    if table.edge and table.length is not None:
        collector.fault(
            joined(key, "length"),
            "It goes along an edge, which has a length, and a length of its own is given.",
            "Take out edge or length.",
        )
    if "edge" not in raw:
        for name in _OF_AN_EDGE:
            if name in raw:
                collector.fault(
                    joined(key, name),
                    "This is reckoned along an edge, and none is named.",
                    either(
                        'Add the edge it goes along, such as edge = "hem", of = "skirt".',
                        "Name the edge it goes along, and of which pieces.",
                    ),
                )
    _check_cloth(collector, table, raw, key)
    if table.package is not None and table.card is not None:
        collector.fault(
            joined(key, "card"),
            "It is sold either so many in a package or so much on a card.",
            "Take out package or card.",
        )


def _check_cloth(
    collector: FaultCollector, table: NotionTable, raw: Mapping[str, Any], key: str
) -> None:
    """Keys of what is cut from a cloth of the order."""
    if "fabric" in raw:
        for name in _NOT_OF_CLOTH:
            if name in raw:
                collector.fault(
                    joined(key, name),
                    "What is cut from a cloth of the order is bought and reckoned with that cloth.",
                    "Take " + named(name) + " out; width, price and step stand at the cloth.",
                )
        if "of" not in raw:
            collector.fault(
                joined(key, "of"),
                "The pieces that are cut again from this cloth are not named.",
                "Add a word of their names, " + such_as("of", "collar") + ".",
            )
    elif table.of and "edge" not in raw:
        collector.fault(
            joined(key, "of"),
            "Pieces are named, but neither an edge of theirs nor a cloth.",
            either('Add edge = "hem", or fabric = "interfacing"', "Name an edge, or choose a cloth")
            + " to cut them again from that cloth.",
        )


def _shop(collector: FaultCollector, table: NotionTable, key: str) -> Shop:
    if table.price is not None and table.currency is None:
        collector.fault(
            joined(key, "currency"),
            "The price has no currency.",
            "Add one beside it, " + such_as("currency", "EUR") + ".",
        )
    own = "yd" if collector.unit is Unit.IN else "m"
    return Shop(
        price=table.price,
        currency=table.currency or "",
        per_mm=float(mm_per(_PER[table.per or own])),
        step_mm=table.sold_by or 0.0,
        least_mm=table.minimum,
        package=table.package or 1,
        card_mm=table.card or 0.0,
        sizes_mm=tuple(sorted(set(table.sizes))),
    )
