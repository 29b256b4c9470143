"""The papers may not lag behind the code."""

from __future__ import annotations

import json
import re
import tomllib
import typing
from collections.abc import Iterator
from dataclasses import fields
from enum import Enum
from itertools import chain
from pathlib import Path
from statistics import fmean
from typing import Any

import pytest

import nesting
from nesting.cli.commands import main
from nesting.fabric.fabric import LayName
from nesting.order import schema
from nesting.order.read import order_from_text, read_order
from nesting.order.schema_costing import CostingTable, CutterTable, DoneTable
from nesting.order.schema_notions import NotionTable
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from pieces import errors
from pieces.body.measurements import Body
from pieces.drafting.registry import DRAFTS
from tests.papers import (
    FILES,
    GUIDES,
    ROOT,
    SCRIPTS,
    asked_for,
    benchmark_options,
    fenced,
    indented,
    keyed,
    name_of,
    options_of,
    spans,
    table,
    tables,
    text_of,
)

README, DEVELOPERS = text_of("README.md"), text_of("DEVELOPERS.md")
ORDER, COMMANDS = text_of("nesting", "order", "README.md"), text_of("nesting", "cli", "README.md")
DRAFTED, PRINTS = text_of("pieces", "drafting", "README.md"), text_of("nesting/prints/README.md")
BENCHMARKS = text_of("benchmarks", "README.md")
GARMENT_SETS = ("shirts", "trousers", "swim", "albano", "dagli", "marques")
PYPROJECT = tomllib.loads(text_of("pyproject.toml"))
PROJECT = PYPROJECT["project"]
ROOMS = sorted(path.parent for path in ROOT.glob("nesting/*/__init__.py"))


# --- orders, keys and drafts ---


def whole(text: str) -> str:
    """An order's part as an order; a whole one as it is."""
    if "units" in tomllib.loads(text):
        return text
    return f'units = "cm"\n[fabric.lawn]\nwidth = 200\n{text}'


@pytest.mark.parametrize("paper", GUIDES, ids=name_of)
def test_every_order_shown_can_be_read(paper: Path) -> None:
    for text in fenced(paper.read_text(encoding="utf-8"), "toml"):
        assert draft_order(order_from_text(whole(text), "shown.toml")).pieces


def test_the_order_in_the_readme_can_be_planned() -> None:
    (text,) = fenced(README, "toml")
    made = plan(order_from_text(text, "frock.toml"), nesting.Rounds(1), jobs=1)
    assert [entry.fabric.name for entry in made.fabrics] == ["lawn"]
    assert made.seam_checks
    assert all(check.ok for check in made.seam_checks)


TABLES: dict[str, list[type[Any]]] = {
    "in the file": [schema.OrderTable],
    "in `[fabric.satin]`": [schema.FabricTable],
    "in `shrinkage`": [schema.ShrinkageTable],
    "in `repeat`": [schema.RepeatTable],
    "in `border`": [schema.BorderTable],
    "in `flaws`": [schema.FlawTable],
    "in `in_hand`": [schema.BoltTable],
    "in `[[garment]]`": [schema.GarmentTable],
    "in `body`": [Body],
    "in `[[garment.part]]`": [schema.PartTable],
    "in `[[piece]]`": [schema.PieceTable],
    "in `[[seam]]`": [schema.SeamTable],
    "in `points`": [schema.PointTable],
    "in `[[notion]]`": [NotionTable],
    "in `[costing]`": [CostingTable],
    "in `cutter`": [CutterTable],
    "in `[[costing.done]]`": [DoneTable],
    "beside `file`": [schema.DrawingTable, schema.ReadyDrawingTable],
}


def keys_of(kinds: list[type[Any]]) -> set[str]:
    """The keys of tables, as they are written."""
    return {
        getattr(kind, "WRITTEN", {}).get(field.name, field.name)
        for kind in kinds
        for field in fields(kind)
    }


def choices(kind: type[Any]) -> Iterator[tuple[str, str]]:
    """Each key of a table with each of the words that it may be."""
    for name, hint in typing.get_type_hints(kind, include_extras=True).items():
        for part in (hint, *typing.get_args(hint)):
            if typing.get_origin(part) is typing.Literal:
                yield from ((name, str(one)) for one in typing.get_args(part))
            elif isinstance(part, type) and issubclass(part, Enum):
                yield from ((name, one.value) for one in part)


def test_every_table_of_an_order_is_shown() -> None:
    known = {one for one in vars(schema).values() if isinstance(one, type)}
    listed = {one for one in known if one.__name__.endswith("Table")} | {
        NotionTable,
        CostingTable,
        CutterTable,
        DoneTable,
    }
    assert listed == set(chain(*TABLES.values())) - {Body}


