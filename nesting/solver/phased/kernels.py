"""Placing items one after another on their phases, compiled. Arrays are as in `severity`.

A line lies along the strip (axis 0) or across it (axis 1); the stretches of it that lie inside
no-fit polygons are taken, and the first free place past them is found at once.
"""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap.severity import MOST_X, RANGES, Floats, Ints, owning

_HALF = 0.5
"""Units: places are whole, so contact is sought to within half of one."""
_MOST_COLUMNS = 150
"""Phases with more places along the strip are tried line by line, not place by place."""
_MOST_LINES = 80


@owning
def _crossings(
    edges: Floats, first: int, count: int, axis: int, at: float, found: Floats
) -> int:  # fmt: skip
    """Where a line along an axis, so far from the other one, meets the edges; in order."""
    number = 0
    along, over = 4 + axis, 5 - axis
    for e in range(first, first + count):
        low, high = edges[over, e], edges[over + 2, e]
        if min(low, high) <= at < max(low, high):
            start = edges[along, e]
            value = start + (at - low) * (edges[along + 2, e] - start) / (high - low)
            k = number
            while k > 0 and found[k - 1] > value:
                found[k] = found[k - 1]
                k -= 1
            found[k] = value
            number += 1
    return number


@owning
def _taken(
    edges: Floats, pairs: Floats, size: int, shape: int, places: Floats, chosen: Ints,
    placed: Ints, count: int, axis: int, at: float, near: Floats, past: Floats, low: Floats,
    high: Floats,
) -> int:  # fmt: skip
    """Stretches of a line inside the no-fit polygons of what is placed; how many.

    What is inside a little to both sides of the line is inside by more than rounding.
    """
    total = 0
    over = 1 - axis
    for k in range(count):
        other = placed[k]
        row = pairs[chosen[other] * size + shape]
        away = at - places[other, over]
        if not row[over] < away < row[2 + over]:
            continue
        first, number, home = int(row[6]), int(row[7]), places[other, axis]
        ups = _crossings(edges, first, number, axis, away + _HALF, near)
        downs = _crossings(edges, first, number, axis, away - _HALF, past)
        a, b = 0, 0
        while a + 1 < ups and b + 1 < downs:
            start = max(near[a], past[b]) + _HALF
            end = min(near[a + 1], past[b + 1]) - _HALF
            if start < end:
                low[total], high[total] = home + start, home + end
                total += 1
            if near[a + 1] < past[b + 1]:
                a += 2
            else:
                b += 2
    return total


@owning
def _first_free(at: float, low: Floats, high: Floats, count: int) -> float:
    """The least whole number from `at` on outside all stretches."""
    moved = True
    while moved:
        moved = False
        for k in range(count):
            if low[k] < at < high[k]:
                at, moved = float(math.ceil(high[k])), True
    return at


@owning
def next_place(at: float, place: float, period: float) -> float:
    """The least whole number from `at` on that is a place of a phase, but for rounding."""
    step = math.ceil((at - place) / period - 1e-9)
    found = float(np.rint(place + step * period))
    if found < at:
        found = float(np.rint(place + (step + 1) * period))
    return found


@owning
def _levels(
    edges: Floats, pairs: Floats, size: int, shape: int, own: Floats, places: Floats, chosen: Ints,
    placed: Ints, count: int, lines: Floats,
) -> int:  # fmt: skip
    """Levels where a free shape may lie: ends of its ranges, corners of no-fit polygons."""
    number = 0
    for r in range(2 * int(own[7])):
        lines[number] = own[RANGES + r]
        number += 1
    for k in range(count):
        row = pairs[chosen[placed[k]] * size + shape]
        for e in range(int(row[6]), int(row[6]) + int(row[7])):
            y = float(np.rint(places[placed[k], 1] + edges[5, e]))
            inside = False
            for r in range(int(own[7])):
                inside |= own[RANGES + 2 * r] <= y <= own[RANGES + 2 * r + 1]
            if inside:
                lines[number] = y
                number += 1
    ordered = np.unique(lines[:number])
    if len(ordered) > _MOST_LINES:
        share = (len(ordered) - 1) / (_MOST_LINES - 1)
        for k in range(_MOST_LINES):
            lines[k] = ordered[int(k * share)]
        return _MOST_LINES
    lines[: len(ordered)] = ordered
    return len(ordered)


@owning
def _phase_levels(own: Floats, place: float, period: float, hint: float, lines: Floats) -> int:
    """Levels of a phase within a shape's ranges; given a hint, those next to it."""
    number = 0
    for r in range(int(own[7])):
        low, high = own[RANGES + 2 * r], own[RANGES + 2 * r + 1]
        y = place + math.ceil((low - place - 1.0) / period) * period
        while y <= high + 1.0 and number < len(lines):
            if not abs(y - hint) > period:
                lines[number] = min(max(float(np.rint(y)), low), high)
                number += 1
            y += period
    return number


@owning
def _nearest_level(own: Floats, hint: float) -> float:
    best, off = float(own[RANGES]), np.inf
    for r in range(int(own[7])):
        y = float(min(max(hint, own[RANGES + 2 * r]), own[RANGES + 2 * r + 1]))
        if abs(y - hint) < off:
            best, off = y, abs(y - hint)
    return best


