"""Prints that can't be met however the pieces lie, said in words before anything is searched."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from nesting.fabric.fabric import Fabric
from nesting.order.faults import joined
from nesting.prints.prints import asked_marks, lies_across, prints_of, said, tied_axes
from pieces.errors import Fault
from pieces.piece import GrainRule, Piece
from pieces.units import Unit, format_kept, format_length, format_needed
from pieces.wording import key

_Say = Callable[[Piece, str, str], Fault]


def print_faults(
    pieces: Sequence[Piece], fabric: Fabric, unit: Unit, source: str
) -> Iterator[Fault]:
    """All that keeps the pieces of a cloth from meeting its repeat or its border."""
    place = joined("fabric", fabric.name)

    def fault(piece: Piece, message: str, remedy: str) -> Fault:
        owner = f" of {piece.garment}" if piece.garment else ""
        return Fault(source, place, f"{piece.name}{owner} " + message, remedy)

    for clash in prints_of(pieces, fabric).clashes:
        one, other = clash.names
        off = format_length(clash.off_mm, unit)
        yield fault(
            clash.piece,
            f"can't meet the print at {one} and at {other} too: the two are {off} more or less "
            "apart than on the pieces it is matched with, whole repeats left out.",
            "Name only one of the two.",
        )
    for piece in pieces:
        if (piece.match or piece.motif) and piece.grain_rule is GrainRule.BIAS:
            yield fault(
                piece,
                "lies on the bias, where it shows the print slantwise and can't be matched.",
                "Take match and motif out there"
                + ("." if piece.draft else ", or give it another " + key("grain_rule") + "."),
            )
        elif piece.motif and not any(name != said(name) for name in _effective(piece, fabric)):
            yield fault(
                piece,
                f"can't have a motif centred at {' and '.join(piece.motif)}: the cloth does not "
                "repeat that way.",
                "Name a point across the repeat, or take motif out.",
            )
        if piece.border and fabric.border is not None:
            yield from _border_faults(piece, fabric, unit, fault)
    yield from _both_ways(pieces, fabric, source)


def _effective(piece: Piece, fabric: Fabric) -> set[str]:
    return {name for _, name in tied_axes(piece, fabric)}


def _border_faults(piece: Piece, fabric: Fabric, unit: Unit, fault: _Say) -> Iterator[Fault]:
    depth_mm = fabric.washed_border_mm
    needed_mm = fabric.edge_gap_mm + piece.hem_mm
    if needed_mm > depth_mm:
        yield fault(
            piece,
            f"has its finished hem up to {format_needed(needed_mm, unit)} from the selvedge, but "
            f"the border is only {format_kept(depth_mm, unit)} deep.",
            "Give it a smaller "
            + key("hem_allowance")
            + ", or a straight skirt if its hem is curved."
            if piece.draft
            else "Take border out there.",
        )


def _both_ways(pieces: Sequence[Piece], fabric: Fabric, source: str) -> Iterator[Fault]:
    """Points that are to meet between pieces along the cloth and pieces across it."""
    seen: dict[tuple[str, str], Piece] = {}
    for piece in pieces:
        for name in dict.fromkeys(name for name, _ in asked_marks(piece) if name == said(name)):
            other = seen.setdefault((piece.garment, name), piece)
            if lies_across(other) != lies_across(piece):
                along, across = (other, piece) if lies_across(piece) else (piece, other)
                yield Fault(
                    source,
                    joined("fabric", fabric.name),
                    f"{along.name} lies along the cloth and {across.name} across it, so the print "
                    f"can't meet at their {name}.",
                    "Match them at other points, or lay both the same way.",
                )
