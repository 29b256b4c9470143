"""Which sheets lie beside each other: told by the lines that run from one on to the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

from pieces.pdf.clip import Box
from pieces.pdf.pages import Page

Places = Mapping[int, tuple[int, int]]
"""The column and the row of each page, by its index; rows count upwards."""
MEET_MM = 0.8
"""Lines that end so near to each other on both sides of a seam were one."""
_TOUCH_MM = 0.3
_SAME_MM = 0.2
_LEFT, _LOW, _RIGHT, _HIGH = range(4)


class Seams:
    """The places at which the lines of each page reach the edges of its own part."""

    def __init__(self, pages: Sequence[Page], cell: Box) -> None:
        self._pages = pages
        self._cell = cell
        self._ends = lru_cache(maxsize=None)(self._reached)

    def runs_out(self, index: int) -> bool:
        """Whether any line of a page reaches its edge."""
        return any(self._ends(index, side) for side in range(4))

    def score(self, places: Places) -> tuple[int, int, float]:
        """How many line ends meet another across a seam, of how many, and how far at most apart."""
        at = {place: index for index, place in places.items()}
        met = ends = 0
        worst = 0.0
        for index, (column, row) in places.items():
            for side, beside in (
                (_LEFT, (column - 1, row)),
                (_RIGHT, (column + 1, row)),
                (_LOW, (column, row - 1)),
                (_HIGH, (column, row + 1)),
            ):
                own = self._ends(index, side)
                ends += len(own)
                if beside in at:
                    there = self._ends(at[beside], (side + 2) % 4)
                    near = [min((abs(a - b) for b in there), default=99.0) for a in own]
                    met += sum(away <= MEET_MM for away in near)
                    worst = max([worst, *(away for away in near if away <= MEET_MM)])
        return met, ends, worst

    def _reached(self, index: int, side: int) -> tuple[float, ...]:
        """Where lines reach a side, measured along it from the lower left corner."""
        axis = 0 if side in (_LEFT, _RIGHT) else 1
        at, start = self._cell[side], self._cell[1 - axis]
        length = self._cell[3 - axis] - start
        found = []
        for drawn in self._pages[index].lines:
            way = (*drawn.line, drawn.line[0]) if drawn.closed else drawn.line
            for a, b in pairwise(way):
                low, high = sorted((a[axis], b[axis]))
                if low > at + _TOUCH_MM or high < at - _TOUCH_MM or high - low < 0.05:
                    continue
                share = min(1.0, max(0.0, (at - a[axis]) / (b[axis] - a[axis])))
                along = a[1 - axis] + share * (b[1 - axis] - a[1 - axis]) - start
                if _SAME_MM < along < length - _SAME_MM:
                    found.append(along)
        found.sort()
        return tuple(here for before, here in pairwise([-1.0, *found]) if here - before > _SAME_MM)
