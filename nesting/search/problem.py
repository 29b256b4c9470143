"""What there is to search of one cloth: its pieces, and the lays on which they find room."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from nesting.fabric.cut import on_cross_fold
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.plans import FewerJoins
from nesting.order.model import Order
from nesting.packing.convert import Packing
from nesting.packing.refusals import (
    lays_refused,
)
from nesting.packing.sections import Opened, opened_strips
from nesting.prints.prints import asks_for_print
from pieces.drafting.spec import Cutting
from pieces.errors import Fault
from pieces.piece import Finding, Piece


@dataclass(frozen=True, slots=True)
class LayOption:
    """A lay on which the pieces find room, and `opened`, those that it can't hold folded.

    These are cut from an opened-out section at its end; `packing` has the cuts of the others.
    """

    packing: Packing
    opened: Opened = field(default_factory=dict)

    @property
    def needs_section(self) -> bool:
        """Whether it can't be folded all along."""
        return bool(self.opened)


@dataclass(frozen=True, slots=True)
class FabricProblem:
    """A fabric, what is cut from it, and the lays on which all of that finds room.

    Of its `lays` those that need an opened-out section come first, then the strictest; a partial
    fold is there once for each depth worth a trial. `refused` are the others, with all that finds
    no room there; `order` is what it comes from, None where it stands for another.

    Its strips are cut as `cutting` says; `others` are the same cloth with its strips cut otherwise,
    and `least_mm` is a bound on any marker of those that were tried.
    """

    fabric: Fabric
    pieces: tuple[Piece, ...]
    lays: tuple[LayOption, ...]
    refused: tuple[tuple[LayName, tuple[Fault, ...]], ...] = ()
    order: Order | None = None
    cutting: Cutting | None = None
    others: tuple[FabricProblem, ...] = ()
    least_mm: float = math.inf

    @property
    def packings(self) -> tuple[Packing, ...]:
        """The lays that may be folded all along."""
        return tuple(lay.packing for lay in self.lays if not lay.needs_section)

    @property
    def joins(self) -> int:
        """How many joins the strips of its pieces have."""
        return sum(piece.joins for piece in self.pieces)

    @property
    def weight(self) -> float:
        """How much of the budget it deserves against others: its outlines, a few at least."""
        return sum(len(packing.cuts) + 3 for packing in self.all_packings)

    @property
    def all_packings(self) -> tuple[Packing, ...]:
        """What lies on each lay, folded, of one that needs a section."""
        return tuple(lay.packing for lay in self.lays)

    @property
    def tilts(self) -> bool:
        """Whether pieces may be turned off the grain: not where they meet a print."""
        return self.fabric.tilt_deg > 0 and not asks_for_print(self.pieces)

    def strips(
        self, lay: LayOption, ways: Sequence[Opened], senses: Mapping[str, int]
    ) -> tuple[Packing, Packing] | None:
        """The two parts of a lay, opened out in the first way that has room."""
        cloth = lay.packing.lay
        there = on_cross_fold(lay.packing.cuts, cloth.name)
        found = (
            opened_strips(self.pieces, self.fabric, cloth, way, senses, there)
            for way in ways
            if way
        )
        return next((both for both in found if both is not None), None)

    @property
    def finding(self) -> Finding | None:
        """What to say of lays that were not tried, where others were."""
        return lays_refused(self.fabric, self.refused) if self.lays and self.refused else None


def fewer_joins(
    best: FabricProblem, tried: Sequence[tuple[FabricProblem, float]]
) -> FewerJoins | None:
    """What is bought with the joins of the first way, or fewer, if the best has more."""
    first = tried[0][0]
    if best.joins <= first.joins:
        return None
    fewer = [(bought_mm, one.joins) for one, bought_mm in tried if one.joins <= first.joins]
    bought_mm, joins = min(fewer)
    return FewerJoins(best.joins - joins, bought_mm) if bought_mm < math.inf else None
