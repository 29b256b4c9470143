"""Small drawings of pieces as SVG paths: of each draft for the picker, of each part in the form."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib import resources

from nesting.order.read import order_from_text
from nesting.page.tasks.channel import Record, TaskChannel
from pieces.curves import length
from pieces.drafting.garment import pieces_by_part
from pieces.geometry import bounds
from pieces.piece import Piece, Point

PICTURED = "drafts.toml"
_MOST_POINTS = 160


def pictures(_: Record, __: TaskChannel) -> Record:
    """The pieces of every draft there is, by its name, drawn for a child of four."""
    return _pictures()


@cache
def _pictures() -> dict[str, list[Record]]:
    text = resources.files("pieces.examples").joinpath(PICTURED).read_text(encoding="utf-8")
    found: dict[str, list[Record]] = {}
    for garment in order_from_text(text, PICTURED).garments:
        for part, pieces in zip(garment.parts, pieces_by_part(garment), strict=True):
            found.setdefault(part.draft, [drawn(piece) for piece in pieces])
    return found


def drawn(piece: Piece) -> Record:
    """A piece as paths in mm, y downwards, its thread line upright as a dresser lays it down.

    `fold` has the lines that lie on folds, None without one; `size` how far it reaches across
    and along; `points` are the names of those at which a print can meet.
    """
    left, low, right, high = bounds(piece.outline)

    def place(point: Point) -> tuple[int, int]:
        # The grain runs to +x: turned by a quarter, it runs upwards on the screen.
        return round(point[1] - low), round(right - point[0])

    return {
        "name": piece.name,
        "count": piece.parts,
        "pair": piece.pair,
        "size": [round(high - low), round(right - left)],
        "outline": path_of([place(point) for point in _thinned(piece.outline)]) + "Z",
        "sewing": path_of([place(point) for point in _thinned(piece.sewing_line)]),
        "fold": "".join(path_of([place(end) for end in edge]) for edge in piece.fold_edges) or None,
        "inside": "".join(
            path_of([place(point) for point in _thinned(line)]) for line in (piece.hole, piece.slit)
        ),
        "points": [mark.name for mark in piece.marks],
        "seams_mm": {seam.name: round(length(seam.line), 1) for seam in piece.seams},
    }


def _thinned(line: Sequence[Point]) -> Sequence[Point]:
    return line[:: 1 + len(line) // _MOST_POINTS]


def path_of(points: Sequence[tuple[int, int]]) -> str:
    """A line through points, as the path of an SVG."""
    if not points:
        return ""
    return "M" + "L".join(f"{x} {y}" for x, y in dict.fromkeys(points))
