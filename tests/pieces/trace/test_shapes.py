"""Edges made smooth, halves that mirror each other, and what corners are told to have.

Edges are points of shapes of school geometry, with noise as a photograph has it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LinearRing, Polygon

from pieces.curves import length
from pieces.trace.camera import Points
from pieces.trace.marking import Told, line_of, told
from pieces.trace.mirror import Half, halved
from pieces.trace.smooth import Shape, smoothed

NOISE_MM = 0.05
FRONT = [(0, 0), (240, 0), (260, 300), (170, 320), (150, 270), (90, 270), (70, 320), (-20, 300)]
"""The same on both sides of x = 120."""


def edge(corners: list[tuple[float, float]], turn_deg: float = 0.0) -> Points:
    """Points half a millimetre apart, turned and with noise."""
    ring = LinearRing(corners)
    count = int(ring.length / 0.5)
    points = np.array(
        [ring.interpolate(i / count, normalized=True).coords[0] for i in range(count)]
    )
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    noise = np.random.default_rng(4).normal(0, NOISE_MM, points.shape)
    result: Points = points @ np.array([[cos, sin], [-sin, cos]]) + noise
    return result


def half(points: Points) -> Half | None:
    return halved(points, smoothed(points).outline)


def test_a_disc_is_a_few_curves() -> None:
    turns = np.linspace(0, 2 * np.pi, 1200, endpoint=False)
    noise = np.random.default_rng(1).normal(0, NOISE_MM, (1200, 2))
    shape = smoothed(100 * np.stack([np.cos(turns), np.sin(turns)], axis=1) + noise)
    assert Polygon(shape.outline).area == pytest.approx(math.pi * 100**2, rel=1e-3)
    assert not shape.corners
    assert len(shape.parts) < 20


def test_corners_are_kept_and_straight_edges_are_one_line() -> None:
    shape = smoothed(edge(FRONT, 17))
    assert len(shape.corners) == len(shape.parts) == len(FRONT)
    assert {len(part) for part in shape.parts} == {1}
    assert Polygon(shape.outline).area == pytest.approx(Polygon(FRONT).area, rel=1e-3)
    # Whichever way its points were told, it runs anticlockwise.
    assert LinearRing(smoothed(edge(FRONT)[::-1]).outline).is_ccw


def test_a_drop_has_one_corner() -> None:
    turns = np.radians(np.arange(-140, 141, 2))
    drop = [*zip(80 * np.cos(turns), 80 * np.sin(turns), strict=True), (-125.0, 0.0)]
    shape = smoothed(edge([(float(x), float(y)) for x, y in drop]))
    (corner,) = shape.corners
    assert math.dist(corner, (-125, 0)) < 0.5


@pytest.mark.parametrize("turn_deg", [0, 23, 90, 151])
def test_halves_that_mirror_each_other_go_on_the_fold(turn_deg: float) -> None:
    found = half(edge(FRONT, turn_deg))
    assert found is not None
    assert found.apart_mm < 8 * NOISE_MM
    assert math.dist(*found.fold) == pytest.approx(270, abs=0.1)
    assert Polygon(found.shape.outline).area == pytest.approx(Polygon(FRONT).area / 2, rel=1e-3)
    ring = LinearRing(found.shape.outline)
    assert all(min(math.dist(end, point) for point in ring.coords) == 0 for end in found.fold)
    way = math.degrees(math.atan2(*np.subtract(found.fold[1], found.fold[0])[::-1]))
    assert (way - 90 - turn_deg + 90) % 180 == pytest.approx(90, abs=0.05)


def test_what_is_no_half_of_one_fold_stays_whole() -> None:
    rectangle = [(0.0, 0.0), (200.0, 0.0), (200.0, 90.0), (0.0, 90.0)]
    lopsided = [(x + (4 if (x, y) == (260, 300) else 0), y) for x, y in FRONT]
    turns = np.radians(np.arange(0, 360, 3))
    disc = [(float(x), float(y)) for x, y in 90 * np.stack([np.cos(turns), np.sin(turns)], 1)]
    leaning = [(0.0, 0.0), (100.0, 0.0), (150.0, 80.0), (50.0, 80.0)]  # turns, but mirrors nowhere
    assert [half(edge(one)) for one in (rectangle, lopsided, disc, leaning)] == [None] * 4


SQUARE = Shape((0, 0), (((10, 0),), ((10, 10),), ((0, 10),), ((0, 0),)),
               ((0, 0), (10, 0), (10, 10), (0, 10)))  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a: fold 4-1", ((0, 10), (0, 0))),
        ("a: seam left side 2-4", ((10, 0), (10, 10), (0, 10))),
        ("a: seam hem 4-2", ((0, 10), (0, 0), (10, 0))),
        ("a: notch 1-2 at 4 mm", ((4, 0), (4, 8))),
        ("a: Notch 4-2 at 1 1/4 cm", ((2.5, 0), (2.5, 8))),
    ],
)
def test_what_runs_from_corner_to_corner(text: str, line: tuple[tuple[float, float], ...]) -> None:
    found = line_of(told(text), SQUARE.outline, SQUARE.corners)
    assert np.array(found) == pytest.approx(np.array(line))


def test_grain_runs_as_an_edge_does_through_the_middle() -> None:
    tail, head = line_of(told("a: grain 2-3"), SQUARE.outline, SQUARE.corners)
    assert (tail[0], head[0]) == pytest.approx((5, 5))
    assert head[1] > tail[1]


def test_what_corners_are_told_wrongly() -> None:
    assert told("left front: seam side 2-3") == Told("left front", "seam side", 2, 3)
    with pytest.raises(ValueError, match="is not understood"):
        told("front fold 4-5")
    with pytest.raises(ValueError, match="doesn't tell where its notch is"):
        told("a: notch 2-3")
    with pytest.raises(ValueError, match="a is 1 cm long from corner 2 to 3, so no notch is there"):
        line_of(told("a: notch 2-3 at 2 cm"), SQUARE.outline, SQUARE.corners)
    with pytest.raises(ValueError, match="a has 4 corners, so 3-5 is no stretch"):
        line_of(told("a: fold 3-5"), SQUARE.outline, SQUARE.corners)


def test_curves_are_as_long_as_their_points() -> None:
    turns = np.radians(np.arange(0, 91, 2))
    quarter = [(0.0, 0.0), *zip(200 * np.cos(turns), 200 * np.sin(turns), strict=True)]
    shape = smoothed(edge([(float(x), float(y)) for x, y in quarter]))
    lengths = [
        length(line_of(told(f"a: seam x {i + 1}-{(i + 1) % 3 + 1}"), shape.outline, shape.corners))
        for i in range(3)
    ]
    assert sorted(lengths) == pytest.approx([200, 200, 100 * math.pi], abs=0.5)
