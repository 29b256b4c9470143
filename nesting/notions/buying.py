"""From what garments need to what to ask for at the counter: rounded up, never down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from nesting.fabric.fabric import Fabric, Price
from nesting.fabric.notions import NotionPurchase
from nesting.fabric.purchase import purchase
from nesting.fabric.shares import to_the_cent
from nesting.notions.sizes import next_size
from nesting.order.model import Order, Shop
from pieces.notions import Notion, Sold
from pieces.units import Unit, format_length, format_needed, mm_per

JOIN_MM = 20.0
"""What is lost where one length of ribbon or lace is joined to the next; common practice."""
_AS_ANY = Shop()
Group = tuple[str, Sold, float, float]


def notions_bought(order: Order, notions: Sequence[Notion]) -> tuple[NotionPurchase, ...]:
    """What to ask for of each notion, all garments together.

    One purchase for each name and width; what is bought by size, for each size.
    """
    shops = {one.name: one.shop for one in order.notions if one.shop is not None}
    groups: dict[Group, list[Notion]] = {}
    for notion in notions:
        shop = shops.get(notion.name, _AS_ANY)
        size = next_size(notion.length_mm, shop, order.unit) if notion.sold is Sold.SIZE else 0.0
        key = (notion.name, notion.sold, notion.width_mm, size or 0.0)
        groups.setdefault(key, []).append(notion)
    names = list(dict.fromkeys(name for name, *_ in groups))
    in_order = sorted(groups, key=lambda key: (names.index(key[0]), *key[1:]))
    return tuple(
        _bought(key, groups[key], shops.get(key[0], _AS_ANY), order.unit) for key in in_order
    )


def _bought(key: Group, group: list[Notion], shop: Shop, unit: Unit) -> NotionPurchase:
    name, sold, width_mm, size_mm = key
    tape = Unit.IN if unit in (Unit.IN, Unit.YD) else Unit.CM
    called = name
    if width_mm:
        called += f", {format_length(width_mm, tape)} wide"
    if size_mm:
        called += f", {format_length(size_mm, tape)}"
    if sold is not Sold.LENGTH:
        return _counted(called, group, shop)
    return _on_cards(called, group, shop, tape) if shop.card_mm else _cut(called, group, shop, unit)


def _counted(called: str, group: list[Notion], shop: Shop) -> NotionPurchase:
    needed = sum(notion.count for notion in group)
    packages = math.ceil(needed / shop.package)
    bought = packages * shop.package
    text, steps = f"{needed}", [f"{needed} {'is' if needed == 1 else 'are'} needed."]
    if shop.package > 1:
        text = f"{packages} {_packages(packages)} of {shop.package}"
        steps.append(f"Sold {shop.package} in a package; that is {bought} in all.")
    return NotionPurchase(
        name=called,
        sold=group[0].sold,
        notions=tuple(group),
        bought_mm=0.0,
        bought=bought,
        packages=packages if shop.package > 1 else 0,
        text=text,
        cost=_times(shop, packages),
        currency=shop.currency,
        steps=tuple(steps),
    )


def _cut(called: str, group: list[Notion], shop: Shop, unit: Unit) -> NotionPurchase:
    """A length cut at the counter, as a narrow cloth is."""
    needed_mm = _needed_mm(group)
    price = None
    if shop.price is not None:
        price = Price(shop.price, shop.currency, shop.per_mm)
    counter = Fabric(
        called,
        1.0,
        price=price,
        sold_by_mm=shop.step_mm,
        minimum_mm=shop.least_mm,
        by_yards=unit is Unit.IN,
    )
    found = purchase(counter, needed_mm)
    tape = Unit.IN if unit is Unit.IN else Unit.CM
    steps = [_runs_told(group, tape)]
    if shop.least_mm > needed_mm:
        steps.append(f"The shop sells no less than {format_length(shop.least_mm, tape)}.")
    if shop.step_mm:
        step, whole = format_length(shop.step_mm, tape), format_length(found.length_mm, tape)
        steps.append(f"Sold in steps of {step}: {whole}.")
    return NotionPurchase(
        name=called,
        sold=Sold.LENGTH,
        notions=tuple(group),
        bought_mm=found.length_mm,
        bought=0,
        packages=0,
        text=found.text,
        cost=found.cost,
        currency=found.currency,
        steps=tuple(steps),
    )


def _on_cards(called: str, group: list[Notion], shop: Shop, tape: Unit) -> NotionPurchase:
    """Whole cards, one run after another; where a card ends in a run, it is joined to the next."""
    needed_mm = _needed_mm(group)
    cards = cards_for(needed_mm, shop.card_mm)
    counter = Unit.YD if tape is Unit.IN else Unit.M
    long = shop.card_mm >= mm_per(counter)
    each = format_length(shop.card_mm, counter if long else tape)
    text = f"{cards} {'card' if cards == 1 else 'cards'} of {each}"
    steps = [_runs_told(group, tape)]
    joins = cards - 1
    if joins:
        steps.append(
            f"A card ends within it {joins} {'time' if joins == 1 else 'times'}: "
            f"{format_length(joins * JOIN_MM, tape)} more for joins."
        )
    steps.append(f"Sold on cards of {each}: {text}.")
    return NotionPurchase(
        name=called,
        sold=Sold.LENGTH,
        notions=tuple(group),
        bought_mm=cards * shop.card_mm,
        bought=cards,
        packages=cards,
        text=text,
        cost=_times(shop, cards),
        currency=shop.currency,
        steps=tuple(steps),
    )


def cards_for(needed_mm: float, card_mm: float) -> int:
    """So many cards are enough, with a join wherever one ends.

    >>> cards_for(10_000, 5_000), cards_for(9_980, 5_000), cards_for(5_000, 5_000)
    (3, 2, 1)
    """
    needed, card, join = (Fraction(round(mm * 1000)) for mm in (needed_mm, card_mm, JOIN_MM))
    if needed <= card:
        return 1
    return math.ceil((needed - join) / max(card - join, Fraction(1)))


def _needed_mm(group: Sequence[Notion]) -> float:
    """All runs together, in whole micrometres."""
    return (
        sum(notion.count * math.ceil(round(notion.length_mm * 1000, 3)) for notion in group) / 1000
    )


def _runs_told(group: Sequence[Notion], tape: Unit) -> str:
    runs = sum(notion.count for notion in group)
    whole = format_needed(_needed_mm(group), tape)
    return f"{whole} is needed" + (f", in {runs} lengths." if runs > 1 else ".")


def _packages(count: int) -> str:
    return "package" if count == 1 else "packages"


def _times(shop: Shop, count: int) -> Decimal | None:
    """The price of so many, half a cent upwards."""
    if shop.price is None:
        return None
    return to_the_cent(Fraction(shop.price) * count)
