"""The least length of a few rectangles, proven by constraint programming.

Rectangles pushed to the low ends of both axes as far as they go lie at sums of sides from their
own least place, so only multiples of the sides' common divisor need be tried and the numbers
stay small without loss (normal patterns: Herz 1972, IBM Journal of Research and Development
16:462-469).
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from nesting.solver.instance import Instance, IntArray, Layout, Orientation, Result
from nesting.solver.proof.bounds import lower_bound

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntervalVar, IntVar

MOST_ITEMS = 24
"""More rectangles than this are seldom proven in seconds."""


def exact_rectangles(instance: Instance, work: float, late: float = math.inf) -> Result | None:
    """The shortest layout of rectangles, with the bound that was proven on the way.

    None if some outline or obstacle is no upright rectangle, if there are more than
    `MOST_ITEMS` items, or if no layout was found in time. One thread; `work` is by the solver's
    own measure, near to seconds on the clock, so the result is the same on each run, however
    busy the machine, unless it is broken off `late`, after so many seconds on the clock.
    """
    begin = time.perf_counter()
    if not may_be_exact(instance):
        return None
    problem = _Problem(instance)
    found = problem.solve(work, late)
    if found is None:
        return None
    layout, bound = found
    length = instance.length(layout)
    return Result(layout, length, bound, rounds=0, seconds=time.perf_counter() - begin)


def may_be_exact(instance: Instance) -> bool:
    """Whether an instance is of upright rectangles alone, and no more than can be proven."""
    if not 0 < len(instance.items) <= MOST_ITEMS:
        return False
    outlines = [o.outline for item in instance.items for o in item.orientations]
    return all(is_rectangle(outline) for outline in [*outlines, *instance.obstacles])


def is_rectangle(outline: IntArray) -> bool:
    """Whether an outline fills the upright rectangle around it."""
    x, y = outline.T
    doubled = int(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return abs(doubled) == 2 * int(np.ptp(x)) * int(np.ptp(y))


@dataclass(frozen=True, slots=True)
class _Box:
    """One way a rectangle may lie, by its lower left corner.

    `least` and `most` are how far along it may be, None for any; `tail` is what the item asks of
    the length beyond that corner; `levels` are the lowest and highest place across the strip, one
    pair for each band.
    """

    index: int
    corner: tuple[int, int]
    sides: tuple[int, int]
    least: int
    tail: int
    levels: tuple[tuple[int, int], ...]
    direction: int
    most: int | None


def _box(index: int, orientation: Orientation) -> _Box:
    left, bottom = (int(value) for value in orientation.outline.min(axis=0))
    length, height = (int(value) for value in np.ptp(orientation.outline, axis=0))
    levels = tuple((low + bottom, high + bottom) for low, high in orientation.y_ranges)
    least, tail = orientation.x_low + left, orientation.x_reach - left
    direction, x_most = orientation.direction, orientation.x_most
    most = None if x_most is None else x_most + left
    return _Box(index, (left, bottom), (length, height), least, tail, levels, direction, most)


def _boxes(orientations: Sequence[Orientation], with_direction: bool) -> tuple[_Box, ...]:
    """The different ways among an item's orientations; most rectangles have one or two."""
    found: dict[object, _Box] = {}
    for index, orientation in enumerate(orientations):
        box = _box(index, orientation)
        sense = box.direction if with_direction else 0
        found.setdefault((box.sides, box.least, box.most, box.tail, box.levels, sense), box)
    return tuple(found.values())


