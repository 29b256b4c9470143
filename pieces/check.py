"""What is wrong or odd about pieces, wherever they come from: drafts, order files, drawings.

Some of it makes a piece impossible to cut: `faults` gives that. `check` gives all of it, as
findings whose codes stay the same from one release to the next:

    not-a-shape         fewer than three corners, or a corner that is no number
    too-many-corners    more points than an outline can be laid and drawn with
    no-area             the outline encloses nothing
    self-crossing       the outline crosses or touches itself
    grain-without-length
    fold-not-an-edge    a fold edge is no straight edge with the piece on one side of it
    folds-not-square    two fold edges that are not square to each other, from one corner
    pair-on-fold        a piece cut on the fold can't be one of a left and a right
    grain-off-fold      the grain lies neither along the fold edge nor square to it
    sliver              so narrow that it frays away
    out-of-size         longer than any cloth is laid
    sewing-line-outside the stitching leaves the piece
    notch-off-line      a notch that is not on the cut line
    duplicate-name      two pieces that can't be told apart
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pieces.corner import meeting
from pieces.errors import Fault
from pieces.geometry import AXIS_MM, area, bounds, doubled, is_simple
from pieces.piece import Finding, Outline, Piece, Point
from pieces.units import Unit, format_length

_LEAST_AREA_MM2 = 1.0
_SLIVER_MM = 8.0
"""Narrower than two seam allowances of 1/4 in. less a thread or two; common practice."""
_LONGEST_MM = 10_000.0
"""Ten metres: longer than a bridal train with its skirt; common practice."""
_OFF_MM = 0.1
"""What curves drawn as chords may differ by."""
_OFF_DEG = 0.5
MOST_CORNERS = 50_000
"""Points of one outline: every twentieth of a millimetre round a piece half a metre wide."""
FEWER_CORNERS = "Leave out points: one for every millimetre of a curve is finer than scissors cut."


def too_many_corners(number: int) -> str:
    """What is wrong with an outline of so many points."""
    return f"The outline has {number:,} points; {MOST_CORNERS:,} are the most."


@dataclass(frozen=True, slots=True)
class _Problem:
    code: str
    message: str
    remedy: str
    cuttable: bool = False

    def about(self, piece: Piece, keys: Keys) -> Finding:
        whose = f"{piece.garment}, {piece.name}" if piece.garment else piece.name
        message = f"{whose}: " + self.message + " " + self.remedy
        return Finding(self.code, message, keys.get(piece.key, ""))


Keys = Mapping[tuple[str, str], str]
"""Where an order gives pieces, by the keys of these; nothing for one that is not known."""
_NOWHERE: Keys = {}


def check(
    pieces: Sequence[Piece], unit: Unit = Unit.CM, keys: Keys = _NOWHERE
) -> tuple[Finding, ...]:
    """Everything found on a set of pieces, in their order, lengths in the dresser's `unit`."""
    found = [problem.about(piece, keys) for piece in pieces for problem in _problems(piece, unit)]
    names = Counter(piece.key for piece in pieces)
    by_name = {piece.key: piece for piece in pieces}
    found += [
        _Problem(
            "duplicate-name", f"{names[piece.key]} pieces have this name.", "Give each its own."
        ).about(piece, keys)
        for piece in by_name.values()
        if names[piece.key] > 1
    ]
    return tuple(found)


def faults(piece: Piece, where: str, key: str) -> tuple[Fault, ...]:
    """What makes a piece impossible to cut; `where` and `key` say where it was given."""
    return tuple(
        Fault(where, key, problem.message, problem.remedy)
        for problem in _problems(piece)
        if not problem.cuttable
    )


def _problems(piece: Piece, unit: Unit = Unit.CM) -> Iterator[_Problem]:
    shapeless = _shapeless(piece.outline)
    if shapeless is not None:
        yield shapeless
        return
    if math.dist(*piece.grain) < _OFF_MM:
        yield _Problem(
            "grain-without-length",
            "The grain line shows no direction.",
            "Draw it from one point to another.",
        )
    elif piece.fold_edges:
        yield from _fold_problems(piece)
    yield from _oddities(piece, unit)


def _shapeless(outline: Outline) -> _Problem | None:
    """What keeps the outline from being one, before anything else can be asked of it."""
    if len(outline) < 3 or not all(math.isfinite(value) for point in outline for value in point):
        return _Problem(
            "not-a-shape", "The outline has too few corners.", "Give three points or more."
        )
    if len(outline) > MOST_CORNERS:
        return _Problem("too-many-corners", too_many_corners(len(outline)), FEWER_CORNERS)
    if area(outline) < _LEAST_AREA_MM2 and _narrowest(outline) < _OFF_MM:
        return _Problem(
            "no-area",
            "The outline holds no cloth.",
            "Give its corners in the order in which you would walk round it.",
        )
    if not is_simple(outline):
        return _Problem(
            "self-crossing",
            "The outline crosses or touches itself.",
            "Give its corners in the order in which you would walk round it.",
        )
    return None


