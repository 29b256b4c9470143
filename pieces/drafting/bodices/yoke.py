"""A dropped waist: a fitted yoke from the waist seam down, to whose lower edge skirts are sewn."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, always, wanting
from pieces.drafting.pattern import Pattern, Role
from pieces.drafting.skirts.rings import half_ring
from pieces.drafting.skirts.skirts import shell_allowances, waist, waist_checks, waist_step
from pieces.fields import Length, LengthOrZero
from pieces.joins import opened
from pieces.piece import Join, Side
from pieces.seams import whole_length

_ZIP_MM = 20.0
_LEAST_TURN = 1e-4
"""A straight yoke is drawn as part of a ring kilometres wide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YokeOptions:
    """Options of a yoke; each may be left out.

    Attributes
    ----------
    depth : from the waist seam to its lower edge; two thirds of the way to the hip (common
        practice), which lies a third of half the breast below the waist (*The Practical
        Designer*, lesson 106)
    hip_ease : over the whole hip; 6 cm (2 in. or more, from memory)
    """

    depth: Length | None = None
    hip_ease: LengthOrZero = 60.0


def draft_yoke(context: DraftContext, options: YokeOptions) -> DraftResult:
    """Draft a yoke's front and back for the waist of the bodice before it, or the body's.

    Steps
    -----
    1. Take the waist seam of the bodice, or the body's waist, and a quarter of it for each half of
       front and back (common practice).
    2. Set the hip a sixth of the chest below it (a third of half the breast: *The Practical
       Designer*, lesson 106), and the lower edge two thirds of the way down (common practice).
    3. Take the hip and 6 cm (2 in. or more, from memory), less the waist seam: so much wider is the
       yoke at the depth of the hip, or at its lower edge if that is deeper; never is it narrower.
    4. Strike the upper edge with a radius of waist seam x that depth / that difference, all but
       straight where there is none, and the lower one about the same centre, so that both are
       square to middle and side (geometry).
    5. Lay the grain along the middle. It is on the fold or opens where the bodice does; without one
       it opens behind, with 2 cm for a zip (common practice).

    Raises
    ------
    OrderFault : measures are missing, or there is too little of it
    """
    needs = Needs(context)
    top = waist(needs)
    chest = needs.measure("chest", "A yoke")
    hip = needs.measure("hip", "A yoke") + options.hip_ease
    to_hip = chest / 6
    depth = needs.enough("depth", options.depth or 2 * to_hip / 3)
    needs.settle()
    bodice = context.bodice
    roles = (Role.FOLD, Role.OPENING)
    if bodice is not None:
        roles = (bodice.front.middle.role, bodice.back.middle.role)
    widening = max(0.0, hip - top) / 4 / max(to_hip, depth)
    turn = max(widening, _LEAST_TURN)
    radius = top / 4 / turn
    patterns = [
        Pattern(
            name=context.named(f"yoke {which}"),
            edges=half_ring(
                radius,
                depth,
                degrees(turn),
                (f"centre {which}", role),
                ("side", Role.SEAM),
                Role.SEAM,
            ),
            grain=((-radius - depth, 0.0), (-radius, 0.0)),
            pair=role is not Role.FOLD,
        )
        for which, role in zip(("front", "back"), roles, strict=True)
    ]
    allowances = shell_allowances(context, _ZIP_MM if bodice is None else bodice.opening_mm)
    pieces = lined(context, patterns, allowances)
    shell = pieces[: len(patterns)]
    pairs = [pieces[i : i + 2] for i in range(0, len(pieces), 2)]
    sides = [
        Join(
            what=f"side seam, {front.name} to {back.name}",
            this=Side(front.name, "side"),
            that=Side(back.name, "side"),
        )
        for front, back in pairs
    ]
    middles = [
        opened(piece, f"centre {which}")
        for piece, which in zip(shell, ("front", "back"), strict=True)
        if piece.on_fold is None
    ]
    return DraftResult(
        pieces=pieces,
        joins=(*sides, *middles),
        seam_checks=tuple(waist_checks(context, pair, "waist", 1.0, top) for pair in pairs),
        steps=(waist_step(context, shell, "waist", top),),
        waist_mm=whole_length(shell, "hem"),
        waist_drop_mm=context.waist_drop_mm + depth,
        opens_mm=0.0 if roles == (Role.FOLD, Role.FOLD) else depth,
        waist_edge="lower edge of " + " and ".join(piece.name for piece in shell),
    )


KINDS = (
    DraftKind(
        name="yoke",
        options=YokeOptions,
        draft=draft_yoke,
        description="a fitted yoke, for a dropped waist",
        place=90,
        gives_waist=always("hem"),
        waist_to_finish=wanting,
    ),
)
