"""Driving the overlap out of a layout, compiled: the inner loops of the search.

Every colliding item in turn goes to the best place found for it, over all its shapes. Pairs are
weighted, and weights grow while a pair collides (guided local search: Umetani et al. 2009,
International Transactions in Operational Research 16:661-683; here as in Gardeyn, Vanden Berghe,
Wauters 2025, arXiv:2509.13329).

`ties` is None where nothing is tied to phases: kernels are compiled apart for that, and what only
ties ask for is left out of them. With ties, items go only to places of their phases, and after
each sweep one phase moves with all that is tied to it. Arrays are as in `bundles`.
"""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import (
    BEST,
    Effort,
    Floats,
    Ints,
    Placed,
    Scratch,
    Seeds,
    Singles,
    Strip,
    Ties,
)
from nesting.solver.overlap.candidates import (
    keep_best,
    place_beside,
    random,
    random_place,
    range_of,
    within,
)
from nesting.solver.overlap.places import first_steps, stepped_place
from nesting.solver.overlap.severity import (
    enter_box,
    fast,
    fastest,
    greatest,
    measure,
    measure_all,
    near_place,
    weighed,
)
from nesting.solver.overlap.tied import sample_tied, shift_phase

_NEAR_SAMPLES = 25
_FAR_SAMPLES = 50
_ROOM = 2.0
"""Steps that a candidate may go before its neighbours are looked up again."""
_PROGRESS = 0.98
_MOST_WEIGHT = 1e6


@fast
def _drawn_axis(step_x: float, step_y: float, ties: Ties | None, seeds: Seeds) -> int:
    """Along x, along y or one of the diagonals: 0 to 3, of those that there are steps for."""
    if ties is None and step_y == 0.0:
        return 0
    axis = int(random(seeds) * 4)
    if step_y == 0.0:
        axis = 0
    elif step_x == 0.0:
        axis = 1
    return axis


@fast
def _descend(
    strip: Strip, placed: Placed, weight: Singles, item: int, candidate: Floats,
    first_step: float, last_step: float, is_rough: bool, seeds: Seeds, scratch: Scratch,
    ties: Ties | None,
) -> None:  # fmt: skip
    """Move a candidate downhill along both axes and both diagonals.

    Severities are told roughly, or exactly.
    """
    shape = int(candidate[at.SHAPE])
    own = strip.shapes[shape]
    column, side = range_of(own, candidate[at.Y]), own[at.SIDE]
    step_x, step_y = first_steps(own, column, shape, first_step * side, ties)
    home_x, home_y, room, count = candidate[at.X], candidate[at.Y], 0.0, -1
    while max(step_x, step_y) >= last_step * side and candidate[at.VALUE] > 0.0:
        axis = _drawn_axis(step_x, step_y, ties, seeds)
        ux = step_x if axis != 1 else 0.0
        uy = 0.0 if axis == 0 else (-step_y if axis == 3 else step_y)
        x0, y0 = candidate[at.X], candidate[at.Y]
        reach = max(step_x, step_y)
        if ties is not None:
            reach *= 2.0  # the place of a phase next to a step may be twice as far
        if count < 0 or max(abs(x0 - home_x), abs(y0 - home_y)) + reach > room:
            home_x, home_y, room = x0, y0, _ROOM * reach
            count = near_place(own, x0, y0, room, item, scratch)
        moved = False
        for sign in (1.0, -1.0):
            if ties is None:
                x, y = within(own, column, strip.length, x0 + sign * ux, y0 + sign * uy)
            else:
                x, y = stepped_place(
                    own, column, shape, strip.length, x0, y0, sign * ux, sign * uy, placed.phase,
                    ties,
                )  # fmt: skip
            value = weighed(
                strip.fields, placed, weight, scratch.near, count, shape, x, y,
                candidate[at.VALUE], is_rough,
            )  # fmt: skip
            if value < candidate[at.VALUE]:
                candidate[at.VALUE], candidate[at.X], candidate[at.Y] = value, x, y
                moved = True
        factor = 1.1 if moved else 0.5
        if axis != 1:
            step_x = min(side, factor * step_x)
        if axis != 0:
            step_y = min(side, factor * step_y)


