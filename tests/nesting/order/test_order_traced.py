"""Pieces entered by points: curves through them, and lengths that were measured.

Areas and lengths are those of school geometry.
"""

from __future__ import annotations

import math

import pytest

from nesting.order.model import Order
from nesting.order.read import order_from_text
from pieces.errors import OrderFault
from pieces.geometry import area, bounds

HEAD = """
name = "traced"
units = "cm"
[fabric.lawn]
width = 150
[[piece]]
name = "yoke"
fabric = "lawn"
"""
ROUND = [(20 * math.cos(math.radians(d)), 20 * math.sin(math.radians(d))) for d in range(0, 91, 15)]
QUARTER = "outline = [[0, 0], " + ", ".join(f"[{x:.4f}, {y:.4f}]" for x, y in ROUND) + "]\n"
"""A quarter of a disc: corner 1 its middle, 2 to 8 on its edge, 20 cm away."""


def order(text: str) -> Order:
    return order_from_text(HEAD + text, "traced.toml")


def faults(text: str) -> list[str]:
    with pytest.raises(OrderFault) as refused:
        order(text)
    return [str(fault) for fault in refused.value.faults]


def test_a_curve_runs_through_its_corners() -> None:
    (straight,) = order(QUARTER).pieces
    (curved,) = order(QUARTER + 'curves = "2-8"\n').pieces
    disc = math.pi * 200**2 / 4
    triangles = 6 * 0.5 * 200**2 * math.sin(math.pi / 12)
    assert area(straight.outline) == pytest.approx(triangles, rel=1e-4)
    assert area(curved.outline) == pytest.approx(disc, rel=1e-3)
    # On a curve every point is as far from the middle; the corners themselves stay.
    assert bounds(curved.outline) == pytest.approx((0, 0, 200, 200), abs=0.2)


def test_what_is_curved_may_run_past_the_first_corner() -> None:
    points = [*ROUND[3:], (0.0, 0.0), *ROUND[:3]]
    outline = "outline = [" + ", ".join(f"[{x:.4f}, {y:.4f}]" for x, y in points) + "]\n"
    (piece,) = order(outline + 'curves = "6-4"\n').pieces
    assert area(piece.outline) == pytest.approx(math.pi * 200**2 / 4, rel=1e-3)


def test_measured_lengths_are_compared() -> None:
    exact = 20 * math.pi / 2
    told = QUARTER + f'curves = "2-8"\nmeasured = "2-8: {exact:.1f}; 1-2: 7 7/8 in; 8-1: 20"\n'
    assert order(told).findings == ()
    (found,) = order(told.replace(f"{exact:.1f}", "33")).findings
    assert found.code == "measured-differs"
    assert "from corner 2 to 8 its outline is 31.4 cm long, and 33 cm was measured" in found.message


@pytest.mark.parametrize(
    ("keys", "key", "said"),
    [
        ("curves = 5", "curves", "Curves are told by their corners"),
        ('curves = "neck"', "curves", "'neck' is not from one corner to another"),
        ('curves = "2-9"', "curves", "2-9 is no stretch of an outline of 8 corners"),
        ('curves = "2-2"', "curves", "2-2 is no stretch"),
        ('curves = "2-5, 4-7"', "curves", "Two curves share more than an end"),
        ("measured = 30", "measured", "What was measured is told by its corners"),
        ('measured = "2-5"', "measured", "'2-5' has no length"),
        ('measured = "2-5: long"', "measured", "'long' is not a length"),
        ('measured = "0-5: 30"', "measured", "0-5 is no stretch"),
    ],
)
def test_what_is_told_wrongly(keys: str, key: str, said: str) -> None:
    (fault,) = faults(QUARTER + keys + "\n")
    assert fault.startswith(f"traced.toml: yoke: {key}: ")
    assert said in fault
