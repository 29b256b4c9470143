"""What is marked on an imported piece: notches, drill holes, the line of stitching, how many."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from pieces.geometry import area, turned_over
from pieces.importers.gathering import Gathering
from pieces.importers.interchange import quantity
from pieces.importers.strokes import GAP_MM, Stroke, joined
from pieces.piece import Line, Notch, Outline, Piece, Point

_ARM_MM = 3.0


def notch_at(at: Point, angle_deg: float | None, outline: Outline) -> Notch:
    """A notch on an anticlockwise outline, which points into the piece.

    Without an angle it is square to the nearest edge. One whose angle leads out of the piece is
    turned round: files differ in which way they mean it.
    """
    if angle_deg is None or not math.isfinite(angle_deg):
        return Notch(at, _inward_deg(at, outline))
    from shapely.geometry import Point as Spot  # takes a while to load
    from shapely.geometry import Polygon

    cloth = Polygon(outline)
    step = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    ahead, behind = (Spot(at[0] + way * step[0], at[1] + way * step[1]) for way in (1, -1))
    outwards = cloth.covers(behind) and not cloth.covers(ahead)
    return Notch(at, (angle_deg + (180.0 if outwards else 0.0)) % 360.0)


def stroke_notch(line: Line, outline: Outline) -> Notch:
    """A notch drawn as a line, which begins at that end of it that is nearer to the outline."""
    edges = list(pairwise((*outline, outline[0])))
    at = min((line[0], line[-1]), key=lambda end: min(away(end, *edge) for edge in edges))
    return notch_at(at, None, outline)


def _inward_deg(at: Point, outline: Outline) -> float:
    """The direction square to the nearest edge, to its left."""
    edges = pairwise((*outline, outline[0]))
    (ax, ay), (bx, by) = min(edges, key=lambda edge: away(at, *edge))
    return (math.degrees(math.atan2(by - ay, bx - ax)) + 90.0) % 360.0


def away(point: Point, a: Point, b: Point) -> float:
    """How far a point lies from a straight stretch."""
    along = (b[0] - a[0], b[1] - a[1])
    squared = along[0] ** 2 + along[1] ** 2
    share = (
        ((point[0] - a[0]) * along[0] + (point[1] - a[1]) * along[1]) / squared if squared else 0
    )
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (a[0] + share * along[0], a[1] + share * along[1]))


def cross(at: Point) -> tuple[Line, Line]:
    """A small cross about a point."""
    (x, y), arm = at, _ARM_MM
    return ((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))


def sewing_ring(
    strokes: Sequence[Stroke], fold: tuple[Point, Point] | None, gathering: Gathering
) -> tuple[Outline, list[Line]]:
    """The closed line of stitching, and what belongs to none.

    At a fold edge nothing is sewn: a line from one end of the fold to the other is closed there.
    """
    closed, loose = joined(strokes, gathering)
    lines = [stroke.line for stroke in loose]
    rings = sorted((stroke.line for stroke in closed), key=area)
    if not rings and fold is not None and len(lines) == 1:
        ends = lines[0][0], lines[0][-1]
        if all(away(end, *fold) <= GAP_MM for end in ends):
            return lines[0], []
    strays = [(*ring, ring[0]) for ring in rings[:-1]]
    return (rings[-1] if rings else ()), [*strays, *lines]


def counted(piece: Piece, said: str, gathering: Gathering) -> list[Piece]:
    """The piece with how many to cut: as drawn and mirrored; two where these differ."""
    count = quantity(said)
    if count is None:
        gathering.find(
            "quantity-guessed",
            f"{piece.name} has the quantity '{said}', which says no number; 1 taken.",
        )
        count = (1, 0)
    drawn, mirrored = count
    if piece.on_fold is not None:
        return [replace(piece, cut=drawn + mirrored)]
    if drawn == mirrored:
        return [replace(piece, cut=drawn, pair=True)]
    found = [replace(piece, cut=min(count), pair=True)] if min(count) else []
    single = piece if drawn > mirrored else turned_over(piece)
    name = f"{piece.name} single" if found else piece.name
    return [*found, replace(single, name=name, cut=abs(drawn - mirrored))]
