"""Garments that ask for the same pieces of a cloth: they may stand in for each other.

A lot is what must come from one bolt, so that no garment shades: the pieces of one garment, or
a piece without a garment by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.order.model import Order
from pieces.piece import Piece

Lot = tuple[str, str]
"""The garment's name; or none, and that of the piece."""
_LAST = 1_000_000


@dataclass(frozen=True, slots=True)
class Kind:
    """Lots alike, the first in priority first, with the pieces and the priority of each."""

    lots: tuple[Lot, ...]
    pieces: tuple[tuple[Piece, ...], ...]
    priorities: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.lots)


def lot_of(garment: str, piece: str) -> Lot:
    """The lot that a piece belongs to."""
    return (garment, "") if garment else ("", piece)


def kinds_of(order: Order, pieces: Sequence[Piece]) -> tuple[Kind, ...]:
    """The kinds of lots among the pieces of one cloth, in the order in which they come."""
    lots: dict[Lot, list[Piece]] = {}
    for piece in pieces:
        lots.setdefault(lot_of(*piece.key), []).append(piece)
    rank = _priorities(order)
    kinds: dict[tuple[Piece, ...], list[Lot]] = {}
    for lot, own in lots.items():
        kinds.setdefault(tuple(replace(piece, garment="") for piece in own), []).append(lot)
    return tuple(_kind(alike, lots, rank) for alike in kinds.values())


def _priorities(order: Order) -> dict[str, int]:
    return {garment.name: garment.priority for garment in order.garments}


def _kind(lots: Sequence[Lot], of: Mapping[Lot, Sequence[Piece]], rank: Mapping[str, int]) -> Kind:
    def priority(lot: Lot) -> int:
        return rank.get(lot[0], _LAST)

    first = sorted(lots, key=priority)
    return Kind(
        tuple(first),
        tuple(tuple(of[lot]) for lot in first),
        tuple(priority(lot) for lot in first),
    )
