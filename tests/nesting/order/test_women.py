"""A woman's measures and sizes in an order."""

from __future__ import annotations

import pytest

from nesting.order.read import order_from_text
from pieces.errors import OrderFault

WOMAN = """
units = "cm"
[fabric.satin]
width = 150
[[garment]]
name = "Liv"
size = "bust 88 cm"
body = { %s }
[[garment.part]]
draft = "bodice"
fabric = "satin"
"""


def test_a_womans_bust_is_her_chest() -> None:
    order = order_from_text(WOMAN % "bust = 94", "liv.toml")
    assert order.garments[0].body.chest == 940
    with pytest.raises(OrderFault, match=r"body.bust: This is another name of chest"):
        order_from_text(WOMAN % "bust = 94, chest = 94", "liv.toml")


def test_the_next_size_of_the_same_table_is_named() -> None:
    for asked, near in (("bust 89 cm", "bust 88 cm"), ("15 years", "14 years")):
        with pytest.raises(OrderFault, match=f"Did you mean '{near}'"):
            order_from_text(WOMAN.replace("bust 88 cm", asked) % "bust = 94", "liv.toml")
