"""Several photographs of one table: the parts of a piece that each shows, joined into one edge.

All are measured in the axes of one sheet, so that parts already lie where they belong. Where more
than one photograph shows an edge, it runs between them, nearer to the one that knows it better.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pieces.trace.camera import Points
from pieces.trace.photo import refused

if TYPE_CHECKING:
    from shapely.geometry import LineString

_STEP_MM = 0.5
_REACH_MM = 4.0
"""So far from the joined edge that of a photograph may lie."""
_APART_MM = 2.0
"""Photographs that lie further apart show something that was moved."""
_FADE_MM = 15.0
"""Over so much a photograph's say fades towards where its edge ends."""


@dataclass(frozen=True)
class Part:
    """The edge of a piece, or of a part of it, on the table.

    `off_mm` is how far off each point may be; infinite where the picture ends and no edge is.
    """

    table_mm: Points
    off_mm: NDArray[np.float64]


@dataclass(frozen=True)
class Sighting:
    """What one photograph shows of the table."""

    parts: Sequence[Part]
    path: Path


def joined(sightings: Sequence[Sighting]) -> list[tuple[Points, NDArray[np.float64]]]:
    """Every piece on the table: its edge, and how far off each point of it may be.

    Raises
    ------
    OrderFault : a part of a piece is in none of them, or something was moved between them
    """
    import shapely  # takes a while to load
    from shapely.geometry import Polygon

    regions = [Polygon(part.table_mm).buffer(0) for one in sightings for part in one.parts]
    union = shapely.unary_union(regions).buffer(_STEP_MM).buffer(-_STEP_MM)
    whole = [one for one in getattr(union, "geoms", [union]) if one.area > 0]
    return [_joined(_evenly(one.exterior), sightings) for one in whole]


def _evenly(line: LineString) -> Points:
    count = max(16, int(line.length / _STEP_MM))
    spots = [line.interpolate(i / count, normalized=True).coords[0] for i in range(count)]
    return np.array(spots)


def _joined(ring: Points, sightings: Sequence[Sighting]) -> tuple[Points, NDArray[np.float64]]:
    total = np.zeros(len(ring))
    place, spread = np.zeros(ring.shape), np.zeros(len(ring))
    said = np.full((2, len(ring)), np.nan)
    normal = _normals(ring)
    for one in sightings:
        for part in one.parts:
            nearest, off, fade = _nearest(ring, part)
            weight = np.where(np.isfinite(off), fade / np.square(off), 0.0)
            here = weight > 0
            aside = np.sum((nearest - ring) * normal, axis=1)
            said[0, here] = np.fmin(said[0, here], aside[here])
            said[1, here] = np.fmax(said[1, here], aside[here])
            total += weight
            place[here] += weight[here, None] * nearest[here]
            spread[here] += weight[here] * off[here]
    paths = [one.path for one in sightings]
    _refuse_gaps(total > 0, said, paths)
    result: Points = place / total[:, None]
    return result, spread / total


def _refuse_gaps(
    known: NDArray[np.bool_], said: NDArray[np.float64], paths: Sequence[Path]
) -> None:
    if not np.all(known):
        raise refused(
            paths[0],
            "A part of a piece's edge is in none of the photographs, or only at the rim of one.",
            "Take one more photograph that shows it, and a sheet that another shows too.",
        )
    apart = float(np.max(said[1] - said[0]))
    if apart > _APART_MM:
        raise refused(
            paths[-1],
            f"The photographs show the edge of a piece in places {apart:.1f} mm apart: the piece "
            "or a sheet was moved between them, or one doesn't lie flat.",
            "Pin or weigh down pieces and sheets, and take the photographs again.",
        )


def _nearest(ring: Points, part: Part) -> tuple[Points, NDArray[np.float64], NDArray[np.float64]]:
    """For each point of a ring, where a part's edge is, how far off, and how much it counts."""
    from scipy.spatial import cKDTree  # takes a while to load

    real = np.isfinite(part.off_mm)
    if not real.any():
        none = np.full(len(ring), np.inf)
        return ring, none, np.zeros(len(ring))
    points, off = part.table_mm[real], part.off_mm[real]
    away, index = cKDTree(points).query(ring)
    off = np.where(away <= _REACH_MM, off[index], np.inf)
    fade = np.ones(len(ring))
    if not real.all():
        ends, _ = cKDTree(part.table_mm[~real]).query(ring)
        fade = np.clip((ends - _REACH_MM) / _FADE_MM, 0.0, 1.0)
    # The foot of the perpendicular, not the nearest sample, as samples lie apart.
    way = _normals(part.table_mm)[real][index]
    foot = ring + np.sum((points[index] - ring) * way, axis=1)[:, None] * way
    return foot, off, fade


def _normals(ring: Points) -> Points:
    way = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    result: Points = np.stack([way[:, 1], -way[:, 0]], axis=1)
    return result
