"""Where a hand puts the pieces of a marker, and what is wrong with that."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from nesting.fabric.marker import MAIN, Placement
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM, Choice
from nesting.rules.ways import directions
from nesting.solver.instance import IntArray, Layout, Orientation
from nesting.solver.nofit.nofit import no_fit_polygon
from pieces.errors import Fault, OrderFault

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CutId = tuple[str, str, int]
"""Garment, piece and copy: one placement of a marker."""
_SNAP_UNITS = 100
"""A hundredth of a millimetre: how far a place may stray from its fold or edge by rounding."""
_SLIT_UNITS = 2
"""What pieces may reach into each other where one is slid between others: rounding, no more."""


@dataclass(frozen=True, slots=True)
class PlacementRequest:
    """Where one cut is put: turned, perhaps mirrored first, then moved by (x, y).

    x runs from the beginning of its `section`.
    """

    cut_id: CutId
    turn_deg: float
    mirrored: bool
    x_mm: float
    y_mm: float
    section: str = MAIN


def request_of(placement: Placement) -> PlacementRequest:
    """Where a placement lies, on a strip of its own."""
    return PlacementRequest(
        cut_id_of(placement),
        placement.turn_deg,
        placement.mirrored,
        placement.x_mm,
        placement.y_mm,
    )


def cut_id_of(placement: Placement) -> CutId:
    """Which cut a placement is of."""
    return placement.garment, placement.piece, placement.copy


def layout_at(packing: Packing, requests: Iterable[PlacementRequest]) -> Layout:
    """The layout with every cut where its request says, whether that can be cut or not.

    Raises
    ------
    OrderFault : a cut has no request, or one turned as its rules don't allow
    """
    by_cut_id = {request.cut_id: request for request in requests}
    orientation = np.zeros(len(packing.cuts), dtype=np.int64)
    xy = np.zeros((len(packing.cuts), 2), dtype=np.int64)
    senses = _senses(packing, by_cut_id)
    faults: list[Fault] = []
    for index, cut in enumerate(packing.cuts):
        cut_id = (*cut.piece.key, cut.copy)
        request, sense = by_cut_id.get(cut_id), senses.get(cut.nap_group or "", None)
        found = None if request is None else way_asked(packing, index, request, sense)
        if request is None or found is None:
            faults.append(Fault("", label(cut_id), "may not lie this way.", _REMEDY))
            continue
        orientation[index], way = found
        xy[index] = _place(request, way)
    if faults:
        raise OrderFault(faults)
    return Layout(orientation, xy)


_REMEDY = "Turn it back, or undo."


def label(cut_id: CutId) -> str:
    """A cut in words.

    >>> label(("Dora", "sleeve", 2))
    'sleeve 2 (Dora)'
    """
    garment, piece, copy = cut_id
    return f"{piece} {copy} ({garment})" if garment else f"{piece} {copy}"


def _senses(packing: Packing, requests: Mapping[CutId, PlacementRequest]) -> dict[str, int]:
    """The direction along the nap of each garment, as its requests first decide it."""
    found: dict[str, int] = {}
    for cut in packing.cuts:
        request = requests.get((*cut.piece.key, cut.copy))
        if request is None or cut.nap_group is None:
            continue
        sides = directions(cut.piece.grain_rule, request.turn_deg)
        if len(sides) == 1:
            found.setdefault(cut.nap_group, sides[0])
    return found


def way_asked(
    packing: Packing, index: int, request: PlacementRequest, sense: int | None = None
) -> tuple[int, Orientation] | None:
    """The orientation that a request asks of a cut, of the garment's sense where it has both."""
    asked = (request.turn_deg, request.mirrored)

    def suits(choice: Choice) -> bool:
        return packing.cuts[index].orientations[choice[0]] == asked

    found = [
        (number, choice[1], way)
        for number, (choice, way) in enumerate(packing.ways(index))
        if suits(choice)
    ]
    if not found:
        return None
    number, _, way = min(found, key=lambda one: (one[1] != (sense or 0), one[0]))
    return number, way


def _place(request: PlacementRequest, way: Orientation) -> tuple[int, int]:
    """The reference point, brought onto its fold or edge if it misses that by rounding."""
    x, y = round(request.x_mm * UNITS_PER_MM), round(request.y_mm * UNITS_PER_MM)
    if 0 < way.x_low - x <= _SNAP_UNITS or (way.held and abs(way.x_low - x) <= _SNAP_UNITS):
        x = way.x_low
    low, high = min(way.y_ranges, key=lambda ends: max(ends[0] - y, y - ends[1], 0))
    nearest = min(max(y, low), high)
    return x, nearest if abs(nearest - y) <= _SNAP_UNITS else y


def nudged_clear(packing: Packing, layout: Layout, index: int, within_mm: float) -> Layout | None:
    """The layout with one cut slid to the nearest place where it overlaps nothing.

    The others stay. None if there is no such place within that distance.
    """
    from shapely import union_all
    from shapely.geometry import LineString, Point, box
    from shapely.ops import nearest_points

    items, at = packing.instance.items, layout.xy
    ways = [
        item.orientations[int(number)]
        for item, number in zip(items, layout.orientation, strict=True)
    ]
    own, here, reach = ways[index], Point(at[index]), within_mm * UNITS_PER_MM
    others = [way.outline + at[i] for i, way in enumerate(ways) if i != index]
    far = float(at[index, 0]) + reach
    taken = union_all(
        [
            _forbidden(other, own)
            for other in [*others, *packing.instance.obstacles]
            if _near(other, own.outline + at[index], reach)
        ]
    )
    # Between pieces that just fit there is room for a place, if for no more.
    taken = taken.buffer(-_SLIT_UNITS, join_style="mitre")
    # On a fold the range has no width, and its room is a line.
    far = far if own.x_most is None else own.x_most
    lanes = [
        box(own.x_low, low, far, high)
        if high > low and far > own.x_low
        else LineString([(own.x_low, low), (far, high)])
        for low, high in own.y_ranges
    ]
    room = union_all([lane.difference(taken) for lane in lanes])
    if room.is_empty or room.distance(here) > reach:
        return None
    there = nearest_points(room, here)[0]
    xy = at.copy()
    xy[index] = round(there.x), round(there.y)
    return Layout(layout.orientation, xy)


def _near(one: IntArray, other: IntArray, reach: float) -> bool:
    """Whether the boxes of two outlines come within that distance of each other."""
    apart = np.maximum(one.min(axis=0) - other.max(axis=0), other.min(axis=0) - one.max(axis=0))
    return bool(apart.max() <= reach)


def _forbidden(other: IntArray, own: Orientation) -> BaseGeometry:
    """Where the reference point of a cut would make it overlap an outline."""
    from shapely import union_all
    from shapely.geometry import Polygon

    rings = [ring for ring in no_fit_polygon(other, own.outline) if len(ring) > 2]
    outer = [ring for ring in rings if _turns_left(ring)]
    cavities = [ring for ring in rings if not _turns_left(ring)]
    whole = union_all([Polygon(ring) for ring in outer])
    return whole.difference(union_all([Polygon(ring) for ring in cavities]))


def _turns_left(ring: IntArray) -> bool:
    x, y = ring.astype(np.float64).T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
