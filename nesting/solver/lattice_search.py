"""The search for items that are tied to phases: first without their ties, then on them."""

from __future__ import annotations

import hashlib
import pickle
import time
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import replace
from functools import lru_cache

import numpy as np

from nesting.progress import Watch, ignore
from nesting.solver.construct import orders
from nesting.solver.instance import Instance, Item, Layout, NoRoom, Orientation, Phase, Result
from nesting.solver.lattice import Board
from nesting.solver.lattice_exact import exact_tied
from nesting.solver.lattice_walk import LatticeWalker
from nesting.solver.phases import keeps_phases, untied
from nesting.solver.prepared import Prepared
from nesting.solver.severity import Seeds
from nesting.stop import State, Stop

Solve = Callable[..., Result]

_UNTIED_SHARE = 0.35
"""The share of the budget that the items have without their ties."""
_EXACT_SHARE = 0.5
"""The share of the budget after which few rectangles are left to the walkers."""
_EXPLORING = 0.8
"""The share of the rest after which all walkers go on from the best."""
_SLICE_ROUNDS = 20
_SLICE_SECONDS = 0.5
_ROUNDING = 4
"""Units by which whole places may keep a layout from its bound."""
_SLACK = 20.0
"""Units by which a given start may miss its phases: rounding."""


def solve_tied(
    instance: Instance,
    stop: Stop,
    solve: Solve,
    *,
    seed: int,
    start: Layout | None = None,
    watch: Watch = ignore,
    executor: Executor | None = None,
    walkers: int = 2,
    shorter: Callable[[int], int],
) -> Result:
    """The shortest layout found with every item on its phases; as `search.solve` otherwise.

    `solve` packs the items without ties. Its bound holds here too, and its layout stands in the
    result as `untied`.

    Raises
    ------
    NoRoom : no order was found in which every item has a place on its phases
    """
    begun = time.perf_counter()
    free = solve(
        untied(instance),
        stop.portion(_UNTIED_SHARE),
        seed=seed,
        start=start,
        executor=executor,
        walkers=walkers,
        shorter=shorter,
    )
    search = _Search(instance, stop, watch, executor, free, begun, shorter)
    search.begin(start)
    interrupted = free.interrupted
    if not interrupted:
        try:
            search.prove()
            search.run(seed, walkers)
        except KeyboardInterrupt:
            interrupted = True
    return search.result(interrupted)


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
    LatticeWalker(seeds, layout, board.phases_of(layout), length).advance(board, 2)


