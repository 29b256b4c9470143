"""From the sewing line to the cut line, an allowance for each stretch. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import pairwise

import numpy as np
import pyclipper

from pieces.corner import cornered
from pieces.geometry import SAME_MM, anticlockwise, is_simple, without_repeats
from pieces.piece import Line, Notch, Outline, Piece, Point
from pieces.seams import notch

MITRE_LIMIT = 2.5
"""A corner of the cut line further off than so many allowances is blunted; common practice."""
_UNITS_PER_MM = 1_000_000
_SLIVER_MM = 0.2
_TURNS_BACK_RAD = 2.9
"""166 degrees: sharper than any corner that is cut into a piece; common practice."""
_CROWDED_MM, _SLIGHT_RAD = 0.7, math.radians(15.0)
"""Points so near each other, where a line turns by so little, are one to the scissors; common
practice."""
_STEEPEST_HEM = 1.0
"""45 degrees; common practice."""


class Finish(Enum):
    """What becomes of the cut line beside a stretch and at its ends."""

    SEAM = auto()
    """The allowance's edges run on until they meet."""
    HEM = auto()
    """Its ends mirror the seams beside it, so that turned up it lies flat on what it hems."""
    FOLD = auto()
    """No allowance: the cut line runs along it."""
    LAP = auto()
    """Folded back half-way, so that its ends are mirrored there and lie on what they face."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a closed sewing line; the next stretch begins where this one ends."""

    line: Line
    allowance_mm: float
    finish: Finish = Finish.SEAM


@dataclass(frozen=True, slots=True)
class _Side:
    """A straight bit of the sewing line, its outward normal and its allowance."""

    start: Point
    end: Point
    normal: Point
    allowance_mm: float
    finish: Finish

    def off(self, point: Point, by_mm: float) -> Point:
        return point[0] + self.normal[0] * by_mm, point[1] + self.normal[1] * by_mm


def offset_allowances(
    stretches: Sequence[Stretch],
) -> tuple[Outline, tuple[tuple[Point, Point], ...]]:
    """The cut line around an anticlockwise sewing line, and its fold edges: none, one or two.

    In a hollow too tight for its allowance the cut line bridges the hollow's bottom. A fold edge
    is lengthened or cut short along its own line to meet the cut line beside it.
    Corners are mitred, blunted beyond `MITRE_LIMIT` allowances.

    Raises
    ------
    ValueError : the allowances leave no cut line that doesn't cross itself

    >>> square = Stretch(((0, 0), (9, 0), (9, 9), (0, 9)), 1.0)
    >>> hem = Stretch(((0, 9), (0, 0)), 2.0, Finish.HEM)
    >>> offset_allowances([square, hem])[0]
    ((-2.0, -1.0), (10.0, -1.0), (10.0, 10.0), (-2.0, 10.0))
    """
    sides = [
        _side(a, b, stretch)
        for stretch in stretches
        for a, b in pairwise(stretch.line)
        if math.dist(a, b) > SAME_MM
    ]
    corners = [_corner(sides[i - 1], side) for i, side in enumerate(sides)]
    raw = without_repeats(tuple(point for corner in corners for point in corner))
    outline = raw if is_simple(raw) else _untangled(raw, stretches)
    outline = _without_spurs(outline)
    folds = _fold_lines(sides)
    for fold in folds:
        outline = _cut_off_at(fold, outline)
    outline = _without_idle(outline)
    return outline, tuple(_edge_on(fold, outline) for fold in folds)


def _fold_lines(sides: Sequence[_Side]) -> list[_Side]:
    """One side of each fold edge: points along one don't part it."""
    found: list[_Side] = []
    for side in sides:
        known = any(math.dist(side.normal, one.normal) <= SAME_MM for one in found)
        if side.finish is Finish.FOLD and not known:
            found.append(side)
    return found


