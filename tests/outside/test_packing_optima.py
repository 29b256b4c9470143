"""Packing against optima that others have proven."""

from itertools import combinations

import numpy as np
import pytest

from benchmarks.strip_set import read_set, to_instance
from nesting.solver.instance import Instance, Item, Orientation
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.proof.exact import exact_rectangles
from nesting.solver.solve import solve
from nesting.solver.stop import Rounds

SMALLEST_RECTANGLES = {
    2: (2, 3),
    3: (3, 5),
    5: (5, 12),
    6: (9, 11),
    7: (11, 14),
    8: (14, 15),
    9: (15, 20),
    10: (15, 27),
    11: (19, 27),
    12: (23, 29),
}
"""The rectangles of least area that hold the squares of sides 1 to n. Korf 2004, Optimal
rectangle packing: new results (ICAPS); OEIS A081287 lists the sides, A038666 the areas."""


def squares(largest: int, width: int) -> Instance:
    """Squares of sides 1 to `largest`, in thousandths."""
    items = []
    for side in range(1, largest + 1):
        outline = 1000 * side * np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.int64)
        ranges = ((0, 1000 * (width - side)),)
        items.append(Item(side, (Orientation(outline, 0, 1000 * side, ranges),)))
    return Instance(1000 * width, tuple(items))


@pytest.mark.parametrize("largest", SMALLEST_RECTANGLES)
def test_squares_from_one_up_fill_the_smallest_rectangle(largest: int) -> None:
    """A strip as wide as that rectangle needs its length: a shorter one would have less area."""
    for width, length in (SMALLEST_RECTANGLES[largest], SMALLEST_RECTANGLES[largest][::-1]):
        problem = squares(largest, width)
        found = exact_rectangles(problem, 60)
        assert found is not None
        assert found.length == found.bound == 1000 * length
        assert lower_bound(problem) <= found.length
        _require_apart(problem, found.layout.xy)


def _require_apart(problem: Instance, xy: np.ndarray) -> None:
    sides = [item.orientations[0].x_reach for item in problem.items]
    for i, j in combinations(range(len(sides)), 2):
        before = (xy[i] + sides[i] <= xy[j]) | (xy[j] + sides[j] <= xy[i])
        assert before.any()


@pytest.mark.parametrize("name", ["dighe1", "dighe2"])
def test_jigsaws_are_never_shorter_than_their_picture(name: str) -> None:
    """Jigsaws of a 100 by 100 square (Dighe, Jakiela 1996, Evolutionary Computation 3:239-266)."""
    jigsaw = read_set(name)
    problem = to_instance(jigsaw)
    assert lower_bound(problem) == 100 * jigsaw.scale
    found = solve(problem, Rounds(20), seed=1)
    # A layout is legal to within a unit, so a row of pieces may be a few units short.
    assert found.length >= 100 * jigsaw.scale - len(problem.items)
