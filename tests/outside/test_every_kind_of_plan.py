"""plan.json of every kind follows its schema and its page; wrong ones are refused."""

from __future__ import annotations

import ast
import json
import math
import tomllib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from nesting.batch.run import plan_folder
from nesting.fabric.plans import Ended, FewerJoins, Saving
from nesting.order.read import order_from_text
from nesting.output.files.schema import FOLDER, SCHEMAS, schema_text
from nesting.output.paper.tiling import Paper
from nesting.output.write import write_comparison
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds, Seconds, StopToken
from tests.examples import some
from tests.outside.plan_check import faults, purchase_faults
from tests.outside.plan_parts import laid
from tests.outside.plans_of_every_kind import KINDS, Record, as_file, plan_of
from tests.papers import fenced, keyed, table, tables, text_of
from tests.plan_schema import COMPARISON, PLAN, SCHEMA, TABLES, told

PAGE = text_of("nesting", "output", "README.md")


# --- plans ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", some(KINDS))
def test_a_plan_follows_its_schema_and_can_be_cut(name: str) -> None:
    data = plan_of(name)
    assert [shows(data) for shows in KINDS[name].shows] == [True] * len(KINDS[name].shows)
    assert told(data) == []
    assert faults(data) == []


def test_a_plan_that_was_stopped_follows_its_schema() -> None:
    token = StopToken()
    order = order_from_text(KINDS["strips"].text, "any.toml")
    made = plan(order, Seconds(5), jobs=1, token=token, watch=lambda _: token.ask())
    assert made.ended is Ended.STOPPED
    data = as_file(made, Paper.A4)
    assert (data["ended"], "tiles" in data["fabrics"][0]["files"]) == ("stopped", True)
    assert told(data) == []
    assert faults(data) == []


def test_the_plans_of_a_batch_follow_their_schema(tmp_path: Path) -> None:
    (tmp_path / "orders").mkdir()
    (tmp_path / "orders" / "any.toml").write_text(KINDS["strips"].text, encoding="utf-8")
    done = plan_folder(tmp_path / "orders", tmp_path / "out", Rounds(1), jobs=1)
    assert done.exit_status == 0
    data = json.loads((tmp_path / "out" / "any" / "plan.json").read_bytes())
    assert told(data) == []
    assert faults(data) == []


def test_a_comparison_follows_its_schema(tmp_path: Path) -> None:
    order = order_from_text(KINDS["print"].text, "any.toml")
    write_comparison(compare(order, Rounds(1), widths_mm=[400, 1120], jobs=1), tmp_path)
    data = json.loads((tmp_path / "compare.json").read_bytes())
    assert data["fabrics"][0]["plain"]
    assert told(data, COMPARISON) == []
    for wrong in ({"format": 2}, {"fabrics": {}}, {"complete": "yes"}, {"nothing": 1}):
        assert told(data | wrong, COMPARISON)
    data["fabrics"][0]["lays_compared"][0]["cost"] = "12.40"
    assert told(data, COMPARISON)


# --- the schema ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_file_in_the_package_is_made_of_the_types(name: str) -> None:
    """Where it is not: python -m nesting.output.files.schema."""
    assert (FOLDER / name).read_text(encoding="utf-8") == schema_text(SCHEMAS[name])
    packed = tomllib.loads(text_of("pyproject.toml"))["tool"]["setuptools"]["package-data"]
    assert any(Path(name).match(one) for one in packed["nesting.output.files"])


def test_the_schema_is_one_and_every_key_has_its_meaning_and_unit() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    units = {"_mm": " mm", "_mm2": " mm", "_deg": "degrees", "_metres": "Metres", "percent": "Per"}
    for name, one in TABLES.items():
        assert one["additionalProperties"] is False, name
        assert one["required"] == list(one["properties"]), name
        for key, value in one["properties"].items():
            assert value["description"].strip(" .")
            for ending, unit in units.items():
                assert not key.endswith(ending) or unit in value["description"], (name, key)


def test_no_table_is_open() -> None:
    """Where keys are names the values are held: drawings by kind, money by currency or garment."""

    def objects(schema: Any) -> Iterator[Mapping[str, Any]]:
        if isinstance(schema, dict):
            if schema.get("type") == "object":
                yield schema
            for value in schema.values():
                yield from objects(value)
        elif isinstance(schema, list):
            for value in schema:
                yield from objects(value)

    free = [one for one in objects(SCHEMA) if one.get("additionalProperties") is not False]
    money = {"minimum": 0, "type": "number"}
    assert free
    assert [one for one in free if one["additionalProperties"] != money] == []


