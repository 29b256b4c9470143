"""Optima of rectangle sets: hand-known ones, and all placements tried on small grids."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.solver.instance import Instance, Item, Orientation, Result
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.proof.exact import MOST_ITEMS, exact_rectangles
from tests.examples import examples
from tests.nesting.solver.test_bounds import free, instance, outline, rectangle


def turning(length: int, height: int, width: int) -> Item:
    shapes = [rectangle(length, height), rectangle(height, length)]
    return Item(0, tuple(free(s, width) for s in shapes if s[:, 1].max() <= width))


def check(problem: Instance, result: Result) -> None:
    """Every rectangle within its ranges, none over another, the length as stated."""
    places = []
    for item, which, (x, y) in zip(
        problem.items, result.layout.orientation, result.layout.xy, strict=True
    ):
        orientation = item.orientations[which]
        assert x >= orientation.x_low
        assert x + orientation.x_reach <= result.length
        assert any(low <= y <= high for low, high in orientation.y_ranges)
        places.append(orientation.outline + np.array([x, y]))
    places += list(problem.obstacles)
    for one, other in itertools.combinations(places, 2):
        apart = np.maximum(one.min(axis=0), other.min(axis=0)) >= np.minimum(
            one.max(axis=0), other.max(axis=0)
        )
        assert apart.any()
    assert result.bound <= result.length


def solved(problem: Instance) -> Result:
    result = exact_rectangles(problem, 20)
    assert result is not None
    check(problem, result)
    assert result.proven
    return result


def tried_out(problem: Instance) -> int:
    """The least length among all placements at whole numbers."""
    most = 1 + sum(max(o.x_reach for o in item.orientations) for item in problem.items)
    most += max((int(o[:, 0].max()) for o in problem.obstacles), default=0)

    def place(index: int, taken: np.ndarray, length: int) -> int:
        nonlocal best
        if length >= best:
            return best
        if index == len(problem.items):
            best = length
            return best
        for o in problem.items[index].orientations:
            sides = o.outline.max(axis=0)
            for low, high in o.y_ranges:
                for x, y in itertools.product(range(best - sides[0] + 1), range(low, high + 1)):
                    cells = (slice(x, x + sides[0]), slice(y, y + sides[1]))
                    if not taken[cells].any():
                        taken[cells] = True
                        place(index + 1, taken, max(length, x + int(sides[0])))
                        taken[cells] = False
        return best

    best = most
    taken = np.zeros((most, problem.width), dtype=bool)
    for obstacle in problem.obstacles:
        (left, bottom), (right, top) = obstacle.min(axis=0), obstacle.max(axis=0)
        taken[left:right, bottom:top] = True
    return place(0, taken, 0)


@st.composite
def small_sets(draw: st.DrawFn) -> Instance:
    width = draw(st.integers(2, 5))
    items = []
    for kind in range(draw(st.integers(1, 3))):
        length, height = draw(st.integers(1, 3)), draw(st.integers(1, width))
        shapes = [rectangle(length, height)]
        if draw(st.booleans()) and length <= width:
            shapes.append(rectangle(height, length))
        ways = []
        for shape in shapes:
            top = width - int(shape[:, 1].max())
            ranges = draw(st.sampled_from([((0, top),), ((0, 0),), ((0, 0), (top, top))]))
            ways.append(free(shape, width, y_ranges=ranges))
        items += [Item(kind, tuple(ways))] * draw(st.integers(1, 2 if kind == 0 else 1))
    return Instance(width, tuple(items))


@given(small_sets())
@settings(max_examples=examples(40), deadline=None)
def test_equals_the_best_of_all_placements(problem: Instance) -> None:
    assert solved(problem).length == tried_out(problem)


def test_obstacle_is_kept_clear() -> None:
    flaw = rectangle(1, 2) + 1
    problem = Instance(3, (turning(2, 2, 3),), (flaw,))
    assert solved(problem).length == tried_out(problem) == 4


def test_bound_is_never_above_the_optimum() -> None:
    random = np.random.default_rng(3)
    for _ in range(10):
        items = tuple(turning(*random.integers(2, 9, 2).tolist(), 10) for _ in range(5))
        problem = Instance(10, tuple(Item(i, item.orientations) for i, item in enumerate(items)))
        assert lower_bound(problem) <= solved(problem).length


def test_micrometres_are_exact() -> None:
    """Squares of 0.7 and 0.8 m fill 1.5 m; two of 0.8 m follow each other."""
    shapes = [rectangle(700_001, 700_001), rectangle(799_999, 799_999)] * 2
    assert solved(instance(1_500_000, *(free(s, 1_500_000) for s in shapes))).length == 1_599_998
    shapes[3] = rectangle(799_999, 700_001)
    assert solved(instance(1_500_000, *(free(s, 1_500_000) for s in shapes))).length == 1_500_000


def test_reference_point_edges_and_gap() -> None:
    """Outlines hold half the gap of 2 and stick out by it; the cloth's edge keeps 3."""
    shape = rectangle(12, 12) + np.array([100, -50])
    way = Orientation(shape, x_low=-98, x_reach=114, y_ranges=((52, 60), (80, 80)))
    result = solved(instance(40, way, way, way))
    # Two side by side, from y 52 and 80; the third follows 12 behind: 3 + 10 + 2 + 10 + 3.
    assert result.length == 28


