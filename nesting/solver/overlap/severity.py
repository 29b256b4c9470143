"""How badly items overlap, compiled.

Severity of a colliding pair is a geometric mean of two measures, times a mean of the pieces'
sizes. The one is the depth in their no-fit polygon (Umetani et al. 2009, International
Transactions in Operational Research 16:661-683). For the other (Gardeyn, Vanden Berghe, Wauters
2025, arXiv:2509.13329) outlines are covered by inscribed circles; the depths of all circle pairs
times the smaller radius are summed, and the root of that is taken. Both have a tail, so that each
collision has a slope. Whether two collide at all is told by their no-fit polygon.

Severities are read off `Fields`, tables that `fields` builds from `circle_overlap`.

Columns and rows are named in `columns`, arrays that belong together in `bundles`.
"""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from numba import njit

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Fields, Floats, Ints, Placed, Scratch, Singles

CONTACT = 2.0
"""Units: outlines that reach less far into each other only touch."""
_UNKNOWN = 1.0
"""Severity of a pair whose table isn't built; above 0, so that the search goes on and comes to need
others."""
INSIDE, NEAR, CROSSED = 1, 2, 3
"""Kinds of a table's cells: in a no-fit polygon, far from its outline, near it or on it; 0 is
outside."""

# Called functions become part of their callers: else a process that has just compiled them and one
# that loads them would run differently optimised copies, whose sums differ. It is faster, too.
_kernel = partial(njit, cache=True, forceinline=True, error_model="numpy")
_SUMS = {"reassoc", "nsz", "arcp", "contract"}
owning = _kernel(fastmath=_SUMS)
"""For kernels that make arrays."""
# References to arrays are not counted: counting took half of a search's time.
fast = _kernel(fastmath=_SUMS, _nrt=False)
"""For kernels that only use arrays of their caller."""
fastest = _kernel(fastmath=True, _nrt=False)
"""For loops of such kernels over numbers that are finite."""


@fastest
def circle_overlap(circles: Singles, dx: float, dy: float, least: float) -> float:
    """The summed overlap of the circles (2, 3, most) x, y, radius of two shapes."""
    x, y, unit = np.float32(dx), np.float32(dy), np.float32(least)
    total = np.float32(0.0)
    for a in range(circles.shape[2]):
        ax, ay, ar = circles[0, 0, a] - x, circles[0, 1, a] - y, circles[0, 2, a]
        if ar == 0.0:
            break
        for b in range(circles.shape[2]):
            u, v, br = ax - circles[1, 0, b], ay - circles[1, 1, b], circles[1, 2, b]
            depth = ar + br - math.sqrt(u * u + v * v)
            tail = unit * unit / (unit + max(unit - depth, np.float32(0.0)))
            total += max(depth, tail) * min(ar, br)
    return float(total)


@fast
def is_crossed(side: Floats, x: float, y: float) -> bool:
    """Whether a ray from a place along the strip crosses a side."""
    is_level = (side[at.LOW_Y] <= y) & (side[at.HIGH_Y] > y)
    return bool(is_level & (x < side[at.X_AT_ZERO] + y * side[at.SLOPE]))


@fast
def _square_away(side: Floats, x: float, y: float) -> float:
    """The square of a place's distance from a side."""
    x0, y0 = side[at.X0] - x, side[at.Y0] - y
    ex, ey = side[at.X1] - side[at.X0], side[at.Y1] - side[at.Y0]
    part = min(1.0, max(0.0, -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)))
    u, v = x0 + part * ex, y0 + part * ey
    return float(u * u + v * v)


@fast
def depth_at(sides: Floats, first: int, last: int, least: float, x: float, y: float) -> float:
    """Depth in a no-fit polygon, of sides `first` to `last`; with a tail, so also outside."""
    nearest, crossed = math.inf, 0
    for k in range(first, last):
        crossed += is_crossed(sides[k], x, y)
        nearest = min(nearest, _square_away(sides[k], x, y))
    depth = math.sqrt(nearest) if crossed & 1 == 1 else -math.sqrt(nearest)
    return depth if depth >= least else least * least / (2 * least - depth)


@fast
def severity_at(
    circles: Singles, sides: Floats, first: int, last: int, scale: Floats, x: float, y: float
) -> float:  # fmt: skip
    """Severity of a shape at (x, y) beside another, wherever: also where they don't overlap.

    `first` to `last` are the sides of their no-fit polygon. `scale` is the depth below which
    severity levels off, and the size factor.
    """
    by_circles = math.sqrt(circle_overlap(circles, x, y, scale[0]))
    return math.sqrt(by_circles * depth_at(sides, first, last, scale[0], x, y)) * float(scale[1])


