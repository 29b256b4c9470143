"""Where the points that meet a print lie on a finished layout. Millimetres on the lay."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.fabric.fabric import Fabric
from nesting.fabric.marker import Marker
from nesting.prints.prints import lies_across, periods_mm
from pieces.geometry import mirrored, rotated, translated
from pieces.piece import Piece, Point


@dataclass(frozen=True, slots=True)
class PrintPoint:
    """One point of a placement that lies on the print as asked.

    Attributes
    ----------
    placement : its index in the marker
    at : where it lies, x along the lay and y across it
    along, across : which of the two places counts; the others are where the piece happens to lie
    motif : whether a motif is centred there
    """

    placement: int
    name: str
    at: Point
    along: bool
    across: bool
    motif: bool


def print_points(
    marker: Marker, pieces: Sequence[Piece], fabric: Fabric
) -> Iterator[PrintPoint]:  # fmt: skip
    """The points of a marker's placements that are matched, or have a motif centred on them."""
    by_key = {piece.key: piece for piece in pieces}
    repeats = [period > 0 for period in periods_mm(fabric)]
    for index, placement in enumerate(marker.placements):
        piece = by_key[placement.garment, placement.piece]
        for mark in piece.marks:
            if mark.name not in (*piece.match, *piece.motif):
                continue
            seen = mirrored((mark.at,)) if placement.mirrored else (mark.at,)
            at = translated(
                rotated(seen, placement.turn_deg), placement.x_mm, placement.y_mm
            )[0]  # fmt: skip
            counts = (mark.across, mark.along) if lies_across(piece) else (mark.along, mark.across)
            along, across = (c and repeat for c, repeat in zip(counts, repeats, strict=True))
            if along or across:
                is_motif = mark.name in piece.motif
                yield PrintPoint(index, mark.name, at, along, across, is_motif)


def first_motif_mm(points: Sequence[PrintPoint], fabric: Fabric) -> float | None:
    """How far from the cut end the middle of the first motif must lie; None if that is free."""
    period_mm = periods_mm(fabric)[0]
    return next((p.at[0] % period_mm for p in points if p.motif and p.along), None)
