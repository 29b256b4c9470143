"""What is worth a look is told at the field that it speaks of, on the form and in plan.json."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Plan
from nesting.order.read import order_from_text
from nesting.page.tasks.reading import look
from nesting.page.tasks.stored import store, stored
from nesting.page.tasks.told import notes
from nesting.page.tasks.wording import on_the_page
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from nesting.solver.stop import Rounds
from pieces.piece import Finding
from pieces.wording import exact, key
from tests.nesting.output.sample_plan import sample_plan

HEAD = """
units = "cm"
[fabric.poplin]
width = 150
"""
GIRL = 'name = "Ada"\nsize = "6 years"\n'
BODY = 'name = "Ada"\nbody = { chest = 55, waist = 60, back_waist = 23, shoulder = 8, neck = 27 }\n'


def garment(whose: str, *parts: str) -> str:
    asked = "".join(f'[[garment.part]]\nfabric = "poplin"\n{one}\n' for one in parts)
    return f"{HEAD}[[garment]]\n{whose}{asked}"


def piece(more: str, outline: str = "[[0, 0], [40, 0], [40, 30], [0, 30]]") -> str:
    return f'{HEAD}[[piece]]\nname = "tab"\nfabric = "poplin"\noutline = {outline}\n{more}'


BODICE = 'draft = "bodice"'
FLARED = 'draft = "flared skirt"\nlength = 40'
CASES = {
    "waist-over-chest": (garment(BODY, BODICE), "garment[0].body.waist"),
    "neck-passes-no-head": (
        garment(GIRL, f'{BODICE}\nclosing = "none"'),
        "garment[0].part[0].closing",
    ),
    "deep-curved-hem": (
        garment(GIRL, BODICE, f"{FLARED}\nhem_allowance = 6"),
        "garment[0].part[1].hem_allowance",
    ),
    "skirt-passes-no-hip": (
        garment(GIRL, f'{FLARED}\nopening = "none"'),
        "garment[0].part[0].opening",
    ),
    "edge-unfinished": (garment(GIRL, FLARED), "garment[0]"),
    "no-cord-at-neck": (garment(GIRL, 'draft = "cape"'), "garment[0].part[0]"),
    "sliver": (piece("", "[[0, 0], [40, 0], [40, 0.5], [0, 0.5]]"), "piece[0]"),
    "measured-differs": (piece('measured = "1-2: 35"'), "piece[0].measured"),
    "filled-from-table": (garment(GIRL, BODICE), "garment[0].size"),
}


@pytest.mark.parametrize("code", CASES)
def test_a_finding_names_the_key_that_it_speaks_of(code: str) -> None:
    text, place = CASES[code]
    found = draft_order(order_from_text(text, "o.toml")).findings
    assert {one.key for one in found if one.code == code} == {place}


def test_the_form_has_the_path_of_each() -> None:
    text, _ = CASES["deep-curved-hem"]
    answer = look({"order": text}, None)  # type: ignore[arg-type]
    paths = [one["path"] for one in answer["findings"]]
    assert ["garment", 0, "part", 1, "hem_allowance"] in paths
    assert all(path[:2] == ["garment", 0] for path in paths)


def test_wearers_who_share_a_reminder_have_it_at_none() -> None:
    both = CASES["filled-from-table"][0].replace("[[garment]]", "[[garment]]\nquantity = 2")
    other = garment(GIRL.replace("Ada", "Bo"), BODICE).removeprefix(HEAD)
    for text, place in ((both, "garment[0].size"), (both + other, "")):
        found = draft_order(order_from_text(text, "o.toml")).findings
        assert {one.key for one in found if one.code == "filled-from-table"} == {place}


def test_a_plan_that_is_kept_has_its_sentences_whole(tmp_path: Path) -> None:
    told = "Give a smaller " + key("neck_depth") + "; it is " + exact(12.3456) + "."
    made = replace(sample_plan(), findings=(Finding("odd", told, "garment[0]"),))
    store(made, tmp_path)
    (found,) = stored(tmp_path).findings
    assert found.message == "Give a smaller neck_depth; it is 12.346 mm."
    assert on_the_page(found.message) == "Give a smaller neck depth; it is 12.346 mm."


@pytest.fixture(scope="module")
def wide() -> Plan:
    """A piece so wide that it lies on no fold along the cloth, whichever."""
    text = piece("", "[[0, 0], [40, 0], [40, 120], [0, 120]]")
    return plan(order_from_text(text, "o.toml"), Rounds(1))


def test_every_lay_that_was_not_tried_is_told_with_its_reason(wide: Plan) -> None:
    """Two of them share one: room from the fold to the selvedge."""
    refused = notes(wide)["refused"]["poplin"]
    shared = [one.split(": ", 1) for one in refused]
    reasons = dict(shared)
    assert reasons["Lengthwise fold"] == reasons["Quarter fold"]
    assert {name.lower().replace(" ", "-") for name, _ in shared} < set(LayName)


def test_lays_that_were_not_tried_are_told_at_the_lays_of_the_cloth(wide: Plan) -> None:
    assert [one.key for one in wide.findings if one.code == "lay-refused"] == ["fabric.poplin.lays"]
