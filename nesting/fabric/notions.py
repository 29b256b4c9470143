"""What is bought besides cloth: one purchase for each thing, with what each garment needs of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nesting.fabric.shares import shared
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
        weights: dict[str, int | Fraction] = {}
        for notion in self.notions:
            much = Fraction(notion.count)
            if self.sold is Sold.LENGTH:
                much = Fraction(round(notion.total_mm * 1000))
            weights[notion.garment] = weights.get(notion.garment, Fraction(0)) + much
        return shared(self.cost, weights)
