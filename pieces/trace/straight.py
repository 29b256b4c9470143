"""The table as seen from straight above, made of the photographs of it, in pixels of one size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pieces.trace.board import opencv
from pieces.trace.camera import Camera, Points
from pieces.trace.photo import Picture

_MARGIN_MM = 40.0
_WIDEST_PX = 2000
_MOST_PER_MM = 4.0
_STEP_PX = 16
"""The camera is asked at every so many pixels, and between them straight lines serve."""


@dataclass(frozen=True)
class Photograph:
    """A picture and the camera that took it."""

    picture: Picture
    camera: Camera


@dataclass(frozen=True)
class Straightened:
    """The table from above.

    Attributes
    ----------
    picture : its pixels
    left_mm, top_mm : where its upper left corner lies, mm, y upwards
    per_mm : pixels to the millimetre
    """

    picture: Picture
    left_mm: float
    top_mm: float
    per_mm: float


def straightened(photographs: Sequence[Photograph], around_mm: Points) -> Straightened:
    """What lies about some points on the table, y downwards, at most 2,000 pixels wide and high."""
    low, high = around_mm.min(axis=0) - _MARGIN_MM, around_mm.max(axis=0) + _MARGIN_MM
    per_mm = min(_MOST_PER_MM, _WIDEST_PX / float(np.max(high - low)))
    wide, tall = (max(2, round(float(side) * per_mm)) for side in high - low)
    seen = np.full((tall, wide, 3), 255, np.uint8)
    best = np.full((tall, wide), -np.inf, np.float32)
    for one in photographs:
        picture, inside = _from_above(one, low, per_mm, (wide, tall))
        better = inside > np.maximum(best, 0)
        seen[better] = picture[better]
        best = np.maximum(best, inside)
    return Straightened(seen, float(low[0]), float(-low[1]), per_mm)


def _from_above(
    one: Photograph, low: NDArray[np.float64], per_mm: float, size: tuple[int, int]
) -> tuple[Picture, NDArray[np.float32]]:
    """A photograph from above, and how far each pixel lies inside its rim; less than 0 outside."""
    cv2: Any = opencv()
    columns, rows = (np.append(np.arange(0, side - 1, _STEP_PX), side - 1) for side in size)
    xs, ys = np.meshgrid(columns, rows)
    table = np.stack([xs.ravel(), ys.ravel()], axis=1) / per_mm + low
    at = one.camera.in_picture(table).reshape(*xs.shape, 2)
    maps = [_between(at[:, :, i], columns, rows, size) for i in (0, 1)]
    picture = cv2.remap(one.picture, *maps, cv2.INTER_AREA, borderMode=cv2.BORDER_REPLICATE)
    width, height = one.camera.size
    rims = (maps[0], width - 1 - maps[0], maps[1], height - 1 - maps[1])
    inside: NDArray[np.float32] = np.minimum.reduce(rims)
    return picture, inside


def _between(
    grid: NDArray[np.float64],
    columns: NDArray[np.int64],
    rows: NDArray[np.int64],
    size: tuple[int, int],
) -> NDArray[np.float32]:
    """A value for each pixel from those at a grid of them."""
    wide, tall = size
    across = np.stack([np.interp(np.arange(wide), columns, row) for row in grid])
    index = np.interp(np.arange(tall), rows, np.arange(len(rows)))
    below = np.minimum(index.astype(int), len(rows) - 2)
    share = (index - below)[:, None]
    result: NDArray[np.float32] = (across[below] * (1 - share) + across[below + 1] * share).astype(
        np.float32
    )
    return result
