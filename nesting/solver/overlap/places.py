"""Places of items on their phases, compiled: along an axis on which a shape is tied to one only
whole periods apart, along a free one anywhere. Arrays are as in `bundles`.
"""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Floats, Placed, Seeds, Ties
from nesting.solver.overlap.candidates import random, range_of, scattered
from nesting.solver.overlap.severity import fast


@fast
def next_place(least: float, place: float, period: float) -> float:
    """The least whole number from `least` on that is a place of a phase, but for rounding."""
    step = math.ceil((least - place) / period - 1e-9)
    found = float(np.rint(place + step * period))
    if found < least:
        found = float(np.rint(place + (step + 1) * period))
    return found


@fast
def _count_of(first: float, last: float, period: float) -> int:
    """How many places a phase has from the first one on."""
    return int((last - first) / period + 1e-9) + 1 if first <= last else 0


@fast
def _place_and_period(phase: Floats, shape: int, axis: int, ties: Ties) -> tuple[float, float]:
    """One of the places of a shape's phase on an axis, and its period; 0 where it is free."""
    number = ties.tie[shape, axis]
    if number < 0:
        return 0.0, 0.0
    return phase[number] - ties.offset[shape, axis], ties.period[number]


@fast
def place_on(
    place: float, period: float, low: float, high: float, near: float
) -> float:  # fmt: skip
    """The place of a phase within a range that is nearest to another; nan for none."""
    first = next_place(low, place, period)
    count = _count_of(first, high, period)
    if count == 0:
        return np.nan
    step = min(max(np.rint((near - first) / period), 0.0), count - 1.0)
    return next_place(max(low, first + step * period - 1.0), place, period)


@fast
def _nearest(
    own: Floats, column: int, shape: int, axis: int, length: float, near: float, phase: Floats,
    ties: Ties,
) -> float:  # fmt: skip
    """The nearest place to another along an axis, in the strip or a range; nan for none."""
    low, high = own[column], own[column + 1]
    if axis == 0:
        low, high = own[at.X_LOW], min(length - own[at.X_REACH], own[at.MOST_X])
    place, period = _place_and_period(phase, shape, axis, ties)
    if period == 0.0:
        return float(max(low, min(near, high)))
    return float(place_on(place, period, low, high, near))


@fast
def first_steps(
    own: Floats, column: int, shape: int, first: float, ties: Ties | None
) -> tuple[float, float]:  # fmt: skip
    """How far to step at first along both axes: 0 without room or but for whole periods."""
    step_x = first if own[at.MOST_X] - own[at.X_LOW] >= 1.0 else 0.0
    step_y = first if own[column + 1] - own[column] >= 1.0 else 0.0
    if ties is not None:
        along, across = ties.tie[shape, 0], ties.tie[shape, 1]
        if along >= 0 and ties.period[along] > first:
            step_x = 0.0
        if across >= 0 and ties.period[across] > first:
            step_y = 0.0
    return step_x, step_y


@fast
def stepped_place(
    own: Floats, column: int, shape: int, length: float, x: float, y: float, ux: float, uy: float,
    phase: Floats, ties: Ties,
) -> tuple[float, float]:  # fmt: skip
    """The place of a shape's phases next to a step from another; that one itself if there is none.

    Along an axis without a step nothing changes.
    """
    to_x, to_y = x, y
    if ux != 0.0:
        to_x = _nearest(own, column, shape, 0, length, x + ux, phase, ties)
    if uy != 0.0:
        to_y = _nearest(own, column, shape, 1, length, y + uy, phase, ties)
    if np.isnan(to_x) or np.isnan(to_y):
        return x, y
    return to_x, to_y


@fast
def _drawn_along(
    place: float, period: float, low: float, high: float, drawn: float, turn: int
) -> float:  # fmt: skip
    """A place along an axis: tied ones take turns from one sample to the next; nan for none."""
    if period == 0.0:
        return low + drawn * max(0.0, high - low)
    first = next_place(low, place, period)
    count = _count_of(first, high, period)
    if count == 0:
        return np.nan
    return next_place(first + (turn % count) * period - 1.0, place, period)


@fast
def places_of(own: Floats, shape: int, length: float, phase: Floats, ties: Ties) -> int:
    """How many places a shape has that is tied on both axes; 0 for one that is free on any."""
    if ties.tie[shape, 0] < 0 or ties.tie[shape, 1] < 0:
        return 0
    place, period = _place_and_period(phase, shape, 0, ties)
    most = min(length - own[at.X_REACH], own[at.MOST_X])
    columns = _count_of(next_place(own[at.X_LOW], place, period), most, period)
    rows = 0
    place, period = _place_and_period(phase, shape, 1, ties)
    for r in range(int(own[at.RANGE_COUNT])):
        low, high = own[at.RANGES + 2 * r], own[at.RANGES + 2 * r + 1]
        rows += _count_of(next_place(low, place, period), high, period)
    return columns * rows


@fast
def place_near(
    own: Floats, shape: int, length: float, x: float, y: float, phase: Floats, ties: Ties,
    seeds: Seeds,
) -> tuple[float, float]:  # fmt: skip
    """A place for a shape near another, nan for none."""
    step_x, step_y = scattered(own, seeds)
    x, y = x + step_x, y + step_y
    column = range_of(own, y)
    return (
        _nearest(own, column, shape, 0, length, x, phase, ties),
        _nearest(own, column, shape, 1, length, y, phase, ties),
    )


@fast
def drawn_place(
    own: Floats, shape: int, length: float, turn: int, by_rows: bool, phase: Floats, ties: Ties,
    seeds: Seeds,
) -> tuple[float, float]:  # fmt: skip
    """A place for a shape, nan for none: columns take turns, and with `by_rows` the places across
    in each of them.
    """
    most = min(length - own[at.X_REACH], own[at.MOST_X])
    place, period = _place_and_period(phase, shape, 0, ties)
    columns = 1
    if period > 0.0:
        columns = max(1, _count_of(next_place(own[at.X_LOW], place, period), most, period))
    x = _drawn_along(place, period, own[at.X_LOW], most, random(seeds), turn)
    place, period = _place_and_period(phase, shape, 1, ties)
    column = at.RANGES + 2 * int(random(seeds) * own[at.RANGE_COUNT])
    row = turn // columns if by_rows else int(random(seeds) * 1e6)
    return x, _drawn_along(place, period, own[column], own[column + 1], random(seeds), row)


@fast
def snap_all(shapes: Floats, placed: Placed, items: int, length: float, ties: Ties) -> None:
    """Bring items into the strip and their ranges, and to the nearest place of their phases."""
    for item in range(items):
        shape = placed.chosen[item]
        own = shapes[shape]
        column = range_of(own, placed.places[item, 1])
        for axis in range(2):
            low, high = own[column], own[column + 1]
            if axis == 0:
                low = own[at.X_LOW]
                high = max(low, min(length - own[at.X_REACH], own[at.MOST_X]))
            near = max(low, min(placed.places[item, axis], high))
            place, period = _place_and_period(placed.phase, shape, axis, ties)
            if period > 0.0:
                found = place_on(place, period, low, high, near)
                near = placed.places[item, axis] if np.isnan(found) else found
            placed.places[item, axis] = near
