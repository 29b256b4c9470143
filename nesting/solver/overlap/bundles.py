"""Arrays that kernels are given together. Their columns and rows are those of `columns`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]
Seeds = NDArray[np.uint64]

NO_PHASES: Floats = np.empty(0)
BEST = 3
"""Candidates for an item's place that are looked at closely."""


class Fields(NamedTuple):
    """How badly any two shapes overlap, in tables of n * n cells.

    Attributes
    ----------
    sites : (shapes, shapes, 8) for a fixed and a moved shape: where to look, and in which table,
        which is -1 if it is not built and is set to -2 once it was needed
    wanted : (1,) set to 1 once any was needed that is not built
    frames, cells, values, starts, listed, sides, circles, scales : of all tables, as
        `fields.Field` has them; `starts` and `listed` count through all
    firsts : (tables + 1,) where the sides of each begin
    """

    sites: Floats
    wanted: Ints
    frames: Floats
    cells: NDArray[np.int8]
    values: Singles
    starts: NDArray[np.int32]
    listed: NDArray[np.int32]
    sides: Floats
    circles: Singles
    scales: Floats
    firsts: NDArray[np.int32]


class Strip(NamedTuple):
    """What a separation leaves as it is: the fields and the table of shapes, the shapes (items,
    most) open to each item, -1 for none, and the length to keep to.
    """

    fields: Fields
    shapes: Floats
    options: Ints
    length: float


class Placed(NamedTuple):
    """Where things lie: places (items, 2) and shapes (items,), and the place of each phase.

    Obstacles count as items that come last. Without ties there are no phases.
    """

    places: Floats
    chosen: Ints
    phase: Floats = NO_PHASES

    def copy(self) -> Placed:
        """The same, to be changed by itself."""
        return Placed(self.places.copy(), self.chosen.copy(), self.phase.copy())

    def of(self, some: Ints) -> Placed:
        """Those with these numbers, and all phases, to be changed by themselves."""
        return Placed(self.places[some], self.chosen[some], self.phase.copy())

    def enter(self, some: Ints, placed: Placed) -> None:
        """Take over where those with these numbers lie, and the phases."""
        self.places[some], self.chosen[some], self.phase[:] = placed


class Ties(NamedTuple):
    """What ties shapes to phases.

    Attributes
    ----------
    tie, offset : (shapes, 2) the phase of each axis, -1 for none, and the offset from it
    period, axes : (phases,) of each phase
    free : (phases,) whether it may lie anywhere
    """

    tie: Ints
    offset: Floats
    period: Floats
    axes: Ints
    free: Ints


class Effort(NamedTuple):
    """How many sweeps to make, how many without progress are a strike, how many strikes end it."""

    sweeps: int
    patience: int
    strikes: int


class Scratch(NamedTuple):
    """What a separation needs room for, as `scratch_for` makes it.

    `severity` (items, items) is symmetric; `worst` has the greatest of each item and of its
    weights. `moved`, `kept` and `members` are for moving a phase.
    """

    near: Ints
    order: Ints
    boxes: Floats
    severity: Singles
    worst: Singles
    best: Floats
    moved: Floats
    kept: Floats
    members: Ints


def scratch_for(items: int, size: int) -> Scratch:
    """Room for so many items, and `size` with what doesn't move."""
    return Scratch(
        np.empty(size, dtype=np.int64),
        np.empty(items, dtype=np.int64),
        np.empty((7, size)),
        np.empty((size, size), dtype=np.float32),
        np.zeros((2, size), dtype=np.float32),
        np.empty((BEST, 4)),
        np.empty((size, 2)),
        np.empty((size, 2)),
        np.empty(items, dtype=np.int64),
    )
