"""The list to take along to the shop."""

from dataclasses import replace
from decimal import Decimal

from nesting.output.report.shopping import shopping_list
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


def test_speaks_inches_to_who_measures_in_them():
    text = shopping_list(replace(sample_plan(), unit=Unit.YD))
    assert "59 1/16 in (150 cm) wide" in text


def test_fits_the_terminal():
    assert max(map(len, shopping_list(sample_plan()).splitlines())) <= 88
