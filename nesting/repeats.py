"""Several garments alike: the marker of one, laid behind itself, shows one for all of them.

So N together are never longer than N times one. Where a flaw or a print ties pieces to places of
the cloth it may show nothing; nor does it where the gap between pieces is more than two edges'.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from nesting.convert import UNITS_PER_MM, Keyed, Packing
from nesting.jobs import Job, Partly
from nesting.marker import Marker
from nesting.solver.instance import Layout
from nesting.verify import verify
from pieces.geometry import translated
from pieces.piece import Piece


def one_of(job: Job, share: float) -> Job | None:
    """The job for the first of its garments, if all are alike and several; it takes a share."""
    lots = _lots(job.pieces)
    alike = {tuple(replace(piece, garment="") for piece in own) for own in lots.values()}
    if "" in lots or len(lots) < 2 or len(alike) > 1:
        return None
    first = next(iter(lots))

    def own(packing: Packing) -> Packing:
        cuts = [cut for cut in packing.cuts if cut.piece.garment == first]
        return Packing(cuts, packing.fabric, packing.lay)

    packings = tuple(map(own, job.packings))
    partly = tuple(
        Partly(own(one.packing), {key: n for key, n in one.opened.items() if key[0] == first})
        for one in job.partly
    )
    whole = replace(job, pieces=tuple(lots[first]), packings=packings, partly=partly, share=1.0)
    return replace(whole, share=share * job.weight / whole.weight)


def _lots(pieces: Sequence[Piece]) -> dict[str, list[Piece]]:
    lots: dict[str, list[Piece]] = {}
    for piece in pieces:
        lots.setdefault(piece.garment, []).append(piece)
    return lots


def repeated(packing: Packing, job: Job, one: Packing, marker: Marker) -> Layout | None:
    """A layout of the job's garments out of the marker of one; None if it can't be cut so."""
    ends = [x for placement in marker.placements for x, _ in placement.outline_mm]
    apart = math.ceil((max(ends) - min(ends) + packing.fabric.gap_mm) * UNITS_PER_MM)
    sense = next(iter(one.senses(marker).values()), None)
    outlines: list[Keyed] = []
    senses: dict[str, int] = {}
    for number, garment in enumerate(_lots(job.pieces)):
        along_mm = number * apart / UNITS_PER_MM
        outlines += [
            ((garment, placement.piece), translated(placement.outline_mm, along_mm, 0.0))
            for placement in marker.placements
        ]
        if sense is not None:
            senses[garment] = sense
    layout = packing.layout_like(outlines, senses)
    if layout is None or verify(packing.fabric, job.pieces, packing.marker(layout)):
        return None
    return layout
