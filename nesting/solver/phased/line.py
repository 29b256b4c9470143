"""A line of search for items that are tied to phases: first without their ties, then on them."""

from __future__ import annotations

import math
import pickle
import time
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from nesting.solver.instance import Instance, Item, Layout, NoRoom, Orientation, Phase
from nesting.solver.overlap.bundles import Seeds
from nesting.solver.phased.exact import exact_tied
from nesting.solver.phased.lattice import first_phases, genes_in, genes_like, placed_on_phases
from nesting.solver.phased.walk import PhasedWalker
from nesting.solver.phases import keeps_phases, levels, untied
from nesting.solver.search.construct import columns, orders
from nesting.solver.search.line import (
    GRACE_S,
    ROUNDING,
    Begun,
    Line,
    Pace,
    Proved,
    Shorter,
    Slice,
    may_be_prepared,
    prepared_of,
    walked,
)
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.walk import EXPLORING, Budget, Walker, seeds_of
from nesting.solver.stop import is_asked_here

UNTIED_SHARE = 0.35
"""The share of a search that the items have without their ties."""
_SLACK = 20.0
"""Units by which a given layout may miss its phases: rounding."""


class TiedBegun(NamedTuple):
    """First layouts on the phases."""

    layouts: tuple[Layout, ...]


class TiedProved(NamedTuple):
    """A few rectangles settled on their phases, and whether none is shorter."""

    layout: Layout
    is_least: bool


Found = Begun | Proved | Walker | TiedBegun | TiedProved | PhasedWalker
"""What comes of a slice."""


class TiedLine(Line):
    """A line for items that are tied.

    `free` is the search without ties, whose bound holds here; while `loose`, slices are for that.
    """

    def __init__(self, instance: Instance, seed: int, shorter: Shorter) -> None:
        self.free = Line(untied(instance), seed, shorter)
        super().__init__(instance, seed, shorter)
        self.loose = True
        self.proved, self.is_least = False, False
        self._seen = False
        self._layouts: list[Layout] = []

    @property
    def bound(self) -> int:
        """What no layout falls short of."""
        return self.free.bound

    @property
    def alone(self) -> bool:
        """Whether the next slice must be done before there can be another."""
        if self.loose:
            return self.free.alone or not self._seen
        return not (self.begun and self.proved)

    def tie(self) -> None:
        """Search no more without ties."""
        self.loose = False

    def next(self, pace: Pace) -> Slice:
        """The next slice; there are layouts on the phases early on, and anew once it is tied."""
        if self.loose and (self.free.alone or self._seen):
            return self.free.next(pace)
        if self.loose or not self.begun:
            assert self.free.best is not None
            given = tuple(self._layouts)
            return Slice(tied_begun, (self.key, self.packed, self.free.best, given, pace.late))
        if not self.proved:
            bound = self.free.bound + ROUNDING
            late = pace.proof if pace.proof_late < math.inf else math.inf
            return Slice(tied_proved, (self.packed, self.best, bound, late))
        walker = self._idle.pop(0) if self._idle else self._new()
        if pace.spent >= EXPLORING and walker.length > self.length:
            walker = self._walker(walker.seeds, walker.rounds)
        # Nothing spent: it takes no fine steps towards the end.
        budget = Budget(pace.rounds, pace.seconds, 0.0, 0)
        return Slice(walked, (self.key, self.packed, walker, budget))

    def _new(self) -> PhasedWalker:
        self._made += 1
        return self._walker(seeds_of(self.seed, self._made - 1), 0)

    def _walker(self, seeds: Seeds, rounds: int) -> PhasedWalker:
        """A walker that goes on from the best layout."""
        assert self.best is not None
        own = prepared_of(self.key, self.packed)
        phase = np.nan_to_num(genes_like(own, self.best, with_phases=True).phase)
        return PhasedWalker(seeds, self.best, self.length, rounds, phase=phase)

    def gather(self, found: Found) -> None:
        """Take what came of a slice.

        Raises
        ------
        NoRoom : no order was found in which every item has a place on its phases
        """
        if isinstance(found, TiedBegun):
            self._seen, self.begun = True, not self.loose
            for layout in found.layouts:
                self.offer(layout, self.instance.length(layout))
            if self.best is None and self.begun:
                raise NoRoom("no order was found in which every item has a place")
        elif isinstance(found, TiedProved):
            self.proved, self.is_least = True, found.is_least
            self.offer(found.layout, self.instance.length(found.layout))
        elif isinstance(found, PhasedWalker):
            self.rounds = max(self.rounds, found.rounds)
            self.offer(found.best, found.length)
            self._idle.append(found)
        else:
            self.free.gather(found)

    def offer(self, layout: Layout, length: int) -> bool:
        """Take a legal layout that keeps its phases if it is shorter; whether it is."""
        self.free.offer(layout, length)
        if not keeps_phases(self.instance, layout, _SLACK):
            return False
        self._layouts.append(layout)
        return super().offer(layout, length)

    def may_be(self, length: int) -> bool:
        """Whether the bound allows a layout so short, but for rounding."""
        return not self.is_least and super().may_be(length)


def tied_begun(
    key: str, packed: bytes, free: Layout, given: tuple[Layout, ...], late: float
) -> TiedBegun:
    """The items placed in some orders, and as they lie without ties or in layouts given.

    Once it is late no other order is tried, and what isn't placed yet goes behind in columns.
    """
    begin, late = time.perf_counter(), max(late, GRACE_S)
    instance: Instance = pickle.loads(packed)
    if not may_be_prepared(instance, late):
        return TiedBegun((columns(instance, first_phases(levels(instance))),))

    def is_late() -> bool:
        return is_asked_here() or time.perf_counter() - begin >= late

    own = prepared_of(key, packed)
    own.build_ahead()
    seeds = [genes_like(own, free, with_phases=False)]
    seeds += [genes_in(own, order) for order in orders(own)]
    seeds += [genes_like(own, layout, with_phases=True) for layout in given]
    found: list[Layout] = []
    for genes in seeds:
        layout = placed_on_phases(own, genes, is_late)
        found += [] if layout is None else [layout]
        if found and is_late():
            break
    return TiedBegun(tuple(found))


def tied_proved(packed: bytes, best: Layout, bound: int, seconds: float) -> TiedProved:
    """A few rectangles settled, if that can be done at once; endless seconds repeat."""
    begun = time.perf_counter()
    instance: Instance = pickle.loads(packed)

    def is_over() -> bool:
        return is_asked_here() or time.perf_counter() - begun > seconds

    return TiedProved(*exact_tied(instance, best, bound, is_over))


@lru_cache(maxsize=1)
def warm_up() -> None:
    """Compile, or load, every kernel of this search that one without ties does without."""
    ring = np.array([[0, 0], [40, 0], [40, 40], [20, 10], [0, 40]]) * 100
    way = Orientation(ring, 0, 4000, ((0, 2000),), ties=((0, 0.0),))
    bar = np.array([[0, 0], [10, 0], [10, 10], [0, 10]]) * 100
    instance = Instance(6000, (Item(0, (way,)),) * 3, (bar + 90_000,), (Phase(0, 500.0),))
    own = Prepared(instance)
    found = placed_on_phases(own, genes_in(own, np.arange(3)))
    assert found is not None
    phase = own.phases_of(found)
    walker = PhasedWalker(seeds_of(0, 0), found, own.length(found), phase=phase)
    walker.advance(own, Budget(2, math.inf, 0.0, 0))
