"""The search: legal layouts by a geometry library, and all that an instance may ask."""

import itertools
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.solver.instance import Instance, IntArray, Item, Layout, Orientation, Result
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Effort, Placed
from nesting.solver.progress import ignore
from nesting.solver.search import line
from nesting.solver.search.construct import row_layout
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.separate import shortened, swap_large
from nesting.solver.search.walk import Budget, Walker
from nesting.solver.solve import solve, warm_up
from nesting.solver.stop import (
    FirstOf,
    Fits,
    NoImprovement,
    Rounds,
    Seconds,
    State,
    Stop,
    StopToken,
    heeding,
    is_asked_here,
)
from nesting.solver.workers import workers
from tests.nesting.solver.solver_shapes import way

WIDTH = 1_000_000


def turned(outline: IntArray) -> IntArray:
    return -outline


def scaled(corners: list[tuple[float, float]]) -> IntArray:
    return np.rint(np.array(corners) * WIDTH / 10).astype(np.int64)


SQUARE = scaled([(0, 0), (5, 0), (5, 5), (0, 5)])
TRIANGLE = scaled([(0, 0), (4, 0), (0, 3)])
HOOK = scaled([(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)])
SLEEVE = scaled([(0, 0), (3, -1), (6, 0), (6, 3), (4.5, 3.6), (3, 4.5), (1.5, 3.6), (0, 3)])


def mixed(copies: int = 3, width: int = WIDTH) -> Instance:
    kinds = [
        Item(kind, (way(outline, width), way(turned(outline), width)))
        for kind, outline in enumerate((TRIANGLE, HOOK, SLEEVE))
    ]
    return Instance(width, tuple(item for item in kinds for _ in range(copies)))


def faults(instance: Instance, layout: Layout) -> list[str]:
    """What is wrong with a layout, allowing two units of overlap."""
    found = []
    shapes = []
    directions: dict[int, set[int]] = {}
    for i, item in enumerate(instance.items):
        own = item.orientations[int(layout.orientation[i])]
        x, y = layout.xy[i].tolist()
        if x < own.x_low:
            found.append(f"{i} lies before the strip")
        if not any(low <= y <= high for low, high in own.y_ranges):
            found.append(f"{i} lies out of its ranges")
        directions.setdefault(item.group if item.group >= 0 else -1 - i, set()).add(own.direction)
        shapes.append(translate(Polygon(own.outline), x, y))
    found += [f"group {g} lies both ways" for g, ways in directions.items() if len(ways) > 1]
    shapes += [Polygon(outline) for outline in instance.obstacles]
    cores = [shape.buffer(-1.0, join_style="mitre") for shape in shapes]
    items = len(instance.items)
    for a, b in itertools.combinations(range(len(cores)), 2):
        if a < items and cores[a].intersects(cores[b]):
            found.append(f"{a} and {b} overlap")
    return found


def require_good(instance: Instance, result: Result) -> None:
    assert faults(instance, result.layout) == []
    reach = [
        item.orientations[int(result.layout.orientation[i])].x_reach
        for i, item in enumerate(instance.items)
    ]
    assert result.length == int((result.layout.xy[:, 0] + reach).max())
    assert result.bound <= result.length


def test_squares_at_their_least_length_end_the_search_at_once() -> None:
    instance = Instance(WIDTH, (Item(0, (way(SQUARE, WIDTH),)),) * 6)
    result = solve(instance, Seconds(60))
    require_good(instance, result)
    assert result.length == 3 * WIDTH // 2
    assert result.proven
    assert result.seconds < 30


def test_two_triangles_make_their_rectangle() -> None:
    """Area and one whole rectangle prove 4 x 3 the optimum."""
    item = Item(0, (way(TRIANGLE, 300_000), way(turned(TRIANGLE), 300_000)))
    instance = Instance(300_000, (item, item))
    result = solve(instance, Rounds(100))
    require_good(instance, result)
    assert result.length <= 400_002


def test_same_rounds_same_layout_with_any_executor() -> None:
    instance = mixed()
    alone = solve(instance, Rounds(24), seed=5)
    require_good(instance, alone)
    again = solve(instance, Rounds(24), seed=5)
    with workers(2) as executor:
        shared = solve(instance, Rounds(24), seed=5, executor=executor)
    for other in (again, shared):
        assert (other.length, other.rounds) == (alone.length, alone.rounds)
        assert (other.layout.xy == alone.layout.xy).all()
        assert (other.layout.orientation == alone.layout.orientation).all()
    assert alone.rounds == 24


