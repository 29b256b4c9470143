"""What covers chest and shoulders: options, lines, patterns and joins of bodices and dresses."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pieces.body.shoulders import SLOPE_DEG, half_neck
from pieces.curves import length
from pieces.drafting.bodices.bodice_block import Block, NeckShape, armhole_line, neck_line
from pieces.drafting.bodices.laps import lap_lines
from pieces.drafting.context import Armhole, Bodice, DraftContext, Half, Needs
from pieces.drafting.pattern import BACK_NOTCH, FRONT_NOTCH, Edge, Pattern, Role
from pieces.fields import Flag, Length, LengthOrZero
from pieces.geometry import SAME_MM
from pieces.joins import opened
from pieces.piece import Finding, Join, Line, Piece, Stage
from pieces.wording import Wording, choose, key

_STEEPEST = 0.5
"""Drop over length of a shoulder: 30 degrees, twice the usual slope; common practice."""
_LONGER_MM, _BELLIED, _FLAT, _MOST_LONGER = 10.0, 0.92, 0.8, 1.5
"""The front is 1 cm longer in a pattern teaching site's block for 1 to 10 years, whose waist is
some 0.92 of the chest; without a belly it is as long as the back (common practice)."""
_HEAD_MM = 500.0
"""Means of girls and boys from 2 to 8 years run from 484 to 526 mm (UM-HSRI-77-17, 1977)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpperOptions:
    """Options of whatever covers chest and shoulders; each may be left out.

    Attributes
    ----------
    chest_ease : over the whole chest; 4 cm to 116 cm of height, 5 to 140, then 6 (a British
        flat block as quoted by a sewing blog, 2009)
    neck : the shape in front; round
    neck_width : half of it; neck / 6 + 5 mm (a pattern teaching site), or where the neck is not
        known chest / 12 + 1/4 in. (Indian teaching notes); a wider neck is taken off the shoulder,
        a boat neck up to 45 percent of it, a sweetheart 20 (common practice)
    neck_depth : in front, below the side of the neck; chest / 8 (Indian teaching notes), over a
        bust half the neck and 1.5 cm, 3 cm more for a V or
        a sweetheart, and 3 cm for a boat neck (common practice)
    back_neck_depth : below the nape; 0, and for a wide neck as much as that lowers its side
        (common practice)
    scye_depth : from nape to underarm; chest / 8 + 2 1/2 in. (Indian teaching notes), or a quarter
        of the chest where that is less, as on infants (common practice); a woman's bust / 10 +
        12.2 cm (a British textbook's chart, secondary copy) and 5 mm of ease
    sleeveless : the underarm is raised by 1 cm where scye_depth is not told (common practice); a
        facing or a binding finishes the armhole
    shoulder : from the side of the neck to the armhole; the body's
    shoulder_drop : of its point below the side of the neck; 15 degrees of slope (from memory)
    front_longer : by how much the middle of the front is longer than the back's at the waist; up
        to 1.5 cm where the belly asks (1 cm in a pattern teaching site's block for 1 to 10 years)
    closing : zip or buttons at centre back, or a front opening for buttons, which puts the back
        on the fold, or none, which puts both there; zip
    opening_allowance : where it opens; 2 cm for a zip (common practice), 4 cm for buttons (1 to
        1 3/4 in.: Scientific Sewing and Garment Cutting, School Needlework), half of which is
        folded back
    """

    chest_ease: LengthOrZero | None = None
    neck: Literal["round", "V", "square", "boat", "sweetheart"] = "round"
    neck_width: Length | None = None
    neck_depth: Length | None = None
    back_neck_depth: LengthOrZero | None = None
    scye_depth: Length | None = None
    sleeveless: Flag = False
    shoulder: Length | None = None
    shoulder_drop: LengthOrZero | None = None
    front_longer: LengthOrZero | None = None
    closing: Literal["zip", "buttons", "front opening", "none"] = "zip"
    opening_allowance: LengthOrZero | None = None


