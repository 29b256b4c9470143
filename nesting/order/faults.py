"""Checking the tables of an order file, and saying in plain words what is wrong with them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import fields
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, TypedDict, TypeVar, cast

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from pieces.errors import BadValue, Fault, OrderFault
from pieces.units import Unit, shown
from pieces.wording import Wording, either, such_as
from pieces.wording import key as named

T = TypeVar("T")
Name = TypeVar("Name", str, tuple[str, str])

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")

MISSING = either("This key is missing.", "This is missing.")
_UNKNOWN = either("This key is not known here.", "This is not known here.")
_ADD = {
    "units": either(
        'Add units = "cm" (or "mm" or "in") at the top: the unit of bare numbers.',
        "Choose your unit at the top.",
    ),
    "width": "Add the full width of the cloth, " + such_as("width", "150 cm") + ".",
    "length": "Add how long it is, " + such_as("length", "2.25 m") + ".",
    "name": "Add a name" + either(" in quotes", "") + ", " + such_as("name", "Dora") + ".",
    "fabric": either(
        'Add the cloth it is cut from, such as fabric = "satin".',
        "Choose one of the cloths, or add one.",
    ),
    "outline": either(
        "Add its points, such as outline = [[0, 0], [40, 0], [40, 30]].", "Add its corners."
    ),
}
"""What to write for a key that must be there."""
_ONE_OF_THESE = either("Write one of these, in quotes.", "Choose one of these.")
_LIMITS = {
    "greater_than": ("too small", "more than {:g}"),
    "greater_than_equal": ("too small", "{:g} or more"),
    "less_than": ("too large", "less than {:g}"),
    "less_than_equal": ("too large", "{:g} or less"),
}


class Context(TypedDict):
    """What the types of an order's values need to know of the order."""

    unit: Unit
    fabrics: tuple[str, ...] | None
    """The names of its cloths; None where any name will do."""


class FaultCollector:
    """Where an order is looked through: all its faults are gathered before any is raised."""

    def __init__(
        self,
        where: str,
        unit: Unit,
        fabrics: Collection[str],
        drawing: Callable[[str], Path] | None = None,
        said: Callable[[str], str] = str,
    ) -> None:
        """`drawing` finds the drawing file of a name; by default beside the order file.

        `said` tells what a person calls a key.
        """
        self.where = where
        self.said = said
        self.drawing = drawing or (lambda name: Path(where).parent / name)
        self.unit = unit
        self.fabrics = frozenset(fabrics)
        self._context: Context = {"unit": unit, "fabrics": tuple(fabrics)}
        self._faults: list[Fault] = []

    def fault(self, key: str, message: str, remedy: str = "") -> None:
        """Note one thing to put right."""
        self._faults.append(Fault(self.where, key, message, remedy, self.said(key)))

    def close(self) -> None:
        """Raise all that was noted, in the order noted, as one OrderFault."""
        if self._faults:
            raise OrderFault(self._faults)

    def read(
        self, kind: type[T], raw: Mapping[str, object], key: str, *, beside: Collection[str] = ()
    ) -> T | None:
        """Read one table as `kind`, a dataclass, and note all its faults.

        Where a value is at fault, the rest comes with what stands for it when absent, so that
        the rest can still be checked; None where that can't be. Keys in `beside` are for
        someone else to read. A field may be written otherwise than it is called: WRITTEN says so.
        """
        written: dict[str, str] = getattr(kind, "WRITTEN", {})
        names = [field.name for field in fields(kind)]  # type: ignore[arg-type]
        known = {written.get(name, name) for name in names}
        self._look_over(raw, key, known.union(beside))
        asked = {name: value for name, value in raw.items() if name in known}
        validate = _adapter(kind).validate_python  # type: ignore[arg-type]
        try:
            return cast(T, validate(asked, context=self._context))
        except ValidationError as error:
            self._refused(error, key, asked)
            bad = {str(detail["loc"][0]) for detail in error.errors() if detail["loc"]}
        stand_in: dict[str, object] = getattr(kind, "STAND_IN", {})
        kept = stand_in | {name: value for name, value in asked.items() if name not in bad}
        try:
            return cast(T, validate(kept, context=self._context | {"fabrics": None}))
        except ValidationError:
            return None

    def _look_over(self, raw: Mapping[str, object], key: str, known: Collection[str]) -> None:
        """Note the keys of a table that nobody reads."""
        for name in raw:
            if name not in known:
                listed = Wording(", ").join(map(named, sorted(known)))
                remedy = nearest(name, known) or "Known here: " + listed + "."
                self.fault(joined(key, name), _UNKNOWN, remedy)

    def _refused(self, error: ValidationError, key: str, raw: Mapping[str, object]) -> None:
        told = set()
        for detail in error.errors(include_url=False):
            way = joined(key, *_way(detail, raw))
            if way not in told:  # a value that fits none of several types is told of once
                told.add(way)
                self.fault(way, *_in_words(detail, raw))


