"""Places that an item may be moved to, drawn at random, compiled. Arrays are as in `bundles`."""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Floats, Seeds
from nesting.solver.overlap.severity import fast


@fast
def random(seeds: Seeds) -> float:
    """A number from 0 to 1, below 1 (splitmix64: Steele, Lea, Flood 2014)."""
    seeds[0] += np.uint64(0x9E3779B97F4A7C15)
    z = seeds[0]
    z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return float((z ^ (z >> np.uint64(31))) >> np.uint64(11)) * 2.0**-53


@fast
def range_of(shape: Floats, y: float) -> int:
    """Column of the y range that holds y, or else of the nearest."""
    best, nearest = at.RANGES, np.inf
    for r in range(int(shape[at.RANGE_COUNT])):
        low, high = shape[at.RANGES + 2 * r], shape[at.RANGES + 2 * r + 1]
        away = max(low - y, y - high, 0.0)
        if away < nearest:
            best, nearest = at.RANGES + 2 * r, away
    return best


@fast
def within(shape: Floats, column: int, length: float, x: float, y: float) -> tuple[float, float]:
    """A place brought into the strip and into one y range."""
    x = max(shape[at.X_LOW], min(x, length - shape[at.X_REACH], shape[at.MOST_X]))
    return x, max(shape[column], min(y, shape[column + 1]))


@fast
def random_place(shape: Floats, length: float, seeds: Seeds) -> tuple[float, float]:
    """A place anywhere on the strip; ranges count by their extent, fixed ones a little."""
    ranges = int(shape[at.RANGE_COUNT])
    total = 0.0
    for r in range(ranges):
        total += shape[at.RANGES + 2 * r + 1] - shape[at.RANGES + 2 * r] + 0.2 * shape[at.SIDE]
    drawn = random(seeds) * total
    r = 0
    while r < ranges - 1:
        extent = shape[at.RANGES + 2 * r + 1] - shape[at.RANGES + 2 * r] + 0.2 * shape[at.SIDE]
        if drawn < extent:
            break
        drawn -= extent
        r += 1
    low, high = shape[at.RANGES + 2 * r], shape[at.RANGES + 2 * r + 1]
    most = min(length - shape[at.X_REACH], shape[at.MOST_X])
    x = shape[at.X_LOW] + random(seeds) * max(0.0, most - shape[at.X_LOW])
    return x, low + random(seeds) * (high - low)


@fast
def moved_by_turning(old: Floats, own: Floats) -> tuple[float, float]:
    """How far the reference point moves as an item takes another shape.

    Shapes of one item turn about the middles of their boxes.
    """
    x = (old[at.LEFT] + old[at.RIGHT] - own[at.LEFT] - own[at.RIGHT]) / 2
    return x, (old[at.BOTTOM] + old[at.TOP] - own[at.BOTTOM] - own[at.TOP]) / 2


@fast
def scattered(own: Floats, seeds: Seeds) -> tuple[float, float]:
    """A step in any direction, normally distributed, half a shape's shorter side on average."""
    spread = 0.5 * own[at.SIDE] * math.sqrt(-2.0 * math.log(1.0 - random(seeds)))
    turn = 2.0 * math.pi * random(seeds)
    return spread * math.cos(turn), spread * math.sin(turn)


@fast
def place_beside(
    shapes: Floats, shape: int, old: int, x: float, y: float, length: float, seeds: Seeds
) -> tuple[float, float]:  # fmt: skip
    """A place near the one of another shape of the item."""
    own = shapes[shape]
    step_x, step_y = scattered(own, seeds)
    turn_x, turn_y = moved_by_turning(shapes[old], own)
    x += turn_x + step_x
    y += turn_y + step_y
    return within(own, range_of(own, y), length, x, y)


@fast
def keep_best(best: Floats, value: float, shape: int, x: float, y: float) -> None:
    """Enter a candidate among the best few, least value first."""
    k = len(best) - 1
    if value >= best[k, at.VALUE]:
        return
    while k > 0 and best[k - 1, at.VALUE] > value:
        for column in range(4):
            best[k, column] = best[k - 1, column]
        k -= 1
    best[k, at.VALUE], best[k, at.SHAPE], best[k, at.X], best[k, at.Y] = value, shape, x, y
