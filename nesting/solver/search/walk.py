"""A walker: one line of search with its own random numbers, taken in slices.

Exploration shortens the strip by large steps from the best layout so far and drives the overlap
out; where that fails, two large items of a failed layout change places and it starts from there.
Compression takes ever finer steps (Gardeyn, Vanden Berghe, Wauters 2025, arXiv:2509.13329). Here
exploration takes fine steps too, from the best layout so far, while large ones keep failing.
After each success a linear programme brings the items into contact.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field

import numpy as np

from nesting.solver.instance import Layout
from nesting.solver.overlap.bundles import NO_PHASES, Effort, Floats, Placed, Seeds
from nesting.solver.overlap.candidates import random
from nesting.solver.phases import keeps_phases
from nesting.solver.programme.compact import Window, compact, separate
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.separate import (
    SWEEPS,
    Outcome,
    OverlappingLayout,
    flip_group,
    shortened,
    swap_large,
)
from nesting.solver.stop import is_asked_here

EXPLORING = 0.8
"""The share of a budget after which compression begins."""
_FIRST_SHRINK, _LAST_SHRINK, _LEAST_SHRINK = 0.04, 0.005, 0.001
_COARSE, _FINE = 5e-4, 1e-5
_MOST_SHRINK = 0.08
"""As a share of the width: the ground lost at one cut, however long the strip."""
_LONG, _STRETCH = 4.0, 2.0
"""In widths: strips from the first on are searched in stretches of the second."""
_SWAPS = 0.5
_POOL = 12
FLIPS = 0.3
_PROGRAMMES = 12
_POLISH = 0.5
"""Rounds in fine steps for each round in large ones, while these fail."""
_COARSELY, _FINELY = Effort(SWEEPS, 200, 3), Effort(SWEEPS, 100, 1)
_SLACK = 1.0
"""Units by which rounding may take an item off its phase."""


@dataclass(frozen=True, slots=True)
class Budget:
    """What one slice may spend: rounds, or seconds on the clock, whichever is first.

    `spent` is the share of the whole search that is spent when it begins, `enough` a length
    that can't be beaten, `aims` the longest lengths that are one and two steps less than the best.
    """

    rounds: float
    seconds: float
    spent: float
    enough: int
    aims: tuple[int, int] = (0, 0)

    def target(self, length: int, less: float) -> int:
        """The length to try for instead of `length`, about so much less.

        Rather just a step less than a little more than that.
        """
        aim, after = self.aims
        wish = math.floor(length - less)
        return max(self.enough, aim if after < wish < aim < length else wish)


@dataclass(slots=True, eq=False)
class Walker:
    """Where one line of search stands. Can be sent between processes.

    `base` is the layout that it was last given to go on from. Fine steps are taken while large
    ones fail (`stalled`), as long as they gain something (`gains`) or rounds are left for them
    (`polish`). `phase` is where phases lie in the best layout, if there are any.
    """

    seeds: Seeds
    best: Layout
    length: int
    rounds: int = 0
    shrink: float = _FIRST_SHRINK
    overlapping: OverlappingLayout | None = None
    compressing: bool = False
    fine: bool = False
    stalled: bool = False
    gains: bool = False
    polish: float = 0.0
    pool: list[tuple[float, Placed]] = field(default_factory=list)
    phase: Floats = field(default_factory=NO_PHASES.copy)
    base: Layout = field(init=False)

    def __post_init__(self) -> None:
        self.base = self.best

    def adopt(self, layout: Layout, length: int) -> None:
        """Go on from a better layout."""
        self.best, self.length = layout, length
        self.base = layout
        self.overlapping = None
        self.pool = []

    def advance(self, prepared: Prepared, budget: Budget) -> None:
        """Search for a slice."""
        begun = time.perf_counter()

        def is_late() -> bool:
            return is_asked_here() or time.perf_counter() - begun >= budget.seconds

        prepared.build_ahead()
        last = self.rounds + budget.rounds
        if self.compressing != (budget.spent >= EXPLORING):
            self.compressing, self.overlapping = not self.compressing, None
        while self.rounds < last and self.length > budget.enough and not is_late():
            if self.overlapping is None:
                self.overlapping = self._next(prepared, budget)
            outcome = self.overlapping.round(prepared, self.seeds, self._effort(), is_late)
            if outcome is Outcome.LATE:
                return
            self.rounds += 1
            self.polish += -1.0 if self.fine else _POLISH
            due = outcome is Outcome.APART or self.overlapping.is_due(outcome)
            if due and self._settle(prepared, self.overlapping):
                continue
            if outcome is not Outcome.OPEN:
                self._give_up(prepared, self.overlapping, outcome)

    def _effort(self) -> Effort:
        return _FINELY if self.fine else _COARSELY

    def _next(self, prepared: Prepared, budget: Budget) -> OverlappingLayout:
        """The next layout to free of overlap, on a shorter strip than the best."""
        placed = self._placed(prepared)
        width = prepared.instance.width
        cut = random(self.seeds) * self.length
        window = _window(width, self.length, cut)
        polishes = self.stalled and (self.gains or self.polish > 0)
        self.fine = self.compressing or polishes
        if self.fine:
            done = min(1.0, max(0.0, budget.spent - EXPLORING) / (1 - EXPLORING))
            target = self.length * (1 - _COARSE * (_FINE / _COARSE) ** done)
            return shortened(prepared, placed, math.floor(target), cut, window)
        step = min(self.shrink * self.length / _stretches(width, self.length), _MOST_SHRINK * width)
        target = budget.target(self.length, step)
        if window is not None:
            overlapping = shortened(prepared, placed, target, cut, window)
            if random(self.seeds) < _SWAPS:
                swap_large(prepared, overlapping, self.seeds)
            return overlapping
        if not self.pool:
            return shortened(prepared, placed, target, cut)
        # Low losses are drawn more often.
        rank = int(len(self.pool) * random(self.seeds) ** 2)
        overlapping = shortened(prepared, self.pool[rank][1], target, cut)
        swap_large(prepared, overlapping, self.seeds)
        if random(self.seeds) < FLIPS:
            flip_group(prepared, overlapping, self.seeds)
        return overlapping

    def _placed(self, prepared: Prepared) -> Placed:
        """The best layout in arrays."""
        return Placed(*prepared.arrays(self.best), self.phase)

    def _settle(self, prepared: Prepared, overlapping: OverlappingLayout) -> bool:
        """Make a layout with little overlap or none legal to the unit, press it, and keep it.

        Whether that came out shorter than the best.
        """
        found = prepared.layout(overlapping.best.places, overlapping.best.chosen)
        window = overlapping.window
        rounds = programmes(len(self.best.xy)) if window is None else _PROGRAMMES
        instance, nofits = prepared.instance, prepared.nofits
        legal = separate(instance, nofits, found, self.length - 1, rounds, window)
        # On a strip that is too short an item may have no place of its phase.
        if legal is None or not keeps_phases(instance, legal, _SLACK):
            return False
        pressed = compact(instance, nofits, legal, rounds, window)
        self.phase = prepared.phases_moved(overlapping.best.phase, found, pressed)
        self.best, self.length = pressed, prepared.length(pressed)
        self.overlapping, self.gains, self.stalled = None, self.fine, self.fine
        if not self.fine:
            self.pool = []
            self.shrink = max(self.shrink / 2, min(self.shrink, _LAST_SHRINK))
        return True

    def _give_up(
        self, prepared: Prepared, overlapping: OverlappingLayout, outcome: Outcome
    ) -> None:
        self.overlapping = None
        if outcome is Outcome.APART and prepared.ties is None:
            return
        self.gains, self.stalled = False, True
        if self.fine:
            return
        stretches = 1.0
        if overlapping.window is not None:
            stretches = _stretches(prepared.instance.width, self.length)
        self.shrink = max(_LEAST_SHRINK, self.shrink * 0.7 ** (1 / stretches))
        if overlapping.window is not None:
            # What is left of a stretch is of no use for another.
            return
        self.pool.append((overlapping.loss, overlapping.best))
        self.pool.sort(key=lambda entry: entry[0])
        del self.pool[_POOL:]


def programmes(items: int) -> int:
    """Linear programmes to press a layout with: fewer where each takes long."""
    return max(1, min(_PROGRAMMES, 1500 // max(1, items)))


def is_long(width: int, length: int) -> bool:
    """Whether a strip is searched in stretches."""
    return length >= _LONG * width


def _stretches(width: int, length: int) -> float:
    """How many stretches that are searched apart from each other a strip holds."""
    return length / (_STRETCH * width) if is_long(width, length) else 1.0


def _window(width: int, length: int, cut: float) -> Window | None:
    """The stretch around a cut, on a strip so long that the rest need not be looked at."""
    if not is_long(width, length):
        return None
    side = _STRETCH / 2 * width
    middle = min(max(cut, side), length - side)
    return middle - side, middle + side


def seeds_of(seed: int, number: int) -> Seeds:
    """Random numbers that no other walker or seed shares."""
    entropy = np.random.SeedSequence([abs(seed), int(seed < 0), number])
    return entropy.generate_state(1, np.uint64).astype(np.uint64)


def new_walker(seed: int, number: int, best: Layout, length: int) -> Walker:
    """A walker with random numbers of its own."""
    return Walker(seeds_of(seed, number), best, length)
