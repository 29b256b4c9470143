"""Which values of an order are lengths, by their path; told by the tables' own types."""

from __future__ import annotations

import typing
from collections.abc import Sequence
from dataclasses import fields
from functools import cache
from typing import Any

from nesting.order import schema as schema
from nesting.order.schema_notions import NotionTable
from pieces import fields as kinds
from pieces.body.measurements import Body
from pieces.drafting.registry import DRAFTS

_LENGTHS = (kinds.Length, kinds.LengthOrZero, kinds.Coordinate)
_LISTS = ("outline", "grain", "on_fold", "second_fold")
"""Lists of points."""
_IN_A_CLOTH = ("length", "width", "depth", "from_edge", "from", "to", "across", "outline")
"""Lengths in the tables inside a cloth's: of lengths in hand, prints and flaws."""
_OF_A_POINT = ("along", "across")


def is_length(way: Sequence[str | int]) -> bool:
    """Whether a bare number at a path of an order is a length.

    >>> is_length(("fabric", "satin", "width")), is_length(("fabric", "satin", "price"))
    (True, False)
    >>> is_length(("garment", 0, "body", "chest")), is_length(("garment", 0, "part", 1, "fullness"))
    (True, False)
    """
    names = [step for step in way if isinstance(step, str)]
    last = names[-1]
    if names[0] == "fabric":
        if len(names) > 3:
            return names[2] != "shrinkage" and last in _IN_A_CLOTH
        return last == "in_hand" or last in _length_names(schema.FabricTable)
    if "points" in names:
        return last in _OF_A_POINT
    if names[0] == "garment":
        if "body" in names:
            return last in _length_names(Body)
        return "part" in names and (last in _part_lengths() or last in _LISTS)
    if names[0] == "notion":
        return last in ("sizes", *_length_names(NotionTable))
    if names[0] == "piece":
        return last in _LISTS or last in _length_names(schema.PieceTable)
    return len(names) == 1 and last in _length_names(schema.OrderTable)


@cache
def _part_lengths() -> frozenset[str]:
    """Names of lengths of any draft; none of them is another kind of number elsewhere."""
    found = _length_names(schema.PartTable) | _length_names(schema.DrawingTable)
    options: list[Any] = [draft.options for draft in DRAFTS.values()]
    for one in options:
        found |= _length_names(one)
    return found


@cache
def _length_names(table: type[Any]) -> frozenset[str]:
    hints = typing.get_type_hints(table, include_extras=True)
    return frozenset(
        field.name for field in fields(table) if kind_of(hints[field.name]) in _LENGTHS
    )


def kind_of(hint: Any) -> Any:
    """The type of a field that may also be None, without that."""
    options = [one for one in typing.get_args(hint) if one is not type(None)]
    is_union = type(None) in typing.get_args(hint)
    return options[0] if is_union and len(options) == 1 else hint
