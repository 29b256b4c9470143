"""From a photograph to outlines true to size, with the error to expect, or why there are none."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pieces.piece import Outline
from pieces.trace.board import TALL_MM, WIDE_MM
from pieces.trace.camera import Camera, Points
from pieces.trace.paper import Edge, edges_of
from pieces.trace.photo import Picture, opened, refused
from pieces.trace.sheet_found import sheets_in
from pieces.trace.smooth import smoothed

_RIM_MM = 24.0
"""So far round its board a sheet may reach."""
_WORST_MM = 1.5
_SOFT_MM = 1.2
_COARSE_MM = 0.55
_OBLIQUE = 1.4
_EDGE_PX = 0.3
"""How well an edge is found, at best, beside what the camera adds."""


@dataclass(frozen=True)
class Traced:
    """One piece of paper.

    Attributes
    ----------
    outline : mm, anticlockwise, y upwards, in the first sheet's axes
    within_mm : how far off it may be: twice the standard deviation, at its worst place
    pixels : the edge as found in the photograph
    """

    outline: Outline
    within_mm: float
    pixels: Points


@dataclass(frozen=True)
class Tracing:
    """A photograph with what was found in it."""

    picture: Picture
    camera: Camera
    pieces: tuple[Traced, ...]


def trace(path: Path, measured: float = 1.0) -> Tracing:
    """The pieces of paper in a photograph; `measured` is the sheet's scale as it was printed.

    Raises
    ------
    OrderFault : why it can't be measured, and what would help
    """
    picture = opened(path)
    camera, seen = sheets_in(picture, path, measured)
    rims = [_rim(camera, one.pixels, one.sheet_mm, measured) for one in seen]
    found = [_traced(edge, camera, path) for edge in edges_of(picture, rims, path)]
    found.sort(key=lambda one: (min(x for x, _ in one.outline), min(y for _, y in one.outline)))
    return Tracing(picture, camera, tuple(found))


def _rim(camera: Camera, pixels: Points, sheet_mm: Points, scale: float) -> Points:
    """The rim of a sheet in the picture, by a homography from its own corners."""
    import cv2

    to_pixels, _ = cv2.findHomography(sheet_mm, pixels)
    wide, tall, rim = WIDE_MM * scale, TALL_MM * scale, _RIM_MM
    corners = np.array(
        [(-rim, -rim), (wide + rim, -rim), (wide + rim, tall + rim), (-rim, tall + rim)]
    )
    seen = cv2.perspectiveTransform(corners[:, None, :], to_pixels)[:, 0]
    result: Points = seen.astype(float)
    return result


def _traced(edge: Edge, camera: Camera, path: Path) -> Traced:
    least, most = camera.stretch(edge.pixels)
    _refuse_far(edge, least, most, path)
    off = 2 * np.hypot(camera.off_mm(edge.pixels), _EDGE_PX * most)
    within = float(off.max())
    if within > _WORST_MM:
        raise refused(
            path,
            f"The farthest edge of a piece may be off by {within:.1f} mm, as it lies far from the "
            "sheet.",
            "Lay the sheet closer, beside the middle of the piece, or print the second sheet too "
            "and lay one at each end.",
        )
    mm = camera.on_table(edge.pixels)
    outline = smoothed(mm * (1.0, -1.0))
    return Traced(outline, within, edge.pixels)


def _refuse_far(
    edge: Edge, least: NDArray[np.float64], most: NDArray[np.float64], path: Path
) -> None:
    """Refuse what is seen too much from the side, from too far, or not sharply."""
    if float(np.max(most / least)) > _OBLIQUE:
        raise refused(
            path,
            "The photograph was taken too much from the side.",
            "Hold the camera level above the middle of the table.",
        )
    coarse = float(np.max(most))
    if coarse > _COARSE_MM:
        raise refused(
            path,
            f"A pixel covers {coarse:.2f} mm of the piece, too much to measure by.",
            "Go closer, or take a photograph with more pixels, 12 million or so.",
        )
    soft = edge.soft_px * float(np.median(most))
    if soft > _SOFT_MM:
        raise refused(
            path,
            f"The edges are blurred over {soft:.1f} mm.",
            "Hold the camera still, in good light, and let it focus on the table.",
        )
