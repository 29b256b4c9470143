"""From the tables of garments to one `GarmentSpec` for each wearer's copy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Any

from nesting.order.faults import MISSING, FaultCollector, joined, nearest
from nesting.order.schema import GarmentTable, PartTable
from pieces.body.measurements import OTHER_NAMES, Body
from pieces.body.tables import fill
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.errors import BadValue
from pieces.units import shown
from pieces.wording import either


@dataclass(frozen=True, slots=True)
class Defaults:
    """What holds for every part that doesn't say otherwise, in mm; and wearers' last measures."""

    seam_mm: float
    hem_mm: float
    bodies: Mapping[str, Body] = field(default_factory=dict)


def garments_of(
    collector: FaultCollector, raw: Mapping[str, Any], defaults: Defaults, key: str, place: int
) -> tuple[GarmentSpec, ...]:
    """The garments of one table, each copy by itself; none, with faults noted, if it can't be.

    `place` among the garments is the priority of one that names none.
    """
    table = collector.read(GarmentTable, raw, key)
    body = _body(collector, raw, key, defaults.bodies)
    parts = [
        _part(collector, one, defaults, joined(key, "part", index))
        for index, one in enumerate(tables_in(raw, "part"))
        if not is_drawn(one)
    ]
    if table is None or body is None:
        return ()
    whole = tuple(part for part in parts if part is not None)
    measured, filled = body
    priority = table.priority or place
    return tuple(
        GarmentSpec(name, measured, whole, key, filled, priority, collector.unit)
        for name in copies(table.name, table.quantity)
    )


def copies(name: str, quantity: int) -> list[str]:
    """The names of so many garments alike.

    >>> copies("Ada", 1), copies("Ada", 2)
    (['Ada'], ['Ada 1 of 2', 'Ada 2 of 2'])
    """
    if quantity == 1:
        return [name]
    return [f"{name} {count} of {quantity}" for count in range(1, quantity + 1)]


def tables_in(raw: Mapping[str, Any], name: str) -> Sequence[Mapping[str, Any]]:
    """The tables under a name, as far as they are tables at all."""
    found = raw.get(name)
    well_formed = isinstance(found, list) and all(isinstance(one, dict) for one in found)
    return found if isinstance(found, list) and well_formed else []


def is_drawn(raw: Mapping[str, Any]) -> bool:
    """Whether a part or a piece is read from a drawing file."""
    return "file" in raw and "draft" not in raw


def _body(
    collector: FaultCollector, raw: Mapping[str, Any], key: str, bodies: Mapping[str, Body]
) -> tuple[Body, tuple[str, ...]] | None:
    """The wearer's measures, with the names of those that the size table filled.

    What the order gives stands before what the book of wearers has.
    """
    given = raw.get("body", {})
    if not isinstance(given, dict):
        return None  # told of where the garment's own table is read
    for other, own in OTHER_NAMES.items():
        if other in given and own in given:
            message = f"This is another name of {own}, which stands there too."
            collector.fault(joined(key, "body", other), message, "Give one of them.")
    given = {OTHER_NAMES.get(name, name): value for name, value in given.items()}
    measured = collector.read(Body, given, joined(key, "body"))
    size = raw.get("size")
    if measured is None:
        return None
    kept = bodies.get(str(raw.get("wearer", "")).strip(), Body())
    given_here = ((one.name, getattr(measured, one.name)) for one in fields(Body))
    measured = replace(kept, **{name: mm for name, mm in given_here if mm is not None})
    try:
        return fill(measured, size if isinstance(size, str) else None)
    except BadValue as error:
        collector.fault(joined(key, "size"), error.message, error.remedy)
        return None


def _part(
    collector: FaultCollector, raw: Mapping[str, Any], defaults: Defaults, key: str
) -> PartSpec | None:
    if "file" in raw:
        collector.fault(
            joined(key, "file"),
            "A part is either drafted or read from a drawing file.",
            "Take out draft or file, or make two parts of it.",
        )
        return None
    draft = _draft(collector, raw, joined(key, "draft"))
    if draft is None:
        # Without its draft nobody can tell which other keys are wanted.
        collector.read(PartTable, raw, key, beside=raw.keys())
        return None
    kind = DRAFTS[draft].options
    measures = {field.name for field in fields(kind)}
    known = measures | {field.name for field in fields(PartTable)}
    unknown = {name: _drafts_named(name) for name in raw if name not in known}
    parts = {name: drafts for name, drafts in unknown.items() if drafts}
    for name, drafts in parts.items():
        _refuse_part(collector, joined(key, name), drafts)
    table = collector.read(PartTable, raw, key, beside=measures | parts.keys())
    options = collector.read(kind, {name: raw[name] for name in raw if name in measures}, key)
    if table is None or options is None:
        return None
    seam_mm, hem_mm = table.seam_allowance, table.hem_allowance
    return PartSpec(
        draft=draft,
        options=options,
        fabric=table.fabric,
        lining=table.lining,
        seam_allowance_mm=defaults.seam_mm if seam_mm is None else seam_mm,
        hem_allowance_mm=defaults.hem_mm if hem_mm is None else hem_mm,
        key=key,
        match=tuple(dict.fromkeys(table.match)),
        motif=tuple(dict.fromkeys(table.motif)),
        border=table.border,
    )


def _drafts_named(name: str) -> list[str]:
    """The drafts that a key would name: `puff_sleeves` is any sleeve.

    >>> _drafts_named("collar"), _drafts_named("ease")
    (['collar', 'sailor collar'], [])
    """
    word = name.replace("-", "_").split("_")[-1].lower()
    return [
        draft for draft in sorted(DRAFTS) if draft.split()[-1] in (word, word.removesuffix("s"))
    ]


def _refuse_part(collector: FaultCollector, key: str, drafts: Sequence[str]) -> None:
    """Tell that what stands as a key of a part is a part of its own, of one of these drafts."""
    listed = ", ".join(f'"{draft}"' for draft in drafts)
    collector.fault(
        key,
        "This is a part of its own.",
        either(
            f"Add a part, [[garment.part]], with its draft, which may be {listed}.",
            f"Add a part, which may be {listed}.",
        ),
    )


def _draft(collector: FaultCollector, raw: Mapping[str, Any], key: str) -> str | None:
    """The name of a draft there is; None, with the fault noted, if there is none."""
    name = raw.get("draft")
    if isinstance(name, str) and name in DRAFTS:
        return name
    if isinstance(name, str):
        known = ", ".join(sorted(DRAFTS))
        remedy = nearest(name, DRAFTS) or f"There are: {known}."
        collector.fault(key, f"There is no draft called {shown(name)}.", remedy)
    elif "draft" not in raw:
        remedy = either(
            'Add what to draft, such as draft = "bodice", or file = "pocket.dxf".',
            "Choose what to draft, or add a drawing.",
        )
        collector.fault(key, MISSING, remedy)
    return None