@pytest.mark.parametrize(("stop", "in_step"), [(Seconds(1.0), False), (Rounds(50), True)])
def test_walkers_wait_for_each_other_only_under_rounds(
    monkeypatch: pytest.MonkeyPatch, stop: Stop, in_step: bool
) -> None:
    slices: Counter[bool] = Counter()
    warm_up()  # its own walker is none of those counted

    def advance(walker: Walker, prepared: Prepared, budget: Budget) -> None:
        slow = int(walker.seeds[0]) % 2 == 0
        slices[slow] += 1
        time.sleep(0.1 if slow else 0.01)
        walker.rounds += 10

    monkeypatch.setattr(Walker, "advance", advance)
    made = itertools.count()
    monkeypatch.setattr(
        "nesting.solver.search.line.new_walker",
        lambda seed, number, best, length: Walker(
            np.array([next(made)], dtype=np.uint64), best, length
        ),
    )
    with ThreadPoolExecutor(2) as executor:
        solve(mixed(), stop, executor=executor)
    if in_step:
        assert slices == {False: 5, True: 5}
    else:
        assert slices[False] > 2 * slices[True] > 0


def test_start_is_never_worsened() -> None:
    instance = mixed()
    good = solve(instance, Rounds(30), seed=2)
    for rounds in (0, 5):
        result = solve(instance, Rounds(rounds), seed=3, start=good.layout)
        require_good(instance, result)
        assert result.length <= good.length


def test_items_of_a_group_take_one_direction() -> None:
    both = [
        Item(kind, (way(outline, WIDTH, 0), way(turned(outline), WIDTH, 1)), group)
        for kind, outline in enumerate((TRIANGLE, HOOK, SLEEVE))
        for group in (0, 1)
    ]
    instance = Instance(WIDTH, tuple(both))
    free = Instance(WIDTH, tuple(Item(item.kind, item.orientations) for item in both))
    result = solve(instance, Rounds(40), seed=1)
    require_good(instance, result)
    require_good(free, solve(free, Rounds(10), start=result.layout))


def test_items_keep_to_their_bands_and_folds() -> None:
    """Two bands that meet at 6; a band alone takes the hooks, two pieces lie on a fold."""
    bands = ((0, 100_000), (600_000, 600_000))
    hook = Item(0, (Orientation(HOOK, 0, 400_000, bands),))
    fold = Item(1, (Orientation(SLEEVE, 0, 600_000, ((100_000, 100_000),)),))
    instance = Instance(WIDTH, (hook, hook, hook, fold, fold))
    result = solve(instance, Rounds(60))
    require_good(instance, result)
    assert result.length < row_length(instance)


def test_obstacles_are_left_clear() -> None:
    obstacles = (
        scaled([(2, 0), (3, 0), (3, 10), (2, 10)]),
        scaled([(8, 4), (9, 4), (9, 5), (8, 5)]),
    )
    plain = mixed(2)
    instance = Instance(WIDTH, plain.items, obstacles)
    result = solve(instance, Rounds(40))
    require_good(instance, result)
    assert faults(instance, row_layout(Prepared(instance))) == []


