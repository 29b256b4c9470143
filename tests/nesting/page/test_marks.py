"""Folds, grain, notches and seams set on the picture of a piece, by mouse, finger and key."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nesting.page.tasks.made.marks import corners
from pieces.errors import OrderFault
from tests.nesting.page.test_paper import CHANNEL, packed

pytestmark = pytest.mark.long

PICTURES = os.environ.get("PAGE_PICTURES", "")
"""A folder for pictures of the page, to be looked at."""
ORDER = """
units = "cm"

[fabric.lawn]
width = 112

[[piece]]
file = "cuff.svg"
fabric = "lawn"
"""
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="90mm" viewBox="0 0 300 90">'
    '<path id="cuff" d="M0 60H80V0H0Z"/><circle id="round" cx="200" cy="40" r="30"/></svg>'
)
"""Corners of the cuff from 1: lower left, lower right, upper right, upper left."""


def asked(marks: str = "", **more: object) -> dict[str, Any]:
    order = ORDER + (f"marks = {marks}\n" if marks else "")
    drawings = {"cuff.svg": packed(DRAWING.encode())}
    return corners({"order": order, "drawings": drawings, "path": ["piece", 0], **more}, CHANNEL)


def test_the_worker_tells_corners_and_edges_as_they_are_drawn() -> None:
    found = asked('["cuff: move 3 by 5 mm, 2 mm", "cuff: fold 1-2", "cuff fold"]')
    # A text that can't be read stops none of the others from being shown, and is told.
    assert [one and one["kind"] for one in found["told"]] == ["move", "fold", None]
    cuff = asked('["cuff: move 3 by 5 mm, 2 mm", "cuff: fold 1-2"]')["pieces"][0]
    assert cuff["corners"] == [[0, 60], [80, 60], [85, -2], [0, 0]]
    assert cuff["fold"] == "M0.00 60.00L80.00 60.00"
    assert [one["ends"] for one in cuff["edges"]] == [[1, 2], [2, 3], [3, 4], [4, 1]]
    assert cuff["edges"][0]["mm"] == 80
    wrong = asked('["round: fold 1-2"]')
    assert "isn't straight" in wrong["wrong"][0]
    assert len(wrong["pieces"]) == 2
    with pytest.raises(OrderFault, match="no drawing in this place"):
        asked(path=["piece", 7])
    with pytest.raises(OrderFault, match="no drawing of this name"):
        asked(drawings={})


@pytest.fixture(scope="module")
def page(browser: Browser, address: str) -> Iterator[Page]:
    """One page for all, with a drawing in it."""
    context = browser.new_context(
        viewport={"width": 1280, "height": 900}, locale="en-GB", reduced_motion="reduce"
    )
    found = context.new_page()
    found.set_default_timeout(15_000)
    told: list[str] = []
    found.on("pageerror", lambda error: told.append(str(error)))
    found.on("console", lambda one: told.append(one.text) if one.type == "error" else None)
    found.goto(address)
    file = {"name": "a.toml", "mimeType": "application/toml", "buffer": ORDER.encode()}
    found.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    drawing = {"name": "cuff.svg", "mimeType": "image/svg+xml", "buffer": DRAWING.encode()}
    found.locator(".ready article input[type=file]").set_input_files(drawing)  # type: ignore[arg-type]
    found.get_by_text("Fold, grain, notches and seams on its picture").click()
    found.locator(".marking").wait_for()
    yield found
    context.close()
    assert not told


def marks(page: Page) -> list[str]:
    """The marks in the order, once the picture shows them."""
    expect(page.locator("body:not(.busy)")).to_have_count(1)
    page.locator(".marking-place:not([aria-busy]) .marking").wait_for()
    (piece,) = tomllib.loads(page.locator("#file-text").input_value())["piece"]
    return list(piece.get("marks", []))


def edge(page: Page, first: int, last: int) -> Locator:
    return page.get_by_role("button", name=f"cuff: edge from corner {first} to {last}")


def spot(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a place of the drawing, in mm and y downwards, is on the screen."""
    page.locator(".marking-place:not([aria-busy]) .marking").wait_for()
    at = page.evaluate(
        """([x, y]) => {
            const picture = document.querySelector(".marking");
            picture.scrollIntoView({ block: "center", behavior: "instant" });
            const at = new DOMPoint(x, y).matrixTransform(picture.getScreenCTM());
            return [at.x, at.y];
        }""",
        [x, y],
    )
    return at[0], at[1]


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    (ax, ay), (bx, by) = spot(page, *start), spot(page, *end)
    page.mouse.move(ax, ay)
    page.mouse.down()
    page.mouse.move((ax + bx) / 2, (ay + by) / 2)
    page.mouse.move(bx, by)
    page.mouse.up()


def tool(page: Page, name: str) -> None:
    page.get_by_role("group", name="What to set").get_by_label(name, exact=True).check()


