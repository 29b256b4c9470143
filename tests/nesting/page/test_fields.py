"""The form has a field for every key that an order file may have, and writes what it says."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from dataclasses import fields
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from nesting.order import schema as schema
from nesting.order.schema_costing import CostingTable, CutterTable, DoneTable
from nesting.order.schema_notions import NotionTable
from nesting.page.tasks.reading import look
from pieces.body.measurements import Body
from tests.nesting.page.layout_desk import Opener
from tests.nesting.page.test_page import settled

ORDER = """
name = "everything"
units = "cm"
wearers = "clients.book"

[fabric.satin]
width = 150
repeat = { length = 32, width = 16, from_edge = 4 }
border = { edge = "both", depth = 12 }
flaws = [{ from = 40, to = 45, across = [20, 25] }, { outline = [[90, 10], [100, 10], [95, 20]] }]
in_hand = [
    "2.25 m",
    { length = "60 cm", width = "80 cm", name = "end", flaws = [{ from = 3, to = 4 }] },
]

[[garment]]
name = "Dora"
size = "4 years"

[[garment.part]]
draft = "bodice"
fabric = "satin"
match = ["waist"]
motif = "centre front"

[[garment.part]]
file = "pocket.svg"
fabric = "satin"
border = false

[[piece]]
name = "flap"
fabric = "satin"
outline = [[0, 0], [12, 0], [12, 14], [6, 16], [0, 14]]
points = { waist = { along = 5 } }
seams = "side: 1-2; top: 5-1"

[[piece]]
file = "pocket.svg"
fabric = "satin"

[[seam]]
what = "side seam"
this = "flap: side"
that = "flap: top"

[[notion]]
name = "ribbon"
length = 80

[costing]
currency = "EUR"
rate = 18
minutes = { cutting = 60 }
garment.Dora = { cutting = 90 }

