"""Sewing notes: in a sound order, with each garment's own lengths, on paper and as text."""

from __future__ import annotations

import io
from types import SimpleNamespace

import pytest

from nesting.notes.notes import notes_of
from nesting.notions.buying import notions_bought
from nesting.order.read import example_order, order_from_text
from nesting.output.paper.notes import notes_pdf
from nesting.output.paper.tiling import Paper
from nesting.output.report.notes import notes_text
from nesting.rules.parts import draft_order
from pieces.units import Unit

TIERED = """
units = "cm"
[fabric.satin]
width = 150
[fabric.tulle]
width = 150
faces = "alike"
[[garment]]
name = "Ines"
size = "4 years"
body = { chest = 55, waist = 54 }
part = [
  { draft = "bodice", fabric = "satin", lining = "tulle" },
  { draft = "sleeve", fabric = "satin" },
  { draft = "tier", fabric = "tulle", at_waist = true, around = "4 yd", depth = 20 },
]
[[garment]]
name = "Pia"
size = "2 years"
part = [
  { draft = "gathered skirt", fabric = "satin", length = 30 },
  { draft = "casing", fabric = "satin" },
]
"""


def plan_of(order):
    """What notes ask of a plan."""
    draft = draft_order(order)
    return SimpleNamespace(
        order=order.name,
        unit=order.unit,
        pieces=draft.pieces,
        sewing=draft.sewing,
        notions=notions_bought(order, draft.notions),
    )


def notes(text):
    return {one.garment: one for one in notes_of(plan_of(order_from_text(text, "t.toml")))}


def lines(one, title):
    return next((section.lines for section in one.sections if section.title == title), ())


def test_a_tier_of_four_yards_is_gathered_to_the_waist():
    steps = lines(notes(TIERED)["Ines"], "In this order")
    (gather,) = [line for line in steps if line.startswith("Gather the top of tulle tier 1")]
    # 4 yd are 365.76 cm; the waist seam is 54 cm and 4 of ease.
    assert "from 365.8 cm to 58 cm" in gather
    assert "between the quarter notches" in gather


def test_the_order_of_work_is_sound():
    steps = lines(notes(TIERED)["Ines"], "In this order")
    marks = ("Join the", "shoulder seam", "Gather the top", "side seam", "cap front", "waist seam",
             "Set in the zip", "Turn up the hem")  # fmt: skip
    places = [next(i for i, line in enumerate(steps) if mark in line) for mark in marks]
    assert places == sorted(places)


def test_only_what_concerns_a_garment_is_told():
    found = notes(TIERED)
    pia = "\n".join(line for section in found["Pia"].sections for line in section.lines)
    assert "elastic, 1 cm wide: " in pia
    for word in ("zip", "sleeve", "tulle", "lining", "armhole"):
        assert word not in pia


def test_notches_linings_and_allowances():
    ines = notes(TIERED)["Ines"]
    assert "One notch marks the front of armhole and sleeve, two the back." in lines(
        ines, "Which notch is which"
    )
    assert any("are caught in all round" in line for line in lines(ines, "Linings"))
    satin, _ = lines(ines, "Allowances in these pieces")
    assert satin == "satin: seams 1 cm; centre back 2 cm; hem 2.5 cm."


def test_buttons_have_their_holes():
    tilda = next(one for one in notes_of(plan_of(example_order())) if one.garment == "Tilda")
    steps = lines(tilda, "In this order")
    assert "Work 4 buttonholes; sew on 4 buttons: centre back." in steps
    assert "Sew on 4 snaps: centre back below the waist seam." in steps


def test_a_circle_hangs_before_its_hem_is_levelled():
    for one in notes_of(plan_of(example_order())):
        steps = lines(one, "In this order")
        hang = next(i for i, line in enumerate(steps) if line.startswith("Let the skirt hang"))
        assert all("Turn up" not in line for line in steps[:hang])
    assert "hang" not in "".join(lines(notes(TIERED)["Ines"], "In this order"))


def test_an_order_in_inches_has_no_centimetre():
    plan = plan_of(example_order())
    plan.unit = Unit.IN
    plan.notions = ()
    told = "\n".join(
        line for one in notes_of(plan) for section in one.sections for line in section.lines
    )
    assert " in" in told
    assert " cm" not in told


def test_as_text_no_line_is_wider_than_a_page():
    text = notes_text(plan_of(order_from_text(TIERED, "t.toml")))
    assert [line for line in text.splitlines() if line.startswith("Sewing notes: ")] == [
        "Sewing notes: Ines",
        "Sewing notes: Pia",
    ]
    assert max(map(len, text.splitlines())) <= 88


@pytest.mark.parametrize("paper", Paper)
def test_each_garment_begins_a_page_and_no_line_runs_off(paper):
    from pypdf import PdfReader

    plan = plan_of(example_order())
    pages = PdfReader(io.BytesIO(notes_pdf(plan, paper))).pages
    assert len(pages) >= 3
    wide, tall = (72 * mm / 25.4 for mm in paper.size_mm)
    assert [float(x) for x in pages[0].mediabox[2:]] == pytest.approx([wide, tall], abs=0.1)
    starts = [page.extract_text().split("\n")[0] for page in pages]
    assert [name for name in starts if name in ("Tilda", "Maren", "Yrsa")] == [
        "Tilda",
        "Maren",
        "Yrsa",
    ]


def test_several_hooks_and_eyes_are_named_as_people_do():
    more = '[[notion]]\nname = "hook and eye"\ngarment = "Pia"\ncount = 3\n'
    told = " ".join(lines(notes(TIERED + more)["Pia"], "In this order"))
    assert "Sew on 3 hooks and eyes" in told
