"""Places of items on their phases, compiled: along an axis on which an item is tied to one only
whole periods apart, along a free one anywhere. Arrays are as in `severity` and `lattice_apart`.
"""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap.candidates import random, range_of
from nesting.solver.overlap.severity import MOST_X, RANGES, Floats, Ints, Seeds, fast
from nesting.solver.phased.kernels import next_place


@fast
def count_of(first: float, last: float, period: float) -> int:
    """How many places a phase has from the first one on."""
    return int((last - first) / period + 1e-9) + 1 if first <= last else 0


@fast
def place_on(
    place: float, period: float, low: float, high: float, near: float
) -> float:  # fmt: skip
    """The place of a phase within a range that is nearest to another; nan for none."""
    first = next_place(low, place, period)
    count = count_of(first, high, period)
    if count == 0:
        return np.nan
    step = min(max(np.rint((near - first) / period), 0.0), count - 1.0)
    return next_place(max(low, first + step * period - 1.0), place, period)


@fast
def drawn_along(
    tied: int, place: float, period: float, low: float, high: float, drawn: float, turn: int
) -> float:  # fmt: skip
    """A place along an axis: tied ones take turns from one sample to the next; nan for none."""
    if tied < 0:
        return low + drawn * max(0.0, high - low)
    first = next_place(low, place, period)
    count = count_of(first, high, period)
    if count == 0:
        return np.nan
    return next_place(first + (turn % count) * period - 1.0, place, period)


@fast
def places_of(
    tie: Ints, offset: Floats, period: Floats, phase: Floats, own: Floats, length: float
) -> int:  # fmt: skip
    """How many places a shape has that is tied on both axes; 0 for one that is free on any."""
    if tie[0] < 0 or tie[1] < 0:
        return 0
    step, place = period[tie[0]], phase[tie[0]] - offset[0]
    most = min(length - own[1], own[MOST_X])
    columns = count_of(next_place(own[0], place, step), most, step)
    rows = 0
    step, place = period[tie[1]], phase[tie[1]] - offset[1]
    for r in range(int(own[7])):
        low, high = own[RANGES + 2 * r], own[RANGES + 2 * r + 1]
        rows += count_of(next_place(low, place, step), high, step)
    return columns * rows


@fast
def stepped(
    tied: int, offset: float, period: Floats, phase: Floats, low: float, high: float, at: float
) -> float:  # fmt: skip
    """A place along an axis brought into a range, and to the nearest of a phase; nan for none."""
    if tied < 0:
        return max(low, min(at, high))
    return place_on(phase[tied] - offset, period[tied], low, high, at)


@fast
def drawn_place(
    tie: Ints, offset: Floats, period: Floats, phase: Floats, own: Floats, length: float,
    turn: int, by_rows: bool, near_x: float, near_y: float, seeds: Seeds,
) -> tuple[float, float]:  # fmt: skip
    """A place for a shape, nan for none: near one that is given, or anywhere if that is nan.

    Columns take turns, and with `by_rows` the places across in each of them.
    """
    most = min(length - own[1], own[MOST_X])
    if not np.isnan(near_x):
        spread = 0.5 * own[2] * math.sqrt(-2.0 * math.log(1.0 - random(seeds)))
        angle = 2.0 * math.pi * random(seeds)
        x, y = near_x + spread * math.cos(angle), near_y + spread * math.sin(angle)
        column = range_of(own, y)
        return (
            stepped(tie[0], offset[0], period, phase, own[0], most, x),
            stepped(tie[1], offset[1], period, phase, own[column], own[column + 1], y),
        )
    step, place, columns = 0.0, 0.0, 1
    if tie[0] >= 0:
        step, place = period[tie[0]], phase[tie[0]] - offset[0]
        columns = max(1, count_of(next_place(own[0], place, step), most, step))
    x = drawn_along(tie[0], place, step, own[0], most, random(seeds), turn)
    if tie[1] >= 0:
        step, place = period[tie[1]], phase[tie[1]] - offset[1]
    column = RANGES + 2 * int(random(seeds) * own[7])
    row = turn // columns if by_rows else int(random(seeds) * 1e6)
    low, high = own[column], own[column + 1]
    return x, drawn_along(tie[1], place, step, low, high, random(seeds), row)


@fast
def snap_all(
    shapes: Floats, tie: Ints, offset: Floats, period: Floats, phase: Floats, places: Floats,
    chosen: Ints, items: int, length: float,
) -> None:  # fmt: skip
    """Bring items into the strip and their ranges, and to the nearest place of their phases."""
    for item in range(items):
        shape = chosen[item]
        own = shapes[shape]
        column = range_of(own, places[item, 1])
        for axis in range(2):
            low, high = own[0], max(own[0], min(length - own[1], own[MOST_X]))
            if axis == 1:
                low, high = own[column], own[column + 1]
            place = max(low, min(places[item, axis], high))
            number = tie[shape, axis]
            if number >= 0:
                on = place_on(
                    phase[number] - offset[shape, axis], period[number], low, high, place
                )  # fmt: skip
                place = places[item, axis] if np.isnan(on) else on
            places[item, axis] = place
