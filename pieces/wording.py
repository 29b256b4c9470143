"""Sentences that speak of an order's keys: one way for its file, another for a form.

    "Give a shorter " + key("strip_length") + ", or " + choose("waist", "natural") + "."

As text it is what one who writes the file is told:

    Give a shorter strip_length, or write waist = "natural".

A form has fields instead of keys, and is told, whatever it calls these:

    Give a shorter strip length, or choose “natural” for waist.

Put such sentences together with ``+`` or `Wording.join`: a formatted text keeps only the file's.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass

Value = str | float
"""What an order's file can give a key."""


def exactly(mm: float, digits: int = 3) -> str:
    """A length as one who measures it anew has it."""
    return f"{mm:.{digits}f} mm"


@dataclass(frozen=True, slots=True)
class Form:
    """How a form speaks: what it calls the field of a key, and how it tells a measured length."""

    label: Callable[[str], str] = str
    length: Callable[[float], str] = exactly


@dataclass(frozen=True, slots=True)
class _Key:
    """A key by its name."""

    name: str

    def in_file(self) -> str:
        return self.name

    def on_form(self, form: Form) -> str:
        return form.label(self.name)


@dataclass(frozen=True, slots=True)
class _Write:
    """Giving a key one of some values: each verb is what one does, and `more` follows them."""

    name: str
    values: tuple[Value, ...]
    in_file_verb: str
    on_form_verb: str
    more: str = ""

    def in_file(self) -> str:
        values = " or ".join(map(written, self.values))
        return f"{self.in_file_verb} {self.name} = {values}{self.more}"

    def on_form(self, form: Form) -> str:
        quoted = "“{}”" if self.on_form_verb == "choose" else "{}"
        values = " or ".join(quoted.format(_plainly(one)) for one in self.values)
        return f"{self.on_form_verb} {values}{self.more} for {form.label(self.name)}"


@dataclass(frozen=True, slots=True)
class _SuchAs:
    """A value of a key as an example."""

    name: str
    value: Value

    def in_file(self) -> str:
        return f"such as {self.name} = {written(self.value)}"

    def on_form(self, form: Form) -> str:
        return f"such as {_plainly(self.value)}"


@dataclass(frozen=True, slots=True)
class _Exact:
    """A length as it was measured."""

    mm: float
    digits: int

    def in_file(self) -> str:
        return exactly(self.mm, self.digits)

    def on_form(self, form: Form) -> str:
        return form.length(self.mm)


@dataclass(frozen=True, slots=True)
class _Either:
    """What is done otherwise on a form than in a file."""

    file: str
    form: str

    def in_file(self) -> str:
        return self.file

    def on_form(self, form: Form) -> str:
        return self.form


_Speaking = _Key | _Write | _SuchAs | _Exact | _Either
_Part = str | _Speaking


_ANY_FORM = Form()


class Wording(str):
    """A sentence, or some, with parts that speak of keys; as text it is the file's."""

    __slots__ = ("_parts",)
    _parts: tuple[_Part, ...]

    def __new__(cls, *parts: _Part) -> Wording:
        """Put parts one behind another; what was put together before keeps its own."""
        flat: list[_Part] = []
        for part in parts:
            flat += part._parts if isinstance(part, Wording) else (part,)
        made = super().__new__(cls, _said(flat, lambda part: part.in_file()))
        made._parts = tuple(flat)
        return made

    def __add__(self, other: str) -> Wording:
        return Wording(self, other)

    def __radd__(self, other: str) -> Wording:
        return Wording(other, self)

    def __getnewargs__(self) -> tuple[_Part, ...]:  # type: ignore[override]
        """So that it is whole again in another process."""
        return self._parts

    def join(self, several: Iterable[str]) -> Wording:
        """Several with this between them."""
        parts: list[_Part] = []
        for one in several:
            parts += [self, one] if parts else [one]
        return Wording(*parts)

    def on_form(self, form: Form = _ANY_FORM) -> str:
        """The same for a form."""
        return _said(self._parts, lambda part: part.on_form(form))


def key(name: str) -> Wording:
    """A key by its name.

    >>> less = "Give a smaller " + key("neck_depth") + "."
    >>> less.on_form(Form(lambda name: "depth of the neck"))
    'Give a smaller depth of the neck.'
    """
    return Wording(_Key(name))


def write(name: str, value: Value, more: str = "", verb: str = "write") -> Wording:
    """Giving a key a value, and what is said of it; with a capital where it begins a sentence.

    >>> several = write("panels", 2, " or more") + "."
    >>> str(several), several.on_form()
    ('Write panels = 2 or more.', 'Write 2 or more for panels.')
    """
    return Wording(_Write(name, (value,), verb, verb, more))


def choose(name: str, *values: str) -> Wording:
    """Giving a key one of some words that it knows.

    >>> closed = choose("closing", "zip", "buttons")
    >>> str(closed), closed.on_form()
    ('Write closing = "zip" or "buttons"', 'Choose “zip” or “buttons” for closing')
    """
    return Wording(_Write(name, values, "write", "choose"))


def such_as(name: str, value: Value) -> Wording:
    """An example of what a key may be given.

    >>> width = "Add the full width, " + such_as("width", "150 cm") + "."
    >>> str(width), width.on_form()
    ('Add the full width, such as width = "150 cm".', 'Add the full width, such as 150 cm.')
    """
    return Wording(_SuchAs(name, value))


def exact(mm: float, digits: int = 3) -> Wording:
    """A measured length, to so many digits of a millimetre; a form may tell it as a tape has it.

    >>> apart = "they lie " + exact(12.3456) + " apart"
    >>> str(apart), apart.on_form(Form(length=lambda mm: f"{mm / 10:.1f} cm"))
    ('they lie 12.346 mm apart', 'they lie 1.2 cm apart')
    """
    return Wording(_Exact(mm, digits))


def either(in_file: str, on_form: str) -> Wording:
    """What is done otherwise on a form than in a file."""
    return Wording(_Either(in_file, on_form))


def on_form(text: str, form: Form) -> str:
    """Any text as a form says it."""
    return text.on_form(form) if isinstance(text, Wording) else text


def written(value: Value) -> str:
    """A value as an order's file has it.

    >>> written("A4"), written(2), written(1.28)
    ('"A4"', '2', '1.28')
    """
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value:g}"


def _plainly(value: Value) -> str:
    """A value as one writes it into a field."""
    return value if isinstance(value, str) else written(value)


def _said(parts: Iterable[_Part], say: Callable[[_Speaking], str]) -> str:
    """Parts as one text; a verb that begins a sentence has its capital."""
    text = ""
    for part in parts:
        said = part if isinstance(part, str) else say(part)
        begins = isinstance(part, _Write) and (not text or text.endswith(". "))
        text += said[:1].upper() + said[1:] if begins else said
    return text
