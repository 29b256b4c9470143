"""The allowances of pieces, and plain strips by their measures, in words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from nesting.output import words
from pieces.geometry import bounds
from pieces.piece import Piece
from pieces.units import Unit, format_length

_LEAST_MM = 0.05


def allowances(piece: Piece) -> dict[str, float]:
    """For each named edge of a piece its allowance in mm; those without one are left out."""
    return {seam.name: seam.allowance_mm for seam in piece.seams if seam.allowance_mm}


def allowances_told(pieces: Sequence[Piece], unit: Unit) -> Iterator[str]:
    """The allowance of most edges, those that have another, and pieces that have none added."""
    told: dict[str, Counter[str]] = {}
    for piece in pieces:
        for edge, mm in allowances(piece).items():
            told.setdefault(format_length(mm, unit), Counter())[f"{edge} of {piece.name}"] += 1
    if told:
        usual, *others = sorted(told, key=lambda length: -told[length].total())
        yield f"included in the outlines: {usual}" + "".join(
            f"; {length} at {', '.join(told[length])}" for length in others
        )
    bare = dict.fromkeys(piece.name for piece in pieces if not piece.sewing_line)
    if bare:
        yield f"none added to {', '.join(bare)}, whose outlines are cut as given"


def is_plain_strip(piece: Piece) -> bool:
    """Whether it is a rectangle with nothing in it, which a tape draws as well as a page."""
    if piece.drawn_lines or piece.hole or piece.slit or len(piece.outline) != len(_CORNERS):
        return False
    left, low, right, high = bounds(piece.outline)
    box = [((left, right)[x], (low, high)[y]) for x, y in _CORNERS]
    return all(min(math.dist(point, one) for one in box) < _LEAST_MM for point in piece.outline)


_CORNERS = ((0, 0), (1, 0), (1, 1), (0, 1))


def strip_told(piece: Piece, unit: Unit) -> str:
    """A plain strip by its measures: to cut, its size, its allowances and its notches."""
    left, low, right, high = bounds(piece.outline)
    along, across = format_length(right - left, unit), format_length(high - low, unit)
    drawn = words.part_drawn(piece)
    part = f", a {drawn} of it" if drawn else ""
    said = [f"{words.to_cut(piece)}, {piece.fabric}; {along} along the grain by {across}{part}"]
    edges = [f"{name} {format_length(mm, unit)}" for name, mm in allowances(piece).items()]
    if edges:
        said.append(f"of which allowances: {', '.join(edges)}")
    said += [
        f"notches on the {seam.name}, from its end: "
        + ", ".join(format_length(mm, unit) for mm in seam.marks_mm)
        for seam in piece.seams
        if seam.marks_mm
    ]
    return f"{words.named(piece.name, piece.garment)}: {'; '.join(said)}."
