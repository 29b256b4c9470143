"""What can be wrong with a book of bolts and remnants, in words."""

from __future__ import annotations

from pathlib import Path

from nesting.books.file import Trouble
from pieces.errors import Fault

_HOW_TO_START = 'Put cloth in first: metrage stock FILE --add "satin" --length "2 m" --width 150.'


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


def in_words(book: Path, trouble: Trouble, error: str) -> Fault:
    """What keeps the book from being used; `error` is what SQLite says."""
    if trouble is Trouble.FOLDER:
        return Fault(str(book), "", "This is a folder.", "Name the book inside it.")
    if trouble is Trouble.ABSENT:
        return Fault(str(book), "", "There is no such book.", _HOW_TO_START)
    if trouble is Trouble.BUSY:
        return Fault(
            str(book), "", "Another program is writing in the book.", "Try again when it is done."
        )
    if trouble is Trouble.FULL:
        return Fault(
            str(book),
            "",
            "The disk is full: nothing was booked, and the book is as it was.",
            "Make room on the disk and run the command again.",
        )
    if trouble is Trouble.DISK:
        return Fault(
            str(book),
            "",
            "The disk does not take or give what is to be written or read: nothing was booked.",
            "See that there is room on it, and in your share of it, and run the command again.",
        )
    if trouble is Trouble.FOREIGN:
        return no_book(book)
    if trouble is Trouble.DAMAGED:
        return damaged(book, "it can't be read")
    return Fault(
        str(book),
        "",
        f"The book cannot be used ({error}).",
        "See that its folder exists and both may be written.",
    )
