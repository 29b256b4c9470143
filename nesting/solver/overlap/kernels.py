"""Driving the overlap out of a layout, compiled: the inner loops of the search.

Every colliding item in turn goes to the best place found for it, over all its shapes. Pairs are
weighted, and weights grow while a pair collides (guided local search: Umetani et al. 2009,
International Transactions in Operational Research 16:661-683; here as in Gardeyn, Vanden Berghe,
Wauters 2025, arXiv:2509.13329). Arrays are as `severity` describes them.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from nesting.solver.overlap.candidates import place_beside, random, random_place, range_of, within
from nesting.solver.overlap.severity import (
    MOST_X,
    Fields,
    Floats,
    Ints,
    Seeds,
    Singles,
    enter_box,
    fast,
    fastest,
    greatest,
    measure,
    measure_all,
    near_items,
    weighed,
)

_NEAR_SAMPLES = 25
_FAR_SAMPLES = 50
BEST = 3
_ROOM = 2.0
"""Steps that a candidate may go before its neighbours are looked up again."""
_PROGRESS = 0.98
_MOST_WEIGHT = 1e6


class Scratch(NamedTuple):
    """What a separation needs room for, as `scratch_for` makes it."""

    near: Ints
    order: Ints
    boxes: Floats
    severity: Singles
    worst: Singles
    best: Floats


def scratch_for(items: int, size: int) -> Scratch:
    """Room for so many items, and `size` with what doesn't move."""
    return Scratch(
        np.empty(size, dtype=np.int64),
        np.empty(items, dtype=np.int64),
        np.empty((7, size)),
        np.empty((size, size), dtype=np.float32),
        np.zeros((2, size), dtype=np.float32),
        np.empty((BEST, 4)),
    )


@fast
def keep_best(best: Floats, value: float, shape: int, x: float, y: float) -> None:
    """Enter a candidate among the best few, least value first."""
    k = len(best) - 1
    if value >= best[k, 0]:
        return
    while k > 0 and best[k - 1, 0] > value:
        for column in range(4):
            best[k, column] = best[k - 1, column]
        k -= 1
    best[k, 0], best[k, 1], best[k, 2], best[k, 3] = value, shape, x, y


@fast
def _descend(
    fields: Fields, shapes: Floats, places: Floats, chosen: Ints,
    boxes: Floats, weight: Singles, near: Ints, item: int, candidate: Floats, length: float,
    first_step: float, last_step: float, seeds: Seeds, is_rough: bool,
) -> None:  # fmt: skip
    """Move a candidate (value, shape, x, y) downhill along both axes and both diagonals.

    Severities are told roughly, or exactly.
    """
    shape = int(candidate[1])
    own = shapes[shape]
    column = range_of(own, candidate[3])
    side = own[2]
    step_x, step_y, least = first_step * side, first_step * side, last_step * side
    if own[column + 1] - own[column] < 1.0:
        step_y = 0.0
    if own[MOST_X] - own[0] < 1.0:
        step_x = 0.0
    home_x, home_y, room, count = candidate[2], candidate[3], 0.0, -1
    while (step_x >= least or step_y >= least) and candidate[0] > 0.0:
        axis = int(random(seeds) * 4) if step_y > 0.0 else 0
        if step_x == 0.0:
            axis = 1
        ux = step_x if axis != 1 else 0.0
        uy = 0.0 if axis == 0 else (-step_y if axis == 3 else step_y)
        x0, y0 = candidate[2], candidate[3]
        reach = max(step_x, step_y)
        away = max(abs(x0 - home_x), abs(y0 - home_y))
        if count < 0 or away + reach > room:
            home_x, home_y, room = x0, y0, _ROOM * reach
            count = near_items(
                boxes, item, x0 + own[3] - room, y0 + own[4] - room,
                x0 + own[5] + room, y0 + own[6] + room, near,
            )  # fmt: skip
        moved = False
        for sign in (1.0, -1.0):
            x, y = within(own, column, length, x0 + sign * ux, y0 + sign * uy)
            value = weighed(
                fields, places, chosen, weight, near, count, shape, x, y,
                candidate[0], is_rough,
            )  # fmt: skip
            if value < candidate[0]:
                candidate[0], candidate[2], candidate[3] = value, x, y
                moved = True
        factor = 1.1 if moved else 0.5
        if axis != 1:
            step_x = min(side, factor * step_x)
        if axis != 0:
            step_y = min(side, factor * step_y)