def refuse_taken(
    collector: FaultCollector, taken: dict[Name, str], names: Iterable[Name], key: str
) -> None:
    """Note a name that stands in the order before; `taken` tells where."""
    for name in names:
        if name in taken:
            shown_name = name if isinstance(name, str) else name[1]
            collector.fault(
                key,
                f"The name '{shown_name}' is taken by {collector.said(taken[name])}.",
                "Give each its own name, or count copies with "
                + named("quantity")
                + " or "
                + named("cut")
                + ".",
            )
            return
        taken[name] = key.removesuffix(".name")


def in_text(
    remedy: str, on_form: str = "Take it out of the order's text, and fill in its fields instead."
) -> Wording:
    """How a key is written that is no single field of a form."""
    return either(remedy, on_form)


def joined(key: str, *names: str | int) -> str:
    """The path of a key inside a table.

    >>> joined("fabric", "ivory satin", "width"), joined("", "garment", 0)
    ('fabric."ivory satin".width', 'garment[0]')
    """
    for name in names:
        if isinstance(name, int):
            key += f"[{name}]"
        else:
            bare = name if _BARE_KEY.fullmatch(name) else json.dumps(name, ensure_ascii=False)
            key = f"{key}.{bare}" if key else bare
    return key


def nearest(word: object, known: Iterable[str]) -> str:
    """A question that offers the known word nearest to `word`; empty if none is near.

    >>> nearest("widht", ["width", "nap"])
    'Did you mean "width"?'
    """
    by_lower = {name.lower(): name for name in known}
    found = get_close_matches(str(word).lower(), by_lower, n=1)
    return f'Did you mean "{by_lower[found[0]]}"?' if found else ""


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _way(detail: ErrorDetails, raw: Mapping[str, object]) -> list[str | int]:
    """The way to a value, as far as the order itself has it."""
    way: list[str | int] = []
    value: Any = raw
    for step in detail["loc"]:
        if isinstance(value, dict) and isinstance(step, str):
            value = value.get(step)
        elif isinstance(value, list) and isinstance(step, int) and step < len(value):
            value = value[step]
        else:
            break
        way.append(step)
    return way


def _in_words(detail: ErrorDetails, raw: Mapping[str, object]) -> tuple[str, str]:
    """What is wrong with one value, and what would help."""
    kind = detail["type"]
    value = _value(detail, raw)
    context = detail.get("ctx", {})
    if kind == "missing":
        name = str(detail["loc"][-1])
        return MISSING, _ADD.get(name, "Add it.")
    if kind == "value_error":
        return _of_value(context["error"])
    if kind in ("enum", "literal_error"):
        return _choice(value, str(context["expected"]))
    if kind in _LIMITS:
        size, allowed = _LIMITS[kind]
        limit = float(next(iter(context.values())))
        return f"{_begun(shown(value))} is {size}.", f"It must be {allowed.format(limit)}."
    return f"{_begun(shown(value))} is not understood here.", f"{detail['msg']}."


def _value(detail: ErrorDetails, raw: Mapping[str, object]) -> object:
    value: Any = raw
    for step in _way(detail, raw):
        value = value.get(step) if isinstance(value, dict) else value[step]
    return value


def _choice(value: object, expected: str) -> tuple[str, str]:
    choices = re.findall(r"'([^']*)'", expected)
    listed = ", ".join(f'"{choice}"' for choice in choices)
    remedy = nearest(value, choices) if isinstance(value, str) else ""
    message = f"{_begun(shown(value))} is not one of {listed}."
    return message, remedy or _ONE_OF_THESE


def _of_value(error: BadValue) -> tuple[str, str]:
    """What a type of values says of one that it refuses."""
    return _begun(error.message), error.remedy


def _begun(text: str) -> str:
    """A sentence with its capital; one that begins with a value as written is left alone."""
    return text[:1].upper() + text[1:] if text.startswith("a ") else text
