"""Pieces of a drawing with what is told of them by the numbers of their corners.

Corners and edges move first, with what lies on the outline; then folds, grain, notches and seams
are laid between the corners, which keep their numbers.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from pieces.curves import length
from pieces.geometry import corner_at, is_simple, squared, stretch
from pieces.importers.fold import folded
from pieces.importers.marks import notch_at
from pieces.importers.named import Ring, stretch_along
from pieces.piece import Line, Outline, Piece, Point, Seam
from pieces.seams import walk
from pieces.trace.marking import MOVES, Told, line_of, numbered, require_corners
from pieces.units import Unit

if TYPE_CHECKING:
    from pieces.importers.gathering import Gathering

MARKS = "marks"
"""The key of an order by which they are told, and of their faults."""
_STEP_MM = 2.0
"""An edge that is bent is drawn by points so far apart."""
_STRAIGHT_MM = 1.0
"""An edge strays from a straight one by less where it may lie on a fold."""
_SQUARED_DEG = 2.0


@dataclass(frozen=True, slots=True)
class Marked:
    """A piece as it lies in its drawing, with its marks, and the corners by which they are told."""

    piece: Piece
    corners: tuple[Point, ...]


class Marks:
    """What is told of the pieces of one drawing, which `unit` measures where nothing else is said.

    `done` are the pieces to which it was done, as they lie in the drawing.
    """

    def __init__(self, told: Iterable[Told] = (), unit: Unit = Unit.CM) -> None:
        self.told = tuple(told)
        self.done: list[Marked] = []
        self._unit = unit

    def tells_grain(self, name: str) -> bool:
        """Whether the grain of a piece is told, or its fold, along which it then runs."""
        return any(one.piece == name and one.kind in ("grain", "fold") for one in self.told)

    def unknown(self) -> list[str]:
        """The pieces that are named and not there."""
        there = {one.piece.name for one in self.done}
        return [one.piece for one in self.told if one.piece not in there]

    def on(self, piece: Piece, gathering: Gathering) -> Piece:
        """A piece with all that is told of it.

        Raises
        ------
        OrderFault : it can't be so
        """
        own = [one for one in self.told if one.piece == piece.name]
        try:
            found = _with_marks(piece, own, self._unit, gathering)
        except ValueError as error:
            raise gathering.refused(str(error), "", MARKS) from error
        self.done.append(found)
        return found.piece


def _with_marks(piece: Piece, marks: Sequence[Told], unit: Unit, gathering: Gathering) -> Marked:
    corners = numbered(piece.outline)
    moves = [one for one in marks if one.kind in MOVES]
    if moves:
        piece, corners = _moved(piece, corners, moves)
    for one in sorted(marks, key=lambda mark: _ORDER.get(mark.kind, 0)):
        if one.kind not in MOVES:
            line = line_of(one, piece.outline, corners, unit)
            piece = _LAID.get(one.kind, _seam)(piece, one, line, gathering)
    return Marked(piece, tuple(corners))


def _fold(piece: Piece, one: Told, line: Line, gathering: Gathering) -> Piece:
    edge = stretch(piece.outline, *(corner_at(piece.outline, end) for end in line))
    back = stretch(piece.outline, *(corner_at(piece.outline, end) for end in line[::-1]))
    if min(_stray(way) for way in (edge, back)) > _STRAIGHT_MM:
        raise ValueError(
            f"{one.piece}: its edge from corner {one.first} to {one.last} isn't straight, so it "
            "can't lie on a fold."
        )
    if _stray(back) < _stray(edge):
        edge = back
    # Points of the edge that stray a little would keep it from being one.
    kept = tuple(at for at in piece.outline if at not in edge[1:-1])
    outline, fold = folded(kept, (line[0], line[-1]), piece.name, gathering)
    if fold is None:
        return replace(piece, outline=outline)
    grain = squared(piece.grain, fold, _SQUARED_DEG) or piece.grain
    return replace(
        piece,
        outline=outline,
        on_fold=fold,
        grain=fold if piece.name in gathering.grainless else grain,
    )


def _grain(piece: Piece, _: Told, line: Line, gathering: Gathering) -> Piece:
    if gathering.forget("grain-read", piece.name):
        gathering.find(
            "grain-overruled",
            f"{piece.name} has a grain of its own, and the order's marks tell another; the order "
            "was followed.",
        )
    grain = line[0], line[-1]
    straight = None if piece.on_fold is None else squared(grain, piece.on_fold, _SQUARED_DEG)
    return replace(piece, grain=straight or grain)


def _notch(piece: Piece, _: Told, line: Line, __: Gathering) -> Piece:
    return replace(piece, notches=(*piece.notches, notch_at(line[0], None, piece.outline)))


def _seam(piece: Piece, one: Told, line: Line, _: Gathering) -> Piece:
    name = one.kind.removeprefix("seam ")
    others = tuple(seam for seam in piece.seams if seam.name != name)
    return replace(piece, seams=(*others, Seam(name, line)))


_LAID: dict[str, Callable[[Piece, Told, Line, Gathering], Piece]] = {
    "notch": _notch,
    "fold": _fold,
    "grain": _grain,
}
_ORDER = {kind: place for place, kind in enumerate(_LAID, 1)}


def _stray(line: Line) -> float:
    """How far a line strays from the straight one between its ends."""
    (ax, ay), (bx, by) = line[0], line[-1]
    long = math.hypot(bx - ax, by - ay)
    if long == 0:
        return math.inf
    return max(abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long for x, y in line)


def _moved(
    piece: Piece, corners: Sequence[Point], moves: Sequence[Told]
) -> tuple[Piece, list[Point]]:
    """The piece with corners and edges moved, and where its corners are then."""
    if piece.sewing_line:
        raise ValueError(
            f"{piece.name} shows its sewing line inside its outline, so its corners can't be "
            "moved by themselves. Move both in the drawing."
        )
    for one in moves:
        require_corners(one, len(corners))
    edges = _edges(piece.outline, corners, moves)
    outline = tuple(at for edge in edges for at in edge.points()[:-1])
    if not is_simple(outline):
        raise ValueError(
            f"{piece.name} crosses its own outline where its corners were moved to. Move them less."
        )

    ring = Ring(piece.outline)

    def there(point: Point) -> Point:
        at = ring.at(point)
        edge = next(one for one in reversed(edges) if one.first <= at.edge)
        return edge.moved(at.point, edge.gone(at.edge, at.along_mm))

    notches = tuple(notch_at(there(one.at), None, outline) for one in piece.notches)
    seams = tuple(
        replace(one, line=stretch_along(outline, tuple(map(there, one.line))))
        for one in piece.seams
    )
    fold = None if piece.on_fold is None else (there(piece.on_fold[0]), there(piece.on_fold[1]))
    if fold is not None and not any(_is_edge(edge.points(), fold) for edge in edges):
        raise ValueError(f"{piece.name}: its edge on the fold stays straight. Bend another.")
    grain = piece.grain if fold is None else squared(piece.grain, fold, _SQUARED_DEG) or fold
    whole = replace(piece, outline=outline, notches=notches, seams=seams, on_fold=fold, grain=grain)
    return whole, [edge.points()[0] for edge in edges]


def _is_edge(line: Line, fold: tuple[Point, Point]) -> bool:
    return {line[0], line[-1]} == set(fold) and _stray(line) < _STRAIGHT_MM


def _edges(outline: Outline, corners: Sequence[Point], moves: Sequence[Told]) -> list[_Edge]:
    """The outline from corner to corner, each with what moves it."""
    count = len(corners)
    places = [outline.index(corner) for corner in corners]
    shifts = [
        tuple(
            math.fsum(one.move_mm[axis] for one in moves if (one.kind, one.first) == ("move", n))
            for axis in (0, 1)
        )
        for n in range(1, count + 1)
    ]
    found = []
    for place in range(count):
        after = (place + 1) % count
        line = stretch(outline, places[place], places[after])
        ends = {place + 1, after + 1}
        own = [one for one in moves if one.kind == "bend" and {one.first, one.last} == ends]
        # Of two corners, both edges have the same ends; the way round tells which is meant.
        own = [one for one in own if count > 2 or one.first == place + 1]
        bend = math.fsum(one.at_mm for one in own)
        found.append(_Edge(places[place], line, (shifts[place], shifts[after]), bend))
    for one in moves:
        if one.kind == "bend" and (one.last - one.first) % count not in (1, count - 1):
            raise ValueError(
                f"{one.piece}: an edge is bent from one corner to the next; {one.first}-{one.last} "
                "has others between."
            )
    return found


class _Edge:
    """An edge whose ends move, and whose middle is bent outwards.

    What lies between moves with the ends, by how near it is to each; so a straight edge stays
    straight, and a curve keeps its ends.
    """

    def __init__(
        self, first: int, line: Line, shifts: tuple[tuple[float, ...], ...], bend_mm: float
    ) -> None:
        self.first = first
        self._line = line
        self._long = length(line)
        self._shifts = shifts
        (ax, ay), (bx, by) = line[0], line[-1]
        chord = math.hypot(bx - ax, by - ay) or 1.0
        # An anticlockwise outline has the piece at its left.
        self._push = bend_mm * (by - ay) / chord, -bend_mm * (bx - ax) / chord

    def points(self) -> Line:
        """Where it is then."""
        if self._push == (0.0, 0.0):
            gone = [0.0]
            for a, b in pairwise(self._line):
                gone.append(gone[-1] + math.dist(a, b))
            return tuple(map(self.moved, self._line, gone))
        steps = max(8, math.ceil(self._long / _STEP_MM))
        even = [self._long * step / steps for step in range(steps + 1)]
        spots = [self._line[0], *(walk(self._line, at)[0] for at in even[1:-1]), self._line[-1]]
        return tuple(map(self.moved, spots, even))

    def gone(self, edge: int, along_mm: float) -> float:
        """How far along it a place is, so far along one of the outline's edges."""
        return length(self._line[: edge - self.first + 1]) + along_mm

    def moved(self, point: Point, gone_mm: float) -> Point:
        """Where one of its points is then."""
        share = gone_mm / self._long
        (ax, ay), (bx, by) = self._shifts
        bow = 4 * share * (1 - share)
        return (
            point[0] + (1 - share) * ax + share * bx + bow * self._push[0],
            point[1] + (1 - share) * ay + share * by + bow * self._push[1],
        )
