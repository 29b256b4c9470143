"""Compaction never lengthens and never breaks a layout; separation mends slight overlaps."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from benchmarks.strip_set import read_set, to_instance
from nesting.solver.instance import Instance, Item, Layout, Orientation
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.programme.compact import compact, is_legal, separate
from nesting.solver.proof.bounds import lower_bound
from tests.examples import examples
from tests.nesting.solver.test_bounds import free, instance, outline, rectangle


def layout(*places: tuple[int, int]) -> Layout:
    return Layout(np.zeros(len(places), dtype=np.int64), np.array(places, dtype=np.int64))


def ways(problem: Instance, lay: Layout) -> list[Orientation]:
    return [
        item.orientations[which] for item, which in zip(problem.items, lay.orientation, strict=True)
    ]


def length_of(problem: Instance, lay: Layout) -> int:
    return max(int(x) + way.x_reach for way, (x, _) in zip(ways(problem, lay), lay.xy, strict=True))


def require_legal(problem: Instance, lay: Layout) -> None:
    """Judged by shapely: outlines drawn in by a unit don't meet; places keep to their ranges."""
    cores = [Polygon(shape).buffer(-1, join_style="mitre") for shape in problem.obstacles]
    for way, (x, y) in zip(ways(problem, lay), lay.xy, strict=True):
        assert x >= way.x_low
        assert any(low <= y <= high for low, high in way.y_ranges)
        cores.append(Polygon(way.outline + np.array([x, y])).buffer(-0.51, join_style="mitre"))
    fixed = len(problem.obstacles)
    for i, j in itertools.combinations(range(len(cores)), 2):
        assert j < fixed or cores[i].intersection(cores[j]).area < 1e-3


def pressed(problem: Instance, lay: Layout, rounds: int = 60) -> Layout:
    found = compact(problem, Nofits(problem), lay, rounds)
    require_legal(problem, found)
    assert length_of(problem, found) <= length_of(problem, lay)
    assert np.array_equal(found.orientation, lay.orientation)
    return found


def test_a_row_of_boxes_closes_up() -> None:
    boxes = instance(1000, *[free(rectangle(size, 600), 1000) for size in (300, 500, 200)])
    found = pressed(boxes, layout((20, 100), (351, 0), (1000, 77)))
    assert length_of(boxes, found) == 1000 == lower_bound(boxes)


def test_triangles_slide_into_one_square() -> None:
    lower = outline((0, 0), (1000, 0), (0, 1000))
    upper = outline((1000, 0), (1000, 1000), (0, 1000))
    pair = instance(1000, free(lower, 1000), free(upper, 1000))
    assert length_of(pair, pressed(pair, layout((0, 0), (1100, 0)))) == 1000


def test_a_box_slips_under_another_past_its_corner() -> None:
    boxes = instance(1000, *[free(rectangle(400, 500), 1000) for _ in range(2)])
    assert length_of(boxes, pressed(boxes, layout((0, 500), (400, 0)))) == 400


def test_places_keep_to_folds_and_bands() -> None:
    box = rectangle(400, 300)
    on_fold = free(box, 1000, y_ranges=((0, 0),))
    banded = free(box, 1000, y_ranges=((0, 100), (600, 700)), x_low=50, x_reach=470)
    problem = instance(1000, on_fold, on_fold, banded)
    found = pressed(problem, layout((0, 0), (500, 0), (1000, 650)))
    assert found.xy[:2].tolist() == [[0, 0], [400, 0]]
    assert 600 <= found.xy[2, 1] <= 700
    assert length_of(problem, found) == 800


def test_items_that_are_not_in_the_way_move_to_the_beginning() -> None:
    problem = instance(1000, free(rectangle(900, 500), 1000), free(rectangle(100, 500), 1000))
    assert pressed(problem, layout((0, 0), (150, 500))).xy.tolist() == [[0, 0], [0, 500]]


def test_obstacles_are_kept_clear() -> None:
    problem = Instance(
        1000, (Item(0, (free(rectangle(400, 600), 1000),)),), (rectangle(200, 200) + 400,)
    )
    found = pressed(problem, layout((900, 0)))
    assert length_of(problem, found) == 1000


def test_outside_a_window_items_stay_or_move_up_together() -> None:
    """Six boxes with gaps of 20 between them; only what lies around the third may close up."""
    boxes = instance(1000, *[free(rectangle(300, 600), 1000) for _ in range(6)])
    apart = layout(*[(320 * number, 50) for number in range(6)])
    found = compact(boxes, Nofits(boxes), apart, 20, window=(700, 900))
    require_legal(boxes, found)
    assert found.xy[:2].tolist() == [[0, 50], [320, 50]]
    assert found.xy[2:, 0].tolist() == [620, 920, 1240, 1560]
    assert found.xy[3:, 1].tolist() == [50, 50, 50]


def test_overlaps_far_from_a_window_are_undone_and_the_rest_keeps_its_form() -> None:
    boxes = instance(1000, *[free(rectangle(300, 600), 1000) for _ in range(16)])
    places = [[330 * number, 50] for number in range(16)]
    places[3][0] -= 40
    places[12][0] += 40
    overlapping = layout(*((x, y) for x, y in places))
    found = separate(boxes, Nofits(boxes), overlapping, window=(900, 1000))
    assert found is not None
    require_legal(boxes, found)
    assert found.xy[0].tolist() == places[0]
    between = np.diff(found.xy[5:11], axis=0)
    assert between.tolist() == [[330, 0]] * 5


