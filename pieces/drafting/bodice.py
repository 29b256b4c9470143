"""A child's bodice without darts: each of front and back is open in the middle or on the fold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.curves import length
from pieces.drafting.bodice_block import (
    ACROSS_BACK_MM,
    ACROSS_FRONT_MM,
    SHOULDER_DROP_MM,
    Block,
    NeckShape,
    armhole_line,
    neck_line,
)
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.points import BACK_NOTCH, FRONT_NOTCH
from pieces.drafting.setting import Armhole, Bodice, Half, Made, Needs, Setting, pieces_of
from pieces.fields import Flag, Length, LengthOrZero
from pieces.geometry import SAME_MM
from pieces.piece import Finding, Piece, SeamCheck
from pieces.seams import compare, seam_length, whole_length

_HIGH_WAIST_MM = 50.0
"""Below the underarm; common practice."""
_HEAD_MM = 500.0
"""Means of girls and boys from 2 to 8 years run from 484 to 526 mm (UM-HSRI-77-17, 1977)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BodiceOptions:
    """Options of a bodice; each may be left out.

    Attributes
    ----------
    chest_ease : over the whole chest; 4 cm to 116 cm of height, 5 to 140, then 6 (a British
        flat block as quoted by a sewing blog, 2009)
    waist_ease : over the whole waist; 4 cm, within 1 to 2 in. (from memory)
    waist : natural, or high: the seam then lies 5 cm below the underarm, or less where that is
        near the waist (common practice)
    length : from nape to waist seam; the back waist length for a natural waist
    neck : the shape in front; round, V, square or boat
    neck_width : half of it; neck / 6 + 5 mm (a pattern teaching site), or where the neck is not
        known chest / 12 + 1/4 in. (Indian teaching notes); a wider neck is taken off the shoulder,
        a boat neck up to 45 percent of it (common practice)
    neck_depth : in front, below the side of the neck; chest / 8 (Indian teaching notes), 3 cm
        more for a V, and 3 cm for a boat neck (common practice)
    back_neck_depth : below the nape; 0
    scye_depth : from nape to underarm; chest / 8 + 2 1/2 in. (Indian teaching notes)
    sleeveless : the underarm is raised by 1 cm where scye_depth is not told (common practice); a
        facing or a binding finishes the armhole
    shoulder : from the side of the neck to the armhole; the body's
    closing : zip or buttons at centre back, or a front opening for buttons, which puts the back
        on the fold; or none, which puts both there
    opening_allowance : where it opens; 2 cm for a zip (common practice), 4 cm for buttons (a lap
        of 1 to 1 3/4 in.: Scientific Sewing and Garment Cutting, School Needlework)
    """

    chest_ease: LengthOrZero | None = None
    waist_ease: LengthOrZero = 40.0
    waist: Literal["natural", "high"] = "natural"
    length: Length | None = None
    neck: Literal["round", "V", "square", "boat"] = "round"
    neck_width: Length | None = None
    neck_depth: Length | None = None
    back_neck_depth: LengthOrZero = 0.0
    scye_depth: Length | None = None
    sleeveless: Flag = False
    shoulder: Length | None = None
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


def draft_bodice(setting: Setting, options: BodiceOptions) -> Made:
    """Draft a bodice, and its lining if one is asked for.

    Half of front and back are drawn; a lining is the same again.

    Steps
    -----
    1. Mark the nape on an upright, the middle, and the waist seam below it by the back waist
       length. A high seam lies 5 cm below the underarm instead, or 0.6 of the way from there to the
       natural waist if that is less (common practice).
    2. Square across at the scye's depth below the nape, chest / 8 + 2 1/2 in. (Indian teaching
       notes), 1 cm less if sleeveless (common practice). A quarter of the chest and 1, 1.25 or 1.5
       cm out is the underarm (a British flat block as quoted by a sewing blog, 2009).
    3. Mark the side of the neck, 1.5 cm above the nape and neck / 6 + 5 mm out (a pattern teaching
       site), or chest / 12 + 1/4 in. where the neck is not known (Indian teaching notes).
    4. Draw the shoulder from there in its length, so that its point lies 1.6 cm lower (1/2 to 3/4
       in.: a teaching blog). A boat neck begins 45 percent of that length further out (common
       practice).
    5. Draw the front neck, chest / 8 below the side of the neck (Indian teaching notes), 3 cm more
       for a V, only 3 cm for a boat (common practice): a quarter of an ellipse, straight for a V,
       or down and squared across. The back neck is a quarter of an ellipse to the nape.
    6. Draw the armhole: level out of the underarm, upright 0.45 of the way up, there 1.5 cm inside
       the shoulder's point in front and 1 cm behind, at least 1.5 cm inside the underarm, and
       square into the shoulder. Notch it at 0.4 of its length, behind again 8 mm above (common
       practice).
    7. Square across at the waist seam a quarter of the waist and of its ease of 4 cm (1 to 2 in.,
       from memory), and draw the side straight; to a high waist it comes in by its share of the
       way.
    8. Put the middle on the fold, or where it opens add 2 cm for a zip (common practice), 4 cm for
       buttons (Scientific Sewing and Garment Cutting, School Needlework).

    Raises
    ------
    OrderFault : measures are missing, or no bodice can be drawn from them
    """
    needs = Needs(setting)
    block = _block(needs, options)
    needs.settle()
    _check_block(needs, block)
    needs.settle()
    front, back = _halves(setting, block, options.closing)
    patterns = _pattern(front), _pattern(back)
    part = setting.part
    opening_mm = _opening(options)
    allowances = Allowances(part.seam_allowance_mm, part.hem_allowance_mm, opening_mm)
    shell = pieces_of(setting, patterns, part.fabric, allowances)
    checks = list(_checks(setting, shell))
    lining: tuple[Piece, ...] = ()
    if part.lining is not None:
        lining = pieces_of(setting, patterns, part.lining, allowances, " lining")
        checks += _lining_checks(setting, shell, lining)
    drop_mm = _waist_drop(setting, options, block)
    return Made(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        findings=_findings(setting, options, whole_length(shell, "neck")),
        bodice=Bodice(
            front=front,
            back=back,
            opening_mm=opening_mm,
            lap_mm=opening_mm if options.closing in ("buttons", "front opening") else 0.0,
            round_neck=block.neck_shape is NeckShape.ROUND,
            sleeveless=options.sleeveless,
        ),
        waist_mm=whole_length(shell, "waist"),
        waist_drop_mm=drop_mm,
    )


