"""Seams of ready pieces, named by corners or in a drawing, compared; lengths of school geometry."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from pieces.errors import OrderFault

BACK = """
<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="400mm" viewBox="0 0 200 400">
<path id="back" d="M10 10H150V310H10Z"/><path aria-label="seam side" d="M150 10V310"/>
<path aria-label="seam waist" d="M10 10H150"/><path aria-label="fold" d="M10 20V300"/></svg>
"""
HEAD = """
name = "a bodice"
units = "cm"
[fabric.lawn]
width = 150
[[piece]]
file = "back.svg"
fabric = "lawn"
[[piece]]
name = "front"
fabric = "lawn"
outline = [[0, 0], [14, 0], [14, 30.2], [0, 30]]
pair = true
seams = "side: 2-3; waist: 1-2"
[[piece]]
name = "skirt"
fabric = "lawn"
outline = [[0, 0], [56, 0], [56, 60], [0, 60]]
seams = "waist: 1-2"
"""


def order(folder: Path, text: str) -> Order:
    (folder / "back.svg").write_text(BACK)
    return order_from_text(HEAD + text, "bodice.toml", lambda name: folder / name)


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(OrderFault) as refused:
        order(folder, text)
    return [str(fault) for fault in refused.value.faults]


def seam(this: str, that: str, more: str = "") -> str:
    return f'[[seam]]\nwhat = "a seam"\nthis = {this}\nthat = {that}\n{more}\n'


@pytest.mark.parametrize(
    ("table", "this_mm", "that_mm", "ok"),
    [
        (seam('"front: side"', '"back: side"'), 302, 300, True),
        (seam('"front: side"', '"back: side"', "longer = 1"), 302, 310, False),
        # Two fronts of 14 cm, and a back of as much on the fold: 56 cm all round.
        (seam('["front: waist", "back: waist"]', '"skirt: waist"'), 560, 560, True),
    ],
)
def test_two_edges_are_compared(
    tmp_path: Path, table: str, this_mm: float, that_mm: float, ok: bool
) -> None:
    (check,) = draft_order(order(tmp_path, table)).seam_checks
    assert (check.this_mm, check.that_mm) == pytest.approx((this_mm, that_mm), abs=0.01)
    assert check.ok is ok


def test_what_is_compared_wrongly_is_all_told(tmp_path: Path) -> None:
    text = seam('"frnt: side"', '"back: side"') + seam('"front: hem"', '"side"')
    told = faults(tmp_path, text)
    assert len(told) == 3
    assert (
        "seam, number 1: this: 'frnt: side' names no ready piece of this order. "
        'Did you mean "front"' in told[0]
    )
    assert "seam, number 2: this: front has no seam called 'hem'. It has side, waist." in told[1]
    assert "seam, number 2: that: 'side' names no ready piece" in told[2]


@pytest.mark.parametrize(
    ("seams", "said"),
    [
        ('"side 2-3"', "'side 2-3' has no name and stretch"),
        ('"side: 2 to 3"', "'2 to 3' is not from one corner to another"),
        ('"side: 2-9"', "2-9 is no stretch of an outline of 4 corners"),
        ("3", "Seams are told by their corners"),
    ],
)
def test_seams_named_wrongly(tmp_path: Path, seams: str, said: str) -> None:
    text = f"""
[[piece]]
name = "cuff"
fabric = "lawn"
outline = [[0, 0], [10, 0], [10, 5], [0, 5]]
seams = {seams}
"""
    assert any(said in one for one in faults(tmp_path, text))


def test_a_seam_runs_along_its_curve(tmp_path: Path) -> None:
    text = """
[[piece]]
name = "yoke"
fabric = "lawn"
outline = [[0, 0], [20, 0], [17.3205, 10], [10, 17.3205], [0, 20]]
curves = "2-5"
seams = "hem: 2-5"
[[piece]]
name = "band"
fabric = "lawn"
outline = [[0, 0], [31.416, 0], [31.416, 4], [0, 4]]
seams = "hem: 1-2"
""" + seam('"yoke: hem"', '"band: hem"')
    (check,) = draft_order(order(tmp_path, text)).seam_checks
    # A quarter of a circle of 20 cm is 31.416 cm long.
    assert check.this_mm == pytest.approx(314.16, abs=0.5)
    assert check.ok