@pytest.mark.parametrize("head", TABLES)
def test_the_order_page_lists_every_key_and_no_other(head: str) -> None:
    shown = keyed(table(ORDER, head))
    assert set(shown) == keys_of(TABLES[head])
    of_pieces = keyed(table(ORDER, "in `[[piece]]`"))
    for key, word in chain(*map(choices, TABLES[head])):
        row = of_pieces[key] if "as in a piece" in shown[key] else shown[key]
        assert f'"{word}"' in row or "of those below" in row, (key, word)


def test_the_order_page_lists_every_lay() -> None:
    assert set(keyed(table(ORDER, "lay"))) == {lay.value for lay in LayName}


def test_the_drafts_are_listed() -> None:
    assert set(keyed(table(DRAFTED, "draft"))) == set(DRAFTS)
    shown = chain(*(spans(head) for head, _ in tables(DRAFTED) if head.startswith("of a")))
    assert sorted(shown) == sorted(DRAFTS)


@pytest.mark.parametrize("name", sorted(DRAFTS))
def test_every_option_of_a_draft_is_listed_and_no_other(name: str) -> None:
    (rows,) = [rows for head, rows in tables(DRAFTED) if name in spans(head)]
    shown = keyed(rows)
    options = DRAFTS[name].options
    assert set(shown) == {field.name for field in fields(options)}
    strips = DRAFTED.partition("## Strips")[2]
    for key, word in choices(options):
        row = shown[key] + (strips if '"Strips" below' in shown[key] else "")
        assert f'"{word}"' in row, (key, word)


def test_the_order_of_pictures_has_every_draft_and_the_prints_every_point() -> None:
    order = read_order(ROOT / "pieces" / "examples" / "drafts.toml")
    parts = [part for garment in order.garments for part in garment.parts]
    assert {part.draft for part in parts} == set(DRAFTS)
    drafted = draft_order(order)
    assert all(check.ok for check in drafted.seam_checks)
    codes = {finding.code for finding in drafted.findings}
    assert codes == {"filled-from-table", "opening-to-leave", "no-cord-at-neck", "opens-at-side"}
    points = {mark.name for piece in drafted.pieces for mark in piece.marks}
    assert {point for point in points if f'"{point}"' not in PRINTS} == set()


# --- commands ---


@pytest.mark.parametrize("name", sorted(main.commands))
def test_the_commands_are_shown_with_all_their_options(name: str) -> None:
    (shown,) = [line for line in indented(COMMANDS) if line.startswith(f"metrage {name} [")
                or line.startswith(f"metrage {name} FILE")]  # fmt: skip
    assert asked_for(shown) | {"--help"} == options_of(main.commands[name])
    assert f"metrage {name}" in keyed(table(README, "command"))


@pytest.mark.parametrize("script", SCRIPTS, ids=name_of)
def test_the_benchmarks_are_shown_with_all_their_options(script: Path) -> None:
    start = f".venv/bin/python -m benchmarks.{script.stem} "
    (shown,) = [line for line in indented(BENCHMARKS) if line.startswith(start)]
    assert asked_for(shown) == benchmark_options(script)
    assert script.name in keyed(table(BENCHMARKS, "script"))


def test_exit_statuses_are_those_of_the_errors() -> None:
    kinds = [one for one in vars(errors).values() if isinstance(one, type)]
    own = {one.exit_status for one in kinds if issubclass(one, errors.MetrageError)}
    shown = {int(row[0]) for row in table(COMMANDS, "status")}
    assert shown == own | {0, 130}


def test_each_set_up_stands_as_one_line_in_its_own_block() -> None:
    job, tests = (block.strip() for block in fenced(README, "sh"))
    for line in (job, tests):
        assert "\n" not in line
        assert line.startswith("python3 -m venv .venv && ")
    assert job.endswith("&& .venv/bin/metrage plan")
    assert tests.endswith("&& .venv/bin/python -m pytest -n auto")
    # What lands a change takes its commands from here by these words.
    lines = "".join(re.findall(r"^```(.*?)^```", README, re.DOTALL | re.MULTILINE)).splitlines()
    for word in ("-m pytest", "metrage plan"):
        assert word in text_of(".ci", "run")
        assert len([line for line in lines if word in line]) == 1


def test_the_page_has_the_buttons_that_its_paper_names() -> None:
    shown = text_of("nesting", "page", "README.md").partition("## For those who change it")[0]
    static = [path for path in FILES if path.suffix in (".js", ".html")]
    page = "\n".join(path.read_text(encoding="utf-8") for path in static)
    buttons = re.findall(r"\*([A-Z][^*]+)\*", shown)
    assert buttons
    assert [one for one in buttons if not re.search(f'[">]{one}["<]', page)] == []


# --- Python and packages ---


def test_the_python_in_the_papers_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (code,) = chain(*(fenced(paper.read_text(encoding="utf-8"), "python") for paper in GUIDES))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "frock.toml").write_text(fenced(README, "toml")[0], encoding="utf-8")
    exec(code.replace("Seconds(30)", "Seconds(0.2)"), {})
    assert (tmp_path / "frock-plan" / "plan.json").exists()


