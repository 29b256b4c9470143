"""What the page keeps: orders through a hasty start, and through a program that is silent."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Route, expect

from tests.nesting.page.layout_desk import checked, planned
from tests.nesting.page.small_order import SMALL
from tests.nesting.page.test_page import enter, order_of, wearer, with_order

pytestmark = pytest.mark.long

Opener = Callable[..., Page]

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="130mm" '
    'viewBox="0 0 120 130"><path d="M0 0H120V130H0Z"/></svg>'
)
DROP = """([name, text]) => {
    const data = new DataTransfer();
    data.items.add(new File([text], name));
    const how = { dataTransfer: data, bubbles: true, cancelable: true };
    document.dispatchEvent(new DragEvent("drop", how));
}"""


class Held:
    """Requests to a path, which wait until they are let go."""

    def __init__(self, page: Page, path: str) -> None:
        self._page, self._waiting, self._open = page, list[Route](), False
        page.route(f"**{path}", lambda route: self._take(route))

    def _take(self, route: Route) -> None:
        if self._open:
            route.continue_()
        else:
            self._waiting.append(route)

    def let_go(self) -> None:
        """Let them go, and those that come later."""
        self._page.wait_for_timeout(300)
        self._open = True
        for route in self._waiting:
            route.continue_()


def test_a_new_order_during_loading_takes_no_orders_place(opened: Opener, address: str) -> None:
    page = with_order(opened, SMALL)
    held = Held(page, "/api/look")
    page.reload()
    place = page.url
    page.goto(address)
    page.get_by_role("button", name=re.compile("A new order")).click()
    held.let_go()
    expect(page.get_by_label("order", exact=True)).to_have_value("new order")
    page.goto(place)
    expect(page.get_by_label("order", exact=True)).to_have_value("napkins")


def test_a_file_dropped_during_loading_takes_no_orders_place(opened: Opener) -> None:
    page = with_order(opened, SMALL)
    held = Held(page, "/api/look")
    page.reload()
    place = page.url
    page.evaluate(DROP, ["other.toml", SMALL.replace("napkins", "towels")])
    held.let_go()
    page.get_by_role("button", name="Open it").click()
    expect(page.get_by_label("order", exact=True)).to_have_value("towels")
    page.goto(place)
    expect(page.get_by_label("order", exact=True)).to_have_value("napkins")


def test_a_drawing_dropped_during_loading_is_added_to_the_order(opened: Opener) -> None:
    page = with_order(opened, SMALL)
    held = Held(page, "/api/look")
    page.reload()
    page.evaluate(DROP, ["pocket.svg", DRAWING])
    held.let_go()
    expect(page.locator("#status")).to_have_text("5 pieces to cut.")
    assert order_of(page)["name"] == "napkins"


def test_what_is_no_order_takes_no_orders_place(opened: Opener) -> None:
    page = opened()
    page.evaluate(DROP, ["pocket.svg", DRAWING])
    expect(page.locator("#wait")).to_contain_text("Begin an order first")
    page = with_order(opened, SMALL)
    page.evaluate(DROP, ["photo.jpg", "\u0000\u0001"])
    expect(page.locator("#status")).to_contain_text("photo.jpg is no order")
    assert order_of(page)["name"] == "napkins"


LOSE = """
const real = window.fetch;
let lost = 0;
window.fetch = (path, how) => (/\\/api\\/jobs\\/[^/]+$/.test(path) && (lost += 1) < 4
    ? Promise.reject(new TypeError("lost on the way")) : real(path, how));
