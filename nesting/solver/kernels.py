"""The inner loops of the search for a layout without overlap, compiled.

Severity of a colliding pair (Gardeyn, Vanden Berghe, Wauters 2025, arXiv:2509.13329): outlines
are covered by inscribed circles; the depths of all circle pairs times the smaller radius are
summed, with a tail so that each collision has a slope; the root of that is taken times a mean of
the pieces' sizes. Whether two collide at all is told by their no-fit polygon. Pairs are weighted,
and weights grow while a pair collides (guided local search: Umetani et al. 2009, International
Transactions in Operational Research 16:661-683).

Arrays are packed, as each argument of an inner call costs time:

- edges (8, total): rows low y, high y, x at y = 0, slope of edges that are not level, for the
  crossing test; rows 4 to 7 x0, y0, x1, y1 of all edges, for distances
- pairs (shapes * shapes, 10): box x0, y0, x1, y1; first edge and number for the crossing test,
  then for distances; smallest depth unit; size factor. The row of a pair (fixed, moved) is
  fixed * shapes + moved. A number of -1 tells that the no-fit polygon is not built yet,
  and is set to -2 when it was needed.
- circles (shapes, 3, MOST): x, y, radius
- shapes (shapes, 8 + 2 * ranges): x_low, x_reach, shorter side, box x0, y0, x1, y1, number of y
  ranges, then their ends
- places (items, 2), chosen (items,) shapes; severity, weight (items, items), symmetric
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]
Seeds = NDArray[np.uint64]

CONTACT = 2.0
"""Units: outlines that reach less far into each other only touch."""
RANGES = 8
"""Column of the first y range in `shapes`."""

_NEAR_SAMPLES = 25
_FAR_SAMPLES = 50
_BEST = 3
_PROGRESS = 0.98
_MOST_WEIGHT = 1e6

fast = njit(cache=True, error_model="numpy", fastmath={"reassoc", "nsz", "arcp", "contract"})
fastest = njit(cache=True, error_model="numpy", fastmath=True)
"""For loops over numbers that are finite."""


@fast
def random(seeds: Seeds) -> float:
    """A number from 0 to 1, below 1 (splitmix64: Steele, Lea, Flood 2014)."""
    seeds[0] += np.uint64(0x9E3779B97F4A7C15)
    z = seeds[0]
    z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return float((z ^ (z >> np.uint64(31))) >> np.uint64(11)) * 2.0**-53


@fastest
def _circle_overlap(
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
def _distance(edges: Floats, first: int, count: int, x: float, y: float) -> float:
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
def _is_inside(edges: Floats, first: int, count: int, x: float, y: float) -> bool:
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
    if count >= 0 and not _is_inside(edges, int(pairs[row, 4]), count, dx, dy):
        return 0.0
    total, met = _circle_overlap(circles, fixed, moved, dx, dy, pairs[row, 8])
    if met == 0.0:
        if count < 0:
            pairs[row, 5] = -2.0
            return 0.0
        if _distance(edges, int(pairs[row, 6]), int(pairs[row, 7]), dx, dy) < CONTACT:
            return 0.0
    return math.sqrt(total) * pairs[row, 9]


@fast
def _near(
    pairs: Floats, places: Floats, chosen: Ints, size: int, item: int, shape: int,
    x: float, y: float, reach: float, near: Ints,
) -> int:  # fmt: skip
    """Fill `near` with the items that a shape within `reach` of a place may overlap."""
    count = 0
    for other in range(len(chosen)):
        row = chosen[other] * size + shape
        dx, dy = x - places[other, 0], y - places[other, 1]
        if (
            other != item
            and dx + reach > pairs[row, 0]
            and dx - reach < pairs[row, 2]
            and dy + reach > pairs[row, 1]
            and dy - reach < pairs[row, 3]
        ):
            near[count] = other
            count += 1
    return count


@fast
def _weighed(
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
def _range_of(shape: Floats, y: float) -> int:
    """Column of the y range that holds y, or else of the nearest."""
    best, nearest = RANGES, np.inf
    for r in range(int(shape[7])):
        low, high = shape[RANGES + 2 * r], shape[RANGES + 2 * r + 1]
        away = max(low - y, y - high, 0.0)
        if away < nearest:
            best, nearest = RANGES + 2 * r, away
    return best


@fast
def _within(shape: Floats, column: int, length: float, x: float, y: float) -> tuple[float, float]:
    """A place brought into the strip and into one y range."""
    x = max(shape[0], min(x, length - shape[1]))
    return x, max(shape[column], min(y, shape[column + 1]))


@fast
def _random_place(shape: Floats, length: float, seeds: Seeds) -> tuple[float, float]:
    """A place anywhere on the strip; ranges count by their extent, fixed ones a little."""
    ranges = int(shape[7])
    total = 0.0
    for r in range(ranges):
        total += shape[RANGES + 2 * r + 1] - shape[RANGES + 2 * r] + 0.2 * shape[2]
    drawn = random(seeds) * total
    r = 0
    while r < ranges - 1:
        extent = shape[RANGES + 2 * r + 1] - shape[RANGES + 2 * r] + 0.2 * shape[2]
        if drawn < extent:
            break
        drawn -= extent
        r += 1
    low, high = shape[RANGES + 2 * r], shape[RANGES + 2 * r + 1]
    x = shape[0] + random(seeds) * max(0.0, length - shape[1] - shape[0])
    return x, low + random(seeds) * (high - low)


@fast
def _keep(best: Floats, value: float, shape: int, x: float, y: float) -> None:
    """Enter a candidate among the best few, least value first."""
    k = len(best) - 1
    if value >= best[k, 0]:
        return
    while k > 0 and best[k - 1, 0] > value:
        best[k] = best[k - 1]
        k -= 1
    best[k, 0], best[k, 1], best[k, 2], best[k, 3] = value, shape, x, y


@fast
def _descend(
    edges: Floats, pairs: Floats, circles: Singles, shapes: Floats, places: Floats, chosen: Ints,
    weight: Singles, near: Ints, item: int, candidate: Floats, length: float,
    first_step: float, last_step: float, seeds: Seeds,
) -> None:  # fmt: skip
    """Move a candidate (value, shape, x, y) downhill along both axes and both diagonals."""
    shape = int(candidate[1])
    own = shapes[shape]
    column = _range_of(own, candidate[3])
    side = own[2]
    step_x, step_y, least = first_step * side, first_step * side, last_step * side
    if own[column + 1] - own[column] < 1.0:
        step_y = 0.0
    reach, size = side, len(circles)
    home_x, home_y = candidate[2], candidate[3]
    count = _near(pairs, places, chosen, size, item, shape, home_x, home_y, 2 * reach, near)
    while (step_x >= least or step_y >= least) and candidate[0] > 0.0:
        axis = int(random(seeds) * 4) if step_y > 0.0 else 0
        ux = step_x if axis != 1 else 0.0
        uy = 0.0 if axis == 0 else (-step_y if axis == 3 else step_y)
        if abs(candidate[2] - home_x) > reach or abs(candidate[3] - home_y) > reach:
            home_x, home_y = candidate[2], candidate[3]
            count = _near(pairs, places, chosen, size, item, shape, home_x, home_y, 2 * reach, near)
        moved = False
        from_x, from_y = candidate[2], candidate[3]
        for sign in (1.0, -1.0):
            x, y = _within(own, column, length, from_x + sign * ux, from_y + sign * uy)
            value = _weighed(
                edges, pairs, circles, places, chosen, weight, near, count, shape, x, y,
                candidate[0],
            )  # fmt: skip
            if value < candidate[0]:
                candidate[0], candidate[2], candidate[3] = value, x, y
                moved = True
        factor = 1.1 if moved else 0.5
        if axis != 1:
            step_x *= factor
        if axis != 0:
            step_y *= factor
        if step_x > reach or step_y > reach:
            step_x, step_y = min(step_x, reach), min(step_y, reach)


@fast
def _search(
    edges: Floats, pairs: Floats, circles: Singles, shapes: Floats, options: Ints, places: Floats,
    chosen: Ints, weight: Singles, near: Ints, item: int, length: float, seeds: Seeds,
) -> tuple[int, float, float]:  # fmt: skip
    """The best shape and place found for one item against all others."""
    count = len(chosen) - 1
    best = np.full((_BEST, 4), np.inf)
    x, y, shape = places[item, 0], places[item, 1], chosen[item]
    for k in range(count):
        near[k] = k if k < item else k + 1
    value = _weighed(
        edges, pairs, circles, places, chosen, weight, near, count, shape, x, y, np.inf
    )
    _keep(best, value, shape, x, y)
    kinds = 0
    while kinds < options.shape[1] and options[item, kinds] >= 0:
        kinds += 1
    for sample in range(_NEAR_SAMPLES + _FAR_SAMPLES):
        if kinds > 1:
            shape = options[item, int(random(seeds) * kinds)]
        own = shapes[shape]
        if sample < _NEAR_SAMPLES:
            spread = 0.5 * own[2] * math.sqrt(-2.0 * math.log(1.0 - random(seeds)))
            turn = 2.0 * math.pi * random(seeds)
            # Shapes of one item turn about the middles of their boxes.
            old = shapes[chosen[item]]
            middle_x = places[item, 0] + (old[3] + old[5] - own[3] - own[5]) / 2
            middle_y = places[item, 1] + (old[4] + old[6] - own[4] - own[6]) / 2
            x, y = middle_x + spread * math.cos(turn), middle_y + spread * math.sin(turn)
            x, y = _within(own, _range_of(own, y), length, x, y)
        else:
            x, y = _random_place(own, length, seeds)
        value = _weighed(
            edges, pairs, circles, places, chosen, weight, near, count, shape, x, y,
            best[_BEST - 1, 0],
        )  # fmt: skip
        _keep(best, value, shape, x, y)
        if best[0, 0] == 0.0:
            break
    for k in range(_BEST):
        if best[k, 0] < np.inf and best[0, 0] > 0.0:
            _descend(
                edges, pairs, circles, shapes, places, chosen, weight, near, item, best[k],
                length, 0.25, 0.02, seeds,
            )  # fmt: skip
            if best[k, 0] < best[0, 0]:
                for column in range(4):
                    best[0, column], best[k, column] = best[k, column], best[0, column]
    _descend(
        edges, pairs, circles, shapes, places, chosen, weight, near, item, best[0], length,
        0.01, 0.001, seeds,
    )  # fmt: skip
    return int(best[0, 1]), best[0, 2], best[0, 3]


@fast
def measure(
    edges: Floats, pairs: Floats, circles: Singles, places: Floats, chosen: Ints,
    severity: Singles, item: int,
) -> None:  # fmt: skip
    """Renew one item's severities against all others."""
    for other in range(len(chosen)):
        if other != item:
            dx, dy = places[item, 0] - places[other, 0], places[item, 1] - places[other, 1]
            found = overlap(edges, pairs, circles, chosen[other], chosen[item], dx, dy)
            severity[item, other] = severity[other, item] = found


