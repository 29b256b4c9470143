"""The layout under the hand, in a browser: drag, turn, pin, finish round, undo; the cut view."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.nesting.page.layout_desk import (
    ORDER,
    Opener,
    checked,
    drag,
    farthest,
    middle,
    part,
    petals,
    place,
    planned,
    printed,
    settle,
    verdict,
)


@pytest.fixture(scope="session")
def job(address: str) -> str:
    return planned(address, ORDER)


@pytest.fixture
def desk(opened: Opener, address: str, job: str) -> Page:
    """The plan's page; what a test moves there is gone when it is closed."""
    page = opened(f"/plan/{job}")
    checked(page)
    return page


@pytest.fixture(scope="session")
def other_job(address: str) -> str:
    """A plan that tests may change for good."""
    return planned(address, ORDER)


@pytest.fixture
def own_desk(opened: Opener, address: str, other_job: str) -> Page:
    page = opened(f"/plan/{other_job}")
    checked(page)
    return page


def test_a_piece_dragged_clear_makes_the_layout_longer_and_undo_takes_it_back(desk: Page) -> None:
    before = desk.locator(".desk-figures").inner_text()
    square = farthest(desk, "square", 3)
    start = place(square)
    drag(desk, square, 420, 0)
    desk.mouse.up()
    desk.get_by_text("Checked: this can be cut").wait_for()
    desk.locator(".desk-figures").filter(has_not_text=before).wait_for()
    assert place(square)[0] > start[0] + 100
    desk.get_by_role("button", name="Undo").click()
    desk.locator(".desk-figures").filter(has_text=before).wait_for()
    assert place(square) == pytest.approx(start)
    desk.get_by_role("button", name="Redo").click()
    desk.locator(".desk-figures").filter(has_not_text=before).wait_for()
    assert place(square)[0] > start[0] + 100


@pytest.mark.long
def test_an_overlap_is_shown_while_it_happens_and_not_by_colour_alone(desk: Page) -> None:
    square, other = part(desk, "square", 1), part(desk, "square", 2)
    (x0, y0), (x1, y1) = middle(square), middle(other)
    drag(desk, square, 0.9 * (x1 - x0), 0.9 * (y1 - y0))
    assert "overlaps square" in verdict(desk)
    assert "clash" in (square.get_attribute("class") or "")
    assert "clash" in (other.get_attribute("class") or "")
    assert desk.locator(".clash-mark").count() >= 1  # a cross, beside hatching and dashes
    desk.mouse.up()
    desk.get_by_text("can't be cut yet").wait_for()
    assert "overlap" in verdict(desk)
    assert desk.get_by_role("button", name="Keep this layout").is_disabled()
    assert desk.locator(".part-list").get_by_text("✕ overlaps").count() >= 2


@pytest.mark.long
def test_a_piece_dropped_a_little_into_another_slides_clear(desk: Page) -> None:
    square = farthest(desk, "square", 3)
    drag(desk, square, 420, 0)
    desk.mouse.up()
    settle(desk)
    for _ in range(3):
        desk.locator(".board").press("-")  # it may lie beyond the window
    x, y = middle(square)
    desk.mouse.move(x, y)
    desk.mouse.down()
    for step in range(1, 200):
        desk.mouse.move(x - 2 * step, y)
        desk.wait_for_timeout(40)
        if "overlaps" in verdict(desk):
            break
    dropped = place(square)
    desk.mouse.up()
    desk.get_by_text("Checked: this can be cut").wait_for()
    desk.wait_for_timeout(100)
    slid = place(square)
    assert 0 < max(abs(slid[0] - dropped[0]), abs(slid[1] - dropped[1])) < 30
    assert desk.locator(".part.clash").count() == 0


@pytest.mark.long
def test_keys_choose_move_turn_and_pin(desk: Page) -> None:
    board = desk.locator(".board")
    board.focus()
    board.press("n")
    chosen = desk.locator(".part.chosen")
    assert chosen.count() == 1
    assert desk.locator(".part-list [aria-pressed=true]").count() == 1
    start = place(chosen)
    for _ in range(3):
        board.press("ArrowRight")
    assert place(chosen)[0] == pytest.approx(start[0] + 30)
    board.press("Shift+ArrowRight")
    assert place(chosen)[0] == pytest.approx(start[0] + 31)
    board.press("p")
    assert "pinned" in (chosen.get_attribute("class") or "")
    board.press("p")
    outline = chosen.locator(".piece").get_attribute("d")
    board.press("r")
    assert chosen.locator(".piece").get_attribute("d") != outline
    for _ in range(7):
        board.press("Control+z")
    assert place(chosen) == pytest.approx(start)
    assert chosen.locator(".piece").get_attribute("d") == outline
    assert desk.get_by_role("button", name="Undo").is_disabled()


