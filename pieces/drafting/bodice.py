"""A child's bodice block: front on the fold, back open or on the fold, round neck, no darts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pieces.curves import bezier, length
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.setting import Armhole, Made, Needs, Setting, pieces_of
from pieces.fields import Length, LengthOrZero
from pieces.piece import Finding, Line, Piece, Point, SeamCheck
from pieces.seams import compare, seam_length, whole_length
from pieces.units import Unit, format_length

_QUARTER_ELLIPSE = 0.5523
"""Pull of a cubic that comes nearest to a quarter of an ellipse."""
_NECK_RISE_MM = 15.0
"""The side of the neck above the nape: 1.5 cm (a pattern teaching site, secondary copy)."""
_SHOULDER_DROP_MM = 16.0
"""Between 1/2 and 3/4 in. (a teaching blog, secondary copy)."""
_ACROSS_BACK_MM, _ACROSS_FRONT_MM = 10.0, 15.0
"""How far the armhole comes in from the shoulder's point; common practice."""
_UNDERARM_MM = 15.0
"""The least the armhole runs out again to the side seam; common practice."""
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
    length : from nape to waist seam; the back waist length
    neck_width : half of it; neck / 6 + 5 mm (a pattern teaching site), or where the neck is not
        known chest / 12 + 1/4 in. (Indian teaching notes); a wider neck is taken off the shoulder
    neck_depth : in front, below the side of the neck; chest / 8 (Indian teaching notes)
    scye_depth : from nape to underarm; chest / 8 + 2 1/2 in. (Indian teaching notes)
    shoulder : from the side of the neck to the armhole; the body's
    closing : at centre back; zip, buttons, or none, which puts the back on the fold
    opening_allowance : at centre back; 2 cm for a zip (common practice), 4 cm for buttons (a lap
        of 1 to 1 3/4 in.: Scientific Sewing and Garment Cutting, School Needlework)
    """

    chest_ease: LengthOrZero | None = None
    waist_ease: LengthOrZero = 40.0
    length: Length | None = None
    neck_width: Length | None = None
    neck_depth: Length | None = None
    scye_depth: Length | None = None
    shoulder: Length | None = None
    closing: Literal["zip", "buttons", "none"] = "zip"
    opening_allowance: LengthOrZero | None = None


@dataclass(frozen=True, slots=True)
class _Block:
    """The lengths that the draft is drawn from; y is 0 at the nape and runs up."""

    quarter: float
    waist_quarter: float
    length: float
    neck: float
    neck_width: float
    neck_depth: float
    scye_depth: float
    shoulder: float

    @property
    def slope(self) -> float:
        """How far the shoulder falls for each millimetre across."""
        run = self.shoulder**2 - _SHOULDER_DROP_MM**2
        return _SHOULDER_DROP_MM / math.sqrt(run) if run > 0 else 1.0

    @property
    def neck_point(self) -> Point:
        return self.neck_width, _NECK_RISE_MM - self.slope * (self.neck_width - self.neck)

    @property
    def tip(self) -> Point:
        return self.neck + _SHOULDER_DROP_MM / self.slope, _NECK_RISE_MM - _SHOULDER_DROP_MM

    @property
    def underarm(self) -> Point:
        return self.quarter, -self.scye_depth


def quarter_chest_ease(height_mm: float | None, chest_mm: float) -> float:
    """Ease on a quarter of the chest: 1 cm to 116 cm of height, 1.25 to 140, then 1.5.

    Without a height, by the chest of those heights in European tables: to 63 cm, to 72 cm.
    """
    size, small, middle = (
        (height_mm, 1190.0, 1430.0) if height_mm is not None else (chest_mm, 630.0, 720.0)
    )
    return 10.0 if size <= small else 12.5 if size <= middle else 15.0


def draft_bodice(setting: Setting, options: BodiceOptions) -> Made:
    """Draft a bodice, and its lining if one is asked for.

    Raises
    ------
    OrderFault : measures are missing, or no bodice can be drawn from them
    """
    needs = Needs(setting)
    block = _block(needs, options)
    needs.settle()
    _check_block(needs, block)
    needs.settle()
    front, back = _front(setting, block), _back(setting, block, options.closing)
    part = setting.part
    allowances = Allowances(part.seam_allowance_mm, part.hem_allowance_mm, _opening(options))
    shell = pieces_of(setting, (front, back), part.fabric, allowances)
    checks = list(_checks(setting, shell))
    lining: tuple[Piece, ...] = ()
    if part.lining is not None:
        lining = pieces_of(setting, (front, back), part.lining, allowances, " lining")
        checks += _lining_checks(setting, shell, lining)
    return Made(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        findings=_findings(setting, options, whole_length(shell, "neck")),
        waist_mm=whole_length(shell, "waist"),
        armhole=Armhole(seam_length(shell[0], "armhole"), seam_length(shell[1], "armhole")),
    )


def _findings(setting: Setting, options: BodiceOptions, neck_mm: float) -> tuple[Finding, ...]:
    if options.closing != "none" or neck_mm >= _HEAD_MM:
        return ()
    message = (
        f"{setting.garment}: the neck is {format_length(neck_mm, Unit.CM)} round without an "
        f"opening, but a child's head measures about {format_length(_HEAD_MM, Unit.CM)}; widen and "
        "deepen the neck, or put in a zip or buttons."
    )
    return (Finding("neck-passes-no-head", message),)


def _opening(options: BodiceOptions) -> float:
    if options.opening_allowance is not None:
        return options.opening_allowance
    return 40.0 if options.closing == "buttons" else 20.0


def _block(needs: Needs, options: BodiceOptions) -> _Block:
    body = needs.setting.body
    chest = needs.measure("chest", "The bodice")
    waist = needs.measure("waist", "The bodice")
    shoulder = options.shoulder or needs.measure("shoulder", "The bodice")
    nape_to_waist = options.length or needs.measure("back_waist", "The bodice")
    ease = options.chest_ease
    quarter_ease = quarter_chest_ease(body.height, chest) if ease is None else ease / 4
    neck = body.neck / 6 + 5 if body.neck is not None else chest / 12 + 6.35
    return _Block(
        quarter=chest / 4 + quarter_ease,
        waist_quarter=(waist + options.waist_ease) / 4,
        length=nape_to_waist,
        neck=neck,
        neck_width=options.neck_width or neck,
        neck_depth=options.neck_depth or chest / 8,
        scye_depth=options.scye_depth or chest / 8 + 63.5,
        shoulder=shoulder,
    )


def _check_block(needs: Needs, block: _Block) -> None:
    """Refuse measures from which the lines would cross."""

    def cm(value_mm: float) -> str:
        return format_length(value_mm, Unit.CM)

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
    if block.shoulder <= _SHOULDER_DROP_MM + 4:
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
    elif _across(block, _ACROSS_FRONT_MM) < block.neck_width + 5 or block.neck_point[1] < 2:
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


def _across(block: _Block, inside_mm: float) -> float:
    return min(block.tip[0] - inside_mm, block.quarter - _UNDERARM_MM)


def _armhole(block: _Block, inside_mm: float) -> Line:
    """From the underarm, level at first, up and square into the shoulder."""
    (tip_x, tip_y), (side_x, side_y) = block.tip, block.underarm
    across = _across(block, inside_mm)
    turn_y = side_y + 0.45 * (tip_y - side_y)
    pull = _QUARTER_ELLIPSE
    lower = bezier(
        block.underarm,
        (side_x - pull * (side_x - across), side_y),
        (across, turn_y - pull * (turn_y - side_y)),
        (across, turn_y),
    )
    third = (tip_y - turn_y) / 3
    square = (tip_x - third * block.slope, tip_y - third)
    upper = bezier((across, turn_y), (across, turn_y + third), square, block.tip)
    return lower + upper[1:]


def _neck(block: _Block, low_y: float) -> Line:
    """From the side of the neck down to the middle, which it meets squarely."""
    x, y = block.neck_point
    pull = _QUARTER_ELLIPSE
    return bezier((x, y), (x, y + pull * (low_y - y)), (pull * x, low_y), (0.0, low_y))


def _half(block: _Block, inside_mm: float, middle: Edge) -> tuple[Edge, ...]:
    waist_side = (block.waist_quarter, -block.length)
    armhole = _armhole(block, inside_mm)
    return (
        Edge("waist", ((0.0, -block.length), waist_side)),
        Edge("side", (waist_side, block.underarm)),
        Edge("armhole", armhole),
        Edge("shoulder", (block.tip, block.neck_point)),
        Edge("neck", _neck(block, middle.line[0][1])),
        middle,
    )


def _marked(edges: tuple[Edge, ...], back: bool) -> tuple[Edge, ...]:
    line = edges[2].line
    armhole = Armhole(length(line), length(line))
    marks = armhole.back_marks_mm if back else armhole.front_marks_mm
    return (*edges[:2], Edge("armhole", line, marks_mm=marks), *edges[3:])


def _front(setting: Setting, block: _Block) -> Pattern:
    low, high = (0.0, -block.length), (0.0, _NECK_RISE_MM - block.neck_depth)
    middle = Edge("centre front", (high, low), Role.FOLD)
    edges = _half(block, _ACROSS_FRONT_MM, middle)
    return Pattern(
        name=setting.named("bodice front"), edges=_marked(edges, back=False), grain=(low, high)
    )


def _back(setting: Setting, block: _Block, closing: str) -> Pattern:
    low, high = (0.0, -block.length), (0.0, 0.0)
    on_fold = closing == "none"
    middle = Edge("centre back", (high, low), Role.FOLD if on_fold else Role.OPENING)
    edges = _half(block, _ACROSS_BACK_MM, middle)
    return Pattern(
        name=setting.named("bodice back"),
        edges=_marked(edges, back=True),
        grain=(low, high),
        pair=not on_fold,
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
