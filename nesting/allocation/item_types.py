"""Garments that ask for the same pieces of a cloth: they may stand in for each other.

A shade group is what must come from one bolt, so that no garment shades: the pieces of one
garment, or a piece without a garment by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.order.model import Order
from pieces.piece import Piece

ShadeGroup = tuple[str, str]
"""The garment's name; or none, and that of the piece."""
_LAST = 1_000_000


@dataclass(frozen=True, slots=True)
class ItemType:
    """Shade groups alike, the first in priority first, with the pieces and the priority of each."""

    shade_groups: tuple[ShadeGroup, ...]
    pieces: tuple[tuple[Piece, ...], ...]
    priorities: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.shade_groups)


def shade_group_of(garment: str, piece: str) -> ShadeGroup:
    """The shade group that a piece belongs to."""
    return (garment, "") if garment else ("", piece)


def item_types_of(order: Order, pieces: Sequence[Piece]) -> tuple[ItemType, ...]:
    """The item types among the pieces of one cloth, in the order in which they come."""
    shade_groups: dict[ShadeGroup, list[Piece]] = {}
    for piece in pieces:
        shade_groups.setdefault(shade_group_of(*piece.key), []).append(piece)
    rank = _priorities(order)
    item_types: dict[tuple[Piece, ...], list[ShadeGroup]] = {}
    for shade_group, own in shade_groups.items():
        item_types.setdefault(tuple(replace(piece, garment="") for piece in own), []).append(
            shade_group
        )
    return tuple(_item_type(alike, shade_groups, rank) for alike in item_types.values())


def _priorities(order: Order) -> dict[str, int]:
    return {garment.name: garment.priority for garment in order.garments}


def _item_type(
    shade_groups: Sequence[ShadeGroup],
    of: Mapping[ShadeGroup, Sequence[Piece]],
    rank: Mapping[str, int],
) -> ItemType:
    def priority(shade_group: ShadeGroup) -> int:
        return rank.get(shade_group[0], _LAST)

    first = sorted(shade_groups, key=priority)
    return ItemType(
        tuple(first),
        tuple(tuple(of[shade_group]) for shade_group in first),
        tuple(priority(shade_group) for shade_group in first),
    )
