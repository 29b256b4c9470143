"""First layouts: each item as far to the beginning as its lines allow."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.solver.instance import Instance, IntArray, Item, NoRoom, Orientation
from nesting.solver.search.construct import layout_in_order, orders, row_layout
from nesting.solver.search.prepared import Prepared
from tests.examples import examples
from tests.nesting.solver.solver_shapes import outlines, way

WIDTH = 400_000


def overlaps(instance: Instance, prepared: Prepared, layout: object) -> list[tuple[int, int]]:
    placed = [
        translate(Polygon(item.orientations[0].outline), *layout.xy[i].tolist()).buffer(-1.5)
        for i, item in enumerate(instance.items)
    ]
    return [
        (i, j) for (i, a), (j, b) in itertools.combinations(enumerate(placed), 2) if a.intersects(b)
    ]


@given(st.lists(outlines(most=16), min_size=2, max_size=6))
@settings(max_examples=examples(40), deadline=None)
def test_items_do_not_overlap(found: list[IntArray]) -> None:
    items = tuple(Item(kind, (way(outline, WIDTH),)) for kind, outline in enumerate(found))
    instance = Instance(WIDTH, items + items[:1])
    prepared = Prepared(instance)
    row = row_layout(prepared)
    assert overlaps(instance, prepared, row) == []
    for order in orders(prepared):
        assert sorted(order.tolist()) == list(range(len(instance.items)))
        layout = layout_in_order(prepared, order, 60)
        assert overlaps(instance, prepared, layout) == []
        assert prepared.length(layout) <= prepared.length(row) + 2


def test_squares_fill_the_width_before_the_length() -> None:
    square = np.array([[0, 0], [100_000, 0], [100_000, 100_000], [0, 100_000]])
    instance = Instance(WIDTH, (Item(0, (way(square, WIDTH),)),) * 8)
    prepared = Prepared(instance)
    assert prepared.length(layout_in_order(prepared, np.arange(8), 60)) == 200_000


def test_a_peg_goes_into_a_slot_that_it_fits_exactly() -> None:
    slotted = np.array([[0, 0], [9, 0], [9, 3], [3, 3], [3, 6], [9, 6], [9, 9], [0, 9]]) * 10_000
    peg = np.array([[0, 0], [6, 0], [6, 3], [0, 3]]) * 10_000
    items = (Item(0, (way(slotted, 90_000),)), Item(1, (way(peg, 90_000),)))
    prepared = Prepared(Instance(90_000, items))
    found = prepared.layout(*prepared.arrays(layout_in_order(prepared, np.arange(2), 60)))
    # The slot's level sides bound no stretch of a line along it: only pressing finds it.
    assert prepared.length(found) in (90_000, 150_000)


def test_higher_first_is_one_of_the_orders() -> None:
    low = np.array([[0, 0], [300_000, 0], [300_000, 10_000], [0, 10_000]])
    high = np.array([[0, 0], [10_000, 0], [10_000, 200_000], [0, 200_000]])
    prepared = Prepared(
        Instance(WIDTH, (Item(0, (way(low, WIDTH),)), Item(1, (way(high, WIDTH),))))
    )
    assert {tuple(order.tolist()) for order in orders(prepared)} == {(0, 1), (1, 0)}


@pytest.mark.parametrize("most", [1, 3])
def test_few_lines_still_give_a_layout(most: int) -> None:
    bar = np.array([[0, 0], [50_000, 0], [50_000, 90_000], [0, 90_000]])
    instance = Instance(WIDTH, (Item(0, (way(bar, WIDTH),)),) * 5)
    prepared = Prepared(instance)
    layout = layout_in_order(prepared, np.arange(5), most)
    assert overlaps(instance, prepared, layout) == []


def test_a_group_without_a_direction_in_common_has_no_room() -> None:
    ring = np.array([[0, 0], [100, 0], [100, 100], [0, 100]])
    one, other = (Orientation(ring, 0, 100, ((0, 100),), direction) for direction in (0, 1))
    instance = Instance(400, (Item(0, (one,), 0), Item(1, (other,), 0)))
    with pytest.raises(NoRoom):
        row_layout(Prepared(instance))
