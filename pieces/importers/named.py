"""Lines of an SVG drawing that are called so: `fold`, `notch`, and `seam` with a name.

They may be drawn by eye: a fold is laid on the straight edge beside it, a notch on the outline,
and a seam is the stretch of the outline along which its line runs. What lies by no piece is told.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pieces.curves import length
from pieces.geometry import squared
from pieces.importers.fold import folded
from pieces.importers.gathering import Gathering
from pieces.importers.marks import away, stroke_notch
from pieces.importers.strokes import SAME_MM, Stroke
from pieces.piece import Line, Outline, Piece, Point, Seam
from pieces.seams import walk

_PLAIN = re.compile(
    r"(?<![a-z])(?:(?:(?:place[\s_-]*)?on[\s_-]*)?(?P<fold>fold|mirror)(?:[\s_-]*line)?"
    r"|(?P<notch>notch(?:es)?))[\s_.\-\d]*$",
    re.IGNORECASE,
)
_SEAM = re.compile(r"seam[\s_:\-]+(?P<name>\S.*)$", re.IGNORECASE)
_BESIDE_MM = 12.0
"""So far from the outline a line drawn by eye may lie."""
_CORNER_MM = 6.0
"""An end of a seam this near to a corner is meant to be there."""
_CORNER_DEG = 16.0
_BY_EYE_DEG = 8.0
_GRAIN_DEG = 2.0

Segment = tuple[Point, Point]
FOLD, NOTCH, SEAM = "fold", "notch", "seam "


def role_of(names: Iterable[str]) -> str:
    """What a line is, by whatever it is called; empty if it is of the drawing.

    >>> role_of(["path7", "Fold-2"]), role_of(["notches"]), role_of(["seam: left side"])
    ('fold', 'notch', 'seam left side')
    >>> role_of(["scaffold", "folded", "seam"])
    ''
    """
    for name in names:
        plain = _PLAIN.search(name)
        if plain is not None:
            return FOLD if plain["fold"] else NOTCH
        seam = _SEAM.fullmatch(name.strip())
        if seam is not None:
            return SEAM + " ".join(seam["name"].split())
    return ""


def drawn_and_named(strokes: Iterable[Stroke]) -> tuple[list[Stroke], list[Stroke]]:
    """The lines of the drawing, and those that are called something; closed ones never are."""
    drawn: list[Stroke] = []
    named: list[Stroke] = []
    for stroke in strokes:
        is_named = stroke.role and not stroke.closed and length(stroke.line) > 0
        (named if is_named else drawn).append(stroke)
    return drawn, named


def folds_of(
    outlines: Sequence[Outline], strokes: Sequence[Stroke], gathering: Gathering
) -> list[Segment | None]:
    """The fold of each outline that has one: the straight edge beside its line, or the line."""
    found: list[Segment | None] = [None] * len(outlines)
    for stroke in strokes:
        place = _host(outlines, stroke, gathering) if stroke.role == FOLD else None
        if place is None:
            continue
        if found[place] is not None:
            gathering.find(
                "line-ignored", f"{stroke.where} is a second fold of its piece and was left out."
            )
            continue
        line = stroke.line
        found[place] = _edge_beside(outlines[place], line) or (line[0], line[-1])
    return found


def with_named(
    pieces: Sequence[Piece],
    folds: Sequence[Segment | None],
    strokes: Sequence[Stroke],
    gathering: Gathering,
) -> list[Piece]:
    """The pieces on their folds, with the notches and seams that are drawn by them.

    Raises
    ------
    OrderFault : a fold that is neither a straight edge of its piece nor its middle
    """
    found = [_on_fold(piece, fold, gathering) for piece, fold in zip(pieces, folds, strict=True)]
    for stroke in strokes:
        outlines = [piece.outline for piece in found]
        place = None if stroke.role == FOLD else _host(outlines, stroke, gathering)
        if place is None:
            continue
        piece = found[place]
        if stroke.role == NOTCH:
            mark = stroke_notch(stroke.line, piece.outline)
            at = Ring(piece.outline).at(mark.at).point
            found[place] = replace(piece, notches=(*piece.notches, replace(mark, at=at)))
        else:
            seam = Seam(stroke.role.removeprefix(SEAM), stretch_along(piece.outline, stroke.line))
            found[place] = replace(piece, seams=(*piece.seams, seam))
    return found


def _host(outlines: Sequence[Outline], stroke: Stroke, gathering: Gathering) -> int | None:
    """The outline by which a line lies; None, which is told, if it lies by none."""
    ends = (middle_of(stroke.line),) if stroke.role == FOLD else (stroke.line[0], stroke.line[-1])
    choose = min if stroke.role == NOTCH else max
    off = [choose(Ring(outline).off(end) for end in ends) for outline in outlines]
    # A fold may also be the middle line of a piece that is drawn whole.
    if stroke.role == FOLD and min(off, default=0.0) > _BESIDE_MM:
        off = [0.0 if _covers(outline, ends[0]) else math.inf for outline in outlines]
    best = min(range(len(off)), key=off.__getitem__, default=None)
    if best is not None and off[best] <= _BESIDE_MM:
        return best
    gathering.find(
        "line-ignored",
        f"{stroke.where}, called {stroke.role}, lies by no outline and was left out. Draw it "
        "along the edge of its piece.",
    )
    return None


def _covers(outline: Outline, point: Point) -> bool:
    from shapely.geometry import Point as Spot  # takes a while to load
    from shapely.geometry import Polygon

    return bool(Polygon(outline).covers(Spot(point)))


def _on_fold(piece: Piece, mirror: Segment | None, gathering: Gathering) -> Piece:
    if mirror is None:
        return piece
    outline, fold = folded(piece.outline, mirror, piece.name, gathering)
    grain = piece.grain if fold is None else squared(piece.grain, fold, _GRAIN_DEG) or piece.grain
    return replace(piece, outline=outline, on_fold=fold, grain=grain)


def _edge_beside(outline: Outline, line: Line) -> Segment | None:
    """The longest edge that lies beside a line and runs its way."""
    middle, way = middle_of(line), _way_deg(line[0], line[-1])
    beside = [
        (a, b)
        for a, b in pairwise((*outline, outline[0]))
        if away(middle, a, b) <= _BESIDE_MM
        and abs((_way_deg(a, b) - way + 90.0) % 180.0 - 90.0) <= _BY_EYE_DEG
    ]
    return max(beside, key=lambda edge: math.dist(*edge), default=None)


def stretch_along(outline: Outline, line: Line) -> Line:
    """The stretch of an outline, anticlockwise, along which a line runs from end to end.

    An end near a corner is at the corner. Of the two ways round, the one nearer to the line's
    middle is taken.
    """
    ring = Ring(outline)
    first, last = (ring.end_at(end) for end in (line[0], line[-1]))
    middle = middle_of(line)
    ways = [ring.between(first, last), ring.between(last, first)]
    return min(ways, key=lambda way: min(away(middle, a, b) for a, b in pairwise(way)))


@dataclass(frozen=True, slots=True)
class _Place:
    """A point of an outline, on which of its edges it lies, and how far along that."""

    point: Point
    edge: int
    along_mm: float


class Ring:
    """An outline as a closed line, and the places on it."""

    def __init__(self, outline: Outline) -> None:
        self.outline = outline
        self.edges = list(pairwise((*outline, outline[0])))

    def at(self, point: Point) -> _Place:
        """The nearest place."""
        found = []
        for number, (a, b) in enumerate(self.edges):
            span = math.dist(a, b)
            along = (point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])
            share = min(max(along / span**2, 0.0), 1.0) if span else 0.0
            foot = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
            found.append((math.dist(point, foot), _Place(foot, number, share * span)))
        return min(found, key=_off)[1]

    def off(self, point: Point) -> float:
        """How far a point lies from it."""
        return math.dist(point, self.at(point).point)

    def end_at(self, point: Point) -> _Place:
        """The corner near a point, or the nearest place."""
        near = min(corners_of(self.outline), key=lambda at: math.dist(point, at), default=point)
        return self.at(near if math.dist(point, near) <= _CORNER_MM else point)

    def between(self, first: _Place, last: _Place) -> Line:
        """The outline from one place on to another."""
        count = len(self.edges)
        steps = (last.edge - first.edge) % count
        if steps == 0 and last.along_mm < first.along_mm:
            steps = count
        inner = [self.edges[(first.edge + step) % count][1] for step in range(steps)]
        points = [first.point, *inner, last.point]
        apart = [b for a, b in pairwise(points) if math.dist(a, b) > SAME_MM]
        return (first.point, *apart)


def _off(found: tuple[float, _Place]) -> float:
    return found[0]


def corners_of(outline: Outline) -> list[Point]:
    """The true corners of an outline: where it turns more than a curve does from point to point."""
    found = []
    for a, b, c in zip((outline[-1], *outline), outline, (*outline[1:], outline[0]), strict=False):
        turn = _way_deg(b, c) - _way_deg(a, b)
        if abs((turn + 180.0) % 360.0 - 180.0) > _CORNER_DEG:
            found.append(b)
    return found


def middle_of(line: Line) -> Point:
    """Half-way along a line."""
    return walk(line, length(line) / 2)[0]


def _way_deg(a: Point, b: Point) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
