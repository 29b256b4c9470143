"""Everything that can go wrong, as one tree.

    MetrageError               exit status
    ├── OrderFault             2   the order, or the use of the command, is at fault
    ├── CannotFit              3   a piece can never lie on its cloth
    ├── OutputFault            2   a folder or file cannot be written
    ├── Stopped              130   stopped by its user before there was anything to give
    └── OwnFailure             1   we are at fault: a marker that does not verify

`OrderFault` and `CannotFit` carry every fault found, not only the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to put right: where it is, what is wrong, what would help.

    `where` is a file or a command's option, `key` the path of the key inside it
    (``fabric.satin.width``, ``garment[2].part[0].fullness``; empty for the whole file). `said` is
    that path as a person says it, where that is another. Words that speak of keys are a
    `pieces.wording.Wording`, so that a form can say them its own way.
    """

    where: str
    key: str
    message: str
    remedy: str = ""
    said: str = field(default="", compare=False)

    @property
    def place(self) -> str:
        """Where in its file it is, as a person says it."""
        return self.said or self.key

    def __str__(self) -> str:
        place = ": ".join(part for part in (self.where, self.place) if part)
        told = " ".join(filter(None, (self.message, self.remedy)))
        return f"{place}: {told}" if place else told


class BadValue(ValueError):
    """A value that is not what its key takes: what is wrong with it, and what would help."""

    def __init__(self, message: str, remedy: str = "") -> None:
        self.message, self.remedy = message, remedy
        super().__init__(message, remedy)

    def __str__(self) -> str:
        return " ".join(filter(None, (self.message, self.remedy)))


class MetrageError(Exception):
    """Root of the tree; `exit_status` is what the command line leaves with."""

    exit_status: ClassVar[int] = 1


class Faults(MetrageError):
    """A group of faults that are reported together."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class OrderFault(Faults):
    """The order or the use of the command is at fault."""

    exit_status = 2


class CannotFit(Faults):
    """Some piece can never lie on its cloth, however long."""

    exit_status = 3


class OutputFault(Faults):
    """A folder or a file cannot be written."""

    exit_status = 2


class Stopped(MetrageError):
    """A search was asked to stop before it had found anything."""

    exit_status = 130

    def __init__(self) -> None:
        super().__init__("Stopped before there was a layout.")


class OwnFailure(MetrageError):
    """The program is at fault; the message asks for a report."""
