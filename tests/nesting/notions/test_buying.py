"""Purchases of notions are never too little, and garments' shares add up to the cent."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from nesting.notions.buying import JOIN_MM, notions_bought
from nesting.order.model import AskedNotion, Order, Shop
from pieces.notions import Notion, Sold
from pieces.units import Unit

LENGTHS = st.floats(1, 20_000).map(lambda mm: round(mm, 3))
PRICES = st.decimals(0, 99, places=2)


@st.composite
def shops(draw):
    card_mm = draw(st.sampled_from([0.0, 900.0, 5000.0, 9144.0]))
    return Shop(
        price=draw(st.none() | PRICES),
        currency="EUR",
        per_mm=draw(st.sampled_from([1000.0, 914.4])),
        step_mm=draw(st.sampled_from([0.0, 100.0, 114.3, 500.0])),
        least_mm=draw(st.sampled_from([0.0, 1000.0])),
        package=draw(st.integers(1, 12)),
        card_mm=card_mm,
        sizes_mm=draw(st.sampled_from([(), (200.0, 30_000.0)])),
    )


@st.composite
def needs(draw):
    sold = draw(st.sampled_from(Sold))
    garments = draw(st.lists(st.sampled_from(["Ada", "Bo", "Cy"]), min_size=1, max_size=5))
    return tuple(
        Notion(
            name="thing",
            garment=garment,
            where="",
            sold=sold,
            count=draw(st.integers(1, 9)),
            length_mm=0.0 if sold is Sold.PIECE else draw(LENGTHS),
        )
        for garment in garments
    )


def order_of(shop: Shop, unit: Unit) -> Order:
    asked = AskedNotion(name="thing", key="notion[0]", shop=replace(shop, sizes_mm=(40_000.0,)))
    return Order("any", "any.toml", unit, {}, (), (), notions=(asked,))


@given(needs(), shops(), st.sampled_from([Unit.CM, Unit.IN]))
def test_what_is_bought_is_enough_and_its_shares_add_up(notions, shop, unit):
    found = notions_bought(order_of(shop, unit), notions)
    told = [one for purchase in found for one in purchase.notions]
    assert sorted(told, key=repr) == sorted(notions, key=repr)
    for one in found:
        if one.sold is Sold.LENGTH:
            joins = max(0, one.packages - 1)
            needed_mm = sum(notion.total_mm for notion in one.notions)
            assert one.bought_mm >= needed_mm + joins * JOIN_MM - 1e-6
        else:
            assert one.bought >= sum(notion.count for notion in one.notions)
        if one.cost is not None:
            assert sum(one.shares.values(), Decimal(0)) == one.cost
            assert set(one.shares) == {notion.garment for notion in one.notions}
            assert all(share >= 0 for share in one.shares.values())


@given(needs(), shops(), st.data())
def test_together_takes_no_more_than_apart(notions, shop, data):
    cut = data.draw(st.integers(0, len(notions)))
    order = order_of(shop, Unit.CM)

    def amount(some):
        return sum(one.bought_mm + one.bought for one in notions_bought(order, some))

    if notions[0].sold is Sold.LENGTH and shop.card_mm:
        return  # bought_mm and the count of cards are both told
    assert amount(notions) <= amount(notions[:cut]) + amount(notions[cut:]) + 1e-6
