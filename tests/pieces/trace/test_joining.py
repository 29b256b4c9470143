"""Several photographs of one piece: what each shows of a known outline, joined into one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import LinearRing, Polygon, box

import tests.pieces.trace.photographs as ph
from pieces.errors import OrderFault
from pieces.trace.camera import Seen, View
from pieces.trace.joining import Part, Sighting, joined
from pieces.trace.sheet_found import cameras
from pieces.trace.tracing import trace_joined
from tests.pieces.trace.test_trace import check

pytestmark = pytest.mark.long

PIECE = Polygon([(0, 0), (900, 0), (930, 120), (860, 300), (400, 330), (0, 280)])
LEFT, MIDDLE, RIGHT = box(-50, -50, 400, 400), box(300, -50, 700, 400), box(600, -50, 1000, 400)


def part(window: Polygon, move: tuple[float, float] = (0, 0), off_mm: float = 0.3) -> Part:
    """What a window shows of the piece, half a millimetre apart, moved."""
    ring = PIECE.intersection(window).exterior
    spots = shapely.line_interpolate_point(ring, np.arange(0, ring.length, 0.5))
    real = shapely.distance(spots, PIECE.exterior) < 1e-6
    points = shapely.get_coordinates(spots) + move
    return Part(points, np.where(real, off_mm, np.inf))


def sighted(*parts: Part) -> list[Sighting]:
    return [Sighting([one], Path(f"{number}.jpg")) for number, one in enumerate(parts, 1)]


def area(parts: list[Sighting]) -> float:
    ((ring, _),) = joined(parts)
    return Polygon(ring).area


def test_parts_make_the_whole() -> None:
    ((ring, off),) = joined(sighted(part(LEFT), part(MIDDLE), part(RIGHT)))
    assert Polygon(ring).area == pytest.approx(PIECE.area, rel=1e-4)
    away = shapely.distance(shapely.points(ring), LinearRing(PIECE.exterior))
    assert np.quantile(away, 0.99) < 0.05
    assert off == pytest.approx(0.3)


def test_the_edge_runs_nearer_to_the_photograph_that_knows_it_better() -> None:
    """The upper of two, 1 mm apart, is known half as well: a fifth of the way towards it."""
    ((ring, off),) = joined(sighted(part(LEFT), part(LEFT | MIDDLE, (0, -1), 0.6), part(RIGHT)))
    low = ring[(ring[:, 0] > 50) & (ring[:, 0] < 250) & (ring[:, 1] < 5)]
    assert low[:, 1] == pytest.approx(-0.2, abs=0.01)
    assert off.min() == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((part(LEFT), part(RIGHT)), "edge is in none of the photographs"),
        ((part(LEFT), part(MIDDLE)), "edge is in none of the photographs"),
        ((part(LEFT), part(MIDDLE, (0, 3)), part(RIGHT)), "in places 3[.]. mm apart"),
    ],
)
def test_what_cannot_be_joined_is_refused(parts: tuple[Part, ...], said: str) -> None:
    with pytest.raises(OrderFault, match=said):
        joined(sighted(*parts))


LONG = [(60, 324), (730, 334), (745, 369), (735, 409), (400, 416), (60, 409)]
TABLE = ph.Scene(
    LONG, (800, 460), ((25, 32, 0.5), (310, 32, -1), (590, 32, 1)), (1400, 1200), closer=1.35
)


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("parts")
    return [
        ph.written(folder, replace(TABLE, aim=(x, 230), seed=x, tilt_deg=x / 100), f"{x}.jpg")
        for x in (260, 550)
    ]


def test_two_photographs_of_one_table(photos: list[Path]) -> None:
    found = trace_joined(photos)
    check(found, LONG)
    assert found.pieces[0].within_mm < 1.0
    # The table from above shows all of it, made of both.
    tall, wide = found.straight.picture.shape[:2]
    assert wide / found.straight.per_mm > 680
    assert tall / found.straight.per_mm > 90


def test_one_of_them_alone_is_refused(photos: list[Path]) -> None:
    with pytest.raises(OrderFault, match="runs out of the picture") as refused:
        trace_joined(photos[:1])
    assert "join them with --join" in str(refused.value)


def seen(sheet: int, turn_deg: float) -> Seen:
    """A sheet as a level camera sees it, ten pixels to the millimetre, turned."""
    grid = np.array([(x, y) for x in range(0, 150, 25) for y in range(0, 225, 25)], dtype=float)
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    return Seen(sheet, 10 * grid @ np.array([[cos, sin], [-sin, cos]]) + (1500, 1200), grid)


def test_photographs_that_share_no_sheet_are_refused() -> None:
    views = [View((4000, 3000), [seen(0, 3)]), View((4000, 3000), [seen(1, 9)])]
    with pytest.raises(OrderFault, match="It shows no sheet that the other photographs"):
        cameras(views, [Path("a.jpg"), Path("b.jpg")])


def test_photographs_that_share_a_sheet_have_its_axes() -> None:
    views = [View((4000, 3000), [seen(0, turn)]) for turn in (3, 40)]
    (first, second), places = cameras(views, [Path("a.jpg"), Path("b.jpg")])
    assert places.keys() == {0}
    for camera, view in zip((first, second), views, strict=True):
        (one,) = view.seen
        assert camera.on_table(one.pixels) == pytest.approx(one.sheet_mm, abs=1e-3)
        assert camera.in_picture(one.sheet_mm) == pytest.approx(one.pixels, abs=1e-2)
