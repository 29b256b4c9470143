"""Layouts whose items lie on phases: placed one after another, in an order that is searched.

Each item takes the first place on its lines at which it touches nothing that lies already; items
without ties lie anywhere. A walker changes the order, the turns and the phases by small steps
and keeps what is no worse than some steps ago (late acceptance: Burke, Bykov 2017, European
Journal of Operational Research 258:70-78). It begins from the same items packed without ties:
each at its own level, moved on along the strip to its next line.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from nesting.solver.instance import Instance, IntArray, Layout
from nesting.solver.kernels import random
from nesting.solver.lattice_kernels import place_all
from nesting.solver.phases import levels
from nesting.solver.prepared import Prepared
from nesting.solver.severity import Floats, Seeds

MOVES = 10
"""Layouts tried in one round."""
_MEMORY = 40
_SPREAD_COST = 0.03
"""Cost of a unit of mean reach beside 1 for a unit of length: leads across plateaus."""
_HINTS = 0.2


@dataclass(slots=True)
class Genes:
    """What a layout is made from.

    Attributes
    ----------
    order : in which the items are placed
    shape : of each item, -1 for the one that ends first
    hint : the level across at which alone it is tried, nan for all
    phase : the place of each phase; nan where the first item sets it
    """

    order: IntArray
    shape: IntArray
    hint: Floats
    phase: Floats

    def copy(self) -> Genes:
        """Another of the same."""
        return Genes(self.order.copy(), self.shape.copy(), self.hint.copy(), self.phase.copy())


class Board:
    """An instance prepared for placing its items on their phases."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        instance = prepared.instance
        prepared.build(np.flatnonzero(prepared.pairs[:, 5] < 0))
        self.items = len(instance.items)
        self.options = np.ascontiguousarray(
            prepared.options(np.full(1 + int(prepared.group.max(initial=0)), -1))
        )
        self.period = np.array([phase.period for phase in instance.phases])
        self.levels = levels(instance)
        self.tie, self.offset = self._tie_table(instance)

    def _tie_table(self, instance: Instance) -> tuple[IntArray, Floats]:
        """For each shape and axis the phase, -1 for none, and the offset."""
        shapes = len(self.prepared.shapes)
        tie = np.full((shapes, 2), -1, dtype=np.int64)
        offset = np.zeros((shapes, 2))
        for first, item in zip(self.prepared.first, instance.items, strict=True):
            for index, o in enumerate(item.orientations):
                for number, away in o.ties:
                    axis = instance.phases[number].axis
                    tie[first + index, axis], offset[first + index, axis] = number, away
        return tie, offset

    def place(self, genes: Genes) -> tuple[Layout, int, float] | None:
        """The layout of some genes, its length and its cost; None if an item finds no room."""
        prepared = self.prepared
        places, chosen = prepared.arrays(_nowhere(self.items))
        ends = np.zeros(self.items)
        done = place_all(
            prepared.edges, prepared.pairs, prepared.shapes, self.options, prepared.group,
            prepared.direction, self.tie, self.offset, self.period,
            prepared.held_first(genes.order), genes.shape, genes.hint, genes.phase.copy(), places,
            chosen, ends,
        )  # fmt: skip
        if not done:
            return None
        layout = prepared.layout(places, chosen)
        length = prepared.length(layout)
        return layout, length, length + _SPREAD_COST * float(ends.mean())

    def genes_like(self, layout: Layout, with_phases: bool) -> Genes:
        """Genes that place the items much as they lie in a layout, those before the others."""
        chosen = self.prepared.first + layout.orientation
        left = layout.xy[:, 0] + self.prepared.shapes[chosen, 3]
        phase = np.array([own[0] if own else np.nan for own in self.levels])
        if with_phases:
            for item, shape in enumerate(chosen):
                for axis in (0, 1):
                    number = self.tie[shape, axis]
                    if number >= 0:
                        phase[number] = layout.xy[item, axis] + self.offset[shape, axis]
        hint = layout.xy[:, 1].astype(np.float64)
        return Genes(np.argsort(left, kind="stable"), chosen.copy(), hint, phase)

    def genes_in(self, order: IntArray) -> Genes:
        """Genes that place the items in an order, each where it ends first."""
        phase = np.array([own[0] if own else np.nan for own in self.levels])
        shape = np.full(self.items, -1, dtype=np.int64)
        return Genes(order.astype(np.int64), shape, np.full(self.items, np.nan), phase)


def _nowhere(items: int) -> Layout:
    return Layout(np.zeros(items, dtype=np.int64), np.zeros((items, 2), dtype=np.int64))


@dataclass(slots=True, eq=False)
class LatticeWalker:
    """One line of search over genes. Can be sent between processes."""

    seeds: Seeds
    genes: Genes
    best: Layout
    length: int
    cost: float
    rounds: int = 0
    steps: int = 0
    memory: list[float] = field(default_factory=list)

    def advance(self, board: Board, rounds: int) -> None:
        """Search for so many rounds."""
        self.memory = self.memory or [self.cost] * _MEMORY
        for _ in range(rounds * MOVES):
            self._step(board)
        self.rounds += rounds

    def _step(self, board: Board) -> None:
        tried = self._neighbour(board)
        found = board.place(tried)
        place = self.steps % _MEMORY
        self.steps += 1
        if found is None:
            return
        layout, length, cost = found
        if cost <= self.memory[place] or cost <= self.cost:
            self.genes, self.cost = tried, cost
        self.memory[place] = min(self.memory[place], self.cost)
        if length < self.length:
            self.best, self.length = layout, length

    def _neighbour(self, board: Board) -> Genes:
        """The genes with one small change, sometimes two."""
        genes = self.genes.copy()
        self._change(board, genes)
        while random(self.seeds) < 0.3:
            self._change(board, genes)
        return genes

    def _change(self, board: Board, genes: Genes) -> None:
        drawn = random(self.seeds)
        if len(board.period) and drawn < 0.15:
            self._shift_phase(board, genes)
        elif drawn < 0.35:
            item = self._any(board.items)
            row = board.options[item]
            open_to = row[row >= 0]
            pick = self._any(len(open_to) + 1)
            genes.shape[item] = -1 if pick == len(open_to) else open_to[pick]
            genes.hint[item] = np.nan
        elif drawn < 0.6:
            one, other = self._any(board.items), self._any(board.items)
            genes.order[[one, other]] = genes.order[[other, one]]
            self._forget_hint(genes, one)
        else:
            self._move(board, genes)

    def _move(self, board: Board, genes: Genes) -> None:
        """Take an item out of the order and put it in elsewhere, mostly near."""
        source, target = self._any(board.items), self._any(board.items)
        if random(self.seeds) < 0.5:
            target = min(max(source + self._any(7) - 3, 0), board.items - 1)
        self._forget_hint(genes, source)
        item = genes.order[source]
        genes.order = np.insert(np.delete(genes.order, source), target, item)

    def _forget_hint(self, genes: Genes, place: int) -> None:
        if random(self.seeds) > _HINTS:
            genes.hint[genes.order[place]] = np.nan

    def _shift_phase(self, board: Board, genes: Genes) -> None:
        number = self._any(len(board.period))
        own = board.levels[number]
        if own:
            genes.phase[number] = own[self._any(len(own))]
        elif random(self.seeds) < 0.5:
            genes.phase[number] = np.nan
        else:
            genes.phase[number] = random(self.seeds) * board.period[number]

    def _any(self, count: int) -> int:
        return int(random(self.seeds) * count)
