"""Notions: what a garment needs besides cloth, as its drafts propose it. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sold(StrEnum):
    """How a notion is sold."""

    LENGTH = "length"
    """Cut from a roll or a card, as ribbon, lace and elastic are."""
    PIECE = "piece"
    """Counted, as buttons are."""
    SIZE = "size"
    """Counted, each in the next length sold, as zips are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Notion:
    """What one garment needs of one thing.

    Attributes
    ----------
    name : what it is, such as "zip" or "elastic"
    garment : the garment that needs it, by its name
    where : where in the garment it goes, in words
    sold : how it is sold
    count : how many
    length_mm : how long each is, joins and turned-in ends included; 0 where only the count matters
    width_mm : how wide it is to be; 0 where that is open
    """

    name: str
    garment: str
    where: str
    sold: Sold
    count: int = 1
    length_mm: float = 0.0
    width_mm: float = 0.0

    @property
    def total_mm(self) -> float:
        """The length of all of them together."""
        return self.count * self.length_mm
