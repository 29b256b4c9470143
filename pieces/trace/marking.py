"""What is told of a piece by the numbers of its corners: its fold, its grain, its seams, and more.

`marked.py` does it to pieces in a drawing; here it becomes lines that are drawn over a photograph.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pieces.curves import length
from pieces.errors import BadValue
from pieces.geometry import bounds, corner_at, stretch
from pieces.importers.named import corners_of
from pieces.importers.outlines import grain_through
from pieces.piece import Line, Outline, Point
from pieces.seams import walk
from pieces.units import Unit, format_length, parse_length

if TYPE_CHECKING:
    from pieces.trace.tracing import Traced

_PIECE = re.compile(r"\s*(?P<piece>[^:]+?)\s*:\s*(?P<what>\S.*?)\s*", re.DOTALL)
_ENDS = r"(?P<first>\d{1,4})\s*[-–]\s*(?P<last>\d{1,4})"
_KINDS = [
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"(?P<kind>fold|grain)\s+{_ENDS}",
        r"(?P<kind>grain)\s+(?P<way>-?\d{1,3}(?:\.\d{1,6})?)\s*(?:°|deg|degrees?)",
        rf"seam\s+(?P<seam>\S.*?)\s+{_ENDS}",
        rf"(?P<kind>notch)\s+{_ENDS}\s+at\s+(?P<at>\S.*)",
        rf"(?P<kind>bend)\s+{_ENDS}\s+by\s+(?P<at>\S.*)",
        r"(?P<kind>move)\s+(?P<first>\d{1,4})\s+by\s+(?P<right>\S.*?)\s*[,;]\s+(?P<up>\S.*)",
    )
]
EXAMPLE = (
    '"piece-1: fold 4-5", "piece-1: grain 4-5", "piece-1: grain 90 degrees", '
    '"piece-1: seam side 2-3", "piece-1: notch 2-3 at 12 cm", "piece-1: move 3 by 2 mm, -1 mm" or '
    '"piece-1: bend 2-3 by 4 mm"'
)
_LIKE = f"Write it like {EXAMPLE}."
MOVES = ("move", "bend")
_NOTCH_MM = 8.0


@dataclass(frozen=True, slots=True)
class Told:
    """What runs from one corner of a piece to another: a fold, the grain or a seam of a name.

    Or a notch, at `at_mm` along the outline from the first corner towards the other. Or the grain,
    `way_deg` from the drawing's x axis. Or the first corner moved by `move_mm`, to the right and
    up; or the edge between two bent by `at_mm` outwards.
    """

    piece: str
    kind: str
    first: int = 0
    last: int = 0
    at_mm: float = 0.0
    way_deg: float | None = None
    move_mm: Point = (0.0, 0.0)


def told(text: str, unit: Unit = Unit.CM) -> Told:
    """What a text says; `unit` is that of bare numbers.

    Raises
    ------
    BadValue : that can't be read

    >>> told("front: seam side 2-3").kind, told("front: move 3 by 2 mm, -1 mm").move_mm
    ('seam side', (2.0, -1.0))
    """
    whole = _PIECE.fullmatch(text)
    both = [kind.fullmatch(whole["what"]) for kind in _KINDS] if whole else []
    found = next((one.groupdict() for one in both if one is not None), None)
    if whole is None or found is None:
        if whole and re.match(rf"notch\s+{_ENDS}$", whole["what"], re.IGNORECASE):
            raise BadValue(f"'{text}' doesn't tell where its notch is.", _LIKE)
        raise BadValue(f"'{text}' is not understood.", _LIKE)

    def mm(part: str) -> float:
        return parse_length(found[part], unit) if found.get(part) else 0.0

    seam = found.get("seam")
    return Told(
        " ".join(whole["piece"].split()),
        f"seam {' '.join(seam.split())}" if seam else found["kind"].lower(),
        int(found.get("first") or 0),
        int(found.get("last") or 0),
        mm("at"),
        float(found["way"]) if found.get("way") else None,
        (mm("right"), mm("up")),
    )


def lines_of(
    pieces: Sequence[Traced], names: Sequence[str], marks: Sequence[Told]
) -> dict[int, list[tuple[str, Line]]]:
    """By the place of each piece what is drawn by it: the fold that was found, and what is told.

    Raises
    ------
    ValueError : there is no such piece, or it has no such corners
    """
    moved = [one.piece for one in marks if one.kind in MOVES]
    if moved:
        raise ValueError(
            f"Corners and edges of {moved[0]} are moved in the drawing that comes of the "
            "photograph: name its SVG in place of the photograph, with the same words."
        )
    unknown = [one.piece for one in marks if one.piece not in names]
    if unknown:
        raise ValueError(f"There is no piece called '{unknown[0]}'. There is {', '.join(names)}.")
    found: dict[int, list[tuple[str, Line]]] = {}
    for place, (piece, name) in enumerate(zip(pieces, names, strict=True)):
        own = [one for one in marks if one.piece == name]
        corners = numbered(piece.outline, piece.shape.corners)
        folds: list[tuple[str, Line]] = [] if piece.fold is None else [("fold", piece.fold)]
        found[place] = [
            *folds,
            *((one.kind, line_of(one, piece.outline, corners)) for one in own),
        ]
    return found


def numbered(outline: Outline, known: Sequence[Point] | None = None) -> list[Point]:
    """The corners of an outline in their order; of a round one the outermost points as well.

    They are found where it turns sharply, unless they are known.
    """
    corners = corners_of(outline) if known is None else list(known)
    if len(corners) > 1:
        return corners
    left, low, right, high = bounds(outline)
    sides = ((0, left), (1, low), (0, right), (1, high))
    outer = {next(at for at in outline if at[axis] == most) for axis, most in sides}
    return [at for at in outline if at in outer or at in corners]


def line_of(one: Told, outline: Outline, corners: Sequence[Point], unit: Unit = Unit.CM) -> Line:
    """The line to draw for it.

    Raises
    ------
    ValueError : the piece has no such corners
    """
    if one.way_deg is not None:
        return grain_through(outline, one.way_deg)
    require_corners(one, len(corners))
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
            f"{one.piece} is {format_length(long_mm, unit)} long from corner {one.first} to "
            f"{one.last}, so no notch is there at {format_length(one.at_mm, unit)}."
        )
    (x, y), way_deg = walk(edge, one.at_mm)
    inward = math.radians(way_deg + 90)
    return (x, y), (x + _NOTCH_MM * math.cos(inward), y + _NOTCH_MM * math.sin(inward))


def require_corners(one: Told, count: int) -> None:
    """Refuse what names corners that a piece has not.

    Raises
    ------
    ValueError : the piece has no such corners
    """
    is_one = one.kind == "move"
    ends = {one.first} if is_one else {one.first, one.last}
    if len(ends) < 2 - is_one or not all(1 <= end <= count for end in ends):
        what = f"{one.first} is no corner" if is_one else f"{one.first}-{one.last} is no stretch"
        raise ValueError(
            f"{one.piece} has {count} corners, so {what} of it. Look at the numbers in its picture."
        )
