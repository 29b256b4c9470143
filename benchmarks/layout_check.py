"""Whether a layout keeps a set's rules, judged by a geometry library and not by the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from shapely import STRtree
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from benchmarks.strip_set import StripSet

TOLERANCE = 1e-6
"""As a share of the strip's width: how far a piece may stick out, or into another (twice)."""


def faults(strip_set: StripSet, run: dict[str, Any]) -> list[str]:
    """What is wrong with a run's layout, length and density; empty if nothing is.

    `run` has the keys that `benchmarks.academic` writes.
    """
    placements: Sequence[dict[str, Any]] = run["placements"]
    slack = TOLERANCE * strip_set.width
    placed = [Polygon(placement["outline"]) for placement in placements]
    found = _wrong_copies(strip_set, placements)
    if found or not placed:
        return found or ["nothing is placed"]
    found += _wrong_outlines(strip_set, placements, placed, slack)
    found += _outside(strip_set.width, placements, placed, slack)
    found += _overlaps(placements, placed, slack)
    length = max(shape.bounds[2] for shape in placed)
    if abs(length - run["length"]) > slack:
        found.append(f"the length is {length:g}, not {run['length']:g}")
    density = 100 * sum(shape.area for shape in placed) / (strip_set.width * length)
    if abs(density - run["density"]) > 0.001:
        found.append(f"the density is {density:.4f} %, not {run['density']:.4f} %")
    return found


def _name(placement: dict[str, Any]) -> str:
    return f"{placement['id']} copy {placement['copy']}"


def _wrong_copies(strip_set: StripSet, placements: Sequence[dict[str, Any]]) -> list[str]:
    wanted = Counter((p.id, copy) for p in strip_set.pieces for copy in range(1, p.quantity + 1))
    given = Counter((placement["id"], placement["copy"]) for placement in placements)
    missing = [f"{id} copy {copy} is missing" for id, copy in wanted - given]
    return missing + [f"{id} copy {copy} is one too many" for id, copy in given - wanted]


def _wrong_outlines(
    strip_set: StripSet,
    placements: Sequence[dict[str, Any]],
    placed: Sequence[Polygon],
    slack: float,
) -> list[str]:
    """Turns that are not allowed, outlines that are not the set's own turned and moved."""
    pieces = {piece.id: piece for piece in strip_set.pieces}
    found = []
    for placement, shape in zip(placements, placed, strict=True):
        piece, turn = pieces[placement["id"]], placement["turn_deg"]
        if not any((turn - allowed) % 360 == 0 for allowed in piece.turns_deg):
            found.append(f"{_name(placement)} is turned by {turn:g} degrees")
        turned = rotate(Polygon(piece.outline), turn, origin=(0, 0))
        expected = translate(turned, placement["x"], placement["y"])
        apart = np.abs(np.subtract(expected.exterior.coords, shape.exterior.coords)).max()
        if apart > slack:
            found.append(f"{_name(placement)} has an outline {apart:g} away from its own")
    return found


def _outside(
    width: float, placements: Sequence[dict[str, Any]], placed: Sequence[Polygon], slack: float
) -> list[str]:
    return [
        f"{_name(placement)} sticks out of the strip"
        for placement, shape in zip(placements, placed, strict=True)
        if min(shape.bounds[0], shape.bounds[1], width - shape.bounds[3]) < -slack
    ]


def _overlaps(
    placements: Sequence[dict[str, Any]], placed: Sequence[Polygon], slack: float
) -> list[str]:
    """Pairs that still share ground once both are drawn in all round by the tolerance."""
    cores = [shape.buffer(-slack, join_style="mitre") for shape in placed]
    pairs = STRtree(cores).query(cores, predicate="intersects").T
    return [
        f"{_name(placements[one])} and {_name(placements[other])} overlap by "
        f"{placed[one].intersection(placed[other]).area:g}"
        for one, other in pairs
        if one < other
    ]
