"""A casing of cloth for elastic at the waist."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.kind import DraftKind, StripAsked, finishing
from pieces.drafting.pattern import Role
from pieces.drafting.skirts.skirts import shell_allowances, waist
from pieces.drafting.strips import StripForm, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Flag, Length
from pieces.notions import Notion, Sold
from pieces.piece import GrainRule, Stage, Step
from pieces.seams import compare, whole_length

_ROOM_MM = 5.0
"""A casing is wider than its elastic by so much; common practice."""
_SNUG_MM = 25.0
"""Elastic is cut shorter than the waist by an inch; common practice."""
_LAP_MM = 20.0
"""Where its ends are sewn together; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CasingOptions:
    """Options of an elastic's casing; each may be left out.

    Attributes
    ----------
    length : of the edge that it is sewn to; the waist seam
    elastic_width : 10 mm; the casing is 5 mm deeper (common practice)
    elastic_length : as it lies round the body; the waist less 2.5 cm (common practice)
    strip_length : the longest strip it may be joined from, as cut; as the least cloth takes
    joins : how many joins it is to have, instead; as the least cloth takes
    more_joins : whether it may have more than the cloth's width asks for, where that saves cloth;
        true
    grain : lengthwise if its depth must run along the cloth, crosswise if its length, or any; any
    """

    length: Length | None = None
    elastic_width: Length = 10.0
    elastic_length: Length | None = None
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    more_joins: Flag = True
    grain: Literal["any", "lengthwise", "crosswise"] = "any"


def draft_casing(context: DraftContext, options: CasingOptions) -> DraftResult:
    """Draft a casing, and tell the elastic to buy.

    Steps
    -----
    1. Take the waist seam, or the length told, as the casing's length (common practice).
    2. Divide it by the cloth's width (common practice) less a seam allowance at both ends, and
       round up: so many equal strips (*Dress Making*, NIMI, 2024).
    3. Draw a strip 5 mm deeper than the elastic, 10 mm, with seam allowances all round, its grain
       across, and notch its top in quarters (common practice).
    4. Cut the elastic 2.5 cm shorter than the body's waist, and 2 cm longer for the overlap of its
       ends (common practice).

    Raises
    ------
    OrderFault : the waist is not known, or its strips can't be cut
    """
    needs = Needs(context)
    whole = needs.enough("length", options.length or waist(needs))
    round_body = options.elastic_length or needs.measure("waist", "The elastic") - _SNUG_MM
    name = context.named("casing")
    strips = strips_asked(needs, options, name, whole, more_joins=options.more_joins)
    needs.settle()
    patterns = strip_patterns(
        name,
        strips,
        StripForm(
            needs.enough("elastic_width", options.elastic_width + _ROOM_MM),
            GrainRule(options.grain),
            Role.SEAM,
            "top",
        ),
    )
    shell, lining = lined_apart(context, patterns, shell_allowances(context))
    checks = tuple(
        compare(
            f"top of {pieces[0].name} to {'its edge' if options.length else context.edge}",
            context.garment,
            whole_length(pieces, "top"),
            whole,
        )
        for pieces in filter(None, (shell, lining))
    )
    elastic = Notion(
        name="elastic",
        garment=context.garment,
        where=f"through the {shell[0].name}",
        sold=Sold.LENGTH,
        length_mm=round_body + _LAP_MM,
        width_mm=options.elastic_width,
    )
    return DraftResult(
        pieces=shell + lining,
        seam_checks=checks,
        notions=(elastic,),
        steps=(
            Step(
                stage=Stage.WAIST,
                what=shell[0].name,
                to="its edge" if options.length else context.edge,
                this_mm=whole,
                that_mm=whole,
                quarters=True,
            ),
        ),
    )


KINDS = (
    DraftKind(
        name="casing",
        options=CasingOptions,
        draft=draft_casing,
        description="a casing for elastic at the waist",
        place=150,
        on_elastic=True,
        strip=lambda options: StripAsked(at="waist", length_mm=options.length),
        finishes=finishing("waist"),
    ),
)
