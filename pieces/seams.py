"""Seams: walked along, measured, compared; and the notches that pair them. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from pieces.curves import length
from pieces.piece import Line, Notch, Outline, Piece, Point, SeamCheck

ALLOWED_MM = 0.5
"""Two seams that differ by less are the same to hand and machine; common practice."""
_ROUNDED_MM = 1e-6
"""What sums of lengths may be off."""


def seam_line(piece: Piece, name: str) -> Line:
    """A piece's seam by its name. Raises KeyError if it has none of that name."""
    for seam in piece.seams:
        if seam.name == name:
            return seam.line
    raise KeyError(name)


def seam_length(piece: Piece, name: str) -> float:
    """Length of a seam as drawn: of a part of it where the piece is on the fold.

    A dart parts it into two of its name. Raises KeyError if there is none.
    """
    found = [length(seam.line) for seam in piece.seams if seam.name == name]
    if not found:
        raise KeyError(name)
    return math.fsum(found)


def whole_length(pieces: Iterable[Piece], name: str) -> float:
    """Length of a seam over all the parts that are cut of these pieces, opened out.

    Of those that have it. Raises KeyError if none has.
    """
    having = [piece for piece in pieces if any(seam.name == name for seam in piece.seams)]
    if not having:
        raise KeyError(name)
    return math.fsum(seam_length(piece, name) * piece.parts * piece.opens_to for piece in having)


def compare(
    what: str, garment: str, this_mm: float, that_mm: float, allowed_mm: float = ALLOWED_MM
) -> SeamCheck:
    """The check that two lengths meet."""
    return SeamCheck(what, garment, this_mm, that_mm, allowed_mm)


def walk(line: Line, at_mm: float) -> tuple[Point, float]:
    """The point so far along a line, and the line's direction there in degrees.

    Raises
    ------
    ValueError : the line is shorter

    >>> walk(((0, 0), (10, 0), (10, 10)), 14)
    ((10.0, 4.0), 90.0)
    """
    left = at_mm
    for a, b in pairwise(line):
        step = math.dist(a, b)
        if left <= step + _ROUNDED_MM and step > 0:
            share = left / step
            point = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            return point, math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        left -= step
    raise ValueError(f"the line ends {left:.3f} mm before that point")


def notch(line: Line, at_mm: float, outline: Outline) -> Notch:
    """The notch on the cut line, opposite the point so far along a sewing line.

    The line runs the way of its piece's outline, anticlockwise, so that the cut line lies to
    its right. Raises ValueError if the line is shorter.
    """
    point, way_deg = walk(line, at_mm)
    outward = math.radians(way_deg - 90)
    reach = _first_crossing(point, (math.cos(outward), math.sin(outward)), outline)
    at = (point[0] + reach * math.cos(outward), point[1] + reach * math.sin(outward))
    return Notch(at, (way_deg + 90) % 360.0)


def _first_crossing(start: Point, way: Point, outline: Outline) -> float:
    """How far from a point, in a direction, the outline is; 0 if it is not there."""
    reaches = []
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        ex, ey = bx - ax, by - ay
        det = way[0] * ey - way[1] * ex
        if det == 0:
            continue
        reach = ((ax - start[0]) * ey - (ay - start[1]) * ex) / det
        share = ((ax - start[0]) * way[1] - (ay - start[1]) * way[0]) / det
        if reach >= -1e-6 and -1e-9 <= share <= 1 + 1e-9:
            reaches.append(max(reach, 0.0))
    return min(reaches, default=0.0)
