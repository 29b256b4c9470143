"""A romper in one from shoulder to leg, drawn in by elastic, that opens between the legs."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.counts import at_least
from pieces.curves import bezier
from pieces.drafting.bodices.bodice_block import Block
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import bust_told
from pieces.drafting.bodices.dress import flared
from pieces.drafting.bodices.upper import (
    UpperOptions,
    neck_told,
    opening_mm,
    upper_block,
    upper_given,
    upper_halves,
    upper_joins,
    upper_pattern,
)
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.garments.legs import chair_rise
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Length, LengthOrZero
from pieces.notions import Notion, Sold
from pieces.piece import Join, Line, Side, Stage
from pieces.seams import whole_length

_HIP_EASE_MM, _TRUNK_EASE_MM = 140.0, 40.0
_BACK_LONGER, _FORK, _ABOVE_FORK = 0.04, 0.075, 0.22
_SNAPS_MM, _LAP_MM = 30.0, 20.0
"""Common practice, as all proportions of this draft."""
_LEG = 0.6
"""What a leg measures of the hip where the elastic goes round it; from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RomperOptions(UpperOptions):
    """Options of a romper; each may be left out.

    Attributes
    ----------
    hip_ease : over the whole hip, drawn in by elastic at the legs; 14 cm (common practice)
    rise : from the waist down to the chair on which the wearer sits; the body's, or hip / 5 +
        7.5 cm (from memory of European tables)
    trunk_ease : in the length from nape to fork, to bend in; 4 cm (common practice)
    """

    hip_ease: LengthOrZero = _HIP_EASE_MM
    rise: Length | None = None
    trunk_ease: LengthOrZero = _TRUNK_EASE_MM


def draft_romper(context: DraftContext, options: RomperOptions) -> DraftResult:
    """Draft front and back of a romper, and its lining if one is asked for.

    Steps
    -----
    1. Draw neck, shoulder and armhole as for a bodice (a pattern teaching site; Indian teaching
       notes; a British flat block as quoted by a sewing blog).
    2. Set the fork below the nape by the back waist length, the rise of hip / 5 + 7.5 cm (from
       memory of European tables) and 4 cm to bend in, behind lower by 0.04 of the hip (common
       practice); draw it level, 0.075 of the hip to either side of the middle.
    3. Draw the side straight from the underarm to a quarter of the hip and of 14 cm, 0.22 of the
       hip above the fork (common practice).
    4. Hollow the leg from the side, square to it, to the fork, square to that, so that it runs on
       over both seams (geometry).
    5. The fork opens for snaps, with the seam allowance and a facing; the hem at the legs is
       turned for elastic, 0.6 of the hip for each leg (from memory). Front and back lie
       on the fold, or open as a bodice does.

    Raises
    ------
    OrderFault : measures are missing, or no romper can be drawn from them
    """
    needs = Needs(context)
    upper = upper_block(needs, options, "A romper")
    hip = needs.measure("hip", "A romper")
    back_waist = needs.measure("back_waist", "A romper")
    rise = chair_rise(context.body, options.rise, hip)
    long = back_waist + rise + options.trunk_ease
    needs.settle()
    needs.enough("rise", rise, 0.2 * hip)
    needs.settle()
    side = max((hip + options.hip_ease) / 4, 0.8 * upper.quarter), _ABOVE_FORK * hip - long
    down = max(1.0, -side[1] - upper.scye_depth)
    block = flared(upper, long, (side[0] - upper.quarter) / down)
    require_drawable(needs, block)
    if side[1] > -block.scye_depth - 40 and not needs.faults:
        needs.refuse(
            "rise",
            f"From underarm to leg only {needs.told(-side[1] - block.scye_depth)} would be left.",
            "Measure rise and back waist length again.",
        )
    needs.settle()
    fork = _FORK * hip
    halves = upper_halves(
        context,
        block,
        options.closing,
        "romper",
        lambda front: _lower(block, side, fork, 0.0 if front else _BACK_LONGER * hip),
    )
    opening = opening_mm(options)
    patterns = [upper_pattern(half, opening) for half in halves]
    shell, lining = lined_apart(context, patterns, shell_allowances(context, opening))
    at_fork = Join(
        what=f"fork, {halves[0].name} to {halves[1].name}",
        this=Side(halves[0].name, "fork"),
        that=Side(halves[1].name, "fork"),
        stage=Stage.CLOSURE,
    )
    return DraftResult(
        pieces=shell + lining,
        joins=(*upper_joins(shell, halves), at_fork),
        findings=(
            *neck_told(context, options, whole_length(shell, "neck")),
            *bust_told(context, "the romper"),
        ),
        notions=_notions(context, hip, 2 * fork),
        bodice=upper_given(block, options, halves),
        name=context.named("romper"),
    )


def _notions(context: DraftContext, hip: float, fork: float) -> tuple[Notion, ...]:
    romper = context.named("romper")
    return (
        Notion(
            name="elastic",
            garment=context.garment,
            where=f"legs of the {romper}",
            sold=Sold.LENGTH,
            count=2,
            length_mm=_LEG * hip + _LAP_MM,
        ),
        Notion(
            name="snap",
            garment=context.garment,
            where=f"fork of the {romper}",
            sold=Sold.PIECE,
            count=max(2, at_least(fork / _SNAPS_MM)),
        ),
    )


def _lower(block: Block, side: tuple[float, float], fork: float, longer: float) -> tuple[Edge, ...]:
    """Fork, leg and side, from the middle out and up."""
    low = -block.length - longer
    underarm = block.underarm
    inwards = 0.6 * (side[0] - fork)
    # Square to the side, in and up from it as that leans.
    leg: Line = bezier(
        (fork, low),
        (fork, low + 0.65 * (side[1] - low)),
        (side[0] - inwards, side[1] + inwards * block.lean),
        side,
        sewn=True,
    )
    return (
        Edge("fork", ((0.0, low), (fork, low))),
        Edge("leg", leg, Role.HEM),
        Edge("side", (side, underarm)),
    )


KINDS = (
    DraftKind(
        name="romper",
        options=RomperOptions,
        draft=draft_romper,
        description="a romper in one, for elastic at the legs",
        place=19,
        gives_bodice=True,
    ),
)
