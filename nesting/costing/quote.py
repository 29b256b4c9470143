"""What each garment of a plan costs, and what to ask for it. Exact decimals, to the cent.

Each garment bears of every cloth what the area of its parts is to that of all; ends and waste
are shared the same way. A price has its margin inside, as a share of what the client pays
before tax: "a fourth of the amount received", for which "one-third must be added to the cost"
(W. D. F. Vincent, *Systems of Cutting All Kinds of Tailor-Made Garments*, "What to charge").
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nesting.fabric.costing import Costing
from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.plans import FabricPlan, Plan
from nesting.fabric.shares import shared, to_the_cent

NO_GARMENT = "pieces without a garment"
_NONE = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Stage:
    """Work at one stage; `learned` from works done before."""

    name: str
    minutes: Decimal
    cost: Decimal
    learned: bool = False


@dataclass(frozen=True, slots=True)
class Price:
    """From what a garment costs to what to ask for it."""

    materials: Decimal
    work: Decimal
    overhead: Decimal
    margin: Decimal
    tax: Decimal

    @property
    def net(self) -> Decimal:
        """The price before tax."""
        return self.materials + self.work + self.overhead + self.margin

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax


@dataclass(frozen=True, slots=True)
class GarmentQuote:
    """One garment: what it bears of each cloth and notion, its work, and two prices.

    `without` is the price where the client brings the cloth.
    """

    garment: str
    cloth: tuple[tuple[str, Decimal], ...]
    notions: tuple[tuple[str, Decimal], ...]
    stages: tuple[Stage, ...]
    price: Price
    without: Price


@dataclass(frozen=True, slots=True)
class Quote:
    """The whole order.

    `left_out` are things without a price, or priced in another currency; `in_hand` lengths that
    are not bought.
    """

    order: str
    costing: Costing
    garments: tuple[GarmentQuote, ...]
    brought: tuple[str, ...]
    left_out: tuple[str, ...]
    in_hand: tuple[str, ...]


def price_of(costing: Costing, materials: Decimal, work: Decimal) -> Price:
    """What to ask for materials and work."""
    cost = materials + work
    overhead = to_the_cent(Fraction(cost) * Fraction(costing.overhead) / 100)
    cost += overhead
    net = to_the_cent(Fraction(cost) / (1 - Fraction(costing.margin) / 100))
    tax = to_the_cent(Fraction(net) * Fraction(costing.tax) / 100)
    return Price(materials, work, overhead, net - cost, tax)


def quote_of(plan: Plan, costing: Costing) -> Quote:
    """What to ask for each garment of a plan."""
    names = list(dict.fromkeys(piece.garment or NO_GARMENT for piece in plan.pieces))
    bought = [one for one in plan.bought if _counts(one, costing)]
    cloth = {entry.title: _cloth_shares(entry) for entry in bought}
    notions = {one.name: one.shares for one in plan.notions if one.currency == costing.currency}
    parts = Counter[str]()
    for piece in plan.pieces:
        parts[piece.garment or NO_GARMENT] += piece.parts
    brought = costing.brought or tuple(dict.fromkeys(entry.fabric.name for entry in bought))
    return Quote(
        order=plan.order,
        costing=costing,
        garments=tuple(
            _garment(name, _own(cloth, name), _own(notions, name), parts[name], brought, costing)
            for name in names
        ),
        brought=brought,
        left_out=tuple(
            [one.fabric.name for one in plan.bought if not _counts(one, costing)]
            + [one.name for one in plan.notions if one.currency != costing.currency]
        ),
        in_hand=tuple(entry.title for entry in plan.fabrics if entry.bolt is not None),
    )


def _counts(entry: FabricPlan, costing: Costing) -> bool:
    return entry.purchase.cost is not None and entry.purchase.currency == costing.currency


def _cloth_shares(entry: FabricPlan) -> dict[str, Decimal]:
    """What each garment bears of a purchase, by the area of its parts."""
    assert entry.purchase.cost is not None
    weights: Counter[str] = Counter()
    for piece in entry.pieces:
        weights[piece.garment or NO_GARMENT] += round(wanted_area_mm2(piece) * 1000)
    return shared(entry.purchase.cost, weights)


def _own(shares: dict[str, dict[str, Decimal]], garment: str) -> tuple[tuple[str, Decimal], ...]:
    return tuple((name, own[garment]) for name, own in shares.items() if garment in own)


def _garment(
    name: str,
    cloth: Sequence[tuple[str, Decimal]],
    notions: Sequence[tuple[str, Decimal]],
    parts: int,
    brought: Sequence[str],
    costing: Costing,
) -> GarmentQuote:
    stages = tuple(stages_of(costing, name, parts))
    work = sum((stage.cost for stage in stages), _NONE)
    kept = [share for title, share in cloth if title not in brought]
    rest = sum((share for _, share in notions), _NONE)
    return GarmentQuote(
        name,
        tuple(cloth),
        tuple(notions),
        stages,
        price_of(costing, sum((share for _, share in cloth), rest), work),
        price_of(costing, sum(kept, rest), work),
    )


def stages_of(costing: Costing, garment: str, parts: int) -> list[Stage]:
    """The stages of a garment's work: as told for it, for all, or learned by the part."""
    told = {**costing.minutes, **costing.own.get(garment, {})}
    known = dict.fromkeys(stage for work in costing.done for stage in work.minutes)
    found = [_stage(costing, stage, Fraction(minutes), False) for stage, minutes in told.items()]
    for stage in known:
        if stage not in told:
            works = [work for work in costing.done if stage in work.minutes]
            spent = sum(Fraction(work.minutes[stage]) for work in works)
            each = spent / sum(work.parts for work in works)
            found.append(_stage(costing, stage, Fraction(round(each * parts)), True))
    return found


def _stage(costing: Costing, name: str, minutes: Fraction, learned: bool) -> Stage:
    cost = to_the_cent(minutes * Fraction(costing.rate) / 60)
    return Stage(name, Decimal(minutes.numerator) / minutes.denominator, cost, learned)
