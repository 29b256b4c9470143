"""A bodice, with darts or panels where needed, open in the middle or on the fold."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import length
from pieces.drafting.bodices.bodice_block import Block, dart_lines, side_line, waist_lines
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import (
    BustDart,
    BustOptions,
    bust_told,
    dart_at_side,
    over_bust,
    to_shoulder,
)
from pieces.drafting.bodices.style_lines import BAND_MM, cut_out, princess
from pieces.drafting.bodices.upper import (
    belly_mm,
    neck_told,
    opening_mm,
    upper_block,
    upper_given,
    upper_halves,
    upper_joins,
    upper_pattern,
)
from pieces.drafting.context import LEAST_MM, DraftContext, DraftResult, Half, Needs, lined_apart
from pieces.drafting.growth import SIDE_MM, WAIST_MM, Growth, bodice_told
from pieces.drafting.kind import DraftKind, always, finishing
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Flag, Length, LengthOrZero
from pieces.piece import Finding, Join, Piece, Point, SeamCheck, Stage
from pieces.seams import compare, whole_length
from pieces.wording import choose, either, key

_HIGH_WAIST_MM = 50.0
"""Below the underarm; common practice."""
_ABOVE_WAIST_MM, _CUT_OUT_WIDE = 40.0, 0.8
"""From a cut-out to the waist at least, and its width over its depth; common practice."""
_UNDER_BUST_MM = 75.0
"""Of a high waist below a bust point; common practice."""
_LEAST_PRINCESS_MM, _LEAST_PANEL_MM, _GRAIN_IN_MM = 8.0, 40.0, 15.0
"""What a princess seam takes in at least, the shortest side beside one, and from that seam to the
grain drawn in a side panel; common practice."""
_SIDE_TAKES_MM, _SIDE_LEANS, _SIDE_SHARE = 20.0, 0.12, 0.4
_LEAST_DART_MM, _MOST_DART_MM, _LEAST_DARTED_MM = 6.0, 35.0, 80.0
"""What the side takes in of a quarter, or that share of its length, a dart takes the rest; below a
bust the side takes that share of what is taken in. Common practice, as are the least and greatest
dart and the shortest side that has one."""
_LEAST_SIDE_MM = 20.0
"""Of a side seam; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BodiceOptions(BustOptions):
    """Options of a bodice; each may be left out.

    Attributes
    ----------
    waist_ease : over the whole waist; 4 cm, within 1 to 2 in. (from memory)
    waist : natural, or high, an empire waist: the seam then lies 5 cm below the underarm, or less
        where that is near the waist, and at least 2 cm, and 7.5 cm below a bust point (common
        practice)
    length : from nape to waist seam; the back waist length for a natural waist
    style : plain, or princess, in panels: a seam from the armhole to the waist takes the dart in
        front and behind, 8 mm at least (common practice); plain
    darts : whether darts from the waist take what would slant the side seam by more than an eighth
        or so; true, and they are drawn only where it would (common practice)
    cut_out : how deep an opening is that is cut out of the back, 3 cm below its neck, where a hook
        closes it, and 0.8 times as wide; none (common practice)
    growth : none, or one size: side seams and waist seam are then wider, to be let out (a family
        magazine's advice of 1976, secondary copy)
    """

    waist_ease: LengthOrZero = 40.0
    waist: Literal["natural", "high"] = "natural"
    length: Length | None = None
    style: Literal["plain", "princess"] = "plain"
    darts: Flag = True
    cut_out: Length | None = None
    growth: Growth = "none"


