"""The book of wearers: one SQLite file of dated notes, each with a checksum, sealed as a whole.

Notes are put in and never changed; erasing a wearer takes all of theirs out and empties their
pages. A file that was damaged, or is something else, is refused and never written to.
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from nesting.books.file import checksum, opened, transaction
from nesting.wearers.faults import damaged, in_words, no_book, of_later, taken, unknown
from nesting.wearers.wearer import MEASURES, Measured, Ordered, Wearer
from pieces.errors import OrderFault

_MARK = 0x77656172
"""SQLite's application id of a book, so that no other database is taken for one."""
_VERSION = 1
_MAKE = (
    "CREATE TABLE note (number INTEGER PRIMARY KEY AUTOINCREMENT, wearer TEXT NOT NULL,"
    " day TEXT NOT NULL, kind TEXT NOT NULL, content TEXT NOT NULL, checksum TEXT NOT NULL)",
    "CREATE TABLE seal (checksum TEXT NOT NULL)",
    "INSERT INTO seal VALUES ('')",
)
_COLUMNS = ["number", "wearer", "day", "kind", "content", "checksum"]
_Row = tuple[int, str, str, str, str, str]


def wearers(book: Path) -> tuple[Wearer, ...]:
    """All wearers, by name.

    Raises
    ------
    OrderFault : no such file, not a book, locked, damaged
    """
    with opened(book, in_words) as base, transaction(base, "DEFERRED"):
        return _read(base, book)


def wearer(book: Path, name: str) -> Wearer:
    """One wearer.

    Raises
    ------
    OrderFault : as `wearers`; none of that name
    """
    found = wearers(book)
    for one in found:
        if one.name == name:
            return one
    raise OrderFault([unknown(book, name, tuple(one.name for one in found))])


def add(book: Path, name: str, born: date | None, table: str, today: date) -> None:
    """Enter a wearer; starts the book if there is none. `table` is "girl" or "boy".

    Raises
    ------
    OrderFault : as `wearers`; the name is taken; it cannot be written
    """
    with opened(book, in_words, create=True) as base, transaction(base):
        if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            _start(base)
        if name in [one.name for one in _read(base, book)]:
            raise OrderFault([taken(book, name)])
        told = {"born": None if born is None else born.isoformat(), "table": table}
        _write(base, name, today, "wearer", told)


def measure(book: Path, name: str, day: date, measures: Mapping[str, float]) -> None:
    """Note what was measured on a day, in mm.

    Raises
    ------
    OrderFault : as `wearer`
    """
    _note(book, name, day, "measures", measures)


def record(book: Path, name: str, day: date, order: str, bought: str) -> None:
    """Note an order that was planned for a wearer.

    Raises
    ------
    OrderFault : as `wearer`
    """
    _note(book, name, day, "order", {"order": order, "bought": bought})


def erase(book: Path, name: str) -> None:
    """Take out all that the book has of a wearer, and overwrite where it stood.

    Raises
    ------
    OrderFault : as `wearer`
    """
    with opened(book, in_words) as base:
        base.execute("PRAGMA secure_delete = ON")
        with transaction(base):
            _require(base, book, name)
            base.execute("DELETE FROM note WHERE wearer = ?", (name,))
            base.execute("UPDATE seal SET checksum = ?", (_seal(base),))
        base.execute("VACUUM")


def exported(one: Wearer) -> dict[str, Any]:
    """All that the book has of a wearer, as plain data; lengths in mm."""
    return {
        "name": one.name,
        "born": None if one.born is None else one.born.isoformat(),
        "table": one.table,
        "measured_mm": [
            {"day": each.day.isoformat(), **dict(each.measures)} for each in one.measured
        ],
        "orders": [
            {"day": each.day.isoformat(), "order": each.order, "bought": each.bought}
            for each in one.orders
        ],
    }


