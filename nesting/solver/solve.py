"""The solver's door: the shortest layout of an instance that is found within a budget."""

from __future__ import annotations

import math
import time
from concurrent.futures import (
    ALL_COMPLETED,
    FIRST_COMPLETED,
    Executor,
    Future,
    wait,
)
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from nesting.solver.instance import Instance, Item, Layout, Orientation, Result
from nesting.solver.phased.line import UNTIED_SHARE, TiedLine
from nesting.solver.phases import is_tied
from nesting.solver.progress import Watch, ignore
from nesting.solver.search.construct import row_layout
from nesting.solver.search.line import Line, Pace, Shorter, Slice, any_shorter, first_layouts
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.walk import Budget, new_walker
from nesting.solver.stop import State, Stop, is_asked_here

_SLICE_SECONDS = 0.5
_SLICE_ROUNDS = 10
_FIRST_SHARE = 0.2
"""The share of a budget after which no further order is tried for a first layout."""
_EXACT_SECONDS = 2.0
_NONE = -(10**15)


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
    own (`TiedLine`).
    """
    search = _Search(instance, stop, seed, watch, executor, shorter)
    try:
        search.begin(start)
        search.run(walkers)
    except KeyboardInterrupt:
        if search.line.best is None:
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

    >>> from nesting.solver.stop import Rounds
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

    search = _Search(instance, stop, seed, watch, executor, shorter)
    search.begin(start)
    search.run(walkers)
    return search.line.best if search.line.length <= length else None


@lru_cache(maxsize=1)
def warm_up() -> None:
    """Compile, or load, every kernel: some seconds the first time, then a fraction of one."""
    ring = np.array([[0, 0], [40, 0], [40, 40], [20, 10], [0, 40]]) * 100
    way = Orientation(ring, 0, 4000, ((0, 2000),))
    bar = np.array([[0, 0], [10, 0], [10, 10], [0, 10]]) * 100
    item = Item(0, (way, Orientation(ring + 100, 0, 4100, ((0, 2000),))))
    instance = Instance(6000, (item,) * 3, (bar + 90_000,))
    walker = new_walker(0, 0, row_layout(Prepared(instance)), 12_000)
    list(first_layouts(Prepared(instance), lambda: False))
    walker.advance(Prepared(instance), Budget(2, math.inf, 0.0, 0))


class _Search:
    """One search: a line, its stop, and what was spent on it."""

    def __init__(
        self,
        instance: Instance,
        stop: Stop,
        seed: int,
        watch: Watch,
        executor: Executor | None,
        shorter: Shorter,
    ) -> None:
        self.line = line_of(instance, seed, shorter)
        self.stop, self.watch, self.executor = stop, watch, executor
        self.begun = self.better = time.perf_counter()
        self.interrupted = False

    def begin(self, start: Layout | None) -> None:
        """Find a first layout, at once."""
        if start is not None:
            self.line.offer(start, self.line.instance.length(start))

    def run(self, walkers: int) -> None:
        """Let so many walkers search until the stop is spent; without ties first, if there are."""
        line, stop = self.line, self.stop
        if isinstance(line, TiedLine):
            self._run(line.free, walkers, stop.portion(UNTIED_SHARE), ignore)
            line.tie()
        self._run(line, walkers, stop, self.watch)

    def _run(self, line: Line, walkers: int, stop: Stop, watch: Watch) -> None:
        """Begin a line, then let it search slice by slice."""
        while line.alone and not (line.begun and line.is_settled()):
            state = self._state_of(line)
            proof = self._time_left(stop, state, _EXACT_SECONDS)
            timed, counted = self._limits(stop, state)
            work = line.next(
                Pace(
                    0,
                    0,
                    0,
                    late=self._time_left(stop, state, 1e9) * _FIRST_SHARE,
                    wanted=line.shorter(line.length),
                    proof=proof,
                    proof_late=math.inf if counted and not timed else 3 * proof,
                )
            )
            best = line.best
            self._gather(line, work.function(*work.args))
            if line.best is not best:
                watch(self._state_of(line))
        idle, busy = walkers, list[Future[Any]]()
        spent = _spent(stop, self._state_of(line))
        while busy or (spent < 1 and not line.is_settled()):
            pace = self._pace(line, stop, spent)
            if spent < 1 and not line.is_settled():
                busy += [self._submit(line.next(pace)) for _ in range(idle)]
                idle = 0
            done, busy = _finished(busy, in_step=pace.rounds < math.inf)
            for found in done:
                self._gather(line, found)
            idle += len(done)
            state = self._state_of(line)
            watch(state)
            spent = _spent(stop, state)

    def _gather(self, line: Line, found: Any) -> None:
        length = line.length
        line.gather(found)
        if line.length < length:
            self.better = time.perf_counter()

    def _time_left(self, stop: Stop, now: State, most: float) -> float:
        """About the seconds that the stop leaves, up to so many; a little even if none."""
        seconds = most
        while seconds > 0.01 and stop(replace(now, seconds=now.seconds + seconds)) >= 1:
            seconds /= 2
        return seconds

    def _limits(self, stop: Stop, now: State) -> tuple[bool, bool]:
        """Whether time alone would end it, and whether rounds would; a stop may know neither."""
        later = replace(now, seconds=now.seconds + 1e9, since_better=1e9)
        return stop(later) >= 1, stop(replace(now, rounds=now.rounds + 10**12)) >= 1

    def _state_of(self, line: Line) -> State:
        """The search so far, as stops and watchers see it."""
        now = time.perf_counter()
        seconds, since_better = now - self.begun, now - self.better
        return State(seconds, line.rounds, line.length, line.bound, since_better, line.best)

    def result(self) -> Result:
        """The best layout."""
        line = self.line
        assert line.best is not None
        seconds = time.perf_counter() - self.begun
        untied = line.free.best if isinstance(line, TiedLine) else None
        return Result(
            line.best, line.length, line.bound, line.rounds, seconds, self.interrupted, untied
        )

    def _pace(self, line: Line, stop: Stop, spent: float) -> Pace:
        """What the next slices may spend, so that none oversteps the stop by much."""
        now = self._state_of(line)
        timed, counted = self._limits(stop, now)
        rounds = math.inf
        if counted:
            rounds = _SLICE_ROUNDS
            while rounds > 1 and stop(replace(now, rounds=now.rounds + rounds - 1)) >= 1:
                rounds -= 1
        seconds = math.inf
        if timed or not counted:
            seconds = self._time_left(stop, now, _SLICE_SECONDS)
        return Pace(rounds, seconds, spent)

    def _submit(self, work: Slice) -> Future[Any]:
        """A slice, on the executor or else done at once."""
        if self.executor is not None:
            return self.executor.submit(work.function, *work.args)
        done: Future[Any] = Future()
        done.set_result(work.function(*work.args))
        return done


def _spent(stop: Stop, state: State) -> float:
    """The share spent; all of it once a search in this thread is to end."""
    return max(stop(state), float(is_asked_here()))


def line_of(instance: Instance, seed: int, shorter: Shorter = any_shorter) -> Line:
    """A line of search for an instance."""
    kind = TiedLine if is_tied(instance) else Line
    return kind(instance, seed, shorter)


def _finished(busy: list[Future[Any]], in_step: bool) -> tuple[list[Any], list[Future[Any]]]:
    """Wait for all slices, or only for the first; what came of those, and slices that go on.

    Walkers that don't wait for each other keep every process busy, but what they have found when
    compression begins depends on the clock.
    """
    done, _ = wait(busy, return_when=ALL_COMPLETED if in_step else FIRST_COMPLETED)
    found = [future.result() for future in busy if future in done]
    return found, [future for future in busy if future not in done]
