"""How a cutting plan sits on its page: size of the page, rows of cloth, room for the key."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from nesting.output.drawing.key import COLUMN_MM
from pieces.piece import Outline, Point

MARGIN_MM = 10.0
HEADER_MM = 26.0
FOOTER_MM = 10.0
LEFT_MM = 17.0
"""Beside a row: the cut end in words and the width's dimension."""
ABOVE_MM = 9.0
"""Over a row: the upper edge in words and the length's dimension."""
BELOW_MM = 10.0
"""Under a row: the ruler and the lower edge in words."""
_KEY_SPACE_MM, _LETTER_MM = 6.0, 4.0
"""Between the cloth and its key; for the letter where a row is broken."""

_LONG_MM, _SHORT_MM = 297.0, 210.0
"""A4, on its side or upright; a cloth too long for it gets a page of several A4 on their sides,
one above the other."""
_MOST_SHEETS = 38
"""Beyond that a PNG would be taller than its format's writer can draw."""
_LEAST_SCALE = 1 / 26
_LARGEST_SCALE = 1 / 2
_MOST_ROWS, _LEAST_ROW = 60, 0.8
"""A row is no shorter than this many times the depth of the cloth."""
_SIDEWAYS_BONUS, _BESIDE_BONUS, _ROW_MALUS = 1.12, 1.06, 0.06
"""What it is worth in scale that the page lies on its side, that the key stands beside the
cloth, and that the cloth is in one row."""


@dataclass(frozen=True, slots=True)
class Row:
    """A stretch of the cloth along its length, and where it is drawn.

    `start_mm`, `end_mm` on the cloth; `left`, `bottom` on the page, of the cloth's y = 0.
    """

    start_mm: float
    end_mm: float
    left: float
    bottom: float
    scale: float

    @property
    def right(self) -> float:
        """Right end on the page."""
        return self.x(self.end_mm)

    def x(self, along_mm: float) -> float:
        """Where a distance from the cut end lies on the page."""
        return self.left + (along_mm - self.start_mm) * self.scale

    def y(self, across_mm: float) -> float:
        """Where a distance across the cloth lies on the page."""
        return self.bottom + across_mm * self.scale

    def on_page(self, points: Iterable[Point]) -> Outline:
        """Points of the cloth on the page."""
        return tuple((self.x(x), self.y(y)) for x, y in points)


@dataclass(frozen=True, slots=True)
class Arrangement:
    """A page with its rows of cloth, and the upper left corner and columns of its key."""

    width_mm: float
    height_mm: float
    rows: tuple[Row, ...]
    key_left: float
    key_top: float
    key_columns: int

    @property
    def scale(self) -> float:
        """Page millimetres to a millimetre of cloth."""
        return self.rows[0].scale


@dataclass(frozen=True, slots=True)
class Extent:
    """The cloth to draw: its length, its y range with selvedges, and spans no break may cross."""

    length_mm: float
    low_mm: float
    high_mm: float
    spans: tuple[tuple[float, float], ...]

    @property
    def depth_mm(self) -> float:
        """How far it reaches across, selvedges included."""
        return self.high_mm - self.low_mm


@dataclass(frozen=True, slots=True)
class _Form:
    """One way to use a page: its size, where rows begin and end, columns of key, and where."""

    width_mm: float
    height_mm: float
    breaks: tuple[float, ...]
    columns: int
    beside: bool

    @property
    def rows(self) -> int:
        return len(self.breaks) - 1

    @property
    def longest_mm(self) -> float:
        return max(end - start for start, end in pairwise(self.breaks))

    @property
    def key_space(self) -> float:
        """Between the cloth and a key beside it, with the letter at the end of a row."""
        return _KEY_SPACE_MM + (_LETTER_MM if self.rows > 1 else 0.0)

    @property
    def worth(self) -> float:
        sideways = _SIDEWAYS_BONUS if self.width_mm > self.height_mm else 1.0
        beside = _BESIDE_BONUS if self.beside else 1.0
        return sideways * beside / (1 + _ROW_MALUS * (self.rows - 1))

    def scale(self, depth_mm: float, key_mm: float) -> float:
        """The largest round scale that fits; 0 if none does."""
        wide = self.width_mm - 2 * MARGIN_MM - LEFT_MM
        high = self.height_mm - 2 * MARGIN_MM - HEADER_MM - FOOTER_MM
        if self.beside:
            wide -= self.columns * COLUMN_MM + self.key_space
            high = high if key_mm <= high else 0.0
        else:
            high -= key_mm + _KEY_SPACE_MM
        spare = high - self.rows * (ABOVE_MM + BELOW_MM)
        scale = min(wide / self.longest_mm, spare / (self.rows * depth_mm), _LARGEST_SCALE)
        return _round_scale(scale) if scale > 0 else 0.0


