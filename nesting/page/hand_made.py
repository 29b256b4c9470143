"""What a hand changes in a layout: checked as it is dropped, kept, or finished round its pins."""

from __future__ import annotations

import math
import re
from pathlib import Path

from nesting.convert import Packing
from nesting.marker import Marker
from nesting.output import words
from nesting.page.choices import cut_as, entry_of, gone, with_entry
from nesting.page.layout import which_in
from nesting.page.planning import finish, stored
from nesting.page.worker import Line, Record
from nesting.plans import Alternative, FabricPlan
from nesting.repin import replan
from nesting.solver.instance import Layout
from nesting.spots import Spot, Which, eased, layout_at, packing_of, spot_of
from nesting.stop import FirstOf, Rounds, Seconds, Stop
from nesting.trial import Trial, figures
from nesting.verify import require_valid, verify
from pieces.piece import Finding
from pieces.units import Unit, format_length

_SECONDS = 10.0
_SLIDE_MM = 30.0
"""How far a piece that was dropped on others may slide to be clear of them."""
_LENGTH = re.compile(r"(\d+\.\d+) mm\b")
_ALLOWED = re.compile(r"; [\d.]+ mm is allowed")


def check(request: Record, _: Line) -> Record:
    """Whether a `cloth` can be cut with its parts at `spots`, and what that comes to.

    With `moved`, a part that overlaps others slides clear of them if it has not far to go; its
    new place is in the answer.
    """
    made = stored(Path(request["folder"]))
    entry = entry_of(made, request.get("cloth"))
    packing = packing_of(entry.fabric, entry.pieces, entry.marker)
    laid = layout_at(packing, spots_in(request))
    marker = packing.marker(laid)
    found = verify(entry.fabric, entry.pieces, marker)
    moved = which_in(request.get("moved"))
    slid = _slid(packing, laid, moved) if found and moved is not None else None
    if slid is not None:
        better = packing.marker(slid)
        left = verify(entry.fabric, entry.pieces, better)
        if len(left) < len(found):
            marker, found = better, left
    unit = words.tape(made.unit)
    return {
        **_comes_to(entry, marker),
        "findings": [in_words(one, unit) for one in found],
        "moved": _place(marker, moved),
    }


def keep(request: Record, line: Line) -> Record:
    """Cut a `cloth` of the job's plan with its parts at `spots`."""
    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    packing = packing_of(entry.fabric, entry.pieces, entry.marker)
    marker = packing.marker(layout_at(packing, spots_in(request)))
    require_valid(entry.fabric, entry.pieces, marker)
    return finish(with_entry(made, _by_hand(entry, marker)), folder, line)


def finish_round(request: Record, line: Line) -> Record:
    """Pack a `cloth` anew round those parts of `spots` that are `pinned`, within its limits."""
    from nesting.solver.search import workers

    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    pinned = request.get("pinned")
    held = [which_in(one) for one in pinned] if isinstance(pinned, list) else [None]
    if None in held:
        raise gone("pinned")

    def watch(_: Marker, spent: float) -> None:
        line.tell({"spent": spent, "at": f"{entry.title}, round the pins"})
        if line.stop_asked():
            raise KeyboardInterrupt

    with workers() as executor:
        marker = replan(
            entry.fabric,
            entry.pieces,
            entry.marker,
            spots_in(request),
            {which for which in held if which is not None},
            _stop(request),
            seed=made.seed,
            executor=executor,
            watch=watch,
        )
    return finish(with_entry(made, _by_hand(entry, marker)), folder, line)


def spots_in(request: Record) -> list[Spot]:
    """The spots of a request: [[garment, piece, copy], turn, mirrored, x, y] each."""
    spots = request.get("spots")
    found = [_spot(one) for one in spots] if isinstance(spots, list) else [None]
    if None in found:
        raise gone("spots")
    return [spot for spot in found if spot is not None]


def _spot(value: object) -> Spot | None:
    match value:
        case [
            which,
            int() | float() as turn,
            bool() as flipped,
            int() | float() as x,
            int() | float() as y,
        ]:
            known = which_in(which)
            if known is not None and all(math.isfinite(n) and abs(n) < 1e7 for n in (turn, x, y)):
                return Spot(known, float(turn), flipped, float(x), float(y))
    return None


def _slid(packing: Packing, laid: Layout, moved: Which) -> Layout | None:
    for index, cut in enumerate(packing.cuts):
        if (*cut.piece.key, cut.copy) == moved:
            return eased(packing, laid, index, _SLIDE_MM)
    return None


def _place(marker: Marker, moved: Which | None) -> list[float] | None:
    for placement in marker.placements:
        spot = spot_of(placement)
        if spot.which == moved:
            return [spot.x_mm, spot.y_mm]
    return None


def _comes_to(entry: FabricPlan, marker: Marker) -> Record:
    """Length and purchase of a marker, whether it can be cut or not."""
    shown = _by_hand(entry, marker)
    return {
        "table_length_mm": marker.table_length_mm,
        "length_mm": marker.length_mm,
        "buy": shown.purchase.text,
        "cost": None if shown.purchase.cost is None else float(shown.purchase.cost),
        "currency": shown.purchase.currency,
        "waste_percent": shown.waste_percent,
    }


def _by_hand(entry: FabricPlan, marker: Marker) -> FabricPlan:
    """The cloth cut so, its alternatives beside it as they were."""
    packing = packing_of(entry.fabric, entry.pieces, entry.marker)
    laid = layout_at(packing, map(spot_of, marker.placements))
    bound_mm = min((one.least_possible_mm for one in entry.lays_compared), default=0.0)
    trial = Trial(packing, laid, marker, bound_mm)
    chosen = Alternative(entry.fabric, marker, figures(trial, entry.pieces))
    return cut_as(entry, chosen)


def _stop(request: Record) -> Stop:
    seconds = Seconds(float(request.get("seconds") or _SECONDS))
    rounds = request.get("rounds")
    return seconds if rounds is None else FirstOf(Rounds(rounds), seconds)


def in_words(finding: Finding, unit: Unit) -> str:
    """A finding with its lengths on the dresser's tape.

    >>> in_words(Finding("overlap", "a and b overlap by 12.345 mm; 0.002 mm is allowed."), Unit.CM)
    'a and b overlap by 1.2 cm.'
    """

    def length(match: re.Match[str]) -> str:
        mm = float(match[1])
        return format_length(mm, unit) if mm >= 0.5 else "less than 1 mm"

    return _LENGTH.sub(length, _ALLOWED.sub("", finding.message))
