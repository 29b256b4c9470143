"""The file of the shelf: orders with a revision each, and plans under their order.

A revision is a name that whoever saves has made up, and tells after which ones it comes. If the
order has another by then, the later one is kept beside it, as an order of its own. Each row has a
checksum, and the file a seal over all of them. Times are in UTC, as ISO 8601 writes them.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from nesting.books.file import checksum, opened, transaction
from nesting.page.shelf.faults import damaged, foreign, in_words, of_later

MOST_PLANS = 5
"""Of an order that are kept; each takes a megabyte or two, with its drawings."""
DELETED_DAYS = 30
"""How long an order that was deleted can be put back."""
_KEY = re.compile(r"[\w-]{1,40}", re.ASCII)
_MARK = 0x73686C66
"""SQLite's application id of a shelf, so that no other database is taken for one."""
_VERSION = 1
_MAKE = (
    "CREATE TABLE entry (key TEXT PRIMARY KEY, revision TEXT NOT NULL, saved TEXT NOT NULL,"
    " name TEXT NOT NULL, about TEXT NOT NULL, beside TEXT NOT NULL, gone TEXT NOT NULL,"
    " content TEXT NOT NULL, checksum TEXT NOT NULL)",
    "CREATE TABLE plan (key TEXT PRIMARY KEY, entry TEXT NOT NULL, revision TEXT NOT NULL,"
    " made TEXT NOT NULL, card TEXT NOT NULL, content TEXT NOT NULL, checksum TEXT NOT NULL)",
    "CREATE TABLE content (key TEXT PRIMARY KEY, bytes BLOB NOT NULL)",
    "CREATE TABLE seal (checksum TEXT NOT NULL)",
    "INSERT INTO seal VALUES ('')",
)


@dataclass(frozen=True, slots=True)
class Order:
    """An order as it is saved: its text, its drawings in base64, and the way back through it.

    `about` has the names that it is found by; `way` is the page's own.
    """

    name: str
    order: str
    drawings: dict[str, str]
    about: tuple[str, ...] = ()
    way: str = ""

    def same(self, other: Order) -> bool:
        """Whether nothing would be lost by taking the one for the other."""
        return (self.order, self.drawings) == (other.order, other.drawings)

    def packed(self) -> bytes:
        """What is written of it beside its line on the shelf."""
        return json.dumps(
            {"order": self.order, "drawings": self.drawings, "way": self.way}
        ).encode()


@dataclass(frozen=True, slots=True)
class Entry:
    """The line of an order; `beside` is the order it parted from, `gone` when it was deleted.

    `content` is the checksum of what it has besides.
    """

    key: str
    revision: str
    saved: str
    name: str
    about: tuple[str, ...] = ()
    beside: str = ""
    gone: str = ""
    content: str = ""


@dataclass(frozen=True, slots=True)
class PlanLine:
    """The line of a plan under its order; `card` is what the shelf shows of it, as JSON."""

    key: str
    entry: str
    revision: str
    made: str
    card: str
    content: str = ""


