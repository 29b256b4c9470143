"""What a hand changes in a layout: checked as it is dropped, kept, or finished round its pins."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from nesting.fabric.marker import Marker
from nesting.fabric.plans import Alternative, FabricPlan
from nesting.manual.by_hand import (
    SECTIONS,
    laid_marker,
    moved_over,
    opened_by,
    packings_of,
    spots_of,
    strips_at,
)
from nesting.manual.repin import replan
from nesting.manual.requests import CutId, PlacementRequest, nudged_clear
from nesting.output import words
from nesting.packing.sections import Strip
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.made.choices import cut_as, entry_of, gone, with_entry
from nesting.page.tasks.made.layout import layout_data, which_in
from nesting.page.tasks.planning import finish
from nesting.page.tasks.stored import stored
from nesting.page.tasks.told import cloth_told
from nesting.page.tasks.wording import on_the_page, on_the_tape
from nesting.search.lay_result import LayResult, figures
from nesting.solver.stop import FirstOf, Rounds, Seconds, Stop, StopToken
from nesting.verify.judge import require_valid, verify
from pieces.errors import Fault, OrderFault
from pieces.units import Unit

_SECONDS = 10.0
_PAUSE_SECONDS = 0.3
"""Between two layouts that are shown."""
_SLIDE_MM = 30.0
"""How far a piece that was dropped on others may slide to be clear of them."""


def check(request: Record, _: TaskChannel) -> Record:
    """Whether a `cloth` can be cut with its parts at `spots`, and its figures then.

    With `moved`, a part that overlaps others slides clear of them if it has not far to go; its
    new place on its strip is in the answer.
    """
    made = stored(Path(request["folder"]))
    entry = entry_of(made, request.get("cloth"))
    strips = _strips(entry, spots_in(request))
    marker = laid_marker(strips)
    found = verify(entry.fabric, entry.pieces, marker)
    moved = which_in(request.get("moved"))
    slid = _slid(strips, moved) if found and moved is not None else None
    if slid is not None:
        better = laid_marker(slid)
        left = verify(entry.fabric, entry.pieces, better)
        if len(left) < len(found):
            strips, marker, found = slid, better, left
    unit = words.tape(made.unit)
    return {
        **_comes_to(entry, strips, made.unit),
        "findings": [on_the_tape(one.message, unit) for one in found],
        "moved": _place(marker, moved),
    }


def keep(request: Record, channel: TaskChannel) -> Record:
    """Cut a `cloth` of the job's plan with its parts at `spots`."""
    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    strips = _strips(entry, spots_in(request))
    require_valid(entry.fabric, entry.pieces, laid_marker(strips))
    return finish(with_entry(made, _by_hand(entry, strips)), folder, channel)


def change_over(request: Record, _: TaskChannel) -> Record:
    """The `layout` with one part, `cut_id`, cut in the other section, at its end; nothing is kept.

    Or why it is `refused`, in words.
    """
    made = stored(Path(request["folder"]))
    entry = entry_of(made, request.get("cloth"))
    cut_id = which_in(request.get("which"))
    if cut_id is None:
        raise gone("which")
    spots = spots_in(request)
    try:
        strips = moved_over(entry.fabric, entry.pieces, entry.marker, spots, cut_id)
    except OrderFault as error:
        return {"refused": " ".join(map(_refusal, error.faults))}
    return {"layout": layout_data(made, _by_hand(entry, strips))}


def _refusal(fault: Fault) -> str:
    told = (fault.place, on_the_page(fault.message), on_the_page(fault.remedy))
    return " ".join(filter(None, told))


def finish_round(request: Record, channel: TaskChannel) -> Record:
    """Pack a `cloth` anew round those parts of `spots` that are `pinned`, within its limits.

    Told meanwhile, as `live`: every layout that can be cut and is shorter than the one before.
    """
    from nesting.solver.workers import workers

    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    pinned = request.get("pinned")
    held = [which_in(one) for one in pinned] if isinstance(pinned, list) else [None]
    if None in held:
        raise gone("pinned")
    token = StopToken()
    with workers() as executor, _told_on_the_tape(made.unit):
        marker = replan(
            entry.fabric,
            entry.pieces,
            entry.marker,
            spots_in(request),
            {cut_id for cut_id in held if cut_id is not None},
            FirstOf(_stop(request), token),
            seed=made.seed,
            executor=executor,
            watch=_Live(entry, made.unit, channel, token),
        )
    return finish(with_entry(made, _by_hand(entry, _strips_of(entry, marker))), folder, channel)


@contextmanager
def _told_on_the_tape(unit: Unit) -> Iterator[None]:
    """Whatever a layout is refused for, with its lengths as the dresser's tape has them."""
    try:
        yield
    except OrderFault as error:
        raise OrderFault(
            [replace(one, message=on_the_tape(one.message, unit)) for one in error.faults]
        ) from error


