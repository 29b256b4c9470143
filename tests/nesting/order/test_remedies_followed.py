"""Remedies of faulty orders, followed word for word: what was told is told no more."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit

from nesting.order.read import order_from_text
from pieces.errors import Fault, OrderFault
from tests.nesting.order.test_order_file import HEAD, TAIL, bad_orders

_STEP = re.compile(r'"([^"]+)"|\[(\d+)\]|([\w-]+)')
_ELSE = (
    "There is no such file.",
    "has no repeat, so nothing can meet.",
    "There is no point called",
)
"""What an example may lack beside, in an order that is faulty only to be mended."""
_BARE = {
    "Write true or false": True,
    "Write a whole number": 2,
    "Write a plain number": 2.5,
    "Write [12.5, 0]": [12.5, 0],
}
_KEY = re.compile(r"([a-z_]+) = ")
_TO = re.compile(r" to ([\w ]+?),? or take")


def faults_of(data: dict[str, Any]) -> tuple[Fault, ...]:
    try:
        order_from_text(tomlkit.dumps(data), "order.toml")
    except OrderFault as refused:
        return refused.faults
    return ()


def way_to(key: str) -> list[str | int]:
    return [
        int(number) if number else quoted or plain for quoted, number, plain in _STEP.findall(key)
    ]


def table_of(data: dict[str, Any], way: list[str | int]) -> Any:
    found: Any = data
    for step in way[:-1]:
        found = found[step]
    return found


def values_in(remedy: str) -> Iterator[tuple[str, Any]]:
    """The keys that a remedy tells to write, with the values that it gives."""
    for match in _KEY.finditer(remedy):
        for end in range(len(remedy), match.end(), -1):
            try:
                found = tomllib.loads(remedy[match.start() : end].rstrip(" .,:;)"))
            except tomllib.TOMLDecodeError:
                continue
            yield from found.items()
            return  # what follows is inside of it, or instead of it


def followed(data: dict[str, Any], fault: Fault) -> Iterator[dict[str, Any]]:
    """The order changed as the remedy has it, once for each thing that it tells to do."""
    way = way_to(fault.key)
    for key, value in values_in(fault.remedy):
        changed = copy.deepcopy(data)
        named = _TO.search(fault.remedy)
        if named and not fault.remedy.startswith("Write"):
            changed["fabric"][named[1]][key] = value
        else:
            table_of(changed, way)[key] = value
        yield changed
    for value in bare_values(fault):
        changed = copy.deepcopy(data)
        table_of(changed, way)[way[-1]] = value
        yield changed
    for out in re.findall(r'[Tt]ake (?:out (\w+)|"?([\w-]+|the line)"? out)', fault.remedy):
        changed = copy.deepcopy(data)
        if taken_out(table_of(changed, way), way[-1], "".join(out)):
            yield changed


def bare_values(fault: Fault) -> list[Any]:
    """What to write instead, where the remedy gives values without a key."""
    if fault.remedy.startswith("Write one of these"):
        return re.findall(r'"([\w-]+)"', fault.message.split("is not one of")[1])
    return [value for start, value in _BARE.items() if fault.remedy.startswith(start)]


def taken_out(own: Any, last: str | int, name: str) -> bool:
    """Take a key out of its table, or a value out of the list that is at fault."""
    if isinstance(own[last], list) and name in own[last]:
        own[last].remove(name)
        return True
    return own.pop(last if name == "the line" else name, None) is not None


CLOTH = [
    "shrinkage = 3", "repeat = 32", "border = 12", "lays = []", 'lays = "open"', 'in_hand = "2 m"',
    'flaws = "a stain"', "flaws = [{ from = 40, across = 20 }]", "flaws = [{ outline = [[0, 0]] }]",
    "flaws = [{ from = 40, to = 45, across = [20] }]", "tilt = 90", "price = 3",
    "shrinkage = { length = 60 }", "repeat = { from_edge = 3 }", "flaws = [{}]",
    "nap = true", "faces = 1", 'nap = "one-way"\nlays = ["quarter-fold"]',
]  # fmt: skip
PIECE = [
    'match = "waist"', "points = 3", "grain = [0, 0]", "grain = [[0, 0], [0, 0]]", "on_fold = 3",
    "on_fold = true", "cut = 5000", "cut = 0.5", 'pair = "no"', 'grain_rule = "along"',
    "points = { waist = 3 }", "points = { waist = {} }", "border = true", 'match = ["waist"]',
    "motif = 3", "second_fold = [[0, 0], [20, 0]]",
]  # fmt: skip


def orders() -> Iterator[tuple[str, str]]:
    """Titles and texts of faulty orders."""
    yield from ((title, text) for title, text, _ in bad_orders())
    yield from ((line, f"{HEAD}{line}\n{TAIL}") for line in CLOTH)
    yield from ((line, f"{HEAD}{TAIL}{line}\n") for line in PIECE)


def cases() -> list[Any]:
    found = []
    for title, text in orders():
        try:
            data = tomllib.loads(text)
        except tomllib.TOMLDecodeError:
            continue
        found += [
            pytest.param(data, fault, id=f"{title}, {fault.key}")
            for fault in faults_of(data)
            if fault.key and list(_tried(data, fault))
        ]
    return found


def _tried(data: dict[str, Any], fault: Fault) -> Iterator[dict[str, Any]]:
    try:
        yield from followed(data, fault)
    except (KeyError, TypeError, IndexError):  # the table that holds it is itself at fault
        return


@pytest.mark.parametrize(("data", "fault"), cases())
def test_what_a_remedy_tells_to_write_helps(data: dict[str, Any], fault: Fault) -> None:
    known = {one.message for one in faults_of(data)}
    for changed in followed(data, fault):
        left = faults_of(changed)
        assert fault not in left
        at = {one.message for one in left if one.key == fault.key} - known
        assert not [message for message in at if not any(end in message for end in _ELSE)], changed


def test_most_remedies_can_be_followed_so() -> None:
    assert len(cases()) > 60
