"""What is told of a traced piece by the numbers of its corners: its fold, its grain, its seams."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from pieces.geometry import corner_at, stretch
from pieces.importers.outlines import grain_through
from pieces.piece import Line, Outline, Point
from pieces.trace.tracing import Traced

_TOLD = re.compile(
    r"\s*(?P<piece>[^:]+?)\s*:\s*(?:(?P<kind>fold|grain)|seam\s+(?P<seam>\S.*?))\s+"
    r"(?P<first>\d{1,4})\s*[-–]\s*(?P<last>\d{1,4})\s*",
    re.IGNORECASE,
)
EXAMPLE = '"piece-1: fold 4-5", "piece-1: grain 4-5" or "piece-1: seam side 2-3"'


@dataclass(frozen=True, slots=True)
class Told:
    """What runs from one corner of a piece to another: a fold, the grain or a seam of a name."""

    piece: str
    kind: str
    first: int
    last: int


def told(text: str) -> Told:
    """What a text says.

    Raises
    ------
    ValueError : that can't be read

    >>> told("front: seam side 2-3")
    Told(piece='front', kind='seam side', first=2, last=3)
    """
    found = _TOLD.fullmatch(text)
    if found is None:
        raise ValueError(f"'{text}' is not understood. Write it like {EXAMPLE}.")
    kind = (found["kind"] or "").lower() or f"seam {found['seam']}"
    return Told(found["piece"], kind, int(found["first"]), int(found["last"]))


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
    return stretch(outline, corner_at(outline, start), corner_at(outline, end))