@fast
def _sample(
    strip: Strip, placed: Placed, weight: Singles, item: int, seeds: Seeds, scratch: Scratch
) -> None:  # fmt: skip
    """Enter among the best few: the item's own place, some beside it, some anywhere."""
    shapes, options, chosen, best = strip.shapes, strip.options, placed.chosen, scratch.best
    kinds = 0
    while kinds < options.shape[1] and options[item, kinds] >= 0:
        kinds += 1
    shape, x, y = chosen[item], placed.places[item, 0], placed.places[item, 1]
    for sample in range(1 + _NEAR_SAMPLES + _FAR_SAMPLES):
        if sample > 0:
            shape = options[item, int(random(seeds) * kinds) if kinds > 1 else 0]
            if sample <= _NEAR_SAMPLES:
                x, y = place_beside(
                    shapes, shape, chosen[item], placed.places[item, 0], placed.places[item, 1],
                    strip.length, seeds,
                )  # fmt: skip
            else:
                x, y = random_place(shapes[shape], strip.length, seeds)
        count = near_place(shapes[shape], x, y, 0.0, item, scratch)
        value = weighed(
            strip.fields, placed, weight, scratch.near, count, shape, x, y,
            best[BEST - 1, at.VALUE], True,
        )  # fmt: skip
        keep_best(best, value, shape, x, y)
        if best[0, at.VALUE] == 0.0:
            break


@fast
def _tell(
    strip: Strip, placed: Placed, weight: Singles, item: int, candidate: Floats, scratch: Scratch
) -> None:  # fmt: skip
    """Enter a candidate's exact severity."""
    shape, x, y = int(candidate[at.SHAPE]), candidate[at.X], candidate[at.Y]
    count = near_place(strip.shapes[shape], x, y, 0.0, item, scratch)
    candidate[at.VALUE] = weighed(
        strip.fields, placed, weight, scratch.near, count, shape, x, y, math.inf, False
    )  # fmt: skip


@fast
def _search(
    strip: Strip, placed: Placed, weight: Singles, item: int, seeds: Seeds, scratch: Scratch,
    ties: Ties | None,
) -> None:  # fmt: skip
    """Move one item to the best shape and place found for it against all others."""
    best = scratch.best
    for k in range(BEST):
        best[k, at.VALUE] = np.inf
    if ties is None:
        _sample(strip, placed, weight, item, seeds, scratch)
    else:
        sample_tied(strip, placed, weight, item, seeds, scratch, ties)
    for turn in range(BEST + 1):
        # Each of the best few coarsely, then the best of them finely.
        k, first_step, last_step = (turn, 0.25, 0.02) if turn < BEST else (0, 0.01, 0.001)
        is_rough = turn < BEST
        if ties is not None:
            is_rough = False
        elif turn == BEST:
            _tell(strip, placed, weight, item, best[0], scratch)
        if best[k, at.VALUE] < np.inf and best[0, at.VALUE] > 0.0:
            _descend(
                strip, placed, weight, item, best[k], first_step, last_step, is_rough, seeds,
                scratch, ties,
            )  # fmt: skip
            if best[k, at.VALUE] < best[0, at.VALUE]:
                for column in range(4):
                    best[0, column], best[k, column] = best[k, column], best[0, column]
    if best[0, at.VALUE] < np.inf:
        placed.chosen[item] = int(best[0, at.SHAPE])
        placed.places[item, 0], placed.places[item, 1] = best[0, at.X], best[0, at.Y]
        enter_box(strip.shapes, placed, scratch.boxes, item)


@fast
def _total_severity(scratch: Scratch, items: int) -> float:
    """The sum of all items' severities."""
    total = 0.0
    for item in range(items):
        if scratch.worst[at.WORST, item] > 0.0:
            total += _sum(scratch.severity, item)
    return total


@fastest
def _sum(severity: Singles, item: int) -> float:
    """The sum of an item's severities."""
    total = 0.0
    for other in range(severity.shape[1]):
        total += severity[item, other]
    return total


@fast
def _copy_layout(placed: Placed, to: Placed) -> None:
    """Overwrite a layout with another."""
    for item in range(len(placed.chosen)):
        to.places[item, 0], to.places[item, 1] = placed.places[item, 0], placed.places[item, 1]
        to.chosen[item] = placed.chosen[item]
    for number in range(len(placed.phase)):
        to.phase[number] = placed.phase[number]


