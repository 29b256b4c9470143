"""What the search works on in place of outlines: circles inside, simple outlines around."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from nesting.solver.instance import Instance, IntArray, Item
from nesting.solver.nofit.simplify import simplified
from nesting.solver.outline_cache import cached_by_outline
from nesting.solver.overlap.circles import MOST, inscribed_circles
from nesting.solver.overlap.severity import overlap
from nesting.solver.search.prepared import Prepared
from tests.examples import examples
from tests.nesting.solver.solver_shapes import outlines, way


@given(outlines())
@settings(max_examples=examples(60), deadline=None)
def test_circles_lie_inside_and_apart(outline: IntArray) -> None:
    shape = Polygon(outline)
    x, y, radius = inscribed_circles(outline)
    count = int((radius > 0).sum())
    assert 1 <= count <= MOST
    assert radius[0] >= 0.8 * radius.max()
    for i in range(count):
        assert shape.contains(Point(x[i], y[i]))
        assert shape.exterior.distance(Point(x[i], y[i])) >= radius[i] * (1 - 1e-9)
        for j in range(i):
            apart = math.hypot(x[i] - x[j], y[i] - y[j])
            assert apart >= (radius[i] + radius[j]) * (1 - 1e-9)


def test_first_circle_of_a_square_fills_it() -> None:
    square = np.array([[0, 0], [1000, 0], [1000, 1000], [0, 1000]])
    x, y, radius = inscribed_circles(square)[:, 0]
    assert (x, y, radius) == pytest.approx((500, 500, 500), rel=1e-3)


@given(outlines(most=60), st.integers(4, 30))
@settings(max_examples=examples(100), deadline=None)
def test_simple_outlines_hold_the_given_ones(outline: IntArray, enough: int) -> None:
    found = simplified(outline, enough)
    shape, around = Polygon(outline), Polygon(found)
    assert around.is_valid
    assert around.exterior.is_ccw
    assert len(found) <= len(outline)
    assert around.buffer(1).contains(shape)
    assert around.hausdorff_distance(shape) < 0.05 * math.hypot(*np.ptp(outline, axis=0))


def test_a_curve_of_many_corners_becomes_simple_at_little_cost() -> None:
    turn = np.linspace(0, 2 * math.pi, 150, endpoint=False)
    curve = np.rint(1e6 * np.column_stack([np.cos(turn), 0.6 * np.sin(turn)])).astype(np.int64)
    found = simplified(curve)
    assert len(found) <= 45
    assert Polygon(found).area < 1.02 * Polygon(curve).area


def test_outlines_are_asked_about_once() -> None:
    asked: list[int] = []

    def corners(one: IntArray, other: IntArray) -> int:
        assert one.flags.writeable
        asked.append(len(one))
        return len(one) + len(other)

    known = cached_by_outline(corners, 2)
    square, bar = np.arange(8).reshape(4, 2), np.arange(12).reshape(6, 2)
    assert [known(square, bar), known(square.copy(), bar), known(bar, square)] == [10, 10, 10]
    assert asked == [4, 6]
    assert known(square[::-1], bar) == 10
    assert asked == [4, 6, 4]


def test_fields_are_built_as_they_are_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    square = np.array([[0, 0], [1000, 0], [1000, 1000], [0, 1000]]) * 100
    hook = np.array([[0, 0], [1000, 0], [1000, 100], [100, 100], [100, 1000], [0, 1000]]) * 100
    items = (Item(0, (way(square, 10**6),)), Item(1, (way(hook, 10**6),)))
    monkeypatch.setattr("nesting.solver.search.prepared._BUILD_AHEAD", 0)
    prepared = Prepared(Instance(10**6, items))
    far, near = (0, 1, -200_000.0, 0.0), (0, 1, -99_000.0, 50_000.0)
    tables = prepared.fields.tables
    assert overlap(tables, *far, False) == 0
    assert not tables.wanted.any()
    assert overlap(tables, *near, False) > 0
    assert tables.wanted.all()
    prepared.build_missing(tables)
    aside = (0, 1, -101_000.0, 50_000.0)
    assert overlap(prepared.fields.tables, *near, False) > 0
    assert overlap(prepared.fields.tables, *aside, False) == 0
    assert not prepared.fields.tables.wanted.any()
