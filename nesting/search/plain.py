"""What a print costs: the same pieces on the same lay as plain cloth."""

from __future__ import annotations

from dataclasses import replace

from nesting.fabric.purchase import purchase
from nesting.packing.convert import Packing
from nesting.packing.sections import cuts_in
from nesting.prints.prints import asks_for_print, plain_cloth, plain_pieces
from nesting.search.lay_result import LayResult, rank_key
from nesting.search.problem import FabricProblem, LayOption
from nesting.search.session import Session
from nesting.search.warm_start.transfer import on_wider, start_for


def bought_plain_mm(session: Session, chosen: LayResult, share: float) -> float | None:
    """What would be bought if the print need not meet; None if nothing asks for it to.

    May spend a share of the whole budget. The plain cloth starts from the marker with the print, so
    it never takes more.
    """
    if not asks_for_print(chosen.pieces):
        return None
    cloth, pieces = plain_cloth(chosen.fabric), plain_pieces(chosen.pieces)
    if chosen.section is not None:
        return _bought_opened_mm(session, FabricProblem(cloth, pieces, ()), chosen, share)
    lay = chosen.packing.lay
    packing = Packing(cuts_in(chosen.marker, pieces, cloth), cloth, lay)
    shown = [chosen]
    if chosen.untied is not None:
        marker = chosen.packing.marker(chosen.untied)
        shown.append(replace(chosen, layout=chosen.untied, marker=marker, untied=None))
    plain = FabricProblem(cloth, pieces, (LayOption(packing),))
    found = session.lay_result(plain, packing, session.part(share), start_for(packing, shown))
    least_mm = min(found.marker.length_mm, chosen.marker.length_mm)
    return purchase(cloth, least_mm).length_mm


def _bought_opened_mm(
    session: Session, plain: FabricProblem, chosen: LayResult, share: float
) -> float:
    """The same for a lay that ends opened out, its pieces folded and opened as they are."""
    best = on_wider(chosen, plain.fabric, plain.pieces) or chosen
    if best.section is not None:
        strips, starts = (best.packing, best.section[0]), (best.layout, best.section[1])
        found = session.in_two(plain, strips, starts, session.part(share))
        best = best if found is None else min(best, found, key=rank_key)
    return purchase(plain.fabric, best.marker.length_mm).length_mm