class _Live:
    """Tells of a layout as it gets shorter; asks its token when the page asks to stop."""

    def __init__(
        self, entry: FabricPlan, unit: Unit, channel: TaskChannel, token: StopToken
    ) -> None:
        self._entry, self._unit, self._channel, self._token = entry, unit, channel, token
        self._shortest_mm = math.inf
        self._told = -math.inf

    def __call__(self, marker: Marker, spent: float) -> None:
        told: Record = {"spent": spent, "at": f"{self._entry.title}, round the pins"}
        fabric, pieces = self._entry.fabric, self._entry.pieces
        shorter = marker.length_mm < self._shortest_mm - 0.5
        rested = time.monotonic() - self._told >= _PAUSE_SECONDS
        if shorter and rested and not verify(fabric, pieces, marker):
            self._shortest_mm, self._told = marker.length_mm, time.monotonic()
            told["live"] = {
                "title": self._entry.title,
                "spots": list(map(_written, spots_of(marker))),
                **_comes_to(self._entry, _strips_of(self._entry, marker), self._unit),
            }
        self._channel.tell(told)
        if self._channel.stop_asked():
            self._token.ask()


def _strips(entry: FabricPlan, spots: Sequence[PlacementRequest]) -> tuple[Strip, ...]:
    """The cloth with its parts at these spots."""
    opened = opened_by(spots, entry.pieces)
    return strips_at(packings_of(entry.fabric, entry.pieces, entry.marker, opened), spots)


def _strips_of(entry: FabricPlan, marker: Marker) -> tuple[Strip, ...]:
    return _strips(entry, spots_of(marker))


def _written(spot: PlacementRequest) -> list[object]:
    """As `spots_in` reads it."""
    return [list(spot.cut_id), spot.turn_deg, spot.mirrored, spot.x_mm, spot.y_mm, spot.section]


def spots_in(request: Record) -> list[PlacementRequest]:
    """The spots of a request: [[garment, piece, copy], turn, mirrored, x, y, section] each."""
    spots = request.get("spots")
    found = [_spot(one) for one in spots] if isinstance(spots, list) else [None]
    if None in found:
        raise gone("spots")
    return [spot for spot in found if spot is not None]


def _spot(value: object) -> PlacementRequest | None:
    match value:
        case [
            cut_id,
            int() | float() as turn,
            bool() as flipped,
            int() | float() as x,
            int() | float() as y,
            str() as section,
        ] if section in SECTIONS:
            known = which_in(cut_id)
            if known is not None and all(math.isfinite(n) and abs(n) < 1e7 for n in (turn, x, y)):
                return PlacementRequest(known, float(turn), flipped, float(x), float(y), section)
    return None


def _slid(strips: Sequence[Strip], moved: CutId) -> tuple[Strip, ...] | None:
    """The strips with one part slid clear of those beside it, if it has not far to go."""
    for number, (packing, laid) in enumerate(strips):
        for index, cut in enumerate(packing.cuts):
            if (*cut.piece.key, cut.copy) == moved:
                found = nudged_clear(packing, laid, index, _SLIDE_MM)
                after = (*strips[:number], (packing, found or laid), *strips[number + 1 :])
                return after if found is not None else None
    return None


def _place(marker: Marker, moved: CutId | None) -> list[float] | None:
    for spot in spots_of(marker):
        if spot.cut_id == moved:
            return [spot.x_mm, spot.y_mm]
    return None


def _comes_to(entry: FabricPlan, strips: Sequence[Strip], unit: Unit) -> Record:
    """Length and purchase of a layout, whether it can be cut or not."""
    shown = _by_hand(entry, strips)
    return {
        "length_mm": shown.marker.length_mm,
        "told": cloth_told(shown, unit),
        "waste_percent": shown.waste_percent,
    }


def _by_hand(entry: FabricPlan, strips: Sequence[Strip]) -> FabricPlan:
    """The cloth cut so, its alternatives beside it as they were."""
    marker = laid_marker(strips)
    bound_mm = min((one.least_possible_mm for one in entry.lays_compared), default=0.0)
    (packing, laid), *section = strips
    lay_result = LayResult(
        packing, laid, marker, entry.pieces, bound_mm, section[0] if section else None
    )
    chosen = Alternative(entry.fabric, marker, figures(lay_result), entry.pieces)
    return cut_as(entry, chosen)


def _stop(request: Record) -> Stop:
    seconds = Seconds(float(request.get("seconds") or _SECONDS))
    rounds = request.get("rounds")
    return seconds if rounds is None else FirstOf(Rounds(rounds), seconds)