def test_more_obstacles_than_items_are_kept_clear_of() -> None:
    walls = tuple(rectangle(100, 1000) + np.array([400 * n, 0]) for n in range(1, 4))
    box = instance(1000, free(rectangle(200, 600), 1000))
    walled = replace(box, obstacles=walls)
    found = separate(walled, Nofits(walled), layout((450, 100)))
    assert found is not None
    require_legal(walled, found)
    pressed = compact(walled, Nofits(walled), found)
    assert pressed.xy[0, 0] == 500
    assert not is_legal(walled, Nofits(walled), layout((450, 100)))


def spread_out(problem: Instance, seed: int) -> Layout:
    """Items in random orientations, row beside row across the strip, each row at its own place."""
    random = np.random.default_rng(seed)
    count = len(problem.items)
    which = np.array([random.integers(len(item.orientations)) for item in problem.items])
    xy = np.zeros((count, 2), dtype=np.int64)
    x = y = deepest = 0
    for index in random.permutation(count):
        shape = problem.items[index].orientations[which[index]].outline
        low, size = shape.min(axis=0), np.ptp(shape, axis=0)
        if y + size[1] > problem.width:
            x, y, deepest = x + deepest, 0, 0
        xy[index] = (x - low[0], y - low[1])
        y, deepest = y + size[1], max(deepest, size[0])
    return Layout(which, xy)


@pytest.mark.parametrize("name", ["shirts", "swim", "marques", "shapes0", "gardeyn0"])
def test_open_sets_get_shorter(name: str) -> None:
    problem = to_instance(read_set(name))
    start = spread_out(problem, 1)
    found = pressed(problem, start)
    assert length_of(problem, found) < 0.95 * length_of(problem, start)


@pytest.mark.parametrize("name", ["shirts", "trousers", "swim", "dagli"])
@pytest.mark.parametrize("seed", [1, 2])
def test_slight_overlaps_are_undone(name: str, seed: int) -> None:
    problem = to_instance(read_set(name))
    start = pressed(problem, spread_out(problem, seed), 20)
    jolt = np.random.default_rng(seed).uniform(-0.002, 0.002, start.xy.shape) * problem.width
    found = separate(
        problem, Nofits(problem), Layout(start.orientation, start.xy + jolt.astype(np.int64))
    )
    assert found is not None
    require_legal(problem, found)
    assert length_of(problem, found) < 1.01 * length_of(problem, start)


def test_separation_keeps_to_a_length_or_gives_up() -> None:
    boxes = instance(1000, *[free(rectangle(500, 600), 1000) for _ in range(2)])
    overlapping = layout((0, 0), (480, 10))
    found = separate(boxes, Nofits(boxes), overlapping, length=1000)
    assert found is not None
    require_legal(boxes, found)
    assert length_of(boxes, found) == 1000
    assert separate(boxes, Nofits(boxes), overlapping, length=990) is None


def test_a_full_column_is_left_along_the_strip() -> None:
    """The third box is nearest to a way out upwards, for which its range has no room."""
    shape = rectangle(500, 500)
    boxes = instance(1000, *[free(shape, 1000)] * 2, free(shape, 1000, y_ranges=((480, 490),)))
    found = separate(boxes, Nofits(boxes), layout((0, 0), (0, 500), (480, 495)))
    assert found is not None
    require_legal(boxes, found)
    assert length_of(boxes, found) == 1000


def test_a_legal_layout_needs_no_separation() -> None:
    problem = to_instance(read_set("albano"))
    start = spread_out(problem, 3)
    found = separate(problem, Nofits(problem), start)
    assert found is not None
    assert np.array_equal(found.xy, start.xy)


@st.composite
def sliced_strips(draw: st.DrawFn) -> tuple[Instance, Layout]:
    """A strip cut across by slanting lines, its slices pulled apart: it closes up again."""
    width = 10_000
    low_x = high_x = 0
    items, places = [], []
    for kind in range(draw(st.integers(1, 6))):
        low_step, high_step = draw(st.integers(50, 4000)), draw(st.integers(50, 4000))
        corners = [(low_x, 0), (low_x + low_step, 0), (high_x + high_step, width), (high_x, width)]
        shape = outline(*corners)
        items.append(Item(kind, (free(shape, width),)))
        places.append((draw(st.integers(0, 300)) + (places[-1][0] if places else 0), 0))
        low_x, high_x = low_x + low_step, high_x + high_step
    return Instance(width, tuple(items)), layout(*places)


@given(sliced_strips())
@settings(max_examples=examples(40), deadline=None)
def test_slices_close_up_exactly(case: tuple[Instance, Layout]) -> None:
    problem, apart = case
    together = max(int(item.orientations[0].outline[:, 0].max()) for item in problem.items)
    found = pressed(problem, apart)
    # To within a unit a slice; a start at the strip's beginning can be shorter still.
    assert length_of(problem, found) <= together + len(problem.items)
