"""Driving the overlap out of a layout whose items lie on phases, compiled.

As `kernels.separate`, but items go only where their phases let them: along an axis on which they
are tied to one of a few places, along a free one anywhere. After each sweep one phase is moved
with all that is tied to it, to where these are least in the way. Arrays are as in `severity`;
`tie` and `offset` (shapes, 2) are the phase of each axis, -1 for none, and the offset from it;
`phase` is where each phase lies, `free` whether it may be moved.
"""

from __future__ import annotations

import numpy as np

from nesting.solver.overlap.candidates import random, range_of
from nesting.solver.overlap.kernels import (
    BEST,
    Scratch,
    colliding,
    copy_layout,
    is_struck,
    keep_best,
    reweigh,
    total_severity,
)
from nesting.solver.overlap.severity import (
    MOST_X,
    Fields,
    Floats,
    Ints,
    Seeds,
    Singles,
    enter_box,
    fast,
    greatest,
    measure,
    measure_all,
    near_items,
    overlap,
    weighed,
)
from nesting.solver.phased.places import drawn_place, place_on, places_of, stepped

_SAMPLES = 75
_MOST_PLACES = 200
"""Where an item is tied on both axes and has no more places than this, all are tried."""
_SHIFTS = 12
"""Places tried for a phase after a sweep."""


@fast
def _step(tied: int, period: Floats, first: float, room: float) -> float:
    """How far to step at first along an axis; 0 where there is no room or only whole periods."""
    if room < 1.0 or (tied >= 0 and period[tied] > first):
        return 0.0
    return first


@fast
def _try_step(
    fields: Fields, tie: Ints, offset: Floats, period: Floats,
    phase: Floats, own: Floats, column: int, places: Floats, chosen: Ints, weight: Singles,
    near: Ints, count: int, candidate: Floats, x: float, y: float, ux: float, uy: float,
    length: float,
) -> bool:  # fmt: skip
    """Move a candidate by a step from a place if that is better; whether it is."""
    if ux != 0.0:
        most = min(length - own[1], own[MOST_X])
        x = stepped(tie[0], offset[0], period, phase, own[0], most, x + ux)
    if uy != 0.0:
        y = stepped(tie[1], offset[1], period, phase, own[column], own[column + 1], y + uy)
    if np.isnan(x) or np.isnan(y):
        return False
    value = weighed(
        fields, places, chosen, weight, near, count, int(candidate[1]), x, y,
        candidate[0], False,
    )  # fmt: skip
    if value >= candidate[0]:
        return False
    candidate[0], candidate[2], candidate[3] = value, x, y
    return True


@fast
def _drawn_axis(step_x: float, step_y: float, seeds: Seeds) -> int:
    """Along x, along y or one of the diagonals: 0 to 3, of those that there are steps for."""
    axis = int(random(seeds) * 4)
    if step_y == 0.0:
        axis = 0
    elif step_x == 0.0:
        axis = 1
    return axis


@fast
def _descend(
    fields: Fields, shapes: Floats, tie: Ints, offset: Floats,
    period: Floats, phase: Floats, places: Floats, chosen: Ints, boxes: Floats, weight: Singles,
    near: Ints, item: int, candidate: Floats, length: float, first_step: float, last_step: float,
    seeds: Seeds,
) -> None:  # fmt: skip
    """Move a candidate (value, shape, x, y) downhill, along tied axes by whole periods."""
    shape = int(candidate[1])
    own = shapes[shape]
    column, side = range_of(own, candidate[3]), own[2]
    least = last_step * side
    step_x = _step(tie[shape, 0], period, first_step * side, own[MOST_X] - own[0])
    step_y = _step(tie[shape, 1], period, first_step * side, own[column + 1] - own[column])
    home_x, home_y, count = candidate[2], candidate[3], -1
    while (step_x >= least or step_y >= least) and candidate[0] > 0.0:
        axis = _drawn_axis(step_x, step_y, seeds)
        ux = step_x if axis != 1 else 0.0
        uy = 0.0 if axis == 0 else (-step_y if axis == 3 else step_y)
        x0, y0 = candidate[2], candidate[3]
        if count < 0 or abs(x0 - home_x) > side or abs(y0 - home_y) > side:
            home_x, home_y = x0, y0
            count = near_items(
                boxes, item, x0 + own[3] - 2 * side, y0 + own[4] - 2 * side,
                x0 + own[5] + 2 * side, y0 + own[6] + 2 * side, near,
            )  # fmt: skip
        moved = False
        for sign in (1.0, -1.0):
            moved |= _try_step(
                fields, tie[shape], offset[shape], period, phase, own, column,
                places, chosen, weight, near, count, candidate, x0, y0, sign * ux, sign * uy,
                length,
            )  # fmt: skip
        factor = 1.1 if moved else 0.5
        if axis != 1:
            step_x = min(side, factor * step_x)
        if axis != 0:
            step_y = min(side, factor * step_y)


