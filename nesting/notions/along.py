"""How long the edges are that a notion goes along, by the pieces as drafted. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from nesting.order.faults import nearest
from pieces.piece import Join, Piece, Seam, Side
from pieces.seams import seam_length

_SAME_MM = 0.05
_LINING = "lining"


@dataclass(frozen=True, slots=True)
class Runs:
    """So many runs along an edge, each so long."""

    count: int
    each_mm: float


def named(pieces: Iterable[Piece], of: str) -> list[Piece]:
    """The pieces in whose names all these words are; linings only where they are asked for.

    >>> names = ("skirt back", "skirt back lining", "sleeve")
    >>> skirt = [Piece(name, "satin", (), ((0, 0), (1, 0))) for name in names]
    >>> [piece.name for piece in named(skirt, "skirt")]
    ['skirt back']
    """
    asked = set(of.split())
    return [
        piece
        for piece in pieces
        if asked <= set(piece.name.split())
        and (_LINING in asked or _LINING not in piece.name.split())
    ]


def near_word(of: str, names: Iterable[str]) -> str:
    """A question that offers the word of a piece's name nearest to what was asked; or nothing."""
    return nearest(of, {word for name in names for word in name.split()} | set(names))


def edges_of(pieces: Iterable[Piece]) -> list[str]:
    """The names of all edges that these pieces have."""
    return sorted({seam.name for piece in pieces for seam in piece.seams})


def runs_along(pieces: Sequence[Piece], joins: Sequence[Join], edge: str) -> Runs | None:
    """The runs along an edge of these pieces; None if none has it.

    A seam between two of them counts once. What a wearer has left and right, as armholes and
    sleeves, makes two runs; all else makes one.
    """
    sides = [
        (piece, seam)
        for piece in pieces
        for seam in piece.seams
        if seam.name == edge or seam.name.startswith(f"{edge} ")
    ]
    sewn_on = {
        side
        for join in joins
        for side in (join.that, *join.and_that)
        if join.this != join.that and _has(sides, join.this)
    }
    kept = [(p, s) for p, s in sides if Side(p.name, s.name) not in sewn_on]
    if not kept:
        return None
    names = {(piece.name, seam.name): piece for piece, seam in kept}
    whole_mm = math.fsum(
        seam_length(piece, name) * piece.parts * piece.opens_to
        for (_, name), piece in names.items()
    )
    count = 2 if all(_twice(piece, seam) for piece, seam in kept) else 1
    return Runs(count, whole_mm / count)


def _has(sides: Iterable[tuple[Piece, Seam]], side: Side) -> bool:
    return any((piece.name, seam.name) == (side.piece, side.seam) for piece, seam in sides)


def _twice(piece: Piece, seam: Seam) -> bool:
    """Whether left and right each have it."""
    if piece.on_fold is None:
        return piece.pair or "sleeve" in piece.name.split()
    return not any(_on_line(point, edge) for edge in piece.fold_edges for point in _ends(seam))


def _ends(seam: Seam) -> tuple[tuple[float, float], tuple[float, float]]:
    return seam.line[0], seam.line[-1]


def _on_line(
    point: tuple[float, float], edge: tuple[tuple[float, float], tuple[float, float]]
) -> bool:
    """Whether a point lies on the line through a fold edge."""
    (ax, ay), (bx, by) = edge
    long = math.dist(*edge)
    off = (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
    return abs(off) <= _SAME_MM * long