def with_allowance(piece: Piece, allowance_mm: float) -> Piece:
    """A piece whose outline is taken for the sewing line, with an allowance all round it.

    Its fold edges get none, and notches move out to the cut line. Two fold edges need not reach
    their corner. Raises ValueError as `offset_allowances` does.
    """
    sewing = anticlockwise(without_repeats(piece.outline))
    closed = pairwise((*sewing, sewing[0]))
    stretches = [
        Stretch((a, b), *((0.0, Finish.FOLD) if _on(a, b, piece.fold_edges) else (allowance_mm,)))
        for a, b in closed
    ]
    outline, folds = offset_allowances(stretches)
    notches = tuple(_moved_out(mark, outline) for mark in piece.notches)
    wider = replace(piece, outline=outline, sewing_line=sewing, notches=notches)
    return with_folds(wider, folds)


def with_folds(piece: Piece, folds: Sequence[tuple[Point, Point]]) -> Piece:
    """A piece with these edges on folds, in place of its own; two become its corner."""
    if len(folds) < 2:
        return replace(piece, on_fold=folds[0] if folds else None, second_fold=None)
    first, second = folds
    return cornered(replace(piece, on_fold=first, second_fold=second))


def _moved_out(mark: Notch, outline: Outline) -> Notch:
    """A notch on the sewing line, moved against its direction to the cut line."""
    way = math.radians(mark.inward_deg - 90.0)
    (x, y) = mark.at
    return notch(((x, y), (x + math.cos(way), y + math.sin(way))), 0.0, outline)


def _on(a: Point, b: Point, folds: Sequence[tuple[Point, Point]]) -> bool:
    """Whether a side lies on a fold edge, between its ends."""
    return any(
        all(math.dist(p, tail) + math.dist(p, head) <= math.dist(tail, head) + 1e-4 for p in (a, b))
        for tail, head in folds
    )


def _side(a: Point, b: Point, stretch: Stretch) -> _Side:
    size = math.dist(a, b)
    normal = ((b[1] - a[1]) / size, (a[0] - b[0]) / size)
    return _Side(a, b, normal, stretch.allowance_mm, stretch.finish)


def _corner(before: _Side, after: _Side) -> Line:
    """The corners of the cut line between two sides: one, or two where it is blunt or square."""
    finishes = {before.finish, after.finish}
    if finishes == {Finish.HEM, Finish.SEAM}:
        hem, seam = (before, after) if before.finish is Finish.HEM else (after, before)
        foot = _meet(hem, 0.0, seam, seam.allowance_mm)
        if foot is not None:
            toe = _turned_up(hem, seam, foot)
            return (toe, foot) if hem is before else (foot, toe)
    if finishes == {Finish.LAP, Finish.SEAM}:
        lap, seam = (before, after) if before.finish is Finish.LAP else (after, before)
        ends = _folded_back(lap, seam)
        if ends is not None:
            return ends[::-1] if lap is before else ends
    point = _meet(before, before.allowance_mm, after, after.allowance_mm)
    if point is None:
        ends = (
            before.off(before.end, before.allowance_mm),
            after.off(after.start, after.allowance_mm),
        )
        return ends[:1] if math.dist(*ends) <= SAME_MM else ends
    return (point,) if Finish.FOLD in finishes else _blunted(before, after, point)


def _turned_up(hem: _Side, seam: _Side, foot: Point) -> Point:
    """Where a hem's allowance ends: turned up along the hem it lies on the seam's cut line.

    A seam that leans over its hem by more than `_STEEPEST_HEM` times is met squarely instead.
    """
    along = (-hem.normal[1], hem.normal[0])
    up = (-seam.normal[1], seam.normal[0])
    rise = -(up[0] * hem.normal[0] + up[1] * hem.normal[1])
    lean = up[0] * along[0] + up[1] * along[1]
    if abs(lean) > _STEEPEST_HEM * abs(rise):
        return hem.off(foot, hem.allowance_mm)
    slant = lean / rise * hem.allowance_mm
    return hem.off((foot[0] + slant * along[0], foot[1] + slant * along[1]), hem.allowance_mm)


