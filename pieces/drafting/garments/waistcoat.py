"""A waistcoat: fronts with a V neck and points, buttoned, and a back on the fold."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import bezier
from pieces.drafting.bodices.bodice_block import Block
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import bust_told
from pieces.drafting.bodices.upper import (
    UpperOptions,
    upper_block,
    upper_given,
    upper_halves,
    upper_joins,
    upper_pattern,
)
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Length, LengthOrZero
from pieces.piece import Line

_EASE_MM, _WAIST_EASE_MM = 80.0, 80.0
_LOWER_SCYE_MM, _NARROWER_MM, _WIDER_NECK_MM = 20.0, 10.0, 5.0
_BELOW, _POINT, _POINT_IN = 0.22, 0.12, 0.3
_MOST_IN = 0.12
"""Common practice, as all proportions of this draft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaistcoatOptions:
    """Options of a waistcoat; each may be left out.

    Attributes
    ----------
    chest_ease : over the whole chest, for a shirt below; 8 cm (common practice)
    neck_depth : from the side of the neck down to the first button; to 1 cm above the underarm
        (common practice)
    length : from nape to hem behind and at the sides; 0.22 of the back waist length below the waist
        (common practice)
    point : by how much the fronts end lower, in a point; 0.12 of it, or 0 for a straight hem
    lower_scye : by how much the armhole lies deeper than a bodice's; 2 cm (common practice)
    opening_allowance : in front, half of which is folded back; 3 cm (common practice)
    closing : front opening, as all waistcoats
    """

    chest_ease: LengthOrZero = _EASE_MM
    neck_depth: Length | None = None
    length: Length | None = None
    point: LengthOrZero | None = None
    lower_scye: LengthOrZero = _LOWER_SCYE_MM
    opening_allowance: LengthOrZero = 30.0
    closing: Literal["front opening"] = "front opening"


def draft_waistcoat(context: DraftContext, options: WaistcoatOptions) -> DraftResult:
    """Draft the fronts and the back of a waistcoat, and a lining, which finishes its edges.

    Steps
    -----
    1. Draw neck, shoulder and armhole as for a bodice (a pattern teaching site; Indian teaching
       notes), a quarter of the chest and of 8 cm wide, the underarm 2 cm lower, the neck 5 mm wider
       and the shoulder 1 cm shorter, to lie over a shirt (common practice).
    2. Run the front neck as a V from the side of the neck to the first button, 1 cm above the
       underarm (common practice).
    3. Set the hem below the waist by 0.22 of the back waist length, level behind and at the sides
       (common practice); take in the side at the waist to a quarter of the waist and of 8 cm, and
       by no more than 0.12 of the quarter; it runs upright there and at the hem.
    4. Let the fronts end in a point, lower by 0.12 of the back waist length, three tenths of the
       way from the middle, and run level into the side seam (common practice).
    5. Put the back on the fold; lap the fronts for buttons, 3 cm (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no waistcoat can be drawn from them
    """
    needs = Needs(context)
    back_waist = needs.measure("back_waist", "A waistcoat")
    waist = needs.measure("waist", "A waistcoat")
    block = _block(needs, options, back_waist)
    needs.settle()
    require_drawable(needs, block)
    if block.length < back_waist + 10 and not needs.faults:
        needs.refuse(
            "length",
            f"At {needs.told(block.length)} a waistcoat ends above the waist.",
            "Give a greater length.",
        )
    needs.settle()
    wanted = max((waist + _WAIST_EASE_MM) / 4, (1 - _MOST_IN) * block.quarter)
    side = _side(block, min(block.quarter, wanted), back_waist)
    point = _POINT * back_waist if options.point is None else options.point
    upper = UpperOptions(
        closing="front opening",
        opening_allowance=options.opening_allowance,
        sleeveless=True,
        neck="V",
    )
    halves = upper_halves(
        context,
        block,
        options.closing,
        "waistcoat",
        lambda front: (
            Edge("hem", _hem(block, side[0][0], point if front else 0.0)),
            Edge("side", side, marks_mm=(block.length - back_waist,)),
        ),
    )
    patterns = [upper_pattern(half, options.opening_allowance) for half in halves]
    shell, lining = lined_apart(
        context, patterns, shell_allowances(context, options.opening_allowance)
    )
    joins = tuple(
        replace(join, smooth=(join.smooth[0], point == 0))
        if join.this.seam == "centre front"
        else join
        for join in upper_joins(shell, halves)
    )
    return DraftResult(
        pieces=shell + lining,
        joins=joins,
        findings=bust_told(context, "the waistcoat"),
        bodice=upper_given(block, upper, halves),
        name=context.named("waistcoat"),
    )


def _block(needs: Needs, options: WaistcoatOptions, back_waist: float) -> Block:
    shoulder = needs.context.body.shoulder
    upper = UpperOptions(
        chest_ease=options.chest_ease,
        neck="V",
        shoulder=None if shoulder is None else max(25.0, shoulder - _NARROWER_MM),
    )
    block = upper_block(needs, upper, "A waistcoat")
    scye = block.scye_depth + options.lower_scye
    depth = options.neck_depth or scye - 10 + block.rise
    return replace(
        block,
        scye_depth=scye,
        neck_width=block.neck_width + _WIDER_NECK_MM,
        neck_depth=depth,
        length=options.length or (1 + _BELOW) * back_waist,
    )


def _side(block: Block, waist: float, back_waist: float) -> Line:
    """From the hem, upright, in to the waist and out to the underarm."""
    hem, at_waist = (block.quarter, -block.length), (waist, -back_waist)
    underarm = block.underarm
    third, above = (block.length - back_waist) / 3, (back_waist - block.scye_depth) / 3
    lower = bezier(hem, (hem[0], hem[1] + third), (waist, at_waist[1] - third), at_waist, sewn=True)
    upper = bezier(
        at_waist,
        (waist, at_waist[1] + above),
        (underarm[0], underarm[1] - above),
        underarm,
        sewn=True,
    )
    return lower + upper[1:]


def _hem(block: Block, side: float, point: float) -> Line:
    """From the middle to the side; a point falls to a third of the way and rises again."""
    low = -block.length
    if not point:
        return ((0.0, low), (side, low))
    tip = (_POINT_IN * side, low - point)
    across = side - tip[0]
    rise = bezier(
        tip,
        (tip[0] + 0.35 * across, tip[1] + 0.6 * point),
        (side - 0.4 * across, low),
        (side, low),
        sewn=True,
    )
    return ((0.0, low - 0.25 * point), *rise)


KINDS = (
    DraftKind(
        name="waistcoat",
        options=WaistcoatOptions,
        draft=draft_waistcoat,
        description="a buttoned waistcoat with a V neck and points",
        place=18,
        gives_bodice=True,
    ),
)
