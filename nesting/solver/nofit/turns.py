"""Quarter turns and reflections of outlines about their reference points."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import IntArray

FloatArray = NDArray[np.float64]

TURNS: tuple[IntArray, ...] = tuple(
    np.array(rows, dtype=np.int64)
    for rows in (
        ((1, 0), (0, 1)),
        ((0, -1), (1, 0)),
        ((-1, 0), (0, -1)),
        ((0, 1), (-1, 0)),
        ((1, 0), (0, -1)),
        ((-1, 0), (0, 1)),
        ((0, 1), (1, 0)),
        ((0, -1), (-1, 0)),
    )
)
"""Quarter turns and reflections, as matrices; the last four reverse a ring."""
_FLOAT_TURNS = tuple(turn.T.astype(np.float64) for turn in TURNS)
APART = {
    (a, b): next(n for n, one in enumerate(TURNS) if (one == TURNS[a].T @ TURNS[b]).all())
    for a in range(len(TURNS))
    for b in range(len(TURNS))
}
"""Which turn leads, within the first of two turned frames, to the second."""


def canonical(outline: IntArray) -> tuple[bytes, int]:
    """A name shared by all quarter turns and reflections of an outline about its reference
    point, and which of `TURNS` leads from the named form to this one.
    """
    forms = []
    for number, turn in enumerate(TURNS):
        ring = outline @ turn  # The inverse of a turn is its transpose.
        ring = ring[::-1] if number >= 4 else ring
        first = np.lexsort((ring[:, 1], ring[:, 0]))[0]
        forms.append((np.roll(ring, -first, axis=0).tobytes(), number))
    return min(forms)


def turned(ring: IntArray, number: int) -> IntArray:
    """A ring (n, 2) after one of `TURNS`, in the same sense of rotation."""
    after: IntArray = ring @ TURNS[number].T
    return after[::-1] if number >= 4 else after


def turned_edges(edges: FloatArray, number: int) -> FloatArray:
    """Edges (m, 4) after one of `TURNS`, with the forbidden side still on their left."""
    after = (edges.reshape(-1, 2) @ _FLOAT_TURNS[number]).reshape(-1, 4)
    return np.ascontiguousarray(after[:, [2, 3, 0, 1]]) if number >= 4 else after
