"""What the kernels keep from move to move, against the same told anew."""

import numpy as np
import pytest

from nesting.solver.instance import Instance, Item, Layout
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Placed, Scratch, scratch_for
from nesting.solver.overlap.severity import enter_box, measure, measure_all, near_items
from nesting.solver.programme.compact import _Press
from nesting.solver.search.prepared import Prepared
from tests.nesting.solver.solver_shapes import way

WIDTH = 1_000_000
KITE = np.array([[0, 0], [90_000, -40_000], [260_000, 0], [90_000, 70_000]])
BAR = np.array([[0, 0], [500_000, 0], [500_000, 30_000], [0, 30_000]])


def crowd(items: int) -> Instance:
    kinds = [Item(kind, (way(shape, WIDTH),)) for kind, shape in enumerate((KITE, BAR))]
    return Instance(WIDTH, tuple(kinds[i % 2] for i in range(items)), (BAR + 200_000,))


def scattered(prepared: Prepared, random: np.random.Generator) -> Layout:
    items = len(prepared.first)
    xy = random.integers(40_000, 900_000, (items, 2))
    xy[:, 0] *= 3
    return Layout(np.zeros(items, dtype=np.int64), xy)


@pytest.mark.parametrize("seed", range(5))
def test_moves_leave_what_a_fresh_measure_tells(seed: int) -> None:
    random = np.random.default_rng(seed)
    prepared = Prepared(crowd(30))
    places, chosen = prepared.arrays(scattered(prepared, random))
    size, items = len(chosen), len(prepared.first)
    placed = Placed(places, chosen)

    def fresh() -> Scratch:
        scratch = scratch_for(items, size)
        measure_all(prepared.fields.tables, prepared.shapes, placed, scratch, items)
        return scratch

    kept = fresh()
    assert (kept.severity > 0).any()
    for item in random.integers(0, items, 60):
        places[item] = random.integers(40_000, 900_000, 2) * (3, 1)
        enter_box(prepared.shapes, placed, kept.boxes, item)
        measure(prepared.fields.tables, placed, kept, item)
        assert (np.diff(kept.boxes[at.BOX_X0]) >= 0).all()
    again = fresh()
    # Which of the two counts as moved changes the rounding.
    assert np.allclose(kept.severity, again.severity, rtol=1e-3)
    assert np.allclose(kept.worst, again.worst, rtol=1e-3)
    assert (kept.worst[at.WORST] == kept.severity.max(axis=1)).all()
    low = places + prepared.shapes[chosen, at.LOW_CORNER]
    high = places + prepared.shapes[chosen, at.HIGH_CORNER]
    for item in range(size):
        middle, half = random.integers(0, 2_700_000, 2), random.integers(1, 300_000, 2)
        count = near_items(kept.boxes, item, *(middle - half), *(middle + half), kept.near)
        meets = ((low < middle + half) & (high > middle - half)).all(axis=1)
        others = np.flatnonzero(meets & (np.arange(size) != item))
        assert sorted(kept.near[:count].tolist()) == others.tolist()


@pytest.mark.parametrize("reach", [0, 50_000])
def test_close_pairs_are_those_whose_boxes_meet(reach: float) -> None:
    instance = crowd(40)
    layout = scattered(Prepared(instance), np.random.default_rng(7))
    press = _Press(instance, Nofits(instance), layout)
    boxes = [
        (item.orientations[0].outline + place)
        for item, place in zip(instance.items, layout.xy, strict=True)
    ]
    low = np.array([box.min(axis=0) for box in boxes]) - reach
    high = np.array([box.max(axis=0) for box in boxes]) + reach
    wanted = [
        (one, other)
        for one in range(40)
        for other in range(one + 1, 40)
        if (low[one] < high[other]).all() and (low[other] < high[one]).all()
    ]
    first, second = press._pairs(layout.xy, reach)
    found = [(a, b) for a, b in zip(first.tolist(), second.tolist(), strict=True) if a >= 0]
    assert found == wanted
    assert wanted