def _fold_problems(piece: Piece) -> Iterator[_Problem]:
    if piece.pair:
        yield _Problem(
            "pair-on-fold",
            "Cut on the fold it comes out whole, so it can't be one of a left and a right.",
            "Take out either the pair or the fold.",
        )
    if not all(_is_edge(piece.outline, edge) for edge in piece.fold_edges):
        yield _Problem(
            "fold-not-an-edge",
            "Its fold edge is no straight edge with the whole piece on one side.",
            "Draw half the piece, from the fold edge outwards.",
        )
    elif piece.second_fold is not None and not _share_corner(*piece.fold_edges):
        yield _Problem(
            "folds-not-square",
            "Its two fold edges are not square to each other, from one corner of the piece.",
            "Draw a quarter of the piece, from the corner where the folds meet.",
        )
    elif _apart_deg(piece.grain, piece.fold_edges[0]) > _OFF_DEG:
        yield _Problem(
            "grain-off-fold",
            "Its grain lies neither along the fold edge nor square to it, so cloth folded on "
            "the thread can't be cut for it.",
            "Draw the grain along the fold edge, or cut the piece whole.",
            cuttable=True,
        )


def _share_corner(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    try:
        return math.dist(meeting(one, other), one[0]) <= AXIS_MM >= math.dist(one[0], other[0])
    except ValueError:
        return False


def _is_edge(outline: Outline, fold: tuple[Point, Point]) -> bool:
    if math.dist(*fold) < _OFF_MM:
        return False
    try:
        return is_simple(doubled(outline, fold))
    except ValueError:
        return False


def _apart_deg(one: tuple[Point, Point], other: tuple[Point, Point]) -> float:
    """How far two lines are from lying along or square to each other."""
    (a, b), (c, d) = one, other
    turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]) - math.atan2(d[1] - c[1], d[0] - c[0]))
    return abs((turn + 45) % 90 - 45)


def _oddities(piece: Piece, unit: Unit) -> Iterator[_Problem]:
    from shapely.geometry import LineString, Point, Polygon  # takes a while to load

    narrow = _narrowest(piece.outline) * (2 if piece.fold_edges else 1)
    if narrow < _SLIVER_MM:
        yield _Problem(
            "sliver",
            f"It is only {format_length(narrow, unit)} wide.",
            "Look whether the unit of its numbers is right.",
            cuttable=True,
        )
    left, low, right, high = bounds(piece.outline)
    longest = max(right - left, high - low)
    if longest > _LONGEST_MM:
        yield _Problem(
            "out-of-size",
            f"It is {format_length(longest, unit)} long.",
            "Look whether the unit of its numbers is right.",
            cuttable=True,
        )
    cloth = Polygon(piece.outline)
    # A line of a damaged drawing may have too few points for a ring.
    closed = [*piece.sewing_line, *piece.sewing_line[:1]]
    if closed and not cloth.buffer(_OFF_MM).covers(LineString(closed)):
        yield _Problem(
            "sewing-line-outside",
            "Its sewing line leaves the piece.",
            "Look at its allowances.",
            cuttable=True,
        )
    lines = [cloth.exterior, *([LineString(piece.hole)] if piece.hole else [])]
    if any(
        min(line.distance(Point(notch.at)) for line in lines) > _OFF_MM for notch in piece.notches
    ):
        yield _Problem(
            "notch-off-line",
            "A notch is not on its cut line.",
            "Move the notch to the cut line.",
            cuttable=True,
        )


def _narrowest(outline: Outline) -> float:
    """The least width of the outline between two parallel lines."""
    from shapely.geometry import MultiPoint, Polygon  # takes a while to load

    # Chords of a fine curve are far too many to try each.
    hull = MultiPoint(outline).convex_hull.simplify(_OFF_MM / 10)
    if not isinstance(hull, Polygon):
        return 0.0
    # The narrowest pair of parallels has one of them along an edge of the hull.
    ring = np.asarray(hull.exterior.coords)
    along = np.diff(ring, axis=0)
    along /= np.hypot(*along.T)[:, None]
    apart = ring[None, :-1] - ring[:-1, None]
    off = along[:, None, 0] * apart[..., 1] - along[:, None, 1] * apart[..., 0]
    return float(np.abs(off).max(axis=1).min())
