"""Pieces that an order gives as points: checked, and brought to the laid form."""

from __future__ import annotations

import math
import re

from nesting.order.faults import FaultCollector, joined
from nesting.order.prints import pointed
from nesting.order.schema import PieceTable
from nesting.order.traced import curved, named_seams
from pieces.allowances import with_allowance, with_folds
from pieces.corner import meeting
from pieces.geometry import anticlockwise, bounds, laid, squared, without_repeats
from pieces.piece import Outline, Piece, Point
from pieces.units import format_length
from pieces.wording import either
from pieces.wording import key as named

_SAME_MM = 0.01
"""Points of an order nearer than this are one point."""
_LEAST_AREA_MM2 = 1.0
_DRAWN_BY_EYE_DEG = 0.5
"""A grain line this near to its fold edge, or to square with it, is meant to be just that."""

Segment = tuple[Point, Point]


def given_piece(collector: FaultCollector, table: PieceTable, key: str) -> Piece | None:
    """The piece of one table, in its laid form; None, with its faults noted, if it can't be."""
    if table.pair and table.on_fold is not None:
        collector.fault(
            joined(key, "pair"),
            "A piece cut on the fold comes out whole, so it is never one of a left and a right.",
            "Take out "
            + named("on_fold")
            + " for a mirrored pair, or take out "
            + named("pair")
            + " for one whole piece.",
        )
    drawn = curved(collector, tuple(table.outline), table, key)
    outline = None if drawn is None else _outline(collector, drawn, joined(key, "outline"))
    grain = _grain(collector, table, joined(key, "grain"))
    folds: list[Segment] = []
    if outline is not None:
        folds = _folds(collector, outline, table, key)
        if folds and grain is not None:
            grain = _squared(collector, grain, folds[0], joined(key, "on_fold"))
    if outline is None or grain is None:
        return None
    piece = Piece(
        name=table.name,
        fabric=table.fabric,
        outline=outline,
        grain=grain,
        on_fold=folds[0] if folds else None,
        second_fold=folds[1] if len(folds) > 1 else None,
        cut=table.cut,
        pair=table.pair,
        grain_rule=table.grain_rule,
        garment=table.garment,
        seams=named_seams(collector, tuple(table.outline), table, key),
    )
    wider = allowed(collector, piece, table.allowance, joined(key, "allowance"))
    return None if wider is None else pointed(collector, table, laid(wider), key)


def allowed(
    collector: FaultCollector, piece: Piece, allowance_mm: float | None, key: str
) -> Piece | None:
    """The piece with its allowance, where its outline is the sewing line and not the cut line.

    None, with the fault noted, where there is no room for it.
    """
    if allowance_mm is None:
        return with_folds(piece, piece.fold_edges)
    try:
        wider = with_allowance(piece, allowance_mm)
    except ValueError:
        wider = None
    if wider is None or _reaches_over_fold(wider):
        collector.fault(
            key,
            f"An allowance of {format_length(allowance_mm, collector.unit)} finds no room round "
            "this outline: the cut line would cross itself or the fold.",
            "Give a smaller allowance, or widen the narrow notches of the outline.",
        )
        return None
    return wider


def _reaches_over_fold(piece: Piece) -> bool:
    for edge in piece.fold_edges:
        off = [_along_and_off(edge, point)[1] for point in piece.outline]
        if min(off) < -_SAME_MM and max(off) > _SAME_MM:
            return True
    return False


def _outline(collector: FaultCollector, drawn: Outline, key: str) -> Outline | None:
    """The outline anticlockwise, without points that repeat the one before."""
    from shapely.geometry import MultiPoint, Polygon  # takes a while to load
    from shapely.validation import explain_validity

    outline = without_repeats(drawn)
    hull = MultiPoint(outline).convex_hull
    if hull.area < _LEAST_AREA_MM2:
        collector.fault(key, *_no_cloth(collector, outline, hull.area))
        return None
    shape = Polygon(outline)
    if not shape.is_valid:
        collector.fault(
            key,
            f"The outline crosses or touches itself{_near(collector, explain_validity(shape))}.",
            "Give its points in the order in which you would walk round the piece.",
        )
        return None
    return anticlockwise(outline)


def _no_cloth(collector: FaultCollector, outline: Outline, area_mm2: float) -> tuple[str, str]:
    """Why points hold no cloth, and what would help: they are on a line, or far too near."""
    left, low, right, high = bounds(outline)
    longest_mm = math.hypot(right - left, high - low)
    if area_mm2 <= _SAME_MM * longest_mm:
        return (
            "The points lie on one line or in one place, so the outline holds no cloth.",
            "Give the corners of the piece in the order in which you would walk round it.",
        )
    long, wide = (format_length(mm, collector.unit) for mm in (right - left, high - low))
    return (
        f"The outline is {long} long and {wide} wide, too little to cut.",
        "Look whether the unit of its numbers is right.",
    )


