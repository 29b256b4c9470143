"""Inscribed circles that stand for an outline where only the amount of overlap matters."""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from nesting.solver.instance import IntArray

FloatArray = NDArray[np.float64]

MOST = 8
"""Circles to an outline; more made no layout shorter."""
_COVERED = 0.9
_LEAST_SHARE = 0.02
_GRID = 40


def inscribed_circles(outline: IntArray) -> FloatArray:
    """Up to `MOST` circles inside an outline, apart from each other, a large one first.

    Each is about the place farthest from the outline and from the circles before it, until they
    cover nine tenths of the area or are a fiftieth of the first. Rows (3, `MOST`) x, y, radius;
    the radius is 0 where no circle was needed.
    """
    corners = outline.astype(np.float64)
    x, y = corners.T
    area = float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
    return _circles(corners, area)


@njit(cache=True, error_model="numpy")
def _room(corners: FloatArray, found: FloatArray, count: int, x: float, y: float) -> float:
    """How far a place lies inside the outline and outside the circles; negative outside."""
    inside = False
    nearest = math.inf
    n = len(corners)
    for i in range(n):
        x0, y0 = corners[i - 1, 0] - x, corners[i - 1, 1] - y
        x1, y1 = corners[i, 0] - x, corners[i, 1] - y
        ex, ey = x1 - x0, y1 - y0
        if (y0 > 0) != (y1 > 0) and x0 - y0 * ex / ey > 0:
            inside = not inside
        part = -(x0 * ex + y0 * ey) / (ex * ex + ey * ey)
        part = min(1.0, max(0.0, part))
        px, py = x0 + part * ex, y0 + part * ey
        nearest = min(nearest, px * px + py * py)
    room = math.sqrt(nearest) if inside else -math.sqrt(nearest)
    for c in range(count):
        room = min(room, math.hypot(found[0, c] - x, found[1, c] - y) - found[2, c])
    return room


@njit(cache=True, error_model="numpy")
def _climbed(
    corners: FloatArray, found: FloatArray, count: int, x: float, y: float, step: float
) -> tuple[float, float, float]:
    """The place with most room that leads uphill from a given one, and that room."""
    room, least = _room(corners, found, count, x, y), 0.005 * step
    while step > least:
        best_x, best_y = x, y
        for side in range(9):
            there_x, there_y = x + (side % 3 - 1) * step, y + (side // 3 - 1) * step
            there = _room(corners, found, count, there_x, there_y)
            if there > room:
                best_x, best_y, room = there_x, there_y, there
        if best_x == x and best_y == y:
            step /= 2
        x, y = best_x, best_y
    return x, y, room


@njit(cache=True)
def _extent(corners: FloatArray, axis: int) -> tuple[float, float]:
    low, high = math.inf, -math.inf
    for i in range(len(corners)):
        low, high = min(low, corners[i, axis]), max(high, corners[i, axis])
    return low, high


@njit(cache=True, error_model="numpy")
def _circles(corners: FloatArray, area: float) -> FloatArray:
    found = np.zeros((3, MOST))
    left, right = _extent(corners, 0)
    low, high = _extent(corners, 1)
    step_x, step_y = (right - left) / _GRID, (high - low) / _GRID
    places = np.empty((_GRID * _GRID, 3))
    for i in range(_GRID):
        for j in range(_GRID):
            x, y = left + (i + 0.5) * step_x, low + (j + 0.5) * step_y
            places[i * _GRID + j, 0], places[i * _GRID + j, 1] = x, y
            places[i * _GRID + j, 2] = _room(corners, found, 0, x, y)
    covered = 0.0
    for count in range(MOST):
        best = 0
        for k in range(len(places)):
            if places[k, 2] > places[best, 2]:
                best = k
        x, y = places[best, 0], places[best, 1]
        x, y, radius = _climbed(corners, found, count, x, y, max(step_x, step_y))
        if radius <= _LEAST_SHARE * found[2, 0] or radius <= 0 or covered >= _COVERED * area:
            break
        found[0, count], found[1, count], found[2, count] = x, y, radius
        covered += math.pi * radius * radius
        for k in range(len(places)):
            apart = math.hypot(places[k, 0] - x, places[k, 1] - y) - radius
            places[k, 2] = min(places[k, 2], apart)
    return found