def _findings(setting: Setting, options: BodiceOptions, neck_mm: float) -> tuple[Finding, ...]:
    if options.closing != "none" or neck_mm >= _HEAD_MM:
        return ()
    message = (
        f"{setting.garment}: the neck is {setting.told(neck_mm)} round without an "
        f"opening, but a child's head measures about {setting.told(_HEAD_MM)}; give it "
        'more neck_width and neck_depth, or write closing = "zip" or "buttons".'
    )
    return (Finding("neck-passes-no-head", message),)


def _opening(options: BodiceOptions) -> float:
    if options.opening_allowance is not None:
        return options.opening_allowance
    return 20.0 if options.closing == "zip" else 40.0


def _block(needs: Needs, options: BodiceOptions) -> Block:
    body = needs.setting.body
    chest = needs.measure("chest", "The bodice")
    waist = needs.measure("waist", "The bodice")
    shoulder = options.shoulder or needs.measure("shoulder", "The bodice")
    ease = options.chest_ease
    quarter_ease = quarter_chest_ease(body.height, chest) if ease is None else ease / 4
    neck = body.neck / 6 + 5 if body.neck is not None else chest / 12 + 6.35
    shape = NeckShape(options.neck)
    boat = shape is NeckShape.BOAT
    depths = {NeckShape.V: chest / 8 + 30, NeckShape.BOAT: 30.0}
    scye_depth = options.scye_depth or chest / 8 + 63.5 - (10 if options.sleeveless else 0)
    quarter, waist_quarter = chest / 4 + quarter_ease, (waist + options.waist_ease) / 4
    length_mm, tapered = _waist_seam(needs, options, scye_depth)
    return Block(
        quarter=quarter,
        waist_quarter=quarter + tapered * (waist_quarter - quarter),
        length=length_mm,
        neck=neck,
        neck_shape=shape,
        neck_width=options.neck_width or neck + (0.45 * shoulder if boat else 0),
        neck_depth=options.neck_depth or depths.get(shape, chest / 8),
        back_neck_depth=options.back_neck_depth,
        scye_depth=scye_depth,
        shoulder=shoulder,
    )


def _waist_seam(needs: Needs, options: BodiceOptions, scye_depth: float) -> tuple[float, float]:
    """From nape to waist seam, and how much of the way from underarm to natural waist that is."""
    if options.waist == "natural":
        return options.length or needs.measure("back_waist", "The bodice"), 1.0
    natural = needs.measure("back_waist", "A high waist")
    side = natural - scye_depth
    high = options.length or scye_depth + min(_HIGH_WAIST_MM, 0.6 * side)
    if high > natural and not needs.faults:
        needs.refuse(
            "length",
            f"At {needs.told(high)} the waist seam is below the natural waist.",
            'Give a shorter length, or write waist = "natural".',
        )
    return high, (high - scye_depth) / side if side > 0 else 1.0


def _waist_drop(setting: Setting, options: BodiceOptions, block: Block) -> float:
    natural = setting.body.back_waist
    return 0.0 if options.waist == "natural" or natural is None else block.length - natural


