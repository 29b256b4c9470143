"""A band or frill round the hem: strips joined to a ring, plain or gathered, single or folded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.fullness import whole_asked
from pieces.drafting.kind import DraftKind, always, gathered_strip
from pieces.drafting.pattern import Role
from pieces.drafting.skirts.skirts import edge_step, lower_role, shell_allowances
from pieces.drafting.strips import StripForm, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Flag, Length, Ratio
from pieces.piece import Finding, GrainRule, Stage
from pieces.seams import compare, whole_length

DEPTH_MM = 60.0
"""Common practice."""
_FLAT_ON_A_CURVE_MM = 40.0
"""A deeper straight band does not follow a flared hem; after the hem allowance of 1 1/2 in. for
flared skirts in a state extension's *It's Fun to Sew*."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandOptions:
    """Options of a band round the hem of the skirt or tier before it; each may be left out.

    Attributes
    ----------
    depth : finished; 6 cm (common practice)
    doubled : whether it is folded, right side out, and so cut twice as deep with a seam
        allowance on both edges (Clothing for Women, 1916: twice the depth and the seams)
    fullness : its length over the hem's; 1, more for a frill (3 for a frill: NIMI, 2024)
    around : its length all round instead of a fullness, such as 4 yd; by the fullness
    strip_length : the longest strip it may be joined from, as cut; as the least cloth takes
    joins : how many joins it is to have, instead; as the least cloth takes
    more_joins : whether it may have more than the cloth's width asks for, where that saves cloth;
        true
    grain : lengthwise if the depth must run along the cloth, crosswise if across, or any; any
    """

    depth: Length = DEPTH_MM
    doubled: Flag = True
    fullness: Ratio = 1.0
    around: Length | None = None
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    more_joins: Flag = True
    grain: Literal["any", "lengthwise", "crosswise"] = "any"


def draft_band(context: DraftContext, options: BandOptions) -> DraftResult:
    """Draft a band for the hem of the skirt or tier before it.

    Steps
    -----
    1. Multiply the hem it is sewn to by the fullness, 1 for a plain band (common practice), 3 for a
       frill (*Dress Making*, NIMI, 2024).
    2. Divide that by the cloth's width (common practice) less a seam allowance at both ends, and
       round up: so many equal strips (NIMI, 2024).
    3. Draw a strip twice as deep as the band, 6 cm (common practice), with the fold along its
       middle and seam allowances on both edges (*Clothing for Women*, 1916). A single one is drawn
       once as deep, with a hem below, or a seam where something is sewn on.
    4. Notch its top in quarters; the grain runs across it (common practice).

    Raises
    ------
    OrderFault : there is no skirt before it, or its strips can't be cut
    """
    needs = Needs(context)
    if context.edge_mm is None:
        needs.refuse(
            "draft",
            "A band is sewn to the hem of a skirt or tier, and there is none before it.",
            "Put the skirt's part before it.",
        )
    hem = context.edge_mm or 0.0
    depth = needs.enough("depth", options.depth)
    whole = whole_asked(needs, options, hem)
    name = context.named("band")
    strips = strips_asked(needs, options, name, whole, more_joins=options.more_joins)
    needs.settle()
    patterns = strip_patterns(
        name,
        strips,
        StripForm(
            depth,
            GrainRule(options.grain),
            Role.SEAM if options.doubled else lower_role(context),
            "top",
            folded=options.doubled,
        ),
    )
    shell, lining = lined_apart(context, patterns, shell_allowances(context))
    fullness = whole / hem
    gathered = ", gathered," if fullness != 1 else ""
    checks = tuple(
        compare(
            f"top of {pieces[0].name}{gathered} to {context.edge}",
            context.garment,
            whole_length(pieces, "top") / fullness,
            hem,
        )
        for pieces in filter(None, (shell, lining))
    )
    return DraftResult(
        pieces=shell + lining,
        seam_checks=checks,
        findings=_findings(context, options),
        hem_mm=whole_length(shell, "hem"),
        long_mm=depth,
        steps=(edge_step(context, f"top of {name}", whole, hem, Stage.TRIMS),),
    )


def _findings(context: DraftContext, options: BandOptions) -> tuple[Finding, ...]:
    flat = options.fullness == 1 and options.around is None and options.depth > _FLAT_ON_A_CURVE_MM
    if not (flat and context.curved_edge):
        return ()
    message = (
        f"a straight band {context.told(options.depth)} deep stands "
        "off a flared hem. Give it less depth, or more fullness to gather it by."
    )
    return (context.finding("band-on-flared-hem", message, "depth"),)


KINDS = (
    DraftKind(
        name="band",
        options=BandOptions,
        draft=draft_band,
        description="a band or frill round a hem",
        place=120,
        hangs_at=always("skirt"),
        carries="skirt",
        deepens=True,
        wider_hem="fullness",
        strip=gathered_strip("edge"),
    ),
)
