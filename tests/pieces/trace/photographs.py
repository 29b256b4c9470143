"""Photographs that are reckoned, of outlines that are known: through a camera with perspective and
the distortion of OpenCV's documented model ("Camera Calibration and 3D Reconstruction"), with
blur, noise, shadow and the grain of paper and table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.figure import Figure
from scipy.interpolate import CubicSpline

from pieces.trace.board import TALL_MM, WIDE_MM, black_cells

Outline = Sequence[tuple[float, float]]
_PER_MM = 5.0


@dataclass(frozen=True)
class Scene:
    """What lies on the table and how it is seen; mm, y downwards from the table's corner.

    `tilt_deg` is how far the camera leans, `about_deg` to which side, `k1` and `k2` its distortion,
    `focal` its focal length in widths of the picture. `cast` is how dark a shadow with a soft edge
    falls over a corner of the table, `corners` how much darker the picture's corners are. It looks
    at the middle of the table, or at `aim`.
    """

    outline: Outline
    table_mm: tuple[float, float] = (900.0, 680.0)
    sheets: Sequence[tuple[float, float, float]] = ((30.0, 40.0, 2.0),)
    size: tuple[int, int] = (2400, 1800)
    tilt_deg: float = 8.0
    about_deg: float = 30.0
    k1: float = -0.04
    k2: float = 0.01
    blur: float = 0.7
    noise: float = 3.0
    shadow: float = 0.15
    table: tuple[int, int, int] = (70, 80, 95)
    paper: tuple[int, int, int] = (225, 230, 232)
    bend_mm: float = 0.0
    seed: int = 1
    closer: float = 1.0
    focal: float = 0.8
    cast: float = 0.0
    corners: float = 0.0
    aim: tuple[float, float] | None = None


def photograph(scene: Scene) -> np.ndarray:
    rng = np.random.default_rng(scene.seed)
    plane = _plane(scene, rng)
    wide, tall = scene.size
    xs, ys = np.meshgrid(np.linspace(0, wide - 1, 121), np.linspace(0, tall - 1, 91))
    at = _on_table(scene, np.stack([xs.ravel(), ys.ravel()], axis=1)).reshape(91, 121, 2)
    maps = [_stretched(at[:, :, i], scene.size) for i in (0, 1)]
    grown = [(m * _PER_MM - 0.5).astype(np.float32) for m in maps]
    seen = cv2.remap(plane, *grown, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    light = 1 - scene.shadow * (
        np.linspace(0, 1, wide)[None, :] * np.linspace(1, 0.3, tall)[:, None]
    )
    x, y = np.linspace(-1, 1, wide)[None, :], np.linspace(-1, 1, tall)[:, None]
    light = light * (1 - scene.corners * (x**2 + y**2) / 2)
    seen = seen.astype(np.float32) * light[:, :, None].astype(np.float32)
    if scene.blur:
        seen = cv2.GaussianBlur(seen, (0, 0), scene.blur)
    seen += np.float32(scene.noise) * rng.standard_normal(seen.shape, dtype=np.float32)
    return np.clip(seen, 0, 255).astype(np.uint8)


def _stretched(grid: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    """A grid over the picture as a value for each pixel, by cubic splines."""
    (wide, tall), (rows, columns) = size, grid.shape
    across = CubicSpline(range(columns), np.eye(columns))(np.linspace(0, columns - 1, wide))
    down = CubicSpline(range(rows), np.eye(rows))(np.linspace(0, rows - 1, tall))
    result: np.ndarray = down @ grid @ across.T
    return result


def _on_table(scene: Scene, pixels: np.ndarray) -> np.ndarray:
    """Where rays through pixels meet the table, by a pinhole camera with radial distortion."""
    wide, tall = scene.size
    focal = scene.focal * wide
    matrix = np.array([[focal, 0, (wide - 1) / 2], [0, focal, (tall - 1) / 2], [0, 0, 1.0]])
    lens = np.array([scene.k1, scene.k2, 0, 0, 0])
    points = cv2.undistortPoints(
        pixels.reshape(-1, 1, 2), matrix, lens, None, None, None
    ).reshape(-1, 2)  # fmt: skip
    rays = np.concatenate([points, np.ones((len(points), 1))], axis=1)
    tilt, about = math.radians(scene.tilt_deg), math.radians(scene.about_deg)
    axis = np.array([math.cos(about), math.sin(about), 0.0])
    turn, _ = cv2.Rodrigues(axis * tilt)
    rays = rays @ turn.T
    middle = np.array(scene.table_mm) / 2 if scene.aim is None else np.array(scene.aim)
    distance = max(scene.table_mm[0] / wide, scene.table_mm[1] / tall) * focal * 1.03 / scene.closer
    aim = turn @ np.array([0, 0, 1.0])
    start = middle - distance * aim[:2] / aim[2]
    return start + distance * rays[:, :2] / rays[:, 2:]


def _plane(scene: Scene, rng: np.random.Generator) -> np.ndarray:
    """The table from above, at five pixels to the millimetre."""
    wide, tall = (round(side * _PER_MM) for side in scene.table_mm)
    plane = np.empty((tall, wide, 3), np.float32)
    plane[:] = scene.table
    grain = cv2.GaussianBlur(rng.normal(0, 1, (tall // 4, wide // 4)).astype(np.float32), (0, 0), 6)
    grain = cv2.resize(grain / grain.std(), (wide, tall))
    plane += 4 * grain[:, :, None]
    texture = np.float32(1.5) * rng.standard_normal((tall, wide), dtype=np.float32)
    paper = np.array(scene.paper, np.float32) + texture[:, :, None]
    cover = _cover((wide, tall), [np.array(scene.outline)])
    plane = plane * (1 - cover) + paper * cover
    for number, (x, y, turn) in enumerate(scene.sheets):
        _lay_sheet(plane, number, x, y, turn, scene.bend_mm)
    if scene.cast:
        plane *= _cast(scene, (wide, tall))[:, :, None]
    return plane.astype(np.uint8)


def _cast(scene: Scene, size: tuple[int, int]) -> np.ndarray:
    """The light that is left where somebody stands in it: its edge is 15 mm wide."""
    wide, tall = size
    x, y = np.arange(wide, dtype=np.float32)[None, :], np.arange(tall, dtype=np.float32)[:, None]
    from_edge = (0.8 * x / wide + 0.6 * y / tall - 0.75) * wide / _PER_MM
    return 1 - scene.cast / (1 + np.exp(-np.clip(from_edge / 4, -30, 30)))


def _cover(size: tuple[int, int], rings: Sequence[np.ndarray]) -> np.ndarray:
    """How much of each pixel of the plane polygons cover: exact, as Agg reckons it.

    Polygons by OpenCV would come out half a pixel too large all round.
    """
    wide, tall = size
    figure = Figure(figsize=(wide / 100, tall / 100), dpi=100, facecolor="white")
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set(xlim=(0, wide), ylim=(tall, 0))
    filled = PolyCollection([ring * _PER_MM for ring in rings], facecolor="black", linewidth=0)
    filled.set_snap(False)
    axes.add_collection(filled, autolim=False)
    canvas.draw()
    seen = np.asarray(canvas.buffer_rgba())[:, :, :1].astype(np.float32)
    result: np.ndarray = 1 - seen / 255
    return result


def _lay_sheet(
    plane: np.ndarray, number: int, x: float, y: float, turn: float, bend_mm: float
) -> None:
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def laid(points: Outline) -> np.ndarray:
        # A sheet that rises in the middle looks longer from above than its print on the plane.
        own = [(a + bend_mm * math.sin(math.pi * b / TALL_MM), b) for a, b in points]
        return np.array([(x + cos * a - sin * b, y + sin * a + cos * b) for a, b in own])

    margin = 17.0
    rim = [(-margin, -20), (WIDE_MM + margin, -20), (WIDE_MM + margin, TALL_MM + 20),
           (-margin, TALL_MM + 20)]  # fmt: skip
    tall, wide = plane.shape[:2]
    paper = _cover((wide, tall), [laid(rim)])
    plane[:] = plane * (1 - paper) + 240 * paper
    squares = []
    for cell in black_cells(number):
        (left, low), side = cell.at, cell.side_mm
        right, top = left + side, TALL_MM - low - side
        squares.append(laid([(left, top), (right, top), (right, top + side), (left, top + side)]))
    ink = _cover((wide, tall), squares)
    plane[:] = plane * (1 - ink) + 25 * ink


def written(folder: Path, scene: Scene, name: str = "photo.png") -> Path:
    """A PNG, or a JPEG as phones save it."""
    file = folder / name
    cv2.imwrite(str(file), photograph(scene), [cv2.IMWRITE_JPEG_QUALITY, 92])
    return file
