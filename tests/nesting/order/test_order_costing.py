"""The table of work and prices: what is read, and what is said of a bad one."""

from decimal import Decimal

import pytest

from nesting.order.read import order_from_text
from pieces.errors import OrderFault

HEAD = """
units = "cm"
[fabric.satin]
width = 150
price = 9.50
currency = "EUR"
[[garment]]
name = "Pia"
size = "5 years"
[[garment.part]]
draft = "bodice"
fabric = "satin"
"""


def faults(text: str) -> list[str]:
    with pytest.raises(OrderFault) as caught:
        order_from_text(HEAD + text, "o.toml")
    return [str(fault).removeprefix("o.toml: ") for fault in caught.value.faults]


def test_what_is_told_is_kept_exactly() -> None:
    text = (
        '[costing]\nrate = 17.10\nmargin = 12.5\nminutes = { sewing = 90 }\nbrought = ["satin"]\n'
    )
    text += "[[costing.done]]\nparts = 4\nminutes = { hand = 10 }\n"
    costing = order_from_text(HEAD + text, "o.toml").costing
    assert costing is not None
    assert (costing.currency, costing.rate) == ("EUR", Decimal("17.1"))
    assert (costing.margin, costing.minutes) == (Decimal("12.5"), {"sewing": Decimal(90)})
    assert (costing.brought, costing.done[0].parts) == (("satin",), 4)
    assert order_from_text(HEAD, "o.toml").costing is None


def test_each_fault_is_told_with_its_place_and_a_remedy() -> None:
    said = faults(
        '[costing]\nrate = -3\nmargin = 100\nbrought = ["silk"]\nminutes = 5\ngarment.Mia = {}\n'
        "wage = 1\n[costing.cutter]\nfolds = 2\n[[costing.done]]\nparts = 0\n"
    )
    told = {line.split(": ")[0]: line for line in said}
    assert 'Did you mean "Pia"?' in told["costing.garment.Mia"]
    assert "too small" in told["costing.rate"]
    assert "less than 100" in told["costing.margin"]
    assert "no cloth called 'silk'" in told["costing.brought, number 1"]
    assert "minutes = { cutting = 60" in told["costing.minutes"]
    assert 'Did you mean "fold"?' in told["costing.cutter.folds"]
    assert "costing.wage" in told
    assert "costing.done, number 1" in told


def test_a_currency_must_be_named_where_prices_don_t_tell_it() -> None:
    (said,) = faults('[fabric.net]\nwidth = 90\nprice = 1\ncurrency = "USD"\n[costing]\nrate = 1\n')
    assert said.startswith("costing.currency: Prices are in several currencies.")


def test_costing_is_a_table() -> None:
    (said,) = faults("[[costing]]\n")
    assert "Head it [costing]" in said
