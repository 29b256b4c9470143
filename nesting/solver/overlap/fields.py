"""Tables of how badly two outlines overlap, wherever the one lies beside the other.

A search asks for the severity of the same pairs of outlines millions of times, so it is told once
at the nodes of a grid over all places where the two could meet, and read off between them. Which
side of the no-fit polygon a place lies on is settled exactly: cells of the grid that the polygon's
outline passes through hold on to its sides.

One table serves a pair of outlines in all their quarter turns and reflections, seen from either.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import partial
from threading import Lock
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import IntArray
from nesting.solver.nofit.nofit import FloatArray, known_edges
from nesting.solver.outline_cache import cached_by_outline
from nesting.solver.overlap import circles
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Fields, Floats, Singles
from nesting.solver.overlap.severity import (
    CONTACT,
    CROSSED,
    INSIDE,
    NEAR,
    is_crossed,
    owning,
    place_of,
    severity_at,
)

Bytes = NDArray[np.int8]
Shorts = NDArray[np.int32]

_KEPT = 2000
"""Fields, and outlines' circles, kept for the next instance."""
_LEAST_DEPTH = 0.01
"""Depth below which severity levels off, as a share of the larger piece's diameter."""
_SIZES = (32, 16)
"""Cells along each side of a grid, from the finest."""
_MOST_CELLS = 8_000_000
"""In all grids of an instance that has a finer one to choose."""
_FAR = 1e12
"""Where circles that no outline needs are put."""


Pair = tuple[int, int, IntArray, IntArray, IntArray]
"""A fixed and a moved shape; two outlines whose field is theirs; and the turn (2, 2): what holds of
the shapes at a place is told there of the turn times that place."""


class Field(NamedTuple):
    """A pair's table; places are those of the second outline less those of the first.

    Attributes
    ----------
    frame : (4,) x, y where the grid begins, width and height of a cell
    cells : (n, n) rows along y: `INSIDE` the no-fit polygon, `CROSSED` by its outline, inside but
        `NEAR` to such a one, or 0
    values : (n + 1, n + 1) the severity at the nodes
    starts, listed : (n + 1,), (m,) for each row of cells the sides that come to it
    sides : (k, 8) low y, high y, x at y = 0, slope of sides that are not level, for the crossing
        test; then x0, y0, x1, y1
    circles : (2, 3, most) x, y, radius in the two outlines
    scale : (2,) the depth below which severity levels off, and a mean of the outlines' sizes
    """

    frame: FloatArray
    cells: Bytes
    values: Singles
    starts: Shorts
    listed: Shorts
    sides: FloatArray
    circles: Singles
    scale: FloatArray


def grid_size(shapes: int) -> int:
    """Cells along a grid for so many shapes, any two of which may come to meet."""
    fits = (size for size in _SIZES if shapes**2 / 4 * size**2 <= _MOST_CELLS)
    return next(fits, _SIZES[-1])


def field_of(fixed: IntArray, moved: IntArray, size: int) -> Field:
    """The field of two outlines (n, 2), in whole units, on a grid of so many cells a side."""
    return _FIELDS[size](fixed, moved)


def _field(fixed: IntArray, moved: IntArray, size: int) -> Field:
    edges = known_edges(fixed, moved)
    low = (fixed.min(axis=0) - moved.max(axis=0)).astype(np.float64)
    high = (fixed.max(axis=0) - moved.min(axis=0)).astype(np.float64)
    frame = np.concatenate([low, (high - low) / size])
    sides = sides_of(edges)
    starts = np.zeros(size + 1, dtype=np.int32)
    listed = _listed(sides, frame, starts)
    cells = np.zeros((size, size), dtype=np.int8)
    _mark(sides, frame, starts, listed, cells)
    one, other = size_of(fixed), size_of(moved)
    pair = np.stack([one.circles, other.circles]).astype(np.float32)
    scale = scale_of(fixed, moved)
    values = np.zeros((size + 1, size + 1), dtype=np.float32)
    _fill(pair, sides, scale, frame, values)
    return Field(frame, cells, values, starts, listed, sides, pair, scale)


def scale_of(fixed: IntArray, moved: IntArray) -> FloatArray:
    """The depth below which a pair's severity levels off, and a mean of the outlines' sizes."""
    one, other = size_of(fixed), size_of(moved)
    least = _LEAST_DEPTH * max(one.diameter, other.diameter)
    return np.array([least, (one.hull * other.hull) ** 0.25])


_FIELDS = {size: cached_by_outline(partial(_field, size=size), _KEPT) for size in _SIZES}


