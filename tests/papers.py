"""The papers of the project as their tests read them: blocks, spans, tables, headings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import chain
from pathlib import Path

import click

ROOT = Path(__file__).parents[1]
_CODE = ("nesting", "pieces", "benchmarks", "tests")
_OTHERS = (".ci", ".pictures")


FILES = [
    path
    for folder in (*_CODE, *_OTHERS)
    for path in ROOT.joinpath(folder).rglob("*")
    if "__pycache__" not in path.parts
]
"""What is the project's, and not of an environment or made beside it."""

PAPERS = [*ROOT.glob("*.md"), *(path for path in FILES if path.suffix == ".md")]
GUIDES = [path for path in PAPERS if path.parent != ROOT / "benchmarks" / "results"]
"""All but the tables of measurements, which name what there was when they were measured."""


def name_of(paper: Path) -> str:
    """A paper as people call it."""
    return str(paper.relative_to(ROOT))


def text_of(*way: str) -> str:
    """The text of a paper, by its way from the root."""
    return ROOT.joinpath(*way).read_text(encoding="utf-8")


def fenced(text: str, language: str) -> list[str]:
    """The fenced blocks in a language."""
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.DOTALL | re.MULTILINE)


def indented(text: str) -> list[str]:
    """The lines of indented blocks."""
    return re.findall(r"^    (\S.*)$", _unfenced(text), re.MULTILINE)


def _unfenced(text: str) -> str:
    return re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE)


def spans(text: str) -> list[str]:
    """What stands in back-quotes in running text and tables."""
    prose = re.sub(r"^    .*$", "", _unfenced(text), flags=re.MULTILINE)
    return re.findall(r"`([^`\n]+)`", prose)


def links(text: str) -> list[str]:
    """Where its links lead."""
    return re.findall(r"\]\(([^)\s]+)\)", _unfenced(text))


def anchors(text: str) -> set[str]:
    """The anchors of its headings, as the places where papers are read make them."""
    titles = re.findall(r"^#+ (.*)$", _unfenced(text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def tables(text: str) -> Iterator[tuple[str, list[list[str]]]]:
    """Its tables: the first cell of the head, and the rows below it."""
    for block in re.findall(r"(?:^\|.*\|\n)+", text, re.MULTILINE):
        head, _, *rows = [
            [cell.strip() for cell in line.strip("|\n").split(" | ")] for line in block.splitlines()
        ]
        yield head[0].strip("| "), [[cell.strip("| ") for cell in row] for row in rows]


def table(text: str, head: str) -> list[list[str]]:
    """The rows of the one table with that head."""
    (rows,) = [rows for first, rows in tables(text) if first == head]
    return rows


def keyed(rows: list[list[str]]) -> Mapping[str, str]:
    """For each key in the first cells, its whole row."""
    return {key: " | ".join(row) for row in rows for key in re.findall(r"`([^`]+)`", row[0])}


def options_of(command: click.Command) -> set[str]:
    """The long options of a command, and of those that it groups."""
    grouped = command.commands.values() if isinstance(command, click.Group) else ()
    params = chain(command.params, *(one.params for one in grouped))
    found = chain(*(parameter.opts for parameter in params))
    return {option for option in found if option.startswith("--")} | {"--help"}


def asked_for(line: str) -> set[str]:
    """The long options that a line names."""
    return set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", line))


def benchmark_options(script: Path) -> set[str]:
    """The options of a benchmark, read off its text."""
    text = script.read_text(encoding="utf-8")
    return set(re.findall(r'click\.option\(\s*"(--[a-z-]+)"', text))


SCRIPTS = [path for path in ROOT.glob("benchmarks/*.py") if "@click.command" in path.read_text()]