def test_the_guide_says_why_for_every_package() -> None:
    extras = PROJECT["optional-dependencies"].values()
    (rows,) = [rows for head, rows in tables(DEVELOPERS) if head == "package"]
    said = {name.strip() for row in rows for name in row[0].split(",")}
    asked = chain(PROJECT["dependencies"], *extras)
    assert {re.split(r"[<>=]", one)[0].removeprefix("types-") for one in asked} == said


def test_the_constraints_hold_every_package_and_no_host() -> None:
    lines = text_of("constraints.txt").splitlines()
    pinned = {line.split("==")[0].lower() for line in lines if "==" in line}
    extras = PROJECT["optional-dependencies"].values()
    for requirement in chain(PROJECT["dependencies"], *extras):
        assert re.split(r"[<>=]", requirement)[0].lower() in pinned
    assert not any("://" in line for line in lines)


# --- the house ---


def test_the_floor_plan_is_the_one_that_imports_are_held_to() -> None:
    contracts = PYPROJECT["tool"]["importlinter"]["contracts"]
    (layers,) = [one["layers"] for one in contracts if one["type"] == "layers"]
    plan = DEVELOPERS.partition("## The floor plan")[2].partition("\n\n    pieces ")[0]
    assert [line.partition("  ")[0] for line in indented(plan)] == layers
    assert {name for layer in layers for name in layer.split(" | ")} == {one.name for one in ROOMS}


@pytest.mark.parametrize("room", [*ROOMS, ROOT / "pieces" / "drafting"], ids=name_of)
def test_every_module_is_named_in_its_room(room: Path) -> None:
    assert f"({name_of(room)}/README.md)" in DEVELOPERS
    named = set(spans((room / "README.md").read_text(encoding="utf-8")))
    inside = [path for path in FILES if path.parent == room and not path.name.startswith("__")]
    modules = {f"{path.name}/" if path.is_dir() else path.name for path in inside}
    drafts = {f"{kind.options.__module__.rpartition('.')[2]}.py" for kind in DRAFTS.values()}
    asked = modules - {"README.md"} - (drafts if room.name == "drafting" else set())
    assert {one for one in asked if not any(span.startswith(one) for span in named)} == set()


def test_the_readme_cautions_and_defers() -> None:
    said = README.lower()
    for word in ("small parts", "cords", "sheer cloth", "burn", "local rules", "qualified people"):
        assert word in said


# --- figures ---


def cells(text: str, first: str) -> list[str]:
    """The cells that follow the first one of a table's row."""
    (found,) = re.findall(rf"^\| {first} \|(.*)\|$", text, re.MULTILINE)
    return [cell.strip() for cell in found.split("|")]


@pytest.mark.parametrize(
    ("row", "seconds"), [("metrage, 1 minute", 60), ("metrage, 10 minutes", 600)]
)
def test_the_densities_shown_are_those_measured_last(row: str, seconds: int) -> None:
    latest = [
        section
        for section in text_of("benchmarks", "results", "academic.md").split("\n## ")
        if f", {seconds} s a run on 2 processes\n" in section and "Seeds: 1, 2, 3." in section
    ][-1]
    rows = [*GARMENT_SETS, "mean of the 6 garment sets"]
    assert cells(BENCHMARKS, row) == [cells(latest, name)[2] for name in rows]


@pytest.mark.parametrize("key", ["mean", "best"])
def test_the_densities_shown_are_those_published(key: str) -> None:
    known = json.loads(text_of("benchmarks", "sets", "published.json"))["sets"]
    own = [known[name][key] for name in GARMENT_SETS]
    assert cells(BENCHMARKS, f"published {key}") == [f"{one:.2f}" for one in (*own, fmean(own))]


@pytest.mark.parametrize("seconds", [5, 20])
def test_the_distances_shown_are_those_of_all_orders_measured_last(seconds: int) -> None:
    orders = sorted(ROOT.glob("benchmarks/whole_orders/*.toml"))
    latest = [
        part
        for section in text_of("benchmarks", "results", "orders.md").split("\n## ")
        if "busy processes" not in section.partition("\n")[0]
        for part in section.split("\n### ")
        if part.startswith(f"{seconds} s\n")
        and all(f"| {order.stem} |" in part for order in orders)
    ][-1]
    found = re.search(
        r"Mean \+([\d.]+) %, worst cloth in the mean of its seeds \+([\d.]+) %.*searched (\d+) %",
        latest,
    )
    assert found is not None
    mean, worst, searched = found.groups()
    measured = [f"{float(mean):.1f} %", f"{float(worst):.1f} %", f"{searched} %"]
    assert cells(BENCHMARKS, f"{seconds} seconds") == measured
    if seconds == 20:
        assert cells(README, "20 seconds") == measured
