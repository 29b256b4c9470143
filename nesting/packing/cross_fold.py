"""Which pieces are worth laying with a fold edge on a fold across the cloth. Millimetres."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import lay_of
from nesting.rules.rules import corner_ways, cross_fold_ways, cuts_for, half_on
from pieces.geometry import area, oriented
from pieces.piece import Piece

Crossing = dict[tuple[str, str], int]
"""How many of each piece, by key, lie on the fold."""


def crossings(pieces: Sequence[Piece], fabric: Fabric, lay: LayName) -> list[Crossing]:
    """What to try on the fold: those that would leave spares beside it; as many as it holds.

    A quarter fold has one corner, for the largest of the pieces that are drawn for one.
    """
    if lay is LayName.QUARTER_FOLD:
        return _in_corner(pieces, fabric)
    found = []
    for wanted in (_spares, _cut):
        on_fold = _side_by_side(pieces, fabric, wanted)
        if on_fold and on_fold not in found:
            found.append(on_fold)
    return found


def _in_corner(pieces: Sequence[Piece], fabric: Fabric) -> list[Crossing]:
    room_mm = lay_of(fabric, LayName.QUARTER_FOLD).depth_mm - fabric.edge_gap_mm + 1e-6
    fitting = [
        piece
        for piece in pieces
        for way in corner_ways(piece, fabric)
        if max(y for _, y in oriented(piece.outline, *way)) <= room_mm
    ]
    largest = max(fitting, key=lambda one: area(one.outline), default=None)
    return [] if largest is None else [{largest.key: 1}]


def _cut(piece: Piece, _: Fabric) -> int:
    return piece.cut


def _spares(piece: Piece, fabric: Fabric) -> int:
    """The odd one, where two layers give two: a piece with a fold edge is its own mirror image."""
    return sum(cut.spare for cut in cuts_for([piece], fabric, LayName.CROSSWISE_FOLD))


def _side_by_side(
    pieces: Sequence[Piece], fabric: Fabric, wanted: Callable[[Piece, Fabric], int]
) -> Crossing:
    """So many of each piece as are wanted, the largest first, while the width holds them.

    Of those with their hems on a border only one: it lies at the selvedge, the fold is one line.
    """
    found: Crossing = {}
    bordered = False
    room_mm = fabric.usable_width_mm - 2 * fabric.edge_gap_mm + fabric.gap_mm
    halved = [half_on(piece, LayName.CROSSWISE_FOLD) for piece in pieces]
    for piece in sorted(halved, key=lambda one: -area(one.outline)):
        ways = cross_fold_ways(piece, fabric)
        if not ways or (bordered and piece.border):
            continue
        ys = [y for _, y in oriented(piece.outline, *ways[0])]
        needs_mm = max(ys) - min(ys) + fabric.gap_mm
        number = min(wanted(piece, fabric), int((room_mm + 1e-6) // needs_mm))
        if piece.border:
            number, bordered = min(number, 1), bordered or number > 0
        if number:
            found[piece.key] = number
            room_mm -= number * needs_mm
    return found
