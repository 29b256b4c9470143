"""A pleated skirt: straight panels laid in knife, box or inverted pleats at the waist."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.counts import at_least, at_most
from pieces.drafting.context import DraftContext, DraftResult, Needs
from pieces.drafting.growth import Growth, hem_told
from pieces.drafting.kind import DraftKind
from pieces.drafting.openings import opening_below
from pieces.drafting.pattern import Pattern, Role
from pieces.drafting.skirts.pleats import FOLDS, Pleats, fold_places, pleats_across
from pieces.drafting.skirts.skirts import (
    lining_checks,
    lining_length,
    lining_told,
    skirt_length,
    straight_skirt,
    waist,
    waist_step,
)
from pieces.drafting.strips import StripForm, Strips, strip_pattern
from pieces.fields import Length, LengthOrZero
from pieces.piece import Finding, GrainRule, How, Piece, SeamCheck, Strip
from pieces.seams import compare, whole_length
from pieces.wording import key

_MOST_PANELS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class PleatedSkirtOptions:
    """Options of a pleated skirt; each may be left out.

    Attributes
    ----------
    kind : knife, box or inverted
    length : from waist to hem, without a band; waist to knee, 0.28 of the height (from memory)
    pleat_width : as it shows, corrected so that a whole number of pleats goes round; 4 cm for
        knife pleats, 8 cm for the others (common practice)
    pleat_depth : of each fold; the pleat's width for knife pleats, which makes the usual 3 to 1
        (*Dress Making*, NIMI, 2024), half of it for the others, whose folds then meet behind
    strip_length : the widest a panel may be, as cut; as wide as the cloth
    grain : lengthwise, so that the skirt's length runs along the cloth, crosswise, or any;
        lengthwise
    growth : none, or one size: the hem is then deeper, to be let down (a family magazine's advice
        of 1976, secondary copy)
    lining_shorter : by how much the lining ends above the hem; 0
    lining_hem_allowance : the shell's
    """

    kind: Literal["knife", "box", "inverted"] = "knife"
    length: Length | None = None
    pleat_width: Length | None = None
    pleat_depth: Length | None = None
    strip_length: Length | None = None
    grain: Literal["lengthwise", "crosswise", "any"] = "lengthwise"
    growth: Growth = "none"
    lining_shorter: LengthOrZero = 0.0
    lining_hem_allowance: LengthOrZero | None = None


def draft_pleated_skirt(context: DraftContext, options: PleatedSkirtOptions) -> DraftResult:
    """Draft a pleated skirt for the bodice or yoke before it, or for the body's waist.

    Steps
    -----
    1. Divide the waist seam by a pleat's width, 4 cm for knife pleats and 8 cm for others (common
       practice), take the nearest whole number, of two as near the greater, and correct the width
       to it (*Dress Making*, NIMI, 2024). It is the same whatever cloth it is cut from.
    2. Add to the waist seam twice the depth for each knife pleat, four times for each box or
       inverted pleat (NIMI, 2024). The depth is the width before it was corrected (NIMI, 2024), or
       half of it for box and inverted pleats, whose folds then meet behind (common practice).
    3. Share that between as few panels as stay within the cloth with their seams. Each has whole
       pleats, so that joins lie between them, as many as another or one fewer (common practice).
    4. Draw a panel as a rectangle, 0.28 of the height long (from memory), less what the waist seam
       lies below the natural waist, plus what it lies above it.
    5. Notch the top, with a line down, at each fold and where it is laid to. Knife and inverted
       pleats are folded first half a width from the join, a box pleat first twice its depth from it
       (geometry).
    6. Draw a lining alike, as long as the skirt with a band below it, less what it is to be
       shorter; it is pleated with the skirt (common practice).

    Raises
    ------
    OrderFault : measures are missing, or its panels can't be cut
    """
    needs = Needs(context)
    seam_mm = waist(needs)
    long = skirt_length(needs, options.length)
    lining_long = lining_length(needs, long, options.lining_shorter)
    width = options.pleat_width or (40.0 if options.kind == "knife" else 80.0)
    depth = options.pleat_depth or width / FOLDS[options.kind]
    needs.enough("pleat_width", width)
    needs.settle()
    pleats = pleats_across(seam_mm, depth, width, options.kind)
    panels = _panels(needs, options, depth, pleats)
    needs.settle()
    ends = 2 * context.part.seam_allowance_mm
    name = context.named("skirt" if sum(panels.values()) == 1 else "skirt panel")
    strip = Strip(name, pleats.pattern, ends)

    def patterns(down_mm: float, lower: Role) -> list[Pattern]:
        found = []
        for each, (count, cut) in enumerate(panels.items()):
            wide_mm = pleats.pattern * count / pleats.count
            pattern = strip_pattern(
                f"{name} with fewer pleats" if each else name,
                Strips(cut, wide_mm),
                StripForm(
                    down_mm,
                    GrainRule(options.grain),
                    lower,
                    "waist",
                    opening_mm=opening_below(context),
                ),
                pleats_mm=fold_places(pleats, depth, options.kind, count),
            )
            joins = 0 if each else sum(panels.values()) - 1
            found.append(replace(pattern, strip=strip, joins=joins))
        return found

    shell, lining, deeper = straight_skirt(context, options, patterns, long, lining_long)
    taken = 2 * depth * FOLDS[options.kind] * pleats.count
    checks = [_waist_check(context, shell, taken, seam_mm)]
    if lining:
        checks += lining_checks(context, shell, lining, "join", options.lining_shorter)
    return DraftResult(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        findings=_findings(context, options.kind, depth, pleats.width)
        + lining_told(context, options.lining_shorter)
        + hem_told(context, name, deeper),
        hem_mm=whole_length(shell, "hem"),
        long_mm=long,
        steps=(waist_step(context, shell, "waist", seam_mm, How.PLEATED),),
        opens_mm=opening_below(context),
    )


def _panels(
    needs: Needs, options: PleatedSkirtOptions, depth: float, pleats: Pleats
) -> dict[int, int]:
    """How many pleats a panel has, most first, and how many such panels; as few as find room."""
    joins = 2 * needs.context.part.seam_allowance_mm
    widest = options.strip_length or needs.context.cutting.across_mm
    most = at_most((widest - joins) * pleats.count / pleats.pattern)
    if most < 1 or at_least(pleats.count / most) > _MOST_PANELS:
        needs.refuse(
            "strip_length",
            f"Pleats {needs.told(depth)} deep don't fit in panels of {needs.told(widest)}.",
            "Give a longer " + key("strip_length") + " or a smaller " + key("pleat_depth") + "."
            if options.strip_length
            else "Give a smaller " + key("pleat_depth") + ", or take a wider cloth.",
        )
        return {pleats.count: 1}
    panels = at_least(pleats.count / most)
    fewer, larger = divmod(pleats.count, panels)
    return {fewer + 1: larger, fewer: panels - larger} if larger else {fewer: panels}


def _waist_check(
    context: DraftContext, shell: tuple[Piece, ...], taken_mm: float, seam_mm: float
) -> SeamCheck:
    return compare(
        f"waist of {shell[0].name}, pleated, to {context.edge}",
        context.garment,
        whole_length(shell, "waist") - taken_mm,
        seam_mm,
    )


def _findings(context: DraftContext, kind: str, depth: float, width: float) -> tuple[Finding, ...]:
    most = width / FOLDS[kind]
    # A pleat's width is corrected by half a pleat in all at most; so much deeper is no matter.
    if depth <= 1.5 * most:
        return ()
    message = (
        f"pleats {context.told(depth)} deep and "
        f"{context.told(width)} wide lie over each other; up to "
        f"{context.told(most)} they lie side by side."
    )
    return (context.finding("pleats-overlap", message, "pleat_depth"),)


KINDS = (
    DraftKind(
        name="pleated skirt",
        options=PleatedSkirtOptions,
        draft=draft_pleated_skirt,
        description="a straight skirt in knife, box or inverted pleats",
        place=80,
        carries="skirt",
        at_waist=True,
        wider_hem="pleat_depth",
    ),
)
