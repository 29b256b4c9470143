"""No layout that can be made is shorter than the bound, and easy cases have the exact bound."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.solver.instance import Instance, Item, Orientation
from nesting.solver.proof import bounds
from nesting.solver.proof.bounds import lower_bound
from tests.examples import examples


def outline(*points: tuple[int, int]) -> np.ndarray:
    return np.array(points, dtype=np.int64)


def rectangle(length: int, height: int) -> np.ndarray:
    return outline((0, 0), (length, 0), (length, height), (0, height))


def free(shape: np.ndarray, width: int, **changed: object) -> Orientation:
    """An orientation that may lie anywhere across the strip."""
    given = {
        "x_low": -int(shape[:, 0].min()),
        "x_reach": int(shape[:, 0].max()),
        "y_ranges": ((-int(shape[:, 1].min()), width - int(shape[:, 1].max())),),
    }
    return Orientation(shape, **{**given, **changed})


def instance(width: int, *orientations: Orientation) -> Instance:
    return Instance(width, tuple(Item(i, (o,)) for i, o in enumerate(orientations)))


@st.composite
def dissected_strips(draw: st.DrawFn) -> tuple[Instance, int]:
    """A strip cut up into trapezoids, some of them left out, each about its own place.

    Cuts across run between whole points of the strip's edges and those along between whole
    points of the cuts, rounded away from nothing: the pieces' corners are shared, so that the
    pieces never overlap. Returns the instance and the length of the layout it came from.
    """
    width = draw(st.integers(4, 60))
    steps = draw(
        st.lists(st.tuples(st.integers(1, 30), st.integers(1, 30)), min_size=1, max_size=5)
    )
    slack = draw(st.integers(0, 20))
    low_x, high_x = 0, 0
    found: list[Orientation] = []
    farthest = 0
    for low_step, high_step in steps:
        corners = [(low_x, 0), (low_x + low_step, 0), (high_x + high_step, width), (high_x, width)]
        low_x, high_x = low_x + low_step, high_x + high_step
        if draw(st.integers(0, 5)) == 0:
            continue
        shape = outline(*corners)
        at = np.array([draw(st.integers(-5, 40)), draw(st.integers(-5, width))])
        reach = draw(st.integers(0, slack))
        y = int(at[1])
        ranges = draw(st.sampled_from([((y, y),), ((y - 3, y),), ((y - 2, y + slack),)]))
        found.append(
            Orientation(shape - at, int(at[0]), int(shape[:, 0].max() - at[0]) + reach, ranges)
        )
        farthest = max(farthest, int(shape[:, 0].max()) + reach)
    return instance(width, *found), farthest


@given(dissected_strips())
@settings(deadline=None)
def test_never_above_a_layout_that_was_cut_from_a_strip(case: tuple[Instance, int]) -> None:
    cut_up, length = case
    assert lower_bound(cut_up) <= length


@st.composite
def stacked_boxes(draw: st.DrawFn) -> tuple[Instance, int]:
    """Boxes with a gap already added, packed in layers; a box is half a triangle at times."""
    width = draw(st.integers(10, 100))
    half_gap = draw(st.integers(0, 4))
    x, found, farthest = 0, [], 0
    for _ in range(draw(st.integers(1, 6))):
        y, deepest = 0, 0
        while y < width:
            length, height = draw(st.integers(1, 40)), draw(st.integers(1, width))
            if y + height > width:
                break
            own = rectangle(length, height)[: draw(st.sampled_from([3, 4]))]
            grown = rectangle(length + 2 * half_gap, height + 2 * half_gap) - half_gap
            shape = own if half_gap == 0 else grown
            highest = width - height
            ranges = draw(st.sampled_from([((0, highest),), ((y, y),), ((0, y), (y, highest))]))
            found.append(Orientation(shape, 0, length, ranges))
            deepest = max(deepest, length)
            y += height + 2 * half_gap
        farthest = max(farthest, x + deepest)
        x += deepest + 2 * half_gap
    return instance(width, *found), farthest


@given(stacked_boxes())
@settings(max_examples=examples(100), deadline=None)
def test_never_above_a_layout_in_layers(case: tuple[Instance, int]) -> None:
    boxes, length = case
    assert lower_bound(boxes) <= length


def test_no_items_need_no_length() -> None:
    assert lower_bound(Instance(10, ())) == 0


def test_one_item_asks_for_its_own_reach_in_its_best_orientation() -> None:
    long_way = free(rectangle(90, 10), 100, x_low=5, x_reach=95)
    short_way = free(rectangle(10, 90), 100, x_low=5, x_reach=15)
    assert lower_bound(Instance(100, (Item(0, (long_way, short_way)),))) == 20


def test_area_fills_the_strip() -> None:
    # Four triangles make two squares as wide as the strip.
    lower, upper = outline((0, 0), (10, 0), (0, 10)), outline((10, 0), (10, 10), (0, 10))
    assert lower_bound(instance(10, *(free(t, 10) for t in (lower, upper, lower, upper)))) == 20


def test_items_too_wide_to_lie_side_by_side_add_up() -> None:
    shapes = [rectangle(length, 51) for length in (10, 20, 30)]
    assert lower_bound(instance(101, *(free(s, 101) for s in shapes))) == 60
    assert lower_bound(instance(102, *(free(s, 102) for s in shapes))) == 30


def test_narrow_items_do_not_fit_beside_wide_ones() -> None:
    # 70 + 40 > 100: each stands alone, though two of the narrow ones fit side by side.
    shapes = [rectangle(30, 70), rectangle(10, 40), rectangle(10, 40)]
    assert lower_bound(instance(100, *(free(s, 100) for s in shapes))) == 40


def test_three_items_of_which_only_two_fit_side_by_side() -> None:
    shapes = [rectangle(10, 34)] * 4
    assert lower_bound(instance(100, *(free(s, 100) for s in shapes))) == 20


def test_items_on_one_fold_lie_one_after_another() -> None:
    on_fold = [free(rectangle(length, 20), 100, y_ranges=((0, 0),)) for length in (40, 50, 60)]
    assert lower_bound(instance(100, *on_fold)) == 150


def test_items_on_two_folds_do_not() -> None:
    either = [free(rectangle(40, 20), 100, y_ranges=((0, 0), (80, 80))) for _ in range(2)]
    assert lower_bound(instance(100, *either)) == 40


def test_cones_on_one_fold_add_up_by_the_edge_that_lies_on_it() -> None:
    cone = outline((0, 0), (40, 0), (20, 60))
    found = lower_bound(instance(100, *[free(cone, 100, y_ranges=((0, 0),))] * 3))
    # A line half a unit above the fold cuts each at 40 (1 - 1/120).
    assert 118 <= found <= 120


def test_the_best_line_cuts_a_loose_cone_where_it_always_is_wide() -> None:
    """From 0 to 40 up, the line at 40.5 cuts it at least at the height of 40.5 above its base."""
    cone = outline((0, 0), (100, 0), (60, 60), (40, 60))
    found = bounds._along(bounds._kinds([Item(0, (free(cone, 100),))]))
    assert found == pytest.approx(100 - 80 * 40.5 / 60)


def test_a_band_is_as_narrow_as_its_own_items() -> None:
    # The lower band takes 10 of the strip's 100; its three items fill it one after another.
    band = [free(rectangle(20, 10), 100, y_ranges=((0, 0),))] * 2
    movable = [free(rectangle(20, 5), 100, y_ranges=((0, 5),))] * 2
    beside = free(rectangle(5, 80), 100, y_ranges=((10, 20),))
    assert lower_bound(instance(100, *band, *movable, beside)) == 60


def test_an_item_that_can_lie_elsewhere_is_not_counted_in_a_band() -> None:
    """Each of the three has its own band at the worst; on one band they would need 60."""
    shape = rectangle(20, 10)
    choices = tuple(free(shape, 100, y_ranges=((y, y),)) for y in (0, 40, 80))
    assert lower_bound(Instance(100, (Item(0, choices),) * 2 + (Item(1, choices[:1]),))) == 20


def test_gap_may_stick_out_of_the_strip() -> None:
    # Two pieces 50 across with a gap of 10 between fill 110: the outlines reach from -5 to 115.
    shape = rectangle(30, 60) - 5
    items = [free(shape, 110, x_low=0, x_reach=20, y_ranges=((0, 60),))] * 2
    assert lower_bound(instance(110, *items)) == 20


@pytest.mark.parametrize("width", [7, 12, 60, 97])
def test_functions_are_dual_feasible(width: int) -> None:
    """Parts of the width never count for more than the whole (the definition)."""
    random = np.random.default_rng(width)
    shares = bounds._shares(width, np.array(sorted({width // 2, width * 2 // 3, width // 3})))
    for _ in range(100):
        marks = np.sort(random.integers(0, width + 1, random.integers(1, 9)))
        parts = np.diff(np.concatenate([[0], marks, [width]])).astype(float)
        for share in shares:
            assert share(np.ones(len(parts)), parts, parts).sum() <= 1 + 1e-12


def test_slanting_cuts_are_integrated_exactly() -> None:
    """A triangle's share under a step at one half: the part of it that is wider than that."""
    share = bounds._stairs([(50.0, False)], 1.0)
    assert share(np.array([10.0]), np.array([0.0]), np.array([80.0]))[0] == pytest.approx(3.75)