def draft_bodice(context: DraftContext, options: BodiceOptions) -> DraftResult:
    """Draft a bodice, and its lining if one is asked for.

    Half of front and back are drawn; a lining is the same again.

    Steps
    -----
    1. Mark the nape on an upright, the middle, and the waist seam below it by the back waist
       length. A high seam lies 5 cm below the underarm instead, or 0.6 of the way from there to the
       natural waist if that is less (common practice).
    2. Square across at the scye's depth below the nape, chest / 8 + 2 1/2 in. (Indian teaching
       notes) or a quarter of the chest if that is less, 1 cm less if sleeveless (common practice).
       A quarter of the chest and 1, 1.25 or 1.5 cm out is the underarm (a British flat block as
       quoted by a sewing blog, 2009).
    3. Mark the side of the neck neck / 6 + 5 mm out (a pattern teaching site), or chest / 12 + 1/4
       in. where the neck is not known (Indian teaching notes), and a third of that above the nape:
       1.5 cm at 4.9 cm (the same site).
    4. Draw the shoulder from there in its length, 15 degrees below the level (from memory). A boat
       neck begins 45 percent of that length further out (common practice).
    5. Draw the front neck, chest / 8 below the side of the neck (Indian teaching notes), 3 cm more
       for a V, only 3 cm for a boat (common practice): square out of the shoulder, level in the
       middle, as wide an arc as there is room for between; a V all but straight; a square one down
       and across. The back neck starts so that both make one line over the shoulder (*A Complete
       Course in Dressmaking*, vol. 9, 1921, p. 22) and is drawn alike, down to the nape, or below
       it by what a wide neck has come down at its side (common practice).
    6. Draw the armhole: square out of the side seam, upright 0.45 of the way up, there half of
       across front and across back from the middle, or where these are not known 0.88 of the way
       to the shoulder's point in front and 0.92 behind, at least 1.5 cm inside the underarm, and
       square into the shoulder. Notch it at 0.4 of its length, behind again 8 mm above (common
       practice).
    7. Square across at the waist seam a quarter of the waist and of its ease of 4 cm (1 to 2 in.,
       from memory), to a high waist by its share of the way; draw the side towards it, upright
       where it ends. In front the seam dips in the middle by up to 1.5 cm, 1 cm where the waist is
       0.92 of the chest (a pattern teaching site's block has 1 cm), none at 0.8 (common practice).
    8. Where a quarter of the chest is wider than that of the waist by more than 2 cm and 0.12 of
       the side, let a dart take the rest of it, 3.5 cm at most, halfway to the armhole and up to
       2.5 cm below the underarm in front, 5 mm behind; draw the waist square to its legs (common
       practice).
    9. Put the middle on the fold, or where it opens add 2 cm for a zip (common practice), 4 cm for
       buttons (Scientific Sewing and Garment Cutting, School Needlework): there draw the line at
       which half of it is folded back, the middle, and buttonholes across it 6 cm apart, the first
       and last 1.5 cm from neck and waist; its ends are mirrored at the fold (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no bodice can be drawn from them
    """
    needs = Needs(context)
    block = block_of(needs, options)
    needs.settle()
    require_drawable(needs, block)
    short = block.length - block.scye_depth < _LEAST_PANEL_MM
    if options.style == "princess" and short and not needs.faults:
        needs.refuse(
            "style",
            "From underarm to waist there is no room for a princess line to take in the waist.",
            choose("waist", "natural") + ", give a longer length, or take style out.",
        )
    needs.settle()
    dart = bust_dart_of(needs, block, options)
    more = SIDE_MM if options.growth != "none" else 0.0
    drawn = upper_halves(
        context,
        block,
        options.closing,
        "bodice",
        lambda front: (
            *waist_edges(block, options.growth, front=front),
            *(
                dart.edges(more)
                if front and dart
                else (Edge("side", side_line(block), more_mm=more),)
            ),
        ),
    )
    if options.cut_out is not None:
        drawn = (drawn[0], _cut_out(needs, drawn[1], options.cut_out, block))
        needs.settle()
    opening = opening_mm(options)
    halves, patterns = _cut(context, options, block, drawn, dart)
    shell, lining = lined_apart(context, patterns, shell_allowances(context, opening))
    checks = _lining_checks(context, shell, lining) if lining else []
    return DraftResult(
        pieces=shell + lining,
        joins=(*upper_joins(shell, halves), *_panel_joins(halves)),
        seam_checks=tuple(checks),
        findings=(
            *neck_told(context, options, whole_length(shell, "neck")),
            *bust_told(context, "the bodice", block, options.bust_dart),
            *bodice_told(context, options.growth),
            *_cut_out_told(context, options),
        ),
        bodice=upper_given(block, options, halves),
        waist_mm=whole_length(shell, "waist"),
        waist_drop_mm=waist_drop(context, options, block),
    )


