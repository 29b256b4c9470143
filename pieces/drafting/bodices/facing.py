"""Facings for the neck and the armholes of a bodice: its own edge, and a line beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import cut_at, length, onward
from pieces.drafting.context import Bodice, DraftContext, DraftResult, Half, Needs, lined_apart
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Length
from pieces.geometry import bounds
from pieces.joins import opened
from pieces.piece import Join, Line, Piece, Point, Side, Stage
from pieces.seams import walk

_DEPTH_MM = 50.0
"""Common practice."""
_ON_LINE_MM = 1e-6
_LED_MM = 2.0
"""How far the inner edge runs straight where it leaves a seam."""


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


def draft_facing(context: DraftContext, options: FacingOptions) -> DraftResult:
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
    needs = Needs(context)
    bodice = needs.bodice("A facing is drawn for a bodice")
    halves = bodice.front, bodice.back
    depth = min(_usual_depth(half, options.edge) for half in halves)
    drawn = [_pattern(needs, half, options.edge, options.depth or depth) for half in halves]
    needs.settle()
    patterns = [pattern for pattern in drawn if pattern is not None]
    allowances = shell_allowances(context, bodice.opening_mm)
    shell, lining = lined_apart(context, patterns, allowances)
    joins = _joins(shell, bodice, options.edge)
    return DraftResult(pieces=shell + lining, joins=joins)


def _joins(pieces: tuple[Piece, ...], bodice: Bodice, edge: str) -> tuple[Join, ...]:
    front, back = pieces
    stage = Stage.NECK if edge == "neck" else Stage.SLEEVES
    to_edge = [
        Join(
            what=f"{edge} of {piece.name} to {half.name}",
            this=Side(piece.name, edge),
            that=half.sides(edge)[0],
            and_that=half.sides(edge)[1:],
            smooth=(False, False),
            stage=stage,
        )
        for piece, half in zip(pieces, (bodice.front, bodice.back), strict=True)
    ]
    to_each_other = [
        Join(
            what=f"{name} seam, {front.name} to {back.name}",
            this=Side(front.name, name),
            that=Side(back.name, name),
            stage=stage,
        )
        for name in (("shoulder",) if edge == "neck" else ("shoulder", "side"))
    ]
    in_middle = [
        replace(opened(piece, half.middle.name), smooth=(half.neck_is_square,) * 2)
        for piece, half in zip(pieces, (bodice.front, bodice.back), strict=True)
        if edge == "neck" and half.opens
    ]
    return (*to_each_other, *to_edge, *in_middle)


def _usual_depth(half: Half, edge: str) -> float:
    """As deep as it is drawn on a half unless told: above a dart in the side, or beside one."""
    depth = min(_DEPTH_MM, length(half.edge("shoulder", first=edge == "armhole").line) / 2)
    if edge == "armhole":
        return min(depth, length(half.edge("side").line) - _LED_MM)
    return min(depth, length(half.edge(half.middle.name, first=True).line) - _LED_MM)


def _pattern(needs: Needs, half: Half, edge: str, depth: float) -> Pattern | None:
    needs.enough("depth", depth)
    at_neck = edge == "neck"
    inner = _beside(half, edge, depth, ("middle" if at_neck else "side"))
    if inner is None:
        if needs.faults:  # the other half has said it
            return None
        needs.refuse(
            "depth",
            f"A facing {needs.told(depth)} deep finds no room beside the "
            f"{edge} of the {half.name}.",
            "Give a smaller depth.",
        )
        return None
    edges = _neck_edges(half, inner) if at_neck else _armhole_edges(half, inner, depth)
    # The thread runs down the middle of the bodice.
    thread = edges[2].line if at_neck else edges[1].line
    left, low, right, high = bounds(thread)
    upright = (left + right) / 2
    which = "front" if half.middle.name == "centre front" else "back"
    return Pattern(
        name=needs.context.named(f"{edge} facing {which}"),
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


def _armhole_edges(half: Half, inner: Line, down: float) -> tuple[Edge, ...]:
    armhole, side = half.edge("armhole"), half.edge("side").line
    return (
        Edge("side", (inner[-1], *(cut_at(side, length(side) - down)[1][1:]))),
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

    shoulder = half.edge("shoulder", first=to == "side")
    outline = [point for edge in half.edges for point in edge.line[:-1]]
    band = LineString(_lengthened(half, name, 3 * depth)).buffer(depth, quad_segs=32)
    found = line_merge(band.exterior.intersection(Polygon(outline)))
    if not isinstance(found, LineString) or depth >= length(shoulder.line):
        return None
    line: Line = tuple((float(x), float(y)) for x, y in found.coords)
    end = half.edge(half.middle.name, first=True) if to == "middle" else half.edge(to)
    if _off(shoulder, line[0]) > _off(shoulder, line[-1]):
        line = line[::-1]
    if _off(shoulder, line[0]) > _ON_LINE_MM or _off(end, line[-1]) > _ON_LINE_MM:
        return None
    # Where front and back are sewn together they reach equally far, however the edges turn.
    along, edge = shoulder.line, half.edge(name).line
    # It leaves the shoulder as the edge does and meets the side squarely, so that it runs on over
    # these seams.
    if to == "middle":
        start, _ = walk(along, length(along) - depth)
        first = _towards(start, _way(edge[0], edge[1]))
        return (start, first, *_apart(line[1:-1], start), (0.0, line[-1][1]))
    start, _ = walk(along, depth)
    first = _towards(start, _way(edge[-1], edge[-2]))
    foot, up_deg = walk(end.line, length(end.line) - depth)
    last = _towards(foot, up_deg + 90.0)
    return (start, first, *_apart(_apart(line[1:-1], start), foot), last, foot)


def _way(a: Point, b: Point) -> float:
    """The direction from one point to another, in degrees."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _towards(start: Point, way_deg: float) -> Point:
    """The first point of a line that leaves a seam in a direction."""
    turn = math.radians(way_deg)
    return start[0] + _LED_MM * math.cos(turn), start[1] + _LED_MM * math.sin(turn)


def _apart(line: Line, end: Point) -> Line:
    """The points that don't crowd one end."""
    return tuple(point for point in line if math.dist(point, end) > 2 * _LED_MM)


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


KINDS = (
    DraftKind(
        name="facing",
        options=FacingOptions,
        draft=draft_facing,
        description="facings of a bodice's neck or armholes",
        place=40,
        covers_edge=True,
        needs_bodice=True,
        finishes=lambda options: (options.edge,),
    ),
)
