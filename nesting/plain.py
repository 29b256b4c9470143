"""What a print costs: the same pieces on the same lay as plain cloth."""

from __future__ import annotations

from nesting.carry import on_wider, start_for
from nesting.convert import Packing
from nesting.jobs import Job
from nesting.prints import asks_for_print, plain_cloth, plain_pieces
from nesting.purchase import purchase
from nesting.sections import cuts_in
from nesting.trial import Trial
from nesting.trials import Search

_SHARE = 0.2
"""Of a cloth's budget, besides it: what packing it as plain cloth may take."""


def plain_weight(job: Job) -> float:
    """The budget that `bought_plain_mm` may spend on a cloth."""
    return _SHARE * job.weight if asks_for_print(job.pieces) else 0.0


def bought_plain_mm(search: Search, job: Job, chosen: Trial, weight: float) -> float | None:
    """What would be bought if the print need not meet; None if nothing asks for it to.

    The plain cloth starts from the marker with the print, so it never takes more.
    """
    if not asks_for_print(job.pieces):
        return None
    cloth, pieces = plain_cloth(chosen.fabric), plain_pieces(job.pieces)
    if chosen.section is not None:
        return _bought_opened_mm(search, Job(cloth, pieces, ()), chosen, weight)
    lay = chosen.packing.lay
    packing = Packing(cuts_in(chosen.marker, pieces, cloth), cloth, lay)
    shown = [chosen]
    if chosen.untied is not None:
        marker = chosen.packing.marker(chosen.untied)
        shown.append(Trial(chosen.packing, chosen.untied, marker, chosen.bound_mm))
    plain = Job(cloth, pieces, (packing,))
    found = search.trial(plain, packing, weight, start_for(packing, shown))
    least_mm = min(found.marker.length_mm, chosen.marker.length_mm)
    return purchase(cloth, least_mm).length_mm


def _bought_opened_mm(search: Search, plain: Job, chosen: Trial, weight: float) -> float:
    """The same for a lay that ends opened out, its pieces folded and opened as they are."""
    shown = on_wider(chosen, plain.fabric, plain.pieces)
    trials = [chosen if shown is None else shown]
    search.search_on(plain, trials, weight)
    return purchase(plain.fabric, trials[0].marker.length_mm).length_mm