@fast
def _sample(
    fields: Fields, shapes: Floats, tie: Ints, offset: Floats,
    period: Floats, phase: Floats, places: Floats, chosen: Ints, boxes: Floats, weight: Singles,
    near: Ints, item: int, shape: int, samples: int, length: float, best: Floats, seeds: Seeds,
) -> None:  # fmt: skip
    """Enter places of a shape among the best few: all of them where they are not too many."""
    own, old = shapes[shape], shapes[chosen[item]]
    # Shapes of one item turn about the middles of their boxes.
    beside_x = places[item, 0] + (old[3] + old[5] - own[3] - own[5]) / 2
    beside_y = places[item, 1] + (old[4] + old[6] - own[4] - own[6]) / 2
    begun = int(random(seeds) * 1e6)
    all_places = places_of(tie[shape], offset[shape], period, phase, own, length)
    scans = 0 < all_places <= _MOST_PLACES
    for sample in range(all_places if scans else samples):
        x, y = places[item, 0], places[item, 1]
        if sample > 0 or shape != chosen[item]:
            beside = not scans and sample % 3 == 0
            x, y = drawn_place(
                tie[shape], offset[shape], period, phase, own, length, begun + sample, scans,
                beside_x if beside else np.nan, beside_y if beside else np.nan, seeds,
            )  # fmt: skip
        if np.isnan(x) or np.isnan(y):
            continue
        count = near_items(boxes, item, x + own[3], y + own[4], x + own[5], y + own[6], near)
        value = weighed(
            fields, places, chosen, weight, near, count, shape, x, y,
            best[BEST - 1, 0], False,
        )  # fmt: skip
        keep_best(best, value, shape, x, y)
        if best[0, 0] == 0.0:
            return


@fast
def _search(
    fields: Fields, shapes: Floats, options: Ints, tie: Ints,
    offset: Floats, period: Floats, phase: Floats, places: Floats, chosen: Ints, boxes: Floats,
    weight: Singles, near: Ints, item: int, length: float, best: Floats, seeds: Seeds,
) -> None:  # fmt: skip
    """Move one item to the best shape and place found for it against all others."""
    for k in range(BEST):
        best[k, 0] = np.inf
    kinds = 0
    while kinds < options.shape[1] and options[item, kinds] >= 0:
        kinds += 1
    for k in range(kinds):
        if best[0, 0] > 0.0:
            _sample(
                fields, shapes, tie, offset, period, phase, places, chosen, boxes,
                weight, near, item, options[item, k], 1 + _SAMPLES // kinds, length, best, seeds,
            )  # fmt: skip
    for turn in range(BEST + 1):
        # Each of the best few coarsely, then the best of them finely.
        k, first_step, last_step = (turn, 0.25, 0.02) if turn < BEST else (0, 0.01, 0.001)
        if best[k, 0] < np.inf and best[0, 0] > 0.0:
            _descend(
                fields, shapes, tie, offset, period, phase, places, chosen, boxes,
                weight, near, item, best[k], length, first_step, last_step, seeds,
            )  # fmt: skip
            if best[k, 0] < best[0, 0]:
                for column in range(4):
                    best[0, column], best[k, column] = best[k, column], best[0, column]
    if best[0, 0] < np.inf:
        chosen[item], places[item, 0], places[item, 1] = int(best[0, 1]), best[0, 2], best[0, 3]
        enter_box(shapes, places, chosen, boxes, item)


@fast
def _together(
    fields: Fields, moved: Floats, chosen: Ints, weight: Singles,
    members: Ints, count: int, limit: float,
) -> float:  # fmt: skip
    """Weighted severity of what is tied to a phase, against each other and all else."""
    total = 0.0
    for k in range(count):
        one = members[k]
        for other in range(len(chosen)):
            is_member = False
            for j in range(k + 1):
                is_member |= members[j] == other
            if is_member:
                continue
            found = overlap(
                fields, chosen[other], chosen[one],
                moved[one, 0] - moved[other, 0], moved[one, 1] - moved[other, 1], False,
            )  # fmt: skip
            if found > 0.0:
                total += found * float(weight[one, other])
                if total >= limit:
                    return total
    return total


@fast
def _bound_to(tie: Ints, chosen: Ints, axis: int, number: int, members: Ints) -> int:
    """Fill `members` with the items tied to a phase; how many."""
    count = 0
    for item in range(len(members)):
        if tie[chosen[item], axis] == number:
            members[count] = item
            count += 1
    return count