def arrange(extent: Extent, key_height: Callable[[int], float]) -> Arrangement:
    """Choose the page on which the cloth comes out largest.

    `key_height` gives the height of the key in so many columns. Raises ValueError if the key
    alone is longer than the longest page.
    """
    best, best_scale = None, 0.0
    for papers in _papers():
        for form in (form for paper in papers for form in _forms(extent, paper)):
            scale = form.scale(extent.depth_mm, key_height(form.columns))
            if best is None or scale * form.worth > best_scale * best.worth:
                best, best_scale = form, scale
        if best_scale >= _LEAST_SCALE:
            break
    if best is None or best_scale == 0.0:
        raise ValueError("the key alone is longer than the longest page")
    return _placed(extent, best, best_scale)


def _papers() -> Iterator[tuple[tuple[float, float], ...]]:
    """Widths and heights of pages to try, the handiest first."""
    yield (_LONG_MM, _SHORT_MM), (_SHORT_MM, _LONG_MM)
    for sheets in range(2, _MOST_SHEETS + 1):
        yield ((_LONG_MM, sheets * _SHORT_MM),)


def _forms(extent: Extent, paper: tuple[float, float]) -> Iterator[_Form]:
    width, height = paper
    below = int((width - 2 * MARGIN_MM) // COLUMN_MM)
    for breaks in _row_breaks(extent):
        yield _Form(width, height, breaks, below, beside=False)
        for columns in range(1, below):
            yield _Form(width, height, breaks, columns, beside=True)


def _round_scale(scale: float) -> float:
    """The next smaller scale of one to a whole number, or to a half below ten."""
    ratio = 1 / scale
    return 1 / (math.ceil(ratio * 2) / 2 if ratio < 10 else math.ceil(ratio))


def _placed(extent: Extent, form: _Form, scale: float) -> Arrangement:
    y = top = form.height_mm - MARGIN_MM - HEADER_MM
    rows = []
    for start, end in pairwise(form.breaks):
        y -= ABOVE_MM + extent.depth_mm * scale
        rows.append(Row(start, end, MARGIN_MM + LEFT_MM, y - extent.low_mm * scale, scale))
        y -= BELOW_MM
    longest = max(row.right for row in rows)
    corner = (longest + form.key_space, top - 3) if form.beside else (MARGIN_MM, y - 4)
    return Arrangement(form.width_mm, form.height_mm, tuple(rows), *corner, form.columns)


@lru_cache(maxsize=8)
def _row_breaks(extent: Extent) -> list[tuple[float, ...]]:
    """Ways to break the cloth into rows: where few pieces are crossed, rows about equal."""
    most = min(_MOST_ROWS, max(1, int(extent.length_mm / (_LEAST_ROW * extent.depth_mm))))
    ways = []
    for count in range(1, most + 1):
        ideal = extent.length_mm / count
        inner = [_best_break(extent, ideal * index, 0.12 * ideal) for index in range(1, count)]
        ways.append((0.0, *inner, extent.length_mm))
    return ways


def _best_break(extent: Extent, ideal: float, reach: float) -> float:
    """Near `ideal`, the place that crosses the fewest pieces and is nearest."""
    places = [ideal + reach * step / 20 for step in range(-20, 21)]

    def cost(x: float) -> tuple[int, float]:
        crossed = sum(1 for low, high in extent.spans if low + 1 < x < high - 1)
        return crossed, abs(x - ideal)

    return min(places, key=cost)