@fast
def overlap(
    fields: Fields, fixed: int, moved: int, dx: float, dy: float, is_rough: bool
) -> float:  # fmt: skip
    """Severity of a shape that lies at (dx, dy) from another; 0 if they don't overlap.

    Roughly, it is read off the table near the outline of the no-fit polygon too.
    """
    site = fields.sites[fixed, moved]
    x = site[at.X_BY_X] * dx + site[at.X_BY_Y] * dy + site[at.X_FROM]
    y = site[at.Y_BY_X] * dx + site[at.Y_BY_Y] * dy + site[at.Y_FROM]
    size = fields.cells.shape[1]
    if not (x > 0.0 and y > 0.0 and x < size and y < size):
        return 0.0
    field = int(site[at.TABLE])
    if field < 0:
        site[at.TABLE] = -2.0
        fields.wanted[0] = 1
        return _UNKNOWN
    column, row = int(x), int(y)
    cell = fields.cells[field, row, column]
    if cell == 0:
        return 0.0
    if cell != INSIDE and not is_rough:
        return _near_edge(fields, field, row, x, y, cell == CROSSED)
    if cell == CROSSED:
        place_x, place_y = place_of(fields.frames[field], x, y)
        if not _is_inside(fields, field, row, place_x, place_y):
            return 0.0
    values = fields.values[field]
    x -= column
    y -= row
    low = values[row, column] + x * (values[row, column + 1] - values[row, column])
    high = values[row + 1, column] + x * (values[row + 1, column + 1] - values[row + 1, column])
    return float(low + y * (high - low))


@fast
def place_of(frame: Floats, column: float, line: float) -> tuple[float, float]:
    """The place that lies so many cells from where a grid begins."""
    x = frame[at.FRAME_X] + column * frame[at.CELL_LONG]
    return x, frame[at.FRAME_Y] + line * frame[at.CELL_HIGH]


@fast
def _near_edge(
    fields: Fields, field: int, row: int, column: float, line: float, is_crossed: bool
) -> float:
    """Severity at a place, in cells, near the outline of the no-fit polygon; 0 outside."""
    x, y = place_of(fields.frames[field], column, line)
    if is_crossed and not _is_inside(fields, field, row, x, y):
        return 0.0
    first, last = fields.firsts[field], fields.firsts[field + 1]
    return severity_at(fields.circles[field], fields.sides, first, last, fields.scales[field], x, y)


@fast
def _is_inside(fields: Fields, field: int, row: int, x: float, y: float) -> bool:
    """Whether a place in a row of cells lies inside the no-fit polygon, by more than contact."""
    sides = fields.sides
    first, last = fields.starts[field, row], fields.starts[field, row + 1]
    crossed = 0
    for k in range(first, last):
        crossed += is_crossed(sides[fields.listed[k]], x, y)
    if crossed & 1 == 0:
        return False
    for k in range(first, last):
        if _square_away(sides[fields.listed[k]], x, y) < CONTACT * CONTACT:
            return False
    return True


@fast
def _first_from(boxes: Floats, x: float) -> int:
    """The first column whose box begins at x or later."""
    low, high = 0, boxes.shape[1]
    while low < high:
        middle = (low + high) // 2
        if boxes[at.BOX_X0, middle] < x:
            low = middle + 1
        else:
            high = middle
    return low


@fast
def near_items(
    boxes: Floats, item: int, x0: float, y0: float, x1: float, y1: float, near: Ints
) -> int:  # fmt: skip
    """Fill `near` with the other items whose boxes meet a given box; how many."""
    count = 0
    for column in range(_first_from(boxes, x0 - boxes[at.LONGEST, 0]), _first_from(boxes, x1)):
        other = int(boxes[at.ITEM, column])
        near[count] = other
        meets = (boxes[at.BOX_X1, column] > x0) & (boxes[at.BOX_Y0, column] < y1)
        meets &= (boxes[at.BOX_Y1, column] > y0) & (other != item)
        count += 1 if meets else 0
    return count


