"""What was found for an outline is kept: the lays of one cloth ask for the same ones again."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import TypeVar

import numpy as np

from nesting.solver.instance import IntArray

T = TypeVar("T")


def cached_by_outline(function: Callable[..., T], most: int) -> Callable[..., T]:
    """A function of (n, 2) outlines that keeps what it gave for the last `most` it was asked.

    Outlines are known by their corners. Callers share what is given, and must not change it.
    """

    @lru_cache(maxsize=most)
    def of(*outlines: bytes) -> T:
        # Copies, as kernels would be compiled again for arrays that can't be written.
        rows = (np.frombuffer(outline, dtype=np.int64).copy() for outline in outlines)
        return function(*(row.reshape(-1, 2) for row in rows))

    @wraps(function)
    def found(*outlines: IntArray) -> T:
        return of(*(outline.astype(np.int64, copy=False).tobytes() for outline in outlines))

    return found
