"""The workbench: wearers told apart, a tape, more search, and what is said stays true."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.nesting.page.layout_desk import (
    ORDER,
    Opener,
    asked,
    checked,
    drag,
    middle,
    petals,
    place,
    planned,
    settle,
)

pytestmark = pytest.mark.long

TWO = (
    ORDER.replace("[[piece]]", '[[garment]]\nname = "Ada"\n[[garment]]\nname = "Ida"\n[[piece]]', 1)
    .replace('name = "square"\n', 'name = "square"\ngarment = "Ada"\n')
    .replace('name = "gusset"\n', 'name = "gusset"\ngarment = "Ida"\n')
)


def square(page: Page) -> Locator:
    return page.locator('.part[data-key=\'["Ada","square",1]\']')


@pytest.fixture(scope="module")
def job(address: str) -> str:
    return planned(address, TWO)


def test_the_layout_comes_first_and_large(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    board, lays = page.locator(".board").bounding_box(), page.locator("#lays").bounding_box()
    assert board is not None
    assert lays is not None
    assert board["width"] > 2 * lays["width"]
    assert board["y"] < 360
    assert lays["x"] > board["x"] + board["width"] - 1  # beside it
    page.mouse.wheel(0, 2000)
    page.wait_for_timeout(200)
    expect(page.locator(".totals")).to_be_in_viewport()  # what it costs stays in sight
    expect(page.locator(".cloth-card .lead").first).to_be_in_viewport()


def test_wearers_differ_by_colour_and_by_what_is_woven_in(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    assert page.locator(".legend li").all_inner_texts() == ["Ada", "Ida"]
    fills = page.locator(".board .part").evaluate_all(
        """all => all.map((one) => [JSON.parse(one.dataset.key)[0],
        one.querySelector(".piece").getAttribute("class").match(/w\\d/)[0],
        one.querySelector(".texture")?.getAttribute("fill") ?? "plain"])"""
    )
    by_wearer = {who: (colour, weave) for who, colour, weave in fills}
    assert len({colour for colour, _ in by_wearer.values()}) == 2
    assert len({weave for _, weave in by_wearer.values()}) == 2


def test_what_a_piece_measures_is_told_while_the_hand_is_over_it(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    part = square(page)
    x, y = middle(part)
    page.mouse.move(x, y)
    expect(page.locator(".about")).to_contain_text("square (Ada): 40 cm along, 40 cm across")


def test_a_tape_is_laid_on_the_cloth(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    part = square(page)
    before = place(part)
    box = part.locator(".piece").bounding_box()
    assert box is not None
    page.get_by_role("button", name="Measure").click()
    page.mouse.move(box["x"], box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"], box["y"] + box["height"] / 2, steps=4)
    page.wait_for_timeout(80)
    page.mouse.up()
    told = page.locator(".tape-words").text_content() or ""
    assert told.endswith(" cm")
    assert float(told.split()[0]) == pytest.approx(40, abs=1)  # a few dots on the screen
    assert place(part) == before  # nothing is moved by measuring
    page.locator(".board").press("Escape")
    expect(page.locator(".tape-words")).to_have_count(0)


def test_moves_survive_a_reload_with_the_way_back(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    piece = square(page)
    start = place(piece)
    drag(page, piece, 420, 0)
    page.mouse.up()
    settle(page)
    moved = place(piece)
    assert moved != start
    page.reload()
    checked(page)
    piece = square(page)
    assert place(piece) == pytest.approx(moved)
    page.get_by_role("button", name="Undo").click()
    assert place(piece) == pytest.approx(start)


def test_a_longer_search_goes_on_from_where_it_stands_and_badges_stay_true(
    opened: Opener, address: str
) -> None:
    key = planned(address, petals(14), {"seconds": 2, "rounds": 1})
    before = asked(address, f"/api/jobs/{key}/plan")["fabrics"][0]["length_mm"]
    page = opened(f"/plan/{key}")
    checked(page)
    page.get_by_role("button", name="Search longer").click()
    page.locator("#layout[aria-busy=true]").wait_for()
    page.locator("#layout[aria-busy=false]").wait_for()
    checked(page)
    plan = asked(address, f"/api/jobs/{key}/plan")["fabrics"][0]
    assert plan["length_mm"] <= before
    page.locator("#lays .lay.chosen").wait_for()
    # Of two that are told to be this plan, or the least cloth, one would be stale.
    assert page.locator("#lays .lay.chosen").count() == 1
    shown = page.locator("#lays .lay.chosen .lead").inner_text()
    assert plan["purchase"]["text"] in shown
    least = min(
        [plan["purchase"]["length_mm"]]
        + [one["purchase_mm"] for one in asked(address, f"/api/jobs/{key}/lays")["lawn"]]
    )
    badges = page.locator("#lays .lay", has=page.locator(".badge")).count()
    lays = asked(address, f"/api/jobs/{key}/lays")["lawn"]
    assert badges == sum(one["purchase_mm"] == least for one in lays)


def test_a_lay_that_was_moved_by_hand_says_so(opened: Opener, job: str) -> None:
    page = opened(f"/plan/{job}")
    checked(page)
    taken = page.locator("#lays .lay.chosen .taken")
    expect(taken.locator(".moved-since")).to_be_hidden()
    drag(page, square(page), 300, 0)
    page.mouse.up()
    settle(page)
    expect(taken.locator(".moved-since")).to_be_visible()


NAPPED = """
name = "cape"
units = "cm"
[fabric.velvet]
width = 150
nap = "one-way"
[[piece]]
name = "cape"
fabric = "velvet"
outline = [[0, 0], [60, 0], [60, 70], [0, 70]]
on_fold = [[0, 0], [60, 0]]
"""


def test_lays_that_were_not_tried_say_why(opened: Opener, address: str) -> None:
    page = opened(f"/plan/{planned(address, NAPPED)}")
    checked(page)
    refused = page.locator(".not-lays")
    refused.locator("summary").click()
    assert refused.locator("li").count() >= 1
    for words in refused.locator("li").all_inner_texts():
        assert ": " in words
        assert words.rstrip().endswith(".")


@pytest.mark.parametrize(("width", "scheme"), [(1280, "dark"), (360, "light")])
def test_no_violation_on_the_bench(
    opened: Opener, job: str, violations: Callable[[Page], list[str]], width: int, scheme: str
) -> None:
    page = opened(f"/plan/{job}", width=width, color_scheme=scheme)
    checked(page)
    assert violations(page) == []
    page.goto(page.url + "/cut")
    page.locator(".stage-words").wait_for()
    assert violations(page) == []


def test_all_files_come_together(opened: Opener, job: str, address: str) -> None:
    import io
    import zipfile

    page = opened(f"/plan/{job}")
    checked(page)
    with page.expect_download() as waited:
        page.get_by_role("link", name="Download all").click()
    assert waited.value.suggested_filename == "two-frocks.zip"
    packed = zipfile.ZipFile(io.BytesIO(waited.value.path().read_bytes()))
    assert packed.testzip() is None
    assert set(packed.namelist()) == set(asked(address, f"/api/jobs/{job}")["files"])
