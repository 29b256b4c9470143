"""Books of wearers, as the page knows them: those in the user's data folder, by their names."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

from nesting.books.folder import data_folder
from nesting.order.faults import FaultCollector, joined
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.wearers.book import add, measure, wearers
from nesting.wearers.wearer import MEASURES, Wearer
from pieces.body.measurements import Body
from pieces.errors import Fault, OrderFault
from pieces.units import Unit

_BOOK = "wearers.book"
"""The one that the page begins where there is none."""
_TABLE = "girl"
"""By which a wearer is guessed who was entered without a date of birth: not at all."""


def book_named(name: str) -> Path:
    """Where the book of that name lies.

    Raises
    ------
    OrderFault : the name leads out of the folder
    """
    if Path(name).name != name or name == "..":
        what = f"The page opens a book of wearers in {data_folder()} alone."
        raise OrderFault([Fault("", "", what, "Put it there, and name it without a folder.")])
    return data_folder() / name


def books() -> list[Record]:
    """All of them, each with its wearers and what was measured of them last, in mm."""
    found = []
    for path in sorted(data_folder().glob("*.book")):
        try:
            known = wearers(path)
        except OrderFault:
            continue  # of something else; an order that names it is told so
        people = [{"name": one.name, "measures": _last(one)} for one in known]
        found.append({"name": path.name, "wearers": people})
    return found


def _last(one: Wearer) -> dict[str, float]:
    return {name: mm for name, (mm, _) in one.latest.items()}


def note_measures(request: Record, _: TaskChannel) -> Record:
    """Enter the measures of a garment's `index` in an `order` in the book, under its `name`.

    Raises
    ------
    OrderFault : a measure is at fault, or there is none; the book can't be used
    """
    raw = tomllib.loads(request["order"])
    index, name = request["index"], str(request["name"]).strip()
    book, today = book_named(request.get("book") or _BOOK), date.today()
    collector = FaultCollector("", Unit(raw.get("units", "cm")), ())
    given = raw["garment"][index].get("body", {})
    body = collector.read(Body, given, joined("garment", index, "body"))
    collector.close()
    taken = {one: getattr(body, one) for one in MEASURES if getattr(body, one, None) is not None}
    if not taken or not name:
        what = "There is no measure to keep." if name else "The wearer has no name."
        raise OrderFault([Fault("", joined("garment", index), what, "Fill it in first.")])
    book.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not book.exists() or name not in [one.name for one in wearers(book)]:
        add(book, name, None, _TABLE, today)
    measure(book, name, today, taken)
    return {"books": books(), "book": book.name}
