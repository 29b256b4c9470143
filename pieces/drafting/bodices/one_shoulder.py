"""A bodice on one shoulder: its neck slants from there to the underarm of the bare side."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import bezier, length
from pieces.drafting.bodices.bodice import (
    BodiceOptions,
    block_of,
    bust_dart_of,
    waist_drop,
    waist_edges,
)
from pieces.drafting.bodices.bodice_block import Block, armhole_line, dart_lines, side_line
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import bust_told
from pieces.drafting.context import Armhole, DraftContext, DraftResult, Needs, shell_and_lining
from pieces.drafting.growth import Growth
from pieces.drafting.kind import DraftKind, always, finishing
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Flag, Length, LengthOrZero
from pieces.piece import Finding, Join, Line, Piece, Point, Side, Stage
from pieces.seams import whole_length
from pieces.wording import choose

_STRAP_MM, _LEAST_STRAP_MM, _ZIP_MM = 60.0, 20.0, 20.0
_FROM_SHOULDER, _FROM_SIDE = 0.35, 0.4
"""Common practice; the last two are how far the neck keeps its direction at its ends."""
_NO_GROWTH: Growth = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class OneShoulderOptions:
    """Options of a bodice on one shoulder; each may be left out.

    Attributes
    ----------
    shoulder : the wearer's left or right, on which it hangs; left
    strap : what is left of that shoulder, from its point; 6 cm, or all of it (common practice)
    chest_ease : over the whole chest; 4 cm, so that the bare side does not gape (common practice)
    waist_ease : over the whole waist; 4 cm, within 1 to 2 in. (from memory)
    waist : natural, or high, an empire waist, as of a bodice
    length : from nape to waist seam; the back waist length for a natural waist
    darts : whether darts from the waist are drawn where they are needed; true
    bust_dart : whether a dart towards each bust point begins at the side, or none; side, for
        whoever has a bust_height and a bust_span (common practice)
    opening_allowance : at the side that opens for a zip, the bare one; 2 cm (common practice)
    """

    shoulder: Literal["left", "right"] = "left"
    strap: Length | None = None
    chest_ease: LengthOrZero = 40.0
    waist_ease: LengthOrZero = 40.0
    waist: Literal["natural", "high"] = "natural"
    length: Length | None = None
    darts: Flag = True
    bust_dart: Literal["side", "none"] = "side"
    opening_allowance: LengthOrZero = _ZIP_MM


def draft_one_shoulder(context: DraftContext, options: OneShoulderOptions) -> DraftResult:
    """Draft front and back of a bodice on one shoulder, whole, and a lining that finishes it.

    Steps
    -----
    1. Draw the halves of a sleeveless bodice with its darts (see `bodice`), and turn each over its
       middle for the bare side, from the waist up to the underarm (common practice).
    2. Leave 6 cm of the shoulder, from its point (common practice).
    3. Draw the neck from there square out of the shoulder, in one curve, square into the side seam
       at the bare underarm, so that it runs on over both seams (*A Complete Course in Dressmaking*,
       vol. 9, 1921, trues joined edges alike).
    4. Open the bare side for a zip, with 2 cm (common practice).
    5. Front and back are cut once, right side up; the lining is turned over, as its right side lies
       to the body (geometry).

    Raises
    ------
    OrderFault : measures are missing, or no such bodice can be drawn from them
    """
    needs = Needs(context)
    as_bodice = BodiceOptions(
        sleeveless=True,
        closing="none",
        chest_ease=options.chest_ease,
        waist_ease=options.waist_ease,
        waist=options.waist,
        length=options.length,
        darts=options.darts,
        bust_dart=options.bust_dart,
    )
    block = block_of(needs, as_bodice)
    needs.settle()
    require_drawable(needs, block)
    strap = min(_STRAP_MM if options.strap is None else options.strap, _shoulder(block))
    if strap < _LEAST_STRAP_MM:
        needs.refuse(
            "strap",
            f"A strap of {needs.told(strap)} is too narrow to be turned out.",
            "Give " + needs.such_as("strap", _LEAST_STRAP_MM) + " or more.",
        )
    needs.settle()
    drawn = [_pattern(needs, block, as_bodice, strap, front=front) for front in (True, False)]
    # A front seen from outside has the wearer's left at its right, a back at its left.
    turned = [options.shoulder == "right", options.shoulder == "left"]
    shell_of = [_over(one) if over else one for one, over in zip(drawn, turned, strict=True)]
    allowances = shell_allowances(context, options.opening_allowance)
    inside = [_over(one) for one in shell_of]
    shell, lining = shell_and_lining(context, (shell_of, allowances), (inside, allowances))
    bare = next(edge for edge in drawn[1].edges if edge.name == "bare side")
    return DraftResult(
        pieces=shell + lining,
        joins=(*_joins(shell), *(_joins(lining) if lining else ())),
        findings=(
            *bust_told(context, "the bodice", block, options.bust_dart),
            *_told(context, options, lined=bool(lining)),
        ),
        waist_mm=whole_length(shell, "waist"),
        waist_drop_mm=waist_drop(context, as_bodice, block),
        opens_mm=length(bare.line),
        opens_at="side",
        name=context.named("bodice"),
    )


def _shoulder(block: Block) -> float:
    return math.dist(block.tip, block.neck_point)


def _pattern(
    needs: Needs, block: Block, options: BodiceOptions, strap: float, *, front: bool
) -> Pattern:
    """Front or back with its shoulder at x above 0, and the bare side below."""
    dart = bust_dart_of(needs, block, options) if front else None
    side = dart.edges() if dart else (Edge("side", side_line(block)),)
    below = (*waist_edges(block, _NO_GROWTH, front=front), *side)
    armhole = armhole_line(block, front=front)
    whole = Armhole(length(armhole), length(armhole))
    marks = whole.front_marks_mm if front else whole.back_marks_mm
    (tip_x, tip_y), slope = block.tip, math.radians(block.slope_deg)
    start = tip_x - strap * math.cos(slope), tip_y + strap * math.sin(slope)
    bare = [_bare(_mirrored(edge)) for edge in reversed(below)]
    legs = [*dart_lines(block, front=front), *(dart.legs if dart else ())]
    neck = _neck(block, start, bare[0].line[0], front=front)
    edges = (
        *below,
        Edge("armhole", armhole, marks_mm=marks),
        Edge("shoulder", (block.tip, start)),
        Edge("neck", neck),
        *bare,
    )
    low = below[0].line[0]
    return Pattern(
        name=needs.context.named(f"one-shoulder {'front' if front else 'back'}"),
        edges=edges,
        grain=(low, (0.0, -block.scye_depth)),
        drawn_lines=(*legs, *(tuple((-x, y) for x, y in line) for line in legs)),
    )


def _neck(block: Block, start: Point, end: Point, *, front: bool) -> Line:
    """Square out of the shoulder, and square into the side at the bare underarm."""
    slope, away = math.radians(block.slope_deg), math.dist(start, end)
    lean = block.lean_of(front=front)
    out, in_ = _FROM_SHOULDER * away, _FROM_SIDE * away / math.hypot(1.0, lean)
    return bezier(
        start,
        (start[0] - out * math.sin(slope), start[1] - out * math.cos(slope)),
        (end[0] + in_, end[1] + in_ * lean),
        end,
        sewn=True,
    )


def _bare(edge: Edge) -> Edge:
    """An edge of the bare side, whose side seam has a name of its own and a zip, over its dart."""
    names = {"side": "bare side", "bust dart": "bust dart"}
    if edge.name not in names:
        return edge
    return replace(edge, name=names[edge.name], role=Role.OPENING)


def _mirrored(edge: Edge) -> Edge:
    """An edge turned over the middle, run the other way."""
    long = length(edge.line)
    line = tuple((-x, y) for x, y in reversed(edge.line))
    marks = tuple(long - mark for mark in reversed(edge.marks_mm))
    return replace(edge, line=line, marks_mm=marks)


def _over(pattern: Pattern) -> Pattern:
    """A pattern turned over."""
    return replace(
        pattern,
        edges=tuple(_mirrored(edge) for edge in reversed(pattern.edges)),
        drawn_lines=tuple(tuple((-x, y) for x, y in line) for line in pattern.drawn_lines),
    )


def _joins(pair: tuple[Piece, ...]) -> tuple[Join, ...]:
    front, back = pair
    return tuple(
        Join(
            what=f"{what} seam, {front.name} to {back.name}",
            this=Side(front.name, seam),
            that=Side(back.name, seam),
            turned=True,  # one of the two is drawn turned over
            stage=stage,
        )
        for what, seam, stage in (
            ("side", "side", Stage.SIDES),
            ("bare side", "bare side", Stage.CLOSURE),
            ("shoulder", "shoulder", Stage.SHOULDERS),
        )
    )


def _told(
    context: DraftContext, options: OneShoulderOptions, *, lined: bool
) -> tuple[Finding, ...]:
    """Where it opens, and what finishes it: codes ``opens-at-side`` and ``edge-unfinished``."""
    bare = "right" if options.shoulder == "left" else "left"
    found = [
        context.finding(
            "opens-at-side",
            f"the bodice opens at the wearer's {bare} side, for a zip; a skirt below it opens "
            "there too: "
            + choose("opening", "side")
            + " at a flared skirt, or leave a join of another at that side.",
            "shoulder",
        )
    ]
    if not lined:
        found.append(
            context.finding(
                "edge-unfinished",
                "nothing in the order finishes neck and armhole of the bodice. Give it a lining.",
                "lining",
            )
        )
    return tuple(found)


KINDS = (
    DraftKind(
        name="one-shoulder bodice",
        options=OneShoulderOptions,
        draft=draft_one_shoulder,
        description="a bodice on one shoulder, whose neck slants to the other underarm",
        place=12,
        gives_waist=always("waist"),
        finishes=finishing("waist"),
    ),
)
