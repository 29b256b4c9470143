"""How far the cut line of a piece lies outside its sewing line, edge by edge, in words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from nesting.output import words
from pieces.geometry import bounds
from pieces.piece import Line, Piece
from pieces.units import Unit, format_length

_REACH_MM = 300.0
"""No allowance is as wide."""
_INSIDE_MM = 0.05
_LEAST_MM = 0.05


def allowances(piece: Piece) -> dict[str, float]:
    """For each named edge of a piece its allowance in mm, square to its middle.

    Empty where its sewing line is not known; edges without an allowance are left out.
    """
    found = ((seam.name, _allowance_mm(piece, seam.line)) for seam in piece.seams)
    return {name: mm for name, mm in found if mm > _LEAST_MM} if piece.sewing_line else {}


def _allowance_mm(piece: Piece, line: Line) -> float:
    from shapely.geometry import LinearRing, LineString, Point, Polygon

    along = LineString(line)
    (x0, y0), middle, (x1, y1) = (
        along.interpolate(share, normalized=True).coords[0] for share in (0.49, 0.5, 0.51)
    )
    long = math.dist((x0, y0), (x1, y1))
    if not long:
        return 0.0
    outward = ((y1 - y0) / long, (x0 - x1) / long)
    inner = Point(middle[0] + _INSIDE_MM * outward[0], middle[1] + _INSIDE_MM * outward[1])
    reach = -_REACH_MM if Polygon(piece.sewing_line).buffer(0).contains(inner) else _REACH_MM
    end = (middle[0] + reach * outward[0], middle[1] + reach * outward[1])
    met = LineString([middle, end]).intersection(LinearRing(piece.outline))
    return 0.0 if met.is_empty else float(Point(middle).distance(met))


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
