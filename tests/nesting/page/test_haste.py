"""Whoever is faster than the page's program, as on a busy machine, loses nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.nesting.page.layout_desk import Opener
from tests.nesting.page.test_fields import order_of
from tests.nesting.page.test_page import settled

pytestmark = pytest.mark.long

_SLOWLY = """() => {
    const [now, at_once] = [window.fetch, window.setTimeout];
    window.fetch = async (...asked) => {
        if (String(asked[0]).includes("/api/look")) await new Promise((go) => at_once(go, 400));
        return now(...asked);
    };
}"""


@pytest.fixture
def slow(opened: Opener) -> Iterator[Page]:
    """A new order, whose every reading takes long."""
    page = opened(locale="en-GB")
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").wait_for()
    settled(page)
    page.evaluate(_SLOWLY)
    return page


def add(page: Page, what: str, times: int = 1) -> None:
    for _ in range(times):
        page.get_by_role("button", name=f"Add a {what}", exact=True).click()


def unfolded(page: Page, name: str) -> Locator:
    card = page.get_by_role("article", name=name, exact=True)
    if card.locator("details.folds:not([open])").count():
        card.locator(".row-name").click()
    return card


def read(page: Page) -> dict[str, Any]:
    settled(page)
    return order_of(page)


def test_a_piece_lies_in_the_cloth_added_just_before_it(slow: Page) -> None:
    add(slow, "cloth")
    add(slow, "piece by its corners", 2)
    assert [(one["name"], one["fabric"]) for one in read(slow)["piece"]] == [
        ("piece 1", "cloth 1"),
        ("piece 2", "cloth 1"),
    ]


def test_two_that_are_added_at_once_have_names_of_their_own(slow: Page) -> None:
    add(slow, "cloth", 2)
    add(slow, "wearer", 2)
    order = read(slow)
    assert list(order["fabric"]) == ["cloth 1", "cloth 2"]
    assert [one["name"] for one in order["garment"]] == ["wearer 1", "wearer 2"]
    unfolded(slow, "wearer 1").get_by_role("button", name="Copy wearer 1").dblclick()
    assert [one["name"] for one in read(slow)["garment"]] == [
        "wearer 1",
        "wearer 1 3",
        "wearer 1 2",
        "wearer 2",
    ]


def test_a_second_click_removes_no_second_wearer(slow: Page) -> None:
    add(slow, "wearer", 3)
    settled(slow)
    unfolded(slow, "wearer 1").get_by_role("button", name="Remove wearer 1").dblclick()
    assert [one["name"] for one in read(slow)["garment"]] == ["wearer 2", "wearer 3"]


def test_what_is_typed_belongs_to_whom_it_was_typed_for(slow: Page) -> None:
    add(slow, "wearer", 2)
    settled(slow)
    remove = unfolded(slow, "wearer 1").get_by_role("button", name="Remove wearer 1")
    waist = unfolded(slow, "wearer 2").get_by_label("waist").first
    remove.click()
    waist.fill("51")
    slow.keyboard.press("Tab")
    (left,) = read(slow)["garment"]
    assert (left["name"], left["body"]) == ("wearer 2", {"waist": 51})


def test_a_width_goes_with_a_cloth_that_gets_another_name(slow: Page) -> None:
    add(slow, "cloth")
    settled(slow)
    cloth = slow.get_by_role("article", name="cloth 1", exact=True)
    cloth.get_by_label("cloth", exact=True).fill("satin")
    slow.keyboard.press("Tab")
    cloth.get_by_label("width", exact=True).first.fill("112")
    slow.keyboard.press("Tab")
    assert read(slow)["fabric"] == {"satin": {"width": 112}}


def test_a_value_is_taken_back_before_it_was_read(slow: Page) -> None:
    allowance = slow.get_by_label("seam allowance").first
    for text in ("2", ""):
        allowance.fill(text)
        slow.keyboard.press("Tab")
    assert "seam_allowance" not in read(slow)


def test_two_boxes_ticked_one_after_the_other_are_both_ticked(slow: Page) -> None:
    add(slow, "cloth")
    settled(slow)
    cloth = slow.get_by_role("article", name="cloth 1", exact=True)
    cloth.get_by_text("Shrinkage, print, flaws").click()
    boxes = cloth.get_by_role("group", name="Ways it may lie").get_by_role("checkbox")
    boxes.nth(0).uncheck()
    boxes.nth(1).uncheck()
    assert len(read(slow)["fabric"]["cloth 1"]["lays"]) == boxes.count() - 2


def test_words_half_typed_outlive_a_form_built_anew(slow: Page) -> None:
    add(slow, "cloth")
    settled(slow)
    cloth = slow.get_by_role("article", name="cloth 1", exact=True)
    add(slow, "wearer")
    width = cloth.get_by_label("width", exact=True).first
    width.fill("13")
    settled(slow)  # and so the wearer's card is there
    slow.get_by_role("article", name="wearer 1", exact=True).wait_for()
    assert read(slow)["fabric"]["cloth 1"]["width"] == 140  # nothing half typed is a change
    expect(width).to_be_focused()
    expect(width).to_have_value("13")
    slow.keyboard.press("Tab")
    assert read(slow)["fabric"]["cloth 1"]["width"] == 13
