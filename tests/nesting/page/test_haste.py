"""Whoever is faster than the page's program, as on a busy machine, loses nothing."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.nesting.page.layout_desk import Opener
from tests.nesting.page.test_fields import order_of
from tests.nesting.page.test_kept import Held
from tests.nesting.page.test_page import settled

pytestmark = pytest.mark.long


@pytest.fixture
def order(opened: Opener) -> Page:
    page = opened(locale="en-GB")
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").wait_for()
    settled(page)
    return page


def add(page: Page, what: str, times: int = 1) -> None:
    for _ in range(times):
        page.get_by_role("button", name=f"Add a {what}", exact=True).click()


def unfolded(page: Page, name: str) -> Locator:
    card = page.get_by_role("article", name=name, exact=True)
    if card.locator("details.folds:not([open])").count():
        card.locator(".row-name").click()
    return card


def busy(page: Page) -> Held:
    """From here on nothing is answered until it is `read`."""
    return Held(page, "/api/look")


def read(page: Page, held: Held) -> dict[str, Any]:
    held.let_go()
    settled(page)
    return order_of(page)


def test_a_piece_lies_in_the_cloth_added_just_before_it(order: Page) -> None:
    held = busy(order)
    add(order, "cloth")
    add(order, "piece by its corners", 2)
    assert [(one["name"], one["fabric"]) for one in read(order, held)["piece"]] == [
        ("piece 1", "cloth 1"),
        ("piece 2", "cloth 1"),
    ]


def test_two_that_are_added_at_once_have_names_of_their_own(order: Page) -> None:
    held = busy(order)
    add(order, "cloth", 2)
    add(order, "wearer", 2)
    made = read(order, held)
    assert list(made["fabric"]) == ["cloth 1", "cloth 2"]
    assert [one["name"] for one in made["garment"]] == ["wearer 1", "wearer 2"]
    held = busy(order)
    unfolded(order, "wearer 1").get_by_role("button", name="Copy wearer 1").dblclick()
    assert [one["name"] for one in read(order, held)["garment"]] == [
        "wearer 1",
        "wearer 1 3",
        "wearer 1 2",
        "wearer 2",
    ]


def test_a_second_click_removes_no_second_wearer(order: Page) -> None:
    add(order, "wearer", 3)
    settled(order)
    held = busy(order)
    unfolded(order, "wearer 1").get_by_role("button", name="Remove wearer 1").dblclick()
    assert [one["name"] for one in read(order, held)["garment"]] == ["wearer 2", "wearer 3"]


def test_what_is_typed_belongs_to_whom_it_was_typed_for(order: Page) -> None:
    add(order, "wearer", 2)
    settled(order)
    remove = unfolded(order, "wearer 1").get_by_role("button", name="Remove wearer 1")
    waist = unfolded(order, "wearer 2").get_by_label("waist").first
    held = busy(order)
    remove.click()
    waist.fill("51")
    order.keyboard.press("Tab")
    (left,) = read(order, held)["garment"]
    assert (left["name"], left["body"]) == ("wearer 2", {"waist": 51})


def test_a_width_goes_with_a_cloth_that_gets_another_name(order: Page) -> None:
    add(order, "cloth")
    settled(order)
    cloth = order.get_by_role("article", name="cloth 1", exact=True)
    held = busy(order)
    cloth.get_by_label("cloth", exact=True).fill("satin")
    order.keyboard.press("Tab")
    cloth.get_by_label("width", exact=True).first.fill("112")
    order.keyboard.press("Tab")
    assert read(order, held)["fabric"] == {"satin": {"width": 112}}


def test_a_value_is_taken_back_before_it_was_read(order: Page) -> None:
    add(order, "cloth")
    settled(order)
    selvedge = order.get_by_label("selvedge", exact=True).first
    held = busy(order)
    for text in ("2", ""):
        selvedge.fill(text)
        order.keyboard.press("Tab")
    assert "selvedge" not in read(order, held)["fabric"]["cloth 1"]


def test_two_boxes_ticked_one_after_the_other_are_both_ticked(order: Page) -> None:
    add(order, "cloth")
    settled(order)
    cloth = order.get_by_role("article", name="cloth 1", exact=True)
    cloth.get_by_text("Shrinkage, print, flaws").click()
    boxes = cloth.get_by_role("group", name="Ways it may lie").get_by_role("checkbox")
    held = busy(order)
    boxes.nth(0).uncheck()
    boxes.nth(1).uncheck()
    assert len(read(order, held)["fabric"]["cloth 1"]["lays"]) == boxes.count() - 2


def test_words_half_typed_outlive_a_form_built_anew(order: Page) -> None:
    add(order, "cloth")
    settled(order)
    cloth = order.get_by_role("article", name="cloth 1", exact=True)
    held = busy(order)
    add(order, "wearer")
    width = cloth.get_by_label("width", exact=True).first
    width.fill("13")
    made = read(order, held)
    order.get_by_role("article", name="wearer 1", exact=True).wait_for()
    assert made["fabric"]["cloth 1"]["width"] == 140  # nothing half typed is a change
    expect(width).to_be_focused()
    expect(width).to_have_value("13")
    order.keyboard.press("Tab")
    settled(order)
    assert order_of(order)["fabric"]["cloth 1"]["width"] == 13


def test_a_click_is_not_lost_where_the_form_is_built_anew_under_it(order: Page) -> None:
    add(order, "cloth")
    settled(order)
    more = unfolded(order, "cloth 1").locator("details[data-key]:not(.folds)").first
    held = busy(order)
    add(order, "wearer")
    box = more.locator("summary").first.bounding_box()
    assert box is not None
    order.mouse.move(box["x"] + 20, box["y"] + box["height"] / 2)
    order.mouse.down()
    held.let_go()
    order.wait_for_timeout(1000)
    order.mouse.up()
    expect(order.get_by_role("article", name="wearer 1", exact=True)).to_be_visible()
    expect(more).to_have_attribute("open", "")
