"""A line of search for items that are tied to phases: first without their ties, then on them."""

from __future__ import annotations

import hashlib
import pickle
import time
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from nesting.solver.instance import Instance, Item, Layout, NoRoom, Orientation, Phase
from nesting.solver.phased.exact import exact_tied
from nesting.solver.phased.lattice import Board
from nesting.solver.phased.phases import keeps_phases, untied
from nesting.solver.phased.walk import PhasedWalker
from nesting.solver.search.construct import orders
from nesting.solver.search.line import NEVER, ROUNDING, Begun, Line, Pace, Proved, Shorter, Slice
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.walk import EXPLORING, Walker

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


class TiedLine:
    """As `Line`, for items that are tied.

    `free` is the search without ties, whose bound holds here; while `loose`, slices are for that.
    """

    def __init__(self, instance: Instance, seed: int, shorter: Shorter) -> None:
        self.instance, self.seed, self.shorter = instance, seed, shorter
        self.packed = pickle.dumps(instance)
        self.key = hashlib.sha256(self.packed).hexdigest()
        self.free = Line(untied(instance), seed, shorter)
        self.best: Layout | None = None
        self.length, self.rounds = NEVER, 0
        self.loose = True
        self.begun, self.proved, self.is_least = False, False, False
        self._seen = False
        self._idle: list[PhasedWalker] = []
        self._made = 0
        self._given: list[Layout] = []

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
            given = tuple(self._given)
            return Slice(tied_begun, (self.key, self.packed, self.free.best, given))
        if not self.proved:
            bound = self.free.bound + ROUNDING
            return Slice(tied_proved, (self.packed, self.best, bound, pace.proof))
        walker = self._idle.pop(0) if self._idle else self._new()
        if pace.spent >= EXPLORING and walker.length > self.length:
            walker = self._walker(walker)
        return Slice(tied_walked, (self.key, self.packed, walker, pace.rounds, pace.seconds))

    def _new(self) -> PhasedWalker:
        self._made += 1
        entropy = np.random.SeedSequence([abs(self.seed), int(self.seed < 0), self._made - 1])
        seeds = entropy.generate_state(1, np.uint64).astype(np.uint64)
        return PhasedWalker(seeds, *self._from_best())

    def _walker(self, old: PhasedWalker) -> PhasedWalker:
        """A walker in the place of another, which goes on from the best."""
        return PhasedWalker(old.seeds, *self._from_best(), rounds=old.rounds)

    def _from_best(self) -> tuple[Layout, np.ndarray, int]:
        assert self.best is not None
        return self.best, board_of(self.key, self.packed).phases_of(self.best), self.length

    def gather(
        self, found: Begun | Proved | Walker | TiedBegun | TiedProved | PhasedWalker
    ) -> None:
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
        self._given.append(layout)
        if length >= self.length:
            return False
        self.best, self.length = layout, length
        return True

    def may_be(self, length: int) -> bool:
        """Whether the bound allows a layout so short, but for rounding."""
        return not self.is_least and length + ROUNDING >= self.bound

    def is_settled(self) -> bool:
        """Whether nothing shorter that is worth having can exist."""
        return self.is_least or not self.may_be(self.shorter(self.length))


def tied_begun(key: str, packed: bytes, free: Layout, given: tuple[Layout, ...]) -> TiedBegun:
    """The items placed in some orders, and as they lie without ties or in layouts given."""
    board = board_of(key, packed)
    seeds = [board.genes_like(free, with_phases=False)]
    seeds += [board.genes_in(order) for order in orders(board.prepared)]
    seeds += [board.genes_like(layout, with_phases=True) for layout in given]
    placed = (board.place(genes) for genes in seeds)
    return TiedBegun(tuple(found[0] for found in placed if found is not None))


def tied_proved(packed: bytes, best: Layout, bound: int, seconds: float) -> TiedProved:
    """A few rectangles settled, if that can be done at once; endless seconds repeat."""
    begun = time.perf_counter()
    instance: Instance = pickle.loads(packed)
    return TiedProved(
        *exact_tied(instance, best, bound, lambda: time.perf_counter() - begun > seconds)
    )


def tied_walked(
    key: str, packed: bytes, walker: PhasedWalker, rounds: float, seconds: float
) -> PhasedWalker:
    """The walker after a slice."""
    board, begun, last = board_of(key, packed), time.perf_counter(), walker.rounds + rounds
    while walker.rounds < last and time.perf_counter() - begun < seconds:
        walker.advance(board, 1)
    return walker


@lru_cache(maxsize=4)
def board_of(key: str, packed: bytes) -> Board:
    """An instance as this process keeps it."""
    instance: Instance = pickle.loads(packed)
    return Board(Prepared(instance))


@lru_cache(maxsize=1)
def warm_up() -> None:
    """Compile, or load, every kernel of this search that one without ties does without."""
    ring = np.array([[0, 0], [40, 0], [40, 40], [20, 10], [0, 40]]) * 100
    way = Orientation(ring, 0, 4000, ((0, 2000),), ties=((0, 0.0),))
    bar = np.array([[0, 0], [10, 0], [10, 10], [0, 10]]) * 100
    instance = Instance(6000, (Item(0, (way,)),) * 3, (bar + 90_000,), (Phase(0, 500.0),))
    board = Board(Prepared(instance))
    found = board.place(board.genes_in(np.arange(3)))
    assert found is not None
    layout, length = found
    seeds = np.array([1], dtype=np.uint64)
    PhasedWalker(seeds, layout, board.phases_of(layout), length).advance(board, 2)
