"""How badly items overlap, compiled.

Severity of a colliding pair is a geometric mean of two measures, times a mean of the pieces'
sizes. The one is the depth in their no-fit polygon (Umetani et al. 2009, International
Transactions in Operational Research 16:661-683). For the other (Gardeyn, Vanden Berghe, Wauters
2025, arXiv:2509.13329) outlines are covered by inscribed circles; the depths of all circle pairs
times the smaller radius are summed, and the root of that is taken. Both have a tail, so that each
collision has a slope. Whether two collide at all is told by their no-fit polygon.

Severities are read off `Fields`, tables that `fields` builds from `circle_overlap`.

- edges (8, total) of no-fit polygons: rows low y, high y, x at y = 0, slope of edges that are not
  level, for the crossing test; rows 4 to 7 x0, y0, x1, y1 of all edges
- pairs (shapes * shapes, 8): box x0, y0, x1, y1; first edge and number for the crossing test, then
  of all edges. The row of a pair (fixed, moved) is fixed * shapes + moved. A number of -1 tells
  that the no-fit polygon is not built yet.
- shapes (shapes, 9 + 2 * ranges): x_low, x_reach, shorter side, box x0, y0, x1, y1, number of y
  ranges, greatest x, then the ends of the ranges
- places (items, 2), chosen (items,) shapes; severity, weight (items, items), symmetric; worst
  (2, items), the greatest severity and weight of each item. Obstacles count as items that come
  last.
- boxes (7, items): x0, y0, x1, y1 where items lie, in the order of x0; the item of each column;
  the column of each item; at the first place of the last row the length of the longest box. So
  what lies near is found among few.
"""

from __future__ import annotations

import math
from functools import partial
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]
Seeds = NDArray[np.uint64]

CONTACT = 2.0
"""Units: outlines that reach less far into each other only touch."""
_UNKNOWN = 1.0
"""Severity of a pair whose table isn't built; above 0, so that the search goes on and comes to need
others."""
INSIDE, NEAR, CROSSED = 1, 2, 3
"""Kinds of a table's cells: in a no-fit polygon, far from its outline, near it or on it; 0 is
outside."""
MOST_X, RANGES = 8, 9
"""Columns of the greatest x and of the first y range in `shapes`."""

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


class Fields(NamedTuple):
    """How badly any two shapes overlap, in tables of n * n cells.

    Attributes
    ----------
    sites : (shapes, shapes, 8) for a fixed and a moved shape that lies at (x, y) from it: where to
        look is (s0 x + s1 y + s2, s3 x + s4 y + s5) cells into table s6, which is -1 if it is not
        built and is set to -2 once it was needed
    wanted : (1,) set to 1 once any was needed that is not built
    frames, cells, values, starts, listed, sides, circles, scales : of all tables, as
        `fields.Field` has them; `starts` and `listed` count through all
    firsts : (tables + 1,) where the sides of each begin
    """

    sites: Floats
    wanted: Ints
    frames: Floats
    cells: NDArray[np.int8]
    values: Singles
    starts: NDArray[np.int32]
    listed: NDArray[np.int32]
    sides: Floats
    circles: Singles
    scales: Floats
    firsts: NDArray[np.int32]


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
def depth_at(sides: Floats, first: int, last: int, least: float, x: float, y: float) -> float:
    """Depth in a no-fit polygon, of sides `first` to `last`; with a tail, so also outside."""
    nearest, crossed = math.inf, 0
    for k in range(first, last):
        side = sides[k]
        crossed += (side[0] <= y) & (side[1] > y) & (x < side[2] + y * side[3])
        x0, y0, ex, ey = side[4] - x, side[5] - y, side[6] - side[4], side[7] - side[5]
        part = min(1.0, max(0.0, -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)))
        u, v = x0 + part * ex, y0 + part * ey
        nearest = min(nearest, u * u + v * v)
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
    x = site[0] * dx + site[1] * dy + site[2]
    y = site[3] * dx + site[4] * dy + site[5]
    size = fields.cells.shape[1]
    if not (x > 0.0 and y > 0.0 and x < size and y < size):
        return 0.0
    field = int(site[6])
    if field < 0:
        site[6] = -2.0
        fields.wanted[0] = 1
        return _UNKNOWN
    column, row = int(x), int(y)
    cell = fields.cells[field, row, column]
    if cell == 0:
        return 0.0
    if cell != INSIDE and not is_rough:
        return _near_edge(fields, field, row, x, y, cell == CROSSED)
    if cell == CROSSED:
        frame = fields.frames[field]
        if not _is_inside(fields, field, row, frame[0] + x * frame[2], frame[1] + y * frame[3]):
            return 0.0
    values = fields.values[field]
    x -= column
    y -= row
    low = values[row, column] + x * (values[row, column + 1] - values[row, column])
    high = values[row + 1, column] + x * (values[row + 1, column + 1] - values[row + 1, column])
    return float(low + y * (high - low))


