"""Curves flattened: their ends, their lengths, and how far chords stray."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.curves import arc, bezier, cut_at, length, smooth

POINTS = st.tuples(st.floats(-1000, 1000), st.floats(-1000, 1000))


@given(st.floats(5, 3000), st.floats(-360, 360), st.floats(1, 360), st.floats(0.01, 0.1))
def test_arc_chords_stray_less_than_the_tolerance(radius, start, sweep, tolerance):
    line = arc((3.0, -2.0), radius, start, start + sweep, tolerance)
    for (ax, ay), (bx, by) in pairwise(line):
        middle = math.hypot((ax + bx) / 2 - 3, (ay + by) / 2 + 2)
        assert radius - middle <= tolerance + 1e-9
        assert math.hypot(ax - 3, ay + 2) == pytest.approx(radius)
    true = radius * math.radians(sweep)
    assert true * (1 - tolerance / radius) <= length(line) <= true + 1e-9


def test_quarter_arc_ends_exactly_on_the_axes():
    line = arc((0.0, 0.0), 500.0, 180.0, 90.0)
    assert line[0] == (-500.0, 0.0)
    assert line[-1] == (0.0, 500.0)


def test_arc_refuses_what_has_no_radius():
    with pytest.raises(ValueError, match="above zero"):
        arc((0, 0), 0.0, 0, 90)


@given(POINTS, POINTS, POINTS, POINTS)
def test_bezier_stays_within_tolerance_of_a_finer_one(a, b, c, d):
    line = bezier(a, b, c, d, 0.1)
    assert (line[0], line[-1]) == (a, d)
    for i in range(101):
        t = i / 100
        s = 1 - t
        x, y = (
            s**3 * p + 3 * s * s * t * q + 3 * s * t * t * r + t**3 * e
            for p, q, r, e in zip(a, b, c, d, strict=True)
        )
        near = line[max(0, int(t * (len(line) - 1)) - 1) : int(t * (len(line) - 1)) + 3]
        assert min(_distance((x, y), p, q) for p, q in pairwise(near)) <= 0.1 + 1e-6


def _distance(point, a, b):
    (x, y), (ax, ay), (bx, by) = point, a, b
    squared = (bx - ax) ** 2 + (by - ay) ** 2
    t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / squared if squared else 0.0
    t = min(1.0, max(0.0, t))
    return math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay))


def test_quarter_ellipse_pull_gives_a_circle_to_a_few_parts_in_ten_thousand():
    k = 0.5523
    line = bezier((100.0, 0.0), (100.0, 100 * k), (100 * k, 100.0), (0.0, 100.0), 0.001)
    assert all(abs(math.hypot(x, y) - 100) < 0.03 for x, y in line)
    assert length(line) == pytest.approx(50 * math.pi, abs=0.05)


@given(st.lists(POINTS, min_size=2, max_size=7, unique_by=lambda p: (round(p[0]), round(p[1]))))
def test_smooth_curve_goes_through_its_points(points):
    points = [(round(x), round(y)) for x, y in points]
    line = smooth(points)
    places = [line.index(point) for point in points if point in line]
    assert len(places) == len(points)
    assert length(line) >= length(points) - 1e-6


def test_smooth_curve_through_points_of_a_circle_is_nearly_it():
    points = arc((0.0, 0.0), 100.0, 0.0, 180.0, tolerance_mm=2.0)
    assert len(points) < 10
    assert all(abs(math.hypot(x, y) - 100) < 0.2 for x, y in smooth(points))


@pytest.mark.parametrize("points", [[(0, 0)], [(0, 0), (0, 0)]])
def test_smooth_curve_needs_two_points_apart(points):
    with pytest.raises(ValueError, match="two points"):
        smooth(points)


@given(st.lists(POINTS, min_size=2, max_size=9, unique=True), st.floats(0.001, 0.999))
def test_cut_line_keeps_its_length_and_its_ends(points, share):
    line = tuple(points)
    whole = length(line)
    first, rest = cut_at(line, share * whole)
    assert first[-1] == rest[0]
    assert (first[0], rest[-1]) == (line[0], line[-1])
    assert length(first) == pytest.approx(share * whole, abs=1e-6)
    assert length(rest) == pytest.approx((1 - share) * whole, abs=1e-6)


def test_line_may_be_cut_at_a_corner_but_not_at_an_end():
    line = ((0.0, 0.0), (3.0, 0.0), (3.0, 4.0))
    assert cut_at(line, 3.0) == (((0.0, 0.0), (3.0, 0.0)), ((3.0, 0.0), (3.0, 0.0), (3.0, 4.0)))
    for at_mm in (0.0, 7.0, 8.0):
        with pytest.raises(ValueError, match="can't be parted"):
            cut_at(line, at_mm)