def sides_of(edges: FloatArray) -> FloatArray:
    """Edges (m, 4) with what the crossing test needs before them; level ones never count."""
    x0, y0, x1, y1 = edges.T
    sides = np.zeros((len(edges), 8))
    sides[:, at.X0 :] = edges
    sloped = y0 != y1
    slope = (x1 - x0)[sloped] / (y1 - y0)[sloped]
    sides[sloped, at.LOW_Y] = np.minimum(y0, y1)[sloped]
    sides[sloped, at.HIGH_Y] = np.maximum(y0, y1)[sloped]
    sides[sloped, at.X_AT_ZERO] = x0[sloped] - y0[sloped] * slope
    sides[sloped, at.SLOPE] = slope
    return sides


class Size(NamedTuple):
    """Diameter of an outline's box, area of its hull, and circles (3, most) inside it."""

    diameter: float
    hull: float
    circles: FloatArray


def _sized(outline: IntArray) -> Size:
    from shapely.geometry import Polygon

    found = circles.inscribed_circles(outline)
    found[0, found[2] == 0] = _FAR
    hull = float(Polygon(outline).convex_hull.area)
    return Size(float(np.hypot(*np.ptp(outline, axis=0))), hull, found)


size_of = cached_by_outline(_sized, _KEPT)


@owning
def _fill(
    circles: Singles, sides: Floats, scale: Floats, frame: Floats, values: Singles
) -> None:  # fmt: skip
    """Tell the severity at the nodes of a grid."""
    for j in range(values.shape[0]):
        for i in range(values.shape[1]):
            x, y = place_of(frame, i, j)
            values[j, i] = severity_at(circles, sides, 0, len(sides), scale, x, y)


def _listed(sides: FloatArray, frame: FloatArray, starts: Shorts) -> Shorts:
    """For each row of cells in turn the sides that come to it or touch it; fills `starts`."""
    rows = len(starts) - 1
    ends, step = sides[:, (at.Y0, at.Y1)] - frame[at.FRAME_Y], frame[at.CELL_HIGH]
    row = np.arange(rows)[:, None]
    comes = ends.min(axis=1) - CONTACT <= (row + 1) * step
    comes &= ends.max(axis=1) + CONTACT >= row * step
    starts[1:] = comes.sum(axis=1).cumsum()
    return np.nonzero(comes)[1].astype(np.int32)


@owning
def _mark(sides: Floats, frame: Floats, starts: Shorts, listed: Shorts, cells: Bytes) -> None:
    """Tell which cells lie inside, which are crossed or touched by a side, and which are near."""
    size = len(cells)
    for j in range(size):
        y0, y1 = place_of(frame, 0, j)[1] - CONTACT, place_of(frame, 0, j + 1)[1] + CONTACT
        for i in range(size):
            x, middle = place_of(frame, i + 0.5, j + 0.5)
            crossed = 0
            for k in range(starts[j], starts[j + 1]):
                crossed += is_crossed(sides[listed[k]], x, middle)
            cells[j, i] = INSIDE if crossed & 1 else 0
        for k in range(starts[j], starts[j + 1]):
            left, right = _extent(sides[listed[k]], y0, y1)
            first = math.floor((left - CONTACT - frame[at.FRAME_X]) / frame[at.CELL_LONG])
            last = math.floor((right + CONTACT - frame[at.FRAME_X]) / frame[at.CELL_LONG])
            for i in range(max(0, first), min(size - 1, last) + 1):
                cells[j, i] = CROSSED
    for j in range(size):
        for i in range(size):
            if cells[j, i] == INSIDE and _has_near(cells, j, i):
                cells[j, i] = NEAR


@owning
def _has_near(cells: Bytes, row: int, column: int) -> bool:
    """Whether a cell touches one that is crossed."""
    size = len(cells)
    for j in range(max(0, row - 1), min(size, row + 2)):
        for i in range(max(0, column - 1), min(size, column + 2)):
            if cells[j, i] == CROSSED:
                return True
    return False


@owning
def _extent(side: Floats, y0: float, y1: float) -> tuple[float, float]:
    """From where to where along x a side lies between two levels that it comes to."""
    ax, ay, bx, by = side[at.X0], side[at.Y0], side[at.X1], side[at.Y1]
    if ay != by:
        s, t = (y0 - ay) / (by - ay), (y1 - ay) / (by - ay)
        s, t = min(1.0, max(0.0, s)), min(1.0, max(0.0, t))
        ax, bx = ax + s * (bx - ax), ax + t * (bx - ax)
    return min(ax, bx), max(ax, bx)


