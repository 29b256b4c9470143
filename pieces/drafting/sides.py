"""The side seams of a skirt: whether its panels have any, and what would give it some."""

from __future__ import annotations

from collections.abc import Sequence

from pieces.drafting.spec import PartSpec
from pieces.geometry import bounds
from pieces.piece import Piece

_NEARLY = 0.75
"""Panels of which the narrowest is so much of the widest can have their seams near the sides."""


def has_side_seams(pieces: Sequence[Piece]) -> bool:
    """Whether two of the seams of a skirt, cut from these pieces, can lie at the sides.

    So it is with a front and a back, and with any even number of panels that are nearly alike.
    """
    names = [seam.name for piece in pieces for seam in piece.seams if seam.name.startswith("side")]
    count = sum(piece.parts for piece in pieces)
    if names and len(pieces) > 1:
        return True
    wide = [high - low for _, low, _, high in (bounds(piece.outline) for piece in pieces)]
    return count > 0 and count % 2 == 0 and min(wide) >= _NEARLY * max(wide)


def more_seams(part: PartSpec, pieces: Sequence[Piece]) -> str:
    """What to write at a skirt so that it has side seams; empty where it has no key for that."""
    count = sum(piece.parts for piece in pieces)
    even = count + count % 2
    if hasattr(part.options, "panels"):
        return f"Or write panels = {even} at the {part.draft}."
    if hasattr(part.options, "joins"):
        return f"Or write joins = {even - 1} at the {part.draft}."
    return ""