@cache
def met() -> dict[str, Record]:
    """A table of every kind, out of the plans above."""
    order = order_from_text(KINDS["strips"].text, "any.toml")
    made = plan(order, Rounds(1), jobs=1)
    told_too = replace(
        made.fabrics[0],
        fewer_joins=FewerJoins(1, 2100.0),
        may_save=Saving(30.0, Decimal("0.40")),
    )
    found: dict[str, Record] = {}
    for data in (*map(plan_of, KINDS), as_file(replace(made, fabrics=(told_too,)))):
        assert told(data) == []
        for name, one in tables_in(data, SCHEMA, "PlanRecord"):
            found.setdefault(name, one)
    return found


def tables_in(value: Any, schema: Mapping[str, Any], name: str) -> Iterator[tuple[str, Record]]:
    """Every table of a plan, with its name in the schema."""
    for option in schema.get("anyOf", ()):
        if option.get("type") != "null" and value is not None:
            yield from tables_in(value, option, name)
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        schema = SCHEMA["$defs"][name]
    if isinstance(value, dict) and "properties" in schema:
        yield name, value
        for key, own in value.items():
            yield from tables_in(own, schema["properties"][key], key)
    elif isinstance(value, list):
        for own in value:
            yield from tables_in(own, schema.get("items", {}), name)


@pytest.mark.parametrize("name", some(TABLES))
def test_wrong_tables_are_refused(name: str) -> None:
    one = met()[name]
    there = {"$defs": SCHEMA["$defs"]} | ({} if name == "PlanRecord" else TABLES[name])
    judge = PLAN if name == "PlanRecord" else Draft202012Validator(there)
    assert judge.is_valid(one)
    assert not judge.is_valid(one | {"nothing": "x"})
    for key in one:
        assert not judge.is_valid({k: v for k, v in one.items() if k != key}), key
        for wrong in ({"nothing": "x"}, [[[[]]]], float("-1e9"), "", True, None):
            if wrong != one[key] and not as_it_may_be(name, key, wrong):
                assert not judge.is_valid(one | {key: wrong}), (key, wrong)


def as_it_may_be(name: str, key: str, value: object) -> bool:
    """Whether some value, which looks wrong, is one that a key may have."""
    schema = TABLES[name]["properties"][key]
    kinds = {one.get("type") for one in schema.get("anyOf", [schema])}
    if value is None or value is True:
        return ("null" if value is None else "boolean") in kinds
    if value == "":
        return "string" in kinds and "minLength" not in schema
    signed = bool({"number", "integer"} & kinds) and "minimum" not in str(schema)
    return isinstance(value, float) and signed


WRONG = [
    (("format",), 2),
    (("ended",), "tired"),
    (("fabrics", 0, "lay"), "sideways"),
    (("fabrics", 0, "nap"), "yes"),
    (("fabrics", 0, "length_mm"), "1.5 m"),
    (("fabrics", 0, "waste_percent"), 101),
    (("fabrics", 0, "shrinkage", "length"), -1),
    (("fabrics", 0, "repeat_mm"), [160]),
    (("fabrics", 0, "files"), {"png": "cotton.png", "jpg": "cotton.jpg"}),
    (("fabrics", 0, "layer_maps", 0, "layers", 0), [1, 0, 0, 1, 0]),
    (("fabrics", 0, "placements", 0, "section"), "beginning"),
    (("fabrics", 0, "placements", 0, "yields"), 0.5),
    (("fabrics", 0, "placements", 0, "layers"), 5),
    (("fabrics", 0, "placements", 0, "outline_mm"), [[0, 0], [100, 0]]),
    (("fabrics", 0, "placements", 0, "outline_mm", 0), [0, 0, 0]),
    (("fabrics", 0, "price", "amount"), "twelve"),
    (("pieces", 0, "grain_rule"), "straight"),
    (("pieces", 0, "cut"), 0),
    (("pieces", 0, "fold_edges_mm"), [[[0, 0], [1, 0]]] * 3),
    (("totals", "EUR"), "12.40"),
]


@pytest.mark.parametrize(("way", "value"), WRONG, ids=lambda part: str(part)[:60])
def test_wrong_values_are_refused(way: tuple[str | int, ...], value: object) -> None:
    data: Any = deepcopy(plan_of("print"))
    there = data
    for step in way[:-1]:
        there = there[step]
    there[way[-1]] = value
    assert told(data)


# --- the page ------------------------------------------------------------------------------------

HEADS = {
    "of the whole": ["PlanRecord"],
    "of a fabric": ["FabricRecord"],
    "of a placement": ["PlacementRecord"],
    "of a piece": ["PieceRecord"],
}


