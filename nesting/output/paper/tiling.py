"""Shapes at true size, cut up into the pages that a printer takes.

A board is what a group of pages makes when they are stuck together: one large piece, several
small ones that share a page, or a whole marker. Its pages stand in a grid, x to the right and y
upwards from its lower left corner; each page repeats a strip of its right and of its upper
neighbour, on which that neighbour is stuck.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product
from string import ascii_uppercase

from nesting.output.drawing.shape import Shape
from pieces.geometry import bounds, rotated, translated
from pieces.piece import Line, Point

MARGIN_MM = 10.0
"""Left free all round: printers can't reach the edge of the paper."""
LAP_MM = 10.0
"""The strip that two pages share."""
_PAD_MM = 2.0
"""Between a shape and the edge of its board, so that the whole line is printed."""
_BETWEEN_MM = 6.0
"""Between small pieces on one page."""
_SHARES = (0.0, 0.5, 1.0)
"""Of the room that a shape's pages leave, to try moving it by."""


class Paper(StrEnum):
    """Sizes of paper (A4: ISO 216; Letter: ANSI/ASME Y14.1, size A)."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height, upright."""
        return (210.0, 297.0) if self is Paper.A4 else (215.9, 279.4)

    @property
    def step_mm(self) -> tuple[float, float]:
        """How far one page carries beyond the last, across and up."""
        width, height = self.size_mm
        return width - 2 * MARGIN_MM - LAP_MM, height - 2 * MARGIN_MM - LAP_MM

    @property
    def written(self) -> str:
        """Its name as people write it."""
        return "A4" if self is Paper.A4 else "Letter"


@dataclass(frozen=True, slots=True)
class Item:
    """A shape where it lies on its board, and what is written in it: the name, then facts.

    `plain` if measures alone tell it, so that it needs no page.
    """

    shape: Shape
    name: str
    facts: tuple[str, ...] = ()
    plain: bool = False


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a board: its place in the grid, and its number among the board's pages."""

    column: int
    row: int
    number: int


@dataclass(frozen=True, slots=True)
class Board:
    """Pages to be stuck together; `tiles` leaves out those on which nothing lies.

    `edges` are lines of the cloth to be drawn beside the items, for a marker.
    """

    letter: str
    title: str
    paper: Paper
    items: tuple[Item, ...]
    tiles: tuple[Tile, ...]
    edges: tuple[Line, ...] = ()

    def label(self, tile: Tile) -> str:
        """The page's name: letter of the board and number of the page, as in "B3"."""
        return f"{self.letter}{tile.number}"

    def origin_mm(self, tile: Tile) -> Point:
        """The board's point at the lower left corner of a page's frame."""
        step_x, step_y = self.paper.step_mm
        return tile.column * step_x, tile.row * step_y

    def beside(self, tile: Tile, columns: int, rows: int) -> Tile | None:
        """The page so many columns to the right and rows above, if it is there."""
        place = (tile.column + columns, tile.row + rows)
        return next((one for one in self.tiles if (one.column, one.row) == place), None)


