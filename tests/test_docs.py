"""The guides may not lag behind the code."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import fields
from itertools import chain
from pathlib import Path
from statistics import fmean

import pytest

import nesting
from nesting.cli.commands import main
from nesting.order.read import order_from_text, read_order
from nesting.order.schema import FabricTable
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from pieces.drafting.registry import DRAFTS

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
BENCHMARKS = ROOT / "benchmarks"
GARMENT_SETS = ("shirts", "trousers", "swim", "albano", "dagli", "marques")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.DOTALL | re.MULTILINE)


def test_the_order_in_the_readme_can_be_planned() -> None:
    (text,) = blocks("toml")
    made = plan(order_from_text(text, "frock.toml"), nesting.Rounds(1), jobs=1)
    assert [entry.fabric.name for entry in made.fabrics] == ["lawn"]
    assert all(check.ok for check in made.seam_checks)


def test_each_set_up_stands_as_one_line_in_its_own_block() -> None:
    job, tests = (block.strip() for block in blocks("sh"))
    for line in (job, tests):
        assert "\n" not in line
        assert line.startswith("python3 -m venv .venv && ")
    assert job.endswith("&& .venv/bin/metrage plan")
    assert tests.endswith("&& .venv/bin/python -m pytest -n auto")


@pytest.mark.parametrize("name", sorted(main.commands))
def test_the_readme_shows_every_command_with_its_options(name: str) -> None:
    (shown,) = re.findall(rf"^ +metrage {name} (.*)$", README, re.MULTILINE)
    options = {option for parameter in main.commands[name].params for option in parameter.opts}
    for option in options:
        if option.startswith("--") and option != "--help":
            assert option in shown or (option == "--quiet" and name != "plan"), option


@pytest.mark.parametrize("name", sorted(DRAFTS))
def test_the_readme_lists_every_draft(name: str) -> None:
    assert f"| `{name}` |" in README


def test_the_order_of_pictures_has_every_draft() -> None:
    order = read_order(ROOT / "pieces" / "examples" / "drafts.toml")
    parts = [part for garment in order.garments for part in garment.parts]
    assert {part.draft for part in parts} == set(DRAFTS)
    drafted = draft_order(order)
    assert all(check.ok for check in drafted.seam_checks)
    codes = {finding.code for finding in drafted.findings}
    assert codes == {"filled-from-table", "elastic-to-buy"}


@pytest.mark.parametrize("name", [one.name for one in fields(FabricTable)])
def test_the_readme_lists_every_key_of_a_fabric(name: str) -> None:
    assert f"`{name}`" in README


def test_the_python_in_the_readme_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (code,) = blocks("python")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "frock.toml").write_text(blocks("toml")[0], encoding="utf-8")
    exec(code.replace("Seconds(30)", "Seconds(0.2)"), {})
    assert (tmp_path / "frock-plan" / "plan.json").exists()


def test_everything_public_can_be_imported() -> None:
    assert all(callable(getattr(nesting, name)) for name in nesting.__all__)
    with pytest.raises(AttributeError):
        _ = nesting.nothing


def test_the_guide_says_why_for_every_package() -> None:
    extras = PROJECT["optional-dependencies"].values()
    for requirement in chain(PROJECT["dependencies"], *extras):
        name = re.split(r"[<>=]", requirement)[0].removeprefix("types-")
        assert name in DEVELOPERS, name


def test_the_constraints_hold_every_package_and_no_host() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {line.split("==")[0].lower() for line in lines if "==" in line}
    extras = PROJECT["optional-dependencies"].values()
    for requirement in chain(PROJECT["dependencies"], *extras):
        assert re.split(r"[<>=]", requirement)[0].lower() in pinned
    assert not any("://" in line for line in lines)


def cells(text: str, first: str) -> list[str]:
    """The cells that follow the first one of a table's row."""
    (found,) = re.findall(rf"^\| {first} \|(.*)\|$", text, re.MULTILINE)
    return [cell.strip() for cell in found.split("|")]


@pytest.mark.parametrize(
    ("row", "seconds"), [("metrage, 1 minute", 60), ("metrage, 10 minutes", 600)]
)
def test_the_readme_tells_the_densities_measured_last(row: str, seconds: int) -> None:
    results = (BENCHMARKS / "results" / "academic.md").read_text(encoding="utf-8")
    latest = [
        section
        for section in results.split("\n## ")
        if f", {seconds} s a run on 2 processes\n" in section and "Seeds: 1, 2, 3." in section
    ][-1]
    rows = [*GARMENT_SETS, "mean of the 6 garment sets"]
    assert cells(README, row) == [cells(latest, name)[2] for name in rows]


@pytest.mark.parametrize("key", ["mean", "best"])
def test_the_readme_tells_the_densities_published(key: str) -> None:
    text = (BENCHMARKS / "sets" / "published.json").read_text(encoding="utf-8")
    known = [json.loads(text)["sets"][name][key] for name in GARMENT_SETS]
    assert cells(README, f"published {key}") == [f"{one:.2f}" for one in (*known, fmean(known))]