@fast
def measure_all(
    edges: Floats, pairs: Floats, circles: Singles, places: Floats, chosen: Ints,
    severity: Singles, items: int,
) -> float:  # fmt: skip
    """Renew all severities and give their sum; fixed things after the items don't count."""
    severity[:] = 0.0
    for item in range(items):
        measure(edges, pairs, circles, places, chosen, severity, item)
    return float(severity[:items].sum())


@fast
def _reweigh(severity: Singles, weight: Singles, items: int) -> None:
    """Make pairs that collide weigh more, the worst most, and others less again."""
    worst = severity.max()
    for a in range(items):
        for b in range(len(severity)):
            if severity[a, b] > 0.0:
                grown = weight[a, b] * (1.2 + 0.8 * severity[a, b] / worst)
                weight[a, b] = min(grown, _MOST_WEIGHT)
            else:
                weight[a, b] = max(1.0, 0.95 * weight[a, b])


@fast
def separate(
    edges: Floats, pairs: Floats, circles: Singles, shapes: Floats, options: Ints, places: Floats,
    chosen: Ints, severity: Singles, weight: Singles, length: float, best_places: Floats,
    best_chosen: Ints, record: Floats, sweeps: int, patience: int, strikes: int, seeds: Seeds,
) -> int:  # fmt: skip
    """Up to so many sweeps over all colliding items: 1 once nothing overlaps, 2 if stuck, else 0.

    `record` holds, from one call to the next: the least sum of severities, the one that the
    present strike has to beat, sweeps since it was, and strikes so far. The layout with the
    least sum is kept in `best_places` and `best_chosen`, and brought back at each strike.
    """
    items = len(options)
    near = np.empty(len(chosen), dtype=np.int64)
    order = np.empty(items, dtype=np.int64)
    for _ in range(sweeps):
        count = 0
        for item in range(items):
            if severity[item].max() > 0.0:
                order[count] = item
                count += 1
        for k in range(count - 1, 0, -1):
            swap = int(random(seeds) * (k + 1))
            order[k], order[swap] = order[swap], order[k]
        for k in range(count):
            item = order[k]
            if severity[item].max() == 0.0:
                continue
            shape, x, y = _search(
                edges, pairs, circles, shapes, options, places, chosen, weight[item], near, item,
                length, seeds,
            )  # fmt: skip
            chosen[item], places[item, 0], places[item, 1] = shape, x, y
            measure(edges, pairs, circles, places, chosen, severity, item)
        total = float(severity[:items].sum())
        if total < record[0]:
            record[0] = total
            best_places[:] = places
            best_chosen[:] = chosen
        if total == 0.0:
            return 1
        _reweigh(severity, weight, items)
        record[2] += 1.0
        if total < _PROGRESS * record[1]:
            record[1] = total
            record[2] = 0.0
        elif record[2] >= patience:
            record[3] += 1.0
            record[2] = 0.0
            record[1] = record[0]
            places[:] = best_places
            chosen[:] = best_chosen
            measure_all(edges, pairs, circles, places, chosen, severity, items)
            if record[3] >= strikes:
                return 2
    return 0
