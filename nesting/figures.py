"""Figures that a marker comes to. Millimetres."""

from __future__ import annotations

import math

from nesting.lay import Lay
from nesting.marker import Marker, Placement

_FOLD_MM = 0.005
_USEFUL_MM = 50.0
"""A strip narrower than this is a scrap, not a remnant."""
_USEFUL_MM2 = 20_000.0
"""So is what is smaller than a hand: 10 by 20 cm."""


def cut_metres(marker: Marker, lay: Lay) -> float:
    """Metres of cutting line: every outline once, but not along a fold."""
    return sum(_cutting_line_mm(placement, lay) for placement in marker.placements) / 1000


def _cutting_line_mm(placement: Placement, lay: Lay) -> float:
    corners = placement.outline_mm
    fold_mm = lay.bands[placement.band].fold_mm
    # A fold that no band has lies across the near end.
    off = [x if fold_mm is None else y - fold_mm for x, y in corners]
    on_line = [placement.on_fold and abs(away) <= _FOLD_MM for away in off]
    ends = zip(corners, corners[1:] + corners[:1], on_line, on_line[1:] + on_line[:1], strict=True)
    return sum(math.dist(one, other) for one, other, a, b in ends if not (a and b))


def is_useful(length_mm: float, width_mm: float) -> bool:
    """Whether a rectangle of cloth is a remnant worth keeping, and no scrap."""
    return min(length_mm, width_mm) >= _USEFUL_MM and length_mm * width_mm >= _USEFUL_MM2
