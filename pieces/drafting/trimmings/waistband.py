"""A waistband: a strip folded along its middle, or one with a facing of its own, that buttons."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.pattern import Role
from pieces.drafting.skirts.skirts import shell_allowances, waist
from pieces.drafting.strips import StripForm, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Length, LengthOrZero
from pieces.piece import GrainRule, Stage, Step
from pieces.seams import compare, whole_length


@dataclass(frozen=True, slots=True, kw_only=True)
class WaistbandOptions:
    """Options of a waistband; each may be left out.

    Attributes
    ----------
    style : folded along its upper edge, or faced by a second strip, which may be the lining's cloth
    depth : finished; 3 cm (common practice)
    ease : over the waist it is sewn to; 0. The skirts below are eased in by so much less
    underlap : what reaches under its other end for a button or a hook; 3 cm (common practice)
    strip_length : the longest strip it may be joined from, as cut; as the least cloth takes
    joins : how many joins it is to have, instead; as the least cloth takes
    grain : lengthwise if its depth must run along the cloth, crosswise if its length, or any; any
    """

    style: Literal["folded", "faced"] = "folded"
    depth: Length = 30.0
    ease: LengthOrZero = 0.0
    underlap: LengthOrZero = 30.0
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    grain: Literal["any", "lengthwise", "crosswise"] = "any"


def draft_waistband(context: DraftContext, options: WaistbandOptions) -> DraftResult:
    """Draft a waistband for the skirts at the waist, or for one that is worn over a dress.

    Steps
    -----
    1. Take the waist seam, any ease, and 3 cm of underlap as the length (common practice).
    2. Draw a strip of that length and twice the depth of 3 cm, with the fold along its middle, or
       once the depth and cut it twice where it is faced; seam allowances all round (common
       practice).
    3. Notch its edge in quarters of the waist, from the end without the underlap, and where that
       begins (common practice). Joined from strips, each is notched in its own quarters.

    Raises
    ------
    OrderFault : the waist is not known, or its strips can't be cut
    """
    needs = Needs(context)
    seam_mm = waist(needs) + options.ease
    whole = seam_mm + options.underlap
    depth = needs.enough("depth", options.depth)
    folded = options.style == "folded"
    name = context.named("waistband")
    strips = strips_asked(needs, options, name, whole, evenly=True)
    needs.settle()
    patterns = strip_patterns(
        name,
        strips,
        StripForm(depth, GrainRule(options.grain), Role.SEAM, "edge", folded=folded),
        evenly=True,
    )
    if strips.count == 1:
        quarters = tuple(seam_mm * quarter / 4 for quarter in (1, 2, 3, 4))
        marks = quarters if options.underlap else quarters[:3]
        patterns = tuple(
            replace(
                one,
                edges=tuple(
                    replace(edge, marks_mm=marks) if edge.name == "edge" else edge
                    for edge in one.edges
                ),
            )
            for one in patterns
        )
    shell, lining = lined_apart(context, patterns, shell_allowances(context))
    if not folded and not lining:
        shell = tuple(replace(piece, cut=2 * piece.cut) for piece in shell)
    sides = 1 if folded or lining else 2
    checks = tuple(
        compare(
            f"{pieces[0].name} less its underlap to {context.edge}",
            context.garment,
            whole_length(pieces, "edge") / (sides if pieces is shell else 1)
            - options.underlap
            - options.ease,
            seam_mm - options.ease,
        )
        for pieces in filter(None, (shell, lining))
    )
    sewn = Step(
        stage=Stage.WAIST,
        what=name,
        to=context.edge,
        this_mm=seam_mm,
        that_mm=seam_mm,
        quarters=strips.count == 1,
    )
    return DraftResult(pieces=shell + lining, seam_checks=checks, steps=(sewn,))


KINDS = (
    DraftKind(
        name="waistband",
        options=WaistbandOptions,
        draft=draft_waistband,
        description="a waistband that buttons, folded or faced",
        place=155,
        closes_waist=True,
        finishes=finishing("waist"),
    ),
)
