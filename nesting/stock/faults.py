"""What can be wrong with a book of bolts and remnants, in words."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from pieces.errors import Fault

_HOW_TO_START = 'Put cloth in first: metrage stock FILE --add "satin" --length "2 m" --width 150.'
_DAMAGED = {
    sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_SCHEMA, sqlite3.SQLITE_NOMEM,
    sqlite3.SQLITE_TOOBIG, sqlite3.SQLITE_MISMATCH, sqlite3.SQLITE_INTERNAL, sqlite3.SQLITE_FORMAT,
}  # fmt: skip
"""What SQLite says where the file is not as it wrote it."""


def a_folder(book: Path) -> Fault:
    """A folder where a book is to be."""
    return Fault(str(book), "", "This is a folder.", "Name the book inside it.")


def no_such(book: Path) -> Fault:
    """No file of that name."""
    return Fault(str(book), "", "There is no such book.", _HOW_TO_START)


def of_later(book: Path) -> Fault:
    """A book whose tables this release doesn't know."""
    return Fault(
        str(book),
        "",
        "This book was written by a later metrage.",
        "Use that one, or install a later release here.",
    )


def damaged(book: Path, what: str, *, more: bool = False) -> Fault:
    """A book that is not believed, and why; `more` if there is something in it to list."""
    listed = "; metrage stock FILE --check lists what can still be read" if more else ""
    return Fault(
        str(book),
        "",
        f"The book is damaged and was not used: {what}.",
        f"Take a copy from before, or measure the cloth and start a new book{listed}.",
    )


def no_book(book: Path) -> Fault:
    """A file of something else."""
    return Fault(
        str(book), "", "This file is not a book of cloth.", "Name the book, or a new file."
    )


def nothing(book: Path) -> Fault:
    """A file without anything in it."""
    return Fault(
        str(book),
        "",
        "There is nothing in this file.",
        f"If there was, take a copy from before. {_HOW_TO_START}",
    )


def gone(book: Path, fabric: str, name: str) -> Fault:
    """A length that was planned with and is there no longer."""
    return Fault(
        str(book),
        "",
        f"{fabric}, {name}, has been taken out meanwhile; nothing was booked.",
        "Don't cut by the drawings just written: run the command again.",
    )


def in_words(book: Path, error: sqlite3.Error) -> Fault:
    """What SQLite says, as a fault."""
    # The first byte is the kind of error, what follows its details (SQLite, result codes).
    kind = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
    if kind in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Fault(
            str(book), "", "Another program is writing in the book.", "Try again when it is done."
        )
    if kind == sqlite3.SQLITE_FULL:
        return Fault(
            str(book),
            "",
            "The disk is full: nothing was booked, and the book is as it was.",
            "Make room on the disk and run the command again.",
        )
    if kind == sqlite3.SQLITE_IOERR:
        return Fault(
            str(book),
            "",
            "The disk does not take or give what is to be written or read: nothing was booked.",
            "See that there is room on it, and in your share of it, and run the command again.",
        )
    if kind == sqlite3.SQLITE_NOTADB:
        return no_book(book)
    if kind in _DAMAGED:
        return damaged(book, "it can't be read")
    return Fault(
        str(book),
        "",
        f"The book cannot be used ({error}).",
        "See that its folder exists and both may be written.",
    )