@owning
def _by_columns(
    edges: Floats, pairs: Floats, size: int, shape: int, own: Floats, places: Floats, chosen: Ints,
    placed: Ints, count: int, place: float, period: float, end: float, near: Floats, past: Floats,
    low: Floats, high: Floats,
) -> tuple[float, float]:  # fmt: skip
    """The first place along the strip, of a phase, at which a shape lies free at some level."""
    x = next_place(own[0], place, period)
    while x <= own[MOST_X] and x + own[1] < end:
        taken = _taken(
            edges, pairs, size, shape, places, chosen, placed, count, 1, x, near, past, low, high
        )  # fmt: skip
        for r in range(int(own[7])):
            y = _first_free(own[RANGES + 2 * r], low, high, taken)
            if y <= own[RANGES + 2 * r + 1]:
                return x, y
        x = next_place(x + 1.0, place, period)
    return np.inf, 0.0


@owning
def _by_lines(
    edges: Floats, pairs: Floats, size: int, shape: int, own: Floats, places: Floats, chosen: Ints,
    placed: Ints, count: int, place: float, period: float, end: float, near: Floats, past: Floats,
    low: Floats, high: Floats, lines: Floats, number: int,
) -> tuple[float, float]:  # fmt: skip
    """The place on some levels at which a shape ends first; `period` 0 for any place along."""
    best_x, best_y = np.inf, 0.0
    for line in range(number):
        y = lines[line]
        taken = _taken(
            edges, pairs, size, shape, places, chosen, placed, count, 0, y, near, past, low, high
        )  # fmt: skip
        x = _first_free(own[0], low, high, taken)
        while period > 0.0:
            snapped = next_place(x, place, period)
            x = _first_free(snapped, low, high, taken)
            if x == snapped:
                break
        if x <= own[MOST_X] and x + own[1] < end:
            end = x + own[1]
            best_x, best_y = x, y
    return best_x, best_y


@owning
def _place(
    edges: Floats, pairs: Floats, size: int, shape: int, own: Floats, tie: Ints, offset: Floats,
    period: Floats, phase: Floats, hint: float, places: Floats, chosen: Ints, placed: Ints,
    count: int, farthest: float, end: float, near: Floats, past: Floats, low: Floats,
    high: Floats, lines: Floats,
) -> tuple[float, float]:  # fmt: skip
    """Where a shape ends first, if before `end`; x is inf if nowhere."""
    place, step = 0.0, 0.0
    if tie[0] >= 0 and not np.isnan(phase[tie[0]]):
        place, step = phase[tie[0]] - offset[0], period[tie[0]]
    if tie[1] >= 0 and not np.isnan(phase[tie[1]]):
        level = phase[tie[1]] - offset[1]
        number = _phase_levels(own, level, period[tie[1]], hint, lines)
    elif not np.isnan(hint):
        lines[0], number = _nearest_level(own, hint), 1
    elif step * _MOST_COLUMNS > farthest:
        return _by_columns(
            edges, pairs, size, shape, own, places, chosen, placed, count, place, step, end, near,
            past, low, high,
        )  # fmt: skip
    else:
        number = _levels(edges, pairs, size, shape, own, places, chosen, placed, count, lines)
    return _by_lines(
        edges, pairs, size, shape, own, places, chosen, placed, count, place, step, end, near,
        past, low, high, lines, number,
    )  # fmt: skip


@owning
def _may_take(shape: int, forced: int, sense: int, direction: Ints) -> bool:
    """Whether an item may take a shape that it has, given its group's sense."""
    if shape < 0 or (forced >= 0 and shape != forced):
        return False
    return sense < 0 or bool(direction[shape] == sense)


@owning
def place_all(
    edges: Floats, pairs: Floats, shapes: Floats, options: Ints, group: Ints, direction: Ints,
    tie: Ints, offset: Floats, period: Floats, order: Ints, forced: Ints, hint: Floats,
    phase: Floats, places: Floats, chosen: Ints, ends: Floats,
) -> bool:  # fmt: skip
    """Place all items in an order, each where it ends first; whether all found room.

    `forced` is the only shape an item may take where it can, -1 for any; `hint` the only level,
    nan for any; `phase` the place of each phase, nan where the first item tied to it sets it.
    """
    items, size, everything = len(order), len(shapes), len(places)
    longest = int(pairs[:, 7].max())
    near, past = np.empty(longest + 2), np.empty(longest + 2)
    low, high = np.empty(longest * everything + 2), np.empty(longest * everything + 2)
    lines = np.empty(longest * everything + shapes.shape[1] + 2 * _MOST_LINES)
    placed = np.empty(everything, dtype=np.int64)
    count, farthest = everything - items, 0.0
    placed[:count] = np.arange(items, everything)
    sense = np.full(group.max() + 2, -1)
    for item in order:
        best, end = -1, np.inf
        for only in (forced[item], -1):
            for shape in options[item]:
                if not _may_take(shape, only, sense[group[item]], direction):
                    continue
                x, y = _place(
                    edges, pairs, size, shape, shapes[shape], tie[shape], offset[shape], period,
                    phase, hint[item], places, chosen, placed, count, farthest, end, near, past,
                    low, high, lines,
                )  # fmt: skip
                if x + shapes[shape, 1] < end:
                    best, end = shape, x + shapes[shape, 1]
                    places[item, 0], places[item, 1] = x, y
            if best >= 0:
                break
        if best < 0:
            return False
        chosen[item], ends[item] = best, end
        farthest = max(farthest, end)
        _set_phases(tie[best], offset[best], phase, places[item])
        sense[group[item]] = direction[best] if group[item] >= 0 else -1
        placed[count] = item
        count += 1
    return True


@owning
def _set_phases(tie: Ints, offset: Floats, phase: Floats, place: Floats) -> None:
    """Let an item set those of its phases that have no place yet."""
    for axis in range(2):
        if tie[axis] >= 0 and np.isnan(phase[tie[axis]]):
            phase[tie[axis]] = place[axis] + offset[axis]
