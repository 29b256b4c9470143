"""Where a piece's name goes: text and grain arrow fitted inside an outline on the page."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from itertools import product
from typing import TYPE_CHECKING

from nesting.output.drawing.sheet import (
    MM_PER_POINT,
    SMALLEST_POINT,
    Sheet,
    line_height_mm,
    text_width_mm,
)
from pieces.piece import Point

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

Words = tuple[str, bool]
"""A run of text, and whether it is bold."""

_EASY_PT, _SMALL_PT = (10.0, 9.0, 8.0), (7.2, SMALLEST_POINT)
"""Sizes of type to try, those that are easily read and those that can be read."""
_CLEAR_MM = 0.7
_CLEAR_OF_NUMBER_MM = 0.3
"""Kept between text and the lines around it; a lone number may come nearer to them."""
_ARROW_HIGH_MM = 2.6
_ARROW_LEAST_MM, _ARROW_MOST_MM = 4.8, 14.0
_LEAST_SLANT_DEG, _STRIP = 4.0, 3.0
"""Text follows a room that slants more than this and is so many times longer than wide."""
_FAR_MM = 8.0
"""Two discs so far apart are far enough."""
_BY_NUMBER, _HARD_SPACE = re.compile(r"(?<=\d) | (?=\d)"), "\N{NO-BREAK SPACE}"
_GRID = 19
"""Places to try for a label's middle, along each side of the box around its room."""
_DIGIT_HIGH = 0.75
"""Height of a figure as a share of the size of its type."""


@dataclass(frozen=True, slots=True)
class Block:
    """Lines of text with a grain arrow, as a rectangle that reads level.

    `text_at`, `arrow_at` are the middles of the text and of the arrow from the middle of the
    whole; `arrow_mm` is the arrow's length, 0 for none.
    """

    lines: tuple[Words, ...]
    size_pt: float
    width_mm: float
    height_mm: float
    text_at: Point = (0.0, 0.0)
    arrow_at: Point = (0.0, 0.0)
    arrow_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """A block with its middle on the page and the turn it reads at.

    `text` tells which of the texts offered it sets, 0 the fullest; -1 for a number in a disc
    of its own.
    """

    block: Block
    at: Point
    turn_deg: float
    text: int

    def draw(self, sheet: Sheet, grain_deg: float, *, both_ways: bool, backing: str = "") -> None:
        """Write the text, with its colour behind it, and draw the arrow along the grain."""
        block = self.block
        if _is_number(block.lines):
            # A box behind a lone figure could reach over the lines around it.
            backing = ""
        if self.text == -1:
            sheet.disc(self.at, 0.55 * max(block.width_mm, block.height_mm) + 0.5)
        step = line_height_mm(block.size_pt)
        for index, (text, bold) in enumerate(block.lines):
            off = ((len(block.lines) - 1) / 2 - index) * step
            at = self._on_page((block.text_at[0], block.text_at[1] + off))
            sheet.text(
                at,
                text,
                block.size_pt,
                bold=bold,
                align="center",
                turn_deg=self.turn_deg,
                backing=backing,
            )
        if block.arrow_mm:
            reach = block.arrow_mm / 2
            dx = reach * math.cos(math.radians(grain_deg))
            dy = reach * math.sin(math.radians(grain_deg))
            x, y = self._on_page(block.arrow_at)
            sheet.arrow((x - dx, y - dy), (x + dx, y + dy), both=both_ways)

    def _on_page(self, point: Point) -> Point:
        x, y = _turned(point, self.turn_deg)
        return (self.at[0] + x, self.at[1] + y)


@dataclass(frozen=True)
class _Room:
    """Space for text, turned so that text lies level in it."""

    turn_deg: float
    space: BaseGeometry
    width_mm: float
    height_mm: float

    @cached_property
    def middles(self) -> NDArray[np.float64]:
        """Places to try for a label's middle, in that order, one a row; most rooms need none."""
        return _middles(self.space)


