"""Items tied to phases: known optima, small repeats, and that the same rounds repeat."""

from __future__ import annotations

from dataclasses import replace
from signal import SIGINT, raise_signal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.solver.instance import Instance, Item, Layout, Orientation, Phase
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.phased.lattice import genes_in, placed_on_phases
from nesting.solver.phased.line import TiedLine
from nesting.solver.phases import keeps_phases, levels, untied
from nesting.solver.programme.compact import compact, is_legal, separate
from nesting.solver.search.construct import columns
from nesting.solver.search.line import Begun, Pace, any_shorter
from nesting.solver.search.prepared import Prepared
from nesting.solver.solve import solve
from nesting.solver.stop import Rounds
from tests.examples import examples

WIDTH = 100_000


def box(kind: int, long: int, high: int, ties: tuple[tuple[int, float], ...] = ()) -> Item:
    ring = np.array([[0, 0], [long, 0], [long, high], [0, high]])
    return Item(kind, (Orientation(ring, 0, long, ((0, WIDTH - high),), 0, ties),))


def cut_up(seed: int, count: int, period: int) -> tuple[list[tuple[int, int]], int]:
    """Boxes that fill a strip with their left edges on the phase: an optimum that is known."""
    drawn = np.random.default_rng(seed)
    length = 10 * period
    boxes = [(length, WIDTH)]
    while len(boxes) < count:
        boxes.sort(key=lambda one: -one[0] * one[1])
        long, high = boxes.pop(0)
        if long > high and long >= 2 * period:
            part = period * int(drawn.integers(1, long // period))
            boxes += [(part, high), (long - part, high)]
        else:
            part = int(drawn.uniform(0.35, 0.65) * high)
            boxes += [(long, part), (long, high - part)]
    return boxes, length


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("count", [5, 9])
def test_boxes_cut_from_a_strip_on_a_phase_fill_it_again(seed: int, count: int) -> None:
    boxes, length = cut_up(seed, count, 20_000)
    items = tuple(box(number, *one, ties=((0, 0.0),)) for number, one in enumerate(boxes))
    found = solve(Instance(WIDTH, items, (), (Phase(0, 20_000.0),)), Rounds(60), seed=1)
    assert found.length == length


@pytest.mark.parametrize("period", [7_000.0, 20_000.0, 45_000.0])
def test_items_that_can_only_follow_each_other_take_whole_periods(period: float) -> None:
    """All but the last are rounded up to whole periods."""
    long = 30_000
    items = (box(0, long, 60_000, ((0, 123.0),)),) * 4
    found = solve(Instance(WIDTH, items, (), (Phase(0, period),)), Rounds(2))
    assert found.length == pytest.approx(3 * -(-long // period) * period + long, abs=4)


def test_two_phases_may_lie_apart() -> None:
    """Two garments: boxes of both interlock where one common phase would not let them."""
    ours, theirs = (box(kind, 10_000, 60_000, ((kind, 0.0),)) for kind in (0, 1))
    phases = (Phase(0, 20_000.0), Phase(0, 20_000.0))
    found = solve(Instance(WIDTH, (ours, ours, theirs, theirs), (), phases), Rounds(20))
    assert found.length == 40_000


def across_the_strip(free: bool) -> tuple[Instance, Layout]:
    """Two pairs of boxes as wide as the strip, each pair a period apart, 2 mm between them."""
    ours, theirs = (box(kind, 10_000, WIDTH, ((kind, 0.0),)) for kind in (0, 1))
    phases = (Phase(0, 30_000.0), Phase(0, 30_000.0, None if free else (12_000.0,)))
    xs = np.array([0, 30_000, 12_000, 42_000])
    layout = Layout(np.zeros(4, dtype=np.int64), np.column_stack([xs, 0 * xs]))
    return Instance(WIDTH, (ours, ours, theirs, theirs), (), phases), layout


def test_a_programme_moves_what_shares_a_phase_as_one() -> None:
    """The second pair closes up to the first of the first; its own second can't go further."""
    instance, layout = across_the_strip(free=True)
    moved = compact(instance, Nofits(instance), layout)
    assert moved.xy[:, 0] == pytest.approx([0, 30_000, 10_000, 40_000], abs=2)
    assert moved.xy[3, 0] - moved.xy[2, 0] == 30_000


def test_a_programme_leaves_a_phase_that_has_its_place() -> None:
    instance, layout = across_the_strip(free=False)
    assert (compact(instance, Nofits(instance), layout).xy == layout.xy).all()


def test_overlap_is_undone_by_moving_all_that_shares_a_phase() -> None:
    instance, layout = across_the_strip(free=True)
    layout.xy[2:, 0] -= 2_500
    found = separate(instance, Nofits(instance), layout)
    assert found is not None
    assert found.xy[3, 0] - found.xy[2, 0] == found.xy[1, 0] - found.xy[0, 0] == 30_000
    assert is_legal(untied(instance), Nofits(untied(instance)), found)


def random_items(tied: bool, period: float, count: int = 12) -> Instance:
    drawn = np.random.default_rng(5)
    sizes = [(int(a), int(b), float(c)) for a, b, c in drawn.integers(8_000, 40_000, (count, 3))]
    items = tuple(
        box(number, long, high, ((0, offset),) if tied else ())
        for number, (long, high, offset) in enumerate(sizes)
    )
    return Instance(WIDTH, items, (), (Phase(0, period),) if tied else ())


@pytest.mark.long
def test_a_repeat_that_is_next_to_nothing_costs_next_to_nothing() -> None:
    plain = solve(random_items(False, 0.0), Rounds(20), seed=2)
    tiny = solve(random_items(True, 20.0), Rounds(20), seed=2)
    assert tiny.length <= 1.002 * plain.length
    assert tiny.untied is not None


@pytest.mark.parametrize(("count", "rounds"), [(6, 6), pytest.param(12, 6, marks=pytest.mark.long)])
def test_the_same_rounds_and_seed_repeat_and_a_start_is_never_lost(count: int, rounds: int) -> None:
    instance = random_items(True, 15_000.0, count)
    one, other = (solve(instance, Rounds(rounds), seed=4) for _ in range(2))
    assert (one.layout.xy == other.layout.xy).all()
    begun = solve(instance, Rounds(1), seed=9, start=one.layout)
    assert begun.length <= one.length


@given(st.integers(1, 10**6), st.floats(300, 60_000), st.floats(300, 60_000), st.integers(2, 7))
@settings(max_examples=examples(30), deadline=None)
def test_layouts_are_legal_and_on_their_phases(
    seed: int, along: float, across: float, count: int
) -> None:
    drawn = np.random.default_rng(seed)
    items = []
    for number in range(count):
        long, high, offset = (int(value) for value in drawn.integers(5_000, 45_000, 3))
        ties = tuple((axis, float(offset)) for axis in (0, 1) if drawn.random() < 0.6)
        items.append(box(number, long, high, ties))
    instance = Instance(WIDTH, tuple(items), (), (Phase(0, along), Phase(1, across)))
    if not levels(instance)[1] and any(len(o.ties) for i in items for o in i.orientations):
        return  # the items tied across find no common level
    found = solve(instance, Rounds(1), seed=1)
    assert keeps_phases(instance, found.layout, 1.0)
    assert is_legal(untied(instance), Nofits(untied(instance)), found.layout)


def many(items: int) -> Instance:
    """Boxes of five kinds on phases along and across, a held one, and a bar in their way."""
    drawn = np.random.default_rng(3)
    sizes = drawn.integers(8_000, 40_000, (5, 3)).tolist()
    kinds = [
        box(kind, long, high, ((0, float(off)), (1, float(off)))[kind % 2 :])
        for kind, (long, high, off) in enumerate(sizes)
    ]
    bar = np.array([[200_000, 30_000], [230_000, 30_000], [230_000, 60_000], [200_000, 60_000]])
    first = Item(5, (replace(kinds[0].orientations[0], x_most=0, ties=()),))
    chosen = (*(kinds[number % 5] for number in range(items)), first)
    return Instance(WIDTH, chosen, (bar,), (Phase(0, 15_000.0), Phase(1, 9_000.0)))


def require_on_phases(instance: Instance, layout: Layout) -> None:
    assert keeps_phases(instance, layout, 1.0)
    assert is_legal(untied(instance), Nofits(untied(instance)), layout)


@pytest.mark.parametrize("placed", [0, 1, 7, 39])
def test_what_is_not_placed_when_it_is_late_lies_in_columns_on_its_phases(placed: int) -> None:
    instance = many(40)
    prepared, looks = Prepared(instance), iter(range(100))
    genes = genes_in(prepared, np.arange(41))
    found = placed_on_phases(prepared, genes, lambda: next(looks) > placed)
    assert found is not None
    require_on_phases(instance, found)
    whole = placed_on_phases(prepared, genes)
    assert whole is not None
    assert prepared.length(found) >= prepared.length(whole)


def test_first_layouts_on_phases_end_with_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """No other order is tried once there is one; without a limit there are five and the given."""
    monkeypatch.setattr("nesting.solver.phased.line.GRACE_S", 0.0)
    instance, made = many(40), []
    for late in (0.0, np.inf):
        line = TiedLine(instance, 1, any_shorter)
        line.free.gather(Begun((columns(untied(instance)),), 0))
        line.free.proved = True
        work = line.next(Pace(0, 0, 0.0, late=late))
        found = work.function(*work.args).layouts
        made.append(len(found))
        for layout in found:
            require_on_phases(instance, layout)
    assert made[0] == 1 < made[1]


def test_ctrl_c_is_answered_between_two_items_placed_on_phases() -> None:
    prepared, looks = Prepared(many(40)), iter(range(100))

    def interrupted() -> bool:
        if next(looks) == 5:
            raise_signal(SIGINT)
        return False

    with pytest.raises(KeyboardInterrupt):
        placed_on_phases(prepared, genes_in(prepared, np.arange(41)), interrupted)
    assert next(looks) == 6


def test_more_ways_than_can_be_searched_lie_in_columns_on_their_phases(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("nesting.solver.instance.MOST_WAYS", 4)
    instance = many(60)
    require_on_phases(instance, solve(instance, Rounds(3)).layout)
