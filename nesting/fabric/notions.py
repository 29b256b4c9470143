"""What is bought besides cloth: one purchase for each thing, with what each garment needs of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from pieces.notions import Notion, Sold


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionPurchase:
    """One thing to ask for.

    Attributes
    ----------
    name : what to ask for, with its width or size where it has one, as in "zip, 35 cm"
    sold : how it is sold
    notions : what each garment needs of it
    bought_mm : the length to buy; 0 where it is not sold by length
    bought : how many to buy; 0 where it is sold by length and not in packages
    packages : how many packages that is; 0 where it is not sold so
    text : how much to ask for, in words
    cost, currency : to the cent; None and nothing without a price
    steps : how the purchase is reckoned, in words
    """

    name: str
    sold: Sold
    notions: tuple[Notion, ...]
    bought_mm: float
    bought: int
    packages: int
    text: str
    cost: Decimal | None
    currency: str
    steps: tuple[str, ...]

    @property
    def shares(self) -> dict[str, Decimal]:
        """What of the cost each garment bears, by what it needs; together the cost, to the cent.

        Empty without a price. The cents that are left over go where most was cut off.
        """
        if self.cost is None:
            return {}
        weights: dict[str, Fraction] = {}
        for notion in self.notions:
            much = Fraction(notion.count)
            if self.sold is Sold.LENGTH:
                much = Fraction(round(notion.total_mm * 1000))
            weights[notion.garment] = weights.get(notion.garment, Fraction(0)) + much
        return _shared(self.cost, weights)


def _shared(cost: Decimal, weights: dict[str, Fraction]) -> dict[str, Decimal]:
    """A sum of money by weight, in whole cents that add up to it."""
    cents = int(cost.scaleb(2))
    whole = sum(weights.values())
    exact = {name: cents * weight / whole for name, weight in weights.items()}
    given = {name: math.floor(share) for name, share in exact.items()}
    by_rest = sorted(exact, key=lambda name: given[name] - exact[name])
    for name in by_rest[: cents - sum(given.values())]:
        given[name] += 1
    return {name: Decimal(share).scaleb(-2) for name, share in given.items()}
