"""Edits of an order: one value changes, everything else stays as it was written."""

from __future__ import annotations

import difflib
import json
import re
import tomllib
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.page.tasks.channel import Record
from nesting.page.tasks.edits import edited
from nesting.page.tasks.reading import look
from pieces.errors import OrderFault
from pieces.units import Unit
from tests.examples import examples


def seen(order: str, *edits: dict[str, Any]) -> Record:
    return look({"order": order, "edits": list(edits)}, None)  # type: ignore[arg-type]


def lines_that_differ(before: str, after: str) -> list[str]:
    compared = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in compared if line[0] in "+-"]


def test_a_value_changes_and_no_other_line(example: str) -> None:
    after = edited(example, [{"do": "set", "path": ["fabric", "satin", "width"], "value": 140}])
    assert lines_that_differ(example, after) == ["- width = 150", "+ width = 140"]
    path = ["garment", 1, "body", "chest"]
    after = edited(example, [{"do": "set", "path": path, "value": "21 1/2 in"}])
    assert len(lines_that_differ(example, after)) == 2
    assert tomllib.loads(after)["garment"][1]["body"]["chest"] == "21 1/2 in"


def test_a_table_that_is_not_there_yet_is_written_on_one_line(example: str) -> None:
    path = ["garment", 0, "body", "chest"]
    after = edited(example, [{"do": "set", "path": path, "value": 50}])
    assert lines_that_differ(example, after) == ["+ body = {chest = 50}"]
    assert order_from_text(after, "").garments[0].body.chest == 500


def test_taking_the_last_measure_takes_its_table(example: str) -> None:
    edits = [
        {"do": "take", "path": ["garment", 1, "body", name]}
        for name in ("chest", "waist", "back_waist")
    ]
    after = edited(example, edits)
    assert "body" not in tomllib.loads(after)["garment"][1]
    assert len(lines_that_differ(example, after)) == 1


def test_parts_come_go_and_change_places(example: str) -> None:
    collar = {"draft": "collar", "fabric": "satin"}
    path = ["garment", 0, "part", 1]
    after = edited(example, [{"do": "put", "path": path, "value": collar}])
    drafts = [part["draft"] for part in tomllib.loads(after)["garment"][0]["part"]]
    assert drafts[:3] == ["bodice", "collar", "sleeve"]
    assert "# Three sisters" in after
    assert edited(after, [{"do": "take", "path": path}]).split() == example.split()
    moved = edited(after, [{"do": "move", "path": path, "to": 2}])
    drafts = [part["draft"] for part in tomllib.loads(moved)["garment"][0]["part"]]
    assert drafts[:3] == ["bodice", "sleeve", "collar"]


def test_a_cloth_is_renamed_wherever_it_is_named(example: str) -> None:
    path = ["fabric", "printed cotton"]
    after = edited(example, [{"do": "rename", "path": path, "value": "lawn"}])
    assert "printed cotton" not in tomllib.loads(after)["fabric"]
    assert list(tomllib.loads(after)["fabric"]) == ["satin", "lining", "tulle", "lawn"]
    assert after.replace("lawn", "printed cotton").replace("fabric.printed cotton", "") == (
        example.replace('fabric."printed cotton"', "")
    )
    assert not seen(after)["faults"]
    with pytest.raises(OrderFault, match="There is a cloth"):
        edited(example, [{"do": "rename", "path": path, "value": "tulle"}])


def in_metres(order: Order) -> dict[str, Fabric]:
    """Its cloths, all asked for by the metre: in inches, one asks for yards."""
    return {name: replace(one, by_yards=False) for name, one in order.fabrics.items()}


def test_another_unit_leaves_every_length_as_long_as_it_was(example: str) -> None:
    after = edited(example, [{"do": "units", "value": "in"}])
    before_order, order = order_from_text(example, ""), order_from_text(after, "")
    assert order.unit is Unit.IN
    assert in_metres(order) == in_metres(before_order)
    assert [replace(one, unit=Unit.CM) for one in order.garments] == list(before_order.garments)


