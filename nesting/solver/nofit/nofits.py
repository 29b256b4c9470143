"""The no-fit polygons of an instance's pairs."""

from __future__ import annotations

from threading import Lock

import numpy as np

from nesting.solver.instance import Instance, IntArray
from nesting.solver.nofit.nofit import known_edges
from nesting.solver.nofit.turns import (
    APART,
    TURNS,
    FloatArray,
    canonical,
    turned,
    turned_edges,
)


class Nofits:
    """The no-fit polygons of an instance, each built when first asked for.

    Outlines that are turns or mirror images of each other share what they can.
    """

    def __init__(self, instance: Instance) -> None:
        self._outlines: dict[bytes, IntArray] = {}
        self._names = {
            (item.kind, index): self._named(orientation.outline)
            for item in {item.kind: item for item in instance.items}.values()
            for index, orientation in enumerate(item.orientations)
        }
        self._numbers = {way: number for number, way in enumerate(self._names)}
        self._obstacles = [self._named(outline) for outline in instance.obstacles]
        self._relative: dict[tuple[bytes, bytes, int], FloatArray] = {}
        self._placed: dict[tuple[tuple[bytes, int], tuple[bytes, int]], FloatArray] = {}

        total = len(self._names) + len(self._obstacles)
        self._spans = np.full((total, len(self._names), 2), -1, dtype=np.int64)
        self.table = np.empty((0, 4))
        self._lock = Lock()

    def _named(self, outline: IntArray) -> tuple[bytes, int]:
        name, number = canonical(np.ascontiguousarray(outline, dtype=np.int64))
        self._outlines[name] = np.frombuffer(name, dtype=np.int64).reshape(-1, 2).copy()
        return name, number

    def name(self, kind: int, chosen: int) -> tuple[bytes, int]:
        """What an orientation shares with all its turns and reflections, and which one it is."""
        return self._names[kind, chosen]

    def obstacle_name(self, number: int) -> tuple[bytes, int]:
        """The same of an obstacle."""
        return self._obstacles[number]

    def edges(self, kind: int, chosen: int, other_kind: int, other_chosen: int) -> FloatArray:
        """Edges (m, 4) x0, y0, x1, y1 of where the other kind may not lie, about the first."""
        return self._about(self._names[kind, chosen], self._names[other_kind, other_chosen])

    def obstacle_edges(self, number: int, kind: int, chosen: int) -> FloatArray:
        """Edges of where an item may not lie because of an obstacle."""
        return self._about(self._obstacles[number], self._names[kind, chosen])

    def number(self, kind: int, chosen: int) -> int:
        """Which of all orientations this is; obstacles count from behind them."""
        return self._numbers[kind, chosen]

    def obstacle_number(self, number: int) -> int:
        """The same of an obstacle."""
        return len(self._names) + number

    def spans(self, fixed: IntArray, moved: IntArray) -> IntArray:
        """Where in `table` the edges of some pairs, told by number, begin and end (n, 2)."""
        found: IntArray = self._spans[fixed, moved]
        if (found[:, 0] >= 0).all():
            return found
        with self._lock:
            self._enter(fixed, moved)
            return self._spans[fixed, moved]

    def _enter(self, fixed: IntArray, moved: IntArray) -> None:
        missing = self._spans[fixed, moved, 0] < 0
        names = [*self._names.values(), *self._obstacles]
        rows, begin = [self.table], len(self.table)
        for one, other in np.unique(np.column_stack([fixed, moved])[missing], axis=0):
            rows.append(self._about(names[one], names[other]))
            self._spans[one, other] = begin, begin + len(rows[-1])
            begin += len(rows[-1])
        self.table = np.concatenate(rows)

    def _about(self, fixed: tuple[bytes, int], moved: tuple[bytes, int]) -> FloatArray:
        edges = self._placed.get((fixed, moved))
        if edges is None:
            apart = APART[fixed[1], moved[1]]
            edges = turned_edges(self._relative_edges(fixed[0], moved[0], apart), fixed[1])
            self._placed[fixed, moved] = edges
        return edges

    def _relative_edges(self, fixed: bytes, moved: bytes, number: int) -> FloatArray:
        """Edges of an outline turned by `TURNS[number]` about another in its named form."""
        edges = self._relative.get((fixed, moved, number))
        if edges is None:
            back = APART[number, 0]
            if (moved, fixed, back) < (fixed, moved, number):
                # Seen from the other outline all places are negative.
                edges = turned_edges(-self._relative_edges(moved, fixed, back), number)
            else:
                outline = turned(self._outlines[moved], number)
                edges = known_edges(self._outlines[fixed], outline)
            self._relative[fixed, moved, number] = edges
        return edges

    def shared(
        self, fixed: tuple[bytes, int], moved: tuple[bytes, int]
    ) -> tuple[IntArray, IntArray, IntArray]:
        """Outlines, fixed and moved, that stand for two named ones in all their turns, seen from
        either; and what turns a place beside the one into a place beside the other.
        """
        apart, back = APART[fixed[1], moved[1]], APART[moved[1], fixed[1]]
        turn = TURNS[fixed[1]].T
        one, other = (fixed[0], moved[0], apart), (moved[0], fixed[0], back)
        if other < one:
            one, turn = other, -TURNS[moved[1]].T
        return self._outlines[one[0]], turned(self._outlines[one[1]], one[2]), turn
