"""Where a shape lies clear of all that is placed, on lines along or across the strip, compiled.

For one shape and one line the places where it would overlap what lies already are the stretches
of the line inside no-fit polygons; the first place outside all of them is found at once.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Floats
from nesting.solver.overlap.places import next_place
from nesting.solver.overlap.severity import owning

_HALF = 0.5
"""Units: places are rounded to whole ones, so contact is sought to within half of one."""


class Around(NamedTuple):
    """Places and shapes of what lies already, and the edges of no-fit polygons for the shape that
    is to be placed: `rows` (placed, 8) of `pairs` tell which.
    """

    places: Floats
    edges: Floats
    rows: Floats


class _Room(NamedTuple):
    """Room for the crossings beside a line, and for the stretches of it that are taken."""

    near: Floats
    past: Floats
    low: Floats
    high: Floats


@owning
def _room_for(around: Around) -> _Room:
    total, longest = 1, 0
    for k in range(len(around.rows)):
        number = int(around.rows[k, at.EDGES])
        total, longest = total + number, max(longest, number)
    return _Room(np.empty(longest + 1), np.empty(longest + 1), np.empty(total), np.empty(total))


@owning
def _enter(found: Floats, number: int, value: float) -> int:
    """Put a number in its place among those in order; how many there are now."""
    k = number
    while k > 0 and found[k - 1] > value:
        found[k] = found[k - 1]
        k -= 1
    found[k] = value
    return number + 1


@owning
def _crossings(edges: Floats, row: Floats, axis: int, line: float, found: Floats) -> int:
    """Where a line along an axis, so far from the other one, meets the edges; in order."""
    number = 0
    if axis == 0:
        first, count = int(row[at.FIRST_CROSSING]), int(row[at.CROSSINGS])
        for e in range(first, first + count):
            if edges[at.LOW_Y, e] <= line < edges[at.HIGH_Y, e]:
                x = edges[at.X_AT_ZERO, e] + line * edges[at.SLOPE, e]
                number = _enter(found, number, x)
        return number
    first, count = int(row[at.FIRST_EDGE]), int(row[at.EDGES])
    for e in range(first, first + count):
        low, high = edges[at.X0, e], edges[at.X1, e]
        if min(low, high) <= line < max(low, high):
            start = edges[at.Y0, e]
            part = (line - low) * (edges[at.Y1, e] - start) / (high - low)
            number = _enter(found, number, start + part)
    return number


@owning
def _taken(around: Around, axis: int, line: float, room: _Room) -> int:
    """Enter the stretches of a line that are taken, less half a unit; how many.

    What is inside a little to both sides of the line is inside by more than rounding.
    """
    near, past, count, over = room.near, room.past, 0, 1 - axis
    for k in range(len(around.rows)):
        row, home = around.rows[k], around.places[k, axis]
        away = line - around.places[k, over]
        if not row[at.PAIR_X0 + over] < away < row[at.PAIR_X1 + over]:
            continue
        ups = _crossings(around.edges, row, axis, away + _HALF, near)
        downs = _crossings(around.edges, row, axis, away - _HALF, past)
        a, b = 0, 0
        while a + 1 < ups and b + 1 < downs:
            start = max(near[a], past[b]) + _HALF
            end = min(near[a + 1], past[b + 1]) - _HALF
            if start < end:
                room.low[count], room.high[count] = home + start, home + end
                count += 1
            if near[a + 1] < past[b + 1]:
                a += 2
            else:
                b += 2
    return count


@owning
def _first_free(least: float, room: _Room, count: int) -> float:
    """The least whole number from `least` on outside all stretches."""
    moved = True
    while moved:
        moved = False
        for k in range(count):
            if room.low[k] < least < room.high[k]:
                least, moved = float(math.ceil(room.high[k])), True
    return least


@owning
def levels_among(around: Around, own: Floats) -> Floats:
    """Levels at which a shape may lie: ends of its ranges, corners of no-fit polygons."""
    ranges = int(own[at.RANGE_COUNT])
    total = 2 * ranges
    for k in range(len(around.rows)):
        total += int(around.rows[k, at.EDGES])
    levels = np.empty(total)
    count = 2 * ranges
    for end in range(count):
        levels[end] = own[at.RANGES + end]
    for k in range(len(around.rows)):
        first, number = int(around.rows[k, at.FIRST_EDGE]), int(around.rows[k, at.EDGES])
        for e in range(first, first + number):
            y = around.places[k, 1] + around.edges[at.Y0, e]
            is_inside = False
            for r in range(ranges):
                is_inside |= own[at.RANGES + 2 * r] <= y <= own[at.RANGES + 2 * r + 1]
            if is_inside:
                levels[count] = y
                count += 1
    return levels[:count]


@owning
def first_along(
    around: Around, own: Floats, levels: Floats, end: float, place: float, period: float
) -> tuple[float, float]:  # fmt: skip
    """The place on some levels that lets a shape end first, if before `end`; x is inf if none.

    It is one of a phase, a whole number of periods from `place`; any if the period is 0.
    """
    best_x, best_y = np.inf, 0.0
    room = _room_for(around)
    for y in levels:
        count = _taken(around, 0, y, room)
        x = _first_free(own[at.X_LOW], room, count)
        while period > 0.0:
            snapped = next_place(x, place, period)
            x = _first_free(snapped, room, count)
            if x == snapped:
                break
        if x <= own[at.MOST_X] and x + own[at.X_REACH] < end:
            end = x + own[at.X_REACH]
            best_x, best_y = x, y
    return best_x, best_y


@owning
def first_across(
    around: Around, own: Floats, end: float, place: float, period: float
) -> tuple[float, float]:  # fmt: skip
    """The first place along the strip, of a phase, at which a shape lies free at any level."""
    room = _room_for(around)
    x = next_place(own[at.X_LOW], place, period)
    while x <= own[at.MOST_X] and x + own[at.X_REACH] < end:
        count = _taken(around, 1, x, room)
        for r in range(int(own[at.RANGE_COUNT])):
            y = _first_free(own[at.RANGES + 2 * r], room, count)
            if y <= own[at.RANGES + 2 * r + 1]:
                return x, y
        x = next_place(x + 1.0, place, period)
    return np.inf, 0.0
