"""What can be wrong with a book of wearers, in words."""

from __future__ import annotations

from pathlib import Path

from nesting.books.file import Trouble
from pieces.errors import Fault


def no_such(book: Path) -> Fault:
    """No file of that name, or a folder."""
    if book.is_dir():
        return Fault(str(book), "", "This is a folder.", "Name the book inside it.")
    remedy = "Look at its name and its folder, or start it by entering a wearer."
    return Fault(str(book), "", "There is no such book of wearers.", remedy)


def no_book(book: Path) -> Fault:
    """A file of something else; it is left as it is."""
    what = "This file is not a book of wearers, and was left as it is."
    return Fault(str(book), "", what, "Name the book, or a new file.")


def of_later(book: Path) -> Fault:
    """A book whose table this release doesn't know."""
    what = "This book was written by a later metrage, and was left as it is."
    return Fault(str(book), "", what, "Use that one, or install a later release here.")


def damaged(book: Path) -> Fault:
    """A book that is not as it was written."""
    what = "The book of wearers is damaged; it was not used and not changed."
    return Fault(str(book), "", what, "Take a copy from before, or measure anew in a new book.")


def unknown(book: Path, name: str, known: tuple[str, ...]) -> Fault:
    """A wearer whom the book doesn't have."""
    remedy = f"It has: {', '.join(known)}." if known else "It has nobody yet."
    return Fault(str(book), "", f"The book has no wearer called '{name}'.", remedy)


def taken(book: Path, name: str) -> Fault:
    """A wearer whom the book has already."""
    what = f"The book has a wearer called '{name}' already."
    return Fault(str(book), "", what, "Give this one another name.")


def in_words(book: Path, trouble: Trouble, _: str) -> Fault:
    """What keeps the book from being used."""
    if trouble in (Trouble.FOLDER, Trouble.ABSENT):
        return no_such(book)
    if trouble is Trouble.FOREIGN:
        return no_book(book)
    if trouble is Trouble.DAMAGED:
        return damaged(book)
    if trouble is Trouble.BUSY:
        return Fault(str(book), "", "Another program writes in the book.", "Try again later.")
    if trouble in (Trouble.FULL, Trouble.DISK):
        what = "The disk does not take or give what is to be written or read: nothing was changed."
        return Fault(str(book), "", what, "Make room on the disk and run the command again.")
    what = "The book can't be opened or written."
    return Fault(str(book), "", what, "See that its folder exists and both may be written.")
