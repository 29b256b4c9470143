"""The book of bolts and remnants: an SQLite file, kept from one order to the next. Millimetres.

Each entry has a number that is never given again, so that whoever has planned with a bolt can
tell whether it is still there. Entries are put in and taken out, never changed. Each has a
checksum, and the book a seal over all of them and the last number given: a file that was damaged
is refused, and never believed.
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from nesting.books.file import UNREADABLE, checksum, opened, transaction
from nesting.fabric.fabric import Bolt
from nesting.stock.faults import (
    damaged,
    gone,
    in_words,
    no_book,
    nothing,
    of_later,
)
from pieces.errors import OrderFault
from pieces.piece import Outline

_MARK = 0x626F6C74
"""SQLite's application id of a book, so that no other database is taken for one."""
_VERSION = 2
"""Of its tables, kept as SQLite's user version."""
_TABLE = """
CREATE TABLE cloth (
    number INTEGER PRIMARY KEY AUTOINCREMENT, fabric TEXT NOT NULL,
    length_mm REAL NOT NULL CHECK (length_mm > 0), width_mm REAL NOT NULL CHECK (width_mm > 0),
    washed INTEGER NOT NULL, flaws TEXT NOT NULL
)
"""
_FIRST = ("number", "fabric", "length_mm", "width_mm", "washed", "flaws")
_ADDED = {
    "selvedge_mm": "selvedge_mm REAL",
    "origin": "origin TEXT NOT NULL DEFAULT ''",
    "checksum": "checksum TEXT NOT NULL DEFAULT ''",
}
"""The columns that came with later versions."""
_COLUMNS = {
    0: _FIRST,
    1: (*_FIRST, "selvedge_mm", "origin"),
    2: (*_FIRST, "selvedge_mm", "origin", "checksum"),
}
_READ = (*_FIRST, "selvedge_mm", "origin", "checksum")
_SEAL = "CREATE TABLE seal (checksum TEXT NOT NULL)"


@dataclass(frozen=True, slots=True)
class Entry:
    """One length of a fabric in the book; the bolt is called by its number.

    `origin` says in words what it is left of; nothing if it was put in.
    """

    fabric: str
    bolt: Bolt
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Contents:
    """What can be read of a book, in the order of its numbers.

    `damages` tell in words what is not as it was written; with any, the book is refused.
    `has_checksums` is false for books of earlier releases that were not changed since.
    """

    entries: tuple[Entry, ...]
    damages: tuple[str, ...]
    has_checksums: bool


def entries(book: Path) -> tuple[Entry, ...]:
    """What the book holds, in the order of its numbers.

    Raises
    ------
    OrderFault : no such file, not a book, locked, damaged
    """
    with opened(book, in_words) as base, transaction(base, "DEFERRED"):
        return _trusted(base, book)


def contents(book: Path) -> Contents:
    """What can be read of the book, and what is damaged.

    Raises
    ------
    OrderFault : no such file, not a book, locked, or damaged so that nothing can be read
    """
    with opened(book, in_words) as base, transaction(base, "DEFERRED"):
        return _contents(base, book)


def add(book: Path, fabric: str, bolts: Sequence[Bolt]) -> tuple[Entry, ...]:
    """Put lengths of a fabric in; starts the book if there is none. Gives them as numbered.

    Raises
    ------
    OrderFault : not a book, locked, damaged, cannot be written
    """
    with opened(book, in_words, create=True) as base, transaction(base):
        if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            _start(base)
        _trusted(base, book)
        return _written(base, [], [Entry(fabric, bolt) for bolt in bolts])


def exchange(book: Path, taken: Sequence[Entry], left: Sequence[Entry]) -> tuple[Entry, ...]:
    """Take entries out and put what is left of them in, all or nothing. Gives these as numbered.

    Raises
    ------
    OrderFault : one has been taken out meanwhile; no such file, not a book, locked, damaged
    """
    with opened(book, in_words) as base, transaction(base):
        held = set(_trusted(base, book))
        lost = [entry for entry in taken if entry not in held]
        if lost:
            raise OrderFault([gone(book, entry.fabric, entry.bolt.name) for entry in lost])
        return _written(base, taken, left)


def _start(base: sqlite3.Connection) -> None:
    base.execute(f"PRAGMA application_id = {_MARK}")
    base.execute(_TABLE)
    _bring_up(base)


def _written(
    base: sqlite3.Connection, taken: Sequence[Entry], left: Sequence[Entry]
) -> tuple[Entry, ...]:
    """Change the book, and seal it."""
    _bring_up(base)
    for entry in taken:
        base.execute("DELETE FROM cloth WHERE number = ?", (_number(entry.bolt),))
    found = tuple(_insert(base, entry) for entry in left)
    base.execute("UPDATE seal SET checksum = ?", (_seal(base),))
    return found


def _bring_up(base: sqlite3.Connection) -> None:
    """Give an older book what it lacks, in the transaction at hand."""
    if _version(base) == _VERSION:
        return
    for column in _COLUMNS[_VERSION][len(_columns(base)) :]:
        base.execute(f"ALTER TABLE cloth ADD COLUMN {_ADDED[column]}")
    for row in base.execute(f"SELECT {', '.join(_READ)} FROM cloth").fetchall():
        base.execute("UPDATE cloth SET checksum = ? WHERE number = ?", (checksum(row[:-1]), row[0]))
    base.execute(_SEAL)
    base.execute("INSERT INTO seal VALUES (?)", (_seal(base),))
    base.execute(f"PRAGMA user_version = {_VERSION}")


