"""The list to take along to the shop."""

from dataclasses import replace
from decimal import Decimal

from nesting.notions.buying import notions_bought
from nesting.order.model import AskedNotion, Order, Shop
from nesting.output.report.shopping import shopping_list
from pieces.notions import Notion, Sold
from pieces.units import Unit
from tests.nesting.output.sample_plan import sample_plan


def test_names_every_cloth_with_width_length_and_cost():
    plan = sample_plan()
    text = shopping_list(plan)
    for entry in plan.fabrics:
        assert f"[ ] {entry.fabric.name}: ask for {entry.purchase.text}" in text
    satin = plan.fabrics[0]
    assert "150 cm (59 1/16 in) wide" in text
    assert f"{satin.purchase.cost:.2f} EUR, at 7.90 EUR a m" in text
    assert "wash it before cutting" in text
    assert f"In all: {sum(plan.totals.values(), Decimal(0)):.2f} EUR." in text


def test_notions_stand_with_the_cloth_and_are_counted():
    lace = Notion(name="lace", garment="Dora", where="hem", sold=Sold.LENGTH, length_mm=1210.0)
    asked = AskedNotion(
        name="lace", key="notion[0]", shop=Shop(price=Decimal("2.5"), currency="EUR", step_mm=100.0)
    )
    order = Order("any", "any.toml", Unit.CM, {}, (), (), notions=(asked,))
    plan = sample_plan()
    more = replace(plan, notions=notions_bought(order, [lace]))
    text = shopping_list(more)
    assert "[ ] lace: 1.30 m (1 3/8 yd)" in text
    assert "hem (Dora)" in text
    assert more.totals == {"EUR": plan.totals["EUR"] + Decimal("3.25")}
    assert f"In all: {more.totals['EUR']:.2f} EUR." in text
    assert more.cloth_totals == plan.totals
    assert text.rstrip().endswith("Thread comes on top.")
    assert shopping_list(plan).rstrip().endswith("Thread, fastenings and elastic come on top.")


def test_speaks_inches_to_who_measures_in_them():
    text = shopping_list(replace(sample_plan(), unit=Unit.YD))
    assert "59 1/16 in (150 cm) wide" in text


def test_fits_the_terminal():
    assert max(map(len, shopping_list(sample_plan()).splitlines())) <= 88
