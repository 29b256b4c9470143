"""What there is to search: each cloth's pieces, and the lays on which all of them find room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.convert import Packing
from nesting.depths import useful_depths
from nesting.fabric import Fabric, LayName
from nesting.flaws import unsettled
from nesting.lay import Lay, allowed_lays, lay_of, suits_nap
from nesting.order import Order
from nesting.parts import Cut, of_fabric
from nesting.refusals import across_flaws, against_nap, fault, lays_refused, misfits
from nesting.rules import cuts_for
from pieces.errors import CannotFit, Fault
from pieces.piece import Finding, Piece


@dataclass(frozen=True, slots=True)
class Job:
    """A fabric, what is cut from it, and the lays on which all of that finds room.

    The strictest lay is the first; a partial fold is there once for each depth worth a trial.
    `refused` are the other lays, with all that finds no room there; `share` is what it takes of
    the budget that it deserves.
    """

    fabric: Fabric
    pieces: tuple[Piece, ...]
    packings: tuple[Packing, ...]
    refused: tuple[tuple[LayName, tuple[Fault, ...]], ...]
    share: float = 1.0

    @property
    def weight(self) -> float:
        """How much of the budget it deserves against others: its outlines, a few at least."""
        return self.share * sum(len(packing.cuts) + 3 for packing in self.packings)

    @property
    def finding(self) -> Finding | None:
        """What to say of lays that were not tried, where others were."""
        return lays_refused(self.fabric, self.refused) if self.packings and self.refused else None


def jobs_for(order: Order, pieces: Sequence[Piece], lay: LayName | None) -> list[Job]:
    """One job for each fabric in use; `lay` takes the place of the lays that the order names.

    Raises
    ------
    CannotFit : with all that fits none of its lays
    """
    used = {piece.fabric for piece in pieces}
    jobs = [
        job_for(order, fabric, pieces, lay)
        for fabric in order.fabrics.values()
        if fabric.name in used
    ]
    faults = [one for job in jobs if not job.packings for one in job.refused[-1][1]]
    if faults:
        raise CannotFit(faults)
    return jobs


def job_for(order: Order, fabric: Fabric, pieces: Sequence[Piece], lay: LayName | None) -> Job:
    """What to search for one fabric; without packings if no lay has room for everything."""
    own = of_fabric(pieces, fabric.name)
    asked = fabric if lay is None else replace(fabric, lays=(lay,))
    packings: list[Packing] = []
    refused: list[tuple[LayName, tuple[Fault, ...]]] = [
        (name, (against_nap(fabric, name, order.source),))
        for name in asked.lays or ()
        if not suits_nap(name, fabric.nap)
    ]
    for name in allowed_lays(asked):
        cuts = cuts_for(own, asked, name)
        if asked.lays is None and _is_another_lay(name, cuts):
            continue
        for cloth in _ways_to_lay(asked, name, cuts):
            misfit = misfits(cuts, asked, cloth)
            if unsettled(asked, cloth, cuts):
                refused.append((name, (across_flaws(asked, name, order.source),)))
                continue
            if not misfit:
                packings.append(Packing(cuts, asked, cloth))
                continue
            why = tuple(fault(cut, asked, cloth, order.unit, order.source) for cut in misfit)
            refused.append((name, why))
    return Job(asked, own, tuple(packings), tuple(refused))


def _is_another_lay(name: LayName, cuts: Sequence[Cut]) -> bool:
    """Whether a partial fold would come to a plain fold, or to no fold at all."""
    return name is LayName.PARTIAL_FOLD and len({cut.layers for cut in cuts}) < 2


def _ways_to_lay(fabric: Fabric, name: LayName, cuts: Sequence[Cut]) -> Iterator[Lay]:
    if name is not LayName.PARTIAL_FOLD:
        yield lay_of(fabric, name)
        return
    for depth_mm in useful_depths(cuts, fabric):
        yield lay_of(fabric, name, depth_mm)
