"""Facings for the neck and the armholes of a bodice: its own edge, and a line beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.curves import length, onward
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.setting import Bodice, Half, Made, Needs, Setting, pieces_of
from pieces.fields import Length
from pieces.geometry import bounds
from pieces.piece import Line, Piece, Point, SeamCheck
from pieces.seams import compare, seam_length

_DEPTH_MM = 50.0
"""Common practice."""
_ON_LINE_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class FacingOptions:
    """Options of a facing of the bodice before it; each may be left out.

    Attributes
    ----------
    edge : neck, or armhole for both of a sleeveless bodice
    depth : finished; 5 cm, or half of what is left of the shoulder if that is less (common
        practice)
    """

    edge: Literal["neck", "armhole"] = "neck"
    depth: Length | None = None


def draft_facing(setting: Setting, options: FacingOptions) -> Made:
    """Draft front and back facings for the neck or the armholes of the bodice before them.

    Steps
    -----
    1. Trace the bodice's neck or armhole with its notches, front and back (common practice).
    2. Draw a line beside it, 5 cm away all along, or half the shoulder if that is less; it starts
       so far along the shoulder, and at an armhole ends so far down the side seam (common
       practice).
    3. Close it with the shoulder and the middle, or with the shoulder and the side (common
       practice).
    4. Lay the grain along the bodice's middle. A neck facing is on the fold where the bodice is,
       and has its opening allowance where that opens; armhole facings are cut in pairs (common
       practice).

    Raises
    ------
    OrderFault : there is no bodice before it, or no room for the facing in it
    """
    needs = Needs(setting)
    bodice = needs.bodice("A facing is drawn for a bodice")
    drawn = [_pattern(needs, half, options) for half in (bodice.front, bodice.back)]
    needs.settle()
    patterns = [pattern for pattern in drawn if pattern is not None]
    part = setting.part
    allowances = Allowances(part.seam_allowance_mm, part.hem_allowance_mm, bodice.opening_mm)
    pieces = pieces_of(setting, patterns, part.fabric, allowances)
    checks = _checks(setting, pieces, bodice, options.edge)
    if part.lining is not None:
        pieces += pieces_of(setting, patterns, part.lining, allowances, " lining")
    return Made(pieces=pieces, seam_checks=checks)


def _checks(
    setting: Setting, pieces: tuple[Piece, ...], bodice: Bodice, edge: str
) -> tuple[SeamCheck, ...]:
    to_edge = [
        compare(
            f"{edge} of {piece.name} to {half.name}",
            setting.garment,
            seam_length(piece, edge),
            length(half.edge(edge).line),
        )
        for piece, half in zip(pieces, (bodice.front, bodice.back), strict=True)
    ]
    front, back = pieces
    names = ("shoulder",) if edge == "neck" else ("shoulder", "side")
    return (
        *to_edge,
        *(
            compare(
                f"{name} seam, {front.name} to {back.name}",
                setting.garment,
                seam_length(front, name),
                seam_length(back, name),
            )
            for name in names
        ),
    )


def _pattern(needs: Needs, half: Half, options: FacingOptions) -> Pattern | None:
    depth = options.depth
    if depth is None:
        depth = min(_DEPTH_MM, length(half.edge("shoulder").line) / 2)
    needs.enough("depth", depth)
    at_neck = options.edge == "neck"
    inner = _beside(half, options.edge, depth, ("middle" if at_neck else "side"))
    if inner is None:
        if needs.faults:  # the other half has said it
            return None
        needs.refuse(
            "depth",
            f"A facing {needs.told(depth)} deep finds no room beside the "
            f"{options.edge} of the {half.name}.",
            "Give a smaller depth.",
        )
        return None
    edges = _neck_edges(half, inner) if at_neck else _armhole_edges(half, inner)
    # The thread runs down the middle of the bodice.
    thread = edges[2].line if at_neck else edges[1].line
    left, low, right, high = bounds(thread)
    upright = (left + right) / 2
    which = "front" if half.middle.name == "centre front" else "back"
    return Pattern(
        name=needs.setting.named(f"{options.edge} facing {which}"),
        edges=edges,
        grain=((upright, low), (upright, high)),
        pair=not (at_neck and half.middle.role is Role.FOLD),
    )


def _neck_edges(half: Half, inner: Line) -> tuple[Edge, ...]:
    middle, neck = half.middle, half.edge("neck")
    return (
        Edge("shoulder", (inner[0], neck.line[0])),
        neck,
        Edge(middle.name, (neck.line[-1], inner[-1]), middle.role),
        Edge("inner edge", inner[::-1]),
    )


def _armhole_edges(half: Half, inner: Line) -> tuple[Edge, ...]:
    armhole = half.edge("armhole")
    return (
        Edge("side", (inner[-1], armhole.line[0])),
        armhole,
        Edge("shoulder", (armhole.line[-1], inner[0])),
        Edge("inner edge", inner),
    )


def _beside(half: Half, name: str, depth: float, to: str) -> Line | None:
    """The line at a distance from an edge inside its half, from the shoulder to middle or side.

    None where it does not run from the one to the other.
    """
    from shapely import line_merge
    from shapely.geometry import LineString, Polygon  # takes a while to load

    outline = [point for edge in half.edges for point in edge.line[:-1]]
    band = LineString(_lengthened(half, name, 3 * depth)).buffer(depth, quad_segs=32)
    found = line_merge(band.exterior.intersection(Polygon(outline)))
    if not isinstance(found, LineString) or depth >= length(half.edge("shoulder").line):
        return None
    line: Line = tuple((float(x), float(y)) for x, y in found.coords)
    end = half.middle if to == "middle" else half.edge(to)
    if _off(half.edge("shoulder"), line[0]) > _off(half.edge("shoulder"), line[-1]):
        line = line[::-1]
    if _off(half.edge("shoulder"), line[0]) > _ON_LINE_MM or _off(end, line[-1]) > _ON_LINE_MM:
        return None
    # Where front and back are sewn together they reach equally far, however the edges turn.
    start = _along(half.edge("shoulder").line, depth, from_end=name == "neck")
    if to == "middle":
        return (start, *line[1:-1], (0.0, line[-1][1]))
    return (start, *line[1:-1], _along(end.line, depth, from_end=True))


def _along(line: Line, at_mm: float, *, from_end: bool) -> Point:
    first, last = line if not from_end else line[::-1]
    share = at_mm / length((first, last))
    return first[0] + (last[0] - first[0]) * share, first[1] + (last[1] - first[1]) * share


def _off(edge: Edge, point: Point) -> float:
    from shapely.geometry import LineString
    from shapely.geometry import Point as Place

    return float(LineString(edge.line).distance(Place(point)))


def _lengthened(half: Half, name: str, by_mm: float) -> Line:
    """An edge run on straight beyond its ends; at the middle with its other half instead."""
    line = half.edge(name).line
    before = onward(line[1], line[0], by_mm)
    if name == "neck":
        return (before, *line, *((-x, y) for x, y in line[-2::-1]))
    return (before, *line, onward(line[-2], line[-1], by_mm))
