"""What reading a drawing file gathers: things found and repaired, or the fault that ends it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from pieces.check import faults
from pieces.errors import Fault, OrderFault
from pieces.files import contents
from pieces.geometry import laid
from pieces.piece import Draft, Finding, Line, Piece
from pieces.units import Unit
from pieces.wording import Wording, either

LARGEST_BYTES = 10_000_000
LARGEST_PDF_BYTES = 60_000_000
"""Patterns in PDF carry fonts and pictures beside their lines."""
MOST_POINTS = 200_000
FARTHEST = 1e6
"""No coordinate of a drawing in any unit lies further out: a kilometre in mm."""
TOLERANCE_MM = 0.08
"""How far the chords of a curve may stray: under a tenth of a millimetre."""
_MOST_OF_A_KIND = 5
_MOST_REASONS = 3
_INCHES_BELOW = 60.0
"""Drawings whose largest piece measures less are taken for inches: 60 in. are a cloth's width, and
hardly a garment's largest piece is shorter than 60 mm."""
BESIDE_FILE = either(" beside the file", " with this drawing")
"""Where an order tells more of a drawing than that tells itself."""
IF_UNIT_IS_WRONG = "If that is wrong, " + either(
    'give unit = "mm", "cm" or "in" beside the file.', "choose the unit of the drawing."
)


@dataclass(frozen=True, slots=True)
class Beneath:
    """A photograph under the pieces of a drawing: its content, as a data address, and its box.

    The box is its least x and y, and its greatest, in mm, y upwards.
    """

    content: str
    box: tuple[float, float, float, float]


class Marking(Protocol):
    """What is told of the pieces of a drawing and done to each: see `pieces.trace.marked`."""

    def tells_grain(self, name: str) -> bool:
        """Whether the grain of a piece is told, or its fold."""

    def on(self, piece: Piece, gathering: Gathering) -> Piece:
        """A piece with all that is told of it; raises OrderFault where it can't be so."""


class Gathering:
    """What the order tells of a file, and what reading it finds; each finding says what was done.

    `path` is what the file is called, `source` where it lies, if that is elsewhere.
    `unit` is that of the drawing's numbers, `grain_deg` the way that its thread runs; None where
    the order leaves it to the file. `marks` are told of its pieces by their corners. `grainless`
    are the pieces that show no grain, `sizes` those of pieces that tell one, `beneath` is the
    photograph that lies under them, if any.
    """

    def __init__(
        self,
        path: Path,
        unit: Unit | None = None,
        grain_deg: float | None = None,
        marks: Marking | None = None,
        source: Path | None = None,
    ) -> None:
        self.path = path
        self.source = source or path
        self.unit = unit
        self.grain_deg = grain_deg
        self.marks = marks
        self.grainless: set[str] = set()
        self.sizes: dict[str, str] = {}
        self.beneath: Beneath | None = None
        self._found: dict[Finding, None] = {}
        self._points = 0

    def find(self, code: str, message: str) -> None:
        """Note one thing found; told once, however often it is found."""
        self._found[Finding(code, message)] = None

    def find_no_grain(self, whose: str, along: str) -> None:
        """Tell that no grain is shown, unless the order tells it."""
        self.grainless.add(whose)
        if self.grain_deg is None and not self.tells_grain(whose):
            self.find(
                "grain-assumed",
                f"{whose} shows no grain, so it was taken to run along {along}. "
                + either(
                    "Give grain = [[0, 0], [0, 1]] beside the file",
                    "Choose “up the drawing” as its thread line",
                )
                + " where it runs upwards.",
            )

    def tells_grain(self, name: str) -> bool:
        """Whether the marks tell how the grain of a piece runs, or its fold."""
        return self.marks is not None and self.marks.tells_grain(name)

    def forget(self, code: str, start: str) -> bool:
        """Take back what was found of a kind, by how it begins; whether there was such."""
        old = [one for one in self._found if one.code == code and one.message.startswith(start)]
        for one in old:
            del self._found[one]
        return bool(old)

    def refused(self, message: str, remedy: str, key: str = "") -> OrderFault:
        """The fault to raise where the file can't be taken."""
        return OrderFault([Fault(str(self.path), key, message, remedy)])

    def counted(self, line: Line) -> Line:
        """The line, if its numbers are those of a drawing and there are not too many of them.

        Raises
        ------
        OrderFault : a coordinate that is none or beyond all measure; too many points
        """
        self._points += len(line)
        if self._points > MOST_POINTS:
            raise self.refused(
                "The drawing has far too many points for pieces of clothes.",
                "Save the outlines of the pieces alone, with fewer points on their curves.",
            )
        if not all(sane(x, y) for x, y in line):
            raise self.refused(
                "A coordinate in it is no number, or kilometres away.",
                "Save the drawing anew, with the pieces near its origin.",
            )
        return line

    def draft(self, pieces: Iterable[Piece]) -> Draft:
        """The pieces with their marks, in their laid form, with all that was found.

        Raises
        ------
        OrderFault : with every piece that can't be cut
        """
        whole = self._marked(tuple(pieces))
        wrong = [fault for p in whole for fault in faults(p, str(self.path), f"piece '{p.name}'")]
        if wrong:
            raise OrderFault(wrong)
        if not whole:
            raise self.refused(
                "There is no closed outline of a piece in it.",
                Wording(" ").join(
                    ["Draw every piece as one closed line, true to size.", *self._reasons()]
                ),
            )
        return Draft(tuple(laid(piece) for piece in whole), findings=self._told())

    def _marked(self, pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
        if self.marks is None:
            return pieces
        found: list[Piece] = []
        wrong: list[Fault] = []
        for piece in pieces:
            try:
                found.append(self.marks.on(piece, self))
            except OrderFault as error:
                wrong += error.faults
        if wrong:
            raise OrderFault(wrong)
        return tuple(found)

    def _told(self) -> tuple[Finding, ...]:
        """What was found, with the file's name; of many of one kind the first and their number."""
        by_code: dict[str, list[str]] = {}
        for found in self._found:
            by_code.setdefault(found.code, []).append(found.message)
        told = []
        for code, messages in by_code.items():
            shown = messages[:_MOST_OF_A_KIND]
            if len(messages) > len(shown):
                shown.append(f"and {len(messages) - len(shown)} more of the kind.")
            told += [Finding(code, f"{self.path.name}: " + message) for message in shown]
        return tuple(told)

    def _reasons(self) -> list[str]:
        """What was found in a drawing that holds no piece, as far as one reads on."""
        found = [found.message for found in self._found][:_MOST_REASONS]
        return ["What was found:", *found] if found else []


def sane(*numbers: float) -> bool:
    """Whether numbers may stand in a drawing at all."""
    return all(math.isfinite(number) and abs(number) <= FARTHEST for number in numbers)


def content(path: Path, most_bytes: int = LARGEST_BYTES) -> bytes:
    """What stands in a drawing file.

    Raises
    ------
    OrderFault : it can't be read, or is far too large
    """
    too_large = (
        "The file is far too large for a drawing of pieces.",
        "Save the outlines of the pieces alone.",
    )
    return contents(path, "drawing", most_bytes, too_large)


def guessed_unit(largest: float) -> Unit:
    """The unit of a drawing that tells none, from the size of its largest piece.

    >>> guessed_unit(310.0), guessed_unit(12.5)
    (<Unit.MM: 'mm'>, <Unit.IN: 'in'>)
    """
    return Unit.IN if largest < _INCHES_BELOW else Unit.MM
