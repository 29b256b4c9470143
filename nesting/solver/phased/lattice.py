"""First layouts whose items lie on phases: placed one after another.

Each item takes the first place on its lines at which it touches nothing that lies already; items
without ties lie anywhere. Orders are tried largest first, longest first and so on, and the one of
the same items packed without ties: each at its own level, moved on along the strip to its next
line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.solver.instance import IntArray, IsLate, Layout, never
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Floats
from nesting.solver.search.construct import Placing
from nesting.solver.search.free_places import Around, first_across, first_along, levels_among
from nesting.solver.search.prepared import Prepared

_MOST_COLUMNS = 150
"""Phases with more places along the strip are tried line by line, not place by place."""
_MOST_LINES = 80


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


def genes_in(prepared: Prepared, order: IntArray) -> Genes:
    """Genes that place the items in an order, each where it ends first."""
    items = len(order)
    shape = np.full(items, -1, dtype=np.int64)
    return Genes(
        order.astype(np.int64), shape, np.full(items, np.nan), first_phases(prepared.levels)
    )


def genes_like(prepared: Prepared, layout: Layout, with_phases: bool) -> Genes:
    """Genes that place the items much as they lie in a layout, those before the others."""
    chosen = prepared.first + layout.orientation
    left = layout.xy[:, 0] + prepared.shapes[chosen, at.LEFT]
    phase = first_phases(prepared.levels)
    if with_phases:
        own = prepared.phases_of(layout)
        phase = np.where(np.isnan(own), phase, own)
    hint = layout.xy[:, 1].astype(np.float64)
    return Genes(np.argsort(left, kind="stable"), chosen.copy(), hint, phase)


def first_phases(levels: list[tuple[float, ...]]) -> Floats:
    """The first place that is worth trying for each phase; nan for any."""
    return np.array([own[0] if own else np.nan for own in levels])


def placed_on_phases(prepared: Prepared, genes: Genes, is_late: IsLate = never) -> Layout | None:
    """The layout of some genes; None if an item finds no room.

    Once it is late, items that are left lie in columns behind the others.
    """
    placing = Placing(prepared, genes.phase.copy())
    queue = prepared.held_first(genes.order).tolist()
    for number, item in enumerate(queue):
        if is_late() and not prepared.held[item]:
            return placing.behind(queue[number:])
        find = _Finder(prepared, placing, float(genes.hint[item])).first_place
        shapes = placing.shapes_of(item)
        wanted = shapes[shapes == genes.shape[item]]
        if not placing.put(item, wanted, find) and not placing.put(item, shapes, find):
            return None
    return placing.layout()


@dataclass(slots=True)
class _Finder:
    """Where an item lies first on its phases, at a level hinted at or, if that is nan, at any."""

    prepared: Prepared
    placing: Placing
    hint: float

    def first_place(self, around: Around, shape: int, end: float) -> tuple[float, float]:
        """Where a shape ends first, if before `end`; x is inf if nowhere."""
        own = self.prepared.shapes[shape]
        place, period = self._line(shape, 0) or (0.0, 0.0)
        across = self._line(shape, 1)
        if across is not None:
            levels = self._levels(own, *across)
        elif not np.isnan(self.hint):
            levels = np.array([_nearest_level(own, self.hint)])
        elif period * _MOST_COLUMNS > self.placing.end:
            return first_across(around, own, end, place, period)
        else:
            levels = np.unique(np.rint(levels_among(around, own)))
            if len(levels) > _MOST_LINES:
                share = (len(levels) - 1) / (_MOST_LINES - 1)
                levels = levels[(np.arange(_MOST_LINES) * share).astype(np.int64)]
        return first_along(around, own, levels, end, place, period)

    def _line(self, shape: int, axis: int) -> tuple[float, float] | None:
        """A place of a shape's phase on an axis and the period; None if it may lie anywhere."""
        ties, phase = self.prepared.ties, self.placing.phase
        assert ties is not None
        number = ties.tie[shape, axis]
        if number < 0 or np.isnan(phase[number]):
            return None
        return float(phase[number] - ties.offset[shape, axis]), float(ties.period[number])

    def _levels(self, own: Floats, place: float, period: float) -> Floats:
        """Levels of a phase within a shape's ranges; given a hint, those next to it."""
        found = [np.empty(0)]
        for low, high in _ranges(own):
            first, last = np.ceil((low - place - 1) / period), np.floor((high - place + 1) / period)
            levels = place + period * np.arange(first, last + 1)
            near = levels[~(np.abs(levels - self.hint) > period)]
            found.append(np.clip(np.rint(near), low, high))
        return np.concatenate(found)


def _ranges(own: Floats) -> list[tuple[float, float]]:
    ends = own[at.RANGES : at.RANGES + 2 * int(own[at.RANGE_COUNT])]
    return [(float(low), float(high)) for low, high in ends.reshape(-1, 2)]


def _nearest_level(own: Floats, hint: float) -> float:
    near = (min(max(hint, low), high) for low, high in _ranges(own))
    return min(near, key=lambda y: abs(y - hint))
