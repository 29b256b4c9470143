"""The flaws of a cloth, from an order's tables to outlines on the flat cloth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from nesting.order.faults import FaultCollector, joined
from nesting.order.schema import FlawTable
from pieces.geometry import anticlockwise, area, bounds, is_simple, without_repeats
from pieces.piece import Outline
from pieces.units import format_length
from pieces.wording import either

_LEAST_AREA_MM2 = 0.01
_HOW = (
    either("Write { from = 40, to = 45, across = [20, 25] }", "Say from where to where it reaches")
    + ", or give the flaw's outline."
)


def flaws_of(
    collector: FaultCollector, tables: Sequence[Mapping[str, Any]], width_mm: float, key: str
) -> tuple[Outline, ...]:
    """The flaws of a cloth so wide, as outlines; those at fault are noted, not given."""
    found = []
    for index, raw in enumerate(tables):
        flaw = _flaw(collector, raw, width_mm, joined(key, index))
        if flaw is not None:
            found.append(flaw)
    return tuple(found)


def _flaw(
    collector: FaultCollector, raw: Mapping[str, Any], width_mm: float, key: str
) -> Outline | None:
    table = collector.read(FlawTable, raw, key)
    given = set(raw)
    if table is None:
        return None
    by_outline = "outline" in given
    if by_outline == bool(given & {"from", "to", "across"}) or not (
        by_outline or {"from", "to"} <= given
    ):
        collector.fault(
            key, "A flaw is a stretch of the cloth from one place to another, or an outline.", _HOW
        )
        return None
    outline = table.outline if "outline" in given else _box(collector, table, width_mm, key)
    if outline is None:  # told of where its table is read
        return None
    corners = without_repeats(tuple(outline))
    if len(corners) < 3 or not is_simple(corners) or area(corners) < _LEAST_AREA_MM2:
        collector.fault(
            joined(key, "outline"),
            "The outline of this flaw crosses itself, or there is nothing inside it.",
            "Give its corners in order, once round.",
        )
        return None
    _, low, right, high = bounds(corners)
    if low >= width_mm or high <= 0 or right <= 0:
        collector.fault(
            key,
            "This flaw lies beside the cloth, which is "
            f"{format_length(width_mm, collector.unit)} wide.",
            "Count across from its lower edge, selvedge and all, and along it from the squared "
            "cut end.",
        )
        return None
    return anticlockwise(corners)


def _box(collector: FaultCollector, table: FlawTable, width_mm: float, key: str) -> Outline | None:
    """The flaw's rectangle; without `across` all across the cloth."""
    low, high = table.across or (0.0, width_mm)
    if table.start is None or table.stop is None:
        return None
    for name, first, last in (("to", table.start, table.stop), ("across", low, high)):
        if first >= last:
            collector.fault(
                joined(key, name),
                "This flaw ends before it begins.",
                "Give the smaller length first.",
            )
            return None
    return ((table.start, low), (table.stop, low), (table.stop, high), (table.start, high))