[[costing.done]]
parts = 9
minutes = { hand = 45 }
"""
POCKET = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="130mm" '
    'viewBox="0 0 120 130"><path d="M0 0H120V130H0Z"/></svg>'
)
SATIN, PART, DRAWN = ("fabric", "satin"), ("garment", 0, "part", 0), ("garment", 0, "part", 1)
FLAP, FILE, POINT = ("piece", 0), ("piece", 1), ("points", "waist")
FLAW, LINE = (*SATIN, "flaws", 0), (*SATIN, "in_hand", 1)
TABLES: list[tuple[tuple[str | int, ...], type[Any]]] = [
    ((), schema.OrderTable),
    (SATIN, schema.FabricTable),
    ((*SATIN, "shrinkage"), schema.ShrinkageTable),
    ((*SATIN, "repeat"), schema.RepeatTable),
    ((*SATIN, "border"), schema.BorderTable),
    (LINE, schema.BoltTable),
    (("garment", 0), schema.GarmentTable),
    (("garment", 0, "body"), Body),
    (PART, schema.PartTable),
    (DRAWN, schema.DrawingTable),
    (FLAP, schema.PieceTable),
    ((*FLAP, *POINT), schema.PointTable),
    (FILE, schema.ReadyDrawingTable),
    (("seam", 0), schema.SeamTable),
    (("notion", 0), NotionTable),
    (("costing",), CostingTable),
    (("costing", "cutter"), CutterTable),
    (("costing", "done", 0), DoneTable),
]
BY_ITSELF = {
    (
        *PART,
        "draft",
    ): "picked from the pictures when a part is added; another draft is another part",
}
"""Keys without a field, and why."""


def asked_for() -> set[tuple[str | int, ...]]:
    found = {(*way, field.name) for way, table in TABLES for field in fields(table)}
    for place in (FLAW, (*SATIN, "flaws", 1), (*LINE, "flaws", 0)):
        # A stretch and an outline are two ways to write a flaw.
        keys = ("outline",) if place[-1] == 1 else ("from", "to")
        found |= {(*place, key) for key in keys}
    return (found | {(*FLAW, "across")}) - set(BY_ITSELF)


def test_every_table_of_the_order_is_looked_at() -> None:
    known = {one for one in vars(schema).values() if isinstance(one, type)}
    tables = {one for one in known if one.__name__.endswith("Table")}
    others = {Body, NotionTable, CostingTable, CutterTable, DoneTable}
    assert tables == {table for _, table in TABLES} - others | {schema.FlawTable}


_UNFOLD = """async () => {
    // What is inside a card is built when it is opened, and may have more to open.
    for (let turn = 0; turn < 3; turn += 1) {
        document.querySelectorAll("details").forEach((one) => { one.open = true; });
        await new Promise((resolve) => setTimeout(resolve, 100));
    }
}"""


def filled(page: Page) -> Page:
    """The form with all that an order may hold, and nothing folded away."""
    file = {"name": "all.toml", "mimeType": "application/toml", "buffer": ORDER.encode()}
    page.locator("#open-start").set_input_files(file)  # type: ignore[arg-type]
    page.locator("#form > section").first.wait_for()
    drawing = {"name": "pocket.svg", "mimeType": "image/svg+xml", "buffer": POCKET.encode()}
    page.locator(".ready article input[type=file]").set_input_files(drawing)  # type: ignore[arg-type]
    expect(page.locator("#status")).to_contain_text("pieces to cut")
    page.evaluate(_UNFOLD)
    return page


@pytest.fixture
def form(opened: Opener) -> Page:
    return filled(opened())


@pytest.mark.long
def test_a_phone_shows_every_field_whole(
    opened: Opener, violations: Callable[[Page], list[str]]
) -> None:
    page = filled(opened(width=360, height=740))
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    for control in page.locator("button:visible, select:visible, input:visible").all():
        box = control.bounding_box()
        assert box is None or box["x"] + box["width"] <= 361
    assert violations(page) == []


def test_every_key_has_a_field(form: Page) -> None:
    """Compared with the very tables that read an order: a new key needs a field, or a reason."""
    shown = form.locator("[data-path]").evaluate_all("all => all.map((one) => one.dataset.path)")
    paths = {tuple(json.loads(path)) for path in shown}
    # A field of a table inside, or of a list, is one of the key that holds it.
    covered = {path[:length] for path in paths for length in range(len(path) + 1)}
    # A cloth's name is its key.
    assert form.locator(".cloth-name").count() == 1
    assert sorted(map(str, asked_for() - covered)) == []


def order_of(page: Page) -> dict[str, Any]:
    expect(page.locator("body:not(.busy)")).to_have_count(1)
    return tomllib.loads(page.locator("#file-text").input_value())


@pytest.mark.long
def test_points_of_a_print_are_ticked(form: Page) -> None:
    part = form.locator(".part", has_text="bodice").first
    part.get_by_role("group", name="the print meets at").get_by_label("centre front").check()
    order = order_of(form)
    assert set(order["garment"][0]["part"][0]["match"]) == {"waist", "centre front"}
    motif = form.locator(".part", has_text="bodice").first.get_by_role(
        "group", name="a motif is centred on"
    )
    motif.get_by_label("centre front").focus()
    form.keyboard.press("Space")
    assert "motif" not in order_of(form)["garment"][0]["part"][0]
    # The form was built anew, and who works by keys is where they were.
    expect(motif.get_by_label("centre front")).to_be_focused()
    expect(form.locator(".part-line").first).to_contain_text("print meets at")


@pytest.mark.long
def test_a_flaw_is_told_where_it_lies(form: Page) -> None:
    satin = form.get_by_role("article", name="satin", exact=True)
    flaws = satin.get_by_role("region", name="Flaws of satin", exact=True)
    flaws.get_by_role("button", name="Add a flaw").click()
    assert order_of(form)["fabric"]["satin"]["flaws"][2] == {"from": 10, "to": 15}
    flaws.get_by_role("button", name="It is only part of the width").click()
    assert order_of(form)["fabric"]["satin"]["flaws"][2]["across"] == [0, 150]
    flaws.get_by_role("listitem").nth(2).get_by_label("across, to").fill("30")
    form.keyboard.press("Tab")
    assert order_of(form)["fabric"]["satin"]["flaws"][2]["across"] == [0, 30]
    flaws.get_by_role("button", name="Remove flaw 3 of satin").click()
    assert len(order_of(form)["fabric"]["satin"]["flaws"]) == 2


@pytest.mark.long
def test_a_piece_is_made_from_its_corners(opened: Opener) -> None:
    page = opened(locale="en-GB")  # centimetres
    page.get_by_role("button", name="A new order").click()
    page.get_by_role("button", name="Add a cloth").click()
    page.get_by_role("button", name="Add a piece by its corners").click()
    page.locator(".corners").wait_for()
    piece = page.get_by_role("article", name="piece 1", exact=True)
    piece.get_by_role("button", name="Add after corner 2").click()
    corner = piece.get_by_label("corner 3, along")
    expect(corner).to_have_value("30")
    settled(page)
    corner.fill("35 1/2")
    page.keyboard.press("Tab")
    settled(page)
    expect(page.locator("#status")).to_have_text("1 piece to cut.")
    piece.get_by_label("on the fold").select_option(label="corner 5 to 1")
    piece.get_by_label("how many").fill("2")
    page.keyboard.press("Tab")
    expect(page.locator("#status")).to_have_text("2 pieces to cut.")
    (made,) = order_of(page)["piece"]
    assert made["outline"][2] == ["35 1/2 cm", 10]
    assert made["on_fold"] == [[0, 20], [0, 0]]
    piece.get_by_role("button", name="Remove corner 3").click()
    assert len(order_of(page)["piece"][0]["outline"]) == 4


@pytest.mark.long
def test_a_drawing_dropped_on_the_page_becomes_a_ready_piece(form: Page) -> None:
    form.evaluate(
        """(text) => {
          const files = new DataTransfer();
          files.items.add(new File([text], "yoke.svg", { type: "image/svg+xml" }));
          document.dispatchEvent(new DragEvent("drop", { dataTransfer: files, bubbles: true }));
        }""",
        POCKET,
    )
    form.get_by_role("article", name="yoke.svg", exact=True).wait_for()
    assert order_of(form)["piece"][2] == {"file": "yoke.svg", "fabric": "satin"}


@pytest.mark.long
def test_a_fault_of_a_corner_stands_at_it(form: Page) -> None:
    flap = form.get_by_role("article", name="flap", exact=True)
    flap.get_by_label("corner 2, along").fill("twelve")
    form.keyboard.press("Tab")
    expect(flap.locator(".cell.at-fault .fault")).to_contain_text("'twelve' is not a length")


def test_ready_pieces_are_drawn_and_name_their_points() -> None:
    order = ORDER.replace("pocket.svg", "none.svg").split("[[garment.part]]\nfile")[0]
    order += '[[piece]]\nname = "flap"\nfabric = "satin"\noutline = [[0, 0], [12, 0], [12, 9]]\n'
    seen = look({"order": order, "drawings": {}}, None)  # type: ignore[arg-type]
    assert seen["faults"] == []
    drawn = {json.dumps(one["path"]): one["pieces"] for one in seen["drawn"]}
    (flap,) = drawn['["piece", 0]']
    assert {"hem", "top", "middle"} <= set(flap["points"])
    names = {name for piece in drawn['["garment", 0, "part", 0]'] for name in piece["points"]}
    assert {"centre front", "waist"} <= names
