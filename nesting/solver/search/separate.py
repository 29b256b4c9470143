"""Layouts with overlap, and driving it out of them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import Enum

import numpy as np

from nesting.solver.instance import IntArray, IsLate, never
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import (
    Effort,
    Floats,
    Placed,
    Seeds,
    Singles,
    Strip,
    Ties,
    scratch_for,
)
from nesting.solver.overlap.candidates import random
from nesting.solver.overlap.kernels import separate
from nesting.solver.overlap.places import snap_all
from nesting.solver.programme.compact import Window
from nesting.solver.search.prepared import Prepared

SWEEPS = 25
"""Sweeps in a round, the least that a search counts."""

_STALLS, _TIED_STALLS = 25, 21
"""Sweeps without progress after which the best so far may be tried."""
_NEWLY_FALLEN = 0.85
"""What a loss must fall to before another trial to legalise it."""


class Outcome(Enum):
    """What came of a round."""

    OPEN = 0
    APART = 1
    STUCK = 2
    LATE = 3


@dataclass(slots=True, eq=False)
class OverlappingLayout:
    """A layout that may overlap, on a strip of a length it is to fit, and its search so far.

    `directions` are the groups'. Given a window along the strip, only items that lie within it are
    moved, and they stay there. `neighbourhood` are the items moved, then all that may be in their
    way; `shapes` tell where they may be. `best` is the layout with the least overlap so far, and
    `record` what the kernel keeps of it. Can be sent between processes.
    """

    length: float
    placed: Placed
    directions: IntArray
    shapes: Floats
    moved: IntArray
    neighbourhood: IntArray
    window: Window | None
    ties: Ties | None
    weight: Singles = field(init=False)
    record: Floats = field(init=False)
    best: Placed = field(init=False)
    tried_loss: float = math.inf

    def __post_init__(self) -> None:
        size = len(self.neighbourhood)
        self.weight = np.ones((size, size), dtype=np.float32)
        self.record = np.array([np.inf, np.inf, 0.0, 0.0, np.inf])
        self.best = self.placed.copy()

    def is_due(self, outcome: Outcome) -> bool:
        """Whether the best layout so far should be tried by a linear programme: when progress
        stops and the loss has fallen since the last trial.
        """
        many = _STALLS if self.ties is None else _TIED_STALLS
        stalls = outcome is Outcome.STUCK or self.record[at.SINCE] >= many
        if not stalls or self.loss > _NEWLY_FALLEN * self.tried_loss:
            return False
        self.tried_loss = self.loss
        return True

    @property
    def loss(self) -> float:
        """The least sum of severities so far."""
        return float(self.record[at.LEAST])

    def round(
        self, prepared: Prepared, seeds: Seeds, effort: Effort, is_late: IsLate = never
    ) -> Outcome:
        """Sweep over the colliding items, until nothing overlaps or no progress is made.

        If it is late before all fields are there that it needs, nothing has happened but that
        some more are.
        """
        options = prepared.options(self.directions)[self.moved]
        scratch = scratch_for(len(options), len(self.neighbourhood))
        while True:
            # Copies, as a round that lacked a field is made again from its beginning: what comes
            # of a search must not depend on what an earlier one has built.
            tables = prepared.fields.tables
            strip = Strip(tables, self.shapes, options, self.length)
            placed, best = self.placed.of(self.neighbourhood), self.best.of(self.neighbourhood)
            weight, record, drawn = self.weight.copy(), self.record.copy(), seeds.copy()
            outcome = separate(
                strip, placed, best, weight, record, effort, drawn, scratch, self.ties
            )
            if not tables.wanted[0]:
                break
            prepared.build_missing(tables, is_late)
            if is_late():
                return Outcome.LATE
        self.weight, self.record, seeds[:] = weight, record, drawn
        self.placed.enter(self.neighbourhood, placed)
        self.best.enter(self.neighbourhood, best)
        return Outcome(outcome)

    def clamp(self) -> None:
        """Bring every moved item back into the strip, a range of its shape and to its phases."""
        if self.ties is not None:
            snap_all(self.shapes, self.placed, len(self.moved), self.length, self.ties)
            return
        for item in self.moved.tolist():
            own = self.shapes[self.placed.chosen[item]]
            x, y = self.placed.places[item]
            ranges = own[at.RANGES : at.RANGES + 2 * int(own[at.RANGE_COUNT])].reshape(-1, 2)
            low, high = min(ranges, key=lambda ends: max(ends[0] - y, y - ends[1], 0.0))
            x = max(own[at.X_LOW], min(x, self.length - own[at.X_REACH], own[at.MOST_X]))
            self.placed.places[item] = x, min(max(y, low), high)


def shortened(
    prepared: Prepared, placed: Placed, length: float, cut: float, window: Window | None = None
) -> OverlappingLayout:
    """A layout on a shorter strip: what lies beyond the cut is moved up, the rest stays."""
    items, shapes, chosen = len(prepared.first), prepared.shapes, placed.chosen
    start = placed.copy()
    excess = float((placed.places[:items, 0] + shapes[chosen[:items], at.X_REACH]).max()) - length
    middle = placed.places[:items, 0] + prepared.middles(chosen[:items])[:, 0]
    start.places[:items, 0] -= np.where(middle > cut, max(0.0, excess), 0.0)
    moved, neighbourhood = np.arange(items), np.arange(len(chosen))
    if window is not None:
        low, high = (start.places[:, 0] + shapes[chosen, side] for side in (at.LEFT, at.RIGHT))
        within = (low >= window[0]) & (high <= window[1]) & (neighbourhood < items)
        moved = np.flatnonzero(within)
        beside = np.flatnonzero(~within & (low < window[1]) & (high > window[0]))
        neighbourhood = np.concatenate([moved, beside])
        shapes = shapes.copy()
        begins, reaches = window[0] - shapes[:, at.LEFT], length - window[1] + shapes[:, at.RIGHT]
        shapes[:, at.X_LOW] = np.maximum(shapes[:, at.X_LOW], begins)
        shapes[:, at.X_REACH] = np.maximum(shapes[:, at.X_REACH], reaches)
    directions = prepared.directions(chosen)
    overlapping = OverlappingLayout(
        float(length), start, directions, shapes, moved, neighbourhood, window, prepared.ties
    )
    overlapping.clamp()
    return overlapping


def swap_large(prepared: Prepared, overlapping: OverlappingLayout, seeds: Seeds) -> None:
    """Let two items of different kinds change places, large ones more often than small."""
    kinds, area = prepared.first[overlapping.moved], prepared.area[overlapping.moved]
    if len(np.unique(kinds)) < 2:
        return
    one = drawn_by_share(area, seeds)
    other = one
    while kinds[other] == kinds[one]:
        other = drawn_by_share(np.where(kinds == kinds[one], 0.0, area), seeds)
    pair = overlapping.moved[[one, other]]
    places, middle = overlapping.placed.places, prepared.middles(overlapping.placed.chosen[pair])
    places[pair] = (places[pair] + middle)[::-1] - middle
    overlapping.clamp()


def flip_group(prepared: Prepared, overlapping: OverlappingLayout, seeds: Seeds) -> None:
    """Turn all items of one group to the other direction, in place."""
    groups = np.unique(prepared.group[prepared.group >= 0])
    if len(groups) == 0:
        return
    group = groups[int(random(seeds) * len(groups))]
    directions = overlapping.directions.copy()
    directions[group] = 1 - directions[group]
    options = prepared.options(directions)
    members = np.flatnonzero(prepared.group == group)
    if (options[members] < 0).all(axis=1).any():
        return
    overlapping.directions = directions
    places, chosen, _ = overlapping.placed
    for item in members.tolist():
        shapes = options[item][options[item] >= 0]
        new = shapes[int(random(seeds) * len(shapes))]
        places[item] += prepared.middles(chosen[item]) - prepared.middles(new)
        chosen[item] = new
    overlapping.clamp()


def drawn_by_share(share: Floats, seeds: Seeds) -> int:
    """An index drawn in proportion to its share."""
    total = np.cumsum(share)
    return int(np.searchsorted(total, random(seeds) * total[-1], side="right"))