@fast
def near_place(
    own: Floats, x: float, y: float, room: float, item: int, scratch: Scratch
) -> int:  # fmt: skip
    """Fill `scratch.near` with the other items near a shape at a place, to within some room."""
    return near_items(
        scratch.boxes, item, x + own[at.LEFT] - room, y + own[at.BOTTOM] - room,
        x + own[at.RIGHT] + room, y + own[at.TOP] + room, scratch.near,
    )  # fmt: skip


@fast
def weighed(
    fields: Fields, placed: Placed, weight: Singles, near: Ints, count: int, shape: int,
    x: float, y: float, limit: float, is_rough: bool,
) -> float:  # fmt: skip
    """Weighted severity of a shape at a place; the sum stops once it reaches the limit."""
    total = 0.0
    for k in range(count):
        other = near[k]
        dx, dy = x - placed.places[other, 0], y - placed.places[other, 1]
        found = overlap(fields, placed.chosen[other], shape, dx, dy, is_rough)
        if found > 0.0:
            total += found * float(weight[other])
            if total >= limit:
                return total
    return total


@fast
def enter_box(shapes: Floats, placed: Placed, boxes: Floats, item: int) -> None:
    """Renew where an item's box lies, and its column."""
    column, size = int(boxes[at.COLUMN, item]), boxes.shape[1]
    own, x, y = shapes[placed.chosen[item]], placed.places[item, 0], placed.places[item, 1]
    x0 = x + own[at.LEFT]
    step = -1 if column > 0 and boxes[at.BOX_X0, column - 1] > x0 else 1
    while 0 <= column + step < size and step * (x0 - boxes[at.BOX_X0, column + step]) > 0.0:
        for row in range(at.COLUMN):
            boxes[row, column] = boxes[row, column + step]
        boxes[at.COLUMN, int(boxes[at.ITEM, column])] = column
        column += step
    boxes[at.BOX_X0, column], boxes[at.BOX_Y0, column] = x0, y + own[at.BOTTOM]
    boxes[at.BOX_X1, column], boxes[at.BOX_Y1, column] = x + own[at.RIGHT], y + own[at.TOP]
    boxes[at.ITEM, column], boxes[at.COLUMN, item] = item, column
    boxes[at.LONGEST, 0] = max(boxes[at.LONGEST, 0], own[at.RIGHT] - own[at.LEFT])


@fastest
def greatest(table: Singles, item: int) -> float:
    """The greatest number in an item's row."""
    found = np.float32(0.0)
    for other in range(table.shape[1]):
        found = max(found, table[item, other])
    return float(found)


@fast
def measure(fields: Fields, placed: Placed, scratch: Scratch, item: int) -> None:
    """Renew one item's severities against all others, and what is the worst of each."""
    places, chosen = placed.places, placed.chosen
    boxes, severity, worst = scratch.boxes, scratch.severity, scratch.worst
    for other in range(len(chosen)):
        if severity[item, other] > 0.0:
            severity[item, other] = severity[other, item] = 0.0
            worst[at.WORST, other] = greatest(severity, other)
    worst[at.WORST, item] = 0.0
    column = int(boxes[at.COLUMN, item])
    count = near_items(
        boxes, item, boxes[at.BOX_X0, column], boxes[at.BOX_Y0, column], boxes[at.BOX_X1, column],
        boxes[at.BOX_Y1, column], scratch.near,
    )  # fmt: skip
    for k in range(count):
        other = scratch.near[k]
        dx, dy = places[item, 0] - places[other, 0], places[item, 1] - places[other, 1]
        found = overlap(fields, chosen[other], chosen[item], dx, dy, False)
        severity[item, other] = severity[other, item] = found
        worst[at.WORST, other] = max(worst[at.WORST, other], severity[item, other])
        worst[at.WORST, item] = max(worst[at.WORST, item], severity[item, other])


@fast
def measure_all(
    fields: Fields, shapes: Floats, placed: Placed, scratch: Scratch, items: int
) -> None:  # fmt: skip
    """Renew all boxes and severities; those of obstacles among themselves are none."""
    # Loops, as assignments to slices take a second more to compile.
    boxes = scratch.boxes
    for item in range(len(placed.chosen)):
        scratch.worst[at.WORST, item] = 0.0
        boxes[at.BOX_X0, item] = math.inf
        for other in range(len(placed.chosen)):
            scratch.severity[item, other] = 0.0
    boxes[at.LONGEST, 0] = 0.0
    for item in range(len(placed.chosen)):
        boxes[at.COLUMN, item] = item
        enter_box(shapes, placed, boxes, item)
    for item in range(items):
        measure(fields, placed, scratch, item)