@fast
def _near_edge(
    fields: Fields, field: int, row: int, column: float, line: float, is_crossed: bool
) -> float:
    """Severity at a place, in cells, near the outline of the no-fit polygon; 0 outside."""
    frame = fields.frames[field]
    x, y = frame[0] + column * frame[2], frame[1] + line * frame[3]
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
        side = sides[fields.listed[k]]
        crossed += (side[0] <= y) & (side[1] > y) & (x < side[2] + y * side[3])
    if crossed & 1 == 0:
        return False
    for k in range(first, last):
        side = sides[fields.listed[k]]
        x0, y0, ex, ey = side[4] - x, side[5] - y, side[6] - side[4], side[7] - side[5]
        part = min(1.0, max(0.0, -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)))
        u, v = x0 + part * ex, y0 + part * ey
        if u * u + v * v < CONTACT * CONTACT:
            return False
    return True


@fast
def _first_from(boxes: Floats, x: float) -> int:
    """The first column whose box begins at x or later."""
    low, high = 0, boxes.shape[1]
    while low < high:
        middle = (low + high) // 2
        if boxes[0, middle] < x:
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
    for column in range(_first_from(boxes, x0 - boxes[6, 0]), _first_from(boxes, x1)):
        other = int(boxes[4, column])
        near[count] = other
        meets = (boxes[2, column] > x0) & (boxes[1, column] < y1)
        meets &= (boxes[3, column] > y0) & (other != item)
        count += 1 if meets else 0
    return count


@fast
def weighed(
    fields: Fields, places: Floats, chosen: Ints, weight: Singles,
    near: Ints, count: int, shape: int, x: float, y: float, limit: float, is_rough: bool,
) -> float:  # fmt: skip
    """Weighted severity of a shape at a place; the sum stops once it reaches the limit."""
    total = 0.0
    for k in range(count):
        other = near[k]
        dx, dy = x - places[other, 0], y - places[other, 1]
        found = overlap(fields, chosen[other], shape, dx, dy, is_rough)
        if found > 0.0:
            total += found * float(weight[other])
            if total >= limit:
                return total
    return total


@fast
def enter_box(shapes: Floats, places: Floats, chosen: Ints, boxes: Floats, item: int) -> None:
    """Renew where an item's box lies, and its column."""
    column, size = int(boxes[5, item]), boxes.shape[1]
    own = shapes[chosen[item]]
    x0 = places[item, 0] + own[3]
    step = -1 if column > 0 and boxes[0, column - 1] > x0 else 1
    while 0 <= column + step < size and step * (x0 - boxes[0, column + step]) > 0.0:
        for row in range(5):
            boxes[row, column] = boxes[row, column + step]
        boxes[5, int(boxes[4, column])] = column
        column += step
    boxes[0, column], boxes[1, column] = x0, places[item, 1] + own[4]
    boxes[2, column], boxes[3, column] = places[item, 0] + own[5], places[item, 1] + own[6]
    boxes[4, column], boxes[5, item] = item, column
    boxes[6, 0] = max(boxes[6, 0], own[5] - own[3])


@fastest
def greatest(table: Singles, item: int) -> float:
    """The greatest number in an item's row."""
    found = np.float32(0.0)
    for other in range(table.shape[1]):
        found = max(found, table[item, other])
    return float(found)


@fast
def measure(
    fields: Fields, places: Floats, chosen: Ints, boxes: Floats,
    severity: Singles, worst: Singles, near: Ints, item: int,
) -> None:  # fmt: skip
    """Renew one item's severities against all others, and what is the worst of each."""
    for other in range(len(chosen)):
        if severity[item, other] > 0.0:
            severity[item, other] = severity[other, item] = 0.0
            worst[0, other] = greatest(severity, other)
    worst[0, item] = 0.0
    column = int(boxes[5, item])
    count = near_items(
        boxes, item, boxes[0, column], boxes[1, column], boxes[2, column], boxes[3, column], near
    )
    for k in range(count):
        other = near[k]
        dx, dy = places[item, 0] - places[other, 0], places[item, 1] - places[other, 1]
        found = overlap(fields, chosen[other], chosen[item], dx, dy, False)
        severity[item, other] = severity[other, item] = found
        worst[0, other] = max(worst[0, other], severity[item, other])
        worst[0, item] = max(worst[0, item], severity[item, other])


@fast
def measure_all(
    fields: Fields, shapes: Floats, places: Floats, chosen: Ints,
    boxes: Floats, severity: Singles, worst: Singles, near: Ints, items: int,
) -> None:  # fmt: skip
    """Renew all boxes and severities; those of obstacles among themselves are none."""
    # Loops, as assignments to slices take a second more to compile.
    for item in range(len(chosen)):
        worst[0, item] = 0.0
        boxes[0, item] = math.inf
        for other in range(len(chosen)):
            severity[item, other] = 0.0
    boxes[6, 0] = 0.0
    for item in range(len(chosen)):
        boxes[5, item] = item
        enter_box(shapes, places, chosen, boxes, item)
    for item in range(items):
        measure(fields, places, chosen, boxes, severity, worst, near, item)
