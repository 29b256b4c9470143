"""The curve of fullness as a picture."""

from __future__ import annotations

from nesting.fabric.plans import Purchase
from nesting.output.report.fullness import draw_fullness
from nesting.studies.fullness import By, Fullness, Step
from pieces.units import Unit


def test_names_with_signs_of_formulas_are_drawn_as_they_are() -> None:
    steps = tuple(
        Step(value, f"{value:g} times", 500.0, Purchase(500.0, "0.50 m", None, "", ()), True)
        for value in (1.0, 2.0)
    )
    found = Fullness(
        order="at $5_$",
        unit=Unit.CM,
        part="skirt",
        by=By.FULLNESS,
        circle=False,
        fabric=r"$\frac$",
        in_hand=(),
        steps=steps,
        largest=None,
        seconds=0.1,
        seed=1,
    )
    assert draw_fullness(found).startswith(b"\x89PNG")
