"""Opening an SQLite file as a book: all or nothing, and what goes wrong told by its kind."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from enum import Enum, auto
from pathlib import Path
from typing import Any

from pieces.errors import Fault, OrderFault

_WAIT_S = 5.0
UNREADABLE = (ValueError, TypeError, KeyError, OverflowError, RecursionError, MemoryError)
"""What reading damaged values ends with, beside SQLite's own errors."""


class Trouble(Enum):
    """What keeps a book from being used."""

    FOLDER = auto()
    ABSENT = auto()
    BUSY = auto()
    FULL = auto()
    DISK = auto()
    FOREIGN = auto()
    DAMAGED = auto()
    CLOSED = auto()


_KINDS = {
    sqlite3.SQLITE_BUSY: Trouble.BUSY,
    sqlite3.SQLITE_LOCKED: Trouble.BUSY,
    sqlite3.SQLITE_FULL: Trouble.FULL,
    sqlite3.SQLITE_IOERR: Trouble.DISK,
    sqlite3.SQLITE_NOTADB: Trouble.FOREIGN,
    sqlite3.SQLITE_CORRUPT: Trouble.DAMAGED,
    sqlite3.SQLITE_ERROR: Trouble.DAMAGED,
    sqlite3.SQLITE_SCHEMA: Trouble.DAMAGED,
    sqlite3.SQLITE_NOMEM: Trouble.DAMAGED,
    sqlite3.SQLITE_TOOBIG: Trouble.DAMAGED,
    sqlite3.SQLITE_MISMATCH: Trouble.DAMAGED,
    sqlite3.SQLITE_INTERNAL: Trouble.DAMAGED,
    sqlite3.SQLITE_FORMAT: Trouble.DAMAGED,
}
"""What SQLite says, as far as a dressmaker can do something about it."""

InWords = Callable[[Path, Trouble, str], Fault]
"""A book's own words for what keeps it from being used; the text is what SQLite says."""


@contextmanager
def opened(book: Path, words: InWords, *, create: bool = False) -> Iterator[sqlite3.Connection]:
    """A connection to a book; `create` starts the file if there is none.

    Raises
    ------
    OrderFault : in its `words`, for whatever goes wrong while it is open
    """
    if book.is_dir():
        raise OrderFault([words(book, Trouble.FOLDER, "")])
    if not create and not book.exists():
        raise OrderFault([words(book, Trouble.ABSENT, "")])
    base = None
    try:
        uri = f"{book.absolute().as_uri()}?mode={'rwc' if create else 'rw'}"
        base = sqlite3.connect(uri, uri=True, timeout=_WAIT_S, isolation_level=None)
        base.execute("PRAGMA cell_size_check = ON")
        yield base
    except sqlite3.Error as error:
        # The first byte is the kind of error, what follows its details (SQLite, result codes).
        kind = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
        raise OrderFault([words(book, _KINDS.get(kind, Trouble.CLOSED), str(error))]) from error
    except UNREADABLE as error:
        raise OrderFault([words(book, Trouble.DAMAGED, "")]) from error
    finally:
        if base is not None:
            base.close()


@contextmanager
def transaction(base: sqlite3.Connection, kind: str = "IMMEDIATE") -> Iterator[None]:
    """All or nothing; nobody else writes meanwhile. DEFERRED only to read, of one moment."""
    base.execute(f"BEGIN {kind}")
    try:
        yield
        base.execute("COMMIT")
    except BaseException:
        # On a full disk SQLite has taken all back already.
        with suppress(sqlite3.Error):
            if base.in_transaction:
                base.execute("ROLLBACK")
        raise


def checksum(values: Sequence[Any]) -> str:
    """Of the values of a row, or of other checksums."""
    return hashlib.sha256(json.dumps(list(values), ensure_ascii=True).encode()).hexdigest()
