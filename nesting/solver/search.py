"""The solver's door: the shortest layout of an instance that is found within a budget."""

from __future__ import annotations

import hashlib
import math
import pickle
import time
from collections.abc import Callable, Iterator
from concurrent.futures import (
    ALL_COMPLETED,
    FIRST_COMPLETED,
    Executor,
    Future,
    wait,
)
from dataclasses import replace
from functools import lru_cache

import numpy as np

from nesting.progress import Watch, ignore
from nesting.solver.bounds import lower_bound
from nesting.solver.combine import combined
from nesting.solver.compact import compact, separate
from nesting.solver.construct import layout_in_order, orders, row_layout
from nesting.solver.exact import exact_rectangles
from nesting.solver.instance import Instance, Item, Layout, Orientation, Result
from nesting.solver.lattice_search import solve_tied
from nesting.solver.phases import is_tied
from nesting.solver.prepared import Prepared
from nesting.solver.walk import EXPLORING, Budget, Walker, is_long, new_walker, programmes
from nesting.stop import State, Stop

_SLICE_SECONDS = 0.5
_SLICE_ROUNDS = 10
_LINES = 60
"""Levels tried for each item of a first layout."""
_FIRST_ITEMS = 1000
"""Items that are placed, in all orders together, for a first layout."""
_FIRST_SHARE = 0.2
"""The share of a budget after which no further order is tried for a first layout."""
_EXACT_SECONDS = 2.0
_ROUNDING = 4
"""Units by which whole places may keep a layout from its bound."""
_KEPT = 8
"""Instances that a worker keeps prepared: those of several cloths come in turn."""
_NEVER, _NONE = 10**15, -(10**15)

Shorter = Callable[[int], int]
"""From a length to the longest one that is worth having instead of it."""


def any_shorter(length: int) -> int:
    """The longest length that is less by more than rounding."""
    return length - 2 * _ROUNDING - 1


def solve(
    instance: Instance,
    stop: Stop,
    *,
    seed: int = 0,
    start: Layout | None = None,
    watch: Watch = ignore,
    executor: Executor | None = None,
    walkers: int = 2,
    shorter: Shorter = any_shorter,
) -> Result:
    """Search for the shortest layout until `stop` is spent or none worth having can exist.

    Walkers with random numbers of their own search in short slices, on the executor or, without
    one, in this process. At the start of compression each goes on from the best layout. Under a
    limit of rounds they keep in step, and a search limited by rounds alone repeats: the same
    instance, seed, start, walkers and rounds give the same layout with any executor. The layout
    is never longer than `start`, which must be legal.

    Where lengths are sold in steps, `shorter` gives the longest length that is a step less: it is
    asked for first, and the search ends where the bound tells that none can be so short.

    Ctrl-C ends the search: the best layout so far is returned, marked as interrupted. If there
    is none yet, KeyboardInterrupt is raised. Items that are tied to phases have a search of their
    own (`lattice_search`).
    """
    if is_tied(instance):
        return solve_tied(
            instance,
            stop,
            solve,
            seed=seed,
            start=start,
            watch=watch,
            executor=executor,
            walkers=walkers,
            shorter=shorter,
        )
    search = _Search(instance, stop, watch, executor, shorter)
    try:
        search.begin(start)
        search.run(seed, walkers)
    except KeyboardInterrupt:
        if search.best is None:
            raise
        search.interrupted = True
    return search.result()


def fits(
    instance: Instance,
    length: int,
    stop: Stop,
    *,
    seed: int = 0,
    start: Layout | None = None,
    watch: Watch = ignore,
    executor: Executor | None = None,
    walkers: int = 2,
) -> Layout | None:
    """A layout no longer than `length`, or None if none was found until `stop` was spent.

    The same search as `solve` makes, but never for less than this length; it ends with the first
    layout that fits, or at once where a bound tells that none can.

    Ctrl-C raises KeyboardInterrupt, as the question is left open.

    >>> from nesting.stop import Rounds
    >>> square = np.array([[0, 0], [600, 0], [600, 600], [0, 600]])
    >>> item = Item(0, (Orientation(square, x_low=0, x_reach=600, y_ranges=((0, 400),)),))
    >>> pair = Instance(1000, (item, item))
    >>> fits(pair, 1200, Rounds(10)).xy[:, 0].tolist()
    [0, 600]
    >>> fits(pair, 1100, Rounds(10)) is None
    True
    """

    def shorter(found: int) -> int:
        return length if found > length else _NONE

    search = _Search(instance, stop, watch, executor, shorter)
    search.begin(start)
    search.run(seed, walkers)
    return search.best if search.length <= length else None