def quarter_chest_ease(height_mm: float | None, chest_mm: float) -> float:
    """Ease on a quarter of the chest: 1 cm to 116 cm of height, 1.25 to 140, then 1.5.

    Without a height, by the chest of those heights in European tables: to 63 cm, to 72 cm.
    """
    size, small, middle = (
        (height_mm, 1190.0, 1430.0) if height_mm is not None else (chest_mm, 630.0, 720.0)
    )
    return 10.0 if size <= small + SAME_MM else 12.5 if size <= middle + SAME_MM else 15.0


def upper_block(needs: Needs, options: UpperOptions, what: str) -> Block:
    """The lines of chest, shoulders and neck; below the underarm it falls straight for 10 cm.

    `what` is what needs the measures, for messages.
    """
    body = needs.context.body
    chest = needs.measure("chest", what)
    shoulder = options.shoulder or needs.measure("shoulder", what)
    ease = options.chest_ease
    quarter_ease = quarter_chest_ease(body.height, chest) if ease is None else ease / 4
    neck = half_neck(body)
    shape = NeckShape(options.neck)
    wider = {NeckShape.BOAT: 0.45, NeckShape.SWEETHEART: 0.2}.get(shape, 0.0) * shoulder
    deep = neck + 15 if body.has_bust else chest / 8
    depths = {NeckShape.V: deep + 30, NeckShape.SWEETHEART: deep + 30, NeckShape.BOAT: 30.0}
    usual = chest / 10 + 127 if body.has_bust else min(chest / 8 + 63.5, chest / 4)
    scye_depth = options.scye_depth or usual - (10 if options.sleeveless else 0)
    quarter = chest / 4 + quarter_ease
    block = Block(
        quarter=quarter,
        waist_quarter=quarter,
        length=scye_depth + 100.0,
        neck=neck,
        neck_shape=shape,
        neck_width=options.neck_width or neck + wider,
        neck_depth=options.neck_depth or depths.get(shape, deep),
        back_neck_depth=options.back_neck_depth or 0.0,
        scye_depth=scye_depth,
        shoulder=shoulder,
        slope_deg=_slope_deg(needs, options, shoulder),
        across_back=_half(body.across_back),
        across_front=_half(body.across_front),
        belly=options.front_longer or 0.0,
    )
    if options.back_neck_depth is None:
        lowered = max(0.0, block.rise - block.neck_point[1])
        block = replace(block, back_neck_depth=lowered)
    return block


def _half(whole: float | None) -> float | None:
    return None if whole is None else whole / 2


def _slope_deg(needs: Needs, options: UpperOptions, shoulder: float) -> float:
    """Slope of the shoulder, by its drop if that is told."""
    drop = options.shoulder_drop
    if drop is None:
        return SLOPE_DEG
    if drop > _STEEPEST * shoulder and not needs.faults:
        needs.refuse(
            "shoulder_drop",
            f"A shoulder of {needs.told(shoulder)} that drops by {needs.told(drop)} is no slope of "
            "a body.",
            "Measure the drop upright, from the level of the side of the neck.",
        )
        return SLOPE_DEG
    return math.degrees(math.asin(min(1.0, drop / max(shoulder, 1.0))))


def belly_mm(chest: float, waist: float) -> float:
    """How much longer the front is than the back, by how large the waist is for the chest."""
    share = (waist / max(chest, 1.0) - _FLAT) / (_BELLIED - _FLAT)
    return _LONGER_MM * min(_MOST_LONGER, max(0.0, share))


def opening_mm(options: UpperOptions) -> float:
    """The allowance where it opens."""
    if options.opening_allowance is not None:
        return options.opening_allowance
    return 20.0 if options.closing == "zip" else 40.0


