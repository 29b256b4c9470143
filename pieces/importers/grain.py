"""Grain lines of a plain drawing, told by the name of their layer or of the line itself."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

from pieces.importers.gathering import Gathering
from pieces.importers.strokes import Stroke
from pieces.piece import Outline, Point
from pieces.wording import either

_NAMED = re.compile(
    r"(?<![a-z])(?:(?:straight[\s_-]*)?grain(?:[\s_-]*line)?|thread[\s_-]*line)(?:[\s_-]*arrow)?s?"
    r"[\s_.\-\d]*$",
    re.IGNORECASE,
)
_APART_DEG = 0.5
"""Grain lines that differ by less are drawn by eye."""
_LEAST_MM = 1.0

Grain = tuple[Point, Point]


def names_grain(*names: str) -> bool:
    """Whether one of the names of a line, or of what it lies in, is that of a grain line.

    >>> names_grain("GRAIN"), names_grain("front_grainline-2"), names_grain("grain bag")
    (True, True, False)
    """
    return any(_NAMED.search(name) for name in names)


def parted(strokes: Iterable[Stroke]) -> tuple[list[Stroke], list[Grain]]:
    """The strokes that are no grain lines, and the grain lines, each from its tail to its head.

    Of a line with an arrow's head the longest straight stretch is taken.
    """
    others, found = [], []
    for stroke in strokes:
        if not stroke.grain or stroke.closed:
            others.append(stroke)
            continue
        longest = max(pairwise(stroke.line), key=lambda ends: math.dist(*ends), default=None)
        if longest is not None and math.dist(*longest) >= _LEAST_MM:
            found.append(longest)
    return others, found


def grains_of(
    outlines: Sequence[Outline], lines: Sequence[Grain], names: Sequence[str], gathering: Gathering
) -> list[float | None]:
    """The way of each piece's thread in degrees from the x axis: the longest line drawn inside it.

    Where all lines lie outside the pieces, the longest is for all of them. None where a piece shows
    none. What the order tells counts more, which is told, as all of it is.
    """
    if not lines:
        return [None] * len(outlines)
    from shapely.geometry import LineString, MultiPoint, Polygon  # takes a while to load

    by_length = sorted(lines, key=lambda line: -math.dist(*line))
    middles = [LineString(line).interpolate(0.5, normalized=True) for line in by_length]
    found: list[float | None] = []
    inside: set[int] = set()
    for outline in outlines:
        region = Polygon(outline)
        cloth = region if region.is_valid else MultiPoint(outline).convex_hull  # refused later on
        own = [place for place, middle in enumerate(middles) if cloth.covers(middle)]
        inside.update(own)
        found.append(way_deg(by_length[own[0]]) if own else None)
    if not inside:
        found = [way_deg(by_length[0])] * len(outlines)
    return [_told(deg, name, gathering) for deg, name in zip(found, names, strict=True)]


def _told(deg: float | None, name: str, gathering: Gathering) -> float | None:
    """The way as it is taken, which is told: the order's, where that tells one."""
    asked_deg = gathering.grain_deg
    if deg is None:
        return None
    if asked_deg is not None:
        if abs((deg - asked_deg + 180.0) % 360.0 - 180.0) > _APART_DEG:
            gathering.find(
                "grain-overruled",
                f"{name} has a grain line {deg:.0f} degrees from the x axis, and the order's "
                f"grain runs at {asked_deg:.0f}; the order was followed.",
            )
        return None
    gathering.find(
        "grain-read",
        f"{name} has its grain from a line that is named so, {deg:.0f} degrees from the x "
        "axis. Its head is taken to be where the line ends; if cloth with a nap comes out upside "
        "down, turn it or "
        + either("give grain beside the file.", "choose its thread line with this drawing."),
    )
    return deg


def way_deg(line: Grain) -> float:
    """The way of a line in degrees from the x axis, from 0 to 360."""
    (ax, ay), (bx, by) = line
    return math.degrees(math.atan2(by - ay, bx - ax)) % 360.0