@fast
def _sample(
    fields: Fields, shapes: Floats, options: Ints, places: Floats,
    chosen: Ints, boxes: Floats, weight: Singles, near: Ints, item: int, length: float,
    best: Floats, seeds: Seeds,
) -> None:  # fmt: skip
    """Enter among the best few: the item's own place, some beside it, some anywhere."""
    kinds = 0
    while kinds < options.shape[1] and options[item, kinds] >= 0:
        kinds += 1
    shape, x, y = chosen[item], places[item, 0], places[item, 1]
    for sample in range(1 + _NEAR_SAMPLES + _FAR_SAMPLES):
        if sample > 0:
            shape = options[item, int(random(seeds) * kinds) if kinds > 1 else 0]
            if sample <= _NEAR_SAMPLES:
                x, y = place_beside(
                    shapes, shape, chosen[item], places[item, 0], places[item, 1], length, seeds
                )
            else:
                x, y = random_place(shapes[shape], length, seeds)
        count = near_items(
            boxes, item, x + shapes[shape, 3], y + shapes[shape, 4],
            x + shapes[shape, 5], y + shapes[shape, 6], near,
        )  # fmt: skip
        value = weighed(
            fields, places, chosen, weight, near, count, shape, x, y,
            best[BEST - 1, 0], True,
        )  # fmt: skip
        keep_best(best, value, shape, x, y)
        if best[0, 0] == 0.0:
            break


@fast
def _tell(
    fields: Fields, shapes: Floats, places: Floats, chosen: Ints, boxes: Floats,
    weight: Singles, near: Ints, item: int, candidate: Floats,
) -> None:  # fmt: skip
    """Enter a candidate's exact severity."""
    shape, x, y = int(candidate[1]), candidate[2], candidate[3]
    own = shapes[shape]
    count = near_items(boxes, item, x + own[3], y + own[4], x + own[5], y + own[6], near)
    candidate[0] = weighed(
        fields, places, chosen, weight, near, count, shape, x, y, math.inf, False
    )  # fmt: skip


@fast
def _search(
    fields: Fields, shapes: Floats, options: Ints, places: Floats,
    chosen: Ints, boxes: Floats, weight: Singles, near: Ints, item: int, length: float,
    best: Floats, seeds: Seeds,
) -> None:  # fmt: skip
    """Move one item to the best shape and place found for it against all others."""
    for k in range(len(best)):
        best[k, 0] = np.inf
    _sample(
        fields, shapes, options, places, chosen, boxes, weight, near, item, length,
        best, seeds,
    )  # fmt: skip
    for turn in range(BEST + 1):
        # Each of the best few coarsely, then the best of them finely.
        k, first_step, last_step = (turn, 0.25, 0.02) if turn < BEST else (0, 0.01, 0.001)
        if turn == BEST:
            _tell(fields, shapes, places, chosen, boxes, weight, near, item, best[0])
        if best[k, 0] < np.inf and best[0, 0] > 0.0:
            _descend(
                fields, shapes, places, chosen, boxes, weight, near, item, best[k],
                length, first_step, last_step, seeds, turn < BEST,
            )  # fmt: skip
            if best[k, 0] < best[0, 0]:
                for column in range(4):
                    best[0, column], best[k, column] = best[k, column], best[0, column]
    chosen[item], places[item, 0], places[item, 1] = int(best[0, 1]), best[0, 2], best[0, 3]
    enter_box(shapes, places, chosen, boxes, item)


@fast
def total_severity(severity: Singles, worst: Singles, items: int) -> float:
    """The sum of all items' severities."""
    total = 0.0
    for item in range(items):
        if worst[0, item] > 0.0:
            total += _sum(severity, item)
    return total


@fastest
def _sum(severity: Singles, item: int) -> float:
    """The sum of an item's severities."""
    total = 0.0
    for other in range(severity.shape[1]):
        total += severity[item, other]
    return total


@fast
def copy_layout(places: Floats, chosen: Ints, to_places: Floats, to_chosen: Ints) -> None:
    """Overwrite the places and shapes of a layout with those of another."""
    for item in range(len(chosen)):
        to_places[item, 0], to_places[item, 1] = places[item, 0], places[item, 1]
        to_chosen[item] = chosen[item]


