"""A fold that ends opened out: its layout is seen, and stays as it is."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from layout_desk import Opener, drag, part, place, planned
from playwright.sync_api import Page

# On the fold the two odd fronts would leave a spare each; opened out they lie side by side.
ORDER = """
name = "wraps"
units = "cm"
[fabric.lawn]
width = 100
lays = ["lengthwise-fold"]
[[piece]]
name = "sleeve"
fabric = "lawn"
outline = [[0, 0], [40, 0], [30, 50], [0, 48]]
pair = true
[[piece]]
name = "wrap"
fabric = "lawn"
outline = [[0, 0], [40, 0], [38, 48], [0, 45]]
[[piece]]
name = "under wrap"
fabric = "lawn"
outline = [[0, 0], [40, 0], [36, 48], [0, 44]]
"""


@pytest.fixture
def desk(opened: Opener, address: str) -> Page:
    page = opened(f"/plan/{planned(address, ORDER)}")
    page.locator(".board .part").first.wait_for()
    return page


def test_pieces_are_shown_with_their_section_and_stay(
    desk: Page, violations: Callable[[Page], list[str]]
) -> None:
    assert desk.get_by_text("the pieces stay where they are").is_visible()
    assert not desk.get_by_role("button", name="Keep this layout").is_visible()
    assert desk.get_by_role("link", name="DXF, true size").is_visible()
    wrap = part(desk, "wrap")
    start = place(wrap)
    assert start[0] >= 400
    drag(desk, wrap, -60, 0)
    desk.mouse.up()
    desk.keyboard.press("r")
    desk.keyboard.press("ArrowLeft")
    assert place(wrap) == start
    assert violations(desk) == []


def test_the_cut_view_says_where_to_open_the_cloth_out(opened: Opener, address: str) -> None:
    page = opened(f"/plan/{planned(address, ORDER)}/cut")
    page.locator(".cut-step").first.wait_for()
    steps = page.locator(".cut-step").all_inner_texts()
    opening = next(n for n, words in enumerate(steps) if "40 cm from the cut end: open" in words)
    assert "sleeve" in steps[opening - 1]
    assert "wrap" in steps[opening + 1]
