"""A cloth as a hand lays it: one strip, or a folded part and the section opened out behind it.

Each strip has its requests from its own beginning, so that pieces of the section stay beside each
other when the folded part gets longer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from nesting.fabric.fabric import Fabric
from nesting.fabric.lay import lay_under
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker
from nesting.manual.requests import CutId, PlacementRequest, label, layout_at, request_of, way_asked
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.fold_place import folded_clear
from nesting.packing.sections import (
    Opened,
    Strip,
    cuts_in,
    marker_of,
    open_packing,
    opened_in,
    opened_strips,
    parted,
    section_after,
)
from nesting.packing.tilting import tilted_packing
from nesting.solver.instance import Layout
from pieces.errors import Fault, OrderFault
from pieces.piece import Piece

SECTIONS = (MAIN, OPENED_OUT)
_NO_ROOM = "has no room there, or would leave nothing in the other part of the cloth."
_STAYS = "Leave it where it is, or take another way to lay this cloth."


def spots_of(marker: Marker) -> list[PlacementRequest]:
    """Where every cut of a marker lies, from the beginning of its strip."""
    return [
        replace(request_of(placement), section=section)
        for section, strip in zip(SECTIONS, parted(marker), strict=False)
        for placement in strip.placements
    ]


def opened_by(requests: Iterable[PlacementRequest], pieces: Sequence[Piece]) -> Opened:
    """How many of each piece requests have in the section; pairs, of a pair."""
    per_piece = {piece.key: 2 if piece.pair else 1 for piece in pieces}
    count = Counter(request.cut_id[:2] for request in requests if request.section == OPENED_OUT)
    return {key: number // per_piece.get(key, 1) for key, number in count.items()}


def packings_of(
    fabric: Fabric, pieces: Sequence[Piece], marker: Marker, opened: Opened | None = None
) -> tuple[Packing, ...]:
    """The packings that a marker is an answer to: the same cuts on the same lay.

    With `opened`, so many of each piece are cut in the section instead. Where the cloth lets
    pieces turn off the grain, those ways are among theirs.

    Raises
    ------
    OrderFault : what is to be opened out has no room there, or nothing is left to fold
    """
    opened = opened_in(marker, pieces) if opened is None else opened
    lay = lay_under(replace(marker, opened_from_mm=None), fabric)
    found: tuple[Packing, ...] | None
    if any(opened.values()):
        senses = open_packing(pieces, fabric).senses(marker)
        found = opened_strips(pieces, fabric, lay, opened, senses, marker.on_cross_fold)
    else:
        found = (Packing(cuts_in(marker, pieces, fabric), fabric, lay),)
    if found is None or not all(packing.has_room for packing in found):
        raise OrderFault([Fault("", "", f"What is cut there {_NO_ROOM}", _STAYS)])
    return tuple(map(tilted_packing, found)) if fabric.tilt_deg else found


def strips_at(
    packings: Sequence[Packing], requests: Iterable[PlacementRequest]
) -> tuple[Strip, ...]:
    """The strips with every cut where its request says, whether that can be cut or not.

    Raises
    ------
    OrderFault : a cut has no request, or one turned as its rules don't allow
    """
    requests = tuple(requests)

    def lay(packing: Packing, section: str) -> Layout:
        return layout_at(packing, [request for request in requests if request.section == section])

    return _laid(packings, lay)


def _laid(packings: Sequence[Packing], lay: Callable[[Packing, str], Layout]) -> tuple[Strip, ...]:
    """Each strip laid; of two, the second on the cloth that the first leaves."""
    first, *rest = packings
    laid = lay(first, MAIN)
    folded = folded_clear(first, laid)
    if not rest:
        return ((folded, laid),)
    single = section_after(folded, laid, rest[0])
    return (folded, laid), (single, lay(single, OPENED_OUT))


def laid_marker(strips: Sequence[Strip]) -> Marker:
    """The marker of one strip, or of a folded part and its section."""
    first, *rest = strips
    return marker_of(*first, rest[0] if rest else None)


def moved_over(
    fabric: Fabric,
    pieces: Sequence[Piece],
    marker: Marker,
    requests: Sequence[PlacementRequest],
    cut_id: CutId,
) -> tuple[Strip, ...]:
    """The strips with one cut taken out of its strip and cut in the other one, at its end.

    A pair goes together. What is cut twice through a fold is cut singly where the cloth lies
    open, so there may be more cuts then, or fewer; all others stay.

    Raises
    ------
    OrderFault : there is no such cut, or it can't be cut there
    """
    before = opened_by(requests, pieces)
    strips = strips_at(packings_of(fabric, pieces, marker, before), requests)
    section, parts = _found(strips, cut_id)
    after = dict(before)
    after[cut_id[:2]] = after.get(cut_id[:2], 0) + (parts if section == MAIN else -1)
    try:
        packings = packings_of(fabric, pieces, marker, after)
    except OrderFault:
        raise OrderFault([Fault("", label(cut_id), _NO_ROOM, _STAYS)]) from None
    gone = _gone(requests, cut_id, pieces)
    left = [request for request in requests if request.cut_id not in gone]
    return _laid(
        packings, lambda packing, own: _kept(packing, [s for s in left if s.section == own])
    )


def _found(strips: Sequence[Strip], cut_id: CutId) -> tuple[str, int]:
    """The section of a cut, and how many parts it gives; pairs, of a pair."""
    for section, (packing, _) in zip(SECTIONS, strips, strict=False):
        for cut in packing.cuts:
            if (*cut.piece.key, cut.copy) == cut_id:
                return section, max(1, cut.yields // (2 if cut.piece.pair else 1))
    raise OrderFault([Fault("", label(cut_id), "is not in this layout.", "Load the page again.")])


def _gone(
    requests: Sequence[PlacementRequest], cut_id: CutId, pieces: Sequence[Piece]
) -> set[CutId]:
    """The cuts that leave their strip: that one, and in the section the other of its pair."""
    section = next(request.section for request in requests if request.cut_id == cut_id)
    is_pair = any(piece.key == cut_id[:2] and piece.pair for piece in pieces)
    if section == MAIN or not is_pair:
        return {cut_id}
    own = sorted(
        s.cut_id for s in requests if s.cut_id[:2] == cut_id[:2] and s.section == OPENED_OUT
    )
    first = own.index(cut_id) // 2 * 2
    return set(own[first : first + 2])


def _kept(packing: Packing, requests: Sequence[PlacementRequest]) -> Layout:
    """A strip with its cuts where requests of the same pieces have them; the others at its end."""
    free = list(requests)
    orientation = np.zeros(len(packing.cuts), dtype=np.int64)
    xy = np.zeros((len(packing.cuts), 2), dtype=np.int64)
    new: list[int] = []
    for index in range(len(packing.cuts)):
        taken = next(_suited(packing, index, free), None)
        if taken is None:
            new.append(index)
            continue
        place, orientation[index], xy[index, 0], xy[index, 1] = taken
        del free[place]
    end = max(
        (_reach(packing, i, orientation, xy) for i in range(len(xy)) if i not in new), default=0
    )
    kept = ((i, packing.cuts[i].nap_group) for i in range(len(xy)) if i not in new)
    senses = {group: packing.ways(i)[orientation[i]][1].direction for i, group in kept}
    for index in new:
        # A piece brought to others of its garment lies along the nap as they do.
        group = packing.cuts[index].nap_group
        sense = None if group is None else senses.get(group)
        ways = [way.direction for _, way in packing.ways(index)]
        orientation[index] = ways.index(sense) if sense in ways else 0
        way = packing.ways(index)[orientation[index]][1]
        xy[index] = end + way.x_low, way.y_ranges[0][0]
        end = _reach(packing, index, orientation, xy)
    return Layout(orientation, xy)


def _reach(packing: Packing, index: int, orientation: np.ndarray, xy: np.ndarray) -> int:
    return int(xy[index, 0]) + packing.ways(index)[int(orientation[index])][1].x_reach


def _suited(
    packing: Packing, index: int, requests: Sequence[PlacementRequest]
) -> Iterator[tuple[int, int, int, int]]:
    """The requests that a cut could have: index of the request, orientation, x and y in units."""
    key = packing.cuts[index].piece.key
    for place, request in enumerate(requests):
        found = way_asked(packing, index, request) if request.cut_id[:2] == key else None
        if found is None:
            continue
        number, way = found
        x, y = round(request.x_mm * UNITS_PER_MM), round(request.y_mm * UNITS_PER_MM)
        near = UNITS_PER_MM
        if any(low - near <= y <= high + near for low, high in way.y_ranges):
            yield place, number, x, y
