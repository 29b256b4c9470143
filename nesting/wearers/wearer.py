"""A wearer: measures with their dates, what changed, what is likely by now. Millimetres."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import date

from pieces.body.measurements import Body
from pieces.body.tables import AGES, SIZES, sources_of

MEASURES = tuple(field.name for field in fields(Body))
_YEAR_DAYS = 365.25
OLD_DAYS = 90
"""A growing child is measured anew after a season; common practice."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured on one day, in mm by the name of the measure."""

    day: date
    measures: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Ordered:
    """An order planned for the wearer: when, which, and what was to buy."""

    day: date
    order: str
    bought: str


@dataclass(frozen=True, slots=True)
class Change:
    """One measure at its last two takings."""

    measure: str
    before_mm: float
    before: date
    now_mm: float
    now: date


@dataclass(frozen=True, slots=True)
class Guess:
    """What a measure is likely to be by now; `sources` tell of the tables it is led on by."""

    measure: str
    taken_mm: float
    taken: date
    likely_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Wearer:
    """All that the book has of one wearer, by date; `born` is None where it was not told."""

    name: str
    born: date | None
    table: str
    measured: tuple[Measured, ...]
    orders: tuple[Ordered, ...]

    @property
    def latest(self) -> dict[str, tuple[float, date]]:
        """Each measure as it was taken last, and when."""
        found: dict[str, tuple[float, date]] = {}
        for one in self.measured:
            found |= {name: (mm, one.day) for name, mm in one.measures.items()}
        return {name: found[name] for name in MEASURES if name in found}

    @property
    def body(self) -> Body:
        """The last measures as a body."""
        return Body(**{name: mm for name, (mm, _) in self.latest.items()})

    def changes(self) -> Iterator[Change]:
        """What changed between the last two takings of each measure."""
        for name in MEASURES:
            taken = [(one.measures[name], one.day) for one in self.measured if name in one.measures]
            if len(taken) > 1:
                (before_mm, before), (now_mm, now) = taken[-2:]
                yield Change(name, before_mm, before, now_mm, now)

    def likely(self, today: date) -> Iterator[Guess]:
        """What measures are likely to be by now, of a child who was measured long ago.

        Each is led on from the day it was taken by the share by which the size table's row grows
        between the two ages, read off between whole years. A guess: children differ, tables too.
        """
        if self.born is None:
            return
        age = (today - self.born).days / _YEAR_DAYS
        for name, (mm, day) in self.latest.items():
            then = (day - self.born).days / _YEAR_DAYS
            if (today - day).days < OLD_DAYS or not AGES[0] <= then < age <= AGES[-1]:
                continue
            rows = (_row(name, self.table, one) for one in (then, age))
            at_then, at_now = rows
            if at_then is not None and at_now is not None:
                likely_mm = mm * at_now / at_then
                yield Guess(name, mm, day, likely_mm, sources_of(name, self.table))


def _row(measure: str, table: str, age: float) -> float | None:
    """A measure of the size table at an age between whole years, in mm."""
    year = min(int(age), AGES[-1] - 1)
    low, high = (getattr(SIZES[f"{one} years {table}"], measure) for one in (year, year + 1))
    return None if low is None or high is None else low + (age - year) * (high - low)
