"""What is left of the cloth: the largest rectangles past and between the pieces. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice, pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import bounds, box, get_parts, intersection, is_empty
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric
from nesting.fabric.figures import USEFUL_MM, is_useful
from nesting.fabric.flaws import laid_flaws, washed
from nesting.fabric.in_hand import room_mm
from nesting.fabric.lay import Band, Lay, lay_under, section_lay
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker
from nesting.fabric.plans import Remnant
from nesting.fabric.unfold import opened

_MOST = 4
_CELL_MM = 10.0
_INSET_MM = 1e-6
"""A shape that reaches no farther into a cell only touches it: rounding."""

Cells = NDArray[np.bool_]
_Rectangle = tuple[float, float, float, float]
"""Left, low, right, high."""


def remnants(marker: Marker, lay: Lay, fabric: Fabric, bought_mm: float) -> tuple[Remnant, ...]:
    """The largest rectangles left of the cloth bought, washed and squared; none overlap.

    Those that reach the far end of the cloth come first, then the larger before the smaller.
    """
    # What is bought beyond the marker lies past its far end.
    over_mm = max(0.0, room_mm(fabric, bought_mm) - marker.length_mm)
    opened_mm = marker.opened_from_mm
    if opened_mm is None and lay.moves_flaws(fabric):
        # Its fold has its place, so what is bought beyond the marker lies past the upper layer.
        opened_mm = marker.table_length_mm
    if opened_mm is None:
        end_mm = marker.table_length_mm + over_mm / lay.lengths
        found = list(_of_section(marker, MAIN, lay, fabric, (0.0, end_mm)))
    else:
        end_mm = marker.table_length_mm + over_mm
        single = section_lay(fabric, lay, opened_mm)
        found = [
            *_of_section(marker, MAIN, lay, fabric, (0.0, opened_mm)),
            *_of_section(marker, OPENED_OUT, single, fabric, (opened_mm, end_mm)),
        ]

    def order(one: Remnant) -> tuple[bool, float]:
        return one.x_mm + one.length_mm < end_mm - 0.1, -one.length_mm * one.width_mm

    return tuple(sorted(found, key=order)[:_MOST])


def largest_whole_mm2(marker: Marker, fabric: Fabric, bought_mm: float) -> float:
    """How large the largest useful rectangle is that is left of a cloth, opened out; in mm2.

    It is looked for on the flat cloth, whatever lay it was cut on: what hangs together across a
    fold is one rectangle, and the same cuts leave the same on every lay. 0 if nothing useful is
    left. As in `remnants`, `bought_mm` is the cloth as bought.

    >>> from nesting.fabric.fabric import LayName
    >>> largest_whole_mm2(Marker("lawn", LayName.OPEN, 0.0, ()), Fabric("lawn", 1000.0), 300.0)
    300000.0
    """
    lay = lay_under(marker, fabric)
    flat = Band(0.0, fabric.usable_width_mm, layers=1)
    end_mm = max(room_mm(fabric, bought_mm), marker.length_mm)
    # Where a nap had the fold cut through, nothing hangs together across the cut.
    ends_mm = [0.0, marker.table_length_mm, end_mm] if lay.turned else [0.0, end_mm]
    outlines = [outline for _, outline in opened(marker, lay)] + washed(fabric)
    largest_mm2 = 0.0
    for start_mm, stop_mm in pairwise(ends_mm):
        shapes = [Polygon([(x - start_mm, y) for x, y in outline]) for outline in outlines]
        reach = (0.0, 0.0, stop_mm - start_mm, flat.high_mm)
        inside = [shape for shape in shapes if shape.intersects(box(*reach))]
        for left, low, right, high in islice(_rectangles(flat, inside, stop_mm - start_mm), 1):
            largest_mm2 = max(largest_mm2, (right - left) * (high - low))
    return largest_mm2


def _of_section(
    marker: Marker, section: str, lay: Lay, fabric: Fabric, ends_mm: tuple[float, float]
) -> Iterator[Remnant]:
    """What is left of one section, which reaches from end to end along the table."""
    start_mm, end_mm = ends_mm
    for number, band in enumerate(lay.bands):
        own = [p for p in marker.placements if p.section == section and p.band == number]
        shapes = [Polygon([(x - start_mm, y) for x, y in p.outline_mm]) for p in own]
        shapes += [Polygon(f.outline_mm) for f in laid_flaws(fabric, lay) if f.band == number]
        shapes = [shape for shape in shapes if shape.bounds[0] < end_mm - start_mm]
        for left, low, right, high in _rectangles(band, shapes, end_mm - start_mm):
            yield Remnant(start_mm + left, low, right - left, high - low, band.layers)


def _rectangles(band: Band, shapes: Sequence[Polygon], end_mm: float) -> Iterator[_Rectangle]:
    """The largest useful rectangles of one band, one after another."""
    columns, rows = int(end_mm // _CELL_MM), int(band.depth_mm // _CELL_MM)
    limits = (0.0, band.low_mm, end_mm, band.high_mm)
    blocked = list(shapes)
    free = _free_cells(blocked, columns, rows, band.low_mm)
    number, slivers = 0, True
    while number < _MOST and (cells := _largest(free)) is not None:
        left, low, right, high = (n * _CELL_MM for n in cells)
        found = _widened((left, band.low_mm + low, right, band.low_mm + high), blocked, limits)
        across, along = found[3] - found[1], found[2] - found[0]
        if not is_useful(across, along):
            if not slivers:
                return
            free, slivers = _without_slivers(free), False
            continue
        yield found
        number += 1
        blocked.append(box(*found))
        free &= _free_cells(blocked[-1:], columns, rows, band.low_mm)


def _free_cells(shapes: Sequence[Polygon], columns: int, rows: int, low_mm: float) -> Cells:
    """Which cells of a grid no shape reaches into: (rows, columns), from the lower left."""
    free = np.ones((rows, columns), dtype=np.bool_)
    for shape in shapes:
        left, low, right, high = shape.bounds
        lowest = int(max(low - low_mm, 0.0) // _CELL_MM)
        highest = min(rows, int((high - low_mm) // _CELL_MM) + 1)
        y = low_mm + _CELL_MM * np.arange(lowest, max(lowest, highest))
        ends = np.full_like(y, left), np.full_like(y, right)
        row = box(ends[0], y + _INSET_MM, ends[1], y + _CELL_MM - _INSET_MM)
        parts, where = get_parts(intersection(shape, row), return_index=True)
        parts, where = parts[~is_empty(parts)], where[~is_empty(parts)]
        # What hangs together within a row reaches into every cell from its one end to the other.
        begin, _, end, _ = bounds(parts).T
        first = np.maximum(np.floor((begin + _INSET_MM) / _CELL_MM), 0).astype(int)
        last = np.maximum(np.ceil((end - _INSET_MM) / _CELL_MM), 0).astype(int)
        for index, start, stop in zip(where + lowest, first, last, strict=True):
            free[index, start:stop] = False
    return free


def _without_slivers(free: Cells) -> Cells:
    """Those cells that lie in a free square as wide as the narrowest remnant."""
    from scipy.ndimage import binary_opening

    side = math.ceil(USEFUL_MM / _CELL_MM)
    wide: Cells = binary_opening(free, np.ones((side, side), dtype=np.bool_))
    return wide


def _largest(free: Cells) -> tuple[int, int, int, int] | None:
    """The largest rectangle of free cells: left, low, right, high; None if there is none."""
    from nesting.solver.rectangle import largest_rectangle

    left, low, right, high = largest_rectangle(free)
    return (left, low, right, high) if right > left else None


def _widened(inner: _Rectangle, shapes: Sequence[Polygon], limits: _Rectangle) -> _Rectangle:
    """A rectangle pushed out to what stops it, by a cell at most on each side."""
    left, low, right, high = inner

    def reach(window: _Rectangle, side: int, nothing: float) -> float:
        """The nearest that any shape comes within a window."""
        seen = [shape.intersection(box(*window)) for shape in shapes]
        ends = [part.bounds[side] for part in seen if part.area > 0]
        return (max if side > 1 else min)([nothing, *ends])

    far = (inner[0] - _CELL_MM, inner[1] - _CELL_MM, inner[2] + _CELL_MM, inner[3] + _CELL_MM)
    least_x, least_y = max(far[0], limits[0]), max(far[1], limits[1])
    most_x, most_y = min(far[2], limits[2]), min(far[3], limits[3])
    left = reach((least_x, low, left, high), 2, least_x)
    right = reach((right, low, most_x, high), 0, most_x)
    low = reach((left, least_y, right, low), 3, least_y)
    high = reach((left, high, right, most_y), 1, most_y)
    return left, low, right, high