class _Search:
    """What is best so far, and what was spent on it."""

    def __init__(
        self,
        instance: Instance,
        stop: Stop,
        watch: Watch,
        executor: Executor | None,
        free: Result,
        begun: float,
        shorter: Callable[[int], int],
    ) -> None:
        self.instance, self.stop, self.watch, self.executor = instance, stop, watch, executor
        self.free, self.begun, self.shorter = free, begun, shorter
        self.packed = pickle.dumps(instance)
        self.key = hashlib.sha256(self.packed).hexdigest()
        self.board = _board(self.key, self.packed)
        self.best: Layout | None = None
        self.length, self.rounds = 0, 0
        self.better = begun
        self.is_proven = False

    def begin(self, start: Layout | None) -> None:
        """Place the items in some orders, and as they lie without ties or in the start."""
        board = self.board
        seeds = [board.genes_like(self.free.layout, with_phases=False)]
        seeds += [board.genes_in(order) for order in orders(board.prepared)]
        if start is not None and keeps_phases(self.instance, start, _SLACK):
            self._offer(start, board.prepared.length(start))
            seeds.append(board.genes_like(start, with_phases=True))
        for genes in seeds:
            found = board.place(genes)
            if found is not None:
                self._offer(*found)
        if self.best is None:
            raise NoRoom("no order was found in which every item has a place")
        self.watch(self.state())

    def prove(self) -> None:
        """Settle a few rectangles, if it can be done at once."""
        assert self.best is not None
        bound = self.free.bound + _ROUNDING
        found, self.is_proven = exact_tied(self.instance, self.best, bound, self._is_late)
        self._offer(found, self.board.prepared.length(found))

    def _is_late(self) -> bool:
        return self.is_settled() or self.stop(self.state()) >= _EXACT_SHARE

    def run(self, seed: int, walkers: int) -> None:
        """Let the walkers search in step until the stop is spent."""
        team = []
        for number in range(walkers):
            entropy = np.random.SeedSequence([abs(seed), int(seed < 0), number])
            seeds = entropy.generate_state(1, np.uint64).astype(np.uint64)
            team.append(self._walker(seeds))
        spent = min(1.0, self.stop(self.state()))
        team = self._walk(team, spent + (1 - spent) * _EXPLORING)
        self._walk([self._gone_on(walker) for walker in team], 1.0)

    def _walker(self, seeds: Seeds) -> LatticeWalker:
        """A walker that shortens the best layout so far."""
        assert self.best is not None
        return LatticeWalker(seeds, self.best, self.board.phases_of(self.best), self.length)

    def _gone_on(self, walker: LatticeWalker) -> LatticeWalker:
        """The walker, or one in its place that goes on from what another found."""
        return walker if walker.length == self.length else self._walker(walker.seeds)

    def _walk(self, team: list[LatticeWalker], until: float) -> list[LatticeWalker]:
        """Let walkers search in step until a share of the stop is spent; how they then stand."""
        rate = 1.0
        while self.stop(self.state()) < until and not self.is_settled():
            rounds = self._affordable(rate, until)
            begun = time.perf_counter()
            team = self._advance(team, rounds)
            rate = max(1e-4, (time.perf_counter() - begun) / rounds)
            self.rounds += rounds
            for walker in team:
                self._offer(walker.best, walker.length)
            self.watch(self.state())
        return team

    def is_settled(self) -> bool:
        """Whether nothing shorter that is worth having can exist."""
        return self.is_proven or self.shorter(self.length) < self.free.bound - _ROUNDING

    def _affordable(self, rate: float, until: float) -> int:
        """Rounds for the next slice, so that it oversteps a share of the stop by little."""
        now = self.state()
        rounds = _SLICE_ROUNDS
        timed = self.stop(replace(now, seconds=now.seconds + 1e9, since_better=1e9)) >= 1
        if timed:
            rounds = max(1, min(rounds, int(_SLICE_SECONDS / rate)))
        while rounds > 1 and self.stop(replace(now, rounds=now.rounds + rounds)) > until:
            rounds -= 1
        return rounds

    def _advance(self, team: list[LatticeWalker], rounds: int) -> list[LatticeWalker]:
        if self.executor is None:
            return [_slice(self.key, self.packed, walker, rounds) for walker in team]
        jobs = [
            self.executor.submit(_slice, self.key, self.packed, walker, rounds) for walker in team
        ]
        return [job.result() for job in jobs]

    def _offer(self, layout: Layout, length: int) -> None:
        if self.best is None or length < self.length:
            self.best, self.length = layout, length
            self.better = time.perf_counter()

    def state(self) -> State:
        """The search so far, as stops and watchers see it."""
        now = time.perf_counter()
        seconds = now - self.begun
        return State(
            seconds, self.rounds, self.length, self.free.bound, now - self.better, self.best
        )

    def result(self, interrupted: bool) -> Result:
        """The best layout."""
        assert self.best is not None
        seconds = time.perf_counter() - self.begun
        return Result(
            self.best,
            self.length,
            self.free.bound,
            self.rounds,
            seconds,
            interrupted,
            untied=self.free.layout,
        )


def _slice(key: str, packed: bytes, walker: LatticeWalker, rounds: int) -> LatticeWalker:
    """Let a walker search for a slice, in whatever process this is."""
    walker.advance(_board(key, packed), rounds)
    return walker


@lru_cache(maxsize=2)
def _board(key: str, packed: bytes) -> Board:
    instance: Instance = pickle.loads(packed)
    return Board(Prepared(instance))
