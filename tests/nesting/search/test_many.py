"""Many corners, many pieces: planned in the time asked for, or refused in plain words."""

from __future__ import annotations

import math
import signal
import time
import tracemalloc
from functools import partial
from multiprocessing import active_children
from typing import Any
from unittest.mock import Mock

import pytest
from shapely.geometry import MultiPoint, Polygon

from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Ended
from nesting.fabric.unfold import opened
from nesting.order.read import order_from_text
from nesting.output.report.report import report
from nesting.packing.corners import drawn_round, drawn_within
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from nesting.search.clock import Clock
from nesting.search.problem_builder import problems_for
from nesting.search.runner import Runner
from nesting.search.session import Session
from nesting.search.state import ignore
from nesting.solver import instance as limits
from nesting.solver.instance import Instance
from nesting.solver.nofit.nofit import no_fit_polygon
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Effort, Placed
from nesting.solver.programme.compact import is_legal
from nesting.solver.proof.bounds import lower_bound
from nesting.solver.search import subsets
from nesting.solver.search.construct import columns, layout_in_order, orders, row_layout
from nesting.solver.search.line import NEVER, Line, Pace, Slice
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.separate import Outcome, shortened
from nesting.solver.search.walk import new_walker
from nesting.solver.stop import Rounds, Seconds, Stop
from nesting.solver.workers import workers
from nesting.verify import rules as verify_rules
from nesting.verify.judge import verify
from pieces.errors import OrderFault
from pieces.geometry import _is_mirror_image, same_under_mirror
from tests.nesting.search.many import HEAD, MANY, all_different, piece, twenty_shapes, wavy

SECONDS = 0.5
LATE = 5.0 + 2.0 * MANY
"""Seconds past its time that a plan may take on a busy machine."""
PRINTED = """
[fabric.lawn]
width = "140 cm"
repeat = { length = "12 cm" }
"""


def instance_of(text: str, lay: LayName = LayName.OPEN) -> Instance:
    order = order_from_text(text, "many.toml")
    (problem,) = problems_for(order, draft_order(order).pieces, lay)
    return problem.packings[0].instance


def test_a_mirror_image_of_many_corners_is_known_by_little_memory() -> None:
    round_one = [
        (150 + 100 * math.cos(2 * math.pi * n / 5000), 100 * math.sin(2 * math.pi * n / 5000))
        for n in range(5000)
    ]
    tracemalloc.start()
    assert same_under_mirror(tuple(round_one), (0.0,))
    assert not same_under_mirror(tuple(wavy(5000)), (0.0, 180.0))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 50e6  # each corner with each edge would be 400 MB and more


@pytest.mark.parametrize("corners", [500, 4000, 20_000])
def test_fewer_corners_lie_round_and_within(corners: int) -> None:
    outline = tuple(wavy(corners))
    whole, wider, narrower = map(Polygon, (outline, drawn_round(outline), drawn_within(outline)))
    assert wider.contains(whole)
    assert whole.contains(narrower)
    assert len(wider.exterior.coords) <= 800
    assert wider.area - narrower.area < 0.1 * whole.length


@pytest.mark.long
def test_an_outline_of_many_corners_is_planned_in_time() -> None:
    begun = time.monotonic()
    text = HEAD + piece("wave", wavy(20_000 * MANY if MANY < 3 else 50_000), cut=2)
    made = plan(order_from_text(text, "wave.toml"), Seconds(SECONDS), jobs=1)
    assert time.monotonic() - begun < SECONDS + LATE + 15  # 3 s more where nothing else runs
    (cloth,) = made.fabrics
    assert len(cloth.marker.placements[0].outline_mm) >= 20_000
    assert verify(cloth.fabric, cloth.pieces, cloth.marker) == ()


def test_bounds_are_of_what_the_outline_holds() -> None:
    text = HEAD.replace("1400", "200") + piece("wave", wavy(2000), cut=3)
    many = instance_of(text)
    area = 3 * Polygon(wavy(2000)).area * 1e8
    exact = Nofits(many)
    assert lower_bound(many, exact) <= 3 * 2750_000
    assert all(
        Polygon(o.least).area <= area / 3 < Polygon(o.outline).area
        for item in many.items
        for o in item.orientations
    )


@pytest.mark.parametrize("text", [all_different(80), twenty_shapes(80)])
@pytest.mark.parametrize("lay", [LayName.OPEN, LayName.LENGTHWISE_FOLD])
def test_columns_are_legal_and_far_shorter_than_a_row(text: str, lay: LayName) -> None:
    instance = instance_of(text, lay)
    prepared = Prepared(instance)
    found = columns(instance)
    assert is_legal(instance, prepared.nofits, found)
    assert 2 * instance.length(found) < instance.length(row_layout(prepared))


