"""The shelf in a browser: orders side by side, and nothing of them lost."""

from __future__ import annotations

import json
import os
import re
import signal
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

from tests.nesting.page.gallery import Gallery
from tests.nesting.page.house import House
from tests.nesting.page.layout_desk import asked, waited
from tests.nesting.page.small_order import SMALL

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    found = House(tmp_path_factory.mktemp("data") / "orders")
    yield found
    found.end()


@pytest.fixture(scope="module")
def page(house: House, browser: Browser) -> Iterator[Page]:
    """One page for all of the module."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    found = context.new_page()
    found.set_default_timeout(60_000)
    yield found
    context.close()


def wanted(text: str, name: str) -> str:
    return text.replace('"napkins"', f'"{name}"')


def begun(page: Page, house: House, name: str) -> str:
    """An order of that name, opened from a file; its address."""
    page.goto(house.address)
    text = wanted(SMALL, name)
    file = {"name": "order.toml", "mimeType": "application/toml", "buffer": text.encode()}
    page.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    # A program that has just begun takes its time.
    expect(page.get_by_label("order", exact=True)).to_have_value(name, timeout=60_000)
    kept(page)
    return page.url


def planned(page: Page, house: House, name: str) -> str:
    """An order of that name with a plan; its address."""
    place = begun(page, house, name)
    body = {"order": SMALL, "drawings": {}, "seconds": 5, "rounds": 1}
    body |= {"entry": place.rsplit("/", 1)[1]}
    waited(house.address, asked(house.address, "/api/jobs", body)["key"])
    return place


def kept(page: Page) -> None:
    expect(page.locator("body:not(.busy)")).to_have_count(1)
    expect(page.locator("#kept")).to_contain_text("Kept today")


def renamed(page: Page, name: str) -> None:
    field = page.get_by_label("order", exact=True)
    field.fill(name)
    field.press("Tab")
    expect(page.locator("#file-text")).to_have_value(re.compile(f'^name = "{name}"'))


def card(page: Page, name: str) -> Locator:
    return page.get_by_role("article", name=name, exact=True)


def names(page: Page, house: House) -> list[str]:
    page.goto(house.address)
    page.locator("#shelf-foot .hint").wait_for()
    return sorted(page.locator(".order-card h2").all_inner_texts())


def soon(route: Route) -> None:
    """A plan of a round, which the page itself never asks for."""
    body = json.loads(route.request.post_data or "")
    route.continue_(post_data=json.dumps(body | {"rounds": 1}))


def cleared(house: House) -> None:
    for order in asked(house.address, "/api/shelf")["orders"]:
        asked(house.address, f"/api/shelf/{order['key']}/erase", {})


def test_orders_stand_side_by_side_and_are_found(page: Page, house: House) -> None:
    cleared(house)
    for name in ("napkins", "aprons for Ada"):
        begun(page, house, name)
    assert names(page, house) == ["aprons for Ada", "napkins"]
    search = page.get_by_label("search by name, wearer or cloth")
    search.fill("linen ADA")
    expect(page.locator(".order-card")).to_have_count(1)
    search.fill("velvet")
    expect(page.locator("#none")).to_have_text("No order has these words.")
    search.fill("")
    expect(page.locator(".order-card")).to_have_count(2)
    card(page, "napkins").get_by_role("link", name="napkins").click()
    expect(page.get_by_label("order", exact=True)).to_have_value("napkins")


def test_a_copy_is_called_one_and_deleting_is_undone(page: Page, house: House) -> None:
    cleared(house)
    begun(page, house, "napkins")
    page.goto(house.address)
    page.get_by_role("button", name="Copy napkins", exact=True).click()
    copy = card(page, "napkins, copy")
    expect(copy).to_contain_text("saved today")
    page.get_by_role("button", name="Delete napkins, copy").click()
    expect(copy).to_have_count(0)
    page.locator("#said").get_by_role("button", name="Undo").click()
    expect(copy).to_have_count(1)
    page.get_by_role("button", name="Delete napkins, copy").click()
    expect(copy).to_have_count(0)
    page.keyboard.press("Control+z")
    expect(copy).to_have_count(1)
    page.get_by_role("button", name="Delete napkins, copy").click()
    page.reload()  # also after that
    page.locator(".deleted summary").click()
    page.get_by_role("button", name="Put back: napkins, copy").click()
    expect(copy).to_have_count(1)
    page.get_by_role("button", name="Delete napkins, copy").click()
    page.locator(".deleted summary").click()
    page.get_by_role("button", name="Erase for good: napkins, copy").click()
    expect(page.locator(".deleted")).to_have_count(0)


def test_a_plan_stands_under_its_order_and_opens_after_a_restart(page: Page, house: House) -> None:
    begun(page, house, "planned")
    page.route("**/api/jobs", soon)
    page.get_by_role("button", name="Plan", exact=True).click()
    page.locator("#lays .lay").first.wait_for()
    place = page.url
    house.end(signal.SIGKILL)
    house.start()
    page.goto(house.address)
    found = card(page, "planned")
    expect(found.locator("svg.marker .piece").first).to_be_visible()
    expect(found).to_contain_text("EUR")
    expect(found).to_contain_text("linen 0.80 m")
    found.locator("summary").click()
    found.get_by_role("listitem").get_by_role("link").click()
    assert page.url == place
    # It is a plan as before: pieces can be moved, other lays taken, drawings downloaded.
    page.locator(".board .part").first.wait_for()
    expect(page.locator("#lays .lay.chosen")).to_have_count(1)
    with page.expect_download() as download:
        page.get_by_role("link", name="Download all").click()
    assert download.value.suggested_filename == "planned.zip"
    page.get_by_role("link", name="Change the order").click()
    renamed(page, "planned anew")
    kept(page)
    page.goto(house.address)
    expect(card(page, "planned anew")).to_contain_text("changed since its last plan")


def test_another_browser_has_it_all_and_can_undo(
    page: Page, house: House, browser: Browser
) -> None:
    place = begun(page, house, "first")
    renamed(page, "second")
    kept(page)
    other = browser.new_context().new_page()
    other.goto(place)
    expect(other.get_by_label("order", exact=True)).to_have_value("second")
    other.get_by_role("button", name="Undo").click()
    expect(other.get_by_label("order", exact=True)).to_have_value("first")
    kept(other)
    # The one that was open before is told of it, and can have the later state.
    page.bring_to_front()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#elsewhere")).to_contain_text("was changed in another tab or browser")
    page.get_by_role("button", name="Show the later one").click()
    expect(page.get_by_label("order", exact=True)).to_have_value("first")
    expect(page.locator("#elsewhere")).to_be_hidden()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label("order", exact=True)).to_have_value("second")
    kept(page)
    other.context.close()


def test_of_two_tabs_that_change_an_order_both_are_kept(page: Page, house: House) -> None:
    place = begun(page, house, "both")
    other = page.context.new_page()
    other.goto(place)
    expect(other.get_by_label("order", exact=True)).to_have_value("both")
    renamed(page, "both, earlier")
    kept(page)
    renamed(other, "both, later")
    expect(other.locator("#elsewhere")).to_contain_text("Both are kept")
    kept(other)
    assert other.url != place
    other.close()
    assert {"both, earlier", "both, later"} <= set(names(page, house))
    expect(card(page, "both, later")).to_contain_text("Changed in two places at once.")
    card(page, "both, later").get_by_role("link", name="The other one").click()
    expect(page.get_by_label("order", exact=True)).to_have_value("both, earlier")


LOSE_SAVING = """
const real = window.fetch;
window.fetch = (path, how) => (/\\/api\\/shelf/.test(path) && how?.method === "POST"
    ? Promise.reject(new TypeError("lost on the way")) : real(path, how));
