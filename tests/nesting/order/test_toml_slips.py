"""Slips that keep a file from being read at all: what to write instead is told (TOML 1.0)."""

from __future__ import annotations

import tomllib

import pytest

from nesting.order.read import order_from_text
from nesting.order.toml_slips import USUAL
from pieces.errors import OrderFault

SLIPS = {
    "name = Spring recital": 'name = "Spring recital"',
    "[fabric.wool blend]": '[fabric."wool blend"]',
    "price = 12,50": "price = 12.50",
    "nap = one-way # as velvet": 'nap = "one-way"',
    "name = “wedding”": 'name = "wedding"',
    "seam_allowance = 5/8": 'seam_allowance = "5/8"',
}
OTHERS = [
    "width = 150\nwidth = 140",
    'name = "x',
    "width 150",
    "a = [1, 2",
    "[fabric.satin",
    "[[garment part]]",
    "[]",
    "= 3",
    "width = 15\x000 cm",
    f"width = {150 * '1'} cm",
]


@pytest.mark.parametrize(("slip", "instead"), SLIPS.items())
def test_what_to_write_instead_is_told_and_can_be_read(slip: str, instead: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(slip)
    tomllib.loads(instead)
    with pytest.raises(OrderFault) as refused:
        order_from_text(f'units = "cm"\n{slip}\n', "o.toml")
    (fault,) = refused.value.faults
    assert fault.key.startswith("line 2, column ")
    assert fault.remedy.endswith(f": write {instead}.")


@pytest.mark.parametrize("text", OTHERS)
def test_of_others_is_told_where_to_look(text: str) -> None:
    with pytest.raises(OrderFault) as refused:
        order_from_text(text, "o.toml")
    (fault,) = refused.value.faults
    assert fault.remedy == USUAL
