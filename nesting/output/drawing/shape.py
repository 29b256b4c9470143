"""The lines of a piece as it is cut: opened out where it must be, and laid where it lies."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from nesting.fabric.marker import Placement
from pieces.geometry import doubled, mirrored, reflected, rotated, translated
from pieces.piece import Line, Notch, Outline, Piece, Point

_ON_LINE_MM = 1e-3
_OFF_LINE_MM = 0.05
"""How far off a fold edge cloth must reach to lie beyond it."""


@dataclass(frozen=True, slots=True)
class Shape:
    """All the lines of one piece, in millimetres.

    Attributes
    ----------
    outline : the cut line
    sewing : stretches of the stitching, the fold edges left out
    folds : the edges that lie on a fold
    centres : the lines about which a piece is opened out
    inside : what is cut inside the outline: the edge of a hole, a slit
    """

    outline: Outline
    sewing: tuple[Line, ...]
    folds: tuple[Line, ...]
    centres: tuple[Line, ...]
    notches: tuple[Notch, ...]
    drawn: tuple[Line, ...]
    inside: tuple[Line, ...]
    grain: Line

    def mapped(self, move: Callable[[Line], Line], turn: Callable[[float], float]) -> Shape:
        """The shape with every line moved and every direction turned."""
        return Shape(
            outline=move(self.outline),
            sewing=tuple(move(line) for line in self.sewing),
            folds=tuple(move(line) for line in self.folds),
            centres=tuple(move(line) for line in self.centres),
            notches=tuple(Notch(move((n.at,))[0], turn(n.inward_deg)) for n in self.notches),
            drawn=tuple(move(line) for line in self.drawn),
            inside=tuple(move(line) for line in self.inside),
            grain=move(self.grain),
        )


def shape_of(piece: Piece, about: Sequence[Line] = ()) -> Shape:
    """The lines of a piece in its own coordinates, opened out `about` some of its fold edges."""
    shape = Shape(
        outline=piece.outline,
        sewing=_stitched(piece),
        folds=piece.fold_edges,
        centres=(),
        notches=piece.notches,
        drawn=piece.drawn_lines,
        inside=(piece.hole,) if piece.hole else (),
        grain=piece.grain,
    )
    for number, edge in reversed(list(enumerate(piece.fold_edges))):
        shape = _opened(shape, number) if edge in about else shape
    return _slit(shape, piece) if piece.slit else shape


def _slit(shape: Shape, piece: Piece) -> Shape:
    """The shape slit, a notch at the slit's end: once, however often the piece is mirrored."""
    start, end = piece.slit
    inward_deg = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])) + 90.0
    notches = (*shape.notches, Notch(end, inward_deg))
    return replace(shape, inside=(*shape.inside, piece.slit), notches=notches)


def opened_about(piece: Piece, placement: Placement) -> list[Line]:
    """The fold edges of a piece that has cloth on both sides of them where it is placed."""
    return [
        edge
        for edge in piece.fold_edges
        if len({_side(point, _placed(edge, placement)) for point in placement.outline_mm} - {0}) > 1
    ]


def _side(point: Point, line: Line) -> int:
    """On which side of a line a point lies, 0 for on it."""
    (x0, y0), (x1, y1) = line
    off = (point[0] - x0) * (y1 - y0) - (point[1] - y0) * (x1 - x0)
    near = abs(off) <= _OFF_LINE_MM * math.dist(line[0], line[1])
    return 0 if near else 1 if off > 0 else -1


def _opened(shape: Shape, number: int) -> Shape:
    """The shape opened out about one of its fold edges; another goes on as far beyond."""
    axis = shape.folds[number]
    (x0, y0), (x1, y1) = axis
    twice_deg = 2 * math.degrees(math.atan2(y1 - y0, x1 - x0))
    other = shape.mapped(lambda line: reflected(line, (axis[0], axis[1])), lambda d: twice_deg - d)
    ends = [(edge[1], image[1]) for edge, image in zip(shape.folds, other.folds, strict=True)]
    outline = doubled(shape.outline, (axis[0], axis[1]))
    if len(ends) > 1:  # the corner is now but a point along the other edge
        outline = tuple(point for point in outline if point != axis[0])
    return Shape(
        outline=outline,
        sewing=shape.sewing + other.sewing,
        folds=tuple(edge for index, edge in enumerate(ends) if index != number),
        centres=(*shape.centres, *other.centres, axis),
        notches=shape.notches + other.notches,
        drawn=shape.drawn + other.drawn,
        inside=shape.inside + other.inside,
        grain=shape.grain,
    )


def laid(shape: Shape, placement: Placement) -> Shape:
    """The shape where the placement puts it: mirrored, then turned, then shifted."""
    turn_deg, flip = placement.turn_deg, -1.0 if placement.mirrored else 1.0
    return shape.mapped(lambda line: _placed(line, placement), lambda deg: flip * deg + turn_deg)


def _placed(line: Line, placement: Placement) -> Line:
    seen = mirrored(line) if placement.mirrored else line
    return translated(rotated(seen, placement.turn_deg), placement.x_mm, placement.y_mm)


def _stitched(piece: Piece) -> tuple[Line, ...]:
    """The sewing line without its stretches on a fold edge, where nothing is sewn."""
    ring = piece.sewing_line
    if not ring:
        return ()
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    sewn = [not any(_on_fold(edge, fold) for fold in piece.fold_edges) for edge in edges]
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


def _on_fold(edge: tuple[Point, Point], fold: tuple[Point, Point]) -> bool:
    (x0, y0), (x1, y1) = fold
    length = math.hypot(x1 - x0, y1 - y0)
    return all(
        abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) <= _ON_LINE_MM * length for x, y in edge
    )
