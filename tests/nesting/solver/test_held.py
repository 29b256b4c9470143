"""Items fixed to the strip's beginning: every stage of the search leaves them there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.solver.instance import Instance, IntArray, Item, Layout, Phase
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.overlap.bundles import Effort, Placed
from nesting.solver.overlap.candidates import random
from nesting.solver.phased.lattice import genes_in, placed_on_phases
from nesting.solver.programme.compact import compact, is_legal
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.proof.exact import exact_rectangles
from nesting.solver.search.construct import layout_in_order, orders, row_layout
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.separate import shortened, swap_large
from nesting.solver.solve import solve
from nesting.solver.stop import Rounds
from tests.examples import examples
from tests.nesting.solver.test_bounds import free, rectangle

UNIT = 10_000
WIDTH = 100 * UNIT


def instance(*items: Item) -> Instance:
    return Instance(WIDTH, items)


def held(shape: IntArray, kind: int = 0) -> Item:
    way = free(shape, WIDTH)
    return Item(kind, (replace(way, x_most=way.x_low),))


def loose(shape: IntArray, kind: int) -> Item:
    return Item(kind, (free(shape, WIDTH), free(-shape, WIDTH)))


def wedge(long: int, high: int) -> IntArray:
    return np.array([[0, 0], [long, 0], [long // 2, high], [0, high]]) * UNIT


def lies_at_the_beginning(problem: Instance, layout: Layout) -> bool:
    return all(
        layout.xy[i, 0] == item.orientations[int(layout.orientation[i])].x_low
        for i, item in enumerate(problem.items)
        if item.held
    )


@st.composite
def problems(draw: st.DrawFn) -> Instance:
    """Up to four held, together no higher than the strip is wide, and up to five others."""
    heights = draw(st.lists(st.integers(8, 25), min_size=1, max_size=4))
    items = [held(wedge(draw(st.integers(10, 60)), high), k) for k, high in enumerate(heights)]
    for kind in range(draw(st.integers(0, 5))):
        shape = wedge(draw(st.integers(10, 60)), draw(st.integers(10, 60)))
        items.append(loose(shape, len(heights) + kind))
    order = draw(st.permutations(range(len(items))))
    return instance(*(items[i] for i in order))


@settings(max_examples=examples(40), deadline=None, suppress_health_check=list(HealthCheck))
@given(problem=problems())
def test_first_layouts_hold_them(problem: Instance) -> None:
    prepared = Prepared(problem)
    found = [row_layout(prepared)]
    found += [layout_in_order(prepared, order, 30) for order in orders(prepared)]
    for layout in found:
        assert lies_at_the_beginning(problem, layout)
    assert is_legal(problem, prepared.nofits, found[0])


@settings(max_examples=examples(15), deadline=None, suppress_health_check=list(HealthCheck))
@given(problem=problems(), seed=st.integers(0, 99))
def test_the_search_holds_them(problem: Instance, seed: int) -> None:
    result = solve(problem, Rounds(4), seed=seed)
    assert lies_at_the_beginning(problem, result.layout)
    assert is_legal(problem, Nofits(problem), result.layout)
    assert lower_bound(problem) <= result.length


def test_one_off_the_beginning_is_no_layout() -> None:
    problem = instance(held(wedge(20, 20)))
    nofits = Nofits(problem)
    for x, legal in ((0, True), (1, False), (-1, False)):
        layout = Layout(np.zeros(1, dtype=np.int64), np.array([[x, 0]]))
        assert is_legal(problem, nofits, layout) is legal


def test_pressing_moves_them_across_only() -> None:
    """One above the other with room between: a third slides in under the upper's slope."""
    problem = instance(held(wedge(40, 30)), held(wedge(40, 30)), loose(wedge(40, 30), 1))
    start = Layout(np.zeros(3, dtype=np.int64), np.array([[0, 0], [0, 50], [60, 0]]) * UNIT)
    found = compact(problem, Nofits(problem), start)
    assert lies_at_the_beginning(problem, found)
    assert found.xy[2, 0] < 60 * UNIT


def test_jumbles_keep_them_within_reach() -> None:
    problem = instance(held(wedge(40, 30)), *(loose(wedge(30, 40), 1),) * 3)
    prepared, seeds = Prepared(problem), np.array([7], dtype=np.uint64)
    placed = Placed(*prepared.arrays(row_layout(prepared)))
    for _ in range(20):
        cut = random(seeds) * 100 * UNIT
        overlapping = shortened(prepared, placed, 90 * UNIT, cut)
        swap_large(prepared, overlapping, seeds)
        assert overlapping.placed.places[0, 0] == 0
        overlapping.round(prepared, seeds, Effort(25, 20, 1))
        assert overlapping.placed.places[0, 0] == 0


@pytest.mark.parametrize(
    ("long", "length"),
    [(30, 70), (60, 100)],
)
def test_rectangles_past_a_held_one_are_proven(long: int, length: int) -> None:
    """It takes 60 of 100 across; one of 50 by 40 long lies past it, whatever lies beside it."""
    first, other = rectangle(long * UNIT, 60 * UNIT), rectangle(40 * UNIT, 50 * UNIT)
    problem = instance(Item(0, (held(first).orientations)), Item(1, (free(other, WIDTH),)))
    result = exact_rectangles(problem, 5)
    assert result is not None
    assert (result.proven, result.length) == (True, length * UNIT)
    assert lies_at_the_beginning(problem, result.layout)


def test_two_held_lie_beside_each_other_though_a_row_is_free() -> None:
    """40 and 60 across fill the strip for 50; the third of 30 lies past the shorter, up to 60."""
    low, high = rectangle(30 * UNIT, 40 * UNIT), rectangle(50 * UNIT, 60 * UNIT)
    third = rectangle(30 * UNIT, 40 * UNIT)
    problem = instance(held(low, 0), held(high, 1), Item(2, (free(third, WIDTH),)))
    for result in (exact_rectangles(problem, 5), solve(problem, Rounds(5), seed=1)):
        assert result is not None
        assert result.length == 60 * UNIT
        assert lies_at_the_beginning(problem, result.layout)


def test_items_on_a_lattice_leave_them_there() -> None:
    """The others lie on lines 50 apart; whatever the order, the held one comes first."""
    way = replace(free(wedge(40, 60), WIDTH), ties=((0, 0.0),))
    problem = replace(
        instance(Item(1, (way,)), Item(1, (way,)), held(wedge(30, 40))),
        phases=(Phase(0, 50.0 * UNIT),),
    )
    prepared = Prepared(problem)
    for order in ([0, 1, 2], [1, 2, 0], [2, 0, 1]):
        placed = placed_on_phases(prepared, genes_in(prepared, np.array(order)))
        assert placed is not None
        assert lies_at_the_beginning(problem, placed)
    result = solve(problem, Rounds(3), seed=1)
    assert lies_at_the_beginning(problem, result.layout)
    assert (result.layout.xy[0, 0] - result.layout.xy[1, 0]) % (50 * UNIT) == 0
