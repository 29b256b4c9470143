"""A line of search that is taken up slice by slice: what is best so far of one instance.

A slice is a function and what it is called with; it can be run in any process, and `gather` takes
what came of it. So whoever has several lines decides after every slice which goes on.
"""

from __future__ import annotations

import hashlib
import math
import pickle
import time
from collections.abc import Callable, Iterator
from functools import lru_cache
from threading import get_ident
from typing import Any, NamedTuple

import numpy as np

from nesting.solver.instance import Instance, IsLate, Layout, is_searched, ways
from nesting.solver.programme.compact import compact, separate
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.proof.exact import exact_rectangles, may_be_exact
from nesting.solver.search.combine import combined
from nesting.solver.search.construct import columns, layout_in_order, orders
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.walk import EXPLORING, Budget, Walker, is_long, new_walker, programmes
from nesting.solver.stop import is_asked_here

ROUNDING = 4
"""Units by which whole places may keep a layout from its bound."""
NEVER = 10**15
_LEVELS = 60
"""Levels tried for each item of a first layout."""
_FIRST_ITEMS = 1000
"""Items that are placed, in all orders together, for a first layout."""
GRACE_S = 0.3
"""Seconds that a first layout may always have: enough to place a garment's pieces."""
_PAIR_S = 4e-7
"""Seconds that it takes to make room for what is known of two ways to lie beside each other."""
_ROUNDS = 12
"""Programmes that make a first layout legal to the unit, where there is time for any."""
_KEPT = 32
"""Instances that a worker keeps prepared: lays of several cloths come in turn."""

Shorter = Callable[[int], int]
"""From a length to the longest one that is worth having instead of it."""


def any_shorter(length: int) -> int:
    """The longest length that is less by more than rounding."""
    return length - 2 * ROUNDING - 1


class Slice(NamedTuple):
    """Work that any process can do: `function(*args)`, both of which can be sent there."""

    function: Callable[..., Any]
    args: tuple[Any, ...]


class Pace(NamedTuple):
    """What a slice may spend.

    Attributes
    ----------
    rounds, seconds : of a walker, whichever is over first
    spent : the share of the whole search that is spent when it begins
    orders : in how many orders first layouts are tried, None for all that are worth it
    late : the seconds after which no further item is placed in a first layout but in columns
    wanted : first layouts are not asked for if the bound tells that none is so short
    proof : the work for settling a few rectangles, in about seconds
    proof_late : the seconds on the clock after which that is broken off; endless where it repeats
    """

    rounds: float
    seconds: float
    spent: float
    orders: int | None = None
    late: float = math.inf
    wanted: float = math.inf
    proof: float = 2.0
    proof_late: float = math.inf


class Begun(NamedTuple):
    """First layouts of an instance, none longer than the one before, and a bound below any."""

    layouts: tuple[Layout, ...]
    bound: int


class Proved(NamedTuple):
    """The layout that constraint programming found of a few rectangles, and what it proved."""

    layout: Layout | None
    bound: int


