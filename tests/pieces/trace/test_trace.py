"""Photographs of outlines that are known, and those that can't be measured.

The photographs are reckoned by OpenCV's documented camera model (see photographs.py); many of 12
million pixels are in test_many.py.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
import shapely
from PIL import Image
from scipy.optimize import least_squares
from shapely.geometry import LinearRing, Polygon

import tests.pieces.trace.photographs as ph
from pieces.errors import OrderFault
from pieces.trace.tracing import Tracing, trace
from tests.examples import some
from tests.pieces.trace.photographs import Scene
from tests.pieces.trace.scenes import curve

WORST_MM = 2.0


FRONT = [
    (270, 60), (400, 60), *curve((400, 60), (390, 110), (420, 150), (470, 155)), (470, 340),
    (380, 360), (270, 352),
]  # fmt: skip
SMALL = Scene(FRONT, (720, 440), ((30, 60, 2), (510, 70, -3)), (2000, 1240))


def off(found: Tracing, true: ph.Outline) -> np.ndarray:
    """How far each of many points of a traced outline lies from the true one, laid upon it."""
    (piece,) = found.pieces
    ring = LinearRing(np.array(piece.outline) * (1, -1))
    points = np.array([ring.interpolate(i / 500, normalized=True).coords[0] for i in range(500)])
    middle, edge = points.mean(axis=0), LinearRing(true)

    def away(place: np.ndarray) -> np.ndarray:
        cos, sin = np.cos(place[0]), np.sin(place[0])
        laid = (points - middle) @ np.array([[cos, sin], [-sin, cos]]) + place[1:]
        return np.asarray(shapely.distance(shapely.points(laid), edge))

    start = [0.0, *Polygon(true).centroid.coords[0]]
    return away(least_squares(away, start).x)


def check(found: Tracing, true: ph.Outline) -> None:
    away = off(found, true)
    assert away.mean() < 0.5
    assert np.quantile(away, 0.95) < 1.0
    assert away.max() < WORST_MM
    (piece,) = found.pieces
    assert Polygon(piece.outline).area == pytest.approx(Polygon(true).area, rel=5e-3)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("photographs")


@pytest.mark.parametrize(
    ("name", "scene"),
    [
        ("plain", SMALL),
        pytest.param(
            "leaning",
            replace(SMALL, tilt_deg=18, about_deg=200, k1=0.05, blur=1.2, seed=3),
            marks=pytest.mark.long,
        ),
        pytest.param(
            "light-table",
            replace(SMALL, table=(235, 236, 238), paper=(110, 140, 165), seed=2),
            marks=pytest.mark.long,
        ),
        pytest.param(
            "one-sheet",
            replace(SMALL, sheets=((30, 60, 2),), k1=0.0, k2=0.0, seed=4),
            marks=pytest.mark.long,
        ),
    ],
)  # fmt: skip
def test_an_outline_comes_out_true(folder: Path, name: str, scene: Scene) -> None:
    found = trace(ph.written(folder, scene, f"{name}.png"))
    check(found, scene.outline)
    assert 0.2 < found.pieces[0].within_mm <= 1.5
    assert off(found, scene.outline).max() < found.pieces[0].within_mm + 0.3
    # True corners are kept, and straight edges have no points between.
    assert len(found.pieces[0].outline) < 80


@pytest.mark.long
def test_a_sheet_printed_too_small_is_put_right(folder: Path) -> None:
    small = Scene(
        [(x * 0.98, y * 0.98) for x, y in FRONT], SMALL.table_mm, SMALL.sheets, SMALL.size
    )
    found = trace(ph.written(folder, small, "small.png"), measured=1 / 0.98)
    grown = Polygon(found.pieces[0].outline).area
    assert grown == pytest.approx(Polygon(FRONT).area, rel=6e-3)


REFUSED: list[tuple[dict[str, object], str, str]] = [
    ({"sheets": ()}, "There is no sheet of ours in it", "metrage trace --sheet a4"),
    ({"sheets": ((-90, 60, 2),)}, "of the 54 corners of the sheet are seen", "all of the"),
    ({"sheets": ((30, 60, 2),), "table_mm": (1100, 680), "size": (2800, 1731),
      "outline": [(800, 100), (1050, 100), (1050, 600), (800, 600)]},
     "it lies far from the sheet", "second sheet"),
    ({"blur": 2.6}, "blurred", "Hold the camera still"),
    ({"tilt_deg": 42, "about_deg": 90, "closer": 0.9}, "from the side", "level above"),
    ({"outline": [(x, y - 120) for x, y in FRONT]}, "runs out of the picture", "farther away"),
    ({"paper": (76, 86, 101)}, "told apart", "much darker or lighter"),
    ({"outline": [(300, 90), (308, 90), (308, 98)]}, "told apart", "much darker or lighter"),
    ({"bend_mm": 4.0}, "off a flat one: it is bent", "down flat"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "said", "helps"), some(REFUSED))
def test_what_cannot_be_measured_is_refused(
    folder: Path, change: dict[str, object], said: str, helps: str
) -> None:
    scene = replace(SMALL, **{"size": (1600, 990), **change})  # type: ignore[arg-type]
    with pytest.raises(OrderFault) as refused:
        trace(ph.written(folder, scene, "bad.png"))
    assert said in str(refused.value)
    assert helps in str(refused.value)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no photograph"),
        (b"\xff\xd8\xff nothing", "no photograph"),
        (None, "There is no such"),
    ],
)
def test_what_is_no_photograph(tmp_path: Path, data: bytes | None, said: str) -> None:
    if data is not None:
        (tmp_path / "a.jpg").write_bytes(data)
    with pytest.raises(OrderFault, match=said):
        trace(tmp_path / "a.jpg")


@pytest.mark.parametrize(("size", "said"), [((9000, 9000), "81 million"), ((900, 700), "too few")])
def test_pictures_too_large_or_too_small(tmp_path: Path, size: tuple[int, int], said: str) -> None:
    Image.new("L", size).save(tmp_path / "a.png")
    with pytest.raises(OrderFault, match=said):
        trace(tmp_path / "a.png")


def test_without_the_library_a_sentence_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "cv2", None)
    with pytest.raises(OrderFault, match=r"pip install 'metrage\[trace\]'"):
        trace(tmp_path / "a.jpg")


@pytest.mark.long
def test_a_bright_patch_of_the_table_is_no_paper(folder: Path) -> None:
    """Light table, darker paper, and light that falls on the table beside the paper's edge."""
    scene = replace(SMALL, table=(205, 208, 210), paper=(100, 140, 165), seed=5)
    seen = ph.photograph(scene)
    # Beside the right edge of the piece, where the table is seen.
    wide, tall = scene.size
    y, x = np.mgrid[:tall, :wide]
    paper = np.abs(seen.astype(int) - (100, 140, 165)).max(axis=2) < 45
    rows = np.arange(int(0.5 * tall), int(0.62 * tall))
    edge = int(np.median([np.flatnonzero(paper[row, : int(0.68 * wide)])[-1] for row in rows]))
    near = ((x - edge - 4) / 40) ** 2 + ((y - rows.mean()) / 30) ** 2 < 1
    lit = near & (cv2.dilate(paper.astype(np.uint8), np.ones((7, 7))) == 0)
    seen[lit] = np.clip(seen[lit].astype(int) + 45, 0, 255).astype(np.uint8)
    file = folder / "bright.png"
    assert cv2.imwrite(str(file), seen)
    check(trace(file), scene.outline)


@pytest.mark.long
def test_an_edge_that_is_lost_in_places_is_refused(folder: Path) -> None:
    """As under a hand that moved, or a soft shadow of the paper's own curl."""
    seen = ph.photograph(SMALL)
    tall = SMALL.size[1]
    strip = slice(int(0.45 * tall), int(0.65 * tall))
    seen[strip] = cv2.blur(seen[strip], (141, 1))
    file = folder / "lost.png"
    # The sheets are as sharp as ever.
    whole = ph.photograph(SMALL)
    for left, right in ((0, 0.33), (0.68, 1)):
        side = slice(int(left * SMALL.size[0]), int(right * SMALL.size[0]))
        seen[:, side] = whole[:, side]
    assert cv2.imwrite(str(file), seen)
    with pytest.raises(OrderFault, match="can't be told from the table, by a shadow"):
        trace(file)
