"""Words that are being typed while an answer is on its way are not written over."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.nesting.page.small_order import SMALL
from tests.nesting.page.test_kept import Held, Opener
from tests.nesting.page.test_page import settled, wearer, with_order


@pytest.mark.long
def test_who_types_faster_than_the_program_answers_loses_nothing(opened: Opener) -> None:
    page = with_order(opened, SMALL)
    linen = wearer(page, "linen")
    held = Held(page, "/api/look")
    linen.get_by_label("width", exact=True).fill("60")
    page.keyboard.press("Tab")
    linen.get_by_label("price", exact=True).fill("12.50")
    held.let_go()
    settled(page)
    expect(linen.get_by_label("price", exact=True)).to_have_value("12.50")
    page.keyboard.press("Tab")
    settled(page)
    text = page.locator("#file-text").input_value()
    assert "width = 60" in text
    assert "price = 12.5" in text


@pytest.mark.long
def test_words_stay_while_the_form_is_built_anew(opened: Opener) -> None:
    page = with_order(opened, SMALL)
    linen = wearer(page, "linen")
    held = Held(page, "/api/look")
    page.get_by_role("button", name="Add a notion").click()
    linen.get_by_label("price", exact=True).fill("12.50")
    held.let_go()
    page.get_by_role("article", name="ribbon").wait_for()
    expect(linen.get_by_label("price", exact=True)).to_have_value("12.50")
    expect(linen.get_by_label("price", exact=True)).to_be_focused()
