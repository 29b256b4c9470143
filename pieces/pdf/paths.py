"""The paths of a PDF page: straight and curved lines as points, and how they are drawn."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pieces.curves import bezier
from pieces.importers.gathering import Gathering, sane
from pieces.importers.svg_space import Matrix, moved, times
from pieces.piece import Line, Point

TOLERANCE_MM = 0.02
"""How far the chords of a curve may stray: a draft comes back within 0.05 mm."""
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_WHITE = 245
_COLOURS = {
    "black": (0, 0, 0), "grey": (128, 128, 128), "red": (220, 0, 0), "green": (0, 140, 0),
    "blue": (0, 0, 220), "orange": (255, 140, 0), "yellow": (240, 220, 0), "brown": (140, 70, 20),
    "purple": (128, 0, 128), "pink": (255, 105, 180), "cyan": (0, 190, 210),
    "magenta": (255, 0, 255),
}  # fmt: skip


@dataclass(frozen=True, slots=True, order=True)
class Style:
    """How a line is drawn: its layer, colour (red, green, blue), dashes, width in points.

    One that is filled and has no edge has the width 0.
    """

    layer: str
    colour: tuple[int, int, int]
    dashes: tuple[float, ...] = ()
    width: float = 0.0

    @property
    def looks(self) -> str:
        """Colour and kind of line in words, as "red dashed"."""
        kind = ""
        if self.dashes:
            kind = " dotted" if max(self.dashes[::2]) <= 2 * max(self.width, 0.5) else " dashed"
        return colour_name(self.colour) + kind


def colour_name(colour: tuple[int, int, int]) -> str:
    """The plain name that is nearest to a colour.

    >>> colour_name((0, 0, 0)), colour_name((250, 10, 20)), colour_name((30, 60, 230))
    ('black', 'red', 'blue')
    """

    def away(name: str) -> int:
        return sum((a - b) ** 2 for a, b in zip(_COLOURS[name], colour, strict=True))

    return min(_COLOURS, key=away)


class PathReader:
    """Reads path objects of one page."""

    def __init__(self, raw: Any, gathering: Gathering) -> None:
        self._raw = raw
        self._gathering = gathering

    def style(self, item: Any, layer: str) -> Style | None:
        """How a path is drawn; None if it can't be seen."""
        mode, stroked = ctypes.c_int(), ctypes.c_int()
        if not self._raw.FPDFPath_GetDrawMode(item, mode, stroked):
            return None
        if not stroked.value:
            colour = self._colour(self._raw.FPDFPageObj_GetFillColor, item) if mode.value else None
            return None if colour is None else Style(layer, colour)
        colour = self._colour(self._raw.FPDFPageObj_GetStrokeColor, item)
        width = ctypes.c_float()
        self._raw.FPDFPageObj_GetStrokeWidth(item, width)
        dashes = self._dashes(item)
        return None if colour is None else Style(layer, colour, dashes, round(width.value, 2))

    def _colour(self, get: Any, item: Any) -> tuple[int, int, int] | None:
        red, green, blue, cover = (ctypes.c_uint() for _ in range(4))
        if not get(item, red, green, blue, cover) or cover.value == 0:
            return None
        found = (red.value, green.value, blue.value)
        return None if min(found) >= _WHITE else found

    def _dashes(self, item: Any) -> tuple[float, ...]:
        count = self._raw.FPDFPageObj_GetDashCount(item)
        if not 0 < count < 20:
            return ()
        lengths = (ctypes.c_float * count)()
        self._raw.FPDFPageObj_GetDashArray(item, lengths, count)
        return tuple(round(value, 2) for value in lengths) if max(lengths) > 0 else ()

    def lines(self, item: Any, to_mm: Matrix) -> Iterator[tuple[Line, bool]]:
        """The subpaths of a path, each with whether it is closed."""
        own = matrix_of(self._raw, item)
        if not sane(*own, *to_mm):
            return
        matrix = times(to_mm, own)
        points: list[Point] = []
        pulls: list[Point] = []
        for kind, x, y, close in self._segments(item):
            at = moved(matrix, (x, y))
            if not sane(*at):
                return
            if kind == self._raw.FPDF_SEGMENT_MOVETO:
                yield from self._done(points, closed=False)
                points, pulls = [at], []
            elif kind == self._raw.FPDF_SEGMENT_LINETO:
                points.append(at)
            else:
                pulls.append(at)
                if len(pulls) == 3 and points:
                    curve = bezier(points[-1], pulls[0], pulls[1], pulls[2], TOLERANCE_MM)
                    points += self._gathering.counted(curve[1:])
                if len(pulls) == 3:
                    pulls = []
            if close:
                yield from self._done(points, closed=True)
                points = points[:1]
        yield from self._done(points, closed=False)

    def _segments(self, item: Any) -> Iterator[tuple[int, float, float, bool]]:
        x, y = ctypes.c_float(), ctypes.c_float()
        for index in range(self._raw.FPDFPath_CountSegments(item)):
            segment = self._raw.FPDFPath_GetPathSegment(item, index)
            if segment and self._raw.FPDFPathSegment_GetPoint(segment, x, y):
                kind = self._raw.FPDFPathSegment_GetType(segment)
                yield kind, x.value, y.value, bool(self._raw.FPDFPathSegment_GetClose(segment))

    def _done(self, points: list[Point], *, closed: bool) -> Iterator[tuple[Line, bool]]:
        line = tuple(points)
        if len(line) > 2 and line[0] == line[-1]:
            line, closed = line[:-1], True
        if len(line) > 1:
            yield self._gathering.counted(line), closed and len(line) > 2


def matrix_of(raw: Any, item: Any) -> Matrix:
    """The matrix of an object or a form."""
    found = raw.FS_MATRIX()
    if not raw.FPDFPageObj_GetMatrix(item, found):
        return IDENTITY
    return (found.a, found.b, found.c, found.d, found.e, found.f)
