"""Places that an item may be moved to, drawn at random, compiled. Arrays are as in `severity`."""

from __future__ import annotations

import math

import numpy as np

from nesting.solver.overlap.severity import MOST_X, RANGES, Floats, Seeds, fast


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
    best, nearest = RANGES, np.inf
    for r in range(int(shape[7])):
        low, high = shape[RANGES + 2 * r], shape[RANGES + 2 * r + 1]
        away = max(low - y, y - high, 0.0)
        if away < nearest:
            best, nearest = RANGES + 2 * r, away
    return best


@fast
def within(shape: Floats, column: int, length: float, x: float, y: float) -> tuple[float, float]:
    """A place brought into the strip and into one y range."""
    x = max(shape[0], min(x, length - shape[1], shape[MOST_X]))
    return x, max(shape[column], min(y, shape[column + 1]))


@fast
def random_place(shape: Floats, length: float, seeds: Seeds) -> tuple[float, float]:
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
    most = min(length - shape[1], shape[MOST_X])
    x = shape[0] + random(seeds) * max(0.0, most - shape[0])
    return x, low + random(seeds) * (high - low)


@fast
def place_beside(
    shapes: Floats, shape: int, old: int, x: float, y: float, length: float, seeds: Seeds
) -> tuple[float, float]:  # fmt: skip
    """A place near the one of another shape of the item, normally distributed.

    Shapes of one item turn about the middles of their boxes.
    """
    own, before = shapes[shape], shapes[old]
    spread = 0.5 * own[2] * math.sqrt(-2.0 * math.log(1.0 - random(seeds)))
    turn = 2.0 * math.pi * random(seeds)
    x += (before[3] + before[5] - own[3] - own[5]) / 2 + spread * math.cos(turn)
    y += (before[4] + before[6] - own[4] - own[6]) / 2 + spread * math.sin(turn)
    return within(own, range_of(own, y), length, x, y)
