"""Changing an order's text value by value, so that all else in it stays as it was written.

An edit names what to do and the path of a value, keys and indices from the top:

    {"do": "set", "path": ["fabric", "satin", "width"], "value": 150}
    {"do": "take", "path": [...]}                   away with it; an empty table with it
    {"do": "put", "path": [..., 2], "value": ...}   before the third of a list
    {"do": "move", "path": [..., 2], "to": 0}       within a list
    {"do": "rename", "path": ["fabric", "satin"], "value": "crêpe"}    wherever it is named
    {"do": "units", "value": "in"}                  bare numbers are given the unit they had
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from nesting.order.faults import joined
from nesting.page.tasks.lengths import is_length
from pieces.errors import Fault, OrderFault

Edit = dict[str, Any]
Table = Any
"""A dict of plain values, or the same in a document that keeps its comments."""
_INSIDE = (tomlkit.items.AoT, tomlkit.items.Table)
_ON_ONE_LINE = ("body", "shrinkage", "repeat", "border", "points", "minutes", "cutter")
"""Tables that are written on one line."""


_UNKNOWN = Fault("", "", "The page asked for a change that no order can take.")
_HEADING = re.compile(r"^([^\n#]*[^\s#][^\n]*\n)(\[)", re.MULTILINE)
"""A table's heading with no blank line above, as one put in has it."""


def edited(text: str, edits: Sequence[Edit]) -> str:
    """The text of an order with edits done one after the other.

    Raises
    ------
    OrderFault : an edit asks for what is not there
    ValueError : the text is no TOML

    >>> edited("width = 150  # as sold\\n", [{"do": "set", "path": ["width"], "value": 140}])
    'width = 140  # as sold\\n'
    """
    for edit in edits:
        text = _edited(text, edit)
    return text


def _edited(text: str, edit: Edit) -> str:
    plain = tomllib.loads(text)
    _do(plain, edit, dict)
    wanted = _values(plain)
    try:
        document = tomlkit.parse(_renamed_heads(text, edit))
        _do(document, edit, tomlkit.table)
        kept = _HEADING.sub(r"\1\n\2", tomlkit.dumps(document))
        if _values(tomllib.loads(kept)) == wanted:
            return kept
    except (TOMLKitError, OrderFault, ValueError, KeyError, TypeError, AttributeError):
        pass  # an order so written that only its values can be kept
    try:
        return tomlkit.dumps(plain)
    except (TOMLKitError, ValueError, TypeError, RecursionError):
        raise OrderFault([_UNKNOWN]) from None


def _values(order: dict[str, Any]) -> str:
    """All values, so that 1 is not the same as 1.0 or true."""
    return json.dumps(order, default=repr, sort_keys=True)


def _do(root: Table, edit: Edit, new: Callable[[], Table]) -> None:
    what = _DEEDS.get(str(edit.get("do")))
    if what is None or not isinstance(edit.get("path", []), list):
        raise OrderFault([_UNKNOWN])
    try:
        what(root, edit, new)
    except (KeyError, IndexError, TypeError, AttributeError, ValueError):
        message = "What was to be changed is not there any more."
        raise OrderFault([Fault("", "", message, "Look at the order and try again.")]) from None


def _set(root: Table, edit: Edit, new: Callable[[], Table]) -> None:
    *way, last = edit["path"]
    place = root
    for depth, step in enumerate(way):
        if isinstance(step, str) and step not in place:
            place[step] = tomlkit.inline_table() if step in _ON_ONE_LINE and depth else new()
        place = place[step]
    if isinstance(last, str) is not isinstance(place, dict):
        raise TypeError(last)
    if last in place or way == ["fabric"] or isinstance(place, list):
        place[last] = edit["value"]
        return
    # What stands on a line of its own comes before the tables inside; they would swallow it.
    inside = {name: one for name, one in place.items() if isinstance(one, _INSIDE)}
    for name in inside:
        del place[name]
    place[last] = edit["value"]
    for name, one in inside.items():
        place[name] = one


