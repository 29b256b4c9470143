"""The named points of a drafted piece, at which a print can meet that of other pieces."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from pieces.curves import length
from pieces.piece import Line, Mark, Point
from pieces.seams import walk

if TYPE_CHECKING:
    from pieces.drafting.pattern import Edge

FRONT_NOTCH, BACK_NOTCH = "front armhole notch", "back armhole notch"
MIDDLE = "middle"
_LEVELS = ("waist", "hem", "top")
"""Edges across the piece; a print meets there at their height on the middle."""
_ALONG_RAD = 1e-4


def marks_of(edges: Sequence[Edge], grain: tuple[Point, Point]) -> tuple[Mark, ...]:
    """The points that a piece with these edges has, each name once.

    A centre front or back that runs along the grain, or else the middle, which the grain marks:
    these count across the piece. The heights of waist, hem and top on the middle, of the side
    seam half-way along it, and of named notches: these count along it.
    """
    marks: dict[str, Mark] = {}
    for mark in (*_lines(edges, grain), *_heights(edges, grain)):
        marks.setdefault(mark.name, mark)
    return tuple(marks.values())


def _lines(edges: Sequence[Edge], grain: tuple[Point, Point]) -> Iterator[Mark]:
    centres = [
        edge for edge in edges if edge.name.startswith("centre") and _is_along(edge.line, grain)
    ]
    for edge in centres:
        yield Mark(edge.name, _half_way(edge.line), along=False)
    if not centres:
        yield Mark(MIDDLE, grain[0], along=False)


def _heights(edges: Sequence[Edge], grain: tuple[Point, Point]) -> Iterator[Mark]:
    for edge in edges:
        if edge.name in _LEVELS:
            yield Mark(edge.name, _on_middle(edge.line, grain), across=False)
        elif edge.name.split()[0] == "side":
            yield Mark("side", _half_way(edge.line), across=False)
        for name, at_mm in zip(edge.points, edge.marks_mm, strict=False):
            if name:
                yield Mark(name, walk(edge.line, at_mm)[0], across=False)


def _is_along(line: Line, grain: tuple[Point, Point]) -> bool:
    (x0, y0), (x1, y1) = line[0], line[-1]
    (u0, v0), (u1, v1) = grain
    cross = (x1 - x0) * (v1 - v0) - (y1 - y0) * (u1 - u0)
    return abs(cross) <= _ALONG_RAD * math.dist(line[0], line[-1]) * math.dist(*grain)


def _half_way(line: Line) -> Point:
    return walk(line, length(line) / 2)[0]


def _on_middle(line: Line, grain: tuple[Point, Point]) -> Point:
    """The point of a line that is nearest to the line through the grain."""
    (x, y), (x1, y1) = grain
    ux, uy = x1 - x, y1 - y

    def off(point: Point) -> float:
        return ux * (point[1] - y) - uy * (point[0] - x)

    for a, b in pairwise(line):
        here, there = off(a), off(b)
        if here != there and min(here, there) <= 0 <= max(here, there):
            share = here / (here - there)
            return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
    return min(line, key=lambda point: abs(off(point)))