def bust_dart_of(needs: Needs, block: Block, options: BodiceOptions) -> BustDart | None:
    """The dart in the side of a front over a bust; to the bust point where it is pivoted."""
    if block.bust is None:
        return None
    short = options.style == "plain" and options.bust_dart == "side"
    bottom = block.waist_side_of(front=True)
    return dart_at_side(needs, block, bottom, 0.0, length(side_line(block)), short=short)


def _cut(
    context: DraftContext,
    options: BodiceOptions,
    block: Block,
    drawn: tuple[Half, Half],
    bust: BustDart | None,
) -> tuple[tuple[Half, Half], list[Pattern]]:
    """The halves as they are cut, whole or in panels, and the patterns of that."""
    opening = opening_mm(options)
    if options.style == "plain":
        darts = [dart_lines(block, front=front) for front in (True, False)]
        if bust is not None:
            front, legs = drawn[0], bust.legs
            if options.bust_dart == "shoulder":
                front, legs = to_shoulder(front, bust)
            drawn, darts = (front, drawn[1]), [(*darts[0], *legs), darts[1]]
        whole = zip(drawn, darts, strict=True)
        return drawn, [upper_pattern(half, opening, lines) for half, lines in whole]
    halves, patterns = [], []
    for half, which in zip(drawn, ("front", "back"), strict=True):
        in_front = which == "front"
        beside_middle, beside_side = princess(
            half, block.apex(front=in_front), bust if in_front else None
        )
        name = context.named(f"bodice side {which}")
        patterns.append(replace(upper_pattern(half, opening), edges=beside_middle))
        patterns.append(
            Pattern(name=name, edges=beside_side, grain=_side_grain(beside_side), pair=True)
        )
        panels = (
            (half.name, tuple(edge.name for edge in beside_middle)),
            (name, tuple(edge.name for edge in beside_side)),
        )
        halves.append(replace(half, panels=panels))
    return (halves[0], halves[1]), patterns


def _cut_out(needs: Needs, back: Half, depth: float, block: Block) -> Half:
    """The back with its cut-out, or a fault where it has no middle to cut into."""
    room = length(back.middle.line) - BAND_MM - _ABOVE_WAIST_MM
    if back.middle.role is not Role.OPENING:
        needs.refuse(
            "cut_out",
            "A cut-out lies on the opening in the middle of the back, and there is none.",
            choose("closing", "zip") + ", or give a " + key("back_neck_depth") + " for a low back.",
        )
    elif not LEAST_MM < depth <= room:
        needs.refuse(
            "cut_out",
            f"A cut-out {needs.told(depth)} deep does not fit between neck and waist.",
            f"Give {needs.told(max(0.0, room))} or less, or take it out.",
        )
    wide = min(_CUT_OUT_WIDE * depth, block.across(front=False))
    return back if needs.faults else cut_out(back, depth, wide)


def _cut_out_told(context: DraftContext, options: BodiceOptions) -> tuple[Finding, ...]:
    """That nothing finishes a cut-out: code ``edge-unfinished``."""
    if options.cut_out is None or context.part.lining is not None:
        return ()
    told = context.finding(
        "edge-unfinished",
        "nothing in the order finishes the cut-out in the back. Give the bodice a lining, or bind "
        "it: "
        + either(
            'a part with draft = "bias binding" and its length', "a bias binding and its length"
        )
        + " length.",
        "lining",
    )
    return (told,)


def _side_grain(edges: tuple[Edge, ...]) -> tuple[Point, Point]:
    """The grain of a side panel: upright, beside the seam, from the waist to its armhole."""
    low, high = edges[0].line[0], edges[-1].line[0]
    return ((low[0] + _GRAIN_IN_MM, low[1]), (low[0] + _GRAIN_IN_MM, high[1]))


def _panel_joins(halves: tuple[Half, Half]) -> tuple[Join, ...]:
    return tuple(
        Join(
            what=f"princess seam, {this.piece} to {that.piece}",
            this=this,
            that=that,
            turned=True,
            stage=Stage.SHAPE,
        )
        for half in halves
        if half.panels
        for this, that in [half.sides("princess")]
    )


