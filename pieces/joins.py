"""Joins: which edge is sewn to which, and whether the two meet once they lie together.

Two pieces laid together on their seam must be as long there, their notches must face each other,
and at a seam's ends the lines that run on over it must do so without a kink: the two angles there
make 180 degrees together (*A Complete Course in Dressmaking*, vol. 9, 1921, p. 22, lays front and
back together at the shoulder and trues armhole and neck to one continuous curve).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from pieces.geometry import SAME_MM, signed_area
from pieces.piece import (
    Finding,
    How,
    Join,
    Line,
    Outline,
    Piece,
    Point,
    Seam,
    SeamCheck,
    Side,
    Stage,
    Step,
)
from pieces.seams import compare, seam_length, whole_length

KINK_DEG = 3.0
"""A line that turns by less where it runs over a seam is smooth to eye and hand; common
practice."""
NOTCH_MM = 1.0
"""Notches that differ by less face each other; common practice."""


def check(join: Join, garment: str, pieces: Mapping[str, Piece]) -> SeamCheck:
    """The two lengths of a join against each other."""

    this = _long(join, join.this, pieces)
    that = sum(_long(join, side, pieces) for side in (join.that, *join.and_that))
    let_in = join.plain_mm + (this - join.plain_mm) / join.fullness
    return compare(join.what, garment, let_in, that + join.longer_mm)


def _long(join: Join, side: Side, pieces: Mapping[str, Piece]) -> float:
    """Length of an edge of a join, on one piece or over all that are cut of it."""
    piece = pieces[side.piece]
    return whole_length((piece,), side.seam) if join.whole else seam_length(piece, side.seam)


def opened(piece: Piece, seam: str, what: str = "", stage: Stage = Stage.CLOSURE) -> Join:
    """The join of a pair in its middle: an opening, or a seam between two halves."""
    side = Side(piece.name, seam)
    return Join(what=what or f"{seam} of {piece.name}", this=side, that=side, stage=stage)


def step(join: Join, pieces: Mapping[str, Piece]) -> Step:
    """A join as a thing to sew.

    Of an edge that goes on beyond the join, as an armhole does below a cap's notch, only what is
    sewn counts.
    """
    this, that = pieces[join.this.piece], join.that
    sides = (that, *join.and_that)
    that_mm = sum(_long(join, side, pieces) for side in sides)
    plain = join.how is How.PLAIN
    return Step(
        stage=join.stage,
        what=join.what if plain else f"{join.this.seam} of {join.this.piece}",
        to="" if plain else f"{that.seam} of {' and '.join(side.piece for side in sides)}",
        how=join.how,
        this_mm=_long(join, join.this, pieces),
        that_mm=that_mm + min(0.0, join.longer_mm),
        plain_mm=join.plain_mm,
        marks=len(_marks(this, join.this.seam)),
    )


def kinks(pieces: Sequence[Piece], joins: Sequence[Join]) -> Iterator[tuple[str, float]]:
    """Where a line turns by more than `KINK_DEG` as it runs over a seam: which, by what degrees."""
    by_name = {piece.name: piece for piece in pieces}
    for join in joins:
        if join.whole:
            continue
        this, that = (_ends(by_name[side.piece], side.seam) for side in (join.this, join.that))
        if join.turned:
            that = that[::-1]
        for smooth, one, other in zip(join.smooth, this, that, strict=True):
            if smooth and abs(one + other - 180.0) > KINK_DEG:
                yield join.what, one + other - 180.0
    for piece in pieces:
        yield from _over_darts(piece)


def _over_darts(piece: Piece) -> Iterator[tuple[str, float]]:
    """The same where an edge runs on over a dart: its mouth is a seam, its legs are drawn lines."""
    for mouth in (seam for seam in piece.seams if seam.name.endswith(" dart")):
        feet = mouth.line[0], mouth.line[-1]
        legs = [line for line in piece.drawn_lines if line[0] in feet]
        if len(legs) != 2:
            continue
        turn = sum(_beside_leg(piece, mouth.line, leg) for leg in legs) - 180.0
        if abs(turn) > KINK_DEG:
            yield f"{mouth.name} of {piece.name}", turn


def _beside_leg(piece: Piece, mouth: Line, leg: Line) -> float:
    """The angle, in degrees, between a dart's leg and the edge that it starts from."""
    ring, foot = piece.sewing_line, leg[0]
    place = min(range(len(ring)), key=lambda i: math.dist(ring[i], foot))
    beside = ring[place - 1], ring[(place + 1) % len(ring)]
    (x, y) = max(beside, key=lambda at: min(math.dist(at, one) for one in mouth))
    edge = math.atan2(y - foot[1], x - foot[0])
    along = math.atan2(leg[1][1] - foot[1], leg[1][0] - foot[0])
    return abs(math.degrees(math.remainder(along - edge, 2 * math.pi)))


