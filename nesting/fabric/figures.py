"""Figures of a marker. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable

from nesting.fabric.lay import Lay
from nesting.fabric.marker import Marker, Placement
from pieces.curves import length
from pieces.piece import Piece

_FOLD_MM = 0.005
USEFUL_MM = 50.0
"""A strip narrower than this is a scrap, not a remnant."""
_USEFUL_MM2 = 20_000.0
"""So is what is smaller than a hand: 10 by 20 cm."""


def cut_metres(marker: Marker, lay: Lay, pieces: Iterable[Piece]) -> float:
    """Metres of cutting line: every outline and hole once, but not along a fold; each slit."""
    by_key = {piece.key: piece for piece in pieces}
    inside_mm = (_inside_mm(by_key[one.garment, one.piece], one) for one in marker.placements)
    return outline_metres(marker, lay) + sum(inside_mm) / 1000


def outline_metres(marker: Marker, lay: Lay) -> float:
    """Metres of cutting line of the outlines alone: no holes, no slits."""
    return sum(_cutting_line_mm(one, lay) for one in marker.placements) / 1000


def _inside_mm(piece: Piece, placement: Placement) -> float:
    """What is cut of a hole, as far as the piece lies opened out, and of the slits."""
    folded = 4 if placement.in_corner else 2 if placement.on_fold else 1
    hole_mm = length(piece.hole) * (piece.opens_to // folded)
    return hole_mm + length(piece.slit) * placement.yields


def _cutting_line_mm(placement: Placement, lay: Lay) -> float:
    corners = placement.outline_mm
    fold_mm = lay.bands[placement.band].fold_mm
    # A fold that no band has lies across the near end.
    lines: list[list[float]] = [] if fold_mm is None else [[y - fold_mm for _, y in corners]]
    if fold_mm is None or placement.in_corner:
        lines.append([x for x, _ in corners])
    ends = zip(corners, corners[1:] + corners[:1], strict=True)
    edges = [math.dist(one, other) for one, other in ends]
    for off in lines if placement.on_fold else ():
        on_line = [abs(away) <= _FOLD_MM for away in off]
        both = zip(on_line, on_line[1:] + on_line[:1], strict=True)
        edges = [0.0 if all(two) else edge for edge, two in zip(edges, both, strict=True)]
    return sum(edges)


def is_useful(length_mm: float, width_mm: float) -> bool:
    """Whether a rectangle of cloth is a remnant worth keeping, and no scrap."""
    return min(length_mm, width_mm) >= USEFUL_MM and length_mm * width_mm >= _USEFUL_MM2
