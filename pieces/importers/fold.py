"""A mirror line of an imported piece, which says that the piece is half drawn and cut on a fold."""

from __future__ import annotations

import math

from pieces.geometry import anticlockwise, reflected
from pieces.importers.gathering import Gathering
from pieces.importers.outlines import same_place
from pieces.importers.strokes import SAME_MM
from pieces.piece import Outline, Point

_NEAR_MM = 0.5
"""Corners this near to the mirror line are meant to be on it."""


def folded(
    edge: Outline, mirror: tuple[Point, Point] | None, name: str, gathering: Gathering
) -> tuple[Outline, tuple[Point, Point] | None]:
    """The outline anticlockwise, and its edge on the mirror line, which becomes one straight edge.

    A piece drawn whole on both sides of its mirror line is taken whole, which is told.

    Raises
    ------
    OrderFault : the mirror line is no edge of the piece, nor its middle
    """
    outline = anticlockwise(edge)
    if mirror is None:
        return outline, None
    if math.dist(*mirror) <= SAME_MM:
        gathering.find("line-ignored", f"{name} has a mirror line without length, left out.")
        return outline, None
    off = [_off(mirror, point) for point in outline]
    found = _on_edge(outline, off, mirror)
    if found is not None:
        if max(abs(value) for value in off if abs(value) <= _NEAR_MM) > SAME_MM:
            gathering.find(
                "fold-straightened", f"{name} has a crooked edge on its mirror line, made straight."
            )
        return found
    if same_place(outline, reflected(outline, mirror)):
        gathering.find(
            "whole-at-mirror-line",
            f"{name} is drawn whole, on both sides of its mirror line; it is not cut on a fold.",
        )
        return outline, None
    raise gathering.refused(
        "The mirror line of this piece is neither a straight edge of it nor its middle.",
        "Draw half the piece, up to the mirror line, or take the mirror line out.",
        f"piece '{name}'",
    )


def _on_edge(
    outline: Outline, off: list[float], mirror: tuple[Point, Point]
) -> tuple[Outline, tuple[Point, Point]] | None:
    """The outline with one straight edge on the line, and that edge; None if it has no such edge.

    `off` tells how far each point lies off the line, to its left.
    """
    on = [abs(value) <= _NEAR_MM for value in off]
    if sum(on) < 2 or all(on) or (min(off) < -_NEAR_MM and max(off) > _NEAR_MM):
        return None
    count = len(outline)
    starts = [i for i in range(count) if on[i] and not on[i - 1]]
    if len(starts) != 1:
        return None
    ends = starts[0], (starts[0] + sum(on) - 1) % count
    kept = tuple(point for i, point in enumerate(outline) if not on[i] or i in ends)
    fold = outline[ends[0]], outline[ends[1]]
    return kept, fold if _dot(fold, mirror) > 0 else fold[::-1]


def _dot(one: tuple[Point, Point], other: tuple[Point, Point]) -> float:
    (a, b), (c, d) = one, other
    return (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1])


def _off(line: tuple[Point, Point], point: Point) -> float:
    (ax, ay), (bx, by) = line
    cross = (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
    return cross / math.hypot(bx - ax, by - ay)
