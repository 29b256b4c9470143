"""Two ways to cut an order, side by side: the least cloth, or the least work for the cutter."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nesting.costing.quote import Price, price_of, stages_of
from nesting.fabric.costing import Costing
from nesting.fabric.plans import ComparedCloth, ComparedLay, Comparison
from nesting.fabric.shares import to_the_cent

CUTTING = "cutting"
"""The stage that the cutter's reckoned minutes take the place of."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to make an order: on which lay each cloth is cut, and what that comes to."""

    name: str
    lays: tuple[tuple[str, ComparedLay], ...]
    cloth: Decimal
    cutting_minutes: Decimal
    price: Price


def cutter_minutes(costing: Costing, lay: ComparedLay) -> Decimal:
    """Folding, pinning, cutting and joining of one layout.

    >>> from nesting.fabric.fabric import LayName
    >>> lay = ComparedLay(LayName.OPEN, 1400, 900, 800, 1000, None, 20.0, 10, 6.0, joins=1)
    >>> cutter_minutes(Costing(currency="EUR"), lay)
    Decimal('24.0')
    """
    folds = lay.lay.folds + (lay.opened_from_mm is not None)
    return costing.cutter.spent(folds, lay.cut_outlines, lay.cut_metres, lay.joins)


def offers_of(comparison: Comparison, costing: Costing) -> tuple[Offer, ...]:
    """The offer with the least to pay for cloth, and that with the least cutting, if another."""

    def cheapest(lay: ComparedLay) -> tuple[Decimal | float, ...]:
        return (lay.purchase_mm if lay.cost is None else lay.cost, cutter_minutes(costing, lay))

    def quickest(lay: ComparedLay) -> tuple[Decimal | float, ...]:
        return tuple(reversed(cheapest(lay)))

    first = _offer("least cloth", comparison, costing, cheapest)
    second = _offer("least cutting", comparison, costing, quickest)
    return (first,) if first.lays == second.lays else (first, second)


def _offer(
    name: str,
    comparison: Comparison,
    costing: Costing,
    rank: Callable[[ComparedLay], tuple[Decimal | float, ...]],
) -> Offer:
    chosen = [(cloth.fabric.name, min(_own_width(cloth), key=rank)) for cloth in comparison.cloths]
    lays = [lay for _, lay in chosen]
    priced = [
        lay.cost
        for cloth, (_, lay) in zip(comparison.cloths, chosen, strict=True)
        if lay.cost is not None
        and cloth.fabric.price is not None
        and cloth.fabric.price.currency == costing.currency
    ]
    cloth = sum(priced, Decimal("0.00"))
    minutes = sum((cutter_minutes(costing, lay) for lay in lays), Decimal(0))
    work = to_the_cent(Fraction(minutes) * Fraction(costing.rate) / 60)
    work += sum((cost for cost in _other_work(comparison, costing)), Decimal(0))
    return Offer(name, tuple(chosen), cloth, minutes, price_of(costing, cloth, work))


def _own_width(cloth: ComparedCloth) -> list[ComparedLay]:
    """The lays at the order's own width, or else at all that were asked for."""
    figures = [one.figures for one in cloth.alternatives]
    return [one for one in figures if one.width_mm == cloth.fabric.width_mm] or figures


def _other_work(comparison: Comparison, costing: Costing) -> Iterable[Decimal]:
    """What all stages but the cutting cost, garment by garment."""
    pieces = [piece for cloth in comparison.cloths for piece in cloth.pieces]
    for garment in dict.fromkeys(piece.garment for piece in pieces):
        parts = sum(piece.parts for piece in pieces if piece.garment == garment)
        for stage in stages_of(costing, garment, parts):
            if stage.name != CUTTING:
                yield stage.cost