"""


def test_a_poll_that_is_lost_is_asked_again(opened: Opener, address: str) -> None:
    key = planned(address, SMALL)
    page = opened(fresh=True)
    page.add_init_script(LOSE)
    page.goto(f"{address}/plan/{key}")
    expect(page.locator(".going .told")).to_contain_text("does not answer")
    expect(page.locator(".going .told")).to_contain_text("Asking again.")
    page.locator("#lays .lay").first.wait_for(timeout=20_000)
    expect(page.locator(".cloth-card .marker")).to_have_count(1)
    checked(page)


ODD = """
name = "frock"
units = "cm"
[fabric.poplin]
width = 150
[fabric.velvet]
width = 150
nap = "one-way"
[[garment]]
name = "Ada"
body = { chest = 55, waist = 60, back_waist = 23, shoulder = 8, neck = 27 }
[[garment.part]]
draft = "bodice"
fabric = "poplin"
[[garment.part]]
draft = "flared skirt"
fabric = "velvet"
length = 40
"""
DOUBT = "a waist of 60 cm is much for a chest of 55 cm: measure both again."


def test_doubts_stand_at_their_field_and_in_the_plan(opened: Opener, address: str) -> None:
    page = with_order(opened, ODD)
    waist = wearer(page, "Ada").get_by_label("3 waist")
    field = wearer(page, "Ada").locator(".field", has=page.get_by_label("3 waist"))
    doubt = field.locator(".doubt")
    expect(doubt).to_have_text(f"Ada: {DOUBT}")
    page.locator("#worth summary").click()
    page.locator("#worth").get_by_role("button", name=DOUBT).click()
    expect(waist).to_be_focused()
    enter(wearer(page, "Ada").get_by_label("3 waist"), "52")
    expect(doubt).to_have_count(0)
    page.goto(f"{address}/plan/{planned(address, ODD)}")
    notes = page.locator("#notes")
    expect(notes.get_by_role("heading", name="Worth knowing")).to_be_visible()
    expect(notes).to_contain_text(DOUBT)
    expect(notes).to_contain_text("velvet was not tried on every lay. Double fold:")
    expect(notes).to_contain_text("Seams that must meet")
    notes.locator("summary", has_text="Seams that must meet").click()
    assert notes.locator("tbody tr").count() >= 2
    expect(notes.locator("tbody tr").first).to_contain_text("meets")


def test_notions_and_sewing_notes_stand_below_the_plan(opened: Opener, address: str) -> None:
    ribbon = '[[notion]]\nname = "ribbon"\nlength = "1.05 m"\nprice = 2\ncurrency = "EUR"\n'
    page = opened(f"/plan/{planned(address, ODD + ribbon)}")
    notes = page.locator("#notes")
    bought = notes.locator(".notions")
    expect(bought).to_contain_text("ribbon: 1.10 m (1 1/4 yd), 2.14 EUR")
    sewing = notes.locator(".sewing")
    expect(sewing.get_by_role("heading", name="How to sew it")).to_be_visible()
    sewing.locator("summary", has_text="Ada").click()
    expect(sewing).to_contain_text("In this order")
    expect(sewing.locator("ol li").first).to_be_visible()
    expect(page.get_by_role("link", name="Sewing notes, to print")).to_be_visible()


def test_a_notion_is_added_on_the_form(opened: Opener) -> None:
    page = with_order(opened, ODD)
    asked = page.locator(".notions .asked")
    expect(asked).to_contain_text("Ada: ")
    page.get_by_role("button", name="Add a notion").click()
    expect(asked).to_contain_text("Ada: ribbon, 102 cm")
    card = page.get_by_role("article", name="ribbon", exact=True)
    enter(card.get_by_label("price", exact=True), "2")
    expect(card.locator(".fault:visible")).to_contain_text("The price has no currency.")
    enter(card.get_by_label("currency"), "EUR")
    card.locator("details:not(.folds) > summary").click()
    enter(card.get_by_label("lengths sold"), "120; 150")
    expect(page.locator("#status")).to_contain_text("to cut.")
    assert "sizes = [120, 150]" in page.locator("#file-text").input_value()


def test_no_card_rounds_a_purchase_down(opened: Opener, address: str) -> None:
    """37.9 in is a yard to the nearest mark, and 403 mm is 0.40 m."""
    order = SMALL.replace('units = "cm"', 'units = "in"').replace("price = 10", "")
    order = order.replace('currency = "EUR"\nsold_by = "10 cm"', 'lays = ["open"]')
    order = re.sub(r"outline = .*", "outline = [[0, 0], [37.9, 0], [37.9, 20], [0, 20]]", order)
    order = order.replace("cut = 4", "cut = 2")
    page = opened(f"/plan/{planned(address, order)}")
    checked(page)
    asked = "1 1/8 yd"
    expect(page.locator(".cloth-card .lead")).to_have_text(f"buy{asked}")
    expect(page.locator("#lays .lay .lead").first).to_contain_text(f"buy {asked}")
    expect(page.locator(".desk-figures")).to_contain_text(f"37 15/16 in on the table; buy {asked}")


def test_the_notes_fit_a_phone(
    opened: Opener, address: str, violations: Callable[[Page], list[str]]
) -> None:
    page = opened(f"/plan/{planned(address, ODD)}", width=360, height=740)
    page.locator("#notes .sheet").first.wait_for()
    for summary in page.locator("#notes summary").all():
        summary.click()
    checked(page)
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    assert violations(page) == []
