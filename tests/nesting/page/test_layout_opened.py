"""A fold that ends opened out: pieces move on their own part of the cloth, or change over."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from pieces.units import Unit, format_needed
from tests.nesting.page.layout_desk import Opener, checked, drag, part, place, planned

pytestmark = pytest.mark.long

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


@pytest.fixture(scope="module")
def job(address: str) -> str:
    return planned(address, ORDER)


@pytest.fixture
def desk(opened: Opener, job: str) -> Page:
    """The plan's page; what a test moves there is gone when it is closed, but for what it keeps."""
    page = opened(f"/plan/{job}")
    checked(page)
    return page


def across(page: Page) -> tuple[float, float]:
    """Where the opened-out part begins: along the table, and across."""
    text = page.locator(".board-parts").nth(1).get_attribute("transform") or ""
    x, y = text.removeprefix("translate(").removesuffix(")").split(",")
    return float(x), float(y)


def test_the_section_moves_along_as_the_folded_part_gets_longer(
    desk: Page, violations: Callable[[Page], list[str]]
) -> None:
    assert across(desk) == pytest.approx((400, -500))
    wrap, sleeve = part(desk, "wrap"), part(desk, "sleeve")
    start = place(wrap)
    drag(desk, sleeve, 60, 0)
    desk.mouse.up()
    desk.get_by_text("Checked: this can be cut").wait_for()
    opening, _ = across(desk)
    assert opening > 420
    assert place(wrap) == start  # on its own part of the cloth
    expect(desk.locator(".desk-figures strong")).to_have_text(format_needed(opening + 400, Unit.CM))
    drag(desk, wrap, -200, 0)  # not before the line
    desk.locator(".verdict").get_by_text("takes the piece there").wait_for()
    desk.mouse.up()
    assert place(wrap)[0] == pytest.approx(0, abs=0.01)
    assert violations(desk) == []


def test_a_piece_changes_over_is_undone_and_kept(opened: Opener, address: str) -> None:
    desk = opened(f"/plan/{planned(address, ORDER)}")
    checked(desk)
    part(desk, "wrap").click(force=True)
    desk.get_by_role("button", name="Cut it on the fold").click()
    desk.locator(".part-list").get_by_text("two layers give 1 and 1 spare").wait_for()
    desk.get_by_text("Checked: this can be cut").wait_for()
    assert across(desk)[0] > 780
    assert desk.get_by_role("button", name="Cut it opened out").is_enabled()
    desk.get_by_role("button", name="Undo").click()
    desk.get_by_text("Checked: this can be cut").wait_for()
    assert across(desk)[0] == pytest.approx(400)
    desk.get_by_role("button", name="Redo").click()
    desk.get_by_text("Checked: this can be cut").wait_for()
    desk.get_by_role("button", name="Keep this layout").click()
    desk.locator("#layout[aria-busy=true]").wait_for()
    desk.locator("#layout[aria-busy=false]").wait_for()
    desk.reload()
    checked(desk)
    assert across(desk)[0] > 780


def test_why_a_piece_can_not_change_over_is_told(desk: Page) -> None:
    part(desk, "sleeve").click(force=True)
    desk.locator(".board").press("o")
    desk.locator(".verdict").get_by_text("would leave nothing in the other part").wait_for()


def test_the_rest_is_finished_round_a_pin_past_the_line(opened: Opener, address: str) -> None:
    desk = opened(f"/plan/{planned(address, ORDER)}")
    checked(desk)
    wrap = part(desk, "wrap")
    drag(desk, wrap, 60, 0)
    desk.mouse.up()
    desk.get_by_text("Checked: this can be cut").wait_for()
    held = place(wrap)
    desk.get_by_role("button", name="Pin", exact=True).click()
    desk.get_by_role("button", name="Finish round the pins").click()
    desk.locator("#layout[aria-busy=true]").wait_for()
    desk.locator("#layout[aria-busy=false]").wait_for()
    checked(desk)
    assert place(part(desk, "wrap")) == pytest.approx(held, abs=0.01)
    assert across(desk)[0] == pytest.approx(400, abs=0.01)


def test_the_cut_view_says_where_to_open_the_cloth_out(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}/cut")
    page.locator(".cut-step").first.wait_for()
    steps = page.locator(".cut-step").all_inner_texts()
    opening = next(n for n, words in enumerate(steps) if "40 cm from the cut end: open" in words)
    assert "sleeve" in steps[opening - 1]
    assert "wrap" in steps[opening + 1]
