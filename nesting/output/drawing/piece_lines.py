"""A piece's lines on a page: cut line, stitching, notches, and the edge on the fold."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from nesting.output.drawing import key
from nesting.output.drawing.rows import Row
from nesting.output.drawing.shape import Shape
from nesting.output.drawing.sheet import DASHED, DOTTED, Sheet
from pieces.piece import Line, Point

if TYPE_CHECKING:
    from matplotlib.patches import Rectangle

_NOTCH_MM = 1.8
_ARROW_MM = 4.0
"""Length of the arrows that point at an edge on the fold."""
_LEAST_EDGE_MM = 20.0
"""An edge shorter than this on the page has no arrows."""


def draw_shape(
    sheet: Sheet,
    row: Row,
    shape: Shape,
    fill: key.Fill,
    clip: Rectangle | None = None,
    notch_mm: float = _NOTCH_MM,
) -> None:
    """Draw a shape where it lies in a row; notches are so long on the page."""
    outline = row.on_page(shape.outline)
    fill.draw(sheet, outline, key.CUT_PT, clip)
    for line in shape.sewing:
        sheet.line(row.on_page(line), key.SEWING_PT, colour=key.SEWING, clip=clip)
    for line in shape.drawn:
        sheet.line(row.on_page(line), 0.6, dashes=DASHED, clip=clip)
    for line in shape.centres:
        sheet.line(row.on_page(line), 0.7, dashes=DOTTED, clip=clip)
    for line in notch_lines(shape, row, notch_mm):
        sheet.line(line, key.NOTCH_PT, clip=clip)
    for line in shape.folds:
        sheet.line(row.on_page(line), key.FOLD_PT, layer=4, clip=clip)
    for line in shape.inside:
        sheet.line(row.on_page(line), key.CUT_PT, layer=5, clip=clip)


def grain_arrow(shape: Shape, row: Row) -> tuple[Point, Point]:
    """Tail and head of an arrow along the grain through the middle of a shape on the page."""
    from shapely.geometry import LineString, Polygon

    outline = Polygon(row.on_page(shape.outline)).buffer(0)
    (x0, y0), (x1, y1) = row.on_page(shape.grain)
    angle = math.atan2(y1 - y0, x1 - x0)
    cos, sin = math.cos(angle), math.sin(angle)
    middle = (
        outline.centroid if outline.contains(outline.centroid) else outline.representative_point()
    )
    reach = math.hypot(
        *(high - low for low, high in zip(outline.bounds[:2], outline.bounds[2:], strict=True))
    )
    through = LineString(
        [
            (middle.x - reach * cos, middle.y - reach * sin),
            (middle.x + reach * cos, middle.y + reach * sin),
        ]
    )
    inside = through.intersection(outline)
    chord = min(getattr(inside, "geoms", [inside]), key=middle.distance)
    tail, head = chord.interpolate(0.2, normalized=True), chord.interpolate(0.8, normalized=True)
    return (tail.x, tail.y), (head.x, head.y)


def fold_arrows(shape: Shape, row: Row) -> list[tuple[Point, Point]]:
    """Arrows on the page, from tail to head, that point from inside at the edges on a fold."""
    return [arrow for edge in shape.folds for arrow in _arrows_at(edge, shape, row)]


def _arrows_at(edge: Line, shape: Shape, row: Row) -> list[tuple[Point, Point]]:
    (x0, y0), (x1, y1) = row.on_page(edge)
    long = math.hypot(x1 - x0, y1 - y0)
    if long < _LEAST_EDGE_MM:
        return []
    along = ((x1 - x0) / long, (y1 - y0) / long)
    inward = (-along[1], along[0])
    corners = row.on_page(shape.outline)
    if sum((x - x0) * inward[0] + (y - y0) * inward[1] for x, y in corners) < 0:
        inward = (-inward[0], -inward[1])
    arrows = []
    for at in (min(4.0, 0.1 * long), long - min(4.0, 0.1 * long)):
        x, y = x0 + at * along[0], y0 + at * along[1]
        tail = (x + _ARROW_MM * inward[0], y + _ARROW_MM * inward[1])
        arrows.append((tail, (x + 0.5 * inward[0], y + 0.5 * inward[1])))
    return arrows


def notch_lines(shape: Shape, row: Row, long_mm: float = _NOTCH_MM) -> list[Line]:
    """The notches as strokes on the page."""
    lines: list[Line] = []
    for notch in shape.notches:
        (x, y), angle = row.on_page([notch.at])[0], math.radians(notch.inward_deg)
        lines.append(((x, y), (x + long_mm * math.cos(angle), y + long_mm * math.sin(angle))))
    return lines