def fitted(
    rooms: Sequence[BaseGeometry],
    texts: Sequence[Sequence[Sequence[Words]]],
    grain_deg: float | None,
) -> Label | None:
    """The fullest of the texts that fits a room, in the first room and the size that it fits.

    Each of `texts`, the fullest first, comes in wordings that say the same; `rooms` come best
    first. None if not even the last text fits. Without a `grain_deg` there is no arrow.
    """

    @cache
    def turned(index: int, clear_mm: float) -> list[_Room]:
        return _turned_rooms(rooms[index].buffer(-clear_mm))

    for number, wordings in enumerate(texts):
        clear_mm = _CLEAR_OF_NUMBER_MM if _is_number(wordings[0]) else _CLEAR_MM
        for index, sizes in product(range(len(rooms)), (_EASY_PT, _SMALL_PT)):
            for wording in wordings:
                room = turned(index, clear_mm)
                found = _fitted_in(room, tuple(wording), sizes, grain_deg)
                if found is not None:
                    return Label(*found, number)
    return None


def _fitted_in(
    turned: Sequence[_Room],
    text: tuple[Words, ...],
    sizes_pt: Sequence[float],
    grain_deg: float | None,
) -> tuple[Block, Point, float] | None:
    """One wording in one room, level before turned: its block, middle and turn."""
    for room, size in product(turned, sizes_pt):
        # As the text sees it; text and arrow turn together.
        grain = None if grain_deg is None else grain_deg - room.turn_deg
        for block in _blocks(text, size, grain):
            at = _place(room, block)
            if at is not None:
                return block, _turned(at, room.turn_deg), room.turn_deg
    return None


def disc(room: BaseGeometry, text: str, others: Sequence[Label]) -> Label:
    """A number in a disc, for a room too small for it: as far as can be from other discs."""
    import numpy as np

    (x0, y0), (x1, y1), _ = _axis(room)
    shares = sorted((share / 12 for share in range(1, 12)), key=lambda share: abs(share - 0.5))
    spots = [(x0 + share * (x1 - x0), y0 + share * (y1 - y0)) for share in shares]
    taken = [label.at for label in others if label.text == -1]
    at = spots[0]
    if taken:
        apart = np.asarray(spots)[:, None] - np.asarray(taken)
        clearance = np.hypot(apart[..., 0], apart[..., 1]).min(axis=1)
        at = spots[int(np.minimum(clearance, _FAR_MM).argmax())]
    words: tuple[Words, ...] = ((text, True),)
    width = text_width_mm(text, SMALLEST_POINT, bold=True)
    block = Block(words, SMALLEST_POINT, width, line_height_mm(SMALLEST_POINT) * _DIGIT_HIGH)
    return Label(block, at, 0.0, -1)


def _turned(point: Point, angle_deg: float) -> Point:
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return (point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos)


def _narrowest_box(room: BaseGeometry) -> list[Point]:
    """The corners, in order, of the least rectangle around a room."""
    from shapely import get_coordinates

    corners = get_coordinates(room.minimum_rotated_rectangle)
    return [(float(x), float(y)) for x, y in corners[:4]]


def _is_number(text: Sequence[Words]) -> bool:
    return len(text) == 1 and text[0][0].isdigit()


def _axis(room: BaseGeometry) -> tuple[Point, Point, float]:
    """The ends of the long middle line of the narrowest box around a room, and its width."""
    a, b, c, d = _narrowest_box(room)
    if math.dist(a, b) < math.dist(b, c):
        a, b, c, d = b, c, d, a
    start, end = ((a[0] + d[0]) / 2, (a[1] + d[1]) / 2), ((b[0] + c[0]) / 2, (b[1] + c[1]) / 2)
    return start, end, math.dist(b, c)


def _reading_turn(room: BaseGeometry) -> float:
    """The angle at which text runs along a room and reads from below or from the right."""
    (x0, y0), (x1, y1), _ = _axis(room)
    turn = math.degrees(math.atan2(y1 - y0, x1 - x0)) % 180
    return turn - 180 if turn > 90 else turn


def _is_slanting_strip(room: BaseGeometry) -> bool:
    """Whether a room is long and narrow and neither level nor upright."""
    start, end, width = _axis(room)
    slant = min(abs(_reading_turn(room) - turn) for turn in (-90.0, 0.0, 90.0))
    return slant > _LEAST_SLANT_DEG and math.dist(start, end) > _STRIP * width


def _turned_rooms(room: BaseGeometry) -> list[_Room]:
    """The room as seen by text that reads level, upright, and along the room."""
    from shapely import affinity, prepare

    if room.is_empty:
        return []
    turns = [0.0, 90.0]
    if _is_slanting_strip(room):
        turns.append(_reading_turn(room))
    rooms = []
    for turn in turns:
        space = affinity.rotate(room, -turn, origin=(0, 0))
        prepare(space)
        left, bottom, right, top = space.bounds
        rooms.append(_Room(turn, space, right - left, top - bottom))
    return rooms