@lru_cache(maxsize=1)
def warm_up() -> None:
    """Compile, or load, every kernel: some seconds the first time, then a fraction of one."""
    ring = np.array([[0, 0], [40, 0], [40, 40], [20, 10], [0, 40]]) * 100
    way = Orientation(ring, 0, 4000, ((0, 2000),))
    bar = np.array([[0, 0], [10, 0], [10, 10], [0, 10]]) * 100
    item = Item(0, (way, Orientation(ring + 100, 0, 4100, ((0, 2000),))))
    instance = Instance(6000, (item,) * 3, (bar + 90_000,))
    walker = new_walker(0, 0, row_layout(Prepared(instance)), 12_000)
    list(_construct(Prepared(instance), lambda: False))
    walker.advance(Prepared(instance), Budget(2, math.inf, 0.0, 0))


class _Search:
    """One search: what is best so far, and what was spent on it."""

    def __init__(
        self,
        instance: Instance,
        stop: Stop,
        watch: Watch,
        executor: Executor | None,
        shorter: Shorter,
    ) -> None:
        self.instance, self.stop, self.watch, self.executor = instance, stop, watch, executor
        self.shorter = shorter
        self.begun = self.better = time.perf_counter()
        self.best: Layout | None = None
        self.length = _NEVER
        self.bound = 0
        self.rounds = 0
        self.interrupted = False

    def begin(self, start: Layout | None) -> None:
        """Find a first layout, at once."""
        self.packed = pickle.dumps(self.instance)
        self.key = hashlib.sha256(self.packed).hexdigest()
        if start is not None:
            self._offer(start, self.instance.length(start))
        if not self.instance.items:
            self._offer(Layout(np.zeros(0, np.int64), np.zeros((0, 2), np.int64)), 0)
            return
        prepared = _prepared(self.key, self.packed)
        self.bound = lower_bound(self.instance, prepared.nofits)
        if self.is_settled():
            return
        for layout in _construct(prepared, self._is_late):
            self._offer(layout, prepared.length(layout))
        self.watch(self.state())
        if not self.is_settled():
            self._prove()

    def may_be(self, length: int) -> bool:
        """Whether the bound allows a layout so short, but for rounding."""
        return length + _ROUNDING >= self.bound

    def is_settled(self) -> bool:
        """Whether nothing is left to gain, or what is wanted can't be had."""
        return not self.may_be(self.shorter(self.length))

    def _prove(self) -> None:
        """Settle a few rectangles for good."""
        exact = exact_rectangles(self.instance, self._time_left(_EXACT_SECONDS))
        if exact is not None:
            self._offer(exact.layout, exact.length)
            self.bound = max(self.bound, exact.bound)

    def _is_late(self) -> bool:
        """Whether first layouts have had their share of the budget."""
        return self.stop(self.state()) >= _FIRST_SHARE

    def _time_left(self, most: float) -> float:
        """About the seconds that the stop leaves, up to so many; a little even if none."""
        now, seconds = self.state(), most
        while seconds > 0.01 and self.stop(replace(now, seconds=now.seconds + seconds)) >= 1:
            seconds /= 2
        return seconds

    def _offer(self, layout: Layout, length: int) -> None:
        if length < self.length:
            self.best, self.length = layout, length
            self.better = time.perf_counter()

    def state(self) -> State:
        """The search so far, as stops and watchers see it."""
        now = time.perf_counter()
        seconds, since_better = now - self.begun, now - self.better
        return State(seconds, self.rounds, self.length, self.bound, since_better, self.best)

    def result(self) -> Result:
        """The best layout."""
        assert self.best is not None
        seconds = time.perf_counter() - self.begun
        return Result(self.best, self.length, self.bound, self.rounds, seconds, self.interrupted)

    def run(self, seed: int, count: int) -> None:
        """Let the walkers search slice by slice until the stop is spent."""
        if self.is_settled():
            return
        assert self.best is not None
        idle = [new_walker(seed, number, self.best, self.length) for number in range(count)]
        busy: list[Future[Walker]] = []
        spent = self.stop(self.state())
        while busy or (spent < 1 and not self.is_settled()):
            budget = self._budget(spent)
            if spent < 1 and not self.is_settled():
                busy += [self._slice(walker, budget) for walker in idle]
                idle = []
            done, busy = _finished(busy, in_step=budget.rounds < math.inf)
            for walker in done:
                self.rounds = max(self.rounds, walker.rounds)
                self._gather(walker)
            idle += done
            state = self.state()
            self.watch(state)
            spent = self.stop(state)

    def _gather(self, walker: Walker) -> None:
        """Take what a walker found; on a long strip, together with what others have found.

        There its part is one of many, and it goes on from all of them.
        """
        assert self.best is not None
        shares = walker.best is not walker.base and is_long(self.instance.width, self.length)
        if shares:
            prepared = _prepared(self.key, self.packed)
            both = combined(prepared, walker.base, self.best, walker.best)
            if both is not None:
                self._offer(both, prepared.length(both))
        self._offer(walker.best, walker.length)
        if shares and self.length < walker.length:
            walker.adopt(self.best, self.length)
        elif shares:
            walker.base = walker.best

    def _budget(self, spent: float) -> Budget:
        """What the next slices may spend, so that none oversteps the stop by much."""
        now = self.state()
        later = replace(now, seconds=now.seconds + 1e9, since_better=1e9)
        timed = self.stop(later) >= 1
        counted = self.stop(replace(now, rounds=now.rounds + 10**12)) >= 1
        rounds = math.inf
        if counted:
            rounds = _SLICE_ROUNDS
            while rounds > 1 and self.stop(replace(now, rounds=now.rounds + rounds - 1)) >= 1:
                rounds -= 1
        seconds = math.inf
        if timed or not counted:
            seconds = self._time_left(_SLICE_SECONDS)
        aim = self.shorter(self.length)
        after = self.shorter(aim)
        enough = self.bound + _ROUNDING if self.may_be(after) else aim
        return Budget(rounds, seconds, spent, enough, (aim, after))

    def _slice(self, walker: Walker, budget: Budget) -> Future[Walker]:
        """A slice of a walker's search, on the executor or else done at once."""
        assert self.best is not None
        if budget.spent >= EXPLORING and not walker.compressing:
            walker.adopt(self.best, self.length)
        if self.executor is not None:
            return self.executor.submit(_slice, self.key, self.packed, walker, budget)
        done: Future[Walker] = Future()
        done.set_result(_slice(self.key, self.packed, walker, budget))
        return done


