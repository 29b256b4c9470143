"""How large a page's unit is: 1/72 of an inch, or a multiple that the page gives (ISO 32000-1,
14.11.2 and table 30), which the library reads no further."""

from __future__ import annotations

import io
import re
from typing import Any

_PAGE = re.compile(rb"/Type\s*/Page(?![a-zA-Z])")
_UNIT = re.compile(rb"/UserUnit\s+([0-9.]+)")
_KIDS = re.compile(rb"/Kids\s*\[([^\]]*)\]")
_OBJECT = re.compile(rb"(?m)^([0-9]+) 0 obj\r?\n(.*?)\r?\nendobj", re.DOTALL)
_ROOT = re.compile(rb"/Type\s*/Catalog")
_PAGES = re.compile(rb"/Pages\s+([0-9]+) 0 R")
_DEEPEST = 30


def user_units(document: Any, count: int) -> list[float]:
    """For each page its unit, as a multiple of a point.

    The document is written anew, in which the library keeps every object by itself and unpacked.
    """
    written = io.BytesIO()
    document.save(written)
    text = written.getvalue()
    if b"/UserUnit" not in text:
        return [1.0] * count
    objects = dict(_OBJECT.findall(text))
    root = next((body for body in objects.values() if _ROOT.search(body)), b"")
    found = _PAGES.search(root)
    units = _below(objects, found[1], 0) if found else []
    return (units + [1.0] * count)[:count]


def _below(objects: dict[bytes, bytes], number: bytes, depth: int) -> list[float]:
    """The units of the pages below a node of the tree of pages."""
    body = objects.get(number, b"")
    kids = _KIDS.search(body)
    if kids is not None and not _PAGE.search(body) and depth < _DEEPEST:
        below = re.findall(rb"([0-9]+) 0 R", kids[1])
        return [unit for kid in below for unit in _below(objects, kid, depth + 1)]
    unit = _UNIT.search(body)
    try:
        return [float(unit[1]) if unit and 0 < float(unit[1]) <= 1e6 else 1.0]
    except ValueError:
        return [1.0]
