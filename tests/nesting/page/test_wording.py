"""Messages on the page say what to do there, not what to write in a file or in a terminal."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

import nesting
import pieces
from nesting.output.place import fault_of
from nesting.page.tasks.channel import Record
from nesting.page.tasks.made.choices import more_widths
from nesting.page.tasks.planning import plan_order
from nesting.page.tasks.reading import look
from nesting.page.tasks.wording import fault_data
from pieces.errors import OrderFault
from tests.examples import some
from tests.nesting.order.test_remedies_followed import orders

OF_A_FILE = re.compile(
    r"(?<![\w-])--[a-z]|\bmetrage (plan|compare|bolt|draft|stock|wearers|card|trace)\b|Ctrl-C"
    r"|\w = [\w\"\[{]|\[\[|\[[a-z]+\.|\b[a-z]+_[a-z]"
    r"|\bbeside the file\b|\bin quotes\b|\bunquoted\b|\bthe line out\b"
)
"""Commands with their options, keys with their values, tables: nothing for who fills in fields."""
QUOTED = re.compile(r"""'[^']*'|"[^"]*"|“[^”]*”""")
_NOT_OF_THE_PAGE = re.compile(
    r"nesting/((cli|batch|stock|studies)/\w+|__init__)\.py|nesting/search/parallel/cluster\.py"
    r"|nesting/output/report/(bolts|fullness|yields)\.py|nesting/output/files/(\w+_)?records\.py"
    r"|nesting/page/(server/(serve|app)|shelf/book)\.py|nesting/books/file\.py"
    r"|nesting/wearers/(book|faults)\.py|pieces/wording\.py|pieces/trace/board\.py"
    r"|nesting/order/toml_slips\.py"
)
"""Doors of their own, what the terminal says of the page itself, what is no sentence, and what is
said of the order's text, which the page shows as text."""
_FOR_THE_FILE = {"either": 0, "elsewhere": 0, "in_text": 0, "_shaped": 2}
"""Where a sentence is given that a form has otherwise: which argument is the file's."""


@cache
def modules() -> tuple[tuple[str, tuple[ast.AST, ...]], ...]:
    """Every module that may bring words to the page: its place, and all that it is made of."""
    found = []
    for package in (nesting, pieces):
        root = Path(package.__file__ or "").parent
        for path in sorted(root.rglob("*.py")):
            place = str(path.relative_to(root.parent))
            if not _NOT_OF_THE_PAGE.match(place):
                tree = ast.parse(path.read_text(encoding="utf-8"))
                found.append((place, tuple(ast.walk(tree))))
    return tuple(found)


def makers(nodes: Iterable[ast.AST]) -> set[str]:
    """What a module calls the functions that make a sentence of parts."""
    imported = (node for node in nodes if isinstance(node, ast.ImportFrom))
    made = (node.names for node in imported if node.module == "pieces.wording")
    return {one.asname or one.name for names in made for one in names}


def called(node: ast.AST) -> str:
    """The name of the function that is called, if one is."""
    return node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""


def texts() -> Iterator[tuple[str, str]]:
    """Every sentence of the code that may come to the page, with where it stands."""
    for place, nodes in modules():
        passed = set()
        for node in nodes:
            if isinstance(node, ast.Expr):  # a docstring
                passed.add(id(node.value))
            elif called(node) in _FOR_THE_FILE:
                own = node.args[_FOR_THE_FILE[called(node)]]  # type: ignore[attr-defined]
                passed |= {id(one) for one in ast.walk(own)}
        for node in nodes:
            is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
            is_sentence = is_text and " " in node.value and "\n" not in node.value
            if is_sentence and id(node) not in passed:
                yield f"{place}:{node.lineno}", node.value


def test_no_sentence_speaks_of_a_file_or_a_command() -> None:
    every = list(texts())
    assert len(every) > 1500
    assert [one for one in every if OF_A_FILE.search(one[1])] == []


def test_no_part_is_lost_in_a_formatted_text() -> None:
    """A formatted text would keep the file's words of it alone, so it is put together with +."""
    lost: list[str] = []
    for place, nodes in modules():
        known = makers(nodes)
        formatted = (node for node in nodes if known and isinstance(node, ast.FormattedValue))
        lost += [
            f"{place}:{node.lineno}"
            for node in formatted
            if any(called(one) in known for one in ast.walk(node.value))
        ]
    assert lost == []


class Quiet:
    """A line to nobody."""

    def tell(self, told: dict[str, object]) -> None:
        """Say nothing."""

    def stop_asked(self) -> bool:
        return False


ORDER = """
name = "mat"
units = "cm"
[fabric.lawn]
width = 45
selvedge = 1
lays = ["open"]
[[piece]]
name = "mat"
fabric = "lawn"
outline = [[0, 0], [40.3, 0], [40.3, 40], [0, 40]]
"""


@pytest.mark.parametrize("width", some(["1", "9 km", "90 m"]))
def test_a_width_that_no_cloth_has_is_put_right_on_the_page(width: str, tmp_path: Path) -> None:
    request = {"order": ORDER, "folder": str(tmp_path), "rounds": 1, "seconds": 60}
    plan_order(request, Quiet())  # type: ignore[arg-type]
    with pytest.raises(OrderFault) as raised:
        more_widths(request | {"cloth": "lawn", "widths": [width]}, Quiet())  # type: ignore[arg-type]
    told = " ".join(str(fault_data(fault)) for fault in raised.value.faults)
    assert "--" not in told


def told_of(text: str) -> list[Record]:
    """The faults of an order as the page tells them."""
    answer = look({"order": text}, Quiet())  # type: ignore[arg-type]
    return list(answer["faults"])


@pytest.mark.parametrize(
    ("lays", "remedy"),
    [
        ('["quarter-fold"]', "Tick no lay, or choose “none” for nap if pieces may lie either way."),
        (
            '["open", "quarter-fold"]',
            "Untick “quarter-fold”, or choose “none” for nap if pieces may lie either way.",
        ),
        ("[]", "Tick one, or none to allow all."),
    ],
)
def test_lays_are_ticked(lays: str, remedy: str) -> None:
    text = ORDER.replace('lays = ["open"]', f'lays = {lays}\nnap = "one-way"')
    assert [one["remedy"] for one in told_of(text)] == [remedy]


def test_whatever_an_order_gets_wrong_is_put_right_on_the_page() -> None:
    """What the order wrote itself stands in quotes there."""
    told = [one for _, text in orders() for one in told_of(text)]
    assert len(told) > 150
    words = [QUOTED.sub("", f"{one['message']} {one['remedy']}") for one in told]
    assert [one for one in words if OF_A_FILE.search(one)] == []


def test_what_stands_in_the_way_of_the_drawings_is_put_right_on_the_page(tmp_path: Path) -> None:
    told = fault_data(*fault_of(tmp_path, PermissionError(13, "Permission denied")).faults)
    assert told["remedy"].startswith("The page draws in this computer's folder")
