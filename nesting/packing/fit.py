"""Where a cut may lie across a lay, in the solver's whole numbers."""

from __future__ import annotations

import math

import numpy as np

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import Band, End, Lay
from nesting.packing.corners import drawn
from nesting.prints.prints import Prints
from nesting.rules.ways import directions
from nesting.solver.instance import IntArray, Orientation
from pieces.geometry import oriented
from pieces.piece import Outline

UNITS_PER_MM = 10_000
"""A unit is a tenth of a micrometre, so that rounding stays far below the verifier's limit."""
_SLACK_UNITS = 0.01
"""Floating error that may not cost a piece its exact fit; a hundredth of a unit."""
_FOLD_MM = 0.001
"""How far a fold edge may stray from a piece's lowest or highest corner: rounding, no more."""

Way = tuple[float, bool]
"""A turn in degrees, and whether mirrored first."""
Ties = tuple[tuple[int, float], ...]
"""Number of a phase and offset in mm, as in `Prints.ties`."""
Choice = tuple[int, int]
"""What an orientation of the solver stands for: index into a cut's orientations, direction."""


def up(value_mm: float) -> int:
    """Units, rounded up: pieces keep at least so far away."""
    return math.ceil(value_mm * UNITS_PER_MM - _SLACK_UNITS)


def down(value_mm: float) -> int:
    """Units, rounded down: pieces reach at most so far."""
    return math.floor(value_mm * UNITS_PER_MM + _SLACK_UNITS)


def whole(outline: Outline) -> IntArray:
    """An outline in units, n by 2; n may be less than before, as corners fall together."""
    units: IntArray = np.rint(np.asarray(outline) * UNITS_PER_MM).astype(np.int64)
    # Corners that rounding has put in one place would be an edge without direction.
    moved = np.any(units != np.roll(units, 1, axis=0), axis=1)
    return units[moved]


def keeps_mm(band: Band, fabric: Fabric) -> tuple[float, float]:
    """How far a piece keeps from the lower and the upper limit of a band.

    Across a fold the piece's neighbour is its own copy in the layer below.
    """
    at_fold, at_edge = fabric.gap_mm / 2, fabric.edge_gap_mm
    return (at_fold if band.fold_low else at_edge, at_fold if band.fold_high else at_edge)


def _y_range(band: Band, cut: Cut, way: Way, fabric: Fabric, lay: Lay) -> tuple[int, int] | None:
    """Where the reference point may lie across one band, or None where it can't.

    A hem on a border lies along the selvedge at which its grain begins.
    """
    if band.layers != cut.layers:
        return None
    ys = [y for _, y in oriented(cut.outline_mm, *way)]
    lowest, highest = min(ys), max(ys)
    if cut.on_fold and lay.name is not LayName.CROSSWISE_FOLD:
        edge_mm = cut.fold_edge_mm(way)[1]
        at_fold = lowest if band.fold_low else highest
        fits = highest - lowest <= band.depth_mm - fabric.edge_gap_mm + 1e-6
        if band.fold_mm is None or abs(edge_mm - at_fold) > _FOLD_MM or not fits:
            return None
        low = high = down(band.fold_mm - edge_mm)
        return low, high
    keep_low, keep_high = keeps_mm(band, fabric)
    low = up(band.low_mm + keep_low - lowest)
    high = down(band.high_mm - keep_high - highest)
    if low > high:
        return None
    if cut.piece.border:
        return (low, low) if way[0] > 0 else (high, high)
    return low, high


def _orientation(
    cut: Cut, way: Way, direction: int, fabric: Fabric, lay: Lay, ties: Ties = ()
) -> Orientation | None:
    outline = oriented(cut.outline_mm, *way)
    ranges = tuple(
        found for band in lay.bands if (found := _y_range(band, cut, way, fabric, lay)) is not None
    )
    if not ranges:
        return None
    xs = [x for x, _ in outline]
    x_low, x_most = up(end_keep_mm(lay.near, fabric) - min(xs)), None
    if cut.lies_across(lay.name):
        x_low = x_most = down(-cut.fold_edge_mm(way)[0])
    wide, within = drawn(cut.outline_mm, fabric.gap_mm / 2)
    return Orientation(
        outline=whole(oriented(wide, *way)),
        core=None if within is None else whole(oriented(within, *way)),
        x_low=x_low,
        x_reach=up(max(xs) + end_keep_mm(lay.far, fabric)),
        y_ranges=ranges,
        direction=direction,
        ties=tuple((phase, offset_mm * UNITS_PER_MM) for phase, offset_mm in ties),
        x_most=x_most,
    )


def end_keep_mm(end: End, fabric: Fabric) -> float:
    """How far pieces keep from an end of the lay.

    Across a fold lies their own copy; past a cut, the beginning of the turned layer; where the
    cloth goes on, pieces that keep as far from it.
    """
    edge_mm, half_gap_mm = fabric.edge_gap_mm, fabric.gap_mm / 2
    return {
        End.EDGE: edge_mm,
        End.FOLD: half_gap_mm,
        End.CUT_APART: max(edge_mm, fabric.gap_mm - edge_mm),
        End.GOES_ON: half_gap_mm,
        End.LOWER_GOES_ON: max(edge_mm, half_gap_mm),
    }[end]


def ways_that_fit(
    cut: Cut, fabric: Fabric, lay: Lay, prints: Prints | None = None
) -> list[tuple[Choice, Orientation]]:
    """The orientations of a cut that find room across the lay; empty if it can't lie there."""
    found = []
    for index, way in enumerate(cut.orientations):
        ties = () if prints is None else prints.ties(cut.piece, way)
        senses = directions(cut.piece.grain_rule, way[0]) if cut.nap_group is not None else (0,)
        for sense in senses:
            orientation = _orientation(cut, way, sense, fabric, lay, ties)
            if orientation is not None:
                found.append(((index, sense), orientation))
    return found
