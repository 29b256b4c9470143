"""What became of the orders of a folder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path

from pieces.units import Unit


class State(StrEnum):
    """What became of an order."""

    PLANNED = "planned"
    BEFORE = "planned before"
    FAULTY = "not planned"
    OPEN = "still open"


@dataclass(frozen=True, slots=True)
class Bought:
    """One cloth of an order as it is bought, `counter` the unit that its shop counts in.

    There is none of what is cut from cloth in hand.
    """

    cloth: str
    length_mm: float
    text: str
    cost: Decimal | None
    currency: str
    waste_percent: float
    counter: Unit


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one order file; `folder` holds its plan once it is finished.

    `exit_status` and `faults` are those that planning it alone would have ended with.
    """

    file: str
    state: State = State.OPEN
    order: str = ""
    seconds: float = 0.0
    bought: tuple[Bought, ...] = ()
    exit_status: int = 0
    faults: tuple[str, ...] = ()

    @property
    def folder(self) -> str:
        """The name of its folder."""
        return Path(self.file).stem

    @property
    def is_finished(self) -> bool:
        """Whether its plan lies in its folder."""
        return self.state in (State.PLANNED, State.BEFORE)

    @property
    def totals(self) -> dict[str, Decimal]:
        """Cost of its cloth by currency; notions stand in its own plan."""
        return _summed((one.currency, one.cost) for one in self.bought)


@dataclass(frozen=True, slots=True)
class Batch:
    """All orders of a folder, by the names of their files.

    `interrupted` by Ctrl-C, `broken` off because the workers were lost.
    """

    name: str
    seed: int
    seconds: float
    orders: tuple[Outcome, ...]
    interrupted: bool
    broken: bool = False

    @property
    def totals(self) -> dict[str, Decimal]:
        """Cost of the cloth of all that is finished, by currency."""
        return _summed(pair for one in self.orders for pair in one.totals.items())

    @property
    def cloths_mm(self) -> dict[str, float]:
        """What is bought in all, by the name of the cloth."""
        sums: dict[str, float] = {}
        for bought in (cloth for one in self.orders for cloth in one.bought):
            sums[bought.cloth] = sums.get(bought.cloth, 0.0) + bought.length_mm
        return dict(sorted(sums.items()))

    @property
    def exit_status(self) -> int:
        """Of the orders' own the first that applies: 1 our failure, 2 a fault, 3 it can't fit."""
        return min((one.exit_status for one in self.orders if one.exit_status), default=0)


def _summed(pairs: Iterator[tuple[str, Decimal | None]]) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = {}
    for currency, cost in pairs:
        if cost is not None:
            sums[currency] = sums.get(currency, Decimal(0)) + cost
    return sums