def _folded_back(lap: _Side, seam: _Side) -> Line | None:
    """The cut line's corners at the end of a lap, from the seam's side: at its fold, and beyond."""
    at_fold = _meet(lap, lap.allowance_mm / 2, seam, seam.allowance_mm)
    in_middle = _meet(lap, 0.0, seam, seam.allowance_mm)
    if at_fold is None or in_middle is None:
        return None
    return at_fold, lap.off(in_middle, lap.allowance_mm)


def _blunted(before: _Side, after: _Side, point: Point) -> Line:
    """The corner itself, or the two that blunt it square to its bisector."""
    corner = before.end
    reach = MITRE_LIMIT * max(before.allowance_mm, after.allowance_mm)
    away = math.dist(corner, point)
    turns_out = before.normal[0] * after.normal[1] > before.normal[1] * after.normal[0]
    if away <= reach or not turns_out or math.dist(corner, after.start) > SAME_MM:
        return (point,)
    out = ((point[0] - corner[0]) / away, (point[1] - corner[1]) / away)
    cap = _Side(corner, corner, out, reach, Finish.SEAM)
    first = _meet(before, before.allowance_mm, cap, reach)
    last = _meet(cap, reach, after, after.allowance_mm)
    return (first, last) if first is not None and last is not None else (point,)


def _beyond(side: _Side, point: Point) -> float:
    """How far a point lies outside a side's line."""
    (nx, ny), (x, y) = side.normal, side.start
    return nx * (point[0] - x) + ny * (point[1] - y)


def _cut_off_at(fold: _Side, outline: Outline) -> Outline:
    """The outline without what lies over the fold.

    Where a curve that meets the fold is tighter than its allowance, its offset runs over.
    """
    kept: list[Point] = []
    for here, there in pairwise((*outline, outline[0])):
        from_here, to_there = _beyond(fold, here), _beyond(fold, there)
        if from_here <= SAME_MM:
            kept.append(here)
        if min(from_here, to_there) < -SAME_MM and max(from_here, to_there) > SAME_MM:
            share = from_here / (from_here - to_there)
            x, y = (a + (b - a) * share for a, b in zip(here, there, strict=True))
            kept.append((x, y))
    return without_repeats(tuple(kept))


def _edge_on(fold: _Side, outline: Outline) -> tuple[Point, Point]:
    """The outline's edge on the fold, the way that the outline runs."""
    (dx, dy) = (-fold.normal[1], fold.normal[0])
    on_line = [point for point in outline if abs(_beyond(fold, point)) <= SAME_MM]
    if len(on_line) != 2 or not is_simple(outline):
        raise ValueError("the allowances leave no single edge on the fold")
    first, last = sorted(on_line, key=lambda point: dx * point[0] + dy * point[1])
    return first, last


def _meet(one: _Side, one_mm: float, other: _Side, other_mm: float) -> Point | None:
    """Where the lines at given distances outside two sides meet; None if they are parallel."""
    (a, b), (c, d) = one.normal, other.normal
    det = a * d - b * c
    if abs(det) < 1e-9:
        return None
    p = a * one.end[0] + b * one.end[1] + one_mm
    q = c * other.start[0] + d * other.start[1] + other_mm
    return (p * d - q * b) / det, (a * q - c * p) / det


def _untangled(raw: Outline, stretches: Sequence[Stretch]) -> Outline:
    """A cut line that crosses itself, without the loops inside its hollows.

    Inside a curve tighter than its allowance the offset line runs backwards, in loops that go
    round clockwise: what is left goes round the others once or more.
    """
    whole = [(round(x * _UNITS_PER_MM), round(y * _UNITS_PER_MM)) for x, y in raw]
    found = pyclipper.SimplifyPolygon(whole, pyclipper.PFT_POSITIVE)
    rings = [ring for ring in found if pyclipper.Orientation(ring)]
    if len(rings) != 1 or len(found) != 1:
        raise ValueError("the allowances leave no single cut line")
    exact = dict(zip(whole, raw, strict=True))
    outline = tuple(exact.get((x, y), (x / _UNITS_PER_MM, y / _UNITS_PER_MM)) for x, y in rings[0])
    widest = max(stretch.allowance_mm for stretch in stretches)
    if _deepest_pocket(stretches, widest) > widest:
        raise ValueError("the allowances close a slot of the piece")
    return outline


