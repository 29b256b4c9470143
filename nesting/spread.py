"""Several cloths searched at once, where there are more workers than one search keeps busy."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_EXCEPTION, Executor, ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from threading import Event, RLock
from typing import Generic, TypeVar

from nesting.budget import Budget
from nesting.stop import State, Stop
from nesting.trials import PlanState, Search, Watch

T = TypeVar("T")
Task = TypeVar("Task")

WALKERS = 2
"""The workers that one search keeps busy."""


def dealt(
    tasks: Sequence[Task], jobs: int | None, weight: Callable[[Task], float]
) -> list[list[Task]]:
    """Tasks in groups of like weight: as many as so many workers can search at once, one if None.

    >>> dealt([5, 1, 4, 3], 4, float), dealt([5, 1], 3, float), dealt([5, 1], 40, float)
    ([[5, 1], [4, 3]], [[5, 1]], [[5], [1]])
    """
    count = max(1, min((jobs or WALKERS) // WALKERS, len(tasks)))
    groups: list[list[int]] = [[] for _ in range(count)]
    heaviest_first = sorted(range(len(tasks)), key=lambda i: -weight(tasks[i]))
    for index in heaviest_first:
        min(groups, key=lambda group: sum(weight(tasks[i]) for i in group)).append(index)
    return [[tasks[i] for i in sorted(group)] for group in groups]


@dataclass(frozen=True, slots=True)
class Work(Generic[T]):
    """Some cloths to search, and the weight of what is to be searched."""

    weight: float
    search: Callable[[Search], T]


def searched(
    works: Sequence[Work[T]],
    stop: Stop,
    seed: int,
    executor: Executor | None,
    watch: Watch,
) -> tuple[list[T], list[Search]]:
    """What comes of each work, with a search of its own within the whole budget; all at once.

    The budget begins now, when the workers are at hand: kernels may have been compiled before.

    Each cloth keeps its place in one group, and rounds find the same however they are grouped.
    Ctrl-C, or a watcher's KeyboardInterrupt, ends all with their best so far.
    """
    if len(works) == 1:
        search = Search(Budget(stop, works[0].weight), seed, executor, watch)
        return [works[0].search(search)], [search]
    together = _Together(works, stop, seed, executor, watch)
    return together.run(), together.searches


class _Together(Generic[T]):
    """Works in threads of their own: they wait most of the time, as workers do the searching."""

    def __init__(
        self,
        works: Sequence[Work[T]],
        stop: Stop,
        seed: int,
        executor: Executor | None,
        watch: Watch,
    ) -> None:
        self.works, self.watch = works, watch
        self.ended, self.telling = Event(), RLock()
        self.spent = [0.0] * len(works)
        limit = _Until(stop, self.ended)
        self.searches = [
            Search(Budget(limit, work.weight), seed, executor, self._teller(index))
            for index, work in enumerate(works)
        ]

    def run(self) -> list[T]:
        """Wait for all; the first fault ends the others."""
        with ThreadPoolExecutor(len(self.works)) as threads:
            found = [
                threads.submit(work.search, search)
                for work, search in zip(self.works, self.searches, strict=True)
            ]
            try:
                wait(found, return_when=FIRST_EXCEPTION)
            except KeyboardInterrupt:
                self._end()
            if any(one.done() and one.exception() for one in found):
                self._end()
            return [one.result() for one in found]

    def _end(self) -> None:
        self.ended.set()
        for search in self.searches:
            search.interrupt()

    def _teller(self, index: int) -> Watch:
        def tell(state: PlanState) -> None:
            with self.telling:
                self.spent[index] = max(self.spent[index], state.spent)
                parts = zip(self.works, self.spent, strict=True)
                done = sum(work.weight * spent for work, spent in parts)
                whole = sum(work.weight for work in self.works)
                try:
                    self.watch(replace(state, spent=done / whole))
                except KeyboardInterrupt:
                    self._end()
                    raise

        return tell


@dataclass(frozen=True, slots=True)
class _Until:
    """Another stop, but over as soon as an event has come."""

    stop: Stop
    event: Event

    def __call__(self, state: State) -> float:
        return 1.0 if self.event.is_set() else self.stop(state)

    def portion(self, share: float) -> _Until:
        return _Until(self.stop.portion(share), self.event)
