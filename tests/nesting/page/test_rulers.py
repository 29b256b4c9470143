"""The rulers beside a layout in the browser, against the places that the steps tell."""

from __future__ import annotations

import pytest

from tests.nesting.page.layout_desk import Opener, checked, planned

pytestmark = pytest.mark.long

ORDER = """
name = "mat"
units = "cm"
[fabric.lawn]
width = 60
selvedge = 2
lays = ["open"]
[[piece]]
name = "mat"
fabric = "lawn"
outline = [[0, 0], [40, 0], [40, 56], [0, 56]]
"""
SELVEDGE_MM = 20.0


def test_across_they_begin_at_the_edge_as_the_steps_do(opened: Opener, address: str) -> None:
    page = opened(f"/plan/{planned(address, ORDER)}")
    checked(page)
    left, _, wide, _ = map(float, (page.locator(".board").get_attribute("viewBox") or "").split())
    px = wide / page.locator(".board").evaluate("board => board.getBoundingClientRect().width")
    marks = page.locator(".rulers text").evaluate_all(
        "texts => texts.map((one) => [one.textContent, Number(one.getAttribute('x')), "
        "Number(one.getAttribute('y'))])"
    )
    across = {text: y + 3 * px for text, x, y in marks if x == pytest.approx(left + 3 * px)}
    # On the screen y runs down, and the selvedge's inside lies at 0.
    assert across["0"] == pytest.approx(SELVEDGE_MM, abs=0.01)
    assert across["20"] == pytest.approx(SELVEDGE_MM - 200, abs=0.01)
