"""Several garments alike: the marker of one, laid behind itself, shows one for all of them.

So N together are never longer than N times one. Where a flaw or a print ties pieces to places of
the cloth it may show nothing; nor does it where the gap between pieces is more than two edges'.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from nesting.convert import UNITS_PER_MM, Keyed, Packing
from nesting.jobs import Job, Partly
from nesting.marker import Marker
from nesting.sections import marker_of, opened_in, opened_strips, parted
from nesting.solver.instance import Layout
from nesting.tilting import tilted_packing
from nesting.trial import Trial, verified
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
    senses = _senses(job, one, marker)
    layout = packing.layout_like(_row(marker, packing.fabric.gap_mm, _lots(job.pieces)), senses)
    if layout is None or verify(packing.fabric, job.pieces, packing.marker(layout)):
        return None
    return layout


def repeated_in_two(job: Job, one: Trial) -> Trial | None:
    """The same for a marker that ends opened out: all folded parts, then all that is opened out.

    None on cloth with flaws or a print to meet, which lie otherwise under each.
    """
    fabric, lots = job.fabric, _lots(job.pieces)
    lay, marker = one.packing.lay, one.marker
    if fabric.flaws or one.packing.prints.axes:
        return None
    first = next(iter(lots))
    each = opened_in(marker, lots[first])
    opened = {(garment, name): n for garment in lots for (_, name), n in each.items()}
    senses = _senses(job, one.packing, marker)
    strips = opened_strips(job.pieces, fabric, lay, opened, senses)
    if strips is None:
        return None
    if fabric.tilt_deg:
        strips = tilted_packing(strips[0]), tilted_packing(strips[1])
    rows = (_row(part, fabric.gap_mm, lots) for part in parted(marker))
    folded, single = (
        strip.layout_like(row, senses) for strip, row in zip(strips, rows, strict=True)
    )
    if folded is None or single is None:
        return None
    section = strips[1], single
    if verify(fabric, job.pieces, marker_of(strips[0], folded, section)):
        return None
    return verified(strips[0], folded, 0.0, job.pieces, section)


def _senses(job: Job, one: Packing, marker: Marker) -> dict[str, int]:
    """The direction of the one garment, for all of the job's; none where it has none."""
    sense = next(iter(one.senses(marker).values()), None)
    return {} if sense is None else dict.fromkeys(_lots(job.pieces), sense)


def _row(marker: Marker, gap_mm: float, garments: Iterable[str]) -> list[Keyed]:
    """The outlines of a marker, once for each garment, one row of them behind the other."""
    ends = [x for placement in marker.placements for x, _ in placement.outline_mm]
    apart = math.ceil((max(ends) - min(ends) + gap_mm) * UNITS_PER_MM)
    return [
        (
            (garment, placement.piece),
            translated(placement.outline_mm, number * apart / UNITS_PER_MM, 0.0),
        )
        for number, garment in enumerate(garments)
        for placement in marker.placements
    ]
