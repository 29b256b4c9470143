"""Whether a length is enough: found, refused by proof, or left open."""

import pytest

from nesting.solver.instance import Instance, Item, Layout
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.search.construct import row_layout
from nesting.solver.search.prepared import Prepared
from nesting.solver.solve import fits, solve
from nesting.solver.stop import (
    Rounds,
    Seconds,
    State,
)
from tests.nesting.solver.solver_shapes import way
from tests.nesting.solver.test_search import (
    SQUARE,
    TRIANGLE,
    WIDTH,
    Interrupting,
    faults,
    mixed,
    require_good,
    scaled,
    turned,
)


def reached(instance: Instance, layout: Layout | None) -> int:
    assert layout is not None
    assert faults(instance, layout) == []
    return Prepared(instance).length(layout)


@pytest.mark.parametrize("gap", [0, 1000])
def test_two_triangles_fit_into_their_rectangle(gap: int) -> None:
    item = Item(0, (way(TRIANGLE, 300_000), way(turned(TRIANGLE), 300_000)))
    instance = Instance(300_000, (item, item))
    assert reached(instance, fits(instance, 400_002 + gap, Rounds(100))) <= 400_002 + gap


def test_no_search_where_a_bound_or_the_start_answers() -> None:
    """Six squares of half the width need three columns."""
    instance = Instance(WIDTH, (Item(0, (way(SQUARE, WIDTH),)),) * 6)
    seen: list[State] = []
    assert fits(instance, 3 * WIDTH // 2 - 10, Rounds(10**9), watch=seen.append) is None
    assert seen == []
    start = row_layout(Prepared(instance))
    assert fits(instance, 3 * WIDTH, Rounds(10**9), start=start, watch=seen.append) is start
    assert seen == []


def test_rectangles_that_area_would_let_fit_are_refused_by_proof() -> None:
    """Two of 6 x 6 and two of 7 x 3 on a width of 10."""
    shapes = [(6, 6), (6, 6), (7, 3), (7, 3)]
    kinds = [scaled([(0, 0), (x, 0), (x, y), (0, y)]) for x, y in shapes]
    instance = Instance(WIDTH, tuple(Item(i, (way(k, WIDTH),)) for i, k in enumerate(kinds)))
    proven = solve(instance, Seconds(60))
    assert proven.proven
    assert fits(instance, proven.length - 10, Rounds(10**9)) is None
    assert reached(instance, fits(instance, proven.length, Rounds(100))) == proven.length


def test_fits_searches_and_stops_at_the_first_that_does() -> None:
    instance = mixed()
    first = solve(instance, Rounds(0)).length
    best = solve(instance, Rounds(60), seed=2).length
    assert best < first
    wanted = (first + best) // 2
    seen: list[State] = []
    layout = fits(instance, wanted, Rounds(200), seed=2, watch=seen.append)
    assert reached(instance, layout) <= wanted
    assert seen[-1].rounds < 200
    assert all(state.length > wanted for state in seen[:-1])
    assert fits(instance, best // 2, Rounds(2)) is None


def test_lengths_sold_in_steps_end_the_search_where_no_shorter_step_can_be() -> None:
    instance = mixed()
    first = solve(instance, Rounds(0))
    best = solve(instance, Rounds(60), seed=2).length
    step = (first.length + best) // 2

    def shorter(length: int) -> int:
        return step if length > step else first.bound - 100

    found = solve(instance, Rounds(200), seed=2, shorter=shorter)
    require_good(instance, found)
    assert found.rounds < 60
    assert found.bound < found.length <= step


def test_interrupt_leaves_the_question_open() -> None:
    with pytest.raises(KeyboardInterrupt):
        fits(mixed(), lower_bound(mixed()), Interrupting())
