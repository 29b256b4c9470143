"""The lines of a DXF drawing as points: polylines with their bulges, arcs, ellipses, splines.

Only what can be drawn flat is read; all else gives None. Written from the published reference
of the format. Everything stays in the drawing's own unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Any

from pieces.curves import arc
from pieces.importers.gathering import Gathering, sane
from pieces.importers.grain import names_grain
from pieces.importers.strokes import Stroke
from pieces.piece import Line, Point

_DEEPEST = 4
_MOST_COPIES = 200
_MOST_ENTITIES = 10_000
_MOST_POINTS = 100_000
_MOST_KNOTS = 5000
_STEEPEST = 10
_FLAT_BULGE = 1e-9
_FRAME_POINT = 16
"""Flag of a vertex that steers a smoothed polyline and is not on it."""
_LINES = frozenset(["LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"])


class UnreadableError(Exception):
    """An entity whose numbers make no line."""


class Walk:
    """A walk through the lines of a space, inserted blocks included; counts what it meets."""

    def __init__(self, gathering: Gathering, tolerance: float) -> None:
        self._gathering = gathering
        self._tolerance = tolerance
        self._left = _MOST_ENTITIES

    def strokes(self, space: Iterable[Any], block: str = "", depth: int = 0) -> Iterator[Stroke]:
        """Every line, named after its block; those on one layer of one insertion are a group.

        Raises
        ------
        OrderFault : blocks within blocks without end
        """
        for number, entity in enumerate(space):
            self._left -= depth > 0
            if self._left < 0:
                raise self._gathering.refused(
                    "The drawing repeats its blocks without end.",
                    "Save the outlines of the pieces alone, without blocks in blocks.",
                )
            try:
                if entity.dxftype() == "INSERT":
                    inner = block or f"{entity.dxf.get('name', '')}\n{number}"
                    for copy in _copies(entity, depth):
                        yield from self.strokes(copy, inner, depth + 1)
                else:
                    yield from self._stroke(entity, block)
            except UnreadableError as error:
                tell_unreadable(self._gathering, error)

    def _stroke(self, entity: Any, block: str) -> Iterator[Stroke]:
        stroke = stroke_of(entity, self._tolerance)
        if stroke is not None:
            group = f"{block}\n{entity.dxf.layer}"
            name = block.partition("\n")[0]
            grain = names_grain(entity.dxf.layer, name)
            yield Stroke(stroke.line, stroke.closed, name, group, grain=grain)


def tell_unreadable(gathering: Gathering, error: UnreadableError) -> None:
    """Tell of a line that was left out because it can't be read."""
    gathering.find(
        "line-unreadable",
        f"{error}; it was left out. Look whether all pieces are whole, or save the drawing anew.",
    )


def _copies(insert: Any, depth: int) -> list[list[Any]]:
    rows, columns = insert.dxf.get("row_count", 1), insert.dxf.get("column_count", 1)
    if depth == _DEEPEST or not 0 <= rows * columns <= _MOST_COPIES:
        raise UnreadableError("a block holds itself, or is repeated without end")
    try:
        inserts = list(insert.multi_insert()) if rows * columns > 1 else [insert]
        return [list(one.virtual_entities()) for one in inserts]
    except Exception as error:  # damaged entities fail in whatever way the library has
        raise UnreadableError("an inserted block can't be drawn") from error


def stroke_of(entity: Any, tolerance: float) -> Stroke | None:
    """One entity as a line whose chords stray by no more than a tolerance; None if it is no line.

    Raises
    ------
    UnreadableError : its numbers make no line
    """
    if entity.dxftype() not in _LINES:
        return None
    try:
        line, closed = _READERS[entity.dxftype()](entity, tolerance)
    except UnreadableError:
        raise
    except Exception as error:  # damaged entities fail in whatever way the library has
        raise UnreadableError("a line can't be drawn") from error
    if not line or not sane(*(value for point in line for value in point)):
        raise UnreadableError("a line has numbers out of all measure")
    if len(line) > 2 and line[0] == line[-1]:
        line, closed = line[:-1], True
    return Stroke(line, closed)


def _line(entity: Any, _: float) -> tuple[Line, bool]:
    (ax, ay, _az), (bx, by, _bz) = entity.dxf.start, entity.dxf.end
    return ((ax, ay), (bx, by)), False


