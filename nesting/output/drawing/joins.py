"""In how many strips something long is cut, and with how many joins."""

from __future__ import annotations

from collections.abc import Iterable

from nesting.fabric.plans import FabricPlan
from nesting.fabric.purchase import asked_for_length
from nesting.output import words
from pieces.piece import Piece
from pieces.units import Unit, format_kept, format_length


def joins_told(entry: FabricPlan, unit: Unit) -> list[str]:
    """A line for each strip of a cloth that has joins; and what joins beyond the least save."""
    lines, fewer = strips_joined(entry.pieces, unit), entry.fewer_joins
    if fewer is None:
        return lines
    more = fewer.fewer
    saved = format_kept(fewer.purchase_mm - entry.purchase.length_mm, unit)
    fewest = asked_for_length(entry.fabric, fewer.purchase_mm)
    return [
        *lines,
        f"{more} more than the width asks for, which {'saves' if more == 1 else 'save'} {saved}: "
        f"the best layout tried without {'it' if more == 1 else 'them'} buys {fewest}",
    ]


def strips_joined(pieces: Iterable[Piece], unit: Unit) -> list[str]:
    """A line for each strip that has joins.

    >>> from pieces.piece import Strip
    >>> frill = Piece("frill", "net", ((0, 0), (60, 0), (60, 900)), ((0, 0), (60, 0)), cut=3,
    ...               garment="Ada", joins=2, strip=Strip("frill", 2640.0, 20.0))
    >>> strips_joined([frill], Unit.CM)
    ['frill (Ada): 3 strips, 2 joins, 264 cm when joined']
    """
    strips: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        if piece.strip is not None:
            strips.setdefault((piece.garment, piece.strip.name), []).append(piece)
    return [
        _line(words.named(name, garment), own, unit)
        for (garment, name), own in strips.items()
        if any(piece.joins for piece in own)
    ]


def _line(called: str, pieces: list[Piece], unit: Unit) -> str:
    parts = sum(piece.parts for piece in pieces)
    joins = sum(piece.joins for piece in pieces)
    long_mm = max(piece.strip.whole_mm for piece in pieces if piece.strip is not None)
    said = f"{joins} join{'' if joins == 1 else 's'}"
    return f"{called}: {parts} strips, {said}, {format_length(long_mm, unit)} when joined"
