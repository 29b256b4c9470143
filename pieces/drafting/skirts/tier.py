"""Gathered tiers: strips joined to a ring and gathered to the waist or to the tier above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, Remainder, lined_apart
from pieces.drafting.fullness import MultipleOf, line_of, on_line, whole_asked
from pieces.drafting.kind import DraftKind, always, gathered_strip
from pieces.drafting.openings import opening_below
from pieces.drafting.pattern import Role
from pieces.drafting.skirts.skirts import (
    edge_step,
    lower_role,
    shell_allowances,
    skirt_length,
    waist,
)
from pieces.drafting.strips import (
    StripForm,
    longest_strip,
    strip_patterns,
    strips_asked,
    whole_strips,
)
from pieces.fields import CountOrZero, Flag, Length, Ratio
from pieces.geometry import SAME_MM
from pieces.piece import GrainRule, Piece, SeamCheck, Stage
from pieces.seams import compare, whole_length
from pieces.wording import choose, key


@dataclass(frozen=True, slots=True, kw_only=True)
class TierOptions:
    """Options of a tier; each may be left out.

    Attributes
    ----------
    depth : finished; the length from waist to knee (0.28 of the height, from memory) shared
        evenly between the tiers of the skirt
    fullness : its length over what it is gathered to; 1.5 (each tier 1.5 to 2 times the one
        above: Dress Making, NIMI, 2024)
    strip_length : the longest strip it may be joined from, as cut; as the least cloth takes
    joins : how many joins it is to have, instead; as the least cloth takes
    more_joins : whether it may have more than the cloth's width asks for, where that saves cloth;
        true
    strips : "each tier on its own" shares its length evenly between its strips; "joined end to
        end" takes whole strips, and the next tier, which must be as deep, goes on with what is
        left of the last. All of them are cut with the hem's allowance below, or the seam's if
        that is more
    grain : lengthwise if the depth must run along the cloth, crosswise if across, or any; any
    at_waist : whether it begins a new skirt at the waist; a tier that follows another is
        otherwise sewn to that one
    at_hem : whether it is sewn to the hem of the skirt before it, of whatever cloth that is
    line : how far below the waist seam it is sewn to the lining of the skirt before it, or to that
        skirt if it has none; it is sewn elsewhere
    around : its length all round instead of a fullness, such as 4 yd; by the fullness
    multiple_of : what the fullness multiplies: the waist alone, or the waist and opening, with the
        zip's allowances; the waist
    """

    depth: Length | None = None
    fullness: Ratio = 1.5
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    more_joins: Flag = True
    strips: Literal["each tier on its own", "joined end to end"] = "each tier on its own"
    grain: Literal["any", "lengthwise", "crosswise"] = "any"
    at_waist: Flag = False
    at_hem: Flag = False
    line: Length | None = None
    around: Length | None = None
    multiple_of: MultipleOf = "waist"


def draft_tier(context: DraftContext, options: TierOptions) -> DraftResult:
    """Draft a tier for the waist, or for the lower edge of the tier before it.

    Steps
    -----
    1. Multiply the waist seam, or the lower edge of the tier above laid flat, by the fullness, 1.5
       (1.5 to 2: *Dress Making*, NIMI, 2024).
    2. For the depth take 0.28 of the height (from memory), less what the waist seam lies below the
       natural waist, plus what it lies above it, and share it evenly between the tiers.
    3. For a tier on its own divide the length by the cloth's width (common practice) less a seam
       allowance at both ends, and round up: so many equal strips (NIMI, 2024).
    4. For tiers joined end to end take first what the tier above left over, and the rest in whole
       strips; what the last of them has over goes to the tier below (common practice).
    5. Draw a strip as a rectangle, its grain across, with its top notched in quarters. It has a
       hem below, or a seam where something is sewn on; joined end to end the larger of the two
       (common practice).

    Raises
    ------
    OrderFault : measures are missing, or its strips can't be cut
    """
    needs = Needs(context)
    context, edge_mm = _edge(needs, options)
    depth = needs.enough(
        "depth", _share(needs, options) if options.depth is None else options.depth
    )
    whole = whole_asked(needs, options, edge_mm, options.multiple_of)
    on_its_own = options.strips == "each tier on its own"
    name = context.named(f"tier {context.number}")
    if on_its_own:
        strips = strips_asked(needs, options, name, whole, more_joins=options.more_joins)
        taken_over = left = 0.0
    else:
        taken_over = _taken_over(needs, depth)
        strips, left = whole_strips(needs, whole, _whole_strip(needs, options), taken_over)
    needs.settle()
    at_waist = context.edge_mm is None and options.line is None
    stage = Stage.WAIST if at_waist else Stage.TRIMS
    lower = lower_role(context) if on_its_own else Role.HEM
    opening = opening_below(context) if at_waist else 0.0
    rule, asked = GrainRule(options.grain), max(0.0, whole - taken_over)
    patterns = strip_patterns(
        name, strips, StripForm(depth, rule, lower, "top", opening_mm=opening), whole_mm=asked
    )
    part = context.part
    allowances = shell_allowances(context)
    if not on_its_own:
        allowances = replace(allowances, hem_mm=max(allowances.hem_mm, allowances.seam_mm))
    # Where the tier above left enough, no strip is cut for this one.
    shell, lining = lined_apart(context, patterns if strips.count else (), allowances)
    checks = [
        check
        for pieces in filter(None, (shell, lining))
        for check in _checks(context, whole, pieces, taken_over - left, edge_mm)
    ]
    return DraftResult(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        hem_mm=whole,
        name=name,
        long_mm=depth + (options.line or 0.0),
        steps=(edge_step(context, f"top of {name}", whole, edge_mm, stage),),
        opens_mm=min(opening, depth),
        left=None if on_its_own else Remainder(left, depth, part.fabric, part.lining),
    )


def _checks(
    context: DraftContext,
    whole_mm: float,
    pieces: Sequence[Piece],
    taken_over_mm: float,
    edge_mm: float,
) -> tuple[SeamCheck, SeamCheck]:
    """A tier's strips, with what it takes over less what it leaves, gathered; and its length."""
    long_mm = whole_length(pieces, "top") + taken_over_mm
    return (
        compare(
            f"top of {pieces[0].name}, gathered, to {context.edge}",
            context.garment,
            long_mm * edge_mm / whole_mm,
            edge_mm,
        ),
        compare(
            f"strips of {pieces[0].name} joined, to its length",
            context.garment,
            whole_length(pieces, "hem") + taken_over_mm,
            whole_mm,
        ),
    )