def test_no_length_of_any_table_is_left_without_its_unit() -> None:
    order = (
        'units = "cm"\n[fabric.lawn]\nwidth = 112\nshrinkage = { length = 4, width = 2 }\n'
        "tilt = 1\nrepeat = { length = 32, width = 16, from_edge = 3 }\n"
        "flaws = [{ from = 40, to = 45, across = [20, 25] }]\n"
        "in_hand = [120, { length = 60, width = 80, flaws = [{ from = 4, to = 6 }] }]\n"
        '[[piece]]\nname = "a"\nfabric = "lawn"\noutline = [[0, 0], [9, 0], [9, 9]]\n'
        "allowance = 1\ngrain = [[0, 0], [9, 0]]\ncut = 2\npoints = { waist = { along = 3 } }\n"
        '[[garment]]\nname = "Ada"\nsize = "4 years"\n[[garment.part]]\ndraft = "tier"\n'
        'fabric = "lawn"\nfullness = 2\ndepth = 12\n'
    )
    after = edited(order, [{"do": "units", "value": "in"}])
    bare = set(re.findall(r"(?:\w+ = )?(?<![\w\"])\d+(?! ?cm)(?=[ ,\]}\n])", after))
    assert bare == {"length = 4", "width = 2", "tilt = 1", "cut = 2", "fullness = 2"}
    before_order, order_after = order_from_text(order, ""), order_from_text(after, "")
    assert in_metres(order_after) == in_metres(before_order)
    assert order_after.pieces == before_order.pieces


def test_keys_that_the_form_has_no_field_for_are_kept() -> None:
    order = (
        'units = "cm"\nnote = "mine"\n[fabric.lawn]\nwidth = 112\nmaker = { town = "x" }\n'
        '[[garment]]\nname = "Ada"\nsize = "4 years"\n'
        'part = [{ draft = "bodice", fabric = "lawn" }]\n'
    )
    after = edited(order, [{"do": "set", "path": ["fabric", "lawn", "selvedge"], "value": 1}])
    table = tomllib.loads(after)
    assert table["note"] == "mine"
    assert table["fabric"]["lawn"] == {"width": 112, "maker": {"town": "x"}, "selvedge": 1}
    paths = [fault["path"] for fault in seen(after)["faults"]]
    assert paths == [["fabric", "lawn", "maker"], ["note"]] or ["note"] in paths


@pytest.mark.parametrize(
    "edit",
    [
        {"do": "set", "path": [], "value": 1},
        {"do": "set", "path": ["garment", 9, "name"], "value": "x"},
        {"do": "set", "path": ["garment", 0, "name"], "value": None},
        {"do": "set", "path": ["garment", 0, 3], "value": 1},
        {"do": "set", "path": "garment", "value": 1},
        {"do": "take", "path": ["nothing"]},
        {"do": "put", "path": ["garment", "x"], "value": 1},
        {"do": "move", "path": ["garment", 0], "to": "x"},
        {"do": "rename", "path": ["fabric", "none"], "value": "x"},
        {"do": "units", "value": {"a": None}},
        {"do": "explode"},
        {},
    ],
)
def test_an_edit_of_what_is_not_there_is_refused_in_words(
    example: str, edit: dict[str, Any]
) -> None:
    with pytest.raises(OrderFault, match=r"not there any more|no order can take"):
        edited(example, [edit])
    answer = seen(example, edit)
    assert answer["order"] == example
    assert len(answer["faults"]) == 1


