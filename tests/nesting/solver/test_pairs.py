"""Two items' least length, against cases known by hand and against all places tried."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import remove_repeated_points
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from nesting.solver.instance import Instance, Item, Orientation
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.proof.pairs import pair_bound
from tests.examples import examples
from tests.nesting.solver.test_bounds import free, instance, outline, rectangle

THICK = 1000
"""Units to a step of the small drawings below, beside which rounding is nothing."""


def least(problem: Instance) -> float:
    return pair_bound(problem, Nofits(problem), 0) / THICK


def drawn(*points: tuple[int, int]) -> np.ndarray:
    return outline(*points) * THICK


def test_boxes_that_pass_each_other() -> None:
    boxes = [free(rectangle(6, 4) * THICK, 10 * THICK), free(rectangle(3, 6) * THICK, 10 * THICK)]
    assert least(instance(10 * THICK, *boxes)) == pytest.approx(6, abs=0.01)


def test_boxes_that_do_not() -> None:
    boxes = [free(rectangle(6, 5) * THICK, 10 * THICK), free(rectangle(3, 6) * THICK, 10 * THICK)]
    assert least(instance(10 * THICK, *boxes)) == pytest.approx(9, abs=0.01)


def test_one_box_hides_in_the_notch_of_another() -> None:
    notched = drawn((0, 0), (9, 0), (9, 10), (6, 10), (6, 5), (3, 5), (3, 10), (0, 10))
    for width, expected in ((3, 9), (4, 13)):
        box = free(rectangle(width, 5) * THICK, 10 * THICK)
        pair = instance(10 * THICK, free(notched, 10 * THICK), box)
        assert least(pair) == pytest.approx(expected, abs=0.01)


def test_cones_on_one_fold_and_head_to_tail() -> None:
    cone = drawn((0, 0), (8, 0), (6, 9), (2, 9))
    turned = drawn((2, 0), (6, 0), (8, 9), (0, 9))
    on_fold = free(cone, 10 * THICK, y_ranges=((0, 0),))
    assert least(instance(10 * THICK, on_fold, on_fold)) == pytest.approx(16, abs=0.01)
    other = free(turned, 10 * THICK, y_ranges=((0, 0),))
    assert least(instance(10 * THICK, on_fold, other)) == pytest.approx(14, abs=0.01)


def test_a_group_lies_in_one_direction() -> None:
    cone, turned = drawn((0, 0), (8, 0), (6, 9), (2, 9)), drawn((2, 0), (6, 0), (8, 9), (0, 9))
    ways = tuple(free(s, 9 * THICK, direction=d) for d, s in enumerate((cone, turned)))
    together, apart = (
        Instance(9 * THICK, (Item(0, ways, group), Item(0, ways, group))) for group in (3, -1)
    )
    assert least(together) == pytest.approx(16, abs=0.01)
    assert least(apart) == pytest.approx(14, abs=0.01)


def test_nothing_is_claimed_of_a_single_item() -> None:
    assert least(instance(10 * THICK, free(rectangle(6, 4) * THICK, 10 * THICK))) == 0


def test_bound_of_a_set_is_that_of_its_worst_pair() -> None:
    shapes = [rectangle(60, 51), rectangle(50, 51), rectangle(1, 1)]
    problem = instance(101 * THICK, *(free(s * THICK, 101 * THICK) for s in shapes))
    assert lower_bound(problem) == pytest.approx(110 * THICK, abs=2)


@st.composite
def pairs(draw: st.DrawFn) -> Instance:
    width = 12 * THICK
    items = []
    for kind in range(2):
        corners = draw(
            st.lists(st.tuples(st.integers(0, 6), st.integers(0, 8)), min_size=3, max_size=5)
        )
        ring = Polygon(corners)
        assume(ring.is_valid and ring.area > 0)
        ring = orient(remove_repeated_points(ring))
        shape = drawn(*((int(x), int(y)) for x, y in ring.exterior.coords[:-1]))
        top = width - int(shape[:, 1].max())
        ranges = draw(st.sampled_from([((0, top),), ((0, 0),), ((0, 0), (top, top))]))
        x_low = draw(st.sampled_from([0, 1, 2])) * THICK
        tail = int(shape[:, 0].max()) + draw(st.sampled_from([0, 2])) * THICK
        items.append(Item(kind, (Orientation(shape, x_low, tail, ranges),)))
    return Instance(width, tuple(items))


@given(pairs())
@settings(max_examples=examples(40), deadline=None)
def test_no_place_on_a_grid_is_better(problem: Instance) -> None:
    """Places at half steps: the bound is no longer than the best of them, nor much shorter."""
    first, second = (item.orientations[0] for item in problem.items)
    fixed = Polygon(first.outline)
    best = float("inf")
    for apart_y in _differences(first, second):
        for apart_x in np.arange(-12, 12.5, 0.5) * THICK:
            moved = translate(Polygon(second.outline), apart_x, apart_y)
            if fixed.intersection(moved).area < 1:
                x = max(first.x_low, second.x_low - apart_x)
                best = min(best, max(x + first.x_reach, x + apart_x + second.x_reach))
    found = pair_bound(problem, Nofits(problem), 0)
    assert best - THICK / 2 - 2 <= found <= best


def _differences(first: Orientation, second: Orientation) -> list[float]:
    found = [
        y
        for low, high in first.y_ranges
        for other_low, other_high in second.y_ranges
        for y in np.arange(other_low - high, other_high - low + 1, THICK / 4)
    ]
    return sorted(set(found))
