"""Where a fold ends on a cutting plan: what is said there, beside the line, clear of the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING

from nesting.fabric.plans import FabricPlan
from nesting.output.drawing.cloth import Stretch
from nesting.output.drawing.rows import Row
from nesting.output.drawing.sheet import (
    Box,
    Sheet,
    line_height_mm,
    size_to_fit,
    text_width_mm,
)
from pieces.piece import Line, Outline, Point
from pieces.units import Unit, format_kept

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_SIZE_PT = 7.5
_BESIDE_MM = 0.8
"""Kept between the line across the cloth and what is written along it."""
_STEP_MM = 2.0
_TEXT_WEIGHT = 10.0
"""How much worse it is to hide a square millimetre of writing than a millimetre of a cut line."""


def write_opening(
    sheet: Sheet,
    entry: FabricPlan,
    section: Stretch,
    row: Row,
    outlines: Sequence[Outline],
    unit: Unit,
) -> None:
    """Say along the line at which the cloth is opened out what to do from there on.

    It is written where it hides least of the `outlines` on the page, of words and of signs.
    """
    if not row.start_mm <= section.start_mm < row.end_mm:
        return
    usable = format_kept(entry.fabric.usable_width_mm, unit)
    text = f"from here on: open out, single layer, {usable} to use"
    low, high = row.y(section.low_mm), row.y(section.high_mm)
    size = size_to_fit(text, _SIZE_PT, high - low, True)
    deep_mm, long_mm = line_height_mm(size), text_width_mm(text, size, True)
    places = _places(row.x(section.start_mm), (low, high), deep_mm, long_mm)
    hidden = _Hidden([*sheet.written, *sheet.signs], outlines)
    at = min(places, key=lambda place: hidden.by(_box(place, deep_mm, long_mm)))
    sheet.text(at, text, size, bold=True, align="center", turn_deg=90, backing="white")


def _places(x: float, ends: tuple[float, float], deep_mm: float, long_mm: float) -> Iterator[Point]:
    """Middles to try: past the line, before it and on it, each from its middle outwards."""
    low, high = ends
    middle, most = (low + high) / 2, max(0.0, (high - low - long_mm) / 2)
    beside = deep_mm / 2 + _BESIDE_MM
    count = int(most // _STEP_MM)
    steps = sorted(range(-count, count + 1), key=abs)
    for step, aside in product(steps, (beside, -beside, 0.0)):
        yield x + aside, middle + step * _STEP_MM


def _box(middle: Point, deep_mm: float, long_mm: float) -> Box:
    (x, y), across, along = middle, deep_mm / 2, long_mm / 2
    return x - across, y - along, x + across, y + along


class _Hidden:
    """What a box on the page would hide of cut lines, and of words and signs."""

    def __init__(self, said: Sequence[Box], outlines: Sequence[Outline]) -> None:
        from shapely.geometry import MultiLineString, box

        rings: list[Line] = [(*outline, outline[0]) for outline in outlines]
        self._lines: BaseGeometry = MultiLineString(rings)
        self._said = [box(*one) for one in said]

    def by(self, place: Box) -> float:
        """How much, in millimetres of line."""
        from shapely.geometry import box

        here = box(*place)
        said = sum(float(here.intersection(one).area) for one in self._said)
        return float(here.intersection(self._lines).length) + _TEXT_WEIGHT * said