@fast
def _shifted(
    shapes: Floats, offset: Floats, places: Floats, chosen: Ints, members: Ints, count: int,
    axis: int, before: float, phase: float, step: float, length: float, moved: Floats,
) -> bool:  # fmt: skip
    """Where what is tied to a phase lies once that has moved; whether all of it finds a place."""
    fits = True
    for k in range(count):
        item = members[k]
        own = shapes[chosen[item]]
        low, high = own[0], min(length - own[1], own[MOST_X])
        if axis == 1:
            column = range_of(own, places[item, 1])
            low, high = own[column], own[column + 1]
        at = phase - offset[chosen[item], axis]
        near_to = places[item, axis] + phase - before
        moved[item, axis] = place_on(at, step, low, high, near_to)
        fits &= not np.isnan(moved[item, axis])
    return fits


@fast
def _shift(
    fields: Fields, shapes: Floats, tie: Ints, offset: Floats,
    period: Floats, phase: Floats, free: Ints, axes: Ints, places: Floats, chosen: Ints,
    boxes: Floats, severity: Singles, weight: Singles, worst: Singles, near: Ints, moved: Floats,
    kept: Floats, members: Ints, length: float, seeds: Seeds,
) -> None:  # fmt: skip
    """Move one phase, and all that is tied to it, to the best of some places."""
    number = int(random(seeds) * len(phase))
    if not free[number]:
        return
    axis = axes[number]
    count = _bound_to(tie, chosen, axis, number, members)
    for item in range(len(chosen)):
        moved[item, 0], moved[item, 1] = places[item, 0], places[item, 1]
    least = _together(fields, moved, chosen, weight, members, count, np.inf)
    found, step = phase[number], period[number]
    for trial in range(_SHIFTS if least > 0.0 else 0):
        part = 0.5 ** (trial // 3)
        value = phase[number] + np.rint((random(seeds) - 0.5) * part * step)
        fits = _shifted(
            shapes, offset, places, chosen, members, count, axis, phase[number], value, step,
            length, moved,
        )  # fmt: skip
        if not fits:
            continue
        total = _together(fields, moved, chosen, weight, members, count, least)
        if total < least:
            least, found = total, value
            for k in range(count):
                kept[members[k], axis] = moved[members[k], axis]
    if found == phase[number]:
        return
    phase[number] = found
    for k in range(count):
        places[members[k], axis] = kept[members[k], axis]
        enter_box(shapes, places, chosen, boxes, members[k])
    for k in range(count):
        measure(
            fields, places, chosen, boxes, severity, worst, near, members[k]
        )  # fmt: skip


@fast
def _copy_phase(phase: Floats, to_phase: Floats) -> None:
    for number in range(len(phase)):
        to_phase[number] = phase[number]


@fast
def separate_tied(
    fields: Fields, shapes: Floats, options: Ints, tie: Ints,
    offset: Floats, period: Floats, phase: Floats, free: Ints, axes: Ints, places: Floats,
    chosen: Ints, weight: Singles, length: float, best_places: Floats, best_chosen: Ints,
    best_phase: Floats, record: Floats, sweeps: int, patience: int, strikes: int, seeds: Seeds,
    scratch: Scratch, moved: Floats, kept: Floats, members: Ints,
) -> int:  # fmt: skip
    """As `kernels.separate`: 1 once nothing overlaps, 2 if stuck, else 0.

    `moved` and `kept` (items + obstacles, 2) and `members` (items,) are room for moving a phase.
    """
    items = len(options)
    near, order, boxes = scratch.near, scratch.order, scratch.boxes
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
        count = colliding(worst, order, seeds)
        for k in range(count):
            item = order[k]
            if worst[0, item] > 0.0:
                _search(
                    fields, shapes, options, tie, offset, period, phase, places,
                    chosen, boxes, weight[item], near, item, length, scratch.best, seeds,
                )  # fmt: skip
                measure(
                    fields, places, chosen, boxes, severity, worst, near, item
                )  # fmt: skip
        _shift(
            fields, shapes, tie, offset, period, phase, free, axes, places, chosen,
            boxes, severity, weight, worst, near, moved, kept, members, length, seeds,
        )  # fmt: skip
        total = total_severity(severity, worst, items)
        if total < record[0]:
            record[0] = total
            copy_layout(places, chosen, best_places, best_chosen)
            _copy_phase(phase, best_phase)
        if total == 0.0:
            return 1
        reweigh(severity, weight, worst, items)
        if is_struck(record, total, patience):
            copy_layout(best_places, best_chosen, places, chosen)
            _copy_phase(best_phase, phase)
            is_measured = False
            if record[3] >= strikes:
                return 2
    return 0
