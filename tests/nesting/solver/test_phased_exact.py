"""Rectangles on phases by constraint programming: known optima, and all placements tried."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.solver.instance import Instance, Item, Layout, Orientation, Phase
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.phased.exact import MOST_ITEMS, exact_tied
from nesting.solver.phases import keeps_phases, untied
from nesting.solver.programme.compact import is_legal
from nesting.solver.solve import solve
from nesting.solver.stop import Rounds
from tests.examples import examples
from tests.nesting.solver.test_phased import box, cut_up

WIDTH = 6


def small(kind: int, long: int, high: int, *ties: tuple[int, float], group: int = -1) -> Item:
    ring = np.array([[0, 0], [long, 0], [long, high], [0, high]])
    ways = [Orientation(ring, 0, long, ((0, WIDTH - high),), 0, ties)]
    if group >= 0:
        turned = Orientation(ring - np.array([long, high]), long, 0, ((high, WIDTH),), 1, ties)
        ways.append(turned)
    return Item(kind, tuple(ways), group)


def row(instance: Instance) -> Layout:
    """One behind the other, a period or more apart, on their phases at 0; directions 0."""
    xy, x = [], 0
    for item in instance.items:
        o, ties = item.orientations[0], dict(item.orientations[0].ties)
        place = {instance.phases[n].axis: (n, away) for n, away in ties.items()}
        y = 0
        if 1 in place:
            number, away = place[1]
            y = int(-away % instance.phases[number].period)
        if 0 in place:
            number, away = place[0]
            x += int(-(x + away) % instance.phases[number].period)
        xy.append((x, y))
        x += o.x_reach
    return Layout(np.zeros(len(xy), dtype=np.int64), np.array(xy, dtype=np.int64))


def tried_out(instance: Instance, most: int) -> int:
    """The least length among all placements at whole numbers that are legal and on the phases."""
    least = most
    ways = [
        [
            (way, x, y)
            for way, o in enumerate(item.orientations)
            for x in range(o.x_low, most - o.x_reach)
            for low, high in o.y_ranges
            for y in range(low, high + 1)
        ]
        for item in instance.items
    ]

    def reach(index: int, place: tuple[int, int, int]) -> int:
        return place[1] + instance.items[index].orientations[place[0]].x_reach

    def apart(one: np.ndarray, other: np.ndarray) -> bool:
        low, high = np.maximum(one.min(0), other.min(0)), np.minimum(one.max(0), other.max(0))
        return bool((low >= high).any())

    def add(taken: list[tuple[int, int, int]]) -> None:
        nonlocal least
        index = len(taken)
        if index == len(ways):
            layout = Layout(
                np.array([way for way, _, _ in taken]), np.array([[x, y] for _, x, y in taken])
            )
            directions = {
                (item.group, item.orientations[way].direction)
                for item, (way, _, _) in zip(instance.items, taken, strict=True)
                if item.group >= 0
            }
            one_way = len(directions) == len({group for group, _ in directions})
            if one_way and keeps_phases(instance, layout, 0.0):
                least = max(reach(i, place) for i, place in enumerate(taken))
            return
        shape = instance.items[index].orientations
        for place in ways[index]:
            ring = shape[place[0]].outline + np.array(place[1:])
            others = [
                instance.items[i].orientations[way].outline + np.array([x, y])
                for i, (way, x, y) in enumerate(taken)
            ]
            if reach(index, place) < least and all(
                apart(ring, other) for other in [*others, *instance.obstacles]
            ):
                add([*taken, place])

    add([])
    return least


@settings(max_examples=examples(25), deadline=None)
@given(
    sides=st.lists(st.tuples(st.integers(1, 3), st.integers(2, 5)), min_size=2, max_size=3),
    period=st.integers(2, 4),
    offset=st.integers(0, 3),
    apart=st.booleans(),
    nap=st.booleans(),
    flaw=st.booleans(),
)
def test_nothing_is_shorter_among_all_placements(
    sides: list[tuple[int, int]], period: int, offset: int, apart: bool, nap: bool, flaw: bool
) -> None:
    """The first item is on the first phase, the others, if `apart`, on a second."""
    items = [
        small(kind, *one, (int(apart and kind > 0), float(offset * (kind == 1))), group=nap - 1)
        for kind, one in enumerate(sides)
    ]
    block = np.array([[2, 2], [3, 2], [3, 4], [2, 4]])
    phases = (Phase(0, float(period)), Phase(0, float(period + 1), (1.0,)))
    instance = Instance(WIDTH, tuple(items), (block,) if flaw else (), phases)
    far = replace(instance, obstacles=())
    start = row(replace(far, phases=tuple(replace(p, choices=None) for p in phases)))
    start = Layout(start.orientation, start.xy + np.array([4 * period * (period + 1), 0]))
    found, proven = exact_tied(instance, start, 0, lambda: False)
    free = untied(instance)
    length = max(
        int(x) + item.orientations[int(way)].x_reach
        for item, way, (x, _) in zip(items, found.orientation, found.xy, strict=True)
    )
    assert proven
    assert is_legal(free, Nofits(free), found)
    assert keeps_phases(instance, found, 0.0)
    assert length == tried_out(instance, length + 1)


@pytest.mark.long
@pytest.mark.parametrize("seed", [2, 4])
def test_boxes_cut_from_a_strip_fill_it_again_before_anything_is_searched(seed: int) -> None:
    boxes, length = cut_up(seed, 16, 20_000)
    items = tuple(box(number, *one, ties=((0, 0.0),)) for number, one in enumerate(boxes))
    found = solve(Instance(100_000, items, (), (Phase(0, 20_000.0),)), Rounds(1), seed=1)
    assert found.length == length


def test_others_are_left_to_the_walkers() -> None:
    boxes = tuple(small(kind, 2, 3, (0, 0.0)) for kind in range(MOST_ITEMS + 1))
    three = np.array([[0, 0], [2, 0], [2, 3]])
    corner = Item(9, (Orientation(three, 0, 2, ((0, 3),), 0, ((0, 0.0),)),))
    phase = Phase(0, 5.0)
    for items, own in [
        (boxes, phase),
        ((*boxes[:2], corner), phase),
        (boxes[:2], replace(phase, period=4.5)),
    ]:
        instance = Instance(WIDTH, items, (), (own,))
        start = Layout(
            np.zeros(len(items), dtype=np.int64),
            np.array([[9 * (2 + i), 0] for i in range(len(items))]),
        )
        assert exact_tied(instance, start, 0, lambda: False) == (start, False)


def test_it_ends_when_told() -> None:
    instance = Instance(WIDTH, (small(0, 2, 3, (0, 0.0)),) * 3, (), (Phase(0, 5.0),))
    start = Layout(np.zeros(3, dtype=np.int64), np.array([[10 * i, 0] for i in range(3)]))
    assert exact_tied(instance, start, 0, lambda: True) == (start, False)
    found, proven = exact_tied(instance, start, 0, lambda: False)
    assert proven
    assert sorted(found.xy[:, 0].tolist()) == [0, 0, 5]
    assert exact_tied(instance, found, 7, lambda: False) == (found, True)
