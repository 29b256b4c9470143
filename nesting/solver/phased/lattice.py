"""First layouts whose items lie on phases: placed one after another.

Each item takes the first place on its lines at which it touches nothing that lies already; items
without ties lie anywhere. Orders are tried largest first, longest first and so on, and the one of
the same items packed without ties: each at its own level, moved on along the strip to its next
line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.solver.instance import Instance, IntArray, Layout
from nesting.solver.overlap.severity import Floats
from nesting.solver.phased.kernels import place_all
from nesting.solver.phased.phases import levels
from nesting.solver.phased.places import snap_all
from nesting.solver.search.prepared import Prepared


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


class Board:
    """An instance prepared for placing its items on their phases."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        instance = prepared.instance
        prepared.build_all()
        self.items = len(instance.items)
        self.options = np.ascontiguousarray(
            prepared.options(np.full(1 + int(prepared.group.max(initial=0)), -1))
        )
        self.period = np.array([phase.period for phase in instance.phases])
        self.axes = np.array([phase.axis for phase in instance.phases], dtype=np.int64)
        self.free = np.array([phase.choices is None for phase in instance.phases], dtype=np.int64)
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

    def place(self, genes: Genes) -> tuple[Layout, int] | None:
        """The layout of some genes and its length; None if an item finds no room."""
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
        return layout, prepared.length(layout)

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

    def phases_of(self, layout: Layout) -> Floats:
        """Where the phases lie in a layout; 0 for those that nothing is tied to."""
        return np.nan_to_num(self.genes_like(layout, with_phases=True).phase)

    def moved(self, phase: Floats, before: Layout, after: Layout) -> Floats:
        """Where phases lie once all that is tied to them was moved."""
        found = phase.copy()
        for item, shape in enumerate(self.prepared.first + after.orientation):
            for axis in (0, 1):
                if self.tie[shape, axis] >= 0:
                    by = after.xy[item, axis] - before.xy[item, axis]
                    found[self.tie[shape, axis]] = phase[self.tie[shape, axis]] + by
        return found

    def snap(self, places: Floats, chosen: IntArray, phase: Floats, length: float) -> None:
        """Bring items to the nearest place of their phases on a strip of a length."""
        snap_all(
            self.prepared.shapes, self.tie, self.offset, self.period, phase, places, chosen,
            self.items, float(length),
        )  # fmt: skip

    def genes_in(self, order: IntArray) -> Genes:
        """Genes that place the items in an order, each where it ends first."""
        phase = np.array([own[0] if own else np.nan for own in self.levels])
        shape = np.full(self.items, -1, dtype=np.int64)
        return Genes(order.astype(np.int64), shape, np.full(self.items, np.nan), phase)


def _nowhere(items: int) -> Layout:
    return Layout(np.zeros(items, dtype=np.int64), np.zeros((items, 2), dtype=np.int64))
