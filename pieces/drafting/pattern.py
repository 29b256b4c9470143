"""A pattern: a drafted shape before its cloth and its allowances. Millimetres.

The shell and its lining are one pattern made into two pieces. Its edges say at which points a print
can meet that of other pieces.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import chain, pairwise

from pieces.allowances import Finish, Stretch, offset_allowances, uncrowded, with_folds
from pieces.curves import length
from pieces.geometry import laid, without_repeats
from pieces.piece import GrainRule, Line, Mark, Piece, Point, Seam, Strip
from pieces.seams import notch, walk

FRONT_NOTCH, BACK_NOTCH = "front armhole notch", "back armhole notch"
MIDDLE = "middle"
_LEVELS = ("waist", "hem", "top")
"""Edges across the piece; a print meets there at their height on the middle."""
_ALONG_RAD = 1e-4


class Role(Enum):
    """What an edge is, which decides its allowance."""

    SEAM = auto()
    HEM = auto()
    OPENING = auto()
    """A seam with a zip in it."""
    LAP = auto()
    """An opening whose edges lap for buttons: an extension, folded back half-way."""
    FOLD = auto()


@dataclass(frozen=True, slots=True)
class Edge:
    """A named edge of the sewing line; `marks_mm` are notches, by length from its start.

    `points` name these notches, in order, where a print may meet at them. `more_mm` is what it has
    over the allowance of its role.
    """

    name: str
    line: Line
    role: Role = Role.SEAM
    marks_mm: tuple[float, ...] = ()
    points: tuple[str, ...] = ()
    more_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Allowances:
    """What is added outside the sewing line, by the role of the edge."""

    seam_mm: float
    hem_mm: float
    opening_mm: float

    def stretch(self, edge: Edge) -> Stretch:
        """The edge with its allowance."""
        return {
            Role.SEAM: Stretch(edge.line, self.seam_mm + edge.more_mm),
            Role.HEM: Stretch(edge.line, self.hem_mm + edge.more_mm, Finish.HEM),
            Role.OPENING: Stretch(edge.line, self.opening_mm),
            Role.LAP: Stretch(edge.line, self.opening_mm, Finish.LAP),
            Role.FOLD: Stretch(edge.line, 0.0, Finish.FOLD),
        }[edge.role]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Edges that close anticlockwise, with what the cutter must know (see `pieces.piece.Piece`).

    A `slit` begins at the sewing line of a hole. `inner` are lines within it to which something is
    sewn: they are drawn, and count among its seams.
    """

    name: str
    edges: tuple[Edge, ...]
    grain: tuple[Point, Point]
    cut: int = 1
    pair: bool = False
    grain_rule: GrainRule = GrainRule.LENGTHWISE
    drawn_lines: tuple[Line, ...] = ()
    joins: int = 0
    strip: Strip | None = None
    slit: Line = ()
    inner: tuple[Edge, ...] = ()

    def piece(self, garment: str, fabric: str, allowances: Allowances, suffix: str = "") -> Piece:
        """The piece in its laid form.

        Raises ValueError if the allowances leave no cut line that doesn't cross itself.
        """
        outline, folds = offset_allowances([allowances.stretch(edge) for edge in self.edges])
        outline = uncrowded(outline)
        strip = self.strip and replace(self.strip, name=self.strip.name + suffix)
        drawn = Piece(
            name=self.name + suffix,
            fabric=fabric,
            outline=outline,
            grain=self.grain,
            cut=self.cut,
            pair=self.pair,
            grain_rule=self.grain_rule,
            garment=garment,
            sewing_line=without_repeats(tuple(chain(*(edge.line for edge in self.edges)))),
            seams=tuple(
                Seam(
                    edge.name,
                    edge.line,
                    edge.marks_mm,
                    allowances.stretch(edge).allowance_mm,
                    edge.role is Role.HEM,
                )
                for edge in (*self.edges, *self.inner)
                if edge.role is not Role.FOLD
            ),
            notches=tuple(
                notch(edge.line, at_mm, outline) for edge in self.edges for at_mm in edge.marks_mm
            ),
            drawn_lines=(*self.drawn_lines, *(edge.line for edge in self.inner)),
            joins=self.joins,
            strip=strip,
            marks=marks_of(self.edges, self.grain),
        )
        folded = with_folds(drawn, folds)
        if self.slit:  # it begins at the cut line
            start = min(folded.hole, key=lambda point: math.dist(point, self.slit[0]))
            folded = replace(folded, slit=(start, *self.slit[1:]))
        return laid(folded)


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
            # Of a side that a dart parts, as far up as on the other piece's.
            whole = sum(length(one.line) for one in edges if one.name == edge.name)
            at = walk(edge.line, min(whole / 2, length(edge.line)))[0]
            yield Mark("side", at, across=False)
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