"""


def test_what_the_program_did_not_take_is_brought_when_it_runs_again(
    page: Page, house: House, browser: Browser
) -> None:
    place = begun(page, house, "taken")
    context = browser.new_context()
    other = context.new_page()
    other.add_init_script(LOSE_SAVING)
    other.goto(place)
    renamed(other, "left behind")
    expect(other.locator("#kept")).to_contain_text("Kept in this browser alone.")
    other.close()  # a laptop that is closed
    other = context.new_page()
    assert "left behind" in names(other, house)
    other.goto(place)
    expect(other.get_by_label("order", exact=True)).to_have_value("left behind")
    context.close()


def test_what_the_browser_kept_before_is_taken_over(
    page: Page, house: House, browser: Browser
) -> None:
    """As the release before kept it: one order, and the way back through it."""
    context = browser.new_context()
    old = context.new_page()
    old.goto(house.address)
    state = {"order": wanted(SMALL, "from before"), "drawings": {}, "revision": "17-0.25"}
    past = [{"order": wanted(SMALL, "long before"), "drawings": []}]
    way = {"revision": "17-0.25", "past": past, "future": [], "contents": []}
    for name, value in (("metrage-order", state), ("metrage-order-past", way)):
        old.evaluate(
            "([name, value]) => localStorage.setItem(name, value)", [name, json.dumps(value)]
        )
    old.reload()
    card(old, "from before").get_by_role("link", name="from before").click()
    expect(old.get_by_label("order", exact=True)).to_have_value("from before")
    old.get_by_role("button", name="Undo").click()
    expect(old.get_by_label("order", exact=True)).to_have_value("long before")
    assert old.evaluate("localStorage.getItem('metrage-order')") is None
    context.close()


def test_the_example_goes_on_the_shelf_once_it_is_changed(page: Page, house: House) -> None:
    page.goto(house.address)
    page.get_by_role("button", name="A new order").click()
    expect(page.locator("#kept")).to_have_text("Kept once you change it.")
    page.reload()
    expect(page.get_by_label("order", exact=True)).to_have_value("new order")
    assert "new order" not in names(page, house)
    page.go_back()
    page.get_by_role("button", name="Add a cloth").click()
    kept(page)
    assert "new order" in names(page, house)


def test_all_orders_go_through_one_file(page: Page, house: House, tmp_path: Path) -> None:
    planned(page, house, "packed")
    begun(page, house, "packed too")
    there = names(page, house)
    with page.expect_download() as download:
        page.get_by_role("link", name="All orders as one file").click()
    file = tmp_path / "orders.zip"
    download.value.save_as(file)
    cleared(house)
    assert names(page, house) == []
    expect(page.get_by_role("heading", name="What is to be cut?")).to_be_visible()
    bring = page.get_by_label("Bring orders from such a file")
    bring.set_input_files(file)
    expect(page.locator("#said")).to_contain_text(
        f"{len(there)} orders were brought from orders.zip"
    )
    assert names(page, house) == there
    expect(card(page, "packed").locator("svg.marker .piece").first).to_be_visible()
    (tmp_path / "letter.zip").write_text("Dear aunt")
    page.get_by_label("Bring orders from such a file").set_input_files(tmp_path / "letter.zip")
    expect(page.locator("#wait")).to_contain_text(
        "This file is no export of orders, or is damaged."
    )
    assert names(page, house) == there


def test_a_foreign_file_is_told_and_orders_stay_in_the_browser(
    page: Page, house: House, browser: Browser
) -> None:
    book = house.data / "orders.shelf"
    moved = book.with_suffix(".moved")
    os.replace(book, moved)
    book.write_text("Dear aunt, " * 400)
    context = browser.new_context()
    other = context.new_page()
    other.goto(house.address)
    expect(other.locator("#shelf-fault")).to_contain_text(
        "This file is not a shelf of orders, and was left as it is."
    )
    file = {"name": "o.toml", "mimeType": "application/toml", "buffer": SMALL.encode()}
    other.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    expect(other.locator("#kept")).to_contain_text("Kept in this browser alone.")
    other.goto(house.address)
    expect(card(other, "napkins")).to_contain_text("in this browser alone")
    assert book.read_text() == "Dear aunt, " * 400
    os.replace(moved, book)
    other.reload()
    expect(card(other, "napkins").first).to_contain_text("saved today")
    context.close()


@pytest.mark.parametrize(
    ("path", "body", "status"),
    [
        ("/api/shelf/a b", {}, 404),
        ("/api/shelf/" + "a" * 41, {}, 404),
        ("/api/shelf/a", {"name": 7}, 400),
        ("/api/shelf/a", {"name": "", "order": "", "way": "", "drawings": [], "about": []}, 400),
        ("/api/shelf/bring/a", {"part": "not base64!", "last": True}, 400),
        ("/api/shelf/bring/a", {"part": 7}, 400),
        ("/api/shelf/bring/b", {"part": "", "last": True}, 422),
    ],
)
def test_what_no_page_of_ours_asks_is_refused(
    house: House, path: str, body: dict[str, object], status: int
) -> None:
    with pytest.raises(urllib.error.HTTPError) as caught:
        asked(house.address, path.replace(" ", "%20"), body)
    assert caught.value.code == status


def test_shelf_gallery(house: House, browser: Browser, gallery: Gallery) -> None:
    """Every state of the shelf as a picture."""
    size = {"width": gallery.width, "height": gallery.height}
    context = browser.new_context(viewport=size, color_scheme=gallery.scheme)  # type: ignore[arg-type]
    seen = context.new_page()
    cleared(house)
    name = "a name so long that no card of the shelf has it on one line"
    place = planned(seen, house, name)
    begun(seen, house, "without a plan")
    seen.goto(house.address)
    card(seen, name).locator("summary").click()
    gallery.show_whole(seen, "shelf")
    seen.locator(".order-acts").get_by_role("button", name="Delete").first.click()
    seen.locator(".said button").wait_for()
    seen.locator(".deleted summary").click()
    gallery.show_whole(seen, "shelf-deleted")
    seen.get_by_label("search by name, wearer or cloth").fill("velvet")
    gallery.show_whole(seen, "shelf-none")
    seen.goto(place)
    other = context.new_page()
    other.goto(place)
    expect(other.locator("#kept")).to_contain_text("Kept today")
    renamed(other, "changed elsewhere")
    kept(other)
    expect(seen.locator("#elsewhere")).to_be_visible()
    gallery.show_whole(seen, "order-elsewhere")
    context.close()


def test_the_shelf_needs_no_mouse_and_has_no_violation(
    page: Page, house: House, violations: Callable[[Page], list[str]]
) -> None:
    begun(page, house, "keys")
    page.goto(house.address)
    card(page, "keys").wait_for()
    assert violations(page) == []
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "keys":
            break
    page.keyboard.press("Enter")
    expect(page.get_by_label("order", exact=True)).to_have_value("keys")
