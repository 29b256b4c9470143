"""The wearers that an order names, and their measures as the book of wearers has them last."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from nesting.order.faults import FaultCollector, joined, nearest
from nesting.order.garments import tables_in
from nesting.wearers.book import wearers
from nesting.wearers.wearer import Wearer
from pieces.body.measurements import in_words
from pieces.errors import OrderFault
from pieces.piece import Finding
from pieces.units import Unit, format_length, shown
from pieces.wording import either

_BOOK = either(
    'Add wearers = "clients.book" at the top.',
    "Choose the book of wearers at the top.",
)


@dataclass(frozen=True, slots=True)
class NamedWearers:
    """The book that an order names, and those of its wearers for whom it is."""

    book: Path
    names: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    known: Mapping[str, Wearer] = field(default_factory=dict)


def wearers_named(
    collector: FaultCollector,
    raw: Mapping[str, Any],
    today: date,
    place: Callable[[str], Path] | None = None,
) -> NamedWearers | None:
    """The wearers of an order's garments; None where it names none. Faults are noted.

    `place` says where the book of a name lies, or raises OrderFault; by default it lies beside the
    order, if its name has no folder.
    """
    asked = {
        index: one["wearer"].strip()
        for index, one in enumerate(tables_in(raw, "garment"))
        if isinstance(one.get("wearer"), str)
    }
    given = raw.get("wearers")
    if asked and not isinstance(given, str):
        key = joined("garment", next(iter(asked)), "wearer")
        what = "The order names no book of wearers."
        collector.fault(key, what, _BOOK)
    if not isinstance(given, str) or not asked:
        return None
    try:
        book = place(given) if place else Path(collector.where).parent / given
        known = {one.name: one for one in wearers(book)}
    except OrderFault as error:
        for fault in error.faults:
            collector.fault("wearers", f"{given}: " + fault.message, fault.remedy)
        return None
    for index, name in asked.items():
        if name not in known:
            remedy = nearest(name, known) or f"It has: {', '.join(known) or 'nobody yet'}."
            what = f"The book has no wearer called {shown(name)}."
            collector.fault(joined("garment", index, "wearer"), what, remedy)
    names = tuple(dict.fromkeys(name for name in asked.values() if name in known))
    places = {name: joined("garment", index, "wearer") for index, name in reversed(asked.items())}
    own = {places[name]: known[name] for name in names}
    old = tuple(_grown(own, today, collector.unit))
    return NamedWearers(book, names, old, known)


def _grown(named: Mapping[str, Wearer], today: date, unit: Unit) -> Iterator[Finding]:
    """What is likely to have changed since a child was measured; `named` by the key that does."""
    for key, one in named.items():
        guesses = list(one.likely(today))
        if guesses:
            told = ", ".join(
                f"{in_words(guess.measure)} about {format_length(guess.likely_mm, unit)} "
                f"({format_length(guess.taken_mm, unit)} on {guess.taken.isoformat()})"
                for guess in guesses
            )
            sources = "; ".join(dict.fromkeys(guess.source for guess in guesses))
            yield Finding(
                "grown-since",
                f"{one.name} has grown since, likely: {told}. A guess by the growth of a size "
                f"table's rows ({sources}); the measures of the book are used as they are. Measure "
                "anew before you cut.",
                key,
            )