def _deepest_pocket(stretches: Sequence[Stretch], allowance_mm: float) -> float:
    """How far the deepest hollow that an allowance closes reaches in from its mouth."""
    from shapely import get_coordinates, points
    from shapely.geometry import Polygon

    sewing = Polygon([point for stretch in stretches for point in stretch.line[:-1]])
    if not sewing.is_valid:
        raise ValueError("the sewing line crosses itself")
    closed = sewing.buffer(allowance_mm).buffer(-allowance_mm)
    # Slivers beside the chords of a curve are no pockets.
    pockets = closed.difference(sewing).buffer(-_SLIVER_MM)
    mouths = closed.boundary.difference(sewing.exterior.buffer(_SLIVER_MM))
    if pockets.is_empty or mouths.is_empty:
        return 0.0
    return float(np.max(mouths.distance(points(get_coordinates(pockets)))))


def uncrowded(outline: Outline) -> Outline:
    """The outline without points that crowd another and hardly turn there.

    A curve that ends at a seam has a short chord there, and a shorter one inside it, by which
    nobody cuts. Corners stay, whatever lies beside them.

    >>> uncrowded(((0, 0), (9, 0), (9, 0.2), (9, 5), (0, 5)))
    ((0, 0), (9, 0), (9, 5), (0, 5))
    """
    count = len(outline)
    turns = [_turn(outline[i - 1], outline[i], outline[(i + 1) % count]) for i in range(count)]
    kept: list[int] = []
    for i in range(count):
        near = kept and math.dist(outline[kept[-1]], outline[i]) < _CROWDED_MM
        if near and turns[i] <= min(_SLIGHT_RAD, turns[kept[-1]]):
            continue
        if near and turns[kept[-1]] < min(_SLIGHT_RAD, turns[i]):
            kept.pop()
        kept.append(i)
    first, last = kept[0], kept[-1]
    if math.dist(outline[first], outline[last]) < _CROWDED_MM and len(kept) > 3:
        slighter = min(first, last, key=lambda i: turns[i])
        if turns[slighter] < _SLIGHT_RAD:
            kept.remove(slighter)
    return tuple(outline[i] for i in kept)


def _turn(a: Point, b: Point, c: Point) -> float:
    """By how much a line turns at the second of three points, radians, whichever way."""
    before, after = math.atan2(b[1] - a[1], b[0] - a[0]), math.atan2(c[1] - b[1], c[0] - b[0])
    return abs((after - before + math.pi) % (2 * math.pi) - math.pi)


def _without_spurs(outline: Outline) -> Outline:
    """The outline without points at which it turns back on itself, into the piece.

    In a hollow corner from which a curve leaves, chords shorter than the allowance run backwards
    beside each other.
    """
    kept = list(outline)
    i = 0
    while i < len(kept) > 3:
        a, b, c = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
        hollow = (b[0] - a[0]) * (c[1] - b[1]) < (b[1] - a[1]) * (c[0] - b[0])
        if hollow and _turn(a, b, c) > _TURNS_BACK_RAD:
            del kept[i]
            i = max(0, i - 2)
        else:
            i += 1
    return tuple(kept)


def _without_idle(outline: Outline) -> Outline:
    """The outline without corners at which it runs straight on."""
    count = len(outline)
    kept = []
    for i, (x, y) in enumerate(outline):
        (ax, ay), (bx, by) = outline[i - 1], outline[(i + 1) % count]
        cross = (x - ax) * (by - y) - (y - ay) * (bx - x)
        if abs(cross) > SAME_MM * math.dist((ax, ay), (bx, by)):
            kept.append((x, y))
    return tuple(kept)
