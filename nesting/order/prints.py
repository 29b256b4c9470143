"""What an order says of prints: a cloth's repeat and border, and the pieces that ask for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from nesting.fabric.fabric import Border, Fabric, Repeat
from nesting.order.faults import FaultCollector, joined
from nesting.order.schema import BorderTable, DrawingTable, PieceTable, PointTable, RepeatTable
from pieces.drafting.printed import bordered, matched, unknown_points
from pieces.geometry import bounds
from pieces.piece import Mark, Piece
from pieces.wording import either
from pieces.wording import key as named


def repeat_of(collector: FaultCollector, raw: Mapping[str, Any], key: str) -> Repeat | None:
    """The repeat of a cloth's table; None where it is plain, or where it is at fault."""
    given = raw.get("repeat")
    if not isinstance(given, dict) or not given:
        return None  # what is no table is told of where the cloth's own table is read
    table = collector.read(RepeatTable, given, joined(key, "repeat"))
    if table is None:
        return None
    if table.from_edge is not None and table.width is None:
        collector.fault(
            joined(key, "repeat", "from_edge"),
            "This places the first motif across the cloth, but there is no repeat across.",
            "Add the repeat's width, or take " + named("from_edge") + " out.",
        )
    return Repeat(table.length or 0.0, table.width or 0.0, table.from_edge)


def border_of(collector: FaultCollector, raw: Mapping[str, Any], key: str) -> Border | None:
    """The border of a cloth's table; None where there is none, or where it is at fault."""
    given = raw.get("border")
    if not isinstance(given, dict):
        return None
    table = collector.read(BorderTable, given, joined(key, "border"))
    return None if table is None else Border(table.edge, table.depth)


def check_asked(
    collector: FaultCollector, raw: Mapping[str, Any], fabrics: Mapping[str, Fabric]
) -> None:
    """Note parts and pieces that ask for a print that their cloth hasn't got."""
    for key, table in _asking(raw):
        fabric = fabrics.get(str(table.get("fabric")))
        if fabric is None:
            continue
        for name in ("match", "motif"):
            if table.get(name) and fabric.repeat is None:
                collector.fault(
                    joined(key, name),
                    f"{fabric.name} has no repeat, so nothing can meet.",
                    either(
                        "Add repeat = { length = 32, width = 16 }", "Give the repeat of the print"
                    )
                    + f" to {fabric.name}, or "
                    + either(f"take {name} out.", "clear this field."),
                )
        if table.get("border") is True and fabric.border is None:
            collector.fault(
                joined(key, "border"),
                f"{fabric.name} has no border to lay a hem on.",
                either('Add border = { edge = "lower", depth = 12 }', "Give a border and its depth")
                + f" to {fabric.name}, or "
                + either("take border out.", "clear this field."),
            )


def _asking(raw: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for index, piece in enumerate(_tables(raw.get("piece"))):
        yield joined("piece", index), piece
    for index, garment in enumerate(_tables(raw.get("garment"))):
        for place, part in enumerate(_tables(garment.get("part"))):
            yield joined("garment", index, "part", place), part


def _tables(value: object) -> list[dict[str, Any]]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def pointed(
    collector: FaultCollector, table: PieceTable | DrawingTable, piece: Piece, key: str
) -> Piece:
    """A ready piece in its laid form, with its named points and what is asked of the print."""
    own = [_point(collector, name, raw, joined(key, "points", name)) for name, raw in _given(table)]
    marks = {mark.name: mark for mark in (*_ends(piece), *_notches(piece), *own) if mark}
    for name in ("match", "motif"):
        for fault in unknown_points(list(marks), getattr(table, name), joined(key, name)):
            collector.fault(fault.key, fault.message, fault.remedy)
    names = (tuple(dict.fromkeys(wanted)) for wanted in (table.match, table.motif))
    asked = matched(replace(piece, marks=tuple(marks.values())), *names)
    return bordered(asked) if table.border else asked


def _given(table: PieceTable | DrawingTable) -> list[tuple[str, dict[str, Any]]]:
    return list(table.points.items())


def _point(collector: FaultCollector, name: str, raw: Mapping[str, Any], key: str) -> Mark | None:
    table = collector.read(PointTable, raw, key)
    if table is None:
        return None
    along, across = table.along, table.across
    if along is None and across is None:
        collector.fault(
            key,
            "This point has no place on the piece.",
            "Give how far along the grain it lies, how far across, or both"
            + either(": { along = 30 }.", "."),
        )
        return None
    return Mark(name, (along or 0.0, across or 0.0), along is not None, across is not None)


def _ends(piece: Piece) -> tuple[Mark, ...]:
    """What every piece has: its lower and upper end along the grain, and its middle across."""
    _, low, right, high = bounds(piece.outline)
    on_fold = piece.on_fold is not None and piece.on_fold[0][1] == piece.on_fold[1][1]
    middle = low if on_fold else (low + high) / 2
    return (
        Mark("hem", (0.0, middle), across=False),
        Mark("top", (right, middle), across=False),
        Mark("middle", (0.0, middle), along=False),
    )


def _notches(piece: Piece) -> tuple[Mark, ...]:
    return tuple(
        Mark(f"notch {number}", notch.at) for number, notch in enumerate(piece.notches, start=1)
    )
