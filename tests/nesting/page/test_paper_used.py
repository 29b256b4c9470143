"""Photographs and patterns in PDF on the page itself: chosen, looked at, used."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

import tests.pieces.pdf.pdf_pages as p
import tests.pieces.trace.photographs as ph
from tests.nesting.page.layout_desk import Opener
from tests.nesting.page.test_page import settled
from tests.nesting.page.test_paper import SCENE

PICTURES = os.environ.get("PAGE_PICTURES", "")
"""A folder for pictures of the page, to be looked at."""


@pytest.mark.long
def test_a_photograph_is_traced_marked_and_used(opened: Opener, tmp_path: Path) -> None:
    page = opened(locale="en-GB")
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").click()
    page.get_by_text("Trace paper pieces in a photograph").click()
    file = ph.written(tmp_path, SCENE, "skirt.jpg")
    page.get_by_label("Choose photographs").set_input_files(file)
    picture = page.get_by_alt_text("The photograph from above")
    picture.wait_for()
    expect(page.get_by_text("its halves mirror each other")).to_be_visible()
    if PICTURES:
        page.screenshot(path=f"{PICTURES}/traced.png", full_page=True)
    page.get_by_role("button", name="Use these pieces").click()
    expect(page.locator("#status")).to_contain_text("1 piece to cut")
    expect(page.locator(".part-picture svg.pieces .fold")).to_have_count(1)
    # Its corners lie over the photograph, and seams are named there.
    page.get_by_text("Fold, grain, notches and seams on its picture").click()
    expect(page.locator(".marking image")).to_have_count(1)
    page.get_by_role("group", name="What to set").get_by_label("seam").check()
    page.get_by_label("name of the seam").fill("side")
    page.get_by_role("button", name="piece-1: edge from corner 2 to 3").press("Enter")
    expect(page.locator(".marking-place")).to_contain_text("seam side, ")
    if PICTURES:
        page.screenshot(path=f"{PICTURES}/marked.png", full_page=True)


@pytest.mark.long
def test_a_size_is_picked_from_pictures(opened: Opener, tmp_path: Path) -> None:
    nested = p.on_layer(0, p.box(20, 20, 100, 120)) + p.on_layer(1, p.box(20, 20, 113, 131))
    (tmp_path / "dress.pdf").write_bytes(p.pdf(p.Sheet(nested, layers=("size 2", "size 4"))))
    page = opened(locale="en-GB")
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").click()
    page.locator(".ready-add").get_by_label("Add a drawing (DXF, SVG or PDF)").set_input_files(
        tmp_path / "dress.pdf"
    )
    page.get_by_text("For a pattern in PDF").click()
    page.get_by_role("button", name="Show its sizes").click()
    if PICTURES:
        page.get_by_role("button", name="size 4 (1)").wait_for()
        page.screenshot(path=f"{PICTURES}/sizes.png", full_page=True)
    page.get_by_role("button", name="size 4 (1)").click()
    expect(page.locator("#status")).to_contain_text("1 piece to cut")
    expect(page.get_by_label("size", exact=True)).to_have_value("size 4")


@pytest.mark.long
def test_a_piece_with_curves_is_drawn_with_them(opened: Opener) -> None:
    page = opened(locale="en-GB")
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").click()
    page.get_by_role("button", name="Add a piece by its corners").click()
    page.locator(".corners").wait_for()
    settled(page)
    expect(page.locator(".part-picture svg.pieces:not(.corners)")).to_have_count(0)
    curves = page.get_by_label("curves")
    curves.fill("2-4")
    curves.press("Tab")
    drawn = page.locator(".part-picture svg.pieces:not(.corners) .cut")
    drawn.wait_for()
    # Many short lines instead of four edges.
    assert (drawn.get_attribute("d") or "").count("L") > 8
