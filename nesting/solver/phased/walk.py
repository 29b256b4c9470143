"""Walkers that shorten a layout on phases: on a shorter strip, its overlap is driven out.

As `walk` does it without ties. Items stay on their phases all the while, phases move with all
that is tied to them, and after each success a linear programme presses the items together in
which those of one phase move as one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from nesting.solver.instance import IntArray, Layout
from nesting.solver.overlap.candidates import random
from nesting.solver.overlap.kernels import scratch_for
from nesting.solver.overlap.severity import Floats, Ints, Seeds, Singles
from nesting.solver.phased.apart import separate_tied
from nesting.solver.phased.lattice import Board
from nesting.solver.phased.phases import keeps_phases
from nesting.solver.programme.compact import compact, separate
from nesting.solver.search.separate import NEWLY_FALLEN, Outcome, drawn_by_share
from nesting.solver.search.walk import programmes

_SWEEPS = 5
"""Sweeps in a round, the least that a search counts."""
_FIRST_SHRINK, _LAST_SHRINK, _LEAST_SHRINK = 0.04, 0.005, 0.001
_PATIENCE, _STRIKES = 200, 3
_POOL = 12
_FLIPS = 0.3
_STALLS = 20
_SLACK = 1.0
"""Units by which rounding may take an item off its phase."""


@dataclass(slots=True, eq=False)
class TiedOverlappingLayout:
    """A layout on its phases that may overlap, on a strip of a length it is to fit."""

    length: float
    places: Floats
    chosen: Ints
    phase: Floats
    directions: IntArray
    weight: Singles = field(init=False)
    record: Floats = field(init=False)
    best_places: Floats = field(init=False)
    best_chosen: Ints = field(init=False)
    best_phase: Floats = field(init=False)
    tried_loss: float = math.inf

    def __post_init__(self) -> None:
        size = len(self.places)
        self.weight = np.ones((size, size), dtype=np.float32)
        self.record = np.array([np.inf, np.inf, 0.0, 0.0, np.inf])
        self.best_places, self.best_chosen = self.places.copy(), self.chosen.copy()
        self.best_phase = self.phase.copy()

    @property
    def loss(self) -> float:
        """The least sum of severities so far."""
        return float(self.record[0])

    def is_due(self, outcome: Outcome) -> bool:
        """Whether the best so far should be tried by a linear programme."""
        stalls = outcome is Outcome.STUCK or self.record[2] > _STALLS
        if not stalls or self.loss > NEWLY_FALLEN * self.tried_loss:
            return False
        self.tried_loss = self.loss
        return True

    def round(self, board: Board, seeds: Seeds) -> Outcome:
        """Sweep over the colliding items, until nothing overlaps or no progress is made."""
        prepared, size = board.prepared, len(self.places)
        return Outcome(
            separate_tied(
                prepared.fields.tables, prepared.shapes, prepared.options(self.directions),
                board.tie, board.offset, board.period, self.phase, board.free, board.axes,
                self.places, self.chosen, self.weight, self.length, self.best_places,
                self.best_chosen, self.best_phase, self.record, _SWEEPS, _PATIENCE, _STRIKES,
                seeds, scratch_for(board.items, size), np.empty((size, 2)), np.empty((size, 2)),
                np.empty(board.items, dtype=np.int64),
            )
        )  # fmt: skip


@dataclass(slots=True, eq=False)
class PhasedWalker:
    """One line of search that drives overlap out. Can be sent between processes."""

    seeds: Seeds
    best: Layout
    phase: Floats
    length: int
    rounds: int = 0
    shrink: float = _FIRST_SHRINK
    overlapping: TiedOverlappingLayout | None = None
    pool: list[tuple[float, Floats, Ints, Floats]] = field(default_factory=list)

    def advance(self, board: Board, rounds: int) -> None:
        """Search for so many rounds."""
        for _ in range(rounds):
            if self.overlapping is None:
                self.overlapping = self._next(board)
            outcome = self.overlapping.round(board, self.seeds)
            due = outcome is Outcome.APART or self.overlapping.is_due(outcome)
            if due and self._settle(board, self.overlapping):
                continue
            if outcome is not Outcome.OPEN:
                self._give_up(self.overlapping)
        self.rounds += rounds

    def _next(self, board: Board) -> TiedOverlappingLayout:
        """The next layout to free of overlap, on a shorter strip than the best."""
        target = math.floor(self.length * (1 - self.shrink))
        if not self.pool:
            places, chosen = board.prepared.arrays(self.best)
            return self._on_shorter(board, places, chosen, self.phase.copy(), target)
        rank = int(len(self.pool) * random(self.seeds) ** 2)
        _, places, chosen, phase = self.pool[rank]
        overlapping = self._on_shorter(board, places.copy(), chosen.copy(), phase.copy(), target)
        self._swap(board, overlapping)
        if random(self.seeds) < _FLIPS:
            self._flip(board, overlapping)
        if random(self.seeds) < _FLIPS:
            self._choose(board, overlapping)
        return overlapping

    def _on_shorter(
        self, board: Board, places: Floats, chosen: Ints, phase: Floats, target: int
    ) -> TiedOverlappingLayout:
        """A layout on a strip of a length, what lies past a cut moved up."""
        items, shapes = board.items, board.prepared.shapes
        excess = float((places[:items, 0] + shapes[chosen[:items], 1]).max()) - target
        cut = random(self.seeds) * self.length
        middle = places[:items, 0] + (shapes[chosen[:items], 3] + shapes[chosen[:items], 5]) / 2
        places[:items, 0] -= np.where(middle > cut, max(0.0, excess), 0.0)
        directions = board.prepared.directions(chosen)
        overlapping = TiedOverlappingLayout(float(target), places, chosen, phase, directions)
        board.snap(overlapping.places, chosen, phase, target)
        return overlapping

    def _swap(self, board: Board, overlapping: TiedOverlappingLayout) -> None:
        """Let two items of different kinds change places, large ones more often than small."""
        kinds, area = board.prepared.first, board.prepared.area
        if len(np.unique(kinds)) < 2:
            return
        one = drawn_by_share(area, self.seeds)
        other = drawn_by_share(np.where(kinds == kinds[one], 0.0, area), self.seeds)
        boxes = board.prepared.shapes[overlapping.chosen[[one, other]], 3:7]
        middle = (boxes[:, :2] + boxes[:, 2:]) / 2
        overlapping.places[[one, other]] = (overlapping.places[[one, other]] + middle)[
            ::-1
        ] - middle
        board.snap(overlapping.places, overlapping.chosen, overlapping.phase, overlapping.length)

    def _flip(self, board: Board, overlapping: TiedOverlappingLayout) -> None:
        """Turn all items of one group to the other direction."""
        prepared = board.prepared
        groups = np.unique(prepared.group[prepared.group >= 0])
        if len(groups) == 0:
            return
        group = groups[int(random(self.seeds) * len(groups))]
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
            new = int(shapes[int(random(self.seeds) * len(shapes))])
            own = prepared.shapes[new]
            overlapping.places[item] += (old[3:5] + old[5:7] - own[3:5] - own[5:7]) / 2
            overlapping.chosen[item] = new
        board.snap(overlapping.places, overlapping.chosen, overlapping.phase, overlapping.length)

    def _choose(self, board: Board, overlapping: TiedOverlappingLayout) -> None:
        """Give a phase that has a choice of places another of them."""
        several = [n for n, own in enumerate(board.levels) if not board.free[n] and len(own) > 1]
        if several:
            number = several[int(random(self.seeds) * len(several))]
            own = board.levels[number]
            overlapping.phase[number] = own[int(random(self.seeds) * len(own))]
            board.snap(
                overlapping.places, overlapping.chosen, overlapping.phase, overlapping.length
            )

    def _settle(self, board: Board, overlapping: TiedOverlappingLayout) -> bool:
        """Make a layout with little overlap or none legal, press it, and keep it if shorter."""
        prepared, instance = board.prepared, board.prepared.instance
        found = prepared.layout(overlapping.best_places, overlapping.best_chosen)
        most = programmes(board.items)
        legal = separate(instance, prepared.nofits, found, self.length - 1, most)
        if legal is None:
            return False
        if not keeps_phases(instance, legal, _SLACK):
            return False  # on a strip so short that an item has no place of its phase
        pressed = compact(instance, prepared.nofits, legal, most)
        self.phase = board.moved(overlapping.best_phase, found, pressed)
        self.best, self.length = pressed, prepared.length(pressed)
        self.overlapping, self.pool = None, []
        self.shrink = max(self.shrink / 2, min(self.shrink, _LAST_SHRINK))
        return True

    def _give_up(self, overlapping: TiedOverlappingLayout) -> None:
        self.overlapping = None
        self.shrink = max(_LEAST_SHRINK, self.shrink * 0.7)
        entry = (
            overlapping.loss,
            overlapping.best_places,
            overlapping.best_chosen,
            overlapping.best_phase,
        )
        self.pool.append(entry)
        self.pool.sort(key=lambda one: one[0])
        del self.pool[_POOL:]
