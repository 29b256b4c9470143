"""Layouts with overlap, and driving it out of them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import Enum

import numpy as np

from nesting.solver.instance import IntArray, IsLate, never
from nesting.solver.overlap.candidates import random
from nesting.solver.overlap.kernels import scratch_for, separate
from nesting.solver.overlap.severity import MOST_X, RANGES, Floats, Ints, Seeds, Singles
from nesting.solver.programme.compact import Window
from nesting.solver.search.prepared import Prepared

SWEEPS = 25
"""Sweeps in a round, the least that a search counts."""

NEWLY_FALLEN = 0.85
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

    Places are (items + obstacles, 2) units, `chosen` the shapes, `directions` the groups'.
    Given a window along the strip, only items that lie within it are moved, and they stay there.
    `neighbourhood` are the items moved, then all that may be in their way; `shapes` tell where they may
    be. `record` is as the kernel has it. Can be sent between processes.
    """

    length: float
    places: Floats
    chosen: Ints
    directions: IntArray
    shapes: Floats
    moved: IntArray
    neighbourhood: IntArray
    window: Window | None
    weight: Singles = field(init=False)
    record: Floats = field(init=False)
    best_places: Floats = field(init=False)
    best_chosen: Ints = field(init=False)
    tried_loss: float = math.inf

    def __post_init__(self) -> None:
        size = len(self.neighbourhood)
        self.weight = np.ones((size, size), dtype=np.float32)
        self.record = np.array([np.inf, np.inf, 0.0, 0.0, np.inf])
        self.best_places, self.best_chosen = self.places.copy(), self.chosen.copy()

    def is_due(self, outcome: Outcome) -> bool:
        """Whether the best layout so far should be tried by a linear programme: when progress
        stops and the loss has fallen since the last trial.
        """
        stalls = outcome is Outcome.STUCK or self.record[2] >= SWEEPS
        if not stalls or self.loss > NEWLY_FALLEN * self.tried_loss:
            return False
        self.tried_loss = self.loss
        return True

    @property
    def loss(self) -> float:
        """The least sum of severities so far."""
        return float(self.record[0])

    def round(
        self,
        prepared: Prepared,
        seeds: Seeds,
        patience: int,
        strikes: int,
        is_late: IsLate = never,
    ) -> Outcome:
        """Sweep over the colliding items, until nothing overlaps or no progress is made.

        If it is late before all fields are there that it needs, nothing has happened but that
        some more are.
        """
        options = prepared.options(self.directions)[self.moved]
        neighbourhood = self.neighbourhood
        scratch = scratch_for(len(options), len(neighbourhood))
        while True:
            # Copies, as a round that lacked a field is made again from its beginning: what comes
            # of a search must not depend on what an earlier one has built.
            tables = prepared.fields.tables
            places, chosen = self.places[neighbourhood], self.chosen[neighbourhood]
            best_places, best_chosen = (
                self.best_places[neighbourhood],
                self.best_chosen[neighbourhood],
            )
            weight, record, drawn = self.weight.copy(), self.record.copy(), seeds.copy()
            outcome = separate(
                tables,
                self.shapes,
                options,
                places,
                chosen,
                weight,
                self.length,
                best_places,
                best_chosen,
                record,
                SWEEPS,
                patience,
                strikes,
                drawn,
                scratch,
            )
            if not tables.wanted[0]:
                break
            prepared.build_missing(tables, is_late)
            if is_late():
                return Outcome.LATE
        self.weight, self.record, seeds[:] = weight, record, drawn
        self.places[neighbourhood], self.chosen[neighbourhood] = places, chosen
        self.best_places[neighbourhood], self.best_chosen[neighbourhood] = best_places, best_chosen
        return Outcome(outcome)

    def clamp(self) -> None:
        """Bring every moved item back into the strip and into a range of its shape."""
        for item in self.moved.tolist():
            own = self.shapes[self.chosen[item]]
            x, y = self.places[item]
            ranges = own[RANGES : RANGES + 2 * int(own[7])].reshape(-1, 2)
            low, high = min(ranges, key=lambda ends: max(ends[0] - y, y - ends[1], 0.0))
            x = max(own[0], min(x, self.length - own[1], own[MOST_X]))
            self.places[item] = x, min(max(y, low), high)


def shortened(
    prepared: Prepared,
    places: Floats,
    chosen: Ints,
    length: float,
    cut: float,
    window: Window | None = None,
) -> OverlappingLayout:
    """A layout on a shorter strip: what lies beyond the cut is moved up, the rest stays."""
    items = len(prepared.first)
    shapes = prepared.shapes
    excess = float((places[:items, 0] + shapes[chosen[:items], 1]).max()) - length
    start = places.copy()
    middle = places[:items, 0] + (shapes[chosen[:items], 5] + shapes[chosen[:items], 3]) / 2
    start[:items, 0] -= np.where(middle > cut, max(0.0, excess), 0.0)
    moved, neighbourhood = np.arange(items), np.arange(len(places))
    if window is not None:
        low, high = start[:, 0] + shapes[chosen, 3], start[:, 0] + shapes[chosen, 5]
        within = (low >= window[0]) & (high <= window[1]) & (neighbourhood < items)
        moved = np.flatnonzero(within)
        beside = np.flatnonzero(~within & (low < window[1]) & (high > window[0]))
        neighbourhood = np.concatenate([moved, beside])
        shapes = shapes.copy()
        shapes[:, 0] = np.maximum(shapes[:, 0], window[0] - shapes[:, 3])
        shapes[:, 1] = np.maximum(shapes[:, 1], length - window[1] + shapes[:, 5])
    directions = prepared.directions(chosen)
    overlapping = OverlappingLayout(
        float(length), start, chosen.copy(), directions, shapes, moved, neighbourhood, window
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
    boxes = overlapping.shapes[overlapping.chosen[pair], 3:7]
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    overlapping.places[pair] = (overlapping.places[pair] + middle)[::-1] - middle
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
    for item in members.tolist():
        old = prepared.shapes[overlapping.chosen[item]]
        shapes = options[item][options[item] >= 0]
        new = int(shapes[int(random(seeds) * len(shapes))])
        own = prepared.shapes[new]
        overlapping.places[item] += (old[3:5] + old[5:7] - own[3:5] - own[5:7]) / 2
        overlapping.chosen[item] = new
    overlapping.clamp()


def drawn_by_share(share: Floats, seeds: Seeds) -> int:
    """An index drawn in proportion to its share."""
    total = np.cumsum(share)
    return int(np.searchsorted(total, random(seeds) * total[-1], side="right"))
