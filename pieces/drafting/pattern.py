"""A pattern: a drafted shape before its cloth and its allowances. Millimetres.

The shell and its lining are one pattern made into two pieces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import chain

from pieces.allowances import Finish, Stretch, offset_allowances, uncrowded, with_folds
from pieces.drafting.points import marks_of
from pieces.geometry import laid, without_repeats
from pieces.piece import GrainRule, Line, Piece, Point, Seam, Strip
from pieces.seams import notch


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
                Seam(edge.name, edge.line, edge.marks_mm)
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