class FieldStore:
    """The fields of an instance's pairs of shapes, each built when it is first needed.

    `tables` is what the kernels read. It is never changed but for their marks of what they came
    to need: what is built goes into new ones, so that threads don't disturb each other.
    """

    def __init__(self, low: FloatArray, high: FloatArray) -> None:
        """From the corners (shapes, 2) of the shapes' boxes."""
        shapes = len(low)
        self.size = grid_size(shapes)
        sites = np.zeros((shapes, shapes, 8))
        # Until a field is there, the grid lies over the places where the boxes meet.
        first, last = low[:, None] - high[None], high[:, None] - low[None]
        scale = self.size / (last - first)
        sites[:, :, at.X_BY_X], sites[:, :, at.Y_BY_Y] = scale[:, :, 0], scale[:, :, 1]
        sites[:, :, (at.X_FROM, at.Y_FROM)] = -first * scale
        sites[:, :, at.TABLE] = -1
        self._number: dict[tuple[bytes, bytes], int] = {}
        size = self.size
        self._frames = _Rows(np.empty((0, 4)))
        self._cells = _Rows(np.empty((0, size, size), dtype=np.int8))
        self._values = _Rows(np.empty((0, size + 1, size + 1), dtype=np.float32))
        self._starts = _Rows(np.empty((0, size + 1), dtype=np.int32))
        self._listed = _Rows(np.empty(0, dtype=np.int32))
        self._sides = _Rows(np.empty((0, 8)))
        self._circles = _Rows(np.empty((0, 2, 3, circles.MOST), dtype=np.float32))
        self._scales = _Rows(np.empty((0, 2)))
        self._firsts = _Rows(np.zeros(1, dtype=np.int32))
        self._lock = Lock()
        self.tables = self._told(sites)

    def add(self, pairs: Iterable[Pair]) -> None:
        """Enter the fields of some pairs of shapes."""
        with self._lock:
            sites = self.tables.sites.copy()
            for fixed, moved, outline, other, turn in pairs:
                self._place(sites[fixed, moved], outline, other, turn)
            sites[sites[:, :, at.TABLE] < 0, at.TABLE] = -1
            self.tables = self._told(sites)

    def _place(self, site: FloatArray, fixed: IntArray, moved: IntArray, turn: IntArray) -> None:
        """Fill what tells of a pair where to look, and in which table."""
        key = fixed.tobytes(), moved.tobytes()
        if key not in self._number:
            self._number[key] = len(self._number)
            self._enter(field_of(fixed, moved, self.size))
        frame = self._frames.filled[self._number[key]]
        begin, cell = frame[: at.CELL_LONG], frame[at.CELL_LONG :]
        site[: at.TABLE] = np.column_stack([turn / cell[:, None], -begin / cell]).ravel()
        site[at.TABLE] = self._number[key]

    def _enter(self, field: Field) -> None:
        self._starts.append(field.starts[None] + np.int32(len(self._listed.filled)))
        self._listed.append(field.listed + np.int32(len(self._sides.filled)))
        self._sides.append(field.sides)
        self._firsts.append(np.array([len(self._sides.filled)], dtype=np.int32))
        self._frames.append(field.frame[None])
        self._cells.append(field.cells[None])
        self._values.append(field.values[None])
        self._circles.append(field.circles[None])
        self._scales.append(field.scale[None])

    def _told(self, sites: FloatArray) -> Fields:
        return Fields(
            sites,
            np.zeros(1, dtype=np.int64),
            self._frames.filled,
            self._cells.filled,
            self._values.filled,
            self._starts.filled,
            self._listed.filled,
            self._sides.filled,
            self._circles.filled,
            self._scales.filled,
            self._firsts.filled,
        )


class _Rows:
    """An array that grows at its end; what of it was given out stays as it is."""

    def __init__(self, rows: NDArray[Any]) -> None:
        self._room = rows
        self._count = len(rows)

    @property
    def filled(self) -> NDArray[Any]:
        """All rows so far."""
        return self._room[: self._count]

    def append(self, rows: NDArray[Any]) -> None:
        """Add rows, in the room there is or in twice as much."""
        end = self._count + len(rows)
        if end > len(self._room):
            room = np.empty((2 * end, *self._room.shape[1:]), dtype=self._room.dtype)
            room[: self._count] = self.filled
            self._room = room
        self._room[self._count : end] = rows
        self._count = end
