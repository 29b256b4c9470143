"""What to ask for at the counter."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric, Price
from nesting.fabric.purchase import (
    asked_for_length,
    asked_for_marker,
    longest_for_less,
    purchase,
    unused_percent_of_purchase,
    waste_percent,
)

YARD = 914.4
SATIN = Fabric(
    "satin",
    1500,
    selvedge_mm=10,
    shrinkage_length=0.03,
    end_allowance_mm=20,
    price=Price(Decimal("7.90"), "EUR", 1000.0),
    sold_by_mm=100,
    minimum_mm=500,
)


def test_shrink_then_square_the_ends_then_round_up_once() -> None:
    bought = purchase(SATIN, 2137.4)  # / 0.97 = 2203.5, + 20 = 2223.5
    assert bought.length_mm == 2300
    assert bought.text == "2.30 m (2 1/2 yd)"
    assert bought.cost == Decimal("18.17")
    assert bought.currency == "EUR"
    assert bought.steps == (
        "The marker takes 2.138 m of washed cloth.",
        "The cloth shrinks by 3 % in length, so that is 2.204 m before washing.",
        "Squaring the ends takes 2 cm more: 2.224 m.",
        "Sold in steps of 10 cm: 2.300 m.",
    )


def test_a_shop_that_sells_by_the_yard_is_spoken_to_in_yards() -> None:
    cloth = Fabric("lawn", 1120, sold_by_mm=YARD / 8, price=Price(Decimal("6"), "USD", YARD))
    bought = purchase(cloth, 85.125 * 25.4)
    assert bought.length_mm == pytest.approx(2.375 * YARD, abs=1e-6)
    assert bought.text == "2 3/8 yd (2.20 m)"
    assert bought.cost == Decimal("14.25")
    assert bought.steps == (
        "The marker takes 85 1/8 in.",
        "Sold in steps of 1/8 yd: 2 3/8 yd.",
    )


@given(
    st.floats(10, 9000),
    st.sampled_from([0.0, 100.0, YARD / 8]),
    st.sampled_from([0.0, 0.03, 0.071]),
    st.sampled_from([0.0, 20.0, 33.3]),
    st.sampled_from([0.0, 500.0]),
)
def test_the_longest_marker_for_a_step_less(
    length_mm: float, step_mm: float, shrinks: float, ends_mm: float, least_mm: float
) -> None:
    """A step less buys it, and a tenth of a millimetre more does not; or nothing less is sold."""
    cloth = Fabric(
        "lawn",
        1000,
        sold_by_mm=step_mm,
        shrinkage_length=shrinks,
        end_allowance_mm=ends_mm,
        minimum_mm=least_mm,
    )
    bought_mm, longest_mm = purchase(cloth, length_mm).length_mm, longest_for_less(cloth, length_mm)
    if longest_mm > 0:
        less_mm = bought_mm - (step_mm or 1.0)
        assert purchase(cloth, longest_mm).length_mm == pytest.approx(less_mm)
        assert purchase(cloth, longest_mm + 0.1).length_mm == pytest.approx(bought_mm)
    else:
        assert purchase(cloth, 0.001).length_mm == bought_mm


def test_the_least_the_shop_sells() -> None:
    bought = purchase(SATIN, 100)
    assert bought.length_mm == 500
    assert "The shop sells no less than 50 cm." in bought.steps


def test_a_least_between_two_steps_is_rounded_up_too() -> None:
    assert purchase(Fabric("net", 1500, sold_by_mm=200, minimum_mm=500), 10).length_mm == 600


def test_without_a_step_it_is_the_next_millimetre() -> None:
    cloth = Fabric("net", 1500, price=Price(Decimal("10"), "EUR", 1000.0))
    bought = purchase(cloth, 2313.2)
    assert (bought.length_mm, bought.cost) == (2314, Decimal("23.14"))
    assert bought.text == "2.40 m (2 5/8 yd)"
    assert bought.steps[-1].endswith("so the cost is for 2.314 m exactly.")


@given(
    st.floats(50, 9_000),
    st.sampled_from([0.0, 25.4, 50.0, 76.2, 100.0, 114.3, 457.2]),
    st.sampled_from([None, Price(Decimal(9), "USD", YARD), Price(Decimal(9), "EUR", 1000.0)]),
    st.booleans(),
)
def test_the_counters_own_unit_is_what_the_plan_says_first(
    length_mm: float, sold_by_mm: float, price: Price | None, by_yards: bool
) -> None:
    fabric = Fabric("lawn", 1120, sold_by_mm=sold_by_mm, price=price, by_yards=by_yards)
    asked = asked_for_marker(fabric, length_mm)
    text = purchase(fabric, length_mm).text
    assert text.startswith(f"{asked} (") or (by_yards and text == asked and "yd" in text)
    number, name = asked.rsplit(" ", 1)
    said_mm = float(sum(map(Fraction, number.split()))) * {"m": 1000.0, "yd": YARD}[name]
    assert said_mm >= length_mm - 0.0005


def test_a_length_to_buy_is_asked_for_in_the_counters_steps() -> None:
    assert asked_for_length(Fabric("lawn", 1120), 963.0) == "1.00 m"
    assert asked_for_length(Fabric("lawn", 1120, by_yards=True), 963.0) == "1 1/8 yd"
    assert asked_for_length(replace(SATIN, by_yards=True), 1300.0) == "1.30 m"


def test_by_yards_all_is_reckoned_in_inches() -> None:
    bought = purchase(Fabric("lawn", 1143, by_yards=True, end_allowance_mm=25.4), 962.66)
    assert bought.text == "1 1/8 yd"
    assert bought.steps == (
        "The marker takes 37 15/16 in.",
        "Squaring the ends takes 1 in more: 38 15/16 in.",
    )


def test_two_lengths_asked_for_alike_are_told_alike_in_inches() -> None:
    """23 and 26 in are both 3/4 yd, though the one is 0.60 m and the other 0.70 m."""
    cloth = Fabric("lawn", 1143, by_yards=True)
    assert {purchase(cloth, inches * 25.4).text for inches in (23, 26)} == {"3/4 yd"}


def test_an_order_in_inches_is_reckoned_in_inches_at_a_counter_of_metres() -> None:
    bought = purchase(Fabric("net", 1372, by_yards=True, sold_by_mm=100), 376)
    assert bought.text == "0.40 m (1/2 yd)"
    assert bought.steps == ("The marker takes 14 13/16 in.", "Sold in steps of 10 cm: 40 cm.")


def test_without_a_price_there_is_no_cost() -> None:
    bought = purchase(Fabric("net", 1500), 1000)
    assert (bought.cost, bought.currency) == (None, "")


def test_a_step_in_neither_system_carries_both_texts() -> None:
    bought = purchase(Fabric("net", 1500, sold_by_mm=3 * 25.4), 2299)
    assert bought.length_mm == pytest.approx(31 * 76.2)  # 2362.2
    assert bought.text == "2.40 m (2 5/8 yd)"


@pytest.mark.parametrize(
    ("length_mm", "sold_by_mm", "mm"),
    [
        (2250.0000001, 50, 2250),
        (2250.1, 50, 2300),
        (0.1 + 0.2, 0.3, 0.3),
        (2.25 * YARD, YARD / 8, 2.25 * YARD),
        (2.2500001 * YARD, YARD / 8, 2.25 * YARD),
        (2.25001 * YARD, YARD / 8, 2.375 * YARD),
    ],
)
def test_a_floating_error_never_buys_a_step(length_mm: float, sold_by_mm: float, mm: float) -> None:
    bought = purchase(Fabric("net", 1500, sold_by_mm=sold_by_mm), length_mm)
    assert bought.length_mm == pytest.approx(mm, abs=1e-6)


def test_half_a_cent_goes_up() -> None:
    cloth = Fabric("net", 1500, price=Price(Decimal("0.05"), "EUR", 1000.0), sold_by_mm=100)
    assert purchase(cloth, 100).cost == Decimal("0.01")  # 0.005
    assert purchase(cloth, 300).cost == Decimal("0.02")  # 0.015
    assert str(purchase(cloth, 2000).cost) == "0.10"


@given(
    length_mm=st.floats(1, 50_000),
    shrinkage=st.integers(0, 49),
    ends_mm=st.floats(0, 500),
    step_mm=st.sampled_from([0.0, 10.0, 50.0, 100.0, 114.3, 914.4, 76.2]),
    least_mm=st.sampled_from([0.0, 228.6, 500.0]),
)
def test_enough_is_bought_and_no_step_too_much(
    length_mm: float, shrinkage: int, ends_mm: float, step_mm: float, least_mm: float
) -> None:
    cloth = Fabric(
        "net",
        1500,
        shrinkage_length=shrinkage / 100,
        end_allowance_mm=ends_mm,
        sold_by_mm=step_mm,
        minimum_mm=least_mm,
    )
    bought = purchase(cloth, length_mm).length_mm
    need = max(length_mm / (1 - shrinkage / 100) + ends_mm, least_mm)
    step = step_mm or 1.0
    assert need - 0.002 <= bought < need + step + 0.002
    assert bought / step == pytest.approx(round(bought / step), abs=1e-6)


@given(st.floats(1, 20_000), st.floats(1, 20_000))
def test_more_cloth_never_costs_less(one_mm: float, other_mm: float) -> None:
    short, long = (purchase(SATIN, mm) for mm in sorted((one_mm, other_mm)))
    assert short.length_mm <= long.length_mm
    assert short.cost is not None
    assert long.cost is not None
    assert short.cost <= long.cost


@given(st.floats(200, 5000), st.integers(2, 12))
def test_rounding_once_is_never_dearer_than_rounding_each(one_mm: float, times: int) -> None:
    together = purchase(SATIN, one_mm * times).length_mm
    assert together <= purchase(SATIN, one_mm).length_mm * times


def test_waste_counts_washed_cloth_between_the_selvedges() -> None:
    cloth = Fabric("net", 1020, selvedge_mm=10, shrinkage_width=0.1)  # 900 mm are left
    assert waste_percent(cloth, 900 * 1000, 2000) == pytest.approx(50)


def test_unused_counts_selvedges_ends_shrinkage_and_rounding() -> None:
    wanted_mm2 = 1480 * 1000
    bought = purchase(SATIN, 1000)  # / 0.97 + 20 = 1050.9 -> 1100
    assert waste_percent(SATIN, wanted_mm2, 1000) == pytest.approx(0)
    unused = unused_percent_of_purchase(SATIN, wanted_mm2, bought.length_mm)
    assert unused == pytest.approx(100 * (1 - 1480 * 1000 / (1500 * 1100)))
    assert math.isclose(unused, 10.303, abs_tol=0.001)