def _whole_strip(needs: Needs, options: TierOptions) -> float:
    """How long a strip is of those that are joined end to end."""
    if options.joins is not None:
        needs.refuse(
            "joins",
            "Strips that go on from tier to tier are as long as may be.",
            "Take joins out, or " + choose("strips", "each tier on its own") + ".",
        )
    return longest_strip(needs.context, options, needs.context.cutting)


def _taken_over(needs: Needs, depth: float) -> float:
    """What the tier above left of its last strip, if that is of the same cloth."""
    left, part = needs.context.left, needs.context.part
    if left is None or (left.fabric, left.lining) != (part.fabric, part.lining):
        return 0.0
    if abs(left.depth_mm - depth) > SAME_MM:
        needs.refuse(
            "depth",
            f"This tier is {needs.told(depth)} deep and the one above "
            f"{needs.told(left.depth_mm)}: they can't be cut from one strip.",
            "Give both the same depth, or " + choose("strips", "each tier on its own") + ".",
        )
    return left.length_mm


def _edge(needs: Needs, options: TierOptions) -> tuple[DraftContext, float]:
    """What it is sewn to: the waist, what hangs above, or a line on a lining; and that named."""
    context = needs.context
    if sum((options.at_waist, options.at_hem, options.line is not None)) > 1:
        needs.refuse(
            "at_waist",
            "A tier is sewn to the waist, to a hem or to a line on a lining, not to two of them.",
            "Keep one of " + key("at_waist") + ", " + key("at_hem") + " and line.",
        )
        needs.settle()
    if options.line is not None:
        edge_mm, layer = line_of(needs, options.line)
        return replace(context, edge=on_line(context, options.line, layer)), edge_mm
    if options.at_hem and context.edge_mm is None:
        needs.refuse(
            "at_hem",
            "There is no skirt before it with a hem to sew it to.",
            "Put that part before it, or take " + key("at_hem") + " out.",
        )
        needs.settle()
    return context, waist(needs) if context.edge_mm is None else context.edge_mm


def _share(needs: Needs, options: TierOptions) -> float:
    """How deep it is where the order doesn't tell: to the knee, or down the lining it is on."""
    layer, tiers = needs.context.layer, needs.context.tiers
    if options.line is not None and layer is not None:
        return (layer.long_mm - options.line) / tiers
    if options.at_hem:
        needs.refuse(
            "depth",
            "How deep a tier is that lengthens another skirt can't be told from the body.",
            f"Give its depth, such as {needs.told(150.0)}.",
        )
        return 0.0
    return skirt_length(needs, None, "depth") / tiers


KINDS = (
    DraftKind(
        name="tier",
        options=TierOptions,
        draft=draft_tier,
        description="one gathered tier of a skirt",
        place=110,
        hangs_at=always("skirt"),
        carries="skirt",
        at_waist=True,
        tiered=True,
        longer_top="fullness",
        wider_hem="fullness",
        strip=gathered_strip("edge"),
    ),
)
