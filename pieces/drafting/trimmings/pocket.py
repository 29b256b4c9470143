"""Pockets: patched on, or a bag in a side seam."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.body.measurements import Body
from pieces.curves import arc, bezier
from pieces.drafting.context import LEAST_MM, DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Count, Length
from pieces.piece import Line, Stage, Step

_WIDTH_MM = 110.0
_OPENING = 0.75
"""Of a bag's depth; common practice."""
_OF_HEIGHT = 0.1
"""A pocket's width, where the height is known; common practice, as its other proportions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketOptions:
    """Options of pockets; each may be left out.

    Attributes
    ----------
    style : patch, or in seam, which is two bags sewn into a side seam and to each other
    pockets : how many of them; 2
    width : finished; a tenth of the height, or 11 cm where that is not known (common practice)
    depth : finished; 1.15 times the width of a patch, 1.7 times that of a bag, three quarters of
        which is its opening (common practice)
    """

    style: Literal["patch", "in seam"] = "patch"
    pockets: Count = 2
    width: Length | None = None
    depth: Length | None = None


def draft_pocket(context: DraftContext, options: PocketOptions) -> DraftResult:
    """Draft pockets. A patch has a hem on top and rounded corners below.

    Steps
    -----
    1. Take a tenth of the height, or 11 cm where it is not known, as the width; 1.15 times that as
       the depth of a patch, 1.7 times as that of a bag (common practice).
    2. Draw a patch as a rectangle with a hem on top, and round its lower corners with a radius of a
       fifth of the width or depth, whichever is less (common practice).
    3. Draw a bag on an upright, the allowance of the side seam: three quarters of its depth are the
       straight opening, and it curves out to its width and hangs a quarter lower (common practice).
    4. Lay the grain upright; cut a patch, or a pair of bags, for each pocket (common practice).

    Raises
    ------
    OrderFault : there is too little of them
    """
    needs = Needs(context)
    width, depth = _size(options, context.body)
    patch = options.style == "patch"
    needs.enough("width", width, 3 * LEAST_MM)
    needs.enough("depth", depth, 3 * LEAST_MM)
    needs.settle()
    edges = _patch(width, depth) if patch else _bag(width, depth)
    pattern = Pattern(
        name=context.named("pocket" if patch else "pocket bag"),
        edges=edges,
        grain=((width / 2, 0.0), (width / 2, depth / 2)),
        cut=options.pockets,
        pair=not patch,
    )
    pieces = lined(context, (pattern,), shell_allowances(context))
    where = "on by eye, level left and right" if patch else "into the side seams, between notches"
    many = f"{options.pockets} {pieces[0].name}s" if options.pockets > 1 else pieces[0].name
    told = f"Sew the {many} {where}."
    stage = Stage.TRIMS if patch else Stage.SIDES
    return DraftResult(pieces=pieces, steps=(Step(stage=stage, what=told, how=None),))


def _size(options: PocketOptions, body: Body) -> tuple[float, float]:
    """Width and depth as finished."""
    height = body.height
    width = options.width or (_WIDTH_MM if height is None else _OF_HEIGHT * height)
    return width, options.depth or (1.15 if options.style == "patch" else 1.7) * width


def _side_opening(options: PocketOptions, body: Body) -> float:
    """The straight edge of a bag."""
    return _OPENING * _size(options, body)[1] if options.style == "in seam" else 0.0


def _patch(width: float, depth: float) -> tuple[Edge, ...]:
    round_mm = min(width, depth) / 5
    left = arc((round_mm, round_mm), round_mm, 180.0, 270.0)
    right = arc((width - round_mm, round_mm), round_mm, 270.0, 360.0)
    top: Line = ((width, depth), (0.0, depth))
    return (
        Edge("edge", (top[1], *left, *right, top[0])),
        Edge("top", top, Role.HEM),
    )


def _bag(width: float, depth: float) -> tuple[Edge, ...]:
    """The opening, three quarters of the depth, is the bag's straight edge; below it hangs."""
    opening, hang = _OPENING * depth, (1 - _OPENING) * depth
    lower = bezier((0.0, hang), (0.2 * width, -0.1 * depth), (width, -0.15 * depth), (width, hang))
    upper = bezier(lower[-1], (width, 0.7 * depth), (0.6 * width, depth), (0.0, depth))
    return (
        Edge("bag", lower + upper[1:]),
        Edge("side", ((0.0, hang + opening), (0.0, hang))),
    )


KINDS = (
    DraftKind(
        name="pocket",
        options=PocketOptions,
        draft=draft_pocket,
        description="pockets, patched on or in a seam",
        place=180,
        side_opening=_side_opening,
    ),
)
