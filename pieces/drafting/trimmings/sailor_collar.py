"""A sailor collar: flat, square and wide behind, and running to a point in front."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pieces.curves import bezier, length
from pieces.drafting.context import Bodice, DraftContext, DraftResult, Needs
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.pattern import Edge, Role
from pieces.drafting.trimmings.collar import laid_neck, made_up
from pieces.fields import Length, LengthOrZero

_FRONT_MM = 50.0
"""Down the front from a neck that is level there; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SailorCollarOptions:
    """Options of a sailor collar for the bodice before it; each may be left out.

    Attributes
    ----------
    depth : down the back from the neck; as deep as it is wide from the middle (common practice)
    width : half of it behind; to where the shoulder ends (common practice)
    overlap : of front and back at the shoulder's point while it is drawn, so that its outer edge
        does not stand off; 1 cm (common practice)
    """

    depth: Length | None = None
    width: Length | None = None
    overlap: LengthOrZero = 10.0


def draft_sailor_collar(context: DraftContext, options: SailorCollarOptions) -> DraftResult:
    """Draft a sailor collar for the neck of the bodice before it: upper and under collar.

    Steps
    -----
    1. Lay the back to the front at the side of the neck, the shoulders overlapping by 1 cm at their
       points, and draw the neck through (common practice).
    2. Go down the middle of the back as far as from there to the shoulder's point, and square out
       as far again (common practice).
    3. Draw the outer edge from that corner over the shoulder to where a V ends in front, or 5 cm
       down from a neck that is level there, a little hollow (common practice).
    4. Notch the shoulder at the length of the back neck, and lay the grain along the centre back: a
       fold, or a seam between two halves where the bodice opens behind; cut it twice, or once of
       each where it is lined (common practice).

    Raises
    ------
    OrderFault : there is no bodice before it, or the collar can't be drawn
    """
    needs = Needs(context)
    bodice = needs.bodice("A sailor collar is drawn for the neck of a bodice")
    wide = needs.enough("width", options.width or bodice.back.edge("shoulder").line[0][0])
    depth = needs.enough("depth", options.depth or wide)
    if options.overlap > length(bodice.back.edge("shoulder").line) and not needs.faults:
        needs.refuse(
            "overlap",
            f"The shoulders are shorter than an overlap of {needs.told(options.overlap)}.",
            "Give a smaller overlap.",
        )
    needs.settle()
    middle = Role.SEAM if bodice.back.opens else Role.FOLD
    edges = _edges(bodice, depth, wide, options.overlap, middle)
    return made_up(context, bodice, "sailor collar", edges)


def _edges(
    bodice: Bodice, depth: float, wide: float, overlap: float, middle: Role
) -> tuple[Edge, ...]:
    neck, down = laid_neck(bodice, depth, overlap)
    (x, y), (low_x, low_y) = neck[0], neck[-1]
    away = math.dist(down, (x, y))
    # Square to the middle of the back, away from it.
    out = ((down[1] - y) / away, (x - down[0]) / away)
    corner = down[0] + wide * out[0], down[1] + wide * out[1]
    reach = 0.4 * math.dist(corner, (low_x, low_y))
    back_up = corner[0] - reach * (down[0] - x) / away, corner[1] - reach * (down[1] - y) / away
    below = low_y - (_FRONT_MM if bodice.front.neck_is_square else 0.0)
    in_front = low_x + 0.4 * (corner[0] - low_x), below + 0.1 * (corner[1] - below)
    side = bezier((low_x, below), in_front, back_up, corner)
    end = (Edge("front end", ((low_x, low_y), (low_x, below))),) if below < low_y else ()
    return (
        Edge("neck", neck, marks_mm=(length(bodice.back.edge("neck").line),)),
        *end,
        Edge("outer edge", (*side, down)),
        Edge("centre back", (down, (x, y)), middle),
    )


KINDS = (
    DraftKind(
        name="sailor collar",
        options=SailorCollarOptions,
        draft=draft_sailor_collar,
        description="a flat collar, square behind",
        place=52,
        needs_bodice=True,
        finishes=finishing("neck"),
    ),
)
