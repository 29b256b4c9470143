"""The room that half-planes leave around a place is outside, and as wide as it can be."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from nesting.solver.programme.halfplanes import MOST_PLANES, depth_inside, half_planes
from tests.examples import examples


def edges_of(*rings: list[tuple[int, int]]) -> np.ndarray:
    """Outer rings anticlockwise, holes clockwise: the forbidden side on the left."""
    found = [np.hstack([ring, np.roll(ring, -1, axis=0)]) for ring in map(np.array, rings)]
    return np.vstack(found).astype(np.float64)


SQUARE = edges_of([(0, 0), (10, 0), (10, 10), (0, 10)])
NOTCHED = edges_of([(0, 0), (30, 0), (30, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30)])


def planes_at(
    edges: np.ndarray,
    x: float,
    y: float,
    reach: float = 100,
    flat_first: bool = False,
    stretch: float = 1,
) -> np.ndarray:
    planes = np.zeros((MOST_PLANES, 3))
    return planes[: half_planes(edges, x, y, reach, flat_first, stretch, planes)]


@st.composite
def stars(draw: st.DrawFn) -> np.ndarray:
    """A polygon that is concave as a rule, about the origin."""
    radii = draw(st.lists(st.integers(200, 3000), min_size=3, max_size=14))
    turns = [2 * math.pi * i / len(radii) for i in range(len(radii))]
    corners = [
        (round(r * math.cos(t)), round(r * math.sin(t))) for r, t in zip(radii, turns, strict=True)
    ]
    assume(Polygon(corners).is_valid and Polygon(corners).area > 0)
    return edges_of(corners)


@given(
    stars(),
    st.integers(-4000, 4000),
    st.integers(-4000, 4000),
    st.booleans(),
    st.sampled_from([1.0, 4.0, 64.0]),
)
@settings(max_examples=examples(300), deadline=None)
def test_moves_that_keep_to_the_planes_end_outside(
    edges: np.ndarray, x: int, y: int, flat_first: bool, stretch: float
) -> None:
    planes = planes_at(edges, x, y, 700, flat_first, stretch)
    inner = Polygon(edges[:, :2]).buffer(-0.01)
    depth = depth_inside(edges, x, y)[0]
    assert depth == pytest.approx(_depth(edges, x, y), abs=1e-6)
    if depth == 0:
        assert (planes[:, 2] <= 1e-6).all()
    else:
        assert (planes[:, 2] > 0).any()
    random = np.random.default_rng(abs(x) + 5000 * abs(y))
    moves = random.uniform(-700, 700, (200, 2))
    kept = moves[(moves @ planes[:, :2].T >= planes[:, 2]).all(axis=1)]
    assert not any(inner.contains(Point(x + u, y + v)) for u, v in kept)


def _depth(edges: np.ndarray, x: float, y: float) -> float:
    polygon = Polygon(edges[:, :2])
    place = Point(x, y)
    return polygon.exterior.distance(place) if polygon.contains(place) else 0.0


def test_far_from_all_edges_nothing_is_in_the_way() -> None:
    assert len(planes_at(SQUARE, 200, 5)) == 0


def test_beside_an_edge_its_own_half_plane() -> None:
    assert planes_at(SQUARE, 13, 5).tolist() == [[1, 0, -3]]


def test_inside_the_nearest_way_out() -> None:
    assert planes_at(SQUARE, 8, 5).tolist() == [[1, 0, 2]]
    assert planes_at(SQUARE, 6, 8).tolist() == [[0, 1, 2]]
    assert planes_at(SQUARE, 6, 8, stretch=4).tolist() == [[1, 0, 4]]


def test_at_a_corner_the_choice_is_told() -> None:
    assert planes_at(SQUARE, 10, 10, flat_first=True).tolist() == [[0, 1, 0]]
    assert planes_at(SQUARE, 13, 11, flat_first=True).tolist() == [[0, 1, -1]]
    assert planes_at(SQUARE, 13, 11).tolist() == [[1, 0, -3]]


def test_in_a_notch_three_sides() -> None:
    found = {tuple(plane) for plane in planes_at(NOTCHED, 14, 20)}
    assert found == {(1, 0, -4), (-1, 0, -6), (0, 1, -10)}


def test_in_a_hole_all_sides() -> None:
    ring = edges_of([(0, 0), (9, 0), (9, 9), (0, 9)], [(3, 3), (3, 6), (6, 6), (6, 3)])
    assert len(planes_at(ring, 4, 4)) == 4
    assert depth_inside(ring, 4, 4)[0] == 0
    assert depth_inside(ring, 1, 4)[0] == 1


def test_a_slit_keeps_both_its_sides() -> None:
    """An exact fit: two blocks meet along y = 5 and only places on that line are free."""
    slit = edges_of([(0, 0), (9, 0), (9, 5), (0, 5)], [(0, 5), (9, 5), (9, 9), (0, 9)])
    assert {tuple(plane) for plane in planes_at(slit, 4, 5, reach=2)} == {(0, 1, 0), (0, -1, 0)}
