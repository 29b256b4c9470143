"""How full, how long, how many layers a part can be with the cloth in hand; what each would buy."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Unpack

from nesting.fabric.fabric import Bolt
from nesting.fabric.plans import Purchase
from nesting.order.faults import nearest
from nesting.order.model import Order
from nesting.search.options import SearchOptions
from nesting.search.parallel.pool import worker_pool
from nesting.solver.stop import Seconds, Stop, at_most
from nesting.studies.enough import Laid, WhatIf, measures_of, with_measures
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import PartSpec
from pieces.errors import CannotFit, Fault, OrderFault, Stopped
from pieces.units import Unit, format_length

_USUAL = Seconds(20)
_TRIES = 40
"""Layings out by which the budget is shared, most of which are settled at once."""
_DOUBT = 0.2
"""The share of the budget for another look at the least value that seems too much."""
CIRCLES = ("quarter", "half", "three-quarter", "full")
_FULLNESS = tuple(1 + 0.5 * n for n in range(7))
_NET_FULLNESS = tuple(2 + 0.5 * n for n in range(9))
_NET_FROM = 4.0
"""What is so full where nothing is told is net."""
_LONGER = tuple(0.6 + 0.1 * n for n in range(9))
_LAYERS = tuple(float(n) for n in range(1, 9))
_FINE = {"fullness": 0.05, "length": 10.0}
"""What the largest is found to: a twentieth of fullness, a centimetre."""


class By(StrEnum):
    """What of a part is varied."""

    FULLNESS = "fullness"
    LENGTH = "length"
    LAYERS = "layers"


@dataclass(frozen=True, slots=True)
class Ratio:
    """A fullness that the trade uses, for what, and who says so."""

    fullness: float
    used_for: str
    source: str


RATIOS = (
    Ratio(1.33, "a straight ruffle, least", "Clothing for Women, 1916"),
    Ratio(1.5, "a straight ruffle; tiers", "Clothing for Women, 1916; Dress Making, NIMI, 2024"),
    Ratio(2.0, "tiers, the fullest; a ruche of taffeta", "NIMI, 2024; The New Dressmaker, 1921"),
    Ratio(3.0, "a frill; a ruche of chiffon", "NIMI, 2024; The New Dressmaker, 1921"),
    Ratio(4.0, "net, least", "from memory"),
    Ratio(6.0, "net, a tutu", "from memory"),
)


@dataclass(frozen=True, slots=True)
class Step:
    """One point of the curve: a value, what to buy for it, and whether what is in hand does.

    `value` is a fullness, a share of a circle, millimetres or layers; `said` is it in words.
    """

    value: float
    said: str
    length_mm: float
    purchase: Purchase
    enough: bool


@dataclass(frozen=True, slots=True)
class Fullness:
    """The curve for one part in one cloth, and the largest that what is in hand allows."""

    order: str
    unit: Unit
    part: str
    by: By
    circle: bool
    fabric: str
    in_hand: tuple[Bolt, ...]
    steps: tuple[Step, ...]
    largest: Step | None
    seconds: float
    seed: int


def how_full(
    order: Order,
    part: str,
    by: By = By.FULLNESS,
    stop: Stop = _USUAL,
    **options: Unpack[SearchOptions],
) -> Fullness:
    """The largest fullness, length or number of layers of a part that the cloth in hand allows.

    `part` is a draft, such as "gathered skirt" (all of them in the order are changed alike), or
    the name of a ready piece, for its layers. Every value told is a verified layout of all that
    is cut from the cloth. Ctrl-C ends the search with the values found so far.

    Raises
    ------
    OrderFault : there is no such part, or it has no such measure
    CannotFit : no value can be laid out
    """
    begun = time.monotonic()
    ladder = _Ladder(order, part, by)
    with worker_pool(order, **options) as own:
        what_if = WhatIf(ladder.fabric, at_most(stop, _USUAL.seconds), _TRIES, own)
        search = _Climb(order, ladder, what_if)
        search.climb()
    if not search.steps and what_if.interrupted:
        raise Stopped
    if not search.steps:
        raise CannotFit(
            [Fault("--how-full", part, "No value of it can be laid out.", "Try metrage plan.")]
        )
    steps = search.rising()
    holds = [step for step in steps if step.enough]
    return Fullness(
        order=order.name,
        unit=order.unit,
        part=part,
        by=by,
        circle=ladder.circle,
        fabric=ladder.fabric,
        in_hand=order.fabrics[ladder.fabric].in_hand,
        steps=tuple(steps),
        largest=holds[-1] if holds else None,
        seconds=time.monotonic() - begun,
        seed=what_if.options.get("seed", 1),
    )


class _Ladder:
    """What values a part can take, and the order with each."""

    def __init__(self, order: Order, part: str, by: By) -> None:
        self.order, self.part, self.by = order, part, by
        self.drafted = [p for g in order.garments for p in g.parts if p.draft == part]
        self.ready = [piece for piece in order.pieces if piece.name == part]
        if not self.drafted and not self.ready:
            known = dict.fromkeys(p.draft for g in order.garments for p in g.parts)
            known |= dict.fromkeys(piece.name for piece in order.pieces)
            remedy = nearest(part, known) or f"There are: {', '.join(known)}."
            raise _fault(f"The order has no part called '{part}'.", remedy)
        kind = DRAFTS.get(part)
        wider = "" if kind is None else kind.wider_hem
        self.circle = wider == "circle" and by is By.FULLNESS
        usual = 0.0 if kind is None else getattr(kind.options(), "fullness", 0.0)
        self.net = usual >= _NET_FROM
        self.fabric = self._fabric()
        self.values = self._values()

    def _fabric(self) -> str:
        """The cloth that limits: one in hand, or else that of the part."""
        names = [name for p in self.drafted for name in (p.fabric, p.lining) if name]
        names += [piece.fabric for piece in self.ready]
        in_hand = [name for name in names if self.order.fabrics[name].in_hand]
        return (in_hand or names)[0]

    def _values(self) -> tuple[float, ...]:
        if self.by is By.LAYERS:
            if not self.ready:
                remedy = "Give it as a [[piece]], whose cut is the number of layers."
                raise _fault(
                    f"Layers are counted of ready pieces, and '{self.part}' is drafted.", remedy
                )
            return _LAYERS
        if self.circle:
            return tuple((n + 1) / 4 for n in range(len(CIRCLES)))
        if not self._measured():
            raise _fault(
                f"'{self.part}' has no {self.by} in this order that can be changed.",
                "Give the part that measure, or ask with --by for another.",
            )
        if self.by is By.FULLNESS:
            return _NET_FULLNESS if self.net else _FULLNESS
        longest = max(self._measured())
        return tuple(round(longest * share, 1) for share in _LONGER)

    def _names(self) -> tuple[str, ...]:
        return ("fullness",) if self.by is By.FULLNESS else ("length", "depth")

    def _measured(self) -> list[float]:
        found = [measures_of(part, self._names()) for part in self.drafted]
        return [next(iter(values.values())) for values in found if values]

    def finer(self, low: float, high: float) -> list[float]:
        """Values between two, to a fine step."""
        step = _FINE.get(self.by, 0.0)
        if self.circle or not step:
            return []
        count = round((high - low) / step)
        return [round(low + n * step, 2) for n in range(1, count)]

    def order_with(self, value: float) -> Order:
        """The order with the part so full, so long, or in so many layers."""
        if self.by is By.LAYERS:
            changed = [
                replace(piece, cut=round(value)) if piece.name == self.part else piece
                for piece in self.order.pieces
            ]
            return replace(self.order, pieces=tuple(changed))
        change = self._change(value)
        garments = [
            replace(
                garment,
                parts=tuple(change(p) if p.draft == self.part else p for p in garment.parts),
            )
            for garment in self.order.garments
        ]
        return replace(self.order, garments=tuple(garments))

    def _change(self, value: float) -> Callable[[PartSpec], PartSpec]:
        if self.circle:
            circle = CIRCLES[round(4 * value) - 1]
            return lambda part: with_measures(part, circle=circle)
        if self.by is By.FULLNESS:
            return lambda part: with_measures(part, fullness=value)
        share = value / max(self._measured())

        def longer(part: PartSpec) -> PartSpec:
            known = measures_of(part, self._names())
            return with_measures(part, **{name: mm * share for name, mm in known.items()})

        return longer

    def said(self, value: float) -> str:
        """A value in words."""
        if self.by is By.LAYERS:
            return f"{round(value)} layers" if value > 1 else "1 layer"
        if self.circle:
            name = CIRCLES[round(4 * value) - 1]
            return f"{name} circle"
        if self.by is By.FULLNESS:
            return f"{value:g} times" if value > 1 else "flat"
        unit = {Unit.M: Unit.CM, Unit.YD: Unit.IN}.get(self.order.unit, self.order.unit)
        return format_length(value, unit)


class _Climb:
    """Lays out value after value: the ladder first, then between its rungs."""

    def __init__(self, order: Order, ladder: _Ladder, what_if: WhatIf) -> None:
        self.order, self.ladder, self.what_if = order, ladder, what_if
        self.in_hand = order.fabrics[ladder.fabric].in_hand
        self.steps: dict[float, Step] = {}

    def climb(self) -> None:
        """Lay out the ladder, then the finer values above the largest for which cloth suffices."""
        for value in self.ladder.values:
            self._try(value)
        tried = sorted(self.steps)
        holds = [value for value in tried if self.steps[value].enough]
        above = [value for value in tried if not holds or value > holds[-1]]
        if holds and above:
            finer = self.ladder.finer(holds[-1], above[0])
            self._between(finer)
            self._doubt(finer)

    def rising(self) -> list[Step]:
        """The values tried, none of which takes more than a fuller one: it may be cut from that.

        Circles are no part of larger ones, as their waists are drawn from other middles.
        """
        found = [self.steps[value] for value in sorted(self.steps)]
        for number in range(len(found) - 2, -1, -1):
            own, fuller = found[number], found[number + 1]
            if self.ladder.circle:
                break
            if fuller.length_mm < own.length_mm:
                own = replace(own, length_mm=fuller.length_mm, purchase=fuller.purchase)
            found[number] = replace(own, enough=own.enough or fuller.enough)
        return found

    def _between(self, values: Sequence[float]) -> None:
        low, high = 0, len(values)
        while low < high:
            middle = (low + high) // 2
            if self._try(values[middle]):
                low = middle + 1
            else:
                high = middle

    def _doubt(self, values: Sequence[float]) -> None:
        """Look again, and longer, at the least value that seemed too much, until one is."""
        holds = [value for value, step in self.steps.items() if step.enough]
        for value in (one for one in values if one > max(holds)):
            if not self._try(value, _DOUBT):
                return

    def _try(self, value: float, share: float | None = None) -> bool:
        order, known = self.ladder.order_with(value), self.steps.get(value)
        if known is None:
            bought = self._laid(order, ())
            if bought is None or bought.bought is None:
                return False
            said = self.ladder.said(value)
            known = Step(value, said, bought.bought_mm, bought.bought, enough=False)
        enough = False
        if self.in_hand:
            laid = self._laid(order, self.in_hand, share)
            enough = laid is not None and laid.bought is None
        self.steps[value] = replace(known, enough=enough or known.enough)
        return self.steps[value].enough

    def _laid(
        self, order: Order, in_hand: tuple[Bolt, ...], share: float | None = None
    ) -> Laid | None:
        name = self.ladder.fabric
        cloth = replace(order.fabrics[name], in_hand=in_hand)
        return self.what_if.laid(replace(order, fabrics={**order.fabrics, name: cloth}), share)


def _fault(message: str, remedy: str) -> OrderFault:
    return OrderFault([Fault("--how-full", "", message, remedy)])
