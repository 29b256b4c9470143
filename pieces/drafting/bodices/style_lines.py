"""Style lines: a half of a bodice parted into panels along a line. Millimetres."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.curves import bezier, cut_at, length, onward
from pieces.drafting.bodices.bust import BustDart, Pivot, side_closed
from pieces.drafting.context import Half
from pieces.drafting.pattern import Edge
from pieces.piece import Line, Point

_ON_ARMHOLE = 0.5
"""Of the armhole from the underarm, where a princess line begins: above its notches; common
practice."""

_ROUNDED_MM, _LOST_MM = 15.0, 0.25
"""How far from the bust point an edge is rounded at most, and what that may take of its length."""

BAND_MM = 30.0
"""Of a back between its neck and a cut-out; common practice."""

Panels = tuple[tuple[Edge, ...], tuple[Edge, ...]]


def princess(half: Half, apex: Point, bust: BustDart | None = None) -> Panels:
    """The panels beside the middle and beside the side seam, parted by a princess line.

    It runs from the armhole down to the dart's point and on along its legs to the waist, so that
    the dart goes into the seam. Over a bust the dart in the side is closed and opens in the seam
    instead. Both panels have it as an edge of that name, equally long and notched at the point.
    """
    to_dart, _, on = half.edges[:3]
    armhole, side = half.edge("armhole"), half.edge("side")
    low, high = cut_at(armhole.line, _ON_ARMHOLE * length(armhole.line))
    (x, y), (tip_x, tip_y) = high[0], apex
    drop = y - tip_y
    curve = bezier(
        (x, y), (x - 0.55 * (x - tip_x), y - 0.1 * drop), (tip_x, tip_y + 0.5 * drop), apex
    )
    outer, lower = curve, low
    if bust is not None:
        pivot = Pivot.closing(bust)
        outer, lower = pivot.of(curve), pivot.of(low)
        side = replace(side, line=side_closed(bust, pivot))
    up = (to_dart.line[-1], *curve[::-1])
    down = (*outer, on.line[0])
    at_apex = length((to_dart.line[-1], apex))
    if bust is not None:
        up, down = _rounded(up, 1), _rounded(down, len(outer) - 1)
    beside_middle = (
        to_dart,
        Edge("princess", up, marks_mm=(at_apex,)),
        Edge("armhole", high),
        *half.edges[half.edges.index(half.edge("shoulder")) :],
    )
    beside_side = (
        on,
        side,
        Edge("armhole", lower, marks_mm=armhole.marks_mm, points=armhole.points),
        Edge("princess", down, marks_mm=(length(curve),)),
    )
    return beside_middle, beside_side


def cut_out(half: Half, depth: float, width: float) -> Half:
    """A back with an opening below a band at its neck, so deep and wide, rounded in the middle."""
    middle = half.middle
    (x, high), (_, low) = middle.line
    top, bottom = high - BAND_MM, high - BAND_MM - depth
    widest = x + width / 2, (top + bottom) / 2
    pull_x, pull_y = 0.55 * width / 2, 0.55 * depth / 2
    upper = bezier((x, top), (x + pull_x, top), (widest[0], widest[1] + pull_y), widest, sewn=True)
    lower = bezier(
        widest, (widest[0], widest[1] - pull_y), (x + pull_x, bottom), (x, bottom), sewn=True
    )
    shaped = (
        replace(middle, line=((x, high), (x, top))),
        Edge("cut-out", upper + lower[1:]),
        replace(middle, line=((x, bottom), (x, low))),
    )
    return replace(half, edges=(*half.edges[:-1], *shaped))


def _rounded(line: Line, at: int) -> Line:
    """A line with its corner at the bust point rounded, by so much that next to no length is lost.

    A corner that turns by a, rounded over t on both sides, loses t a a / 6 or so.
    """
    before, corner, after = line[at - 1], line[at], line[at + 1]
    turn = math.atan2(after[1] - corner[1], after[0] - corner[0])
    turn -= math.atan2(corner[1] - before[1], corner[0] - before[0])
    turn = math.remainder(turn, 2 * math.pi)
    reach = min(_ROUNDED_MM, 6 * _LOST_MM / max(turn * turn, 1e-6))
    head, tail = line[: at + 1], line[at:]
    first, _ = cut_at(head, length(head) - reach)
    _, last = cut_at(tail, reach)
    third = reach / 3
    curve = bezier(
        first[-1],
        onward(first[-1], corner, -third),
        onward(last[0], corner, -third),
        last[0],
    )
    return (*first, *curve[1:-1], *last)
