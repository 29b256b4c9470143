"""The largest rectangle of free cells in a grid."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True)
def largest_rectangle(free: NDArray[np.bool_]) -> tuple[int, int, int, int]:
    """Left, low, right, high of the largest; all 0 if no cell is free.

    Row by row, over the heights of the free columns below it: of each stretch of columns the
    rectangle that the lowest of them limits.
    """
    rows, columns = free.shape
    heights = np.zeros(columns + 1, np.int64)
    starts, highs = np.zeros(columns + 2, np.int64), np.zeros(columns + 2, np.int64)
    best, best_area = (0, 0, 0, 0), 0
    for row in range(rows):
        depth = 0
        for column in range(columns + 1):
            if column < columns:
                heights[column] = heights[column] + 1 if free[row, column] else 0
            start, height = column, heights[column]
            while depth and highs[depth - 1] >= height:
                depth -= 1
                start, high = starts[depth], highs[depth]
                if high * (column - start) > best_area:
                    best_area = high * (column - start)
                    best = (start, row + 1 - high, column, row + 1)
            starts[depth], highs[depth] = start, height
            depth += 1
    return best