@pytest.mark.parametrize("placed", [0, 1, 7, 30])
def test_a_first_layout_can_be_broken_off_anywhere(placed: int) -> None:
    instance = instance_of(all_different(40))
    prepared = Prepared(instance)
    asked = 0

    def is_late() -> bool:
        nonlocal asked
        asked += 1
        return asked > placed

    found = layout_in_order(prepared, orders(prepared)[0], 60, is_late)
    assert asked == placed + 1
    assert is_legal(instance, prepared.nofits, found)


def test_no_time_at_all_still_gives_a_layout_at_once() -> None:
    line = Line(instance_of(all_different(300 * MANY)), 1)
    begun = time.perf_counter()
    work = line.next(Pace(1, 0.0, 1.0, orders=1, late=0.0))
    line.gather(work.function(*work.args))
    assert time.perf_counter() - begun < 1.0 * MANY
    assert line.begun
    assert line.length < NEVER


@pytest.mark.long
@pytest.mark.parametrize("text", [all_different(300 * MANY), twenty_shapes(300 * MANY)])
def test_many_pieces_are_planned_in_time(text: str) -> None:
    order = order_from_text(text, "many.toml")
    begun = time.monotonic()
    made = plan(order, Seconds(SECONDS), jobs=1)
    assert time.monotonic() - begun < SECONDS + LATE
    (cloth,) = made.fabrics
    assert verify(cloth.fabric, cloth.pieces, cloth.marker) == ()


@pytest.mark.long
def test_more_than_can_be_held_is_refused_all_at_once() -> None:
    far = [(float(n), 0.0) for n in range(50_000)] + [(0.0, 40.0)]
    text = HEAD + piece("fine", far) + piece("finer", [*far, (0.0, 41.0)])
    with pytest.raises(OrderFault) as refused:
        order_from_text(text, "fine.toml")
    one, other = refused.value.faults
    assert (one.where, one.key, other.key) == ("fine.toml", "piece[0].outline", "piece[1].outline")
    assert "50,001 points; 50,000 are the most" in f"{one}"
    assert "Leave out points" in f"{one}"


def test_more_parts_than_can_be_laid_are_refused_cloth_by_cloth() -> None:
    shape = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0)]
    text = HEAD + "[fabric.silk]\nwidth = 900\n"
    text += "".join(piece(f"lawn {n}", shape, 500) for n in range(11))
    text += "".join(piece(f"silk {n}", shape, 500) for n in range(11)).replace('"lawn"', '"silk"')
    order = order_from_text(text, "many.toml")
    with pytest.raises(OrderFault) as refused:
        plan(order, Seconds(SECONDS), jobs=1)
    assert [one.key for one in refused.value.faults] == ["fabric.lawn", "fabric.silk"]
    assert "5,500 parts" in f"{refused.value}"
    assert "Share the pieces out" in f"{refused.value}"


def test_a_round_that_lacks_fields_is_broken_off_and_leaves_no_trace() -> None:
    """What comes of a search must not depend on how often its slices were too short."""
    instance = instance_of(all_different(40))
    ends, effort = [], Effort(25, 200, 3)
    for breaks in (0, 2):
        prepared, layout = Prepared(instance), columns(instance)
        seeds = new_walker(1, 0, layout, 0).seeds
        shorter = 0.97 * instance.length(layout)
        overlapping = shortened(prepared, Placed(*prepared.arrays(layout)), shorter, 0.0)
        for _ in range(breaks):
            before = int((prepared.fields.tables.sites[:, :, at.TABLE] >= 0).sum())
            assert overlapping.round(prepared, seeds, effort, lambda: True) is Outcome.LATE
            built = int((prepared.fields.tables.sites[:, :, at.TABLE] >= 0).sum()) - before
            assert 0 < built < 500  # of some thousands that it lacks
        ends.append(
            (
                overlapping.round(prepared, seeds, effort),
                overlapping.loss,
                overlapping.placed.places.tolist(),
            )
        )
    assert ends[0] == ends[1]