def _take(root: Table, edit: Edit, _: Callable[[], Table]) -> None:
    *way, last = edit["path"]
    places = [root]
    for step in way:
        places.append(places[-1][step])
    del places[-1][last]
    if way and isinstance(way[-1], str) and len(places) > 2 and not places[-1]:
        del places[-2][way[-1]]


def _put(root: Table, edit: Edit, new: Callable[[], Table]) -> None:
    *way, name, index = edit["path"]
    place = root
    for step in way:
        place = place[step]
    value = edit["value"]
    tables = isinstance(value, dict) and name in ("garment", "part", "piece", "notion", "done")
    if name not in place:
        place[name] = tomlkit.aot() if tables and new is not dict else []
    if tables and new is not dict and hasattr(place[name], "body"):
        value = _as_table(value)
    place[name].insert(index, value)


def _move(root: Table, edit: Edit, _: Callable[[], Table]) -> None:
    *way, index = edit["path"]
    place = root
    for step in way:
        place = place[step]
    moved = place[index]
    del place[index]
    place.insert(edit["to"], moved)


def _rename(root: Table, edit: Edit, _: Callable[[], Table]) -> None:
    """A cloth's new name, at its old place, in every part and piece that is cut from it."""
    (_, old), new = edit["path"], edit["value"]
    cloths = root["fabric"]
    if old not in cloths and new not in cloths:
        raise KeyError(old)
    if old in cloths:  # in a document its heading has the new name already
        if new in cloths:
            message = f"There is a cloth '{new}' already."
            raise OrderFault([Fault("", joined("fabric", old), message, "Give it another name.")])
        values = [(new if name == old else name, one) for name, one in cloths.items()]
        cloths.clear()
        cloths.update(values)
    for part in _cut(root):
        for key in ("fabric", "lining"):
            if part.get(key) == old:
                part[key] = new
    brought = root.get("costing", {}).get("brought", [])
    for index, name in enumerate(brought):
        if name == old:
            brought[index] = new


def _renamed_heads(text: str, edit: Edit) -> str:
    """The text with the new name of a cloth in the headings of its tables."""
    if edit.get("do") != "rename":
        return text
    old, new = edit["path"][1], joined("", edit["value"])
    written = "|".join(re.escape(way) for way in (joined("", old), f'"{old}"', f"'{old}'"))
    head = re.compile(rf"^(\s*\[\s*fabric\s*\.\s*)(?:{written})(?=\s*[\].])", re.MULTILINE)
    return head.sub(lambda found: found[1] + new, text)


def _cut(root: Table) -> Iterator[Table]:
    """Every table of the order that names a cloth."""
    yield from root.get("piece", [])
    yield from root.get("notion", [])
    for garment in root.get("garment", []):
        yield from garment.get("part", [])


def _units(root: Table, edit: Edit, _: Callable[[], Table]) -> None:
    """Another unit of bare numbers; those that are there keep theirs, as text."""
    old = root.get("units")
    root["units"] = edit["value"]
    if isinstance(old, str):
        _keep_unit(root, old, ())


def _keep_unit(value: Table, unit: str, way: tuple[str | int, ...]) -> None:
    steps = value.items() if isinstance(value, dict) else enumerate(value)
    for step, one in list(steps):
        here = (*way, step)
        if isinstance(one, dict | list):
            _keep_unit(one, unit, here)
        elif isinstance(one, int | float) and not isinstance(one, bool) and is_length(here):
            value[step] = f"{one:.15g} {unit}" if isinstance(one, float) else f"{one} {unit}"


def _as_table(value: dict[str, Any]) -> Any:
    table = tomlkit.table()
    for name, one in value.items():
        if name == "part" and isinstance(one, list):
            parts = tomlkit.aot()
            for part in one:
                parts.append(_as_table(part))
            table[name] = parts
        elif isinstance(one, dict):
            row = tomlkit.inline_table()
            row.update(one)
            table[name] = row
        else:
            table[name] = one
    return table


_DEEDS: dict[str, Callable[[Table, Edit, Callable[[], Table]], None]] = {
    "set": _set,
    "take": _take,
    "put": _put,
    "move": _move,
    "rename": _rename,
    "units": _units,
}