@fast
def _reweigh(weight: Singles, scratch: Scratch, items: int) -> None:
    """Make pairs that collide weigh more, the worst most, and others less again."""
    severity, worst = scratch.severity, scratch.worst
    most = 0.0
    for a in range(items):
        most = max(most, float(worst[at.WORST, a]))
    for a in range(items):
        if worst[at.WORST, a] == 0.0 and worst[at.HEAVIEST, a] <= 1.0:
            continue
        for b in range(len(severity)):
            if severity[a, b] > 0.0:
                grown = weight[a, b] * (1.2 + 0.8 * severity[a, b] / most)
                weight[a, b] = min(grown, _MOST_WEIGHT)
            else:
                weight[a, b] = max(1.0, 0.95 * weight[a, b])
        worst[at.HEAVIEST, a] = greatest(weight, a)


@fast
def _colliding(worst: Singles, order: Ints, seeds: Seeds) -> int:
    """Fill `order` with the colliding items in random order; how many."""
    count = 0
    for item in range(len(order)):
        if worst[at.WORST, item] > 0.0:
            order[count] = item
            count += 1
    for k in range(count - 1, 0, -1):
        swap = int(random(seeds) * (k + 1))
        order[k], order[swap] = order[swap], order[k]
    return count


@fast
def _is_struck(record: Floats, total: float, patience: int) -> bool:
    """Count a sweep that left so much overlap; whether it ends a strike.

    Strikes count anew after one in which the least sum fell.
    """
    record[at.SINCE] += 1.0
    if total < _PROGRESS * record[at.TO_BEAT]:
        record[at.TO_BEAT] = total
        record[at.SINCE] = 0.0
    if record[at.SINCE] < patience:
        return False
    fell = record[at.LEAST] < _PROGRESS * record[at.LAST_LEAST]
    record[at.IDLE_STRIKES] = 0.0 if fell else record[at.IDLE_STRIKES] + 1.0
    record[at.LAST_LEAST] = record[at.TO_BEAT] = record[at.LEAST]
    record[at.SINCE] = 0.0
    return True


@fast
def _sweep(
    strip: Strip, placed: Placed, weight: Singles, seeds: Seeds, scratch: Scratch,
    ties: Ties | None,
) -> None:  # fmt: skip
    """Move every colliding item once, in random order, then one phase."""
    count = _colliding(scratch.worst, scratch.order, seeds)
    for k in range(count):
        item = scratch.order[k]
        # One that was moved before it may have cleared it.
        if scratch.worst[at.WORST, item] > 0.0:
            _search(strip, placed, weight[item], item, seeds, scratch, ties)
            measure(strip.fields, placed, scratch, item)
    if ties is not None:
        shift_phase(strip, placed, weight, seeds, scratch, ties)


@fast
def separate(
    strip: Strip, placed: Placed, best: Placed, weight: Singles, record: Floats, effort: Effort,
    seeds: Seeds, scratch: Scratch, ties: Ties | None,
) -> int:  # fmt: skip
    """Sweep over all colliding items: 1 once nothing overlaps, 2 if stuck, else 0.

    Once `fields.wanted`, what came of this call is worth nothing.

    `weight` and `record` go on from one call to the next. The layout with the least sum of
    severities is kept in `best`, and brought back at each strike.
    """
    items = len(strip.options)
    for item in range(items):
        scratch.worst[at.HEAVIEST, item] = greatest(weight, item)
    is_measured = False
    for _ in range(effort.sweeps):
        if not is_measured:
            measure_all(strip.fields, strip.shapes, placed, scratch, items)
            is_measured = True
        _sweep(strip, placed, weight, seeds, scratch, ties)
        total = _total_severity(scratch, items)
        if total < record[at.LEAST]:
            record[at.LEAST] = total
            _copy_layout(placed, best)
        if total == 0.0:
            return 1
        _reweigh(weight, scratch, items)
        if _is_struck(record, total, effort.patience):
            _copy_layout(best, placed)
            is_measured = False
            if record[at.IDLE_STRIKES] >= effort.strikes:
                return 2
    return 0