@pytest.mark.long
def test_pinned_pieces_stay_and_the_rest_is_finished_round_them(own_desk: Page) -> None:
    desk = own_desk
    gusset = part(desk, "gusset", 1)
    square = part(desk, "square", 1)
    # Onto others and pinned there: they must make room.
    (x0, y0), (x1, y1) = middle(square), middle(gusset)
    drag(desk, gusset, 0.8 * (x0 - x1) + 15, 0.8 * (y0 - y1) - 15)
    desk.mouse.up()
    settle(desk)
    desk.get_by_role("button", name="Pin", exact=True).click()
    held = place(gusset)
    desk.get_by_role("button", name="Finish round the pins").click()
    desk.locator("#layout[aria-busy=true]").wait_for()
    desk.locator("#layout[aria-busy=false]").wait_for()
    checked(desk)
    assert place(part(desk, "gusset", 1)) == pytest.approx(held, abs=0.002)
    assert "pinned" in (part(desk, "gusset", 1).get_attribute("class") or "")
    assert desk.locator(".part.clash").count() == 0


@pytest.mark.long
def test_the_rest_is_seen_as_it_is_laid_and_stopped_when_content(
    opened: Opener, address: str
) -> None:
    """As planning does: pieces move, the length and the time left are told, and it can be ended."""
    page = opened(f"/plan/{planned(address, petals(30), {'seconds': 2})}")
    checked(page)
    drag(page, part(page, "petal", 30), 300, 0)
    page.mouse.up()
    settle(page)
    part(page, "petal", 1).click(force=True)
    page.get_by_role("button", name="Pin", exact=True).click()
    places = "all => all.map((one) => one.getAttribute('transform'))"
    before = page.locator(".board .part").evaluate_all(places)
    page.get_by_role("button", name="Finish round the pins").click()
    bar = page.locator("#layout").get_by_role("progressbar")
    bar.wait_for()
    page.locator("#layout .told").filter(has_text="left").wait_for()
    page.locator(".desk-figures").filter(has_text="so far").wait_for()
    shown = page.locator(".board .part").evaluate_all(places)
    assert shown != before
    page.locator("#layout").get_by_role("button", name="Stop here: good enough").click()
    page.locator("#layout[aria-busy=false]").wait_for()
    assert not bar.is_visible()
    checked(page)
    assert page.locator(".part.clash").count() == 0


@pytest.mark.long
def test_pins_that_collide_are_refused_with_the_reason(own_desk: Page) -> None:
    desk = own_desk
    one, other = part(desk, "square", 1), part(desk, "square", 2)
    (x0, y0), (x1, y1) = middle(one), middle(other)
    drag(desk, one, 0.8 * (x1 - x0), 0.8 * (y1 - y0))
    desk.mouse.up()
    settle(desk)
    desk.get_by_role("button", name="Pin", exact=True).click()
    for number in range(3):
        desk.locator(".part-list").get_by_role("button", name="square").nth(number).click()
        pin = desk.get_by_role("button", name="Pin", exact=True)
        if pin.count():
            pin.click()
    desk.get_by_role("button", name="Finish round the pins").click()
    desk.locator("#layout[aria-busy=false]").wait_for()
    desk.locator(".verdict").get_by_text("Pinned:").first.wait_for()
    assert re.search(r"overlap by \d+(\.\d)? (cm|mm)\.", verdict(desk))  # as a tape has it
    assert "take its pin out" in verdict(desk)


@pytest.mark.long
def test_a_layout_is_kept_and_its_files_are_drawn_anew(own_desk: Page) -> None:
    desk = own_desk
    square = farthest(desk, "square", 3)
    drag(desk, square, 420, 0)
    desk.mouse.up()
    desk.get_by_text("Checked: this can be cut").wait_for()
    moved = place(square)
    desk.get_by_role("button", name="Keep this layout").click()
    desk.locator("#layout[aria-busy=true]").wait_for()
    desk.locator("#layout[aria-busy=false]").wait_for()
    desk.reload()
    checked(desk)
    assert place(farthest(desk, "square", 3)) == pytest.approx(moved, abs=0.002)
    with desk.expect_download() as download:
        desk.get_by_role("link", name="Shopping list").click()
    text = download.value.path().read_text(encoding="utf-8")
    assert "[ ] lawn: ask for" in text


