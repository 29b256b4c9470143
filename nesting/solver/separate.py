"""Layouts with overlap, and driving it out of them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import Enum

import numpy as np

from nesting.solver.instance import IntArray
from nesting.solver.kernels import random, separate
from nesting.solver.prepared import Prepared
from nesting.solver.severity import RANGES, Floats, Ints, Seeds, Singles

SWEEPS = 25
"""Sweeps in a round, the least that a search counts."""

_NEWLY_FALLEN = 0.85
"""What a loss must fall to before another trial to legalise it."""


class Outcome(Enum):
    """What came of a round."""

    OPEN = 0
    APART = 1
    STUCK = 2


@dataclass(slots=True, eq=False)
class Jumble:
    """A layout that may overlap, on a strip of a length it is to fit, and its search so far.

    Places are (items + obstacles, 2) units, `chosen` the shapes, `directions` the groups'.
    `record` is as the kernel has it. Can be sent between processes.
    """

    length: float
    places: Floats
    chosen: Ints
    directions: IntArray
    weight: Singles = field(init=False)
    record: Floats = field(init=False)
    best_places: Floats = field(init=False)
    best_chosen: Ints = field(init=False)
    tried_loss: float = math.inf

    def __post_init__(self) -> None:
        size = len(self.places)
        self.weight = np.ones((size, size), dtype=np.float32)
        self.record = np.array([np.inf, np.inf, 0.0, 0.0])
        self.best_places, self.best_chosen = self.places.copy(), self.chosen.copy()

    def is_due(self, outcome: Outcome) -> bool:
        """Whether the best layout so far should be tried by a linear programme: when progress
        stops and the loss has fallen since the last trial.
        """
        stalls = outcome is Outcome.STUCK or self.record[2] >= SWEEPS
        if not stalls or self.loss > _NEWLY_FALLEN * self.tried_loss:
            return False
        self.tried_loss = self.loss
        return True

    @property
    def loss(self) -> float:
        """The least sum of severities so far."""
        return float(self.record[0])

    def round(self, prepared: Prepared, seeds: Seeds, patience: int, strikes: int) -> Outcome:
        """Sweep over the colliding items, until nothing overlaps or no progress is made."""
        options = prepared.options(self.directions)
        while True:
            outcome = separate(
                prepared.edges,
                prepared.pairs,
                prepared.circles,
                prepared.shapes,
                options,
                self.places,
                self.chosen,
                self.weight,
                self.length,
                self.best_places,
                self.best_chosen,
                self.record,
                SWEEPS,
                patience,
                strikes,
                seeds,
            )
            if not prepared.build_missing():
                return Outcome(outcome)
            # Losses told without a no-fit polygon were too low.
            self.record[:2] = np.inf

    def clamp(self, prepared: Prepared) -> None:
        """Bring every item back into the strip and into a range of its shape."""
        for item in range(len(prepared.first)):
            own = prepared.shapes[self.chosen[item]]
            x, y = self.places[item]
            ranges = own[RANGES : RANGES + 2 * int(own[7])].reshape(-1, 2)
            low, high = min(ranges, key=lambda ends: max(ends[0] - y, y - ends[1], 0.0))
            self.places[item] = max(own[0], min(x, self.length - own[1])), min(max(y, low), high)


def shortened(
    prepared: Prepared, places: Floats, chosen: Ints, length: float, cut: float
) -> Jumble:
    """A layout on a shorter strip: what lies beyond the cut is moved up, the rest stays."""
    items = len(prepared.first)
    reach = prepared.shapes[chosen[:items], 1]
    excess = float((places[:items, 0] + reach).max()) - length
    moved = places.copy()
    middle = (
        places[:items, 0]
        + (prepared.shapes[chosen[:items], 5] + prepared.shapes[chosen[:items], 3]) / 2
    )
    moved[:items, 0] -= np.where(middle > cut, max(0.0, excess), 0.0)
    jumble = Jumble(float(length), moved, chosen.copy(), prepared.directions(chosen))
    jumble.clamp(prepared)
    return jumble


def swap_large(prepared: Prepared, jumble: Jumble, seeds: Seeds) -> None:
    """Let two items of different kinds change places, large ones more often than small."""
    items = len(prepared.first)
    if len(np.unique(prepared.first)) < 2:
        return
    one = _drawn(prepared.area, seeds)
    other = one
    while prepared.first[other] == prepared.first[one]:
        others = np.where(prepared.first == prepared.first[one], 0.0, prepared.area)
        other = _drawn(others, seeds)
    boxes = prepared.shapes[jumble.chosen[:items], 3:7]
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    centre = jumble.places[:items] + middle
    jumble.places[one] = centre[other] - middle[one]
    jumble.places[other] = centre[one] - middle[other]
    jumble.clamp(prepared)


def flip_group(prepared: Prepared, jumble: Jumble, seeds: Seeds) -> None:
    """Turn all items of one group to the other direction, in place."""
    groups = np.unique(prepared.group[prepared.group >= 0])
    if len(groups) == 0:
        return
    group = groups[int(random(seeds) * len(groups))]
    directions = jumble.directions.copy()
    directions[group] = 1 - directions[group]
    options = prepared.options(directions)
    members = np.flatnonzero(prepared.group == group)
    if (options[members] < 0).all(axis=1).any():
        return
    jumble.directions = directions
    for item in members.tolist():
        old = prepared.shapes[jumble.chosen[item]]
        shapes = options[item][options[item] >= 0]
        new = int(shapes[int(random(seeds) * len(shapes))])
        own = prepared.shapes[new]
        jumble.places[item] += (old[3:5] + old[5:7] - own[3:5] - own[5:7]) / 2
        jumble.chosen[item] = new
    jumble.clamp(prepared)


def _drawn(share: Floats, seeds: Seeds) -> int:
    """An index drawn in proportion to its share."""
    total = np.cumsum(share)
    return int(np.searchsorted(total, random(seeds) * total[-1], side="right"))
