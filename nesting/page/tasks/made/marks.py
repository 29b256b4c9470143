"""The pieces of a drawing as they are drawn, with their corners, to be marked by hand."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from typing import Any

from nesting.order.ready_pieces.drawn import as_drawn
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.reading import drawings_of
from pieces.curves import length
from pieces.errors import Fault, OrderFault
from pieces.geometry import bounds, nearest_corner, stretch
from pieces.piece import Piece, Point
from pieces.trace.marked import Marked
from pieces.trace.marking import Told, told
from pieces.units import Unit

_ROOM = 0.06
"""Of its size: what is left round a piece."""
_NOTCH_MM = 8.0


def corners(request: Record, _: TaskChannel) -> Record:
    """The drawing that stands at a `path` of an `order`, with its marks.

    `pieces` have outline, corners and edges in mm, y downwards as in the drawing; `told` is what
    each text of its marks says, None where it can't be read; `photograph` lies beneath, if one is
    asked for and there.

    Raises
    ------
    OrderFault : the drawing can't be read
    """
    raw = _table(request["order"], request["path"])
    unit = _unit(request["order"])
    with drawings_of(request) as drawing:
        gathering, marks, wrong = as_drawn(raw, unit, drawing)
    beneath = gathering.beneath if request.get("photograph") else None
    return {
        "pieces": [_drawn(one) for one in marks.done],
        "told": [_said(text, unit) for text in _texts(raw)],
        "wrong": list(wrong),
        "photograph": beneath
        and {"content": beneath.content, "box": _box(beneath.box[:2], beneath.box[2:])},
    }


def _parsed(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except ValueError:
        raise OrderFault([Fault("", "", "The order's text can't be understood.")]) from None


def _table(text: str, path: Sequence[Any]) -> dict[str, Any]:
    place: Any = _parsed(text)
    try:
        for step in path:
            place = place[step]
    except (LookupError, TypeError):
        place = None
    if not isinstance(place, dict):
        raise OrderFault([Fault("", "", "There is no drawing in this place of the order.")])
    return place


def _unit(text: str) -> Unit:
    units = {unit.value: unit for unit in (Unit.MM, Unit.CM, Unit.IN)}
    return units.get(str(_parsed(text).get("units")), Unit.CM)


def _texts(raw: dict[str, Any]) -> list[str]:
    found = raw.get("marks", [])
    return [str(one) for one in found] if isinstance(found, list) else []


def _said(text: str, unit: Unit) -> Record | None:
    try:
        one: Told = told(text, unit)
    except ValueError:
        return None
    return {
        "piece": one.piece,
        "kind": one.kind,
        "first": one.first,
        "last": one.last,
        "at_mm": one.at_mm,
        "move_mm": list(one.move_mm),
    }


def _drawn(one: Marked) -> Record:
    piece, count = one.piece, len(one.corners)
    left, low, right, high = bounds(piece.outline)
    room = _ROOM * max(right - left, high - low)
    places = [nearest_corner(piece.outline, corner) for corner in one.corners]
    return {
        "name": piece.name,
        "box": _box((left - room, low - room), (right + room, high + room)),
        "outline": _path(piece.outline) + "Z",
        "corners": [_down(corner) for corner in one.corners],
        "edges": [
            _edge(piece, places[place], places[(place + 1) % count], (place + 1, next_))
            for place, next_ in enumerate([*range(2, count + 1), 1])
        ],
        "fold": None if piece.on_fold is None else _path(piece.on_fold),
        "grain": [_down(end) for end in piece.grain],
        "notches": [
            [_down(end) for end in _stroke(mark.at, mark.inward_deg)] for mark in piece.notches
        ],
        "seams": [
            {"name": seam.name, "path": _path(seam.line), "mm": round(length(seam.line), 1)}
            for seam in piece.seams
        ],
    }


def _edge(piece: Piece, first: int, last: int, ends: tuple[int, int]) -> Record:
    line = stretch(piece.outline, first, last)
    return {"ends": list(ends), "path": _path(line), "mm": round(length(line), 1)}


def _stroke(at: Point, inward_deg: float) -> tuple[Point, Point]:
    turn = math.radians(inward_deg)
    return at, (at[0] + _NOTCH_MM * math.cos(turn), at[1] + _NOTCH_MM * math.sin(turn))


def _box(low: Sequence[float], high: Sequence[float]) -> list[float]:
    """Left, top, width and height, y downwards."""
    return [round(value, 2) for value in (low[0], -high[1], high[0] - low[0], high[1] - low[1])]


def _down(point: Point) -> list[float]:
    return [round(point[0], 2), round(-point[1], 2)]


def _path(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{x:.2f} {-y:.2f}" for x, y in points)