def _finished(
    busy: list[Future[Walker]], in_step: bool
) -> tuple[list[Walker], list[Future[Walker]]]:
    """Wait for all slices, or only for the first; the walkers that are done, slices that go on.

    Walkers that don't wait for each other keep every process busy, but what they have found when
    compression begins depends on the clock.
    """
    done, _ = wait(busy, return_when=ALL_COMPLETED if in_step else FIRST_COMPLETED)
    walkers = [future.result() for future in busy if future in done]
    return walkers, [future for future in busy if future not in done]


def _slice(key: str, packed: bytes, walker: Walker, budget: Budget) -> Walker:
    """Let a walker search for a slice, in whatever process this is."""
    walker.advance(_prepared(key, packed), budget)
    return walker


@lru_cache(maxsize=_KEPT)
def _prepared(key: str, packed: bytes) -> Prepared:
    instance: Instance = pickle.loads(packed)
    return Prepared(instance)


def _construct(prepared: Prepared, is_late: Callable[[], bool]) -> Iterator[Layout]:
    """First layouts, the surest first, from fewer orders once it is late; each is legal."""
    yield row_layout(prepared)
    found: list[Layout] = []
    for order in orders(prepared)[: max(1, _FIRST_ITEMS // len(prepared.first))]:
        found.append(layout_in_order(prepared, order, _LINES))
        if is_late():
            break
    found.sort(key=prepared.length)
    for layout in found[:2]:
        legal = separate(prepared.instance, prepared.nofits, layout)
        if legal is not None:
            yield legal
            rounds = programmes(4 * len(prepared.first))
            yield compact(prepared.instance, prepared.nofits, legal, rounds)
            return