def _check_block(needs: Needs, block: Block) -> None:
    """Refuse measures from which the lines would cross."""

    def cm(value_mm: float) -> str:
        return needs.told(value_mm)

    if block.length < block.scye_depth + 20:
        needs.refuse(
            "length",
            f"From nape to waist seam it is {cm(block.length)}, but the armhole alone reaches "
            f"{cm(block.scye_depth)} down.",
            "Measure the back waist length again, or give a longer length or a smaller scye_depth.",
        )
    if block.neck_depth > block.length - 20:
        needs.refuse(
            "neck_depth",
            f"The neck is {cm(block.neck_depth)} deep, down to the waist seam.",
            "Give a smaller neck_depth.",
        )
    if not needs.faults and block.front_low > block.neck_point[1] - 2:
        needs.refuse(
            "neck_depth",
            f"A neck {cm(block.neck_depth)} deep is no lower in front than at the shoulder.",
            "Give a larger neck_depth, or leave it out.",
        )
    if block.back_neck_depth > block.length - 20:
        needs.refuse(
            "back_neck_depth",
            f"At the back the neck is {cm(block.back_neck_depth)} deep, down to the waist seam.",
            "Give a smaller back_neck_depth.",
        )
    if block.shoulder <= SHOULDER_DROP_MM + 4:
        needs.refuse(
            "shoulder",
            f"A shoulder of {cm(block.shoulder)} leaves nothing between neck and armhole.",
            "Measure it from the side of the neck to the shoulder's point.",
        )
    elif block.tip[0] > block.quarter + 15:
        needs.refuse(
            "shoulder",
            f"Neck and shoulder reach {cm(block.tip[0])} from the middle, but a quarter of the "
            f"chest with its ease is only {cm(block.quarter)}.",
            "Measure shoulder and chest again; the shoulder is that of one side.",
        )
    elif block.across(ACROSS_FRONT_MM) < block.neck_width + 5 or block.neck_point[1] < 2:
        needs.refuse(
            "neck_width",
            f"Half the neck is {cm(block.neck_width)} wide and leaves no shoulder.",
            "Give a smaller neck_width, or measure the neck again.",
        )
    if block.scye_depth < 40:
        needs.refuse(
            "scye_depth",
            f"An armhole {cm(block.scye_depth)} deep can't be drawn.",
            "Give a larger scye_depth, or leave it out.",
        )


def _half(block: Block, inside_mm: float, shape: NeckShape, middle: Edge) -> tuple[Edge, ...]:
    waist_side = (block.waist_quarter, -block.length)
    (_, high), low = middle.line[0], middle.line[1]
    armhole = armhole_line(block, inside_mm)
    whole = Armhole(length(armhole), length(armhole))
    back = inside_mm == ACROSS_BACK_MM
    return (
        Edge("waist", (low, waist_side)),
        Edge("side", (waist_side, block.underarm)),
        Edge(
            "armhole",
            armhole,
            marks_mm=whole.back_marks_mm if back else whole.front_marks_mm,
            points=(BACK_NOTCH if back else FRONT_NOTCH,),
        ),
        Edge("shoulder", (block.tip, block.neck_point)),
        Edge("neck", neck_line(block, shape, high)),
        middle,
    )


def _halves(setting: Setting, block: Block, closing: str) -> tuple[Half, Half]:
    low = (0.0, -block.length)
    front_role = Role.OPENING if closing == "front opening" else Role.FOLD
    back_role = Role.OPENING if closing in ("zip", "buttons") else Role.FOLD
    front = Edge("centre front", ((0.0, block.front_low), low), front_role)
    back = Edge("centre back", ((0.0, -block.back_neck_depth), low), back_role)
    return (
        Half(
            setting.named("bodice front"),
            _half(block, ACROSS_FRONT_MM, block.neck_shape, front),
        ),
        Half(
            setting.named("bodice back"),
            _half(block, ACROSS_BACK_MM, NeckShape.ROUND, back),
        ),
    )


def _pattern(half: Half) -> Pattern:
    high, low = half.middle.line
    return Pattern(
        name=half.name,
        edges=half.edges,
        grain=(low, high),
        pair=half.middle.role is Role.OPENING,
    )


def _checks(setting: Setting, shell: tuple[Piece, ...]) -> tuple[SeamCheck, ...]:
    front, back = shell
    return tuple(
        compare(
            f"{name} seam, {front.name} to {back.name}",
            setting.garment,
            seam_length(front, name),
            seam_length(back, name),
        )
        for name in ("side", "shoulder")
    )


def _lining_checks(
    setting: Setting, shell: tuple[Piece, ...], lining: tuple[Piece, ...]
) -> list[SeamCheck]:
    return [
        compare(
            f"{name}, {setting.named('bodice')} lining to shell",
            setting.garment,
            whole_length(lining, name),
            whole_length(shell, name),
        )
        for name in ("neck", "armhole", "side", "shoulder", "waist")
    ]
