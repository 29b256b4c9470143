"""Ways out where what is in hand of a cloth is too short: each laid out, none only reckoned.

They stand in the order in which they cost the dress the least: another lay costs nothing, joins
cost work, narrower seams leave less to let out, less fullness changes the look.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import partial
from typing import Any

from nesting.allocation.bolts import allocations_cut
from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Purchase
from nesting.fabric.purchase import purchase
from nesting.order.model import Order
from nesting.rules.parts import draft_order, of_fabric
from nesting.search.clock import Clock
from nesting.search.lay_result import rank_key
from nesting.search.options import SearchOptions
from nesting.search.problem_builder import problem_for, with_cuttings
from nesting.search.session import Session
from nesting.search.state import ignore
from nesting.solver.stop import Stop, spent_by
from nesting.strips.cuttings import usual_cutting
from pieces.drafting.spec import PartSpec
from pieces.errors import CannotFit, OrderFault
from pieces.piece import Piece
from pieces.units import Unit, format_kept, format_length, parse_length

FULLNESS = ("fullness", "waist_fullness", "cap_fullness", "hem_fullness")
_NARROW_MM = {Unit.IN: 6.35}
_NARROW_ELSE_MM = 6.0
"""The narrowest seam allowance worth sewing in a cloth that frays; common practice."""
_LEAST_STRIP_MM = 250.0
_FULLER = (0.9, 0.8, 0.7, 0.6, 0.5)
"""Shares of what a part is fuller than flat, the fullest first."""
_SHARING = 0.9
"""The share of what one laying out has for sharing out what is in hand."""
_TRIES = 7
"""Layings out for one cloth, by which the budget is shared."""


@dataclass(frozen=True, slots=True)
class WayOut:
    """One thing to do otherwise, as verified layouts have it.

    `lays` are those used; `joins` are how many more there are; `bought` is what must be bought
    even so, or None if what is in hand is then enough.
    """

    what: str
    lays: tuple[LayName, ...]
    joins: int
    bought: Purchase | None


@dataclass(frozen=True, slots=True)
class Laid:
    """A cloth of an order laid out on what is in hand; `bought_mm` is the marker of the rest."""

    pieces: tuple[Piece, ...]
    lays: tuple[LayName, ...]
    bought: Purchase | None
    bought_mm: float = 0.0

    @property
    def joins(self) -> int:
        """Of strips, in all pieces."""
        return sum(piece.joins for piece in self.pieces)


class WhatIf:
    """Lays one cloth of an order out on what is in hand, again and again as it changes.

    Each time has one of so many `shares` of the budget, as long as there is any.
    """

    def __init__(self, name: str, stop: Stop, shares: int, options: SearchOptions) -> None:
        self.begun = time.monotonic()
        self.name, self.stop, self.shares, self.options = name, stop, shares, options

    @property
    def interrupted(self) -> bool:
        """Whether it was asked to stop."""
        return self.options["token"].asked

    def laid(self, order: Order, share: float | None = None) -> Laid | None:
        """The cloth laid out; None if it can't be drawn, has no room for some piece, or no time.

        It may spend a share of the budget, one of `shares` unless told otherwise.
        """
        spent = spent_by(self.stop, time.monotonic() - self.begun)
        if self.interrupted or spent >= 1:
            return None
        try:
            pieces = draft_order(order).pieces
        except OrderFault:
            return None
        problem = problem_for(order, order.fabrics[self.name], pieces, None)
        if not problem.lays:
            return None
        problem = with_cuttings(order, problem)
        stop = self.stop.portion(min(share or 1 / self.shares, 1 - spent))
        session = Session(Clock(stop, self.options["token"]), **self.options)
        try:
            allocations = allocations_cut(order, problem, session, _SHARING)
            cloths = [
                session.cloth(one.problem, shown=one.shown, bolt=one.bolt) for one in allocations
            ]
            session.search([one for one in cloths if one.length_mm == math.inf])
            found = [min(one.best_of_each_lay(), key=rank_key) for one in cloths]
        except CannotFit:
            return None
        lays = tuple(dict.fromkeys(lay_result.marker.lay for lay_result in found))
        bought, bought_mm = None, 0.0
        for allocation, lay_result in zip(allocations, found, strict=True):
            if allocation.bolt is None:
                bought_mm = lay_result.marker.length_mm
                bought = purchase(allocation.problem.fabric, bought_mm)
        pieces = tuple(piece for one in cloths for piece in one.pieces)
        return Laid(pieces, lays, bought, bought_mm)


def ways_out(
    order: Order, name: str, bought_mm: float, stop: Stop, options: SearchOptions
) -> tuple[WayOut, ...]:
    """What would help where a cloth is short by a purchase of so much; the least harm first.

    Ways that make what is in hand enough; or else those that leave less to buy. After Ctrl-C
    those found by then.
    """
    what_if = WhatIf(name, stop, _TRIES, {**options, "watch": ignore})
    joins = sum(piece.joins for piece in of_fabric(draft_order(order).pieces, name))
    found = []
    for what, changed in _changes(order, name):
        laid = what_if.laid(changed)
        if laid is not None and (laid.bought is None or laid.bought.length_mm < bought_mm):
            found.append(WayOut(what, laid.lays, laid.joins - joins, laid.bought))
    found += _less_full(order, name, what_if, joins, bought_mm)
    helps = [way for way in found if way.bought is None]
    return tuple(helps or found)


def _changes(order: Order, name: str) -> Iterator[tuple[str, Order]]:
    """What could be done otherwise, and the order so changed."""
    fabric = order.fabrics[name]
    if fabric.lays is not None:
        freed = replace(fabric, lays=None)
        yield "lay the cloth otherwise", replace(order, fabrics={**order.fabrics, name: freed})
    usual_mm = usual_cutting(fabric).along_mm
    strips = [_strip_mm(part, usual_mm) for part in _parts(order, name) if _is_joined(part)]
    if strips:
        longest = max(strips)
        # As long as is told, so that who does it cuts what was laid out.
        told = format_kept(max(_LEAST_STRIP_MM, longest / 2), order.unit)
        shorter = partial(_shorter_strips, most_mm=parse_length(told, order.unit))
        yield f"join strips from lengths of {told}", changed_parts(order, name, shorter)
    widest_mm = max(_seams(order, name), default=0.0)
    narrow_mm = _NARROW_MM.get(order.unit, _NARROW_ELSE_MM)
    if widest_mm > narrow_mm:
        told = format_length(narrow_mm, order.unit)
        says = f"seam allowances of {told} instead of {format_length(widest_mm, order.unit)}"
        yield says, changed_parts(order, name, partial(_narrower, most_mm=narrow_mm))


def _less_full(
    order: Order, name: str, what_if: WhatIf, joins: int, bought_mm: float
) -> list[WayOut]:
    """The largest fullness for which what is in hand is enough, or else the least tried."""
    if max(_measures(order, name, FULLNESS), default=1.0) <= 1.0:
        return []
    found: WayOut | None = None
    low, high = 0, len(_FULLER) - 1
    while low <= high:
        middle = (low + high + 1) // 2 if found is None else (low + high) // 2
        share = _FULLER[middle]
        laid = what_if.laid(changed_parts(order, name, partial(_flatter, share=share)))
        if laid is not None and laid.bought is None:
            found = WayOut(_flatter_words(order, name, share), laid.lays, laid.joins - joins, None)
            high = middle - 1
        elif found is None and laid is not None and middle == len(_FULLER) - 1:
            says = _flatter_words(order, name, share)
            less = laid.bought is not None and laid.bought.length_mm < bought_mm
            return [WayOut(says, laid.lays, laid.joins - joins, laid.bought)] if less else []
        else:
            low = middle + 1
    return [] if found is None else [found]


def changed_parts(order: Order, name: str, change: Callable[[PartSpec], PartSpec]) -> Order:
    """The order with those parts changed that are cut from a cloth, or lined with it."""
    garments = tuple(
        replace(
            garment,
            parts=tuple(change(part) if _is_of(part, name) else part for part in garment.parts),
        )
        for garment in order.garments
    )
    return replace(order, garments=garments)


def with_measures(part: PartSpec, **measures: float | str) -> PartSpec:
    """A part with some measures of its draft changed."""
    options: Any = part.options
    return replace(part, options=replace(options, **measures))


def measures_of(part: PartSpec, names: Sequence[str]) -> dict[str, float]:
    """Those of the named measures that a part has and that are set.

    Where the order gives a length all round, its fullness counts for nothing.
    """
    if getattr(part.options, "around", None) is not None:
        names = [name for name in names if name != "fullness"]
    known = {field.name for field in fields(part.options)}  # type: ignore[arg-type]
    values = {name: getattr(part.options, name) for name in names if name in known}
    return {name: value for name, value in values.items() if value is not None}


def _is_of(part: PartSpec, name: str) -> bool:
    return name in (part.fabric, part.lining)


def _parts(order: Order, name: str) -> list[PartSpec]:
    return [part for one in order.garments for part in one.parts if _is_of(part, name)]


def _measures(order: Order, name: str, measures: Sequence[str]) -> list[float]:
    return [value for part in _parts(order, name) for value in measures_of(part, measures).values()]


def _seams(order: Order, name: str) -> list[float]:
    return [part.seam_allowance_mm for part in _parts(order, name)]


def _is_joined(part: PartSpec) -> bool:
    """Whether it is cut in strips, in as many as there is need for."""
    known = {field.name for field in fields(part.options)}  # type: ignore[arg-type]
    return "strip_length" in known and not measures_of(part, ("joins",))


def _strip_mm(part: PartSpec, usual_mm: float) -> float:
    return measures_of(part, ("strip_length",)).get("strip_length", usual_mm)


def _shorter_strips(part: PartSpec, most_mm: float) -> PartSpec:
    if not _is_joined(part):
        return part
    return with_measures(part, strip_length=min(_strip_mm(part, most_mm), most_mm))


def _narrower(part: PartSpec, most_mm: float) -> PartSpec:
    return replace(part, seam_allowance_mm=min(part.seam_allowance_mm, most_mm))


def _flatter(part: PartSpec, share: float) -> PartSpec:
    known = measures_of(part, FULLNESS)
    return with_measures(part, **{key: flatter(value, share) for key, value in known.items()})


def flatter(fullness: float, share: float) -> float:
    """A fullness with so much less of what it is more than flat, to a hundredth."""
    return fullness if fullness <= 1 else round(1 + (fullness - 1) * share, 2)


def _flatter_words(order: Order, name: str, share: float) -> str:
    changes: dict[str, None] = {}
    for part in _parts(order, name):
        for value in measures_of(part, FULLNESS).values():
            if value > 1:
                less = f"{flatter(value, share):g} times instead of {value:g}"
                changes[f"{part.draft} {less}"] = None
    return f"less fullness: {', '.join(changes)}"
