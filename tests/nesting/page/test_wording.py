"""Messages on the page say what to do there, not what to write in a file or in a terminal."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import nesting
import pieces
from nesting.page.tasks.made.choices import more_widths
from nesting.page.tasks.planning import plan_order
from nesting.page.tasks.wording import fault_data, on_the_page
from pieces.errors import Fault, OrderFault

_COMMANDS = re.compile(r"(?<![\w-])--[a-z]|\bmetrage (plan|compare|bolt|draft|stock)\b|Ctrl-C")
_KEYS = re.compile(r"""\b[a-z_]+ = ("|\d|\[|\{)|\[\[|[a-z]_[a-z]""")
_NOT_OF_THE_PAGE = re.compile(
    r"nesting/(cli|batch|stock|studies)/\w+\.py|nesting/search/parallel/cluster\.py"
    r"|nesting/output/files/(\w+_)?records\.py"
    r"|nesting/output/(claim|place)\.py|nesting/output/report/(bolts|fullness|yields)\.py"
    r"|nesting/page/(server/(serve|app)|tasks/wording)\.py|pieces/trace/\w+\.py"
)
"""Doors of their own, and what the terminal says of the page itself."""
_REMEDY = re.compile(r"^(Give|Add|Take|Write|Name|Put|Let|Choose|Or|Try|Head|Measure)\b.*[.,]?$")
_OF_THE_TEXT = (
    *("Each one needs a table", "Every cloth needs", "A border is given", "Cloth at hand is"),
    *("A line is two points", "An outline is at least", "Look here"),
    *("Write cutter =", "Add wearers ="),
)
"""What only the order's text can get wrong, which stands on the page as a file."""


def texts() -> Iterator[tuple[str, str]]:
    """Every text of the code that may come to the page, with where it stands."""
    for package in (nesting, pieces):
        root = Path(package.__file__ or "").parent
        for path in sorted(root.rglob("*.py")):
            place = str(path.relative_to(root.parent))
            if _NOT_OF_THE_PAGE.match(place):
                continue
            tree = ast.parse(path.read_text(encoding="utf-8"))
            docs = {
                id(node.body[0].value)
                for node in ast.walk(tree)
                if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
                and node.body
                and isinstance(node.body[0], ast.Expr)
            }
            for node in ast.walk(tree):
                is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
                if is_text and id(node) not in docs:
                    yield f"{place}:{node.lineno}", node.value


def test_no_text_speaks_of_commands() -> None:
    spoken = [(where, text) for where, text in texts() if " " in text and _COMMANDS.search(text)]
    assert spoken  # there are such texts, for the other doors
    assert [one for one in spoken if _COMMANDS.search(on_the_page(one[1]))] == []


def test_no_remedy_speaks_of_keys() -> None:
    spoken = [
        (where, on_the_page(text))
        for where, text in texts()
        if _REMEDY.match(text) and " " in text and not text.startswith(_OF_THE_TEXT)
    ]
    assert len(spoken) > 50
    assert [one for one in spoken if _KEYS.search(one[1])] == []


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


@pytest.mark.parametrize("width", ["1", "9 km", "90 m"])
def test_a_width_that_no_cloth_has_is_put_right_on_the_page(width: str, tmp_path: Path) -> None:
    request = {"order": ORDER, "folder": str(tmp_path), "rounds": 1, "seconds": 60}
    plan_order(request, Quiet())  # type: ignore[arg-type]
    with pytest.raises(OrderFault) as raised:
        more_widths(request | {"cloth": "lawn", "widths": [width]}, Quiet())  # type: ignore[arg-type]
    told = " ".join(str(fault_data(fault)) for fault in raised.value.faults)
    assert "--" not in told


def test_lays_are_ticked() -> None:
    remedy = 'Take the line out, or write nap = "none" if pieces may lie either way.'
    told = on_the_page(remedy)
    assert told == "Tick no lay, or choose “none” for nap if pieces may lie either way."
    assert on_the_page('Write lays = ["open"], or take the line out to allow all.') == (
        "Tick one, or none to allow all."
    )


def test_what_stands_in_the_way_of_the_drawings_is_put_right_on_the_page() -> None:
    remedy = "Name another folder with --out, or make room for this one."
    told = fault_data(Fault("out", "", "It can't be written.", remedy))
    assert told["remedy"].startswith("The page draws in this computer's folder")