@pytest.mark.parametrize("head", HEADS)
def test_the_page_has_a_row_for_every_key_and_no_other(head: str) -> None:
    keys = {key for name in HEADS[head] for key in TABLES[name]["properties"]}
    shown = {key for row in table(PAGE, head) for key in keyed([row])}
    assert shown == keys


def test_the_page_has_every_key_of_smaller_tables() -> None:
    words = {key for name in TABLES for key in TABLES[name]["properties"]}
    assert {key for key in words if f"`{key}`" not in PAGE} == set()
    assert [head for head, _ in tables(PAGE) if head in HEADS] == list(HEADS)


def test_what_checks_a_plan_shares_no_code_with_what_makes_it() -> None:
    checkers = ("plan_check", "plan_parts", "print_check", "figure_check")
    for checker in checkers:
        whole = ast.parse(Path(__file__).with_name(f"{checker}.py").read_text(encoding="utf-8"))
        imports = [one for one in ast.walk(whole) if isinstance(one, ast.Import | ast.ImportFrom)]
        names = {getattr(one, "module", None) or one.names[0].name for one in imports}
        own = {name for name in names if name.split(".")[0] in ("nesting", "pieces", "tests")}
        assert own <= {f"tests.outside.{one}" for one in checkers}


# --- what the page works out ---------------------------------------------------------------------

SLEEVES = """
units = "mm"
[fabric.lawn]
width = 1040
selvedge = 20
lays = ["lengthwise-fold"]
[[piece]]
name = "sleeve"
fabric = "lawn"
outline = {outline}
grain = {grain}
pair = true
"""


def test_the_placement_worked_out_on_the_page_is_right() -> None:
    (text,) = fenced(PAGE, "json")
    piece, placement, layers = json.loads(text).values()
    for key, value in placement.items():
        judge = Draft202012Validator(TABLES["PlacementRecord"]["properties"][key])
        assert judge.is_valid(value), key
    corners = [laid(corner, placement) for corner in piece["outline_mm"]]
    assert [pytest.approx(corner) for corner in corners] == placement["outline_mm"]
    tail, head = (laid(point, placement) for point in piece["grain_mm"])
    grain_deg = math.degrees(math.atan2(head[1] - tail[1], head[0] - tail[0]))
    assert math.cos(math.radians(grain_deg - placement["grain_deg"])) == pytest.approx(1)
    order = order_from_text(
        SLEEVES.format(outline=piece["outline_mm"], grain=piece["grain_mm"]), "any.toml"
    )
    data = as_file(plan(order, Rounds(1), jobs=1))
    assert data["fabrics"][0]["layer_maps"] == [{"section": "main", "band": 0, "layers": layers}]
    assert data["pieces"][0]["outline_mm"] == piece["outline_mm"]
    assert data["fabrics"][0]["length_mm"] == max(x for x, _ in placement["outline_mm"])


def test_the_steps_worked_out_on_the_page_are_right() -> None:
    (text,) = fenced(PAGE, "json")
    piece, placement, layers = json.loads(text).values()
    drawn = piece["outline_mm"][2]
    still = placement | {"x_mm": 0, "y_mm": 0}
    there = laid(drawn, placement)
    steps = [
        drawn,
        laid(drawn, still | {"turn_deg": 0}),
        laid(drawn, still),
        there,
        *((a * there[0] + b * there[1] + e, c * there[0] + d * there[1] + f)
          for a, b, c, d, e, f in layers),
    ]  # fmt: skip
    shown = [(float(row[1]), float(row[2])) for row in table(PAGE, "step")]
    assert shown == [pytest.approx(step) for step in steps]


def test_the_purchase_worked_out_on_the_page_is_right() -> None:
    used, bought_as, need, bought, price, cost = 1152, 1200, 1220, 1300, "7.90", 10.27
    assert used / 0.96 == bought_as
    assert bought_as + 20 == need
    said = " ".join(PAGE.split())
    assert f"{used} mm of cloth that shrinks by 4 percent are {bought_as} as bought" in said
    assert f"{need} with 20 for the ends, so {bought} where it is sold by 100" in said
    assert f"at {price} a metre that costs {cost}" in said
    cloth = {
        "in_hand": None, "purchase": {"length_mm": bought, "cost": cost}, "length_mm": used,
        "shrinkage": {"length": 4}, "before_motif_mm": 0, "end_allowance_mm": 20,
        "minimum_mm": 0, "sold_by_mm": 100,
        "price": {"amount": price, "currency": "EUR", "per_mm": 1000},
    }  # fmt: skip
    assert list(purchase_faults(cloth)) == []
