"""A garment as it is drafted, asked by its parts; the side seams of its skirts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from pieces.drafting.assembly import hosts, kind_of
from pieces.drafting.context import DraftResult
from pieces.drafting.kind import DraftKind
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.geometry import bounds
from pieces.piece import Finding, Piece
from pieces.units import format_length
from pieces.wording import write

_NEARLY = 0.75
"""Panels of which the narrowest is so much of the widest can have their seams near the sides."""


@dataclass(slots=True)
class Whole:
    """A garment's parts as ordered, with what each gives."""

    spec: GarmentSpec
    made: Sequence[DraftResult]

    def told(self, length_mm: float) -> str:
        """A length as the dresser's tape has it."""
        return format_length(length_mm, self.spec.unit)

    def found(self, code: str, message: str, index: int | None, option: str = "") -> Finding:
        """Something worth telling of a part, at one of its options; or of the whole garment."""
        key = self.spec.key if index is None else self.spec.parts[index].key
        key = f"{key}.{option}" if option else key
        return Finding(code, f"{self.spec.name}: " + message, key)

    def kind(self, index: int) -> DraftKind:
        """What kind of part it is."""
        return kind_of(self.spec.parts[index])

    def where(self, holds: Callable[[DraftKind], bool]) -> list[int]:
        """The parts of whose kind something holds."""
        return [i for i in range(len(self.spec.parts)) if holds(self.kind(i))]

    def finishing(self, edge: str) -> list[int]:
        """The parts that finish an edge."""
        return [i for i in range(len(self.made)) if edge in self.kind(i).finishes(self.options(i))]

    def options(self, index: int) -> Any:
        """What the order tells of a part."""
        return self.spec.parts[index].options

    def name(self, index: int) -> str:
        """What a part is called."""
        made = self.made[index]
        pieces = made.pieces
        return made.name or (pieces[0].name if pieces else self.spec.parts[index].draft)

    def shell(self, index: int) -> Sequence[Piece]:
        """The pieces of a part without its lining's."""
        fabric, pieces = self.spec.parts[index].fabric, self.made[index].pieces
        return [one for one in pieces if one.fabric == fabric and not one.name.endswith(" lining")]

    def at_waist(self) -> list[int]:
        """The skirts, tiers and nets that are sewn to the waist."""
        above = hosts(self.spec.parts)
        hung = self.where(lambda kind: kind.at_waist)
        return [index for index in hung if above[index] is None]

    def edge_mm(self, index: int) -> float:
        """The waist seam that a part is sewn to: of what gives one before it, or the body's."""
        given = [made.waist_mm for made in self.made[:index] if made.waist_mm is not None]
        return given[-1] if given else self.spec.body.waist or 0.0


def has_side_seams(pieces: Sequence[Piece]) -> bool:
    """Whether two of the seams of a skirt, cut from these pieces, can lie at the sides.

    So it is with a front and a back, and with any even number of panels that are nearly alike.
    """
    names = [seam.name for piece in pieces for seam in piece.seams if seam.name.startswith("side")]
    count = sum(piece.parts for piece in pieces)
    if names and len(pieces) > 1:
        return True
    wide = [high - low for _, low, _, high in (bounds(piece.outline) for piece in pieces)]
    return count > 0 and count % 2 == 0 and min(wide) >= _NEARLY * max(wide)


def more_seams(part: PartSpec, pieces: Sequence[Piece]) -> str:
    """What to write at a skirt so that it has side seams; empty where it has no key for that."""
    count = sum(piece.parts for piece in pieces)
    even = count + count % 2
    if hasattr(part.options, "panels"):
        return "Or " + write("panels", even) + f" at the {part.draft}."
    if hasattr(part.options, "joins"):
        return "Or " + write("joins", even - 1) + f" at the {part.draft}."
    return ""