def _polyline(entity: Any, tolerance: float) -> tuple[Line, bool]:
    if entity.dxftype() == "POLYLINE" and (entity.is_poly_face_mesh or entity.is_polygon_mesh):
        raise UnreadableError("a mesh is no outline")
    corners = list(_vertices(entity))
    closed = bool(entity.closed if entity.dxftype() == "LWPOLYLINE" else entity.is_closed)
    if not corners:
        raise UnreadableError("a polyline has no points")
    points: list[Point] = [corners[0][0]]
    for (start, bulge), (end, _) in pairwise([*corners, corners[0]] if closed else corners):
        points += _bulged(start, end, bulge, tolerance)
    flat = tuple(points[:-1] if closed and len(points) > 1 else points)
    return _in_world(entity, flat), closed


def _vertices(entity: Any) -> Iterator[tuple[Point, float]]:
    if entity.dxftype() == "LWPOLYLINE":
        for x, y, bulge in entity.get_points("xyb"):
            yield (x, y), bulge
    else:
        for vertex in entity.vertices:
            if not vertex.dxf.get("flags", 0) & _FRAME_POINT:
                x, y, _ = vertex.dxf.location
                yield (x, y), vertex.dxf.get("bulge", 0.0)


def _bulged(start: Point, end: Point, bulge: float, tolerance: float) -> Line:
    """From one vertex to the next: straight, or an arc whose quarter angle has this tangent."""
    if not sane(*start, *end, bulge):
        raise UnreadableError("a polyline has numbers out of all measure")
    chord = math.dist(start, end)
    if abs(bulge) < _FLAT_BULGE or chord == 0:
        return (end,)
    # The centre lies on the chord's middle line, left of it by this share of the chord.
    off = (1 - bulge * bulge) / (4 * bulge)
    centre = (
        (start[0] + end[0]) / 2 - off * (end[1] - start[1]),
        (start[1] + end[1]) / 2 + off * (end[0] - start[0]),
    )
    first = math.degrees(math.atan2(start[1] - centre[1], start[0] - centre[0]))
    sweep = math.degrees(4 * math.atan(bulge))
    radius = math.dist(start, centre)
    if not sane(radius):
        return (end,)
    return (*arc(centre, radius, first, first + sweep, tolerance)[1:-1], end)


def _arc(entity: Any, tolerance: float) -> tuple[Line, bool]:
    x, y, _ = entity.dxf.center
    radius, start, end = entity.dxf.radius, entity.dxf.start_angle, entity.dxf.end_angle
    if not sane(x, y, radius, start, end):
        raise UnreadableError("an arc has numbers out of all measure")
    sweep = (end - start) % 360.0 or 360.0
    return _in_world(entity, arc((x, y), radius, start, start + sweep, tolerance)), False


def _circle(entity: Any, tolerance: float) -> tuple[Line, bool]:
    x, y, _ = entity.dxf.center
    if not sane(x, y, entity.dxf.radius):
        raise UnreadableError("a circle has numbers out of all measure")
    return _in_world(entity, arc((x, y), entity.dxf.radius, 0, 360, tolerance)[:-1]), True


def _ellipse(entity: Any, tolerance: float) -> tuple[Line, bool]:
    if not sane(*entity.dxf.center, *entity.dxf.major_axis, entity.dxf.ratio):
        raise UnreadableError("an ellipse has numbers out of all measure")
    if not sane(entity.dxf.start_param, entity.dxf.end_param):
        raise UnreadableError("an ellipse has numbers out of all measure")
    line = tuple((point.x, point.y) for point in entity.flattening(tolerance, segments=8))
    return line, len(line) > 2 and math.dist(line[0], line[-1]) <= tolerance / 10


def _spline(entity: Any, tolerance: float) -> tuple[Line, bool]:
    numbers = [value for point in (*entity.control_points, *entity.fit_points) for value in point]
    knots = [*entity.knots, *entity.weights]
    fits = len(numbers) + len(knots) <= _MOST_KNOTS and 1 <= entity.dxf.degree <= _STEEPEST
    if not fits or not sane(*numbers, *knots):
        raise UnreadableError("a spline has numbers out of all measure")
    # Chords of a curve so large grow with the root of its size over the tolerance.
    bends = len(knots) * math.sqrt(max(map(abs, numbers), default=0.0) / tolerance)
    if bends > _MOST_POINTS:
        raise UnreadableError("a spline is far too large")
    line = tuple((point.x, point.y) for point in entity.flattening(tolerance, segments=4))
    return line, bool(entity.closed)


def _in_world(entity: Any, line: Line) -> Line:
    """From the entity's own plane, which may face the other way, to the drawing's."""
    ocs = entity.ocs()
    if not ocs.transform:
        return line
    height = entity.dxf.get("elevation", 0.0)
    z = height if isinstance(height, float | int) else height[2]
    return tuple((p.x, p.y) for p in ocs.points_to_wcs([(x, y, z) for x, y in line]))


_READERS = {
    "LINE": _line,
    "LWPOLYLINE": _polyline,
    "POLYLINE": _polyline,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
}