@fast
def reweigh(severity: Singles, weight: Singles, worst: Singles, items: int) -> None:
    """Make pairs that collide weigh more, the worst most, and others less again."""
    most = 0.0
    for a in range(items):
        most = max(most, float(worst[0, a]))
    for a in range(items):
        if worst[0, a] == 0.0 and worst[1, a] <= 1.0:
            continue
        for b in range(len(severity)):
            if severity[a, b] > 0.0:
                grown = weight[a, b] * (1.2 + 0.8 * severity[a, b] / most)
                weight[a, b] = min(grown, _MOST_WEIGHT)
            else:
                weight[a, b] = max(1.0, 0.95 * weight[a, b])
        worst[1, a] = greatest(weight, a)


@fast
def colliding(worst: Singles, order: Ints, seeds: Seeds) -> int:
    """Fill `order` with the colliding items in random order; how many."""
    count = 0
    for item in range(len(order)):
        if worst[0, item] > 0.0:
            order[count] = item
            count += 1
    for k in range(count - 1, 0, -1):
        swap = int(random(seeds) * (k + 1))
        order[k], order[swap] = order[swap], order[k]
    return count


@fast
def is_struck(record: Floats, total: float, patience: int) -> bool:
    """Count a sweep that left so much overlap; whether it ends a strike.

    Strikes count anew after one in which the least sum fell.
    """
    record[2] += 1.0
    if total < _PROGRESS * record[1]:
        record[1] = total
        record[2] = 0.0
    if record[2] < patience:
        return False
    record[3] = 0.0 if record[0] < _PROGRESS * record[4] else record[3] + 1.0
    record[4] = record[0]
    record[2] = 0.0
    record[1] = record[0]
    return True


@fast
def _sweep(
    fields: Fields, shapes: Floats, options: Ints, places: Floats, chosen: Ints, weight: Singles,
    length: float, seeds: Seeds, scratch: Scratch,
) -> None:  # fmt: skip
    """Move every colliding item once, in random order."""
    near, order, boxes = scratch.near, scratch.order, scratch.boxes
    severity, worst = scratch.severity, scratch.worst
    count = colliding(worst, order, seeds)
    for k in range(count):
        item = order[k]
        # One that was moved before it may have cleared it.
        if worst[0, item] > 0.0:
            _search(
                fields, shapes, options, places, chosen, boxes, weight[item], near, item, length,
                scratch.best, seeds,
            )  # fmt: skip
            measure(fields, places, chosen, boxes, severity, worst, near, item)


@fast
def separate(
    fields: Fields, shapes: Floats, options: Ints, places: Floats,
    chosen: Ints, weight: Singles, length: float, best_places: Floats, best_chosen: Ints,
    record: Floats, sweeps: int, patience: int, strikes: int, seeds: Seeds, scratch: Scratch,
) -> int:  # fmt: skip
    """Up to so many sweeps over all colliding items: 1 once nothing overlaps, 2 if stuck, else 0.

    Once `fields.wanted`, what came of this call is worth nothing.

    `record` holds, from one call to the next: the least sum of severities, the one that the
    present strike has to beat, sweeps since it was, strikes in a row that gained nothing, and
    the least sum when the last one ended. The layout with the least sum is kept in `best_places`
    and `best_chosen`, and brought back at each strike.
    """
    items = len(options)
    near, boxes = scratch.near, scratch.boxes
    severity, worst = scratch.severity, scratch.worst
    for item in range(items):
        worst[1, item] = greatest(weight, item)
    is_measured = False
    for _ in range(sweeps):
        if not is_measured:
            measure_all(
                fields, shapes, places, chosen, boxes, severity, worst, near, items
            )  # fmt: skip
            is_measured = True
        _sweep(fields, shapes, options, places, chosen, weight, length, seeds, scratch)
        total = total_severity(severity, worst, items)
        if total < record[0]:
            record[0] = total
            copy_layout(places, chosen, best_places, best_chosen)
        if total == 0.0:
            return 1
        reweigh(severity, weight, worst, items)
        if is_struck(record, total, patience):
            copy_layout(best_places, best_chosen, places, chosen)
            is_measured = False
            if record[3] >= strikes:
                return 2
    return 0