def test_all_is_set_by_mouse(page: Page) -> None:
    tool(page, "fold")
    page.mouse.click(*spot(page, 0, 30))
    assert marks(page) == ["cuff: fold 4-1"]
    page.mouse.click(*spot(page, 40, 60))
    assert marks(page) == ["cuff: fold 1-2"]  # a piece has one fold that is told
    expect(page.locator(".marking .fold")).to_have_count(1)
    tool(page, "notch")
    page.mouse.click(*spot(page, 80, 20))
    expect(page.locator(".marking .notch")).to_have_count(1)
    notch = marks(page)[1]
    assert notch.startswith("cuff: notch 2-3 at ")
    assert float(notch.split()[-2]) == pytest.approx(4.0, abs=0.1)
    tool(page, "seam")
    page.mouse.click(*spot(page, 40, 0))
    expect(page.get_by_text("Name the seam first")).to_be_visible()
    page.get_by_label("name of the seam").fill("hem")
    page.mouse.click(*spot(page, 40, 0))
    expect(page.get_by_text("seam hem, 8 cm")).to_be_visible()
    tool(page, "thread line")
    drag(page, (20, 45), (50, 15))
    assert marks(page)[3] == "cuff: grain 45 degrees"
    tool(page, "move a corner")
    drag(page, (80, 0), (85, 2))
    moved = marks(page)[4].split()
    assert moved[:4] == ["cuff:", "move", "3", "by"]
    assert float(moved[4]) == pytest.approx(0.5, abs=0.1)
    assert float(moved[6]) == pytest.approx(-0.2, abs=0.1)
    tool(page, "bend an edge")
    drag(page, (82, 30), (92, 30))
    bent = marks(page)[5].split()
    assert bent[:4] == ["cuff:", "bend", "2-3", "by"]
    assert float(bent[4]) == pytest.approx(1.0, abs=0.1)
    if PICTURES:
        page.screenshot(path=f"{PICTURES}/marks.png", full_page=True)
    page.get_by_role("button", name="Undo").click()
    assert len(marks(page)) == 5
    while marks(page):
        page.get_by_role("button", name="Remove mark 1").click()
    expect(page.locator(".marking .notch")).to_have_count(0)


def test_keys_do_the_same(page: Page) -> None:
    tool(page, "fold")
    edge(page, 1, 2).focus()
    expect(page.locator("p.hint", has_text="corner 1 to 2, 8 cm")).to_be_visible()
    page.keyboard.press("Enter")
    assert marks(page) == ["cuff: fold 1-2"]
    # The form was built anew, and who works by keys is where they were.
    expect(edge(page, 1, 2)).to_be_focused()
    tool(page, "notch")
    edge(page, 2, 3).focus()
    page.keyboard.press(" ")
    assert marks(page)[1] == "cuff: notch 2-3 at 3 cm"
    words = page.get_by_label("mark 2", exact=True)
    words.fill("cuff: notch 2-3 at 1 1/2 in")
    page.keyboard.press("Tab")
    assert marks(page)[1] == "cuff: notch 2-3 at 1 1/2 in"
    tool(page, "move a corner")
    corner = page.get_by_role("button", name="cuff: corner 3", exact=True)
    corner.focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp", "Enter"):
        page.keyboard.press(key)
    assert marks(page)[2] == "cuff: move 3 by 0.2 cm, 0.5 cm"
    expect(corner).to_be_focused()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Escape")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    # One corner has one such mark, by all that it was moved.
    assert marks(page)[2:] == ["cuff: move 3 by 0.1 cm, 0.5 cm"]
    tool(page, "bend an edge")
    edge(page, 3, 4).focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert marks(page)[3] == "cuff: bend 3-4 by -0.1 cm"


def test_what_is_wrong_stands_at_its_mark(page: Page) -> None:
    words = page.get_by_label("mark 1", exact=True)
    words.fill("cuff: fold 1-9")
    page.keyboard.press("Tab")
    expect(page.locator(".fault", has_text="1-9 is no stretch of it").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    page.get_by_label("piece of the drawing").select_option("round")
    expect(page.get_by_role("group", name="round, its corners numbered")).to_be_visible()
    page.get_by_label("piece of the drawing").select_option("cuff")


def test_seams_of_a_drawing_are_compared_while_the_order_is_written(page: Page) -> None:
    while marks(page):
        page.get_by_role("button", name="Remove mark 1").click()
    page.get_by_text("Seams that must meet").click()
    page.get_by_role("button", name="Compare two seams").click()
    for label, words in (("this edge", "cuff: side"), ("that edge", "cuff: hem")):
        page.get_by_label(label).fill(words)
        page.keyboard.press("Tab")
    expect(page.locator(".fault", has_text="cuff has no seam called 'side'").first).to_be_visible()
    for name, ends in (("side", (2, 3)), ("hem", (1, 2))):
        tool(page, "seam")
        page.get_by_label("name of the seam").fill(name)
        edge(page, *ends).focus()
        page.keyboard.press("Enter")
        marks(page)
    expect(page.get_by_text("8 cm: 2 cm apart, and DOES NOT MEET.")).to_be_visible()
    assert page.locator("datalist option").evaluate_all("all => all.map((one) => one.value)") == [
        "cuff: side",
        "cuff: hem",
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_usable_on_a_phone_and_by_all(
    page: Page, violations: Callable[[Page], list[str]], scheme: str
) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.set_viewport_size({"width": 360, "height": 740})
    try:
        # An estimate of the order before the last change is dim until the next one is there.
        page.locator("#estimate:not([hidden]):not(.old)").wait_for(timeout=60_000)
        assert page.evaluate("document.documentElement.scrollWidth") == 360
        assert violations(page) == []
        if PICTURES:
            page.locator(".marking").scroll_into_view_if_needed()
            page.screenshot(path=f"{PICTURES}/marks-{scheme}.png", full_page=True)
    finally:
        page.set_viewport_size({"width": 1280, "height": 900})
        page.emulate_media(color_scheme="light")
