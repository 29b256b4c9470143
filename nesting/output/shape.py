"""The lines of a piece as it is cut: opened out where it must be, and laid where it lies."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from nesting.marker import Placement
from pieces.geometry import doubled, mirrored, reflected, rotated, translated
from pieces.piece import Line, Notch, Outline, Piece, Point

_ON_LINE_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Shape:
    """All the lines of one piece, in millimetres.

    Attributes
    ----------
    outline : the cut line
    sewing : stretches of the stitching, the fold edge left out
    fold : the edge that lies on a fold, empty if none does
    centre : the line about which a piece is opened out, empty if it isn't
    """

    outline: Outline
    sewing: tuple[Line, ...]
    fold: Line
    centre: Line
    notches: tuple[Notch, ...]
    drawn: tuple[Line, ...]
    grain: Line

    def mapped(self, move: Callable[[Line], Line], turn: Callable[[float], float]) -> Shape:
        """The shape with every line moved and every direction turned."""
        return Shape(
            outline=move(self.outline),
            sewing=tuple(move(line) for line in self.sewing),
            fold=move(self.fold),
            centre=move(self.centre),
            notches=tuple(Notch(move((n.at,))[0], turn(n.inward_deg)) for n in self.notches),
            drawn=tuple(move(line) for line in self.drawn),
            grain=move(self.grain),
        )


def shape_of(piece: Piece, *, unfolded: bool) -> Shape:
    """The lines of a piece in its own coordinates; `unfolded` opens it out about its fold edge."""
    half = Shape(
        outline=piece.outline,
        sewing=_stitched(piece),
        fold=piece.on_fold or (),
        centre=(),
        notches=piece.notches,
        drawn=piece.drawn_lines,
        grain=piece.grain,
    )
    if not unfolded or piece.on_fold is None:
        return half
    axis = piece.on_fold
    (x0, y0), (x1, y1) = axis
    twice_deg = 2 * math.degrees(math.atan2(y1 - y0, x1 - x0))
    other = half.mapped(lambda line: reflected(line, axis), lambda deg: twice_deg - deg)
    return Shape(
        outline=doubled(piece.outline, piece.on_fold),
        sewing=half.sewing + other.sewing,
        fold=(),
        centre=piece.on_fold,
        notches=half.notches + other.notches,
        drawn=half.drawn + other.drawn,
        grain=piece.grain,
    )


def laid(shape: Shape, placement: Placement) -> Shape:
    """The shape where the placement puts it: mirrored, then turned, then shifted."""
    turn_deg, flip = placement.turn_deg, -1.0 if placement.mirrored else 1.0

    def move(line: Line) -> Line:
        seen = mirrored(line) if placement.mirrored else line
        return translated(rotated(seen, turn_deg), placement.x_mm, placement.y_mm)

    return shape.mapped(move, lambda deg: flip * deg + turn_deg)


def _stitched(piece: Piece) -> tuple[Line, ...]:
    """The sewing line without its stretches on the fold edge, where nothing is sewn."""
    ring = piece.sewing_line
    if not ring:
        return ()
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    sewn = [not _on_fold(edge, piece.on_fold) for edge in edges]
    if all(sewn):
        return (ring + ring[:1],)
    start = sewn.index(False)
    stretches: list[Line] = []
    current: list[Point] = []
    for index in range(start, start + len(edges) + 1):
        edge = edges[index % len(edges)]
        if sewn[index % len(edges)]:
            current = current or [edge[0]]
            current.append(edge[1])
        elif current:
            stretches.append(tuple(current))
            current = []
    return tuple(stretches)


def _on_fold(edge: tuple[Point, Point], fold: tuple[Point, Point] | None) -> bool:
    if fold is None:
        return False
    (x0, y0), (x1, y1) = fold
    length = math.hypot(x1 - x0, y1 - y0)
    return all(
        abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) <= _ON_LINE_MM * length for x, y in edge
    )
