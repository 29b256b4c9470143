"""The remnant book: an SQLite file of bolts and remnants, kept from one order to the next.

Each entry has a number that is never given again, so that whoever has planned with a bolt can
tell whether it is still there. Entries are put in and taken out, never changed. Millimetres.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from nesting.fabric import Bolt, Fabric, LayName
from nesting.figures import is_useful
from nesting.flaws import drawn_out
from nesting.in_hand import cloth_of, room_mm
from nesting.order import Order
from nesting.order_faults import joined
from nesting.plans import FabricPlan, Plan
from pieces.errors import Fault, OrderFault
from pieces.piece import Outline

_MARK = 0x626F6C74
"""SQLite's application id of a book, so that no other database is taken for one."""
_WAIT_S = 5.0
_VERSION = 1
"""Of its table, kept as SQLite's user version; books of version 0 lack the columns of _SINCE_0."""
_TABLE = """
CREATE TABLE cloth (
    number INTEGER PRIMARY KEY AUTOINCREMENT, fabric TEXT NOT NULL,
    length_mm REAL NOT NULL CHECK (length_mm > 0), width_mm REAL NOT NULL CHECK (width_mm > 0),
    washed INTEGER NOT NULL, flaws TEXT NOT NULL
)
"""
_SINCE_0 = ("selvedge_mm REAL", "origin TEXT NOT NULL DEFAULT ''")
_HOW_TO_START = 'Put cloth in first: metrage stock FILE --add "satin" --length "2 m" --width 150.'


@dataclass(frozen=True, slots=True)
class Entry:
    """One length of a fabric in the book; the bolt is called by its number.

    `origin` says in words what it is left of; nothing if it was put in.
    """

    fabric: str
    bolt: Bolt
    origin: str = ""


def entries(book: Path) -> tuple[Entry, ...]:
    """What the book holds, in the order of its numbers.

    Raises
    ------
    OrderFault : no such file, not a book, locked
    """
    with _opened(book) as base:
        _require_book(base, book)
        return _read(base)


def add(book: Path, fabric: str, bolts: Sequence[Bolt]) -> tuple[Entry, ...]:
    """Put lengths of a fabric in; starts the book if there is none. Gives them as numbered.

    Raises
    ------
    OrderFault : not a book, locked, cannot be written
    """
    with _opened(book, create=True) as base, _transaction(base):
        if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            base.execute(f"PRAGMA application_id = {_MARK}")
            base.execute(_TABLE)
        _require_book(base, book)
        _bring_up(base)
        return tuple(_insert(base, Entry(fabric, bolt)) for bolt in bolts)


def exchange(book: Path, taken: Sequence[Entry], left: Sequence[Entry]) -> tuple[Entry, ...]:
    """Take entries out and put what is left of them in, all or nothing. Gives these as numbered.

    Raises
    ------
    OrderFault : one has been taken out meanwhile; no such file, not a book, locked
    """
    with _opened(book) as base, _transaction(base):
        _require_book(base, book)
        _bring_up(base)
        held = set(_read(base))
        gone = [entry for entry in taken if entry not in held]
        if gone:
            raise OrderFault([_gone(book, entry) for entry in gone])
        for entry in taken:
            base.execute("DELETE FROM cloth WHERE number = ?", (_number(entry.bolt),))
        return tuple(_insert(base, entry) for entry in left)


def with_stock(order: Order, held: Sequence[Entry]) -> Order:
    """The order, with what is held of each of its cloths in hand beside its own.

    What is too narrow to cut from is left out.

    Raises
    ------
    OrderFault : a length in the order is called as one in the book
    """
    fabrics, faults = {}, []
    for name, fabric in order.fabrics.items():
        found = [e.bolt for e in held if e.fabric == name and _is_wide_enough(fabric, e.bolt)]
        own = {bolt.name for bolt in fabric.in_hand}
        faults += [
            Fault(
                order.source,
                joined("fabric", name, "in_hand"),
                f"'{bolt.name}' is also the name of a length in the book.",
                "Give the one in the order another name.",
            )
            for bolt in found
            if bolt.name in own
        ]
        fabrics[name] = replace(fabric, in_hand=(*fabric.in_hand, *found))
    if faults:
        raise OrderFault(faults)
    return replace(order, fabrics=fabrics)


def cut_of(plan: Plan, held: Sequence[Entry]) -> tuple[tuple[Entry, ...], tuple[Entry, ...]]:
    """What a plan takes of the entries, and what is left of all cloth once it is cut.

    What is left of lengths in the order and of what is bought is cloth too.
    """
    known = {(entry.fabric, entry.bolt): entry for entry in held}
    taken, left = [], []
    for made in plan.fabrics:
        entry = None if made.bolt is None else known.get((made.fabric.name, made.bolt))
        taken += [] if entry is None else [entry]
        origin = _origin(plan, made, entry)
        left += [Entry(made.fabric.name, bolt, origin) for bolt in left_of(made)]
    return tuple(taken), tuple(left)


def _origin(plan: Plan, made: FabricPlan, entry: Entry | None) -> str:
    if made.bolt is None:
        return f"bought for {plan.order}"
    return f"left of {made.bolt.name}" + ("" if entry else f" ({plan.order})")