def test_an_item_keeps_from_the_beginning_if_it_must() -> None:
    """A piece that a print holds back: the other comes first or the length is 5 longer."""
    held = free(rectangle(4, 10), 10, x_low=5, x_reach=4)
    assert solved(instance(10, held)).length == 9
    assert solved(instance(10, held, free(rectangle(3, 10), 10))).length == 9
    assert solved(instance(10, held, free(rectangle(6, 10), 10))).length == 10


def test_group_takes_one_direction() -> None:
    """Each item lies short along one direction only, and they must agree on it."""
    tall, long = rectangle(1, 6), rectangle(6, 1)
    one = (free(tall, 6, direction=0), free(long, 6, direction=1))
    other = (free(long, 6, direction=0), free(tall, 6, direction=1))
    free_to_choose = Instance(6, (Item(0, one), Item(1, other)))
    tied = Instance(6, (Item(0, one, group=7), Item(1, other, group=7)))
    assert solved(free_to_choose).length == 2
    assert solved(tied).length == 7


def test_a_square_does_not_tie_its_group_to_a_direction() -> None:
    """It lies alike in both directions; the other item is short in the second only."""
    square = tuple(free(rectangle(2, 2), 8, direction=d) for d in (0, 1))
    other = tuple(free(s, 8, direction=d) for d, s in enumerate((rectangle(6, 1), rectangle(1, 6))))
    assert solved(Instance(8, (Item(0, square, group=1), Item(1, other, group=1)))).length == 2


def test_same_layout_every_time() -> None:
    problem = Instance(
        10, (turning(3, 4, 10),) * 4 + (Item(1, turning(5, 2, 10).orientations),) * 3
    )
    first, second = solved(problem), solved(problem)
    assert np.array_equal(first.layout.xy, second.layout.xy)
    assert np.array_equal(first.layout.orientation, second.layout.orientation)


@pytest.mark.parametrize(
    "problem",
    [
        instance(10, free(outline((0, 0), (4, 0), (0, 4)), 10)),
        Instance(10, (turning(2, 3, 10),), (outline((0, 0), (4, 0), (0, 4)),)),
        Instance(10, (turning(2, 3, 10),) * (MOST_ITEMS + 1)),
        Instance(10, ()),
    ],
    ids=["triangle", "triangular flaw", "too many", "nothing to place"],
)
def test_declines_what_it_can_not_solve(problem: Instance) -> None:
    assert exact_rectangles(problem, 1) is None
