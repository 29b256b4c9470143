"""What the library reads no further: how large a page's unit is, and which layers are off.

A unit is 1/72 of an inch, or a multiple that the page gives (ISO 32000-1, 14.11.2 and table 30). A
layer (optional content) is off where the default configuration says so (8.11.4.3). Both are found
in the file as the library writes it anew, with every object by itself and unpacked.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

_PAGE = re.compile(rb"/Type\s*/Page(?![a-zA-Z])")
_UNIT = re.compile(rb"/UserUnit\s+([0-9.]+)")
_KIDS = re.compile(rb"/Kids\s*\[([^\]]*)\]")
_OBJECT = re.compile(rb"(?m)^([0-9]+) 0 obj\r?\n(.*?)\r?\nendobj", re.DOTALL)
_ROOT = re.compile(rb"/Type\s*/Catalog")
_PAGES = re.compile(rb"/Pages\s+([0-9]+) 0 R")
_REFERENCE = re.compile(rb"\s*([0-9]+) 0 R")
_NAME = re.compile(
    rb"/Name\s*(?:\((?P<text>(?:\\.|[^\\)])*)\)|<(?P<hex>[0-9A-Fa-f\s]*)>)", re.DOTALL
)
_ESCAPED = re.compile(rb"\\([0-7]{1,3}|\r?\n|.)", re.DOTALL)
_CONTROL = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}
_BEYOND_LATIN = dict(enumerate("•†‡…—–ƒ⁄‹›−‰„“”‘’‚™ﬁﬂŁŒŠŸŽıłœšž", 0x80))
"""Signs of texts in a PDF that are not those of Latin-1 (ISO 32000-1, D.2)."""
_DEEPEST = 30


class WrittenAnew:
    """The objects of a document."""

    def __init__(self, document: Any) -> None:
        written = io.BytesIO()
        document.save(written)
        self._text = written.getvalue()
        asked = b"/UserUnit" in self._text or b"/OCProperties" in self._text
        self._objects = dict(_OBJECT.findall(self._text)) if asked else {}
        bodies = self._objects.values()
        self._root = next((body for body in bodies if _ROOT.search(body)), b"")

    def user_units(self, count: int) -> list[float]:
        """For each page its unit, as a multiple of a point."""
        found = _PAGES.search(self._root) if b"/UserUnit" in self._text else None
        units = self._below(found[1], 0) if found else []
        return (units + [1.0] * count)[:count]

    def _below(self, number: bytes, depth: int) -> list[float]:
        """The units of the pages below a node of the tree of pages."""
        body = self._objects.get(number, b"")
        kids = _KIDS.search(body)
        if kids is not None and not _PAGE.search(body) and depth < _DEEPEST:
            below = re.findall(rb"([0-9]+) 0 R", kids[1])
            return [unit for kid in below for unit in self._below(kid, depth + 1)]
        unit = _UNIT.search(body)
        try:
            return [float(unit[1]) if unit and 0 < float(unit[1]) <= 1e6 else 1.0]
        except ValueError:
            return [1.0]

    def layers_off(self) -> set[str]:
        """The names of layers that are off until somebody turns them on.

        One that shares its name with a layer that is on is taken to be on.
        """
        properties = self._value(self._root, b"OCProperties")
        usual = self._value(properties, b"D")
        every = set(self._numbers(properties, b"OCGs"))
        on, off = (set(self._numbers(usual, key)) for key in (b"ON", b"OFF"))
        if re.search(rb"/BaseState\s*/OFF", usual):
            off |= every - on
        names = {number: _name(self._objects.get(number, b"")) for number in every | off}
        return {names[number] for number in off} - {names[one] for one in every - off} - {""}

    def _numbers(self, body: bytes, key: bytes) -> Iterator[bytes]:
        """The objects that an array names."""
        return iter(re.findall(rb"([0-9]+) 0 R", self._value(body, key)))

    def _value(self, body: bytes, key: bytes) -> bytes:
        """What stands behind a key of a dictionary: an array or a dictionary, as it is written."""
        found = re.search(rb"/" + key + rb"(?![A-Za-z])", body)
        if found is None:
            return b""
        rest = body[found.end() :]
        reference = _REFERENCE.match(rest)
        if reference is not None:
            other: bytes = self._objects.get(reference[1], b"")
            return other
        return _bracketed(rest)


def _bracketed(text: bytes) -> bytes:
    """The brackets with which a text begins, and all between them."""
    depth = 0
    if not text.lstrip().startswith((b"[", b"<<")):
        return b""
    for sign in re.finditer(rb"<<|>>|\[|\]", text):
        depth += 1 if sign[0] in (b"<<", b"[") else -1
        if depth <= 0:
            return text[: sign.end()]
    return b""


def _name(body: bytes) -> str:
    """The name of a layer: a text as the standard writes it (7.3.4, 7.9.2)."""
    found = _NAME.search(body)
    if found is None:
        return ""
    if found["hex"] is not None:
        digits = b"".join(found["hex"].split())
        data = bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode())
    else:
        data = _ESCAPED.sub(_plain, found["text"])
    return text_of(data)


def text_of(data: bytes) -> str:
    """What a text in a PDF says (7.9.2)."""
    if data.startswith(b"\xfe\xff"):
        return data[2:].decode("utf-16-be", "replace")
    return data.decode("latin-1").translate(_BEYOND_LATIN)


def _plain(escape: re.Match[bytes]) -> bytes:
    sign = escape[1]
    if sign[:1].isdigit():
        return bytes([int(sign, 8) % 256])
    return b"" if sign in (b"\n", b"\r\n") else _CONTROL.get(sign, sign)
