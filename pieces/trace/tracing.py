"""From photographs to outlines true to size, with the error to expect, or why there are none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pieces.piece import Line, Point
from pieces.trace.board import TALL_MM, WIDE_MM
from pieces.trace.camera import Camera, Places, Points, placed
from pieces.trace.joining import Part, Sighting, joined
from pieces.trace.mirror import halved
from pieces.trace.paper import Edge, edges_of
from pieces.trace.photo import opened, refused
from pieces.trace.sheet_found import cameras, sheets_in
from pieces.trace.smooth import Shape, smoothed
from pieces.trace.straight import Photograph, Straightened, straightened

_RIM_MM = 24.0
"""So far round its board a sheet may reach."""
WORST_MM = 1.5
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
    shape : mm, anticlockwise, y upwards, in the first sheet's axes; one half of a piece whose
        halves mirror each other
    within_mm : how far off it may be: twice the standard deviation, at its worst place
    fold : the middle line of such a piece
    halves_mm : how far apart its halves lie, at most, when they are laid on each other
    """

    shape: Shape
    within_mm: float
    fold: tuple[Point, Point] | None = None
    halves_mm: float = 0.0

    @property
    def outline(self) -> Line:
        """The shape as points."""
        return self.shape.outline


@dataclass(frozen=True)
class Tracing:
    """What was found in one photograph, or in several of one table."""

    pieces: tuple[Traced, ...]
    straight: Straightened


def trace(path: Path, measured: float = 1.0, *, fold: bool = False) -> Tracing:
    """The pieces of paper in a photograph; `measured` is the sheet's scale as it was printed.

    With `fold` pieces whose halves mirror each other come as one half on the fold.

    Raises
    ------
    OrderFault : why it can't be measured, and what would help
    """
    return _traced([path], measured, fold)


def trace_joined(paths: Sequence[Path], measured: float = 1.0, *, fold: bool = False) -> Tracing:
    """The pieces on one table, which several photographs show in parts, joined by its sheets.

    Raises
    ------
    OrderFault : why they can't be measured or joined, and what would help
    """
    return _traced(paths, measured, fold)


def _traced(paths: Sequence[Path], measured: float, fold: bool) -> Tracing:
    whole = len(paths) == 1
    pictures = [opened(path) for path in paths]
    views = [sheets_in(one, path, measured) for one, path in zip(pictures, paths, strict=True)]
    found, places = cameras(views, paths, measured)
    sightings = []
    for picture, camera, path in zip(pictures, found, paths, strict=True):
        rims = _rims(camera, places, measured)
        edges = edges_of(picture, rims, path, whole=whole)
        parts = [_part(edge, camera, path) for edge in edges]
        sightings.append(Sighting(parts, path))
    rings = [(p.table_mm, p.off_mm) for p in sightings[0].parts] if whole else joined(sightings)
    pieces = [_piece(ring * (1.0, -1.0), off, paths[0], fold) for ring, off in rings]
    pieces.sort(key=lambda one: (min(x for x, _ in one.outline), min(y for _, y in one.outline)))
    taken = [Photograph(*both) for both in zip(pictures, found, strict=True)]
    everything = np.concatenate([ring for ring, _ in rings])
    return Tracing(tuple(pieces), straightened(taken, everything))


def _rims(camera: Camera, places: Places, scale: float) -> list[Points]:
    """The rims of all sheets on the table that a picture shows, even in part, in pixels."""
    wide, tall, rim = WIDE_MM * scale, TALL_MM * scale, _RIM_MM
    corners = np.array(
        [(-rim, -rim), (wide + rim, -rim), (wide + rim, tall + rim), (-rim, tall + rim)]
    )
    # Lenses bend edges, so these are given by more points than their ends.
    shares = np.arange(0, 1, 0.1)[:, None]
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    ring = np.concatenate([a + shares * (b - a) for a, b in sides])
    rims = [placed(place, ring) for place in places.values()]
    return [camera.in_picture(one) for one in rims if camera.may_show(one)]


def _part(edge: Edge, camera: Camera, path: Path) -> Part:
    """An edge as it lies on the table, if it is seen well enough."""
    least, most = camera.stretch(edge.pixels[edge.real])
    _refuse_far(edge, least, most, path)
    off = np.full(len(edge.pixels), np.inf)
    off[edge.real] = 2 * np.hypot(camera.off_mm(edge.pixels[edge.real]), _EDGE_PX * most)
    return Part(camera.on_table(edge.pixels), off)


def _piece(ring: Points, off: NDArray[np.float64], path: Path, fold: bool) -> Traced:
    within = float(off.max())
    if within > WORST_MM:
        raise refused(
            path,
            f"The farthest edge of a piece may be off by {within:.1f} mm, as it lies far from the "
            "sheet.",
            "Lay the sheet closer, beside the middle of the piece, or print the second sheet too "
            "and lay one at each end.",
        )
    shape = smoothed(ring)
    half = halved(ring, shape.outline) if fold else None
    if half is None:
        return Traced(shape, within)
    return Traced(half.shape, within, half.fold, half.apart_mm)


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
