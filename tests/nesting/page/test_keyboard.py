"""From opening to the downloaded drawings without a mouse."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

MOST_TABS = 40


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    found = context.new_page()
    found.set_default_timeout(60_000)
    yield found
    context.close()


def tabbed(page: Page, words: str, most: int = 200) -> int:
    """How many Tabs it takes to what is called so."""
    for count in range(1, most + 1):
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.innerText || document.activeElement.title || ''")
        if words in at:
            return count
    raise AssertionError(f"{words} is not reached in {most} Tabs")


@pytest.mark.long
def test_from_opening_to_the_drawings_by_keys_alone(page: Page, address: str) -> None:
    page.goto(address)
    tabs = tabbed(page, "The example")
    page.keyboard.press("Enter")
    expect(page.locator("#status")).to_have_text("59 pieces to cut.")
    tabs += tabbed(page, "Plan")
    assert tabs < MOST_TABS
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Home")  # 10 seconds
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.locator(".cloth-card .marker").first.wait_for()
    tabbed(page, "Stop here: good enough")
    page.keyboard.press("Enter")
    page.locator(".downloads").wait_for()
    tabs = tabbed(page, "Download all")
    with page.expect_download() as waited:
        page.keyboard.press("Enter")
    assert waited.value.suggested_filename == "choir-dresses.zip"
    assert tabs < 100