def neck_told(context: DraftContext, options: UpperOptions, neck_mm: float) -> tuple[Finding, ...]:
    """That a neck without an opening passes no head: code ``neck-passes-no-head``."""
    if options.closing != "none" or neck_mm >= _HEAD_MM:
        return ()
    message = (
        f"the neck is {context.told(neck_mm)} round without an "
        f"opening, but a child's head measures about {context.told(_HEAD_MM)}; give it more "
        + Wording(" and ").join(map(key, ("neck_width", "neck_depth")))
        + ", or "
        + choose("closing", "zip", "buttons")
        + "."
    )
    return (context.finding("neck-passes-no-head", message, "closing"),)


def upper_halves(
    context: DraftContext,
    block: Block,
    closing: str,
    name: str,
    lower: Callable[[bool], tuple[Edge, ...]],
) -> tuple[Half, Half]:
    """Half of front and of back; `lower` gives lower edge and side, of the front or the back."""
    front_role = Role.LAP if closing == "front opening" else Role.FOLD
    back_role = {"zip": Role.OPENING, "buttons": Role.LAP}.get(closing, Role.FOLD)
    below = [lower(front) for front in (True, False)]
    (front_low, *_), (back_low, *_) = (edges[0].line for edges in below)
    front = Edge("centre front", ((0.0, block.front_low), front_low), front_role)
    back = Edge("centre back", ((0.0, -block.back_neck_depth), back_low), back_role)
    return (
        Half(context.named(f"{name} front"), _edges(block, below[0], front=True, middle=front)),
        Half(context.named(f"{name} back"), _edges(block, below[1], front=False, middle=back)),
    )


def _edges(block: Block, lower: tuple[Edge, ...], *, front: bool, middle: Edge) -> tuple[Edge, ...]:
    armhole = armhole_line(block, front=front)
    whole = Armhole(length(armhole), length(armhole))
    return (
        *lower,
        Edge(
            "armhole",
            armhole,
            marks_mm=whole.front_marks_mm if front else whole.back_marks_mm,
            points=(FRONT_NOTCH if front else BACK_NOTCH,),
        ),
        Edge("shoulder", (block.tip, block.neck_point)),
        Edge("neck", neck_line(block, front=front)),
        middle,
    )


def upper_pattern(half: Half, opening: float, drawn: tuple[Line, ...] = ()) -> Pattern:
    """The pattern of a half, with lines drawn on it, and those of a lap where it has one."""
    high, low = half.middle.line
    laps = lap_lines(half.middle.line, opening) if half.middle.role is Role.LAP else ()
    return Pattern(
        name=half.name,
        edges=half.edges,
        grain=(low, high),
        pair=half.opens,
        drawn_lines=(*drawn, *laps),
    )


def upper_joins(shell: Sequence[Piece], halves: Sequence[Half]) -> tuple[Join, ...]:
    """Sides and shoulders of front and back, and a middle that opens."""
    front, back = halves
    across = []
    for name, stage in (("side", Stage.SIDES), ("shoulder", Stage.SHOULDERS)):
        (this,), (that,) = front.sides(name), back.sides(name)
        what = f"{name} seam, {this.piece} to {that.piece}"
        across.append(Join(what=what, this=this, that=that, stage=stage))
    by_name = {piece.name: piece for piece in shell}
    in_middle = [
        replace(opened(by_name[half.name], half.middle.name), smooth=(half.neck_is_square, True))
        for half in halves
        if half.opens
    ]
    return (*across, *in_middle)


def upper_given(block: Block, options: UpperOptions, halves: tuple[Half, Half]) -> Bodice:
    """What it gives to the parts that are sewn to it."""
    opening = opening_mm(options)
    return Bodice(
        front=halves[0],
        back=halves[1],
        opening_mm=opening,
        lap_mm=opening / 2 if options.closing in ("buttons", "front opening") else 0.0,
        round_neck=block.neck_shape is NeckShape.ROUND,
        sleeveless=options.sleeveless,
    )
