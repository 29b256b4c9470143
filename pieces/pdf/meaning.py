"""What lines inside and at the edge of an outline mean: the grain, notches, the fold, sewing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pieces.geometry import area, bounds
from pieces.importers.gathering import Gathering
from pieces.importers.marks import away
from pieces.pdf.pages import Words
from pieces.piece import Line, Outline, Point
from pieces.wording import either

_LEAST_ARROW_MM = 20.0
_HEAD_MM = 15.0
_AT_MM = 2.5
_LEAST_BARB_MM = 0.5
_HEAD_MM2 = 120.0
_NEAR_TEXT_MM = 15.0
_LEAST_FOLD_MM = 30.0
_STRAIGHT_MM = 0.3
_FOLD_REACH_MM = 30.0
_PLAINLY_NEARER = 1.5
_ASIDE_DEG = 12.0
_SIDE = either(
    'Give fold = "left", "right", "top" or "bottom"', "Choose the side that lies on the fold,"
)


@dataclass(frozen=True, slots=True)
class Arrow:
    """A straight line with what points at its ends."""

    tail: Point
    head: Point
    both_ways: bool


def arrows(loose: Sequence[Line], closed: Sequence[Line]) -> list[tuple[Arrow, tuple[int, ...]]]:
    """The arrows among lines, each with the places in `loose` of those that it is made of.

    A head is two short strokes from an end, a bent one, or a small closed shape there.
    """
    found = []
    heads = [line for line in closed if area(line) <= _HEAD_MM2]
    for index, line in enumerate(loose):
        shaft = _shaft(line)
        if shaft is None:
            continue
        pointed: list[bool] = []
        used = [index]
        for end, other in (shaft, shaft[::-1]):
            barbs = [i for i, barb in enumerate(loose) if i != index and _is_barb(barb, end, other)]
            filled = any(_points_at(head, end) for head in heads)
            own = _own_barbs(line, end)
            pointed.append(filled or own or bool(barbs))
            used += barbs
        if any(pointed):
            tail, head = shaft if pointed[1] else shaft[::-1]
            found.append((Arrow(tail, head, all(pointed)), tuple(used)))
    return found


def _shaft(line: Line) -> tuple[Point, Point] | None:
    """The long straight stretch of an arrow."""
    a, b = max(pairwise(line), key=lambda ends: math.dist(*ends))
    if len(line) > 2:
        joined = straight_line(line)
        a, b = joined or (a, b)
    long = math.dist(a, b)
    if long < _LEAST_ARROW_MM:
        return None
    rest = sum(math.dist(*ends) for ends in pairwise(line)) - long
    return (a, b) if rest <= 4 * _HEAD_MM else None


def straight_line(line: Line) -> tuple[Point, Point] | None:
    """The ends of a line all of whose points lie on one straight line; None of any other."""
    a, b = line[0], line[-1]
    long = math.dist(a, b)
    if long < _LEAST_ARROW_MM:
        return None
    off = [abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) for p in line]
    return (a, b) if max(off) / long < _STRAIGHT_MM else None


def _is_barb(line: Line, tip: Point, other: Point) -> bool:
    """Whether a short line leads back from a tip, or bends there."""
    if sum(math.dist(*ends) for ends in pairwise(line)) > 2 * _HEAD_MM:
        return False
    points = line if len(line) > 2 else (line[0], line[-1])
    nearest = min(points, key=lambda point: math.dist(point, tip))
    if math.dist(nearest, tip) > _AT_MM:
        return False
    ends = [point for point in (line[0], line[-1]) if math.dist(point, nearest) > _LEAST_BARB_MM]
    return bool(ends) and all(8 <= _angle_deg(tip, other, end) <= 70 for end in ends)


def _own_barbs(line: Line, tip: Point) -> bool:
    """Whether a line with more than its shaft turns back at this end."""
    if len(line) < 3:
        return False
    at = [i for i, point in enumerate(line) if math.dist(point, tip) < 0.01]
    return any(0 < i < len(line) - 1 for i in at) or (
        len(at) > 0 and any(abs(i - at[0]) > 1 for i in at)
    )


def _points_at(shape: Line, tip: Point) -> bool:
    return min(math.dist(point, tip) for point in shape) <= _AT_MM + 2.0


def _angle_deg(at: Point, one: Point, other: Point) -> float:
    first = math.atan2(one[1] - at[1], one[0] - at[0])
    second = math.atan2(other[1] - at[1], other[0] - at[0])
    return abs((math.degrees(second - first) + 180.0) % 360.0 - 180.0)


def grain_of(
    found: Sequence[Arrow], straight: Sequence[tuple[Point, Point]], texts: Sequence[Words]
) -> tuple[Arrow | None, bool]:
    """The arrow that shows the grain, and whether a text beside it says so.

    With a text, an arrow or else a plain line beside it; without, the longest arrow.
    """
    named = [arrow for arrow in found if any(_beside(said, arrow) for said in texts)]
    if not found:
        plain = [Arrow(a, b, True) for a, b in straight if math.dist(a, b) >= _LEAST_ARROW_MM]
        named = [arrow for arrow in plain if any(_beside(said, arrow) for said in texts)]
    if named:
        return max(named, key=lambda arrow: math.dist(arrow.tail, arrow.head)), True
    longest = max(found, key=lambda arrow: math.dist(arrow.tail, arrow.head), default=None)
    return longest, False


def _beside(said: Words, arrow: Arrow) -> bool:
    return away(said.at, arrow.tail, arrow.head) <= _NEAR_TEXT_MM + said.high_mm


def upwards(arrow: Arrow) -> Arrow:
    """An arrow that points both ways, with its head where it is higher on the sheet."""
    (ax, ay), (bx, by) = arrow.tail, arrow.head
    higher = by - ay > 1e-6 or (abs(by - ay) <= 1e-6 and bx > ax)
    return arrow if higher else Arrow(arrow.head, arrow.tail, arrow.both_ways)


def straight_edges(outline: Outline) -> list[tuple[Point, Point]]:
    """The straight stretches of an outline that are long enough to lie on a fold."""
    count = len(outline)
    turns = [i for i in range(count) if _bends(outline, i)]
    if not turns:
        return []
    edges = []
    for here, there in pairwise([*turns, turns[0] + count]):
        a, b = outline[here], outline[there % count]
        if math.dist(a, b) >= _LEAST_FOLD_MM and all(
            away(outline[i % count], a, b) <= _STRAIGHT_MM for i in range(here, there)
        ):
            edges.append((a, b))
    return edges


def _bends(outline: Outline, index: int) -> bool:
    before, at, after = outline[index - 1], outline[index], outline[(index + 1) % len(outline)]
    turn = math.atan2(at[1] - before[1], at[0] - before[0]) - math.atan2(
        after[1] - at[1], after[0] - at[0]
    )
    return abs((math.degrees(turn) + 180.0) % 360.0 - 180.0) > 1.0


def fold_edge(
    outline: Outline, texts: Sequence[Words], side: str, name: str, gathering: Gathering
) -> tuple[Point, Point]:
    """The straight edge that lies on the fold: on the side asked for, or plainly nearest a text.

    Raises
    ------
    OrderFault : none is, or which can't be told
    """
    edges = straight_edges(outline)
    if side:
        edge = _on_side(outline, edges, side)
        if edge is not None:
            return edge
        raise gathering.refused(
            f"{name} has no straight edge on its {side}, to lie on the fold.",
            _SIDE + " as it lies on the sheet.",
            f"piece '{name}'",
        )
    ranked = [sorted((_off(said, edge), edge) for edge in edges) for said in texts]
    best = min((one for one in ranked if one), key=lambda one: one[0][0], default=None)
    if best is not None and best[0][0] <= _FOLD_REACH_MM:
        plain = len(best) == 1 or best[1][0] >= _PLAINLY_NEARER * best[0][0] + 3.0
        if plain:
            return best[0][1]
    raise gathering.refused(
        f"{name} says that it is cut on the fold, and it can't be told which edge lies on it.",
        _SIDE + either(" beside the file,", "") + " as it lies on the sheet.",
        f"piece '{name}'",
    )


def _off(said: Words, edge: tuple[Point, Point]) -> float:
    """How far a text stands from an edge; twice as far where it doesn't run along it."""
    (ax, ay), (bx, by) = edge
    way = math.degrees(math.atan2(by - ay, bx - ax))
    turned = abs((way - said.way_deg + 90.0) % 180.0 - 90.0)
    return away(said.at, *edge) * (1.0 if turned <= _ASIDE_DEG else 2.0)


def _on_side(
    outline: Outline, edges: Sequence[tuple[Point, Point]], side: str
) -> tuple[Point, Point] | None:
    left, low, right, high = bounds(outline)
    axis, at = {"left": (0, left), "right": (0, right), "top": (1, high), "bottom": (1, low)}[side]
    on = [edge for edge in edges if all(abs(point[axis] - at) <= 1.0 for point in edge)]
    return max(on, key=lambda edge: math.dist(*edge), default=None)