def _middles(room: BaseGeometry) -> NDArray[np.float64]:
    """Points to try for a label's middle, the roomiest and most central first."""
    import numpy as np
    import shapely

    left, bottom, right, top = room.bounds
    spread = np.linspace(0.04, 0.96, _GRID)
    xs, ys = np.meshgrid(left + spread * (right - left), bottom + spread * (top - bottom))
    at = np.column_stack((xs.ravel(), ys.ravel()))
    at = at[shapely.contains_xy(room, at[:, 0], at[:, 1])]
    if not len(at):
        return shapely.get_coordinates(room.representative_point())
    points, centre = shapely.points(at), room.centroid
    score = shapely.distance(points, room.boundary) - 0.15 * shapely.distance(points, centre)
    return at[np.argsort(-score, kind="stable")]


def _place(room: _Room, block: Block) -> Point | None:
    """The first of the middles at which the block lies wholly inside."""
    import numpy as np
    import shapely

    if block.width_mm > room.width_mm or block.height_mm > room.height_mm:
        return None
    half = np.array((block.width_mm / 2, block.height_mm / 2))
    low, high = room.middles - half, room.middles + half
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    inside = np.flatnonzero(shapely.contains(room.space, boxes))
    if not len(inside):
        return None
    x, y = room.middles[inside[0]]
    return (float(x), float(y))


@lru_cache(maxsize=1024)
def _blocks(text: tuple[Words, ...], size_pt: float, grain_deg: float | None) -> list[Block]:
    """Ways to set the text at one size, the grain seen from the text."""
    blocks = []
    for lines, width in _wrapped(text):
        wide = width * size_pt
        step = line_height_mm(size_pt)
        last = size_pt * MM_PER_POINT * _DIGIT_HIGH if _is_number(lines) else 0.9 * step
        plain = Block(lines, size_pt, wide, (len(lines) - 1) * step + last)
        if grain_deg is not None:
            blocks.append(_with_arrow(plain, grain_deg, beside=False))
            blocks.append(_with_arrow(plain, grain_deg, beside=True))
        if grain_deg is None or len(lines) == 1:
            blocks.append(plain)
    return blocks


def _with_arrow(block: Block, grain_deg: float, *, beside: bool) -> Block:
    """The block with a grain arrow beside the text or below it."""
    rise = abs(math.sin(math.radians(grain_deg)))
    run = abs(math.cos(math.radians(grain_deg)))
    side = block.height_mm if rise > run else block.width_mm
    arrow = _ARROW_LEAST_MM if beside else min(_ARROW_MOST_MM, 0.8 * side)
    arrow = max(_ARROW_LEAST_MM, arrow)
    wide, high = max(_ARROW_HIGH_MM, arrow * run + 1), max(_ARROW_HIGH_MM, arrow * rise + 1)
    width, height = block.width_mm, block.height_mm
    if beside:
        size = (width + wide + 1, max(height, high if rise > 0.1 else 0.0))
        text_at, arrow_at = (-(wide + 1) / 2, 0.0), ((width + 1) / 2, 0.0)
    else:
        size = (max(width, wide), height + high)
        text_at, arrow_at = (0.0, high / 2), (0.0, -height / 2)
    return Block(block.lines, block.size_pt, *size, text_at, arrow_at, arrow)


@lru_cache(maxsize=1024)
def _wrapped(text: tuple[Words, ...]) -> list[tuple[tuple[Words, ...], float]]:
    """The text with its runs broken into up to three lines, never between a number and a word.

    With each, how wide it is in mm for each point of the size of type.
    """
    seen: dict[tuple[Words, ...], None] = {}
    longest = max(len(words) for words, _ in text)
    for parts in (1, 2, 3):
        width = max(4, math.ceil(longest / parts) + (2 if parts > 1 else 0))
        wrapper = textwrap.TextWrapper(width, break_long_words=False, break_on_hyphens=False)
        lines = tuple(
            (line.replace(_HARD_SPACE, " "), bold)
            for words, bold in text
            for line in wrapper.wrap(_BY_NUMBER.sub(_HARD_SPACE, words))
        )
        seen.setdefault(lines)
    return [(lines, max(text_width_mm(own, 1.0, bold) for own, bold in lines)) for lines in seen]