@dataclass(frozen=True, slots=True)
class _Grid:
    """A coarser whole-number scale: base + step * n."""

    base: int
    step: int

    @classmethod
    def of(cls, places: Iterable[int], sizes: Iterable[int]) -> _Grid:
        places = list(places)
        base = min(places)
        return cls(base, math.gcd(*(place - base for place in places), *sizes) or 1)

    def down(self, place: int) -> int:
        return (place - self.base) // self.step

    def up(self, place: int) -> int:
        return -((self.base - place) // self.step)

    def back(self, number: int) -> int:
        return self.base + self.step * number


class _Problem:
    """The model: an interval along and one across for each way an item may lie."""

    def __init__(self, instance: Instance) -> None:
        from ortools.sat.python import cp_model

        self.instance = instance
        self.boxes = [_boxes(item.orientations, item.group >= 0) for item in instance.items]
        every = [box for boxes in self.boxes for box in boxes]
        hindrances = [(o.min(axis=0), o.max(axis=0)) for o in instance.obstacles]
        corners = [(int(x), int(y)) for pair in hindrances for x, y in pair]
        self.along = _Grid.of(
            [*(box.least for box in every), *(x for x, _ in corners)],
            [size for box in every for size in (box.sides[0], box.tail)],
        )
        self.across = _Grid.of(
            [*(low for box in every for low, _ in box.levels), *(y for _, y in corners)],
            [box.sides[1] for box in every],
        )
        self.model: CpModel = cp_model.CpModel()
        far = max([0, *(x for x, _ in corners)]) + max(box.least for box in every)
        far += sum(max(max(b.tail, b.sides[0]) for b in boxes) for boxes in self.boxes)
        self.far = self.along.up(far)
        self.least = lower_bound(instance)
        self.length: IntVar = self.model.new_int_var(self.along.up(self.least), self.far, "length")
        self.groups: dict[int, IntVar] = {}
        self.intervals: list[tuple[IntervalVar, IntervalVar, int]] = []
        self.places = [self._place(index) for index in range(len(self.boxes))]
        self._fix_obstacles(corners)
        self._relate()

    def _place(self, index: int) -> tuple[IntVar, IntVar, list[IntVar]]:
        """Variables of one item: its corner along and across, and which of its ways it takes."""
        model, boxes = self.model, self.boxes[index]
        x = model.new_int_var(0, self.far, f"x{index}")
        y = model.new_int_var(0, self.across.down(self._highest(boxes)), f"y{index}")
        takes = [model.new_bool_var(f"takes{index}_{box.index}") for box in boxes]
        model.add_exactly_one(takes)
        for box, taken in zip(boxes, takes, strict=True):
            self._allow(box, x, y, taken)
            self._join_group(self.instance.items[index].group, box, taken)
        return x, y, takes

    @staticmethod
    def _highest(boxes: Iterable[_Box]) -> int:
        return max(high for box in boxes for _, high in box.levels)

    def _allow(self, box: _Box, x: IntVar, y: IntVar, taken: IntVar) -> None:
        """Tie one way of an item to its intervals, its least place, its bands and the length."""
        from ortools.sat.python import cp_model

        model = self.model
        length, height = box.sides[0] // self.along.step, box.sides[1] // self.across.step
        levels = [[self.across.up(low), self.across.down(high)] for low, high in box.levels]
        domain = cp_model.Domain.from_intervals([pair for pair in levels if pair[0] <= pair[1]])
        model.add_linear_expression_in_domain(y, domain).only_enforce_if(taken)
        model.add(x >= self.along.up(box.least)).only_enforce_if(taken)
        if box.most is not None:
            model.add(x <= self.along.down(box.most)).only_enforce_if(taken)
        model.add(self.length >= x + box.tail // self.along.step).only_enforce_if(taken)
        along = model.new_optional_fixed_size_interval_var(x, length, taken, "")
        across = model.new_optional_fixed_size_interval_var(y, height, taken, "")
        self.intervals.append((along, across, height))

    def _join_group(self, group: int, box: _Box, taken: IntVar) -> None:
        """All items of a group lie with the nap in one direction."""
        if group < 0:
            return
        sense = self.groups.setdefault(group, self.model.new_bool_var(f"group{group}"))
        self.model.add(sense == box.direction).only_enforce_if(taken)

    def _fix_obstacles(self, corners: Sequence[tuple[int, int]]) -> None:
        for (left, bottom), (right, top) in zip(corners[::2], corners[1::2], strict=True):
            x, y = self.along.down(left), self.across.down(bottom)
            length, height = self.along.down(right) - x, self.across.down(top) - y
            self.intervals.append(
                (
                    self.model.new_fixed_size_interval_var(x, length, ""),
                    self.model.new_fixed_size_interval_var(y, height, ""),
                    height,
                )
            )

    def _relate(self) -> None:
        """No overlap, no more side by side than the width holds, like items in order, shortest."""
        along, across, heights = zip(*self.intervals, strict=True)
        self.model.add_no_overlap_2d(along, across)
        if not self.instance.obstacles:
            tops = (self._highest(boxes) for boxes in self.boxes)
            deepest = max(box.sides[1] for boxes in self.boxes for box in boxes)
            room = max(self.across.down(top) for top in tops) + deepest // self.across.step
            self.model.add_cumulative(along, heights, room)
        last: dict[tuple[int, int], IntVar] = {}
        for item, (x, _, _) in zip(self.instance.items, self.places, strict=True):
            before = last.get((item.kind, item.group))
            if before is not None:
                self.model.add(before <= x)
            last[item.kind, item.group] = x
        self.model.minimize(self.length)

    def solve(self, work: float, late: float) -> tuple[Layout, int] | None:
        """The best layout found and the bound proven, or None."""
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        # Its own handler for Ctrl-C would stay behind and end the whole program next time.
        solver.parameters.catch_sigint_signal = False
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_deterministic_time = work
        if late < math.inf:
            solver.parameters.max_time_in_seconds = late
        if solver.solve(self.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        bound = self.along.back(math.ceil(solver.best_objective_bound - 1e-6))
        return self._layout(solver), max(self.least, bound)

    def _layout(self, solver: CpSolver) -> Layout:
        count = len(self.places)
        orientation = np.zeros(count, dtype=np.int64)
        xy = np.zeros((count, 2), dtype=np.int64)
        for index, (x, y, takes) in enumerate(self.places):
            chosen = next(i for i, taken in enumerate(takes) if solver.boolean_value(taken))
            box = self.boxes[index][chosen]
            orientation[index] = box.index
            xy[index, 0] = self.along.back(solver.value(x)) - box.corner[0]
            xy[index, 1] = self.across.back(solver.value(y)) - box.corner[1]
        return Layout(orientation, xy)