def left_of(made: FabricPlan) -> tuple[Bolt, ...]:
    """What is left of a length: its end past the marker, cut off whole, and useful rectangles.

    The end keeps its selvedges and its flaws, which are counted from its own cut end. Rectangles
    have neither: they are as wide as they are, with whatever selvedge they touch left out.
    """
    fabric, marker = made.fabric, made.marker
    bolt = made.bolt or Bolt("", made.purchase.length_mm, fabric.width_mm)
    washed = bolt.washed or fabric.shrinkage_length > 0 or fabric.shrinkage_width > 0
    end = Bolt(
        "",
        room_mm(fabric, bolt.length_mm) - marker.length_mm,
        fabric.washed_width_mm,
        washed,
        _flaws_past(fabric, marker.length_mm),
        None if bolt.selvedge_mm is None else fabric.washed_selvedge_mm,
    )
    folded = marker.lay is LayName.LENGTHWISE_FOLD and marker.opened_from_mm is None
    found = [end]
    for one in made.remnants:
        length_mm = min(one.length_mm, marker.table_length_mm - one.x_mm)
        # Along the fold both layers hang together.
        unfolds = folded and one.y_mm < 0.01
        width_mm, count = (2 * one.width_mm, 1) if unfolds else (one.width_mm, one.layers)
        found += [Bolt("", length_mm, width_mm, washed, selvedge_mm=0.0)] * count
    return tuple(bolt for bolt in found if is_useful(bolt.length_mm, bolt.width_mm))


def _flaws_past(fabric: Fabric, cut_mm: float) -> tuple[Outline, ...]:
    """The flaws that reach past a cut across washed cloth, counted from there.

    Where up to a repeat was cut off at its beginning, each as long as where it may lie.
    """
    along, across = 1 - fabric.shrinkage_length, 1 - fabric.shrinkage_width
    moved = [
        drawn_out(
            tuple((x * along - cut_mm, y * across) for x, y in flaw), fabric.before_motif_mm * along
        )
        for flaw in fabric.flaws
    ]
    return tuple(flaw for flaw in moved if max(x for x, _ in flaw) > 0)


def _is_wide_enough(fabric: Fabric, bolt: Bolt) -> bool:
    return cloth_of(fabric, bolt).usable_width_mm > 2 * fabric.edge_gap_mm


def _read(base: sqlite3.Connection) -> tuple[Entry, ...]:
    since = "selvedge_mm, origin" if _version(base) else "NULL, ''"
    rows = base.execute(
        f"SELECT number, fabric, length_mm, width_mm, washed, flaws, {since} "
        "FROM cloth ORDER BY number"
    )
    return tuple(
        Entry(
            fabric,
            Bolt(_name(number), length_mm, width_mm, bool(washed), _outlines(flaws), selvedge_mm),
            origin,
        )
        for number, fabric, length_mm, width_mm, washed, flaws, selvedge_mm, origin in rows
    )


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
    return replace(entry, bolt=replace(bolt, name=_name(number)))


def _name(number: int | None) -> str:
    return f"no. {number}"


def _number(bolt: Bolt) -> int:
    return int(bolt.name.removeprefix("no. "))


def _outlines(text: str) -> tuple[Outline, ...]:
    return tuple(tuple((x, y) for x, y in flaw) for flaw in json.loads(text))


@contextmanager
def _opened(book: Path, *, create: bool = False) -> Iterator[sqlite3.Connection]:
    """A connection, what goes wrong with it told in words."""
    if not create and not book.exists():
        raise OrderFault([Fault(str(book), "", "There is no such book.", _HOW_TO_START)])
    mode = "rwc" if create else "rw"
    base = None
    try:
        uri = f"{book.absolute().as_uri()}?mode={mode}"
        base = sqlite3.connect(uri, uri=True, timeout=_WAIT_S, isolation_level=None)
        yield base
    except sqlite3.Error as error:
        raise OrderFault([_in_words(book, error)]) from error
    finally:
        if base is not None:
            base.close()


@contextmanager
def _transaction(base: sqlite3.Connection) -> Iterator[None]:
    """All or nothing; nobody else writes meanwhile."""
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        base.execute("ROLLBACK")
        raise
    base.execute("COMMIT")


def _require_book(base: sqlite3.Connection, book: Path) -> None:
    if base.execute("PRAGMA application_id").fetchone()[0] != _MARK:
        raise OrderFault([_no_book(book)])
    if _version(base) > _VERSION:
        raise OrderFault(
            [
                Fault(
                    str(book),
                    "",
                    "This book was written by a later metrage.",
                    "Use that one, or install a later release here.",
                )
            ]
        )


def _version(base: sqlite3.Connection) -> int:
    return int(base.execute("PRAGMA user_version").fetchone()[0])


def _bring_up(base: sqlite3.Connection) -> None:
    """Give an older book the columns that it lacks, in the transaction at hand."""
    if _version(base) < _VERSION:
        for column in _SINCE_0:
            base.execute(f"ALTER TABLE cloth ADD COLUMN {column}")
        base.execute(f"PRAGMA user_version = {_VERSION}")


def _no_book(book: Path) -> Fault:
    return Fault(
        str(book), "", "This file is not a book of cloth.", "Name the book, or a new file."
    )


def _gone(book: Path, entry: Entry) -> Fault:
    return Fault(
        str(book),
        "",
        f"{entry.fabric}, {entry.bolt.name}, has been taken out meanwhile; nothing was booked.",
        "Don't cut by the drawings just written: run the command again.",
    )


def _in_words(book: Path, error: sqlite3.Error) -> Fault:
    said = str(error)
    if "locked" in said:
        return Fault(
            str(book), "", "Another program is writing in the book.", "Try again when it is done."
        )
    if isinstance(error, sqlite3.OperationalError):
        return Fault(
            str(book),
            "",
            f"The book cannot be used ({said}).",
            "See that its folder exists and both may be written.",
        )
    return _no_book(book)
