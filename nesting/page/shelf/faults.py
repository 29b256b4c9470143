"""What keeps the shelf from being used, in words; the page works without it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from nesting.books.file import Trouble
from pieces.errors import Fault, OrderFault
from pieces.wording import Form, either, on_form

_ELSEWHERE = either("Move it away, or name another folder with --data.", "Move it away.")
_WORDS = {
    Trouble.FOLDER: ("A folder has the name of the shelf's file.", _ELSEWHERE),
    Trouble.FOREIGN: ("This file is not a shelf of orders, and was left as it is.", _ELSEWHERE),
    Trouble.DAMAGED: (
        "The shelf is damaged; it was not used and not changed.",
        "Put a copy from before in its place, or bring the orders from a file that was exported.",
    ),
    Trouble.BUSY: ("Another program writes on the shelf.", "Try again in a moment."),
    Trouble.FULL: ("The disk is full: nothing was changed.", "Make room on it."),
    Trouble.DISK: ("The disk does not take or give what is to be kept.", "Look after the disk."),
}
_FORM = Form()
_CLOSED = ("The shelf can't be opened or written.", "See that its folder may be written.")


def in_words(book: Path, trouble: Trouble, _: str) -> Fault:
    """What keeps the shelf from being used."""
    return Fault(str(book), "", *_WORDS.get(trouble, _CLOSED))


def damaged(book: Path) -> OrderFault:
    """A shelf that is not as it was written."""
    return OrderFault([in_words(book, Trouble.DAMAGED, "")])


def foreign(book: Path) -> OrderFault:
    """A file of something else."""
    return OrderFault([in_words(book, Trouble.FOREIGN, "")])


def of_later(book: Path) -> OrderFault:
    """A shelf whose tables this release doesn't know."""
    what = "This shelf was written by a later metrage, and was left as it is."
    return OrderFault([Fault(str(book), "", what, "Use that one, or name another folder.")])


def no_export(why: str) -> OrderFault:
    """A file to be brought in that is none of ours, or not whole."""
    remedy = "Choose a file that “All orders as one file” has made."
    return OrderFault([Fault("the file", "", f"{why} Nothing was taken from it.", remedy)])


def sentence(fault: OrderFault) -> str:
    """All of it in one line, for the page."""
    told = (
        replace(one, message=on_form(one.message, _FORM), remedy=on_form(one.remedy, _FORM))
        for one in fault.faults
    )
    return " ".join(map(str, told))