def _note(book: Path, name: str, day: date, kind: str, content: Mapping[str, Any]) -> None:
    with opened(book, in_words) as base, transaction(base):
        _require(base, book, name)
        _write(base, name, day, kind, content)


def _require(base: sqlite3.Connection, book: Path, name: str) -> None:
    known = tuple(one.name for one in _read(base, book))
    if name not in known:
        raise OrderFault([unknown(book, name, known)])


def _start(base: sqlite3.Connection) -> None:
    base.execute(f"PRAGMA application_id = {_MARK}")
    base.execute(f"PRAGMA user_version = {_VERSION}")
    for statement in _MAKE:
        base.execute(statement)
    base.execute("UPDATE seal SET checksum = ?", (_seal(base),))


def _write(
    base: sqlite3.Connection, name: str, day: date, kind: str, content: Mapping[str, Any]
) -> None:
    values = [name, day.isoformat(), kind, json.dumps(content, ensure_ascii=False)]
    number = base.execute(
        "INSERT INTO note (wearer, day, kind, content, checksum) VALUES (?, ?, ?, ?, '')", values
    ).lastrowid
    sum_of = checksum([number, *values])
    base.execute("UPDATE note SET checksum = ? WHERE number = ?", (sum_of, number))
    base.execute("UPDATE seal SET checksum = ?", (_seal(base),))


def _read(base: sqlite3.Connection, book: Path) -> tuple[Wearer, ...]:
    """The wearers of a whole book; a damaged one is refused."""
    _require_book(base, book)
    if base.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
        raise OrderFault([damaged(book)])
    rows: list[_Row] = base.execute("SELECT * FROM note ORDER BY number").fetchall()
    whole = all(row[-1] == checksum(row[:-1]) for row in rows)
    if not whole or base.execute("SELECT checksum FROM seal").fetchall() != [(_seal(base),)]:
        raise OrderFault([damaged(book)])
    names = sorted({row[1] for row in rows}, key=str.casefold)
    return tuple(_wearer(name, [row for row in rows if row[1] == name]) for name in names)


def _wearer(name: str, rows: Sequence[_Row]) -> Wearer:
    told: dict[str, Any] = {}
    measured: list[Measured] = []
    orders: list[Ordered] = []
    for _, _, day, kind, content, _ in rows:
        values, on = json.loads(content), date.fromisoformat(day)
        if kind == "wearer":
            told = values
        elif kind == "measures":
            measured.append(Measured(on, _lengths(values)))
        elif kind == "order":
            orders.append(Ordered(on, str(values["order"]), str(values["bought"])))
        else:
            raise ValueError(kind)
    born = told["born"]
    return Wearer(
        name,
        None if born is None else date.fromisoformat(born),
        str(told["table"]),
        tuple(sorted(measured, key=lambda one: one.day)),
        tuple(sorted(orders, key=lambda one: one.day)),
    )


def _lengths(values: Mapping[str, Any]) -> dict[str, float]:
    if not values.keys() <= set(MEASURES):
        raise ValueError(values)
    found = {name: float(mm) for name, mm in values.items()}
    if not all(math.isfinite(mm) and mm > 0 for mm in found.values()):
        raise ValueError(values)
    return found


def _seal(base: sqlite3.Connection) -> str:
    """Over the checksums of all notes, and the last number that was given."""
    rows = base.execute("SELECT number, checksum FROM note ORDER BY number").fetchall()
    last = base.execute("SELECT seq FROM sqlite_sequence WHERE name = 'note'").fetchall()
    return checksum([rows, last])


def _require_book(base: sqlite3.Connection, book: Path) -> None:
    if base.execute("PRAGMA application_id").fetchone()[0] != _MARK:
        raise OrderFault([no_book(book)])
    if base.execute("PRAGMA user_version").fetchone()[0] > _VERSION:
        raise OrderFault([of_later(book)])
    columns = [row[1] for row in base.execute("PRAGMA table_info(note)")]
    if columns != _COLUMNS:
        raise OrderFault([damaged(book)])
