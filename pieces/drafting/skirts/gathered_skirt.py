"""A gathered skirt: straight panels, gathered to the waist."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs
from pieces.drafting.fullness import MultipleOf, whole_asked
from pieces.drafting.growth import Growth, hem_told
from pieces.drafting.kind import DraftKind, gathered_strip
from pieces.drafting.openings import opening_below
from pieces.drafting.pattern import Pattern, Role
from pieces.drafting.skirts.skirts import (
    horsehair_for,
    layer_of,
    lining_checks,
    lining_length,
    lining_told,
    skirt_length,
    straight_skirt,
    waist,
    waist_checks,
    waist_step,
)
from pieces.drafting.strips import StripForm, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Flag, Length, LengthOrZero, Ratio
from pieces.piece import GrainRule
from pieces.seams import whole_length


@dataclass(frozen=True, slots=True, kw_only=True)
class GatheredSkirtOptions:
    """Options of a gathered skirt; each may be left out.

    Attributes
    ----------
    length : from waist to hem, without a band; waist to knee, 0.28 of the height (from memory)
    fullness : its width over the waist it is gathered to; 2 (usual for a child's, from memory; 3
        for one layer of tulle, a fabric shop's lesson)
    around : its width all round instead of a fullness, such as 4 yd; by the fullness
    multiple_of : what the fullness multiplies: the waist alone, or the waist and opening, with the
        zip's allowances; the waist
    strip_length : the widest a panel may be, as cut; as the least cloth takes
    joins : how many joins between panels, instead; as the least cloth takes
    more_joins : whether there may be more than the cloth's width asks for, where that saves cloth;
        true
    grain : lengthwise, so that the skirt's length runs along the cloth, crosswise for a border,
        or any; lengthwise
    horsehair : whether the hem is stiffened with horsehair braid; its length is told
    growth : none, or one size: the hem is then deeper, to be let down (a family magazine's advice
        of 1976, secondary copy)
    lining_shorter : by how much the lining ends above the hem; 0
    lining_hem_allowance : the shell's
    """

    length: Length | None = None
    fullness: Ratio = 2.0
    around: Length | None = None
    multiple_of: MultipleOf = "waist"
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    more_joins: Flag = True
    grain: Literal["lengthwise", "crosswise", "any"] = "lengthwise"
    horsehair: Flag = False
    growth: Growth = "none"
    lining_shorter: LengthOrZero = 0.0
    lining_hem_allowance: LengthOrZero | None = None


def draft_gathered_skirt(context: DraftContext, options: GatheredSkirtOptions) -> DraftResult:
    """Draft a gathered skirt for the waist of the bodice before it, or the body's.

    Steps
    -----
    1. Multiply the waist seam by the fullness, 2 (from memory), for the width all round; or take
       the width that is told.
    2. Divide it by the cloth's width (common practice) less a seam allowance at both ends, and
       round up: so many panels of equal width (*Dress Making*, NIMI, 2024).
    3. Draw a panel as a rectangle, 0.28 of the height long (from memory), less what the waist seam
       lies below the natural waist, plus what it lies above it.
    4. Notch its top in quarters and lay the grain down the middle (common practice).
    5. Draw a lining alike, as long as the skirt with a band below it, less what it is to be shorter
       (common practice).

    Raises
    ------
    OrderFault : measures are missing, or its panels can't be cut
    """
    needs = Needs(context)
    seam_mm = waist(needs)
    long = skirt_length(needs, options.length)
    lining_long = lining_length(needs, long, options.lining_shorter)
    whole = whole_asked(needs, options, seam_mm, options.multiple_of)
    known = context.named("skirt")
    panels = strips_asked(needs, options, known, whole, more_joins=options.more_joins)
    needs.settle()
    name = known if panels.count == 1 else context.named("skirt panel")
    rule = GrainRule(options.grain)

    def patterns(down_mm: float, lower: Role) -> tuple[Pattern, ...]:
        return strip_patterns(
            name,
            panels,
            StripForm(down_mm, rule, lower, "waist", opening_mm=opening_below(context)),
            last="of the last width",
        )

    shell, lining, deeper = straight_skirt(context, options, patterns, long, lining_long)
    checks = [waist_checks(context, shell, "waist", whole / seam_mm, seam_mm)]
    if lining:
        checks += lining_checks(context, shell, lining, "join", options.lining_shorter)
    return DraftResult(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        findings=(
            *lining_told(context, options.lining_shorter),
            *hem_told(context, name, deeper),
        ),
        hem_mm=whole_length(shell, "hem"),
        long_mm=long,
        steps=(waist_step(context, shell, "waist", seam_mm),),
        layer=layer_of(shell, lining, "waist", lining_long if lining else long),
        opens_mm=opening_below(context),
        notions=horsehair_for(context, shell, options.horsehair),
    )


KINDS = (
    DraftKind(
        name="gathered skirt",
        options=GatheredSkirtOptions,
        draft=draft_gathered_skirt,
        description="a straight skirt gathered to the waist",
        place=70,
        carries="skirt",
        at_waist=True,
        longer_top="fullness",
        wider_hem="fullness",
        strip=gathered_strip("top"),
        level=True,
    ),
)
