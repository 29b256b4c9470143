"""An underlayer of stiff net, gathered to the waist, that holds a skirt out and stays hidden."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.fullness import MultipleOf, line_of, on_line, whole_asked
from pieces.drafting.kind import DraftKind, gathered_strip
from pieces.drafting.openings import opening_below
from pieces.drafting.skirts.skirts import (
    horsehair_for,
    lower_role,
    shell_allowances,
    skirt_length,
    waist,
    waist_checks,
    waist_step,
)
from pieces.drafting.strips import StripForm, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Flag, Length, LengthOrZero, Ratio
from pieces.piece import Finding, GrainRule

_HIDDEN_MM = 25.4
"""Net under a skirt was trimmed from 6 to 5 in. to stay hidden: an inch; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderlayerOptions:
    """Options of a stiff net underlayer; each may be left out.

    Attributes
    ----------
    length : from the waist seam, or its line, to its edge; that of the longest skirt before it,
        bands included, less `shorter`
    shorter : by how much it ends above that skirt's hem; 1 in. (common practice)
    line : how far below the waist seam it is sewn to the lining of the skirt before it; it is sewn
        to the waist seam
    fullness : its width over the waist or line it is gathered to; 4 (4 to 6 for net, from memory)
    around : its width all round instead of a fullness, such as 4 yd; by the fullness
    multiple_of : what the fullness multiplies: the waist alone, or the waist and opening, with the
        zip's allowances; the waist
    strip_length : the widest a panel may be, as cut; as the least cloth takes
    joins : how many joins between panels, instead; as the least cloth takes
    more_joins : whether there may be more than the cloth's width asks for, where that saves cloth;
        true
    grain : lengthwise if its length must run along the cloth, crosswise if across, or any; any
    horsehair : whether its edge is stiffened with horsehair braid; its length is told
    """

    length: Length | None = None
    shorter: LengthOrZero = _HIDDEN_MM
    line: Length | None = None
    fullness: Ratio = 4.0
    around: Length | None = None
    multiple_of: MultipleOf = "waist"
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    more_joins: Flag = True
    grain: Literal["any", "lengthwise", "crosswise"] = "any"
    horsehair: Flag = False


def draft_underlayer(context: DraftContext, options: UnderlayerOptions) -> DraftResult:
    """Draft a stiff net underlayer for the waist of the bodice before it, or the body's.

    Steps
    -----
    1. Multiply the waist seam, or a line on the lining before it, by the fullness, 4 (4 to 6 for
       net, from memory); or take the width that is told.
    2. Divide that by the cloth's width (common practice) less a seam allowance at both ends, and
       round up: so many panels of equal width (*Dress Making*, NIMI, 2024).
    3. Draw a panel as a rectangle, 1 in. shorter than the longest skirt before it with its bands
       (common practice); without one, than 0.28 of the height, less what the waist seam lies below
       the natural waist, plus what it lies above it (from memory).
    4. Notch its top in quarters; the grain runs down the middle (common practice).

    Raises
    ------
    OrderFault : measures are missing, or its panels can't be cut
    """
    needs = Needs(context)
    line = options.line or 0.0
    seam_mm, on = (waist(needs), None) if not line else line_of(needs, line)
    if options.length is None:
        skirt = context.skirt_mm or skirt_length(needs, None)
        long = needs.enough_left("shorter", skirt - options.shorter - line)
    else:
        long = needs.enough("length", options.length)
    whole = whole_asked(needs, options, seam_mm, options.multiple_of)
    name = context.named("underlayer")
    strips = strips_asked(needs, options, name, whole, more_joins=options.more_joins)
    needs.settle()
    opening = 0.0 if line else opening_below(context)
    if on is not None:
        context = replace(context, edge=on_line(context, line, on))
    patterns = strip_patterns(
        name,
        strips,
        StripForm(long, GrainRule(options.grain), lower_role(context), "waist", opening_mm=opening),
        last="of the last width",
    )
    shell, lining = lined_apart(context, patterns, shell_allowances(context))
    checks = tuple(
        waist_checks(context, pieces, "waist", whole / seam_mm, seam_mm)
        for pieces in filter(None, (shell, lining))
    )
    findings: tuple[Finding, ...] = ()
    if 0 < context.skirt_mm <= line + long:
        message = (
            f"the underlayer is {context.told(line + long)} long and shows "
            f"below a skirt of {context.told(context.skirt_mm)}; an inch shorter than "
            "the skirt it stays hidden."
        )
        findings += (context.finding("underlayer-shows", message),)
    return DraftResult(
        pieces=shell + lining,
        seam_checks=checks,
        findings=findings,
        steps=(waist_step(context, shell, "waist", seam_mm),),
        opens_mm=opening,
        notions=horsehair_for(context, shell, options.horsehair),
    )


KINDS = (
    DraftKind(
        name="underlayer",
        options=UnderlayerOptions,
        draft=draft_underlayer,
        description="a layer of stiff net that holds a skirt out",
        place=130,
        at_waist=True,
        longer_top="fullness",
        wider_hem="fullness",
        strip=gathered_strip("top"),
    ),
)
