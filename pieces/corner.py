"""Pieces drawn for the corner in which two folds meet, as a quarter of the whole. Millimetres."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.geometry import (
    AXIS_MM,
    SAME_MM,
    anticlockwise,
    area,
    corner_at,
    doubled,
    reflected,
    stretch,
)
from pieces.piece import Outline, Piece, Point

Edge = tuple[Point, Point]


def cornered(piece: Piece) -> Piece:
    """A piece with two fold edges, its outline closed round the corner where the folds meet.

    Where its edges end before that, the whole piece has a hole: the stretch of the outline
    between them becomes `hole`, and the edges are lengthened to the corner. Both then begin there.

    Raises
    ------
    ValueError : the edges are no edges of the outline, not square to each other, or reach over
    """
    first, second = piece.fold_edges
    corner = meeting(first, second)
    first, second = _from(corner, first), _from(corner, second)
    outline = anticlockwise(piece.outline)
    near = [corner_at(outline, edge[0]) for edge in (first, second)]
    far = {corner_at(outline, edge[1]) for edge in (first, second)}
    hole: Outline = ()
    if max(math.dist(corner, first[0]), math.dist(corner, second[0])) > AXIS_MM:
        hole, rest = stretch(outline, *near), stretch(outline, *reversed(near))
        if far & {corner_at(outline, point) for point in hole}:
            hole, rest = rest[::-1], hole[::-1]
        outline = anticlockwise((corner, *rest[1:-1]))
    else:
        outline = tuple(corner if index in near else p for index, p in enumerate(outline))
    on_fold, second_fold = (corner, first[1]), (corner, second[1])
    return replace(piece, outline=outline, on_fold=on_fold, second_fold=second_fold, hole=hole)


def meeting(first: Edge, second: Edge) -> Point:
    """Where the lines of two edges that are square to each other meet.

    Raises
    ------
    ValueError : the edges are not square to each other
    """
    (x, y), (x1, y1) = first
    long, dx, dy = math.dist(*first), x1 - x, y1 - y
    along = [((px - x) * dx + (py - y) * dy) / long for px, py in second]
    if abs(along[1] - along[0]) > AXIS_MM:
        raise ValueError("the fold edges are not square to each other")
    share = sum(along) / 2 / long
    return x + share * dx, y + share * dy


def _from(corner: Point, edge: Edge) -> Edge:
    near, far = sorted(edge, key=lambda end: math.dist(corner, end))
    return near, far


def halves(piece: Piece) -> tuple[Piece, Piece]:
    """A piece with two fold edges opened out about the second, and about the first.

    Each half keeps the other edge as its only one, and its reference point: it is not in the
    laid form. Its seams, marks and other lines are still those of the quarter.
    """
    first, second = piece.fold_edges
    return _opened(piece, second, first), _opened(piece, first, second)


def _opened(piece: Piece, about: Edge, kept: Edge) -> Piece:
    """The half whose fold edge is the `kept` one and its image beyond the other."""
    outline = doubled(piece.outline, about)
    # The corner is now but a point along the edge.
    outline = tuple(point for point in outline if math.dist(point, kept[0]) > SAME_MM)
    (image,) = reflected((kept[1],), about)
    return replace(piece, outline=outline, on_fold=(image, kept[1]), second_fold=None)


def opened_out(piece: Piece) -> Outline:
    """The outline of the whole piece, whatever it is drawn as; a hole in it is left out.

    Raises
    ------
    ValueError : a fold edge is no straight edge of the outline
    """
    if piece.second_fold is not None:
        piece, _ = halves(piece)
    return piece.outline if piece.on_fold is None else doubled(piece.outline, piece.on_fold)


def cloth_mm2(piece: Piece) -> float:
    """Cloth in one whole part of a piece, without what falls out of its hole."""
    drawn = area(piece.outline)
    if piece.hole:
        drawn -= area((piece.fold_edges[0][0], *piece.hole))
    return drawn * piece.opens_to