def now() -> str:
    """This moment."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def is_key(value: Any) -> bool:
    """Whether it can be the name of an order, a plan or a revision."""
    return isinstance(value, str) and _KEY.fullmatch(value) is not None


def new_key() -> str:
    """A name for an order that none has yet."""
    return secrets.token_urlsafe(12)


class Shelf:
    """The shelf in a folder; started with the first order.

    Whatever it is asked raises OrderFault where the file is foreign, damaged or can't be used.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.book = folder / "orders.shelf"
        self._looked_through = False

    def lines(self) -> tuple[list[Entry], list[PlanLine]]:
        """All orders, those saved last first; all plans, likewise."""
        if not self._is_there():
            return [], []
        with self._reading() as base:
            entries, plans = self._read(base)
        newest = sorted(entries.values(), key=lambda one: one.saved, reverse=True)
        return newest, sorted(plans.values(), key=lambda one: one.made, reverse=True)

    def order(self, key: str) -> tuple[Entry, Order] | None:
        """An order with all that it has."""
        if not self._is_there():
            return None
        with self._reading() as base:
            entry = self._read(base)[0].get(key)
            return None if entry is None else (entry, self._order(base, entry))

    def save(self, key: str, order: Order, revision: str, after: Sequence[str]) -> Entry:
        """Keep an order; the line it has now, which is another's where it has parted from `key`."""
        line = Entry(key, revision, now(), order.name, order.about)
        with self._writing() as base:
            there = self._read(base)[0].get(key)
            if there is not None and there.revision not in (revision, *after):
                if self._order(base, there).same(order):
                    return there
                line = replace(line, key=new_key(), beside=key)
            elif there is not None:
                line = replace(line, beside=there.beside)
            _put(base, "entry", line, order.packed())
        return line

    def delete(self, key: str, gone: bool) -> None:
        """Take an order off the shelf, or put it back."""
        with self._writing() as base:
            entry = self._read(base)[0].get(key)
            if entry is not None:
                _write(base, "entry", replace(entry, gone=now() if gone else ""))

    def erase(self, key: str) -> None:
        """Take out all that there is of an order, its plans too, and overwrite where it stood."""
        with self._writing() as base:
            _erase(base, key)

    def keep_plan(self, plan: PlanLine, content: bytes) -> None:
        """Keep a plan under its order, if that is there; the oldest of too many goes."""
        with self._writing() as base:
            entries, plans = self._read(base)
            if plan.entry not in entries:
                return
            _put(base, "plan", plan, content)
            others = [one for one in plans.values() if one.entry == plan.entry]
            others = sorted(
                (one for one in others if one.key != plan.key), key=lambda one: one.made
            )
            for one in others[: max(0, len(others) + 1 - MOST_PLANS)]:
                _take(base, "plan", one.key)

    def plan(self, key: str) -> tuple[PlanLine, bytes] | None:
        """A plan and what was kept with it."""
        if not self._is_there():
            return None
        with self._reading() as base:
            line = self._read(base)[1].get(key)
            return None if line is None else (line, self._content(base, key, line.content))

    def bring(
        self,
        orders: Iterable[tuple[Entry, Order]],
        plans: Iterable[tuple[PlanLine, bytes]],
    ) -> int:
        """Put orders and their plans beside those that are there, all or none; how many are new.

        One that is there with another content is brought under a new key, beside it.
        """
        new = 0
        with self._writing() as base:
            there, known = self._read(base)
            keys: dict[str, str] = {}
            for line, order in orders:
                keys[line.key] = line.key
                if line.key in there:
                    if self._order(base, there[line.key]).same(order):
                        continue
                    keys[line.key] = new_key()
                    line = replace(line, key=keys[line.key], beside=line.key)
                _put(base, "entry", line, order.packed())
                new += 1
            for plan, content in plans:
                if plan.key not in known:
                    _put(base, "plan", replace(plan, entry=keys[plan.entry]), content)
        return new

    def _is_there(self) -> bool:
        """Whether anything was ever kept; the file is empty where that was cut short."""
        try:
            return self.book.stat().st_size > 0
        except OSError:
            return False

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        with opened(self.book, in_words) as base, transaction(base, "DEFERRED"):
            yield base

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """All or nothing; the seal is renewed at the end."""
        self._make_room()
        with opened(self.book, in_words, create=True) as base:
            base.execute("PRAGMA secure_delete = ON")
            with transaction(base):
                if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                    _start(base)
                self._forget(base)
                yield base
                _close(base)

    def _make_room(self) -> None:
        """The folder and the file, for their owner alone: measures of people lie in it."""
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            os.close(os.open(self.book, os.O_CREAT | os.O_RDWR, 0o600))
        except OSError:
            return  # whoever opens it says why

    def _forget(self, base: sqlite3.Connection) -> None:
        """Erase what was deleted long ago."""
        long_ago = (datetime.now(UTC) - timedelta(days=DELETED_DAYS)).isoformat()
        for entry in self._read(base)[0].values():
            if entry.gone and entry.gone < long_ago:
                _erase(base, entry.key)
        _close(base)

    def _read(self, base: sqlite3.Connection) -> tuple[dict[str, Entry], dict[str, PlanLine]]:
        """All lines; a damaged shelf is refused."""
        self._require_shelf(base)
        entries = [_entry(row) for row in base.execute("SELECT * FROM entry")]
        plans = [PlanLine(*_sound(row)) for row in base.execute("SELECT * FROM plan")]
        if base.execute("SELECT checksum FROM seal").fetchall() != [(_seal(base),)]:
            raise damaged(self.book)
        return {one.key: one for one in entries}, {one.key: one for one in plans}

    def _require_shelf(self, base: sqlite3.Connection) -> None:
        if base.execute("PRAGMA application_id").fetchone()[0] != _MARK:
            raise foreign(self.book)
        if base.execute("PRAGMA user_version").fetchone()[0] > _VERSION:
            raise of_later(self.book)
        if not self._looked_through:
            if base.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
                raise damaged(self.book)
            self._looked_through = True

    def _order(self, base: sqlite3.Connection, entry: Entry) -> Order:
        held = json.loads(self._content(base, entry.key, entry.content))
        return Order(entry.name, held["order"], held["drawings"], entry.about, held["way"])

    def _content(self, base: sqlite3.Connection, key: str, expected: str) -> bytes:
        row = base.execute("SELECT bytes FROM content WHERE key = ?", (key,)).fetchone()
        if row is None or _sum(row[0]) != expected:
            raise damaged(self.book)
        return bytes(row[0])