def _near(collector: FaultCollector, explanation: str) -> str:
    found = re.search(r"\[(\S+) (\S+)\]", explanation)
    if found is None:
        return ""
    x, y = (format_length(float(number), collector.unit) for number in found.groups())
    return f" near the point ({x}, {y})"


def _grain(collector: FaultCollector, table: PieceTable, key: str) -> Segment | None:
    """The grain as given, or along x through the middle of the piece."""
    if table.grain is None:
        left, low, right, high = bounds(table.outline)
        quarter, middle = max((right - left) / 4, 1.0), (low + high) / 2
        return ((left + quarter, middle), (left + 3 * quarter, middle))
    if math.dist(*table.grain) <= _SAME_MM:
        collector.fault(
            key,
            "The grain line begins and ends at the same point, so it shows no direction.",
            either(
                "Give two points, from its tail to its head, such as grain = [[0, 0], [10, 0]].",
                "Choose an edge as its thread line.",
            ),
        )
        return None
    return table.grain


def _folds(
    collector: FaultCollector, outline: Outline, table: PieceTable, key: str
) -> list[Segment]:
    """The fold edges of a piece: none, one, or two that are square to each other."""
    if table.on_fold is None:
        if table.second_fold is not None:
            collector.fault(
                joined(key, "second_fold"),
                "This is a second fold edge, and there is no first.",
                either(
                    "Give the first as on_fold, or write on_fold instead of second_fold.",
                    "Choose the edge that lies on the fold first.",
                ),
            )
        return []
    first = _fold(collector, outline, table.on_fold, joined(key, "on_fold"))
    if table.second_fold is None or first is None:
        return [] if first is None else [first]
    second = _fold(collector, outline, table.second_fold, joined(key, "second_fold"))
    if second is None:
        return [first]
    try:
        meeting(first, second)
    except ValueError:
        collector.fault(
            joined(key, "second_fold"),
            "The two fold edges are not square to each other, as two folds of cloth are.",
            "Draw a quarter of the piece, from the corner where the folds meet.",
        )
        return [first]
    return [first, second]


def _fold(collector: FaultCollector, outline: Outline, fold: Segment, key: str) -> Segment | None:
    """The fold edge, if it is one straight edge of the outline with the piece on one side."""
    length = math.dist(*fold)
    if length <= _SAME_MM:
        collector.fault(key, "The fold edge has no length.", "Give the two ends of the edge.")
        return None
    places = [_along_and_off(fold, point) for point in outline]
    if not _is_whole_edge(places, length):
        collector.fault(
            key,
            "The fold edge must be one whole straight edge of the outline, and this is not.",
            "Copy the two corners of the outline between which the edge runs.",
        )
        return None
    off = [off for _, off in places]
    if min(off) < -_SAME_MM and max(off) > _SAME_MM:
        collector.fault(
            key,
            "The piece lies on both sides of its fold edge, so it can't be cut on a fold.",
            "Draw one half of it, from the fold edge outwards.",
        )
        return None
    tail, head = (min(outline, key=lambda corner: math.dist(corner, end)) for end in fold)
    return tail, head


def _is_whole_edge(places: list[tuple[float, float]], length: float) -> bool:
    """Whether the outline follows a line from its beginning to its end and nowhere beyond.

    `places` tells how far each point of the outline lies along the line, and off it.
    """
    ends = zip(places, places[1:] + places[:1], strict=True)
    followed = sum(
        abs(there - here)
        for (here, off_here), (there, off_there) in ends
        if abs(off_here) <= _SAME_MM and abs(off_there) <= _SAME_MM
    )
    beyond = any(
        abs(off) <= _SAME_MM and not -_SAME_MM <= along <= length + _SAME_MM
        for along, off in places
    )
    return abs(followed - length) <= 2 * _SAME_MM and not beyond


def _along_and_off(line: Segment, point: Point) -> tuple[float, float]:
    """How far a point lies along a line from its beginning, and off it to the left."""
    (x0, y0), (x1, y1) = line
    length = math.dist(*line)
    along, up = (x1 - x0) / length, (y1 - y0) / length
    dx, dy = point[0] - x0, point[1] - y0
    return dx * along + dy * up, dy * along - dx * up


def _squared(collector: FaultCollector, grain: Segment, fold: Segment, key: str) -> Segment | None:
    """The grain, made exactly parallel or square to the fold edge; None if it is neither."""
    straight = squared(grain, fold, _DRAWN_BY_EYE_DEG)
    if straight is None:
        off_deg = (_direction_deg(fold) - _direction_deg(grain) + 45.0) % 90.0 - 45.0
        collector.fault(
            key,
            f"The fold edge lies {abs(off_deg):.0f} degrees off the grain, but cloth is folded "
            "along its grain or square to it.",
            "Give a grain line that is parallel or square to the fold edge.",
        )
    return straight


def _direction_deg(line: Segment) -> float:
    (x0, y0), (x1, y1) = line
    return math.degrees(math.atan2(y1 - y0, x1 - x0))