def unmet(pieces: Sequence[Piece], joins: Sequence[Join]) -> Iterator[tuple[str, float]]:
    """Plain seams whose notches don't face each other: which seam, and where on the first edge."""
    by_name = {piece.name: piece for piece in pieces}
    for join in joins:
        if join.how is not How.PLAIN or join.and_that or join.whole:
            continue
        this, that = (_marks(by_name[side.piece], side.seam) for side in (join.this, join.that))
        if join.turned:
            long = seam_length(by_name[join.that.piece], join.that.seam)
            that = sorted(long - mark for mark in that)
        if len(this) != len(that):
            yield join.what, min((*this, *that))
            continue
        for one, other in zip(this, that, strict=True):
            if abs(one - other) > NOTCH_MM:
                yield join.what, one


def found_on(garment: str, pieces: Sequence[Piece], joins: Sequence[Join]) -> tuple[Finding, ...]:
    """Findings on seams that would not lie smooth: code ``seam-kinks``, one for each seam."""
    worst: dict[str, float] = {}
    for what, turn in kinks(pieces, joins):
        worst[what] = max(worst.get(what, 0.0), abs(turn))
    return tuple(
        Finding(
            "seam-kinks",
            f"{garment}: at the {what} a line turns by {turn:.0f} degrees as it runs over the "
            "seam. True it by hand on the cloth, or give measures nearer to the usual ones.",
        )
        for what, turn in worst.items()
    )


def _ends(piece: Piece, name: str) -> tuple[float, float]:
    """The piece's own angles, in degrees, at the start and the end of a seam."""
    lines = [seam.line for seam in piece.seams if seam.name == name]  # in two beside a dart
    return _angle(piece.sewing_line, lines[0][0]), _angle(piece.sewing_line, lines[-1][-1])


def _marks(piece: Piece, name: str) -> list[float]:
    seam = _seam(piece, name)
    long = math.fsum(math.dist(a, b) for a, b in pairwise(seam.line))
    return sorted(mark for mark in seam.marks_mm if NOTCH_MM < mark < long - NOTCH_MM)


def _seam(piece: Piece, name: str) -> Seam:
    return next(seam for seam in piece.seams if seam.name == name)


def _angle(ring: Outline, at: Point) -> float:
    """The angle inside a closed line at one of its corners, by the chords beside it."""
    place = min(range(len(ring)), key=lambda i: math.dist(ring[i], at))
    before, after = ring[place - 1], ring[(place + 1) % len(ring)]
    corner = ring[place]
    if math.dist(before, corner) < SAME_MM or math.dist(corner, after) < SAME_MM:
        return 180.0
    one = math.atan2(after[1] - corner[1], after[0] - corner[0])
    other = math.atan2(before[1] - corner[1], before[0] - corner[0])
    inside = math.degrees(other - one) % 360.0
    return inside if signed_area(ring) > 0 else 360.0 - inside