class Line:
    """What is best so far of one instance, and the walkers that search on.

    Attributes
    ----------
    best, length : the shortest layout so far, legal, and its length in units
    rounds : of the walker that has made most
    begun, proved : whether there are first layouts, and whether rectangles have been settled
    searched : whether it may be searched further than its first layouts
    """

    def __init__(self, instance: Instance, seed: int, shorter: Shorter = any_shorter) -> None:
        self.instance, self.seed, self.shorter = instance, seed, shorter
        self.packed = pickle.dumps(instance)
        self.key = hashlib.sha256(self.packed).hexdigest()
        self.best: Layout | None = None
        self.length, self.rounds = NEVER, 0
        self._bound = 0
        self.begun = False
        self.searched = is_searched(instance)
        self.proved = not may_be_exact(instance)
        self._given = NEVER
        self._idle: list[Walker] = []
        self._made = 0
        if not instance.items:
            self.begun = True
            self.offer(Layout(np.zeros(0, np.int64), np.zeros((0, 2), np.int64)), 0)

    @property
    def bound(self) -> int:
        """What no layout falls short of."""
        return self._bound

    # --- what there is to do ---

    @property
    def alone(self) -> bool:
        """Whether the next slice must be done before there can be another."""
        return not (self.begun and self.proved)

    def next(self, pace: Pace) -> Slice:
        """The next slice: first layouts, then the proof for a few rectangles, then walkers."""
        if not self.begun:
            return Slice(begun, (self.key, self.packed, *pace[3:6]))
        if not self.proved:
            return Slice(proved, (self.packed, pace.proof, pace.proof_late))
        return self.walk(self.budget(pace.rounds, pace.seconds, pace.spent))

    def walk(self, budget: Budget) -> Slice:
        """Let a walker that waits, or a new one, search for a slice."""
        assert self.best is not None
        walker = min(self._idle, key=_length) if self._idle else self._new()
        if self._idle:
            self._idle.remove(walker)
        compresses = budget.spent >= EXPLORING and not walker.compressing
        if compresses or walker.length > self.length == self._given:
            walker.adopt(self.best, self.length)
        return Slice(walked, (self.key, self.packed, walker, budget))

    @property
    def walkers(self) -> int:
        """How many walkers it has had."""
        return self._made

    def _new(self) -> Walker:
        assert self.best is not None
        self._made += 1
        return new_walker(self.seed, self._made - 1, self.best, self.length)

    def budget(self, rounds: float, seconds: float, spent: float) -> Budget:
        """What a slice may spend, with the lengths that are worth having."""
        aim = self.shorter(self.length)
        after = self.shorter(aim)
        enough = self.bound + ROUNDING if self.may_be(after) else aim
        return Budget(rounds, seconds, spent, enough, (aim, after))

    # --- what came of it ---

    def gather(self, found: Begun | Proved | Walker) -> None:
        """Take what came of a slice."""
        if isinstance(found, Begun):
            self.begun = True
            self._bound = max(self._bound, found.bound)
            for layout in found.layouts:
                self.offer(layout, self.instance.length(layout))
        elif isinstance(found, Proved):
            self.proved = True
            self._bound = max(self._bound, found.bound)
            if found.layout is not None:
                self.offer(found.layout, self.instance.length(found.layout))
        else:
            self._take(found)

    def _take(self, walker: Walker) -> None:
        """Take what a walker found; on a long strip, together with what others have found.

        There its part is one of many, and it goes on from all of them.
        """
        assert self.best is not None
        self.rounds = max(self.rounds, walker.rounds)
        shares = walker.best is not walker.base and is_long(self.instance.width, self.length)
        if shares:
            prepared = prepared_of(self.key, self.packed)
            both = combined(prepared, walker.base, self.best, walker.best)
            if both is not None:
                self.offer(both, prepared.length(both))
        self.offer(walker.best, walker.length)
        if shares and self.length < walker.length:
            walker.adopt(self.best, self.length)
        elif shares:
            walker.base = walker.best
        self._idle.append(walker)

    def give(self, layout: Layout, length: int) -> None:
        """Take a legal layout from elsewhere; if it is shorter, walkers go on from there."""
        if self.offer(layout, length):
            self._given = length

    def offer(self, layout: Layout, length: int) -> bool:
        """Take a legal layout if it is shorter than the best; whether it is."""
        if length >= self.length:
            return False
        self.best, self.length = layout, length
        return True

    # --- how it stands ---

    def may_be(self, length: int) -> bool:
        """Whether the bound allows a layout so short, but for rounding."""
        return length + ROUNDING >= self.bound

    def is_settled(self) -> bool:
        """Whether nothing is left to gain, or what is wanted can't be had."""
        return not (self.searched and self.may_be(self.shorter(self.length)))


def _length(walker: Walker) -> int:
    return walker.length


# --- what is done in any process ---


def begun(key: str, packed: bytes, most_orders: int | None, late: float, wanted: float) -> Begun:
    """First layouts of an instance, and its bound."""
    begin = time.perf_counter()
    instance: Instance = pickle.loads(packed)
    late = max(late, GRACE_S)
    if not may_be_prepared(instance, late):
        return Begun((columns(instance),), 0)
    prepared = prepared_of(key, packed)
    bound = lower_bound(prepared.instance, prepared.nofits)
    if bound > wanted + ROUNDING:
        return Begun((), bound)

    def is_late() -> bool:
        return is_asked_here() or time.perf_counter() - begin >= late

    return Begun(tuple(first_layouts(prepared, is_late, most_orders)), bound)


def may_be_prepared(instance: Instance, seconds: float) -> bool:
    """Whether all pairs of ways can be held, and there is time to make room for them."""
    return seconds > _PAIR_S * ways(instance) ** 2 and is_searched(instance)


def proved(packed: bytes, work: float, late: float) -> Proved:
    """A few rectangles settled, as far as that goes."""
    found = exact_rectangles(pickle.loads(packed), work, late)
    return Proved(None, 0) if found is None else Proved(found.layout, found.bound)


def walked(key: str, packed: bytes, walker: Walker, budget: Budget) -> Walker:
    """The walker after a slice."""
    walker.advance(prepared_of(key, packed), budget)
    return walker


def prepared_of(key: str, packed: bytes) -> Prepared:
    """An instance as this thread keeps it: tables are built as they come to be needed."""
    return _prepared(key, packed, get_ident())


@lru_cache(maxsize=_KEPT)
def _prepared(_key: str, packed: bytes, _thread: int) -> Prepared:
    instance: Instance = pickle.loads(packed)
    return Prepared(instance)


def first_layouts(
    prepared: Prepared, is_late: IsLate, most_orders: int | None = None
) -> Iterator[Layout]:
    """First layouts, the surest first; each is legal.

    Once it is late no other order is tried, and what isn't placed yet goes behind in columns.
    """
    yield columns(prepared.instance)
    found: list[Layout] = []
    several = max(1, _FIRST_ITEMS // len(prepared.first))
    for order in orders(prepared)[: min(several, most_orders or several)]:
        found.append(layout_in_order(prepared, order, _LEVELS, is_late))
        if is_late():
            break
    found.sort(key=prepared.length)
    for layout in found[:2]:
        rounds = 0 if is_late() else _ROUNDS
        legal = separate(prepared.instance, prepared.nofits, layout, rounds=rounds, is_late=is_late)
        if legal is not None:
            yield legal
            if is_late():
                return
            rounds = programmes(4 * len(prepared.first))
            yield compact(prepared.instance, prepared.nofits, legal, rounds, is_late=is_late)
            return
