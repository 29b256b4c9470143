"""Work and prices on the form, and the quote in the plan."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nesting.page.tasks.edits import edited
from tests.nesting.page.gallery import Gallery
from tests.nesting.page.layout_desk import Opener, asked, waited
from tests.nesting.page.small_order import SMALL

pytestmark = pytest.mark.long

QUOTED = SMALL.replace(
    "[[piece]]",
    '[costing]\nrate = 20\ntax = 10\nminutes = { sewing = 90 }\n\n[[piece]]\ngarment = "Dora"',
)


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context.new_page()
    context.close()


def order_of(page: Page) -> dict[str, Any]:
    expect(page.locator("body:not(.busy)")).to_have_count(1)
    return tomllib.loads(page.locator("#file-text").input_value())


def test_a_quote_is_asked_for_on_the_form(page: Page, address: str) -> None:
    page.goto(address)
    file = {"name": "o.toml", "mimeType": "application/toml", "buffer": SMALL.encode()}
    page.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    page.get_by_role("button", name="Add a quote").click()
    quote = page.get_by_role("article", name="Work and prices")
    for label, text in (("an hour of work costs", "18"), ("tax, %", "7"), ("sewing", "200")):
        quote.get_by_label(label, exact=True).fill(text)
        page.keyboard.press("Tab")
    line = quote.locator(".row-line")
    expect(line).to_have_text("18 an hour, 260 minutes a garment, tax 7 %")
    minutes = {"cutting": 60, "sewing": 200}
    assert order_of(page)["costing"] == {"rate": 18, "tax": 7, "minutes": minutes}
    quote.get_by_label("another stage, such as pressing").fill("pressing")
    quote.get_by_role("button", name="Add the stage").click()
    expect(line).to_contain_text("290 minutes")
    quote.get_by_role("button", name="Remove the stage cutting").click()
    expect(line).to_contain_text("230 minutes")
    quote.locator("summary", has_text="Works done before").click()
    quote.get_by_role("button", name="Add a work").click()
    expect(quote.get_by_label("hand work, minutes")).to_have_value("45")
    quote.get_by_label("linen").check()
    costing = order_of(page)["costing"]
    assert costing["done"] == [{"parts": 9, "minutes": {"hand work": 45}}]
    assert costing["brought"] == ["linen"]
    quote.get_by_label("an hour of work costs").fill("a lot")
    page.keyboard.press("Tab")
    expect(quote.locator(".fault:visible")).to_have_count(1)
    expect(page.locator("#fault-list")).to_contain_text("Work and prices, an hour of work costs")
    quote.get_by_role("button", name="Remove the quote").click()
    assert "costing" not in order_of(page)


def test_the_quote_stands_in_the_plan_and_is_downloaded(
    page: Page, address: str, violations: Callable[[Page], list[str]]
) -> None:
    """0.80 m of linen at 10 EUR and an hour and a half at 20 make 38; a tenth of it is tax."""
    body = {"order": QUOTED, "drawings": {}, "seconds": 5, "rounds": 1}
    key = waited(address, asked(address, "/api/jobs", body)["key"])
    page.goto(f"{address}/plan/{key}")
    quote = page.locator("#notes .quote")
    expect(quote.locator("summary").first).to_have_text("Dora: 41.80 EUR")
    expect(quote).to_contain_text("sewing, 90 minutes")
    expect(quote).to_contain_text("if you bring linen")
    expect(quote).to_contain_text("local rules and qualified people decide")
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Quote, to print").click()
    assert waiting.value.suggested_filename == "quote.pdf"
    page.evaluate("scrollTo(0, 0)")
    assert violations(page) == []


def test_a_cloth_that_is_renamed_is_renamed_where_the_client_brings_it() -> None:
    text = '[fabric.linen]\nwidth = 5\n[costing]\nbrought = ["linen"]\n'
    edit = {"do": "rename", "path": ["fabric", "linen"], "value": "voile"}
    assert tomllib.loads(edited(text, [edit]))["costing"]["brought"] == ["voile"]


def test_minutes_are_no_lengths() -> None:
    text = 'units = "cm"\n[costing]\nrate = 18\nminutes = { sewing = 60 }\ncutter = { fold = 4 }\n'
    made = tomllib.loads(edited(text, [{"do": "units", "value": "in"}]))
    assert made["costing"] == tomllib.loads(text)["costing"]
    assert re.search(r"^rate = 18$", edited(text, [{"do": "units", "value": "in"}]), re.MULTILINE)


def test_quote_gallery(opened: Opener, address: str, gallery: Gallery) -> None:
    """The fields and the quote as pictures."""
    seen = opened(**gallery.how)
    file = {"name": "o.toml", "mimeType": "application/toml", "buffer": QUOTED.encode()}
    seen.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    card = seen.get_by_role("article", name="Work and prices")
    card.locator("summary").first.click()
    card.evaluate("one => one.scrollIntoView()")
    gallery.show_whole(seen, "quote-fields")
    body = {"order": QUOTED, "drawings": {}, "seconds": 5, "rounds": 1}
    seen.goto(f"{address}/plan/{waited(address, asked(address, '/api/jobs', body)['key'])}")
    quote = seen.locator("#notes .quote")
    quote.locator("summary").first.wait_for()
    quote.evaluate("one => one.scrollIntoView()")
    gallery.show_whole(seen, "quote")
