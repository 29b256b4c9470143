"""Figures that a marker comes to. Millimetres."""

from __future__ import annotations

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
    fold_mm = lay.bands[placement.band].fold_mm if placement.on_fold else None
    corners = placement.outline_mm
    total = 0.0
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        along_fold = fold_mm is not None and max(abs(y0 - fold_mm), abs(y1 - fold_mm)) <= _FOLD_MM
        total += 0.0 if along_fold else ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    return total


def is_useful(length_mm: float, width_mm: float) -> bool:
    """Whether a rectangle of cloth is a remnant worth keeping, and no scrap."""
    return min(length_mm, width_mm) >= _USEFUL_MM and length_mm * width_mm >= _USEFUL_MM2
