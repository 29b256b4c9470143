"""What is told of a traced piece by the numbers of its corners: its fold, its grain, its seams."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from pieces.curves import length
from pieces.geometry import corner_at, stretch
from pieces.importers.outlines import grain_through
from pieces.piece import Line, Outline, Point
from pieces.seams import walk
from pieces.trace.tracing import Traced
from pieces.units import Unit, format_length, parse_length

_TOLD = re.compile(
    r"\s*(?P<piece>[^:]+?)\s*:\s*(?:(?P<kind>fold|grain|notch)|seam\s+(?P<seam>\S.*?))\s+"
    r"(?P<first>\d{1,4})\s*[-–]\s*(?P<last>\d{1,4})(?:\s+at\s+(?P<at>\S.*?))?\s*",
    re.IGNORECASE,
)
EXAMPLE = (
    '"piece-1: fold 4-5", "piece-1: grain 4-5", "piece-1: seam side 2-3" or '
    '"piece-1: notch 2-3 at 12 cm"'
)
_NOTCH_MM = 8.0


@dataclass(frozen=True, slots=True)
class Told:
    """What runs from one corner of a piece to another: a fold, the grain or a seam of a name.

    Or a notch, so far along the outline from the first corner towards the other.
    """

    piece: str
    kind: str
    first: int
    last: int
    at_mm: float = 0.0


def told(text: str) -> Told:
    """What a text says.

    Raises
    ------
    ValueError : that can't be read

    >>> told("front: seam side 2-3")
    Told(piece='front', kind='seam side', first=2, last=3, at_mm=0.0)
    """
    found = _TOLD.fullmatch(text)
    if found is None:
        raise ValueError(f"'{text}' is not understood. Write it like {EXAMPLE}.")
    kind = (found["kind"] or "").lower() or f"seam {found['seam']}"
    if (kind == "notch") != (found["at"] is not None):
        raise ValueError(f"'{text}' doesn't tell where its notch is. Write it like {EXAMPLE}.")
    at_mm = 0.0 if found["at"] is None else parse_length(found["at"], Unit.CM)
    return Told(found["piece"], kind, int(found["first"]), int(found["last"]), at_mm)


def lines_of(
    pieces: Sequence[Traced], names: Sequence[str], marks: Sequence[Told]
) -> dict[int, list[tuple[str, Line]]]:
    """By the place of each piece what is drawn by it: the fold that was found, and what is told.

    Raises
    ------
    ValueError : there is no such piece, or it has no such corners
    """
    unknown = [one.piece for one in marks if one.piece not in names]
    if unknown:
        raise ValueError(f"There is no piece called '{unknown[0]}'. There is {', '.join(names)}.")
    found: dict[int, list[tuple[str, Line]]] = {}
    for place, (piece, name) in enumerate(zip(pieces, names, strict=True)):
        own = [one for one in marks if one.piece == name]
        folds: list[tuple[str, Line]] = [] if piece.fold is None else [("fold", piece.fold)]
        found[place] = [
            *folds,
            *((one.kind, line_of(one, piece.outline, piece.shape.corners)) for one in own),
        ]
    return found


def line_of(one: Told, outline: Outline, corners: Sequence[Point]) -> Line:
    """The line to draw for it.

    Raises
    ------
    ValueError : the piece has no such corners
    """
    count = len(corners)
    if one.first == one.last or not all(1 <= n <= count for n in (one.first, one.last)):
        raise ValueError(
            f"{one.piece} has {count} corners, so {one.first}-{one.last} is no stretch of it. Look "
            "at the numbers in its picture."
        )
    start, end = corners[one.first - 1], corners[one.last - 1]
    if one.kind == "fold":
        return start, end
    if one.kind == "grain":
        way = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
        return grain_through(outline, way)
    edge = stretch(outline, corner_at(outline, start), corner_at(outline, end))
    if one.kind != "notch":
        return edge
    long_mm = length(edge)
    if not 0 < one.at_mm < long_mm:
        raise ValueError(
            f"{one.piece} is {format_length(long_mm, Unit.CM)} long from corner {one.first} to "
            f"{one.last}, so no notch is there at {format_length(one.at_mm, Unit.CM)}."
        )
    (x, y), way_deg = walk(edge, one.at_mm)
    inward = math.radians(way_deg + 90)
    return (x, y), (x + _NOTCH_MM * math.cos(inward), y + _NOTCH_MM * math.sin(inward))
