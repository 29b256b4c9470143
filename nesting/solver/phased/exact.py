"""The least length of a few rectangles on their phases, by constraint programming.

`exact` reckons in multiples of the sides, as rectangles without ties can be pushed together; here
they can't, and the model has whole units. Such a search takes a moment or nearly for ever, as
chance will have it, so it is begun anew again and again (heavy tails: Gomes, Selman, Crato, Kautz
2000, Journal of Automated Reasoning 24:67-100).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from nesting.solver.instance import Instance, IntArray, Layout, Orientation
from nesting.solver.proof.exact import is_rectangle

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntervalVar, IntVar

MOST_ITEMS = 40
"""More rectangles than this are seldom packed better so than by driving overlap out."""
_TRIES, _WORK, _CONFLICTS = 16, 0.03, 1000
"""How often a search is begun anew, and what each is worth: about a tenth of a second.

Work, as the solver reckons it, leaves much out where sides have no common measure.
"""
_EMERGENCY_SECONDS = 20.0
_WHOLE = 1e-3
"""Units by which a period may be off a whole number: a hundred of them are not off by one."""


def exact_tied(
    instance: Instance, start: Layout, bound: int, is_over: Callable[[], bool]
) -> tuple[Layout, bool]:
    """The shortest layout of a few rectangles that is found, and whether none is shorter.

    From `start` on shorter ones are sought until one is no longer than `bound` or `is_over`: not
    at all where some outline or obstacle is no upright rectangle, a period is no whole number, or
    there are more than `MOST_ITEMS` items. The clock is looked at between tries alone, but for
    emergencies, so the result is the same on each run. Where offsets are no whole numbers, "none"
    leaves out what rounding might allow.
    """
    best, length = start, instance.length(start)
    if not _suits(instance):
        return best, False
    model = _Model(instance, length - 1)
    for seed in range(_TRIES):
        if length <= bound or is_over():
            break
        found, is_least = model.found(seed)
        if found is not None:
            best, length = found, instance.length(found)
            model = _Model(instance, length - 1)
        if is_least:
            return best, True
    return best, length <= bound


def _suits(instance: Instance) -> bool:
    outlines = [o.outline for item in instance.items for o in item.orientations]
    return (
        0 < len(instance.items) <= MOST_ITEMS
        and all(abs(p.period - round(p.period)) < _WHOLE for p in instance.phases)
        and all(is_rectangle(outline) for outline in [*outlines, *instance.obstacles])
    )


def _pushed(instance: Instance, number: int) -> tuple[float, ...] | None:
    """Places of a phase at which something touches the low end of its room; None if not all can."""
    axis = instance.phases[number].axis
    found: list[float] = []
    for o in (o for item in instance.items for o in item.orientations):
        own = dict(o.ties)
        if number not in own:
            return None
        ends = [o.x_low] if axis == 0 else [low for low, _ in o.y_ranges]
        found += [end + own[number] for end in ends]
    return tuple(found)


class _Model:
    """Places of the reference points in units, and an interval along and across for each way."""

    def __init__(self, instance: Instance, longest: int) -> None:
        from ortools.sat.python import cp_model

        self.instance = instance
        self.model: CpModel = cp_model.CpModel()
        self.longest = longest
        self.length: IntVar = self.model.new_int_var(0, longest, "")
        self.phases = [self._phase(number) for number in range(len(instance.phases))]
        self.groups: dict[int, IntVar] = {}
        self.along: list[IntervalVar] = []
        self.across: list[IntervalVar] = []
        self.sides: list[tuple[int, int]] = []
        self.places = [self._place(index) for index in range(len(instance.items))]
        for obstacle in instance.obstacles:
            self._fix(obstacle)
        self._relate()

    def _phase(self, number: int) -> IntVar:
        """Where a phase lies.

        If it is the only one along its axis and all is tied to it, all can be pushed on together
        until something touches an end of its room.
        """
        from ortools.sat.python import cp_model

        phase = self.instance.phases[number]
        period, choices = round(phase.period), phase.choices
        if choices is None and not self.instance.obstacles:
            choices = _pushed(self.instance, number)
        if choices is None:
            return self.model.new_int_var(0, period - 1, "")
        places = [round(place) % period for place in choices]
        return self.model.new_int_var_from_domain(cp_model.Domain.from_values(places), "")

    def _place(self, index: int) -> tuple[IntVar, IntVar, list[IntVar]]:
        """The reference point of one item, and which of its ways it takes."""
        item, model = self.instance.items[index], self.model
        lows, highs = zip(*(_y_ends(o) for o in item.orientations), strict=True)
        x = model.new_int_var(min(o.x_low for o in item.orientations), self.longest, "")
        y = model.new_int_var(min(lows), max(highs), "")
        takes = [model.new_bool_var("") for _ in item.orientations]
        model.add_exactly_one(takes)
        for o, taken in zip(item.orientations, takes, strict=True):
            self._allow(o, x, y, taken)
            if item.group >= 0:
                sense = self.groups.setdefault(item.group, model.new_bool_var(""))
                model.add(sense == o.direction).only_enforce_if(taken)
        return x, y, takes

    def _allow(self, o: Orientation, x: IntVar, y: IntVar, taken: IntVar) -> None:
        """Tie one way of an item to its room, its phases, its intervals and the length."""
        from ortools.sat.python import cp_model

        model = self.model
        model.add(x >= o.x_low).only_enforce_if(taken)
        if o.x_most is not None:
            model.add(x <= o.x_most).only_enforce_if(taken)
        model.add(self.length >= x + o.x_reach).only_enforce_if(taken)
        levels = cp_model.Domain.from_intervals([list(pair) for pair in o.y_ranges])
        model.add_linear_expression_in_domain(y, levels).only_enforce_if(taken)
        for number, offset in o.ties:
            phase = self.instance.phases[number]
            period, least = round(phase.period), round(offset)
            most = (self.longest if phase.axis == 0 else _y_ends(o)[1]) + least
            times = model.new_int_var(-abs(least) // period - 2, most // period + 2, "")
            place = (x if phase.axis == 0 else y) + least
            model.add(place == self.phases[number] + period * times).only_enforce_if(taken)
        (left, low), (long, high) = o.outline.min(axis=0), np.ptp(o.outline, axis=0)
        self.sides.append((int(long), int(high)))
        self.along.append(
            model.new_optional_fixed_size_interval_var(x + int(left), int(long), taken, "")
        )
        self.across.append(
            model.new_optional_fixed_size_interval_var(y + int(low), int(high), taken, "")
        )

    def _fix(self, obstacle: IntArray) -> None:
        (left, low), (long, high) = obstacle.min(axis=0), np.ptp(obstacle, axis=0)
        self.sides.append((int(long), int(high)))
        self.along.append(self.model.new_fixed_size_interval_var(int(left), int(long), ""))
        self.across.append(self.model.new_fixed_size_interval_var(int(low), int(high), ""))

    def _relate(self) -> None:
        """No overlap, no more side by side than there is room for, like items in order."""
        model, ways = self.model, [o for item in self.instance.items for o in item.orientations]
        model.add_no_overlap_2d(self.along, self.across)
        if not self.instance.obstacles:
            longs, highs = zip(*self.sides, strict=True)
            lows = min(_y_ends(o)[0] + int(o.outline[:, 1].min()) for o in ways)
            tops = max(_y_ends(o)[1] + int(o.outline[:, 1].max()) for o in ways)
            model.add_cumulative(self.along, highs, tops - lows)
            begin = min(o.x_low + int(o.outline[:, 0].min()) for o in ways)
            past = max(int(o.outline[:, 0].max()) - o.x_reach for o in ways)
            model.add_cumulative(self.across, longs, self.length + (past - begin))
        last: dict[tuple[int, int], IntVar] = {}
        for item, (x, _, _) in zip(self.instance.items, self.places, strict=True):
            before = last.get((item.kind, item.group))
            if before is not None:
                model.add(before <= x)
            last[item.kind, item.group] = x
        model.minimize(self.length)

    def found(self, seed: int) -> tuple[Layout | None, bool]:
        """A layout so short, if one is found, and whether none is shorter."""
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        # Its own handler for Ctrl-C would stay behind and end the whole program next time.
        solver.parameters.catch_sigint_signal = False
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = _WORK
        solver.parameters.max_number_of_conflicts = _CONFLICTS
        solver.parameters.max_time_in_seconds = _EMERGENCY_SECONDS
        status = solver.solve(self.model)
        is_found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        is_least = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
        return self._layout(solver) if is_found else None, is_least

    def _layout(self, solver: CpSolver) -> Layout:
        ways = [
            next(way for way, taken in enumerate(takes) if solver.boolean_value(taken))
            for _, _, takes in self.places
        ]
        xy = [(solver.value(x), solver.value(y)) for x, y, _ in self.places]
        return Layout(np.array(ways, dtype=np.int64), np.array(xy, dtype=np.int64).reshape(-1, 2))


def _y_ends(o: Orientation) -> tuple[int, int]:
    return min(low for low, _ in o.y_ranges), max(high for _, high in o.y_ranges)