def test_a_stretch_of_a_long_strip_is_searched_by_itself() -> None:
    prepared = Prepared(mixed(12))
    placed = Placed(*prepared.arrays(row_layout(prepared)))
    length = prepared.length(row_layout(prepared))
    window = 5.0 * WIDTH, 7.0 * WIDTH
    overlapping = shortened(prepared, placed, length - WIDTH // 20, 6.0 * WIDTH, window)
    before = overlapping.placed.places.copy()
    swap_large(prepared, overlapping, np.array([4], dtype=np.uint64))
    overlapping.round(prepared, np.array([7], dtype=np.uint64), Effort(25, 200, 3))
    places, chosen, _ = overlapping.placed
    moved = np.zeros(len(places), dtype=bool)
    moved[overlapping.moved] = True
    assert (places[~moved] == before[~moved]).all()
    assert (places[moved] != before[moved]).any()
    low = places + prepared.shapes[chosen, at.LOW_CORNER]
    high = places + prepared.shapes[chosen, at.HIGH_CORNER]
    assert (low[moved, 0] >= window[0] - 1).all()
    assert (high[moved, 0] <= window[1] + 1).all()


def test_a_long_strip_gets_shorter_and_repeats() -> None:
    instance = mixed(12, WIDTH * 6 // 10)
    first = solve(instance, Rounds(0))
    assert first.length > 4 * instance.width
    found = solve(instance, Rounds(30), seed=3)
    require_good(instance, found)
    assert found.length < first.length - WIDTH // 20
    with workers(2) as executor:
        again = solve(instance, Rounds(30), seed=3, executor=executor)
    assert (again.layout.xy == found.layout.xy).all()


def row_length(instance: Instance) -> int:
    prepared = Prepared(instance)
    return prepared.length(row_layout(prepared))


def test_one_item_and_none() -> None:
    single = Instance(WIDTH, (Item(0, (way(HOOK, WIDTH), way(turned(HOOK), WIDTH))),))
    result = solve(single, Seconds(30))
    assert (result.length, result.proven) == (400_000, True)
    empty = solve(Instance(WIDTH, ()), Seconds(30))
    assert (empty.length, empty.proven) == (0, True)


def test_watcher_sees_lengths_fall_and_a_length_that_fits_ends_the_search() -> None:
    seen: list[State] = []
    result = solve(mixed(), Rounds(40), watch=seen.append)
    lengths = [state.length for state in seen]
    assert lengths == sorted(lengths, reverse=True)
    assert [state.rounds for state in seen] == [0, 10, 20, 30, 40]
    early = solve(mixed(), Fits(lengths[0]), watch=ignore)
    assert early.rounds == 0
    assert early.length <= lengths[0]
    assert result.length == lengths[-1]


@pytest.mark.long
def test_search_ends_when_nothing_shorter_was_found_for_a_time() -> None:
    begun = time.perf_counter()
    seen: list[State] = []
    result = solve(mixed(), FirstOf(NoImprovement(1.0), Seconds(60)), watch=seen.append)
    assert seen[-1].since_better >= 1.0
    assert all(state.since_better < 1.0 for state in seen[:-1])
    assert result.seconds <= time.perf_counter() - begun < 55
    assert {state.bound for state in seen} == {result.bound}
    seconds = [state.seconds for state in seen]
    assert seconds == sorted(seconds)


@pytest.mark.parametrize(("stop", "tried"), [(Seconds(1e-3), 1), (Rounds(1), 5)])
def test_fewer_orders_are_tried_for_a_first_layout_when_time_is_short(
    monkeypatch: pytest.MonkeyPatch, stop: Stop, tried: int
) -> None:
    made: list[int] = []
    usual = line.layout_in_order

    def counted(
        prepared: Prepared, order: IntArray, lines: int, is_late: Callable[[], bool]
    ) -> Layout:
        made.append(len(order))
        return usual(prepared, order, lines, is_late)

    warm_up()
    monkeypatch.setattr(line, "layout_in_order", counted)
    monkeypatch.setattr(line, "GRACE_S", 0.0)
    result = solve(mixed(), stop)
    require_good(mixed(), result)
    assert len(made) == tried


def test_first_layouts_end_once_a_token_is_asked_in_their_thread(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whatever the stop says; nothing in another thread does."""
    made: list[int] = []
    token, usual = StopToken(), line.layout_in_order

    def asked(prepared: Prepared, order: IntArray, *rest: Any) -> Layout:
        made.append(len(order))
        token.ask()
        return usual(prepared, order, *rest)

    monkeypatch.setattr(line, "layout_in_order", asked)
    with heeding(token):
        result = solve(mixed(), Rounds(1000))
    require_good(mixed(), result)
    assert made == [len(mixed().items)]
    assert result.rounds == 0
    with ThreadPoolExecutor(1) as other, heeding(token):
        assert not other.submit(is_asked_here).result()
    assert not is_asked_here()


class Interrupting:
    """A stop that a Ctrl-C meets at its third reading."""

    def __init__(self) -> None:
        self.read = 0

    def __call__(self, state: State) -> float:
        self.read += 1
        if self.read > 8:
            raise KeyboardInterrupt
        return min(0.5, state.rounds / 1000)

    def portion(self, share: float) -> "Interrupting":
        return self


def test_interrupt_gives_the_best_so_far() -> None:
    result = solve(mixed(), Interrupting())
    assert result.interrupted
    require_good(mixed(), result)


def test_interrupt_before_any_layout_is_passed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("nesting.solver.search.line.lower_bound", interrupted)
    with pytest.raises(KeyboardInterrupt):
        solve(mixed(), Rounds(5))
    start = row_layout(Prepared(mixed()))
    kept = solve(mixed(), Rounds(5), start=start)
    assert kept.interrupted
    assert kept.layout is start


class Own:
    """A stop that goes by neither rounds nor the search's seconds, as one by processor time."""

    def __init__(self, looks: int) -> None:
        self.looks = looks

    def __call__(self, _: State) -> float:
        self.looks -= 1
        return float(self.looks <= 0)

    def portion(self, _: float) -> "Own":
        return self


@pytest.mark.parametrize(
    ("stop", "repeats"),
    [
        (Rounds(2), True),
        (Seconds(1), False),
        (FirstOf(Seconds(9), Rounds(2)), False),
        (Own(9), False),
    ],
)
def test_only_a_search_that_repeats_lets_a_proof_take_its_time(
    stop: Stop, repeats: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    monkeypatch.setattr(line, "exact_rectangles", lambda *args: asked.append(args))
    square = way(SQUARE, WIDTH)
    solve(Instance(WIDTH, (Item(0, (square,)),) * 3), stop, walkers=1)
    ((_, _, late),) = asked
    assert (late == np.inf) is repeats