def waist_edges(block: Block, growth: Growth, *, front: bool) -> tuple[Edge, ...]:
    """The waist seam, parted by its dart, whose legs are notched."""
    lines = waist_lines(block, front=front)
    more = WAIST_MM if growth != "none" else 0.0
    if len(lines) == 1:
        return (Edge("waist", lines[0], more_mm=more),)
    to_dart, mouth, on = lines
    legs = (0.0, length(mouth))
    return (
        Edge("waist", to_dart, more_mm=more),
        Edge("waist dart", mouth, marks_mm=legs, more_mm=more),
        Edge("waist", on, more_mm=more),
    )


def _dart_mm(options: BodiceOptions, shift: float, side: float, *, bust: bool) -> float:
    """What a dart takes of a quarter: what would slant the side seam too much."""
    if options.style == "princess":
        takes = _SIDE_SHARE * shift if bust else _SIDE_TAKES_MM
        return min(_MOST_DART_MM, max(_LEAST_PRINCESS_MM, shift - takes))
    if options.darts is False or side < _LEAST_DARTED_MM:
        return 0.0
    takes = _SIDE_SHARE * shift if bust else max(_SIDE_TAKES_MM, _SIDE_LEANS * side)
    dart = min(_MOST_DART_MM, shift - takes)
    return dart if dart >= _LEAST_DART_MM else 0.0


def block_of(needs: Needs, options: BodiceOptions) -> Block:
    """The lengths of a bodice, from the wearer's measures; what is lacking goes to `needs`."""
    upper = over_bust(needs, upper_block(needs, options, "The bodice"), options)
    if options.style == "princess" and upper.bust is not None:
        upper = replace(upper, bust=replace(upper.bust, short=0.0))
    waist = needs.measure("waist", "The bodice")
    length_mm, tapered = _waist_seam(needs, options, upper)
    waist_quarter = (waist + options.waist_ease) / 4
    belly = options.front_longer
    if belly is None:
        belly = tapered * belly_mm(needs.context.body.chest or 0.0, waist)
    waist_quarter = upper.quarter + tapered * (waist_quarter - upper.quarter)
    return replace(
        upper,
        waist_quarter=waist_quarter,
        dart=_dart_mm(
            options,
            upper.quarter - waist_quarter,
            length_mm - upper.scye_depth,
            bust=upper.bust is not None,
        ),
        length=length_mm,
        belly=belly,
    )


def _waist_seam(needs: Needs, options: BodiceOptions, upper: Block) -> tuple[float, float]:
    """From nape to waist seam, and how much of the way from underarm to natural waist that is."""
    if options.waist == "natural":
        return options.length or needs.measure("back_waist", "The bodice"), 1.0
    natural = needs.measure("back_waist", "A high waist")
    scye_depth = upper.scye_depth
    side = natural - scye_depth
    usual = scye_depth + max(_LEAST_SIDE_MM, min(_HIGH_WAIST_MM, 0.6 * side))
    if upper.bust is not None:
        under = _UNDER_BUST_MM - upper.bust_point[1] - upper.bust.longer
        usual = max(usual, min(under, natural - _LEAST_SIDE_MM))
    high = options.length or usual
    if high > natural and not needs.faults:
        needs.refuse(
            "length",
            f"At {needs.told(high)} the waist seam is below the natural waist.",
            "Give a shorter length, or " + choose("waist", "natural") + ".",
        )
    return high, (high - scye_depth) / side if side > 0 else 1.0


def waist_drop(context: DraftContext, options: BodiceOptions, block: Block) -> float:
    """How far its waist seam lies below the natural waist; less than 0 for a high one."""
    natural = context.body.back_waist
    return 0.0 if options.waist == "natural" or natural is None else block.length - natural


def _lining_checks(
    context: DraftContext, shell: tuple[Piece, ...], lining: tuple[Piece, ...]
) -> list[SeamCheck]:
    return [
        compare(
            f"{name}, {context.named('bodice')} lining to shell",
            context.garment,
            whole_length(lining, name),
            whole_length(shell, name),
        )
        for name in ("neck", "armhole", "side", "shoulder", "waist")
    ]


KINDS = (
    DraftKind(
        name="bodice",
        options=BodiceOptions,
        draft=draft_bodice,
        description="a bodice to the waist, sleeveless or for sleeves, with darts where needed",
        place=10,
        gives_waist=always("waist"),
        gives_bodice=True,
        finishes=finishing("waist"),
    ),
)
