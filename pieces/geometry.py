"""Plane geometry of outlines: measure, move, mirror, unfold, compare. Millimetres and degrees."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pieces.piece import Line, Notch, Outline, Piece, Point

AXIS_MM = 0.01
"""How far a fold edge may stray from where it is meant to lie: less than a pencil line."""
SAME_MM = 1e-6
"""Points nearer than this are one point: floating error, far below what can be drawn."""
_Move = Callable[[Line], Line]
_Turn = Callable[[float], float]

_QUARTERS = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}


def signed_area(outline: Outline) -> float:
    """Area in mm2, above zero where the outline runs anticlockwise.

    >>> signed_area(((0, 0), (2, 0), (2, 1), (0, 1)))
    2.0
    """
    corners = zip(outline, outline[1:] + outline[:1], strict=True)
    return math.fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in corners) / 2


def area(outline: Outline) -> float:
    """Area in mm2, whichever way the outline runs."""
    return abs(signed_area(outline))


def anticlockwise(outline: Outline) -> Outline:
    """The outline, turned round if it runs clockwise."""
    return outline if signed_area(outline) >= 0 else outline[::-1]


def mirrored(line: Line) -> Line:
    """The points with y turned to -y; an outline then runs the other way round."""
    return tuple((x, -y) for x, y in line)


def rotated(line: Line, turn_deg: float) -> Line:
    """The points turned anticlockwise about the origin; quarter turns are exact.

    >>> rotated(((3.0, 1.0),), 90)
    ((-1.0, 3.0),)
    """
    turn = turn_deg % 360.0
    radians = math.radians(turn)
    cos, sin = _QUARTERS.get(turn) or (math.cos(radians), math.sin(radians))
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in line)


@lru_cache(maxsize=1024)
def oriented(outline: Outline, turn_deg: float, is_mirrored: bool) -> Outline:
    """An outline mirrored, then turned about its origin; anticlockwise again."""
    shape = tuple(reversed(mirrored(outline))) if is_mirrored else outline
    return rotated(shape, turn_deg)


def translated(line: Line, dx_mm: float, dy_mm: float) -> Line:
    """The points moved."""
    return tuple((x + dx_mm, y + dy_mm) for x, y in line)


def bounds(points: Iterable[Point]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def without_repeats(outline: Outline) -> Outline:
    """The outline without points that fall on the one before."""
    kept: list[Point] = []
    for point in outline:
        if not kept or math.dist(point, kept[-1]) > SAME_MM:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_MM:
        kept.pop()
    return tuple(kept)


def is_simple(outline: Outline) -> bool:
    """Whether the outline neither crosses nor touches itself."""
    from shapely.geometry import LinearRing  # takes a while to load

    return len(outline) >= 3 and bool(LinearRing(outline).is_simple)


def reflected(line: Line, axis: tuple[Point, Point]) -> Line:
    """The points mirrored across the line through two points; level and upright ones exactly."""
    (ax, ay), (bx, by) = axis
    if ay == by:
        return tuple((x, 2 * ay - y) for x, y in line)
    if ax == bx:
        return tuple((2 * ax - x, y) for x, y in line)
    ux, uy = bx - ax, by - ay
    scale = 2 / (ux * ux + uy * uy)

    def across(x: float, y: float) -> Point:
        off = scale * (ux * (y - ay) - uy * (x - ax))
        return x + uy * off, y - ux * off

    return tuple(across(x, y) for x, y in line)


def doubled(outline: Outline, fold: tuple[Point, Point]) -> Outline:
    """The whole piece: the outline together with its mirror image across the fold edge.

    The fold edge is no longer part of the outline, and each of its ends stands in it once.

    Raises
    ------
    ValueError : the fold's ends are not two corners of the outline with a straight edge between

    >>> doubled(((0, 0), (4, 0), (4, 1), (0, 1)), ((0, 0), (4, 0)))
    ((4, 0), (4, 1), (0, 1), (0, 0), (0, -1), (4, -1))
    """
    start, end = (corner_at(outline, point) for point in fold)
    for first, last in ((start, end), (end, start)):
        edge = stretch(outline, first, last)
        if all(_off_line(point, fold) <= 0.01 for point in edge):
            rest = stretch(outline, last, first)
            return rest + reflected(rest[-2:0:-1], fold)
    raise ValueError("the fold is not a straight edge of the outline")


def corner_at(outline: Outline, point: Point) -> int:
    """Number of the outline's corner at a point. Raises ValueError if there is none."""
    nearest = nearest_corner(outline, point)
    if math.dist(outline[nearest], point) > 0.01:
        raise ValueError("the fold does not end at corners of the outline")
    return nearest


