"""What driving overlap out asks for where items are tied to phases, compiled.

Items go only where their phases let them: along an axis on which they are tied to one of a few
places, along a free one anywhere. After each sweep one phase is moved with all that is tied to it,
to where these are least in the way. Arrays are as in `bundles`.
"""

from __future__ import annotations

import numpy as np

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import (
    BEST,
    Fields,
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
    moved_by_turning,
    random,
    range_of,
)
from nesting.solver.overlap.places import drawn_place, place_near, place_on, places_of
from nesting.solver.overlap.severity import enter_box, fast, measure, near_place, overlap, weighed

_SAMPLES = 75
_MOST_PLACES = 200
"""Where an item is tied on both axes and has no more places than this, all are tried."""
_SHIFTS = 12
"""Places tried for a phase after a sweep."""


@fast
def sample_tied(
    strip: Strip, placed: Placed, weight: Singles, item: int, seeds: Seeds, scratch: Scratch,
    ties: Ties,
) -> None:  # fmt: skip
    """Enter places of all an item's shapes among the best few."""
    options = strip.options
    kinds = 0
    while kinds < options.shape[1] and options[item, kinds] >= 0:
        kinds += 1
    for k in range(kinds):
        if scratch.best[0, at.VALUE] > 0.0:
            _sample(
                strip, placed, weight, item, options[item, k], 1 + _SAMPLES // kinds, seeds,
                scratch, ties,
            )  # fmt: skip


@fast
def _sample(
    strip: Strip, placed: Placed, weight: Singles, item: int, shape: int, samples: int,
    seeds: Seeds, scratch: Scratch, ties: Ties,
) -> None:  # fmt: skip
    """Enter places of a shape among the best few: all of them where they are not too many."""
    own, old, best = strip.shapes[shape], strip.shapes[placed.chosen[item]], scratch.best
    home_x, home_y = placed.places[item, 0], placed.places[item, 1]
    turn_x, turn_y = moved_by_turning(old, own)
    beside_x, beside_y = home_x + turn_x, home_y + turn_y
    begun = int(random(seeds) * 1e6)
    all_places = places_of(own, shape, strip.length, placed.phase, ties)
    scans = 0 < all_places <= _MOST_PLACES
    for sample in range(all_places if scans else samples):
        if sample == 0 and shape == placed.chosen[item]:
            x, y = home_x, home_y
        elif not scans and sample % 3 == 0:
            x, y = place_near(
                own, shape, strip.length, beside_x, beside_y, placed.phase, ties, seeds
            )  # fmt: skip
        else:
            x, y = drawn_place(
                own, shape, strip.length, begun + sample, scans, placed.phase, ties, seeds
            )  # fmt: skip
        if np.isnan(x) or np.isnan(y):
            continue
        count = near_place(own, x, y, 0.0, item, scratch)
        value = weighed(
            strip.fields, placed, weight, scratch.near, count, shape, x, y,
            best[BEST - 1, at.VALUE], False,
        )  # fmt: skip
        keep_best(best, value, shape, x, y)
        if best[0, at.VALUE] == 0.0:
            return


@fast
def _together(
    fields: Fields, chosen: Ints, weight: Singles, count: int, limit: float, scratch: Scratch
) -> float:  # fmt: skip
    """Weighted severity of what is tied to a phase, against each other and all else."""
    moved, total = scratch.moved, 0.0
    for k in range(count):
        one = scratch.members[k]
        for other in range(len(chosen)):
            is_member = False
            for j in range(k + 1):
                is_member |= scratch.members[j] == other
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
def _bound_to(number: int, chosen: Ints, members: Ints, ties: Ties) -> int:
    """Fill `members` with the items tied to a phase; how many."""
    count = 0
    for item in range(len(members)):
        if ties.tie[chosen[item], ties.axes[number]] == number:
            members[count] = item
            count += 1
    return count


@fast
def _shifted(
    strip: Strip, placed: Placed, number: int, to: float, count: int, scratch: Scratch, ties: Ties
) -> bool:  # fmt: skip
    """Where what is tied to a phase lies once that has moved; whether all of it finds a place."""
    fits, axis = True, ties.axes[number]
    for k in range(count):
        item = scratch.members[k]
        own = strip.shapes[placed.chosen[item]]
        low, high = own[at.X_LOW], min(strip.length - own[at.X_REACH], own[at.MOST_X])
        if axis == 1:
            column = range_of(own, placed.places[item, 1])
            low, high = own[column], own[column + 1]
        place = to - ties.offset[placed.chosen[item], axis]
        near_to = placed.places[item, axis] + to - placed.phase[number]
        scratch.moved[item, axis] = place_on(place, ties.period[number], low, high, near_to)
        fits &= not np.isnan(scratch.moved[item, axis])
    return fits


@fast
def shift_phase(
    strip: Strip, placed: Placed, weight: Singles, seeds: Seeds, scratch: Scratch, ties: Ties
) -> None:  # fmt: skip
    """Move one phase, and all that is tied to it, to the best of some places."""
    number = int(random(seeds) * len(placed.phase))
    if not ties.free[number]:
        return
    axis, before, members = ties.axes[number], placed.phase[number], scratch.members
    count = _bound_to(number, placed.chosen, members, ties)
    for item in range(len(placed.chosen)):
        scratch.moved[item, 0], scratch.moved[item, 1] = (
            placed.places[item, 0],
            placed.places[item, 1],
        )
    least = _together(strip.fields, placed.chosen, weight, count, np.inf, scratch)
    found = before
    for trial in range(_SHIFTS if least > 0.0 else 0):
        part = 0.5 ** (trial // 3)
        to = before + np.rint((random(seeds) - 0.5) * part * ties.period[number])
        if not _shifted(strip, placed, number, to, count, scratch, ties):
            continue
        total = _together(strip.fields, placed.chosen, weight, count, least, scratch)
        if total < least:
            least, found = total, to
            for k in range(count):
                scratch.kept[members[k], axis] = scratch.moved[members[k], axis]
    if found == before:
        return
    placed.phase[number] = found
    for k in range(count):
        placed.places[members[k], axis] = scratch.kept[members[k], axis]
        enter_box(strip.shapes, placed, scratch.boxes, members[k])
    for k in range(count):
        measure(strip.fields, placed, scratch, members[k])
