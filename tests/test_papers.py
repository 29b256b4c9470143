"""Every link, path, name, command and option in the papers is one."""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

import pytest

from nesting.cli.commands import main
from tests.papers import (
    FILES,
    GUIDES,
    PAPERS,
    ROOT,
    SCRIPTS,
    anchors,
    asked_for,
    benchmark_options,
    fenced,
    indented,
    links,
    name_of,
    options_of,
    spans,
    text_of,
)


@pytest.mark.parametrize("paper", PAPERS, ids=name_of)
def test_every_link_leads_somewhere(paper: Path) -> None:
    for link in links(paper.read_text(encoding="utf-8")):
        if link.startswith("https://"):
            continue
        way, _, anchor = link.partition("#")
        target = (paper.parent / way).resolve() if way else paper
        assert target in FILES or (target.parent == ROOT and target.exists()), link
        assert not anchor or anchor in anchors(target.read_text(encoding="utf-8")), link


def leads_to(paper: Path, name: str) -> bool:
    """Whether a paper's name of a file or folder is one: from the root, or below the paper."""
    if (ROOT / name).exists():
        return True
    ends = "/" + name.rstrip("/")
    below = (path for path in FILES if path.is_relative_to(paper.parent))
    return any(f"/{path.relative_to(ROOT)}".endswith(ends) for path in below)


@pytest.mark.parametrize("paper", GUIDES, ids=name_of)
def test_every_path_exists(paper: Path) -> None:
    for span in spans(paper.read_text(encoding="utf-8")):
        if re.fullmatch(r"[\w.\-]+\.(py|js|css|html)|[\w.\-/]+/|\.?\w+/[\w.\-/]+", span):
            assert leads_to(paper, span), span


@cache
def words() -> frozenset[str]:
    """Every word of the code."""
    code = [path for path in FILES if path.suffix in (".py", ".js", ".toml")]
    own = (path.read_text(encoding="utf-8") for path in code if path != Path(__file__))
    return frozenset(re.findall(r"\w+", " ".join([*own, text_of("pyproject.toml")])))


@cache
def owners() -> dict[str, set[str]]:
    """What modules and classes have, by their names."""
    found: dict[str, set[str]] = {}
    for path in FILES:
        if path.suffix != ".py" or path.is_relative_to(ROOT / "tests"):
            continue
        text = path.read_text(encoding="utf-8")
        tree = ast.parse(text)
        found.setdefault(path.stem, set()).update(defined(tree))
        for one in tree.body:
            if isinstance(one, ast.ClassDef):
                segment = ast.get_source_segment(text, one) or ""
                found.setdefault(one.name, set()).update(re.findall(r"\w+", segment))
    return found


def defined(tree: ast.Module) -> Iterator[str]:
    """The names that a module defines."""
    for one in tree.body:
        if isinstance(one, ast.ClassDef | ast.FunctionDef):
            yield one.name
        elif isinstance(one, ast.Assign | ast.AnnAssign):
            targets = one.targets if isinstance(one, ast.Assign) else [one.target]
            yield from (node.id for node in targets if isinstance(node, ast.Name))


def is_known(name: str) -> bool:
    """Whether the code has a word; and what a dotted name says is whose."""
    owner, _, member = name.rpartition(".")
    if name.startswith("_"):  # an ending
        return any(word.endswith(name) for word in words())
    if not owner:
        return name in words()
    if member in owners().get(owner, ()):
        return True
    with suppress(ImportError):  # a module of a package
        importlib.import_module(name)
        return True
    try:
        found: Any = importlib.import_module(owner)
    except ImportError:
        return False
    return hasattr(found, member) or (ROOT / name.replace(".", "/")).with_suffix(".py").exists()


_OF_ORDERS = ("fabric.satin", "garment.part", "costing.done", "metrage")
"""Tables of an order, and the command itself."""


@pytest.mark.parametrize("paper", GUIDES, ids=name_of)
def test_every_name_is_in_the_code(paper: Path) -> None:
    files = r".*\.(py|js|md|toml|json|txt|png|svg|dxf|csv|book|pdf)"
    for span in spans(paper.read_text(encoding="utf-8")):
        name = re.sub(r"\(.*\)$|^\[\[?|\]?\]$", "", span)
        if re.fullmatch(r"[A-Za-z_]\w*(\.[A-Za-z_]\w*)*", name) and not re.fullmatch(files, name):
            assert is_known(name) or name in _OF_ORDERS, span


OTHERS = {"--hypothesis-profile", "--hypothesis-seed"}
"""Options of the test runner."""


@pytest.mark.parametrize("paper", GUIDES, ids=name_of)
def test_every_command_and_option_named_is_one(paper: Path) -> None:
    text = paper.read_text(encoding="utf-8")
    every = set().union(*map(options_of, main.commands.values()), OTHERS)
    if paper.parent == ROOT / "benchmarks":
        every |= set().union(*map(benchmark_options, SCRIPTS))
    shell = chain(*(block.splitlines() for block in fenced(text, "sh")))
    for line in (*spans(text), *indented(text), *shell):
        called = re.search(r"(?:^|/)metrage ([a-z]+)(.*)", line)
        if called is not None:
            name, rest = called.groups()
            assert name in main.commands, line
            assert asked_for(rest) <= options_of(main.commands[name]), line
        elif line.startswith("--"):
            assert asked_for(line) <= every, line