def letters(index: int) -> str:
    """A, B, … Z, AA, AB, …

    >>> letters(0), letters(25), letters(26), letters(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    name = ""
    while index >= 0:
        index, place = divmod(index, len(ascii_uppercase))
        name = ascii_uppercase[place] + name
        index -= 1
    return name


def shifted(shape: Shape, dx_mm: float, dy_mm: float) -> Shape:
    """The shape moved."""
    return shape.mapped(lambda line: translated(line, dx_mm, dy_mm), lambda deg: deg)


def boards_of(items: Sequence[Item], paper: Paper) -> list[Board]:
    """The boards for items in any places: each large one by itself, small ones together.

    A shape is turned a quarter where that takes fewer pages.
    """
    boards: list[Board] = []
    small: list[Item] = []
    for item in items:
        laid = _on_fewest(item, paper)
        if len(_tiles([laid], paper)) == 1:
            small.append(_cornered(laid, 0.0))
        else:
            boards.append(_board(letters(len(boards)), item.name, paper, (laid,)))
    for shared in _shelved(small, paper):
        title = shared[0].name if len(shared) == 1 else f"{len(shared)} small pieces"
        boards.append(_board(letters(len(boards)), title, paper, tuple(shared)))
    return boards


def board_of_marker(
    title: str, items: Sequence[Item], edges: Sequence[Line], paper: Paper
) -> Board:
    """One board of a whole marker, with the pages on which something other than strips lies.

    Its lower left corner is that of the marker, but for a little room.
    """
    points = [point for line in edges for point in line]
    left, low, _, _ = bounds(points)
    dx, dy = _PAD_MM - left, _PAD_MM - low
    moved = tuple(replace(one, shape=shifted(one.shape, dx, dy)) for one in items)
    lines = tuple(translated(line, dx, dy) for line in edges)
    shown = [one for one in moved if not one.plain]
    places = _tiles(shown, paper) if shown else []
    return Board("A", title, paper, moved, _numbered(places), lines)


def _board(letter: str, title: str, paper: Paper, items: tuple[Item, ...]) -> Board:
    return Board(letter, title, paper, items, _numbered(_tiles(items, paper)))


def _numbered(places: Sequence[tuple[int, int]]) -> tuple[Tile, ...]:
    return tuple(Tile(column, row, number) for number, (column, row) in enumerate(places, start=1))


def _on_fewest(item: Item, paper: Paper) -> Item:
    """The item turned, and moved within the room its pages leave, so that it takes the fewest."""
    ways: list[tuple[int, int, Item]] = []
    for turn_deg in (0.0, 90.0):
        cornered = _cornered(item, turn_deg)
        _, _, right, high = bounds(cornered.shape.outline)
        columns, rows = _grid((0.0, 0.0, right, high), paper)
        step_x, step_y = paper.step_mm
        free_x = columns * step_x + LAP_MM - right - _PAD_MM
        free_y = rows * step_y + LAP_MM - high - _PAD_MM
        for x, y in product(_SHARES, repeat=2):
            moved = replace(cornered, shape=shifted(cornered.shape, x * free_x, y * free_y))
            ways.append((len(_tiles([moved], paper)), len(ways), moved))
            if ways[-1][0] == 1:
                return moved
    return min(ways, key=lambda way: way[:2])[2]


def _cornered(item: Item, turn_deg: float) -> Item:
    """The item turned, in the lower left corner of a board of its own."""
    shape = item.shape.mapped(lambda line: rotated(line, turn_deg), lambda deg: deg + turn_deg)
    left, low, _, _ = bounds(shape.outline)
    return replace(item, shape=shifted(shape, _PAD_MM - left, _PAD_MM - low))


def _grid(box: tuple[float, float, float, float], paper: Paper) -> tuple[int, int]:
    """Columns and rows of pages that reach to the upper right corner of a box."""
    _, _, right, high = box
    step_x, step_y = paper.step_mm
    columns = math.ceil((right + _PAD_MM - LAP_MM) / step_x)
    rows = math.ceil((high + _PAD_MM - LAP_MM) / step_y)
    return max(1, columns), max(1, rows)


def pages_needed(item: Item, paper: Paper) -> int:
    """How many pages an item takes by itself."""
    return len(_tiles([_on_fewest(item, paper)], paper))


def _tiles(items: Sequence[Item], paper: Paper) -> list[tuple[int, int]]:
    """The columns and rows of the pages on which something lies, row by row from below.

    What lies on a strip that two pages share is on the left or the lower one of them.
    """
    from shapely import prepare
    from shapely.geometry import Polygon, box

    regions = [Polygon(item.shape.outline).buffer(_PAD_MM) for item in items]
    for region in regions:
        prepare(region)
    ends = [bounds(item.shape.outline) for item in items]
    around = (0.0, 0.0, max(e[2] for e in ends), max(e[3] for e in ends))
    columns, rows = _grid(around, paper)
    (width, height), (step_x, step_y) = paper.size_mm, paper.step_mm
    places = []
    for row in range(rows):
        for column in range(columns):
            # The strip that the page before shows already is not its own.
            x, y = column * step_x, row * step_y
            own = box(
                x + LAP_MM * (column > 0),
                y + LAP_MM * (row > 0),
                x + width - 2 * MARGIN_MM,
                y + height - 2 * MARGIN_MM,
            )
            if any(region.intersects(own) for region in regions):
                places.append((column, row))
    return places


def _shelved(items: Sequence[Item], paper: Paper) -> Iterator[list[Item]]:
    """Small items set out in rows on as few pages as come about, the highest first."""
    width, height = (side - 2 * MARGIN_MM for side in paper.size_mm)
    page: list[Item] = []
    x = y = shelf = 0.0
    for item in sorted(items, key=lambda one: -_size(one)[1]):
        across, up = _size(item)
        if x and x + across + 2 * _PAD_MM > width:
            x, y, shelf = 0.0, y + shelf + _BETWEEN_MM, 0.0
        if page and y + up + 2 * _PAD_MM > height:
            yield page
            page, x, y, shelf = [], 0.0, 0.0, 0.0
        page.append(replace(item, shape=shifted(item.shape, x, y)))
        x, shelf = x + across + _BETWEEN_MM, max(shelf, up)
    if page:
        yield page


def _size(item: Item) -> tuple[float, float]:
    left, low, right, high = bounds(item.shape.outline)
    return right - left, high - low
