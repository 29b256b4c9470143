"""Tables of severities, against outlines and circles themselves."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numba import njit
from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

from nesting.solver.instance import Instance, IntArray, Item
from nesting.solver.nofit.nofit import no_fit_polygon
from nesting.solver.nofit.turns import TURNS, turned
from nesting.solver.overlap.circles import inscribed_circles
from nesting.solver.overlap.fields import field_of, grid_size, size_of
from nesting.solver.overlap.severity import CONTACT, fast, overlap, owning
from nesting.solver.search.prepared import Prepared
from tests.examples import examples
from tests.nesting.solver.solver_shapes import outlines, way

WIDTH = 10**6
SQUARE = np.array([[0, 0], [1000, 0], [1000, 1000], [0, 1000]]) * 100


def prepared_for(*shapes: IntArray) -> Prepared:
    items = tuple(Item(kind, (way(shape, WIDTH),)) for kind, shape in enumerate(shapes))
    prepared = Prepared(Instance(WIDTH, items))
    prepared.build_ahead()
    return prepared


def severity(
    prepared: Prepared, fixed: int, moved: int, x: float, y: float, is_rough: bool = False
) -> float:
    return float(overlap(prepared.fields.tables, fixed, moved, x, y, is_rough))


@given(outlines(most=12), outlines(most=12), st.integers(0, 2**32 - 1))
@settings(max_examples=examples(60), deadline=None)
def test_severity_is_above_zero_just_where_outlines_overlap(
    a: IntArray, b: IntArray, seed: int
) -> None:
    prepared = prepared_for(a, b)
    one, other = Polygon(a), Polygon(b)
    for x, y in np.random.default_rng(seed).uniform(-150_000, 150_000, (40, 2)):
        found = severity(prepared, 0, 1, x, y)
        moved = translate(other, x, y)
        if one.buffer(-3).intersects(moved):
            assert found > 0
        elif not one.intersects(moved):
            assert found == 0
        assert (severity(prepared, 0, 1, x, y, is_rough=True) > 0) == (found > 0)


def is_symmetric(outline: IntArray) -> bool:
    """Whether a quarter turn or a reflection has the same corners."""
    corners = {
        frozenset(map(tuple, turned(outline, number).tolist())) for number in range(len(TURNS))
    }
    return len(corners) < len(TURNS)


@given(outlines(most=12), outlines(most=12), st.integers(0, 7), st.integers(0, 2**32 - 1))
@settings(max_examples=examples(60), deadline=None)
def test_turned_and_mirrored_pairs_share_a_table(
    a: IntArray, b: IntArray, number: int, seed: int
) -> None:
    """All eight of them, and seen from the other piece, overlap as the pair itself does.

    An outline that is its own mirror image is seen in two ways; the tables of both are as right as
    each other, but not the same between their cells.
    """
    assume(not is_symmetric(a))
    assume(not is_symmetric(b))
    plain = prepared_for(a, b)
    other = prepared_for(turned(a, number), turned(b, number))
    for place in np.random.default_rng(seed).uniform(-100_000, 100_000, (20, 2)):
        found = severity(plain, 0, 1, *place)
        assert severity(other, 0, 1, *(TURNS[number] @ place)) == pytest.approx(found, rel=1e-4)
        assert severity(plain, 1, 0, *-place) == pytest.approx(found, rel=1e-4)
    # One for each piece beside itself, one for both.
    assert len(other.fields.tables.cells) <= 3


def tailed(depth: float, least: float) -> float:
    return depth if depth >= least else least**2 / (2 * least - depth)


@given(outlines(most=12), st.integers(0, 2**32 - 1))
@settings(max_examples=examples(40), deadline=None)
def test_tables_hold_what_circles_and_depth_tell(a: IntArray, seed: int) -> None:
    """Circles one by one, and shapely's distance to the boundary of all places that overlap."""
    field = field_of(a, a, grid_size(1))
    x, y, radius = inscribed_circles(a)
    x, y, radius = x[radius > 0], y[radius > 0], radius[radius > 0]
    size = size_of(a)
    least = 0.01 * size.diameter
    region = unary_union([Polygon(ring) for ring in no_fit_polygon(a, a)])

    def told(dx: float, dy: float) -> float:
        total = 0.0
        for ax, ay, ar in zip(x, y, radius, strict=True):
            for bx, by, br in zip(x + dx, y + dy, radius, strict=True):
                depth = ar + br - math.hypot(ax - bx, ay - by)
                total += tailed(depth, least) * min(ar, br)
        away = region.boundary.distance(Point(dx, dy))
        depth = away if region.contains(Point(dx, dy)) else -away
        return math.sqrt(math.sqrt(total) * tailed(depth, least)) * math.sqrt(size.hull)

    cells = len(field.cells)
    for row, column in np.random.default_rng(seed).integers(0, cells + 1, (10, 2)):
        place = field.frame[:2] + (column, row) * field.frame[2:]
        assert field.values[row, column] == pytest.approx(told(*place), rel=1e-3)


def test_severity_falls_as_pieces_part() -> None:
    prepared = prepared_for(SQUARE)
    places = (1e3, 3e4, 6e4, 9e4, 9.9e4, 99_997.0, 1e5 - CONTACT / 2, 1e5)
    found = [severity(prepared, 0, 0, x, 0.0) for x in places]
    assert found == sorted(found, reverse=True)
    assert found[-3] > 0
    assert found[-2:] == [0, 0]


@pytest.mark.long
@pytest.mark.parametrize(("kind", "counts"), [(fast, False), (owning, True)])
def test_kernels_of_the_search_count_no_references(kind: Any, counts: bool) -> None:
    """Counting took half of a search's time; a compiler that does it again would pass unnoticed."""
    options = {k: v for k, v in kind(lambda: None).targetoptions.items() if k != "nopython"}
    kernel = njit(**options)(overlap.py_func)
    assert kernel(prepared_for(SQUARE).fields.tables, 0, 0, 5e4, 0.0, False) > 0
    code = "".join(kernel.inspect_asm().values())
    assert ("NRT_incref" in code) == counts


def test_more_shapes_have_coarser_tables() -> None:
    """So that those of an order of many pieces still fit into memory."""
    assert grid_size(10) >= grid_size(200) >= grid_size(5000) > 0
    assert grid_size(10) > grid_size(5000)
    coarse, fine = field_of(SQUARE, SQUARE, 16).values, field_of(SQUARE, SQUARE, 32).values
    assert (coarse == fine[::2, ::2]).all()
