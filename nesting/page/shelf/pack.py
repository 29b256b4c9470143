"""All orders and plans as one zip: `shelf.json`, a text for each order, a zip for each plan."""

from __future__ import annotations

import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import IO, Any

from nesting.books.file import UNREADABLE
from nesting.page.shelf.book import Entry, Order, PlanLine, Shelf, is_key, now
from nesting.page.shelf.faults import no_export

FORMAT = "metrage-shelf"
_VERSION = 1
_LIST = "shelf.json"
_LARGEST_BYTES = 100_000_000
"""Of one file inside, unpacked: what claims more is none of ours."""
_BROKEN = (
    *(zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, AttributeError),
    *UNREADABLE,
)
"""What reading a file that is none of ours ends with."""
_WORDS = "This file is no export of orders, or is damaged."


def export(shelf: Shelf, file: IO[bytes]) -> None:
    """Write all that is on the shelf, without what was deleted.

    Raises
    ------
    OrderFault : as the shelf
    """
    entries, plans = shelf.lines()
    told: dict[str, Any] = {"format": FORMAT, "version": _VERSION, "orders": [], "plans": []}
    held = set()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, line in enumerate((one for one in entries if not one.gone), start=1):
            found = shelf.order(line.key)
            if found is None:
                continue  # erased meanwhile
            entry, order = found
            name = f"orders/{number:03}-{_stem(entry.name)}.toml"
            archive.writestr(name, order.order)
            values = asdict(entry) | {"file": name, "drawings": order.drawings}
            told["orders"].append(values)
            held.add(entry.key)
        for plan in plans:
            kept = shelf.plan(plan.key) if plan.entry in held else None
            if kept is not None:
                archive.writestr(_place(plan.key), kept[1], zipfile.ZIP_STORED)
                told["plans"].append(asdict(kept[0]))
        archive.writestr(_LIST, json.dumps(told, indent=1, ensure_ascii=False))


def bring(shelf: Shelf, file: IO[bytes]) -> int:
    """Put all of an exported file on the shelf, or nothing; how many orders are new.

    Raises
    ------
    OrderFault : it is no such file, or not whole; as the shelf
    """
    try:
        with zipfile.ZipFile(file) as archive:
            told = json.loads(_read(archive, _LIST))
            if told["format"] != FORMAT or told["version"] > _VERSION:
                raise no_export("This file is none of ours, or of a later metrage.")
            orders = [_order(archive, one) for one in told["orders"]]
            keys = {line.key for line, _ in orders}
            lines = [_plan(one, keys) for one in told["plans"]]
            return shelf.bring(orders, _contents(archive, lines))
    except _BROKEN as error:
        raise no_export(_WORDS) from error


def _contents(archive: zipfile.ZipFile, lines: list[PlanLine]) -> Iterator[tuple[PlanLine, bytes]]:
    for line in lines:
        try:
            content = _read(archive, _place(line.key))
        except _BROKEN as error:
            raise no_export(_WORDS) from error
        yield line, content


def _read(archive: zipfile.ZipFile, name: str) -> bytes:
    if archive.getinfo(name).file_size > _LARGEST_BYTES:
        raise ValueError(name)
    return archive.read(name)


def _order(archive: zipfile.ZipFile, told: dict[str, Any]) -> tuple[Entry, Order]:
    drawings = {_text(name): _text(content) for name, content in told["drawings"].items()}
    about = tuple(_text(one) for one in told["about"])
    name, text = _text(told["name"]), _read(archive, told["file"]).decode("utf-8")
    line = Entry(_key(told["key"]), _text(told["revision"]), now(), name, about)
    return replace(line, saved=_text(told["saved"])), Order(name, text, drawings, about)


def _plan(told: dict[str, Any], keys: set[str]) -> PlanLine:
    if told["entry"] not in keys:
        raise ValueError(told["entry"])
    json.loads(told["card"])
    values = (_text(told[name]) for name in ("entry", "revision", "made", "card"))
    return PlanLine(_key(told["key"]), *values)


def _key(value: Any) -> str:
    if not is_key(value):
        raise ValueError(value)
    return _text(value)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    return value


def _place(key: str) -> str:
    return f"plans/{key}.zip"


def _stem(name: str) -> str:
    return "-".join(re.findall(r"\w+", name))[:60] or "order"