def nearest_corner(outline: Outline, point: Point) -> int:
    """Number of the outline's corner nearest to a point."""
    return min(range(len(outline)), key=lambda i: math.dist(outline[i], point))


def stretch(outline: Outline, first: int, last: int) -> Line:
    """The corners from one to another, both included, in the outline's own sense."""
    count = (last - first) % len(outline)
    return tuple(outline[(first + i) % len(outline)] for i in range(count + 1))


def _off_line(point: Point, line: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = line
    cross = (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
    return abs(cross) / math.hypot(bx - ax, by - ay)


def same_under_mirror(
    outline: Outline, turns_deg: Iterable[float], tolerance_mm: float = 0.01
) -> bool:
    """Whether the outline equals its own mirror image, turned by one of the turns.

    >>> same_under_mirror(((0, 0), (4, 0), (4, 1), (0, 1)), [0])
    True
    >>> same_under_mirror(((0, 0), (4, 0), (3, 1), (1, 2)), [0, 180])
    False
    """
    return any(_is_mirror_image(outline, turn, tolerance_mm) for turn in turns_deg)


@lru_cache(maxsize=10_000)
def _is_mirror_image(outline: Outline, turn_deg: float, tolerance_mm: float) -> bool:
    """Whether the outline equals its own mirror image, turned; every lay of a cloth asks again."""
    return _alike(outline, rotated(mirrored(outline), turn_deg), tolerance_mm)


def _alike(one: Outline, other: Outline, tolerance_mm: float) -> bool:
    """Whether two outlines, each moved into the corner of the axes, are one to a tolerance.

    Corners on the other's outline are not enough: a notch to the middle of a square has all its
    corners there from whichever side it is cut, so the regions are compared too.
    """
    from shapely.geometry import Polygon  # takes a while to load

    a, b = (np.asarray(outline, dtype=float) for outline in (one, other))
    a, b = a - a.min(axis=0), b - b.min(axis=0)
    if np.abs(a.max(axis=0) - b.max(axis=0)).max() > tolerance_mm:
        return False
    if not (_all_near(a, b, tolerance_mm) and _all_near(b, a, tolerance_mm)):
        return False
    region = Polygon(a)
    return bool(region.symmetric_difference(Polygon(b)).area <= tolerance_mm * region.length)


def _all_near(corners: NDArray[np.float64], ring: NDArray[np.float64], tolerance_mm: float) -> bool:
    """Whether every corner lies near one of a ring's edges; n log n in time, n in memory."""
    import shapely  # takes a while to load

    edges = shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    near, _ = shapely.STRtree(np.asarray(edges)).query(
        shapely.points(corners), predicate="dwithin", distance=tolerance_mm
    )
    return len(np.unique(near)) == len(corners)


def laid(piece: Piece) -> Piece:
    """The piece in its laid form, with all that is attached to it (see `pieces.piece`).

    One with two fold edges is mirrored across either, and its first is made the one that lies
    along the grain, or else the level one; that, too, leaves the whole piece as it was.

    A piece whose fold edge lies along the grain but faces the other way is mirrored, which
    leaves the whole piece as it was. Fold and grain further apart than a hundredth of a degree
    are not along each other.
    """
    (tail_x, tail_y), (head_x, head_y) = piece.grain
    piece = _turned(piece, -math.degrees(math.atan2(head_y - tail_y, head_x - tail_x)))
    if piece.second_fold is not None:
        return _in_corner(piece)
    along_grain = piece.on_fold is not None and _is_level(piece.on_fold)
    if along_grain and piece.on_fold is not None:
        below = min(y for _, y in piece.outline) < min(y for _, y in piece.on_fold) - 0.01
        piece = _mapped(piece, mirrored, lambda deg: -deg) if below else piece
    left, low, _, _ = bounds(piece.outline)
    piece = _mapped(piece, lambda line: _levelled(translated(line, -left, -low)), lambda deg: deg)
    return replace(piece, outline=anticlockwise(without_repeats(piece.outline)))


def _in_corner(piece: Piece) -> Piece:
    """A piece with two fold edges, its grain to +x, brought into the corner of the axes."""
    first, second = piece.fold_edges
    if not _is_level(first):
        piece = replace(piece, on_fold=second, second_fold=first, hole=piece.hole[::-1])
        first, second = second, first
    (x, y), (left, low, right, high) = first[0], bounds(piece.outline)
    flip_x, flip_y = (-1 if x - left > right - x else 1), (-1 if y - low > high - y else 1)

    def move(line: Line) -> Line:
        there = tuple((flip_x * (px - x), flip_y * (py - y)) for px, py in line)
        return tuple((_on_axis(px), _on_axis(py)) for px, py in there)

    def turn(deg: float) -> float:
        deg = 180.0 - deg if flip_x < 0 else deg
        return -deg if flip_y < 0 else deg

    piece = _mapped(piece, move, turn)
    grain = piece.grain[::flip_x]
    return replace(
        piece,
        outline=anticlockwise(without_repeats(piece.outline)),
        grain=(grain[0], grain[1]),
    )


def _on_axis(value: float) -> float:
    """A coordinate, put to zero where it strays from there by less than can be drawn."""
    return value if abs(value) > AXIS_MM else 0.0


def turned_over(piece: Piece) -> Piece:
    """The piece with its other side up: mirrored, with all that is attached to it."""
    return _mapped(piece, mirrored, lambda deg: -deg)


def squared(
    grain: tuple[Point, Point], fold: tuple[Point, Point], within_deg: float
) -> tuple[Point, Point] | None:
    """The grain made exactly parallel or square to a fold edge; None if it is further off.

    >>> squared(((0, 0), (0.001, 5)), ((0, 0), (3, 0)), 0.5)
    ((0, 0), (0.0, 5.0...))
    """
    (x0, y0), (x1, y1) = grain
    (fold_x0, fold_y0), (fold_x1, fold_y1) = fold
    x, y = fold_x1 - fold_x0, fold_y1 - fold_y0
    turn_deg = math.degrees(math.atan2(y1 - y0, x1 - x0) - math.atan2(y, x))
    quarters = round(turn_deg / 90.0)
    if abs(turn_deg - 90.0 * quarters) > within_deg:
        return None
    for _ in range(quarters % 4):
        x, y = -y, x
    share = math.dist(*grain) / math.hypot(x, y)
    return (x0, y0), (x0 + share * x, y0 + share * y)


def _is_level(line: tuple[Point, Point]) -> bool:
    (ax, ay), (bx, by) = line
    return abs(by - ay) <= abs(bx - ax) * math.radians(0.01)


def _levelled(line: Line) -> Line:
    """The points with what is zero but for floating error set to zero."""
    return tuple((x if abs(x) > SAME_MM else 0.0, y if abs(y) > SAME_MM else 0.0) for x, y in line)


def _turned(piece: Piece, turn_deg: float) -> Piece:
    # What atan2 gives for a quarter turn is off by a rounding error, which would spoil exactness.
    nearest = round(turn_deg / 90) * 90.0
    turn = nearest if abs(turn_deg - nearest) < 1e-9 else turn_deg
    return _mapped(piece, lambda line: rotated(line, turn), lambda deg: deg + turn)


def _mapped(piece: Piece, move: _Move, turn: _Turn) -> Piece:
    """The piece with every point moved and every direction turned alike."""

    def both(line: tuple[Point, Point]) -> tuple[Point, Point]:
        tail, head = move(line)
        return tail, head

    return replace(
        piece,
        outline=move(piece.outline),
        grain=both(piece.grain),
        on_fold=None if piece.on_fold is None else both(piece.on_fold),
        second_fold=None if piece.second_fold is None else both(piece.second_fold),
        hole=move(piece.hole),
        slit=move(piece.slit),
        sewing_line=move(piece.sewing_line),
        seams=tuple(replace(seam, line=move(seam.line)) for seam in piece.seams),
        notches=tuple(
            Notch(move((notch.at,))[0], turn(notch.inward_deg) % 360.0) for notch in piece.notches
        ),
        drawn_lines=tuple(move(line) for line in piece.drawn_lines),
        marks=tuple(replace(mark, at=move((mark.at,))[0]) for mark in piece.marks),
    )
