"""Style lines: a half of a bodice parted into panels along a line. Millimetres."""

from __future__ import annotations

from pieces.curves import bezier, cut_at, length
from pieces.drafting.context import Half
from pieces.drafting.pattern import Edge
from pieces.piece import Point

_ON_ARMHOLE = 0.5
"""Of the armhole from the underarm, where a princess line begins: above its notches; common
practice."""

Panels = tuple[tuple[Edge, ...], tuple[Edge, ...]]


def princess(half: Half, apex: Point) -> Panels:
    """The panels beside the middle and beside the side seam, parted by a princess line.

    It runs from the armhole down to the dart's point and on along its legs to the waist, so that
    the dart goes into the seam. Both panels have it as an edge of that name, equally long and
    notched at the dart's point.
    """
    to_dart, _, on = half.edges[:3]
    armhole = half.edge("armhole")
    low, high = cut_at(armhole.line, _ON_ARMHOLE * length(armhole.line))
    (x, y), (tip_x, tip_y) = high[0], apex
    drop = y - tip_y
    curve = bezier(
        (x, y), (x - 0.55 * (x - tip_x), y - 0.1 * drop), (tip_x, tip_y + 0.5 * drop), apex
    )
    up = (to_dart.line[-1], *curve[::-1])
    down = (*curve, on.line[0])
    at_apex = length((to_dart.line[-1], apex))
    beside_middle = (
        to_dart,
        Edge("princess", up, marks_mm=(at_apex,)),
        Edge("armhole", high),
        *(half.edge(name) for name in ("shoulder", "neck")),
        half.middle,
    )
    beside_side = (
        on,
        half.edge("side"),
        Edge("armhole", low, marks_mm=armhole.marks_mm, points=armhole.points),
        Edge("princess", down, marks_mm=(length(curve),)),
    )
    return beside_middle, beside_side