VALUES = st.one_of(
    st.integers(-(10**6), 10**6),
    st.floats(-1e6, 1e6, allow_nan=False),
    st.booleans(),
    st.text(max_size=12),
    st.lists(st.integers(0, 9), max_size=3),
    st.dictionaries(st.text(max_size=5), st.integers(0, 9), max_size=3),
)
PATHS = st.sampled_from(
    [
        ("name",),
        ("note",),
        ("fabric", "satin", "width"),
        ("fabric", "tulle", "in_hand"),
        ("fabric", "lining", "shrinkage", "length"),
        ("fabric", "a new one", "gap"),
        ("garment", 0, "body", "hip"),
        ("garment", 2, "body", "hip"),
        ("garment", 1, "part", 3, "depth"),
        ("garment", 1, "part", 0, "seam_allowance"),
    ]
)


@settings(deadline=None, max_examples=examples(25))
@given(st.lists(st.tuples(PATHS, VALUES), min_size=1, max_size=3))
def test_form_and_file_say_the_same(example: str, changes: list[tuple[Any, Any]]) -> None:
    after = edited(example, [{"do": "set", "path": list(p), "value": v} for p, v in changes])
    wanted = tomllib.loads(example)
    for (*way, last), value in changes:
        place = wanted
        for step in way:
            place = place.setdefault(step, {}) if isinstance(step, str) else place[step]  # type: ignore
        place[last] = value
    assert tomllib.loads(after) == wanted
    assert "# Three sisters" in after


def test_an_order_of_text_is_read_as_the_file_is(example: str) -> None:
    answer = seen(example)
    assert answer["table"] == tomllib.loads(example)
    assert answer["faults"] == []
    assert [(one["path"][1], bool(one["pieces"])) for one in answer["drawn"]] == [
        *[(wearer, True) for wearer in (0, 1, 2) for _ in range(6)]
    ]
    assert answer["pieces"] == 59


def test_faults_carry_the_path_of_their_field(example: str) -> None:
    path = ["garment", 1, "part", 3, "fullness"]
    (fault,) = seen(example, {"do": "set", "path": path, "value": "much"})["faults"]
    assert fault["path"] == path
    assert fault["message"] == "'much' is not a number."
    (fault, *_) = seen(example, {"do": "set", "path": ["fabric", "satin", "width"], "value": 20})[
        "faults"
    ]
    assert fault["path"] == ["fabric", "satin"]
    assert "wide where it is narrowest" in fault["message"]


NEW = 'units = "cm"\n'
LAWN = NEW + "[fabric.lawn]\nwidth = 112\n"
DORA = '[[garment]]\nname = "Dora"\nsize = "4 years"\n'


@pytest.mark.parametrize(
    ("order", "path", "remedy"),
    [
        (NEW, [], "a wearer with a part"),
        (LAWN + DORA, ["garment", 0, "part"], "Add a part"),
        (LAWN + DORA + '[[garment.part]]\ndraft = "bodice"\n', ["garment", 0, "part", 0, "fabric"],
         "Choose one of the cloths"),
        (LAWN + DORA + '[[garment.part]]\ndraft = "bodice"\nfabric = "silk"\n',
         ["garment", 0, "part", 0, "fabric"], "Choose one of the cloths"),
    ],
)  # fmt: skip
def test_who_fills_in_the_form_is_told_of_no_tables(
    order: str, path: list[str | int], remedy: str
) -> None:
    (fault,) = seen(order)["faults"]
    assert fault["path"] == path
    assert remedy in fault["remedy"]
    assert "[" not in fault["message"] + fault["remedy"]
    assert "key" not in fault["message"]


def test_values_that_no_order_has_are_faults_and_nothing_breaks(example: str) -> None:
    for value in ("nan", "inf", "1979-05-27", "[[[]]]"):
        answer = seen(example.replace("width = 150", f"width = {value}", 1))
        json.dumps(answer, allow_nan=False)
        assert ["fabric", "satin", "width"] in [fault["path"] for fault in answer["faults"]]


def test_what_is_no_toml_is_told_with_its_line() -> None:
    answer = seen("name = ")
    assert answer["table"] is None
    assert answer["faults"][0]["key"] == "line 1, column 8"
    assert answer["faults"][0]["path"] == []
