"""Notions in words: what is bought, what is needed, and where it goes."""

from __future__ import annotations

from collections.abc import Iterable

from nesting.fabric.notions import NotionPurchase
from nesting.fabric.plans import Plan
from nesting.output.words import money, named
from pieces.notions import Notion
from pieces.units import Unit, format_length, format_needed


def buy_notion(one: NotionPurchase) -> str:
    """How much to ask for of a notion, and its cost where there is a price."""
    return one.text if one.cost is None else f"{one.text}, {money(one.cost, one.currency)}"


def needed(one: Notion, unit: Unit) -> str:
    """What a garment needs of a notion, and where it goes.

    >>> from pieces.notions import Sold
    >>> zip_ = Notion(name="zip", garment="Ada", where="side", sold=Sold.SIZE, length_mm=181.0)
    >>> needed(zip_, Unit.CM)
    'Ada: zip, 18.1 cm, side'
    """
    many = f"{one.count} of " if one.count > 1 and one.length_mm else f"{one.count}, "
    much = format_needed(one.length_mm, unit) if one.length_mm else ""
    size = f"{many if one.count > 1 or not much else ''}{much}".removesuffix(", ")
    wide = f", {format_length(one.width_mm, unit)} wide" if one.width_mm else ""
    owner = f"{one.garment}: " if one.garment else ""
    return f"{owner}{one.name}{wide}, {size}" + (f", {one.where}" if one.where else "")


def places(notions: Iterable[Notion]) -> list[str]:
    """Where notions go, and in which garments; nothing of one that tells neither.

    >>> from pieces.notions import Sold
    >>> hems = [Notion(name="lace", garment=who, where="hem", sold=Sold.LENGTH) for who in "AB"]
    >>> places(hems)
    ['hem (A, B)']
    """
    found: dict[str, dict[str, None]] = {}
    for one in notions:
        found.setdefault(one.where, {})[one.garment] = None
    told = ((where, ", ".join(filter(None, owners))) for where, owners in found.items())
    return [named(where, owners) if where else owners for where, owners in told if where or owners]


def unpriced(plan: Plan) -> list[str]:
    """What is bought and has no price: cloths, then notions."""
    cloths = [entry.fabric.name for entry in plan.bought if entry.purchase.cost is None]
    return [*cloths, *(one.name for one in plan.notions if one.cost is None)]