@pytest.mark.long
def test_a_piece_on_the_fold_stays_on_it_and_nap_is_kept(desk: Page) -> None:
    desk.get_by_role("button", name="Look at velvet").click()
    desk.locator("#layout h2").filter(has_text="velvet").wait_for()
    checked(desk)
    front = part(desk, "front")
    drag(desk, front, 60, -120)
    desk.mouse.up()
    assert place(front)[1] == pytest.approx(0.0, abs=0.001)
    part(desk, "sleeve").click(force=True)
    assert desk.get_by_role("button", name="Turn").is_disabled()  # one-way: no way but this
    assert desk.get_by_role("button", name="Mirror").is_enabled()  # either hand of a pair
    assert desk.locator(".board .fold").count() == 1


@pytest.mark.long
def test_true_size_pages_are_drawn_when_asked_for(desk: Page) -> None:
    desk.get_by_role("button", name="Draw the pages of A4").click()
    link = desk.get_by_role("link", name="Pieces, A4")
    link.wait_for()
    with desk.expect_download() as download:
        link.click()
    assert download.value.path().read_bytes().startswith(b"%PDF")
    assert desk.get_by_role("link", name="This layout, A4").count() == 1


@pytest.mark.long
def test_zoom_keeps_rulers_in_step(desk: Page) -> None:
    board = desk.locator(".board")
    board.focus()
    first = board.get_attribute("viewBox")
    for _ in range(6):
        board.press("+")
    assert board.get_attribute("viewBox") != first
    labels = desk.locator(".rulers text").all_text_contents()
    assert labels[-1] == "cm"
    board.press("0")
    assert board.get_attribute("viewBox") == first


@pytest.mark.long
def test_no_serious_violation(desk: Page, violations: Callable[[Page], list[str]]) -> None:
    assert violations(desk) == []


@pytest.mark.long
def test_plan_and_steps_are_printed_without_blank_pages(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    plan = printed(page)
    page.goto(page.url + "/cut")
    page.locator(".cut-step").first.wait_for()
    steps = printed(page)
    assert all(words.strip() for words in plan + steps)
    whole = "\n".join(plan)
    assert "Layout of the lawn" in whole
    assert whole.count("square") >= 3  # the list of pieces stands beside the layout
    assert "Try them" not in whole
    assert "Keep this layout" not in whole
    assert "lay" in steps[0]
    assert "Take all ticks off" not in "\n".join(steps)


@pytest.mark.long
def test_phone_width(opened: Opener, job: str) -> None:
    for path in (f"/plan/{job}", f"/plan/{job}/cut"):
        page = opened(path, width=360, height=740, has_touch=True)
        page.locator(".board .part, .cut-step").first.wait_for()
        assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.long
def test_touch_drags_a_piece(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}", width=390, height=800, has_touch=True)
    checked(page)
    square = farthest(page, "square", 3)
    page.locator(".board").scroll_into_view_if_needed()
    start, (x, y) = place(square), middle(square)
    touch = page.context.new_cdp_session(page)
    for kind, dx in (("touchStart", 0), ("touchMove", 30), ("touchMove", 60)):
        points = [{"x": x + dx, "y": y}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        page.wait_for_timeout(60)
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert place(square)[0] > start[0] + 50


@pytest.mark.long
def test_steps_are_ticked_and_remembered(
    opened: Opener, job: str, violations: Callable[[Page], list[str]]
) -> None:
    page = opened(f"/plan/{job}/cut")
    page.locator(".cut-step").first.wait_for()
    assert violations(page) == []
    velvet = page.locator(".cut-cloth").filter(has=page.get_by_role("heading", name="velvet"))
    assert "selvedges meet" in velvet.inner_text()
    assert velvet.locator(".profile svg").count() == 1
    boxes = velvet.get_by_role("checkbox")
    boxes.first.check()
    assert velvet.get_by_text(f"1 of {boxes.count()} done").count() == 1
    page.reload()
    page.locator(".cut-step").first.wait_for()
    assert velvet.get_by_role("checkbox").first.is_checked()
    page.emulate_media(media="print")
    assert not page.get_by_role("button", name="Print").is_visible()
    assert velvet.get_by_role("checkbox").first.is_visible()