def _trusted(base: sqlite3.Connection, book: Path) -> tuple[Entry, ...]:
    """What the book holds, if it is whole."""
    found = _contents(base, book)
    if found.damages:
        what = " and ".join(found.damages)
        raise OrderFault([damaged(book, what, more=bool(found.entries))])
    return found.entries


def _contents(base: sqlite3.Connection, book: Path) -> Contents:
    version = _require_book(base, book)
    structure = base.execute("PRAGMA integrity_check(1)").fetchone()[0]
    damages = [] if structure == "ok" else ["the structure of the file is broken"]
    lacking = {"selvedge_mm": "NULL", "origin": "''", "checksum": "''"}
    columns = [name if name in _COLUMNS[version] else lacking[name] for name in _READ]
    found: list[Entry] = []
    try:
        for row in base.execute(f"SELECT {', '.join(columns)} FROM cloth ORDER BY number"):
            entry = _sound(row, version)
            found += [] if entry is None else [entry]
            damages += [f"{_name(row[0])} is not as it was written"] if entry is None else []
    except (sqlite3.DatabaseError, *UNREADABLE):
        damages.append("what follows can't be read")
    if version == _VERSION and not damages:
        seals = base.execute("SELECT checksum FROM seal").fetchall()
        if seals != [(_seal(base),)]:
            damages.append("a length is missing, or one is there that was never entered")
    return Contents(tuple(found), tuple(damages), version == _VERSION)


def _sound(row: Sequence[Any], version: int) -> Entry | None:
    """The entry of a row that is as it was written, as far as that can be told."""
    try:
        entry = _entry(row)
        return entry if version < _VERSION or row[-1] == checksum(row[:-1]) else None
    except UNREADABLE:
        return None


def _entry(row: Sequence[Any]) -> Entry:
    """The entry of a row.

    Raises
    ------
    ValueError, TypeError : a value is none that was ever written
    """
    number, fabric, length_mm, width_mm, washed, flaws, selvedge_mm, origin, _ = row
    sizes = [length_mm, width_mm, 0.0 if selvedge_mm is None else selvedge_mm]
    if not all(math.isfinite(size) for size in sizes) or min(sizes[:2]) <= 0 or sizes[2] < 0:
        raise ValueError(sizes)
    if washed not in (0, 1) or not isinstance(fabric, str) or not isinstance(origin, str):
        raise ValueError(row)
    bolt = Bolt(_name(number), length_mm, width_mm, bool(washed), _outlines(flaws), selvedge_mm)
    return Entry(fabric, bolt, origin)


def _outlines(text: str) -> tuple[Outline, ...]:
    found = tuple(tuple((float(x), float(y)) for x, y in flaw) for flaw in json.loads(text))
    if not all(math.isfinite(value) for flaw in found for point in flaw for value in point):
        raise ValueError(text)
    return found


def _insert(base: sqlite3.Connection, entry: Entry) -> Entry:
    bolt = entry.bolt
    number = base.execute(
        "INSERT INTO cloth (fabric, length_mm, width_mm, washed, flaws, selvedge_mm, origin) "
        "VALUES (?, ?, ?, ?, ?, ?, ?)",
        (
            entry.fabric,
            bolt.length_mm,
            bolt.width_mm,
            bolt.washed,
            json.dumps(bolt.flaws),
            bolt.selvedge_mm,
            entry.origin,
        ),
    ).lastrowid
    row = base.execute(
        f"SELECT {', '.join(_READ[:-1])} FROM cloth WHERE number = ?", (number,)
    ).fetchone()
    base.execute("UPDATE cloth SET checksum = ? WHERE number = ?", (checksum(row), number))
    return replace(entry, bolt=replace(bolt, name=_name(number)))


def _seal(base: sqlite3.Connection) -> str:
    """Over the checksums of all entries, and the last number that was given."""
    rows = base.execute("SELECT number, checksum FROM cloth ORDER BY number").fetchall()
    last = base.execute("SELECT seq FROM sqlite_sequence WHERE name = 'cloth'").fetchall()
    return checksum([rows, last])


def _name(number: int | None) -> str:
    return f"no. {number}"


def _number(bolt: Bolt) -> int:
    return int(bolt.name.removeprefix("no. "))


def _require_book(base: sqlite3.Connection, book: Path) -> int:
    """The version of its tables.

    Raises
    ------
    OrderFault : it is no book, of a later release, or its tables are not as they were made
    """
    if base.execute("PRAGMA application_id").fetchone()[0] != _MARK:
        raise OrderFault([no_book(book) if book.stat().st_size else nothing(book)])
    version = _version(base)
    if version > _VERSION:
        raise OrderFault([of_later(book)])
    if _columns(base) != _COLUMNS.get(version):
        raise OrderFault([damaged(book, "its tables are not as they were made")])
    return version


def _version(base: sqlite3.Connection) -> int:
    return int(base.execute("PRAGMA user_version").fetchone()[0])


def _columns(base: sqlite3.Connection) -> tuple[str, ...]:
    return tuple(row[1] for row in base.execute("PRAGMA table_info(cloth)"))
