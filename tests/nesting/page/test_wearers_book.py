"""Measures that the page takes from the book of wearers, and keeps there."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from nesting.books.folder import data_folder
from nesting.page.tasks.reading import look
from nesting.wearers.book import wearer
from tests.nesting.page.test_kept import ODD

pytestmark = pytest.mark.long

BOOK = "wearers.book"


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context.new_page()
    context.close()
    (data_folder() / BOOK).unlink(missing_ok=True)  # other tests have nobody in it


def test_measures_go_into_the_book_and_come_from_it(page: Page, address: str) -> None:
    page.goto(address)
    file = {"name": "o.toml", "mimeType": "application/toml", "buffer": ODD.encode()}
    page.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    ada = page.get_by_role("article", name="Ada", exact=True)
    ada.locator("summary").first.click()
    ada.get_by_role("button", name="Keep these measures in the book").click()
    expect(ada.locator(".from-book")).to_contain_text(f"The measures of Ada are in {BOOK}")
    assert wearer(data_folder() / BOOK, "Ada").latest["chest"][0] == 550
    # She comes back with them, whatever her order said.
    ada.get_by_label("measures from the book").select_option("Ada")
    waist = ada.get_by_label("3 waist")
    waist.fill("")
    page.keyboard.press("Tab")
    expect(ada.locator(".table-value", has_text="60 cm, book")).to_be_visible()
    expect(ada.locator(".row-line")).to_contain_text("measures from the book")
    expect(page.locator("#status")).to_contain_text("to cut.")
    order = tomllib.loads(page.locator("#file-text").input_value())
    assert (order["wearers"], order["garment"][0]["wearer"]) == (BOOK, "Ada")
    assert "waist" not in order["garment"][0]["body"]
    ada.get_by_label("measures from the book").select_option("")
    expect(page.locator("#file-text")).not_to_have_value(ODD)
    expect(page.locator("body:not(.busy)")).to_have_count(1)
    assert "wearer" not in tomllib.loads(page.locator("#file-text").input_value())["garment"][0]


@pytest.mark.parametrize("name", ["../clients.book", "/etc/passwd", "sub/clients.book", ".."])
def test_a_book_is_opened_in_its_folder_alone(name: str, tmp_path: Path) -> None:
    order = f'wearers = "{name}"\n' + ODD.replace('name = "Ada"', 'name = "Ada"\nwearer = "Ada"')
    faults = look({"order": order}, None)["faults"]  # type: ignore[arg-type]
    (fault,) = [one for one in faults if one["key"] == "wearers"]
    assert "alone" in fault["message"]
