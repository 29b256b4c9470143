"""What plan.json holds of what is bought besides cloth: its types, and how they are filled."""

from __future__ import annotations

from typing_extensions import TypedDict

from nesting.fabric.notions import NotionPurchase
from nesting.output.files.values import Cost, Count, FromOne, Length, Name, closed, number
from pieces.notions import Sold


@closed
class NeedRecord(TypedDict):
    """What one garment needs of a notion."""

    garment: str
    """The garment that needs it; empty if it is for none."""
    where: str
    """Where it goes, in words."""
    count: FromOne
    """How many."""
    length_mm: Length
    """How long each is, joins and turned-in ends included; 0 where only the count matters."""
    width_mm: Length
    """How wide it is to be; 0 where that is open."""


@closed
class NotionRecord(TypedDict):
    """One thing that is bought besides cloth, for all garments together."""

    name: Name
    """What to ask for, with its width or size where it has one."""
    sold_by: Sold
    """How it is sold: by length, by the piece, or counted in lengths of which the next is taken."""
    text: Name
    """How much to ask for."""
    bought_mm: Length
    """The length to buy; 0 where it is not sold by length."""
    bought: Count
    """How many to buy, pieces or cards; 0 where a length is cut."""
    packages: Count
    """How many packages or cards that is; 0 where it is not sold so."""
    cost: Cost | None
    """What it costs; null without a price."""
    currency: str
    """The currency; empty without a price."""
    shares: dict[str, Cost]
    """What of the cost each garment bears, by its name; together the cost."""
    steps: list[Name]
    """How the purchase is reckoned, a sentence each."""
    needed: list[NeedRecord]
    """What each garment needs of it."""


def notion_data(one: NotionPurchase) -> NotionRecord:
    """One purchase as it stands in `notions`."""
    return {
        "name": one.name,
        "sold_by": one.sold,
        "text": one.text,
        "bought_mm": number(one.bought_mm),
        "bought": one.bought,
        "packages": one.packages,
        "cost": None if one.cost is None else float(one.cost),
        "currency": one.currency,
        "shares": {name: float(share) for name, share in one.shares.items()},
        "steps": list(one.steps),
        "needed": [
            {
                "garment": notion.garment,
                "where": notion.where,
                "count": notion.count,
                "length_mm": number(notion.length_mm),
                "width_mm": number(notion.width_mm),
            }
            for notion in one.notions
        ],
    }
