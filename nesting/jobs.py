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
from nesting.print_lays import NO_ROOM, refusal
from nesting.prints import ALONG, Prints, asks_for_print, prints_of
from nesting.refusals import across_flaws, against_nap, against_print, fault, lays_refused, misfits
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
    def tilts(self) -> bool:
        """Whether pieces may be turned off the grain: not where they meet a print."""
        return self.fabric.tilt_deg > 0 and not asks_for_print(self.pieces)

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
    prints = prints_of(own, asked)
    if asked.repeat is not None:
        asked = replace(asked, repeat=replace(asked.repeat, centred=ALONG in prints.motifs))
    for name in allowed_lays(asked):
        cuts = cuts_for(own, asked, name)
        if asked.lays is None and _is_another_lay(name, cuts):
            continue
        for cloth in _ways_to_lay(asked, name, cuts):
            why = _forbidden(order, asked, cuts, cloth, prints)
            packing = None if why else Packing(cuts, asked, cloth)
            if packing is not None and packing.meets:
                packings.append(packing)
            else:
                refused.append((name, why or (against_print(asked, name, NO_ROOM, order.source),)))
    return Job(asked, own, tuple(packings), tuple(refused))


def _forbidden(
    order: Order, fabric: Fabric, cuts: Sequence[Cut], cloth: Lay, prints: Prints
) -> tuple[Fault, ...]:
    """Why the cuts can't lie so: flaws, the print, or pieces too wide for it."""
    if unsettled(fabric, cloth, cuts):
        return (across_flaws(fabric, cloth.name, order.source),)
    against = refusal(prints, cuts, fabric, cloth)
    if against is not None:
        return (against_print(fabric, cloth.name, against, order.source),)
    misfit = misfits(cuts, fabric, cloth)
    return tuple(fault(cut, fabric, cloth, order.unit, order.source) for cut in misfit)


def _is_another_lay(name: LayName, cuts: Sequence[Cut]) -> bool:
    """Whether a partial fold would come to a plain fold, or to no fold at all."""
    return name is LayName.PARTIAL_FOLD and len({cut.layers for cut in cuts}) < 2


def _ways_to_lay(fabric: Fabric, name: LayName, cuts: Sequence[Cut]) -> Iterator[Lay]:
    if name is not LayName.PARTIAL_FOLD:
        yield lay_of(fabric, name)
        return
    for depth_mm in useful_depths(cuts, fabric):
        yield lay_of(fabric, name, depth_mm)
