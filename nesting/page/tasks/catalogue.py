"""What an order may hold, for the form: drafts with their measures, sizes and lays.

Names, choices, defaults and hints come from the very classes that read an order, so that the
form can't ask for what the file doesn't know.
"""

from __future__ import annotations

import re
import typing
from dataclasses import MISSING, fields
from enum import Enum
from typing import Any

from nesting.fabric.fabric import LayName
from nesting.order.schema_costing import CostingTable, CutterTable
from nesting.page.tasks.books import books
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.lengths import kind_of
from pieces import fields as kinds
from pieces.body.measurements import Body, in_words
from pieces.body.tables import SIZES
from pieces.drafting.registry import DRAFTS

_KINDS = {
    kinds.Length: "length",
    kinds.LengthOrZero: "length",
    kinds.Ratio: "number",
    kinds.Percent: "number",
    kinds.Count: "count",
    kinds.CountOrZero: "count",
    kinds.Flag: "flag",
}
_CUTTER = {
    "fold": "to lay a fold",
    "outline": "to pin an outline",
    "metre": "to cut a metre",
    "join": "to sew a join",
}
_ATTRIBUTE = re.compile(r"^    (\w+(?:, \w+)*) : (.*(?:\n        .*)*)", re.MULTILINE)
_IN_BRACKETS = re.compile(r"\s*\([^()]*\)")


def catalogue(_: Record, __: TaskChannel) -> Record:
    """All of it, as the page asks for it once."""
    return {
        "drafts": [
            {
                "name": kind.name,
                "description": kind.description,
                "needs_bodice": kind.needs_bodice,
                "options": options_of(kind.options),
            }
            for kind in DRAFTS.values()
        ],
        "measures": [
            {"name": field.name, "label": in_words(field.name)} | _told(Body, field.name)
            for field in fields(Body)
        ],
        "sizes": {name: _measures(body) for name, body in SIZES.items()},
        "lays": [lay.value for lay in LayName],
        "books": books(),
        "costing": {
            "amounts": list(typing.get_args(typing.get_type_hints(CostingTable)["amounts"])),
            "cutter": {
                field.name: {"label": _CUTTER[field.name], "absent": str(field.default)}
                for field in fields(CutterTable)
            },
        },
    }


def _measures(body: Body) -> dict[str, float]:
    """What a size table gives, in mm."""
    given = ((field.name, getattr(body, field.name)) for field in fields(Body))
    return {name: value for name, value in given if value is not None}


def options_of(options: type[Any]) -> list[Record]:
    """The options of a draft: name, kind, choices, default (lengths in mm) and a hint."""
    hints = typing.get_type_hints(options, include_extras=True)
    return [
        {
            "name": field.name,
            "label": field.name.replace("_", " "),
            "default": None if field.default is MISSING else field.default,
        }
        | _kind(kind_of(hints[field.name]))
        | _told(options, field.name)
        for field in fields(options)
    ]


def _kind(hint: Any) -> Record:
    if typing.get_origin(hint) is typing.Literal:
        return {"kind": "choice", "choices": list(typing.get_args(hint))}
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"kind": "choice", "choices": [one.value for one in hint]}
    return {"kind": _KINDS.get(hint, "text")}


def _told(table: type[Any], name: str) -> Record:
    """What the class says of a field: what it is, and what is taken if it is left blank."""
    for one in table.__mro__:
        for names, text in _ATTRIBUTE.findall(one.__doc__ or ""):
            if name in names.split(", "):
                hint, _, blank = _without_sources(text).partition(";")
                return {"hint": hint.strip(" ."), "blank": blank.strip(" .")}
    return {"hint": "", "blank": ""}  # a class of options with a field it doesn't tell of


def _without_sources(text: str) -> str:
    plain = " ".join(text.split())
    while (shorter := _IN_BRACKETS.sub("", plain)) != plain:
        plain = shorter
    return plain.replace("_", " ").replace("`", "")
