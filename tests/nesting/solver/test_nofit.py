"""No-fit polygons against a geometry library, and the slits of exact fits."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Point, Polygon

from nesting.solver.instance import Instance, IntArray, Item, Orientation
from nesting.solver.nofit.nofit import no_fit_polygon
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.programme.halfplanes import depth_inside
from tests.examples import examples


def edges_of(rings: Sequence[IntArray]) -> np.ndarray:
    return np.vstack([np.hstack([ring, np.roll(ring, -1, axis=0)]) for ring in rings]).astype(float)


@st.composite
def outlines(draw: st.DrawFn, size: int = 1000) -> IntArray:
    """Concave outlines, with parallel edges as often as not."""
    step = draw(st.sampled_from((1, size // 4)))
    radii = draw(st.lists(st.integers(size // 5, size), min_size=3, max_size=12))
    turns = [2 * math.pi * i / len(radii) for i in range(len(radii))]
    corners = np.array(
        [
            (step * round(r * math.cos(t) / step), step * round(r * math.sin(t) / step))
            for r, t in zip(radii, turns, strict=True)
        ]
    )
    shape = Polygon(corners)
    assume(shape.is_valid and shape.area > 0 and shape.exterior.is_ccw)
    assume(len(np.unique(corners, axis=0)) == len(corners))
    return corners + np.array(draw(st.tuples(st.integers(-300, 300), st.integers(-300, 300))))


@given(outlines(), outlines(), st.integers(0, 2**32 - 1))
@settings(max_examples=examples(100), deadline=None)
def test_inside_is_where_the_outlines_overlap(a: IntArray, b: IntArray, seed: int) -> None:
    edges = edges_of(no_fit_polygon(a, b))
    fixed, moved = Polygon(a), Polygon(b)
    for x, y in np.random.default_rng(seed).integers(-2500, 2500, (40, 2)):
        depth = depth_inside(edges, x, y)[0]
        placed = translate(moved, x, y)
        if depth > 1.5:  # corners are whole units
            assert fixed.intersection(placed).area > 0
        elif depth == 0:
            assert fixed.buffer(-1).intersection(placed.buffer(-1)).area == 0


@given(outlines(), outlines())
@settings(max_examples=examples(50), deadline=None)
def test_corners_are_places_of_contact(a: IntArray, b: IntArray) -> None:
    fixed, moved = Polygon(a), Polygon(b)
    for ring in no_fit_polygon(a, b):
        for x, y in ring:
            placed = translate(moved, x, y)
            assert fixed.distance(placed) <= 1.5
            assert fixed.buffer(-1.5).intersection(placed).area == pytest.approx(0, abs=1e-6)


SLOTTED = np.array([[0, 0], [9, 0], [9, 9], [6, 9], [6, 3], [3, 3], [3, 9], [0, 9]]) * 100
PEG = np.array([[0, 0], [3, 0], [3, 8], [0, 8]]) * 100


def test_a_peg_slides_in_a_slot_of_its_own_width() -> None:
    rings = no_fit_polygon(SLOTTED, PEG)
    slits = [ring for ring in rings if len(ring) == 2]
    assert len(slits) == 1
    assert sorted(slits[0].tolist()) == [[300, 300], [300, 900]]
    edges = edges_of(rings)
    for y, depth in ((300, 0), (500, 0), (299, 1), (200, 100)):
        assert depth_inside(edges, 300, y)[0] == pytest.approx(depth)
    assert depth_inside(edges, 310, 500)[0] == pytest.approx(10)


def test_a_wide_slot_is_open_and_a_narrow_one_shut() -> None:
    thin = PEG - np.array([[0, 0], [100, 0], [100, 0], [0, 0]])
    assert depth_inside(edges_of(no_fit_polygon(SLOTTED, thin)), 350, 500)[0] == 0
    thick = PEG + np.array([[0, 0], [100, 0], [100, 0], [0, 0]])
    rings = no_fit_polygon(SLOTTED, thick)
    assert all(len(ring) > 2 for ring in rings)
    assert depth_inside(edges_of(rings), 300, 500)[0] > 0


def test_a_cavity_is_a_clockwise_ring() -> None:
    room = [[0, 44], [20, 44], [20, 70], [70, 70], [70, 20], [20, 20], [20, 40], [0, 40]]
    cavity = np.array([[0, 0], [90, 0], [90, 90], [0, 90], *room])
    small = np.array([[0, 0], [10, 0], [10, 10], [0, 10]])
    rings = no_fit_polygon(cavity, small)
    areas = sorted(
        Polygon(ring).area * (1 if Polygon(ring).exterior.is_ccw else -1) for ring in rings
    )
    assert areas == [-1600, 10000]


def quarter(outline: IntArray) -> IntArray:
    return outline @ np.array([[0, 1], [-1, 0]])


def mirror(outline: IntArray) -> IntArray:
    return (outline * np.array([1, -1]))[::-1]


_FINER = 100
"""Outlines so much larger, so that rounding shows as what it is: small."""


@given(outlines(), outlines())
@settings(max_examples=examples(30), deadline=None)
def test_turns_and_mirror_images_share_their_polygons(a: IntArray, b: IntArray) -> None:
    a, b = _FINER * a, _FINER * b
    ways = [a, quarter(a), quarter(quarter(a)), mirror(a), quarter(mirror(a))]
    others = [b, quarter(b), mirror(b)]
    items = tuple(
        Item(kind, tuple(Orientation(np.ascontiguousarray(o), 0, 0, ((0, 0),)) for o in outlines))
        for kind, outlines in enumerate((ways, others))
    )
    nofits = Nofits(Instance(1, items, (np.ascontiguousarray(b),)))
    for i, way in enumerate(ways):
        assert _same_region(nofits.obstacle_edges(0, 0, i), no_fit_polygon(b, way))
        for j, other in enumerate(others):
            assert _same_region(nofits.edges(0, i, 1, j), no_fit_polygon(way, other))
            assert _same_region(nofits.edges(1, j, 0, i), no_fit_polygon(other, way))


def _same_region(edges: np.ndarray, rings: Sequence[IntArray]) -> bool:
    """Whether both forbid the same, to within the rounding of corners.

    A sharp corner that is rounded by one unit moves the edges beside it by several.
    """
    wanted = edges_of(rings)
    places = _FINER * np.random.default_rng(len(edges)).integers(-2500, 2500, (30, 2))
    return all(
        abs(depth_inside(edges, x, y)[0] - depth_inside(wanted, x, y)[0]) <= 30 for x, y in places
    )


def test_every_place_inside_is_found_with_many_corners() -> None:
    """Outlines like drafted pieces: a curve of 150 corners with a hollow side."""
    turn = np.linspace(0, 2 * math.pi, 150, endpoint=False)
    radius = 200_000 * (1 + 0.35 * np.cos(3 * turn))
    outline = np.rint(np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]))
    outline = outline.astype(np.int64)
    shape = Polygon(outline)
    rings = no_fit_polygon(outline, quarter(outline))
    region = Polygon(rings[0], rings[1:])
    moved = Polygon(quarter(outline))
    for x, y in np.random.default_rng(3).integers(-550_000, 550_000, (200, 2)):
        assert region.contains(Point(x, y)) == shape.intersects(translate(moved, x, y))