def test_layouts_are_matched_without_trying_each_cut_with_each_outline(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    order = order_from_text(twenty_shapes(400), "many.toml")
    (problem,) = problems_for(order, draft_order(order).pieces, None)
    lays = {packing.lay.name: packing for packing in problem.all_packings}
    fold, free = lays[LayName.LENGTHWISE_FOLD], lays[LayName.OPEN]
    outlines = opened(fold.marker(columns(fold.instance)), fold.lay)
    tried = Mock(side_effect=free._match)
    monkeypatch.setattr(free, "_match", tried)
    assert free.layout_like(outlines, {}) is not None
    assert tried.call_count <= 2 * len(free.cuts)


def test_a_nap_is_verified_without_holding_each_piece_against_each(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = all_different(60).replace("width = 1400", 'width = 1400\nnap = "one-way"')
    order = order_from_text(text, "many.toml")
    pieces = draft_order(order).pieces
    (problem,) = problems_for(order, pieces, LayName.OPEN)
    marker = problem.packings[0].marker(columns(problem.packings[0].instance))
    asked = Mock(side_effect=verify_rules._senses)
    monkeypatch.setattr(verify_rules, "_senses", asked)
    assert verify(problem.fabric, pieces, marker) == ()
    assert asked.call_count < 10 * len(pieces)


def test_a_mirror_image_is_looked_for_once() -> None:
    outline = tuple(wavy(300))
    assert not same_under_mirror(outline, (0.0, 180.0))
    known = _is_mirror_image.cache_info().hits
    assert not same_under_mirror(tuple(outline), (0.0, 180.0))
    assert _is_mirror_image.cache_info().hits == known + 2


def test_guesses_of_many_pieces_are_by_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    instance = instance_of(all_different(12))
    monkeypatch.setattr(subsets, "_MOST", 11)
    some = Instance(instance.width, instance.items[2:9])
    found = subsets.Subsets(instance).length(range(2, 9))
    assert found == some.length(columns(some))


@pytest.mark.parametrize("stop", [Seconds(SECONDS), Rounds(2)])
def test_too_many_different_outlines_are_told_to_lie_in_columns_only(
    stop: Stop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "MOST_WAYS", 20)
    order = order_from_text(all_different(15), "many.toml")
    made = plan(order, stop, jobs=1, lay=LayName.OPEN)
    assert made.ended is Ended.COLUMNS
    (told,) = (one for one in made.findings if one.code == "laid-in-columns")
    assert "only laid in columns" in told.message
    assert "nothing was left to gain" not in report(made)


def test_too_many_different_outlines_on_a_print_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(limits, "MOST_WAYS", 4)
    text = 'units = "mm"' + PRINTED + all_different(5).split("width = 1400\n")[1]
    text = text.replace(
        "grain =", 'points = { middle = { along = 10, across = 10 } }\nmatch = ["middle"]\ngrain ='
    )
    order = order_from_text(text, "many.toml")
    with pytest.raises(OrderFault, match=r"many\.toml: fabric\.lawn: .*print.*Share the pieces"):
        plan(order, Seconds(SECONDS), jobs=1)


def test_a_first_layout_by_rounds_is_broken_off_by_ctrl_c_too() -> None:
    order = order_from_text(all_different(10), "many.toml")
    (problem,) = problems_for(order, draft_order(order).pieces, LayName.OPEN)
    session = Session(Clock(Rounds(2)))
    cloth = session.cloth(problem)
    asked = []

    def take(clock: Clock) -> Slice:
        asked.append(clock.repeats)
        return real(clock)

    one = next(iter(cloth.candidates()))
    real, one.take = one.take, take  # type: ignore[method-assign]
    Runner(session.searching, None, 1, ignore)._first_layouts([cloth])
    assert asked == [False]
    assert cloth.length_mm < math.inf


def test_convex_outlines_have_the_no_fit_polygon_of_their_corners() -> None:
    """A sum of convex outlines: the hull of the sums of corners (de Berg and others 2008, 13.2)."""
    for one, other in zip(
        (o.orientations[0].outline for o in instance_of(all_different(40)).items),
        (o.orientations[1].outline for o in instance_of(all_different(41)).items[1:]),
        strict=True,
    ):
        (ring,) = no_fit_polygon(one, other)
        sums = MultiPoint((one[:, None] - other[None]).reshape(-1, 2))
        assert Polygon(ring).equals(sums.convex_hull)
        assert len(ring) == len(sums.convex_hull.exterior.coords) - 1


@pytest.mark.parametrize("answer", [signal.SIG_DFL, lambda *_: None])
def test_work_that_goes_on_past_the_end_is_not_waited_for(
    answer: Any, request: pytest.FixtureRequest
) -> None:
    """Nor where whoever searches has an answer of its own to the signal that ends a process."""
    request.addfinalizer(partial(signal.signal, signal.SIGTERM, signal.getsignal(signal.SIGTERM)))
    signal.signal(signal.SIGTERM, answer)
    before = set(active_children())
    with workers(2) as pool:
        assert pool is not None
        pool.submit(time.sleep, 60)
        started = set(active_children()) - before
    assert started
    # A process that a thread of the pool reaps just now still seems alive to this one.
    until = time.monotonic() + 20
    while any(process.is_alive() for process in started) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(process.is_alive() for process in started)
