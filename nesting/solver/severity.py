"""How badly items overlap, compiled.

Severity of a colliding pair (Gardeyn, Vanden Berghe, Wauters 2025, arXiv:2509.13329): outlines
are covered by inscribed circles; the depths of all circle pairs times the smaller radius are
summed, with a tail so that each collision has a slope; the root of that is taken times a mean of
the pieces' sizes. Whether two collide at all is told by their no-fit polygon.

Arrays are packed, as each argument of an inner call costs time:

- edges (8, total): rows low y, high y, x at y = 0, slope of edges that are not level, for the
  crossing test; rows 4 to 7 x0, y0, x1, y1 of all edges, for distances
- pairs (shapes * shapes, 10): box x0, y0, x1, y1; first edge and number for the crossing test,
  then for distances; smallest depth unit; size factor. The row of a pair (fixed, moved) is
  fixed * shapes + moved. A number of -1 tells that the no-fit polygon is not built yet,
  and is set to -2 when it was needed.
- circles (shapes, 3, MOST): x, y, radius
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

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]
Seeds = NDArray[np.uint64]

CONTACT = 2.0
"""Units: outlines that reach less far into each other only touch."""
_SLIGHT = 100
"""Circles that reach no further into each other may belong to outlines that touch; in units of
contact, so that their own rounding does not count."""
MOST_X, RANGES = 8, 9
"""Columns of the greatest x and of the first y range in `shapes`."""

# Called functions become part of their callers: else a process that has just compiled them and one
# that loads them would run differently optimised copies, whose sums differ. It is faster, too.
_kernel = partial(njit, cache=True, forceinline=True, error_model="numpy")
fast = _kernel(fastmath={"reassoc", "nsz", "arcp", "contract"})
fastest = _kernel(fastmath=True)
"""For loops over numbers that are finite."""


@fastest
def circle_overlap(
    circles: Singles, fixed: int, moved: int, dx: float, dy: float, eps: float
) -> tuple[float, float]:
    """The summed overlap of circles, and the summed depth of those that meet.

    (A maximum in place of the second sum would keep the loop from being vectorised.)
    """
    x, y, unit = np.float32(dx), np.float32(dy), np.float32(eps)
    total, met = np.float32(0.0), np.float32(0.0)
    for a in range(circles.shape[2]):
        ax, ay, ar = circles[fixed, 0, a] - x, circles[fixed, 1, a] - y, circles[fixed, 2, a]
        if ar == 0.0:
            break
        for b in range(circles.shape[2]):
            u, v, br = ax - circles[moved, 0, b], ay - circles[moved, 1, b], circles[moved, 2, b]
            depth = ar + br - math.sqrt(u * u + v * v)
            least = min(ar, br)
            met += max(depth, np.float32(0.0))
            tail = unit * unit / (unit + max(unit - depth, np.float32(0.0)))
            total += max(depth, tail) * least
    return float(total), float(met)


@fastest
def distance(edges: Floats, first: int, count: int, x: float, y: float) -> float:
    """Distance of a place to the nearest edge."""
    nearest = 1e300
    for e in range(first, first + count):
        x0, y0 = edges[4, e] - x, edges[5, e] - y
        ex, ey = edges[6, e] - edges[4, e], edges[7, e] - edges[5, e]
        part = min(1.0, max(0.0, -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)))
        u, v = x0 + part * ex, y0 + part * ey
        nearest = min(nearest, u * u + v * v)
    return math.sqrt(nearest)


@fastest
def is_inside(edges: Floats, first: int, count: int, x: float, y: float) -> bool:
    """Whether a level ray from a place crosses the edges an odd number of times."""
    crossed = 0.0
    for k in range(count):
        e = first + k
        # Products of ones and noughts are vectorised where conditions are not.
        begun = 1.0 if edges[0, e] <= y else 0.0
        open_above = 1.0 if edges[1, e] > y else 0.0
        beyond = 1.0 if x < edges[2, e] + y * edges[3, e] else 0.0
        crossed += begun * open_above * beyond
    return int(crossed) & 1 == 1


@fast
def overlap(
    edges: Floats, pairs: Floats, circles: Singles, fixed: int, moved: int, dx: float, dy: float
) -> float:
    """Severity of a shape that lies at (dx, dy) from another; 0 if they don't overlap."""
    row = fixed * len(circles) + moved
    if dx <= pairs[row, 0] or dy <= pairs[row, 1] or dx >= pairs[row, 2] or dy >= pairs[row, 3]:
        return 0.0
    count = int(pairs[row, 5])
    if count >= 0 and not is_inside(edges, int(pairs[row, 4]), count, dx, dy):
        return 0.0
    total, met = circle_overlap(circles, fixed, moved, dx, dy, pairs[row, 8])
    if count < 0 and met == 0.0:
        pairs[row, 5] = -2.0
        return 0.0
    if count >= 0 and met < _SLIGHT * CONTACT:
        depth = distance(edges, int(pairs[row, 6]), int(pairs[row, 7]), dx, dy)
        if depth < CONTACT:
            return 0.0
    return math.sqrt(total) * float(pairs[row, 9])


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
    edges: Floats, pairs: Floats, circles: Singles, places: Floats, chosen: Ints, weight: Singles,
    near: Ints, count: int, shape: int, x: float, y: float, limit: float,
) -> float:  # fmt: skip
    """Weighted severity of a shape at a place; the sum stops once it reaches the limit."""
    total = 0.0
    for k in range(count):
        other = near[k]
        found = overlap(
            edges, pairs, circles, chosen[other], shape, x - places[other, 0], y - places[other, 1]
        )
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
    edges: Floats, pairs: Floats, circles: Singles, places: Floats, chosen: Ints, boxes: Floats,
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
        found = overlap(edges, pairs, circles, chosen[other], chosen[item], dx, dy)
        severity[item, other] = severity[other, item] = found
        worst[0, other] = max(worst[0, other], severity[item, other])
        worst[0, item] = max(worst[0, item], severity[item, other])


@fast
def measure_all(
    edges: Floats, pairs: Floats, circles: Singles, shapes: Floats, places: Floats, chosen: Ints,
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
        measure(edges, pairs, circles, places, chosen, boxes, severity, worst, near, item)