def _start(base: sqlite3.Connection) -> None:
    base.execute(f"PRAGMA application_id = {_MARK}")
    base.execute(f"PRAGMA user_version = {_VERSION}")
    for statement in _MAKE:
        base.execute(statement)
    _close(base)


def _close(base: sqlite3.Connection) -> None:
    """Seal what was written."""
    base.execute("UPDATE seal SET checksum = ?", (_seal(base),))


def _seal(base: sqlite3.Connection) -> str:
    """Over the checksums of all lines."""
    rows = "SELECT key, checksum FROM entry UNION ALL SELECT key, checksum FROM plan ORDER BY 1"
    return checksum(base.execute(rows).fetchall())


def _put(base: sqlite3.Connection, table: str, line: Entry | PlanLine, content: bytes) -> None:
    """Write a line and what belongs to it, in the place of what had its key."""
    base.execute("INSERT OR REPLACE INTO content VALUES (?, ?)", (line.key, content))
    _write(base, table, replace(line, content=_sum(content)))


def _write(base: sqlite3.Connection, table: str, line: Entry | PlanLine) -> None:
    values = [_plain(getattr(line, one.name)) for one in fields(line)]
    marks = ", ".join("?" * (len(values) + 1))
    base.execute(f"INSERT OR REPLACE INTO {table} VALUES ({marks})", (*values, checksum(values)))


def _take(base: sqlite3.Connection, table: str, key: str) -> None:
    base.execute(f"DELETE FROM {table} WHERE key = ?", (key,))
    base.execute("DELETE FROM content WHERE key = ?", (key,))


def _erase(base: sqlite3.Connection, key: str) -> None:
    for (plan,) in base.execute("SELECT key FROM plan WHERE entry = ?", (key,)).fetchall():
        _take(base, "plan", plan)
    _take(base, "entry", key)


def _plain(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value)


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _entry(row: Sequence[Any]) -> Entry:
    """The line of a row that is as it was written.

    Raises
    ------
    ValueError : it is not
    """
    line = Entry(*_sound(row))
    return replace(line, about=tuple(json.loads(str(line.about))))


def _sound(row: Sequence[Any]) -> Sequence[Any]:
    if row[-1] != checksum(row[:-1]):
        raise ValueError(row[0])
    return row[:-1]
