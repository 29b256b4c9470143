"""Sashes and bows. All are folded lengthwise, right sides together, and turned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined, lined_apart
from pieces.drafting.kind import DraftKind, StripAsked
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances, waist
from pieces.drafting.strips import StripForm, Strips, strip_pattern, strip_patterns, strips_asked
from pieces.fields import CountOrZero, Length, LengthOrZero
from pieces.piece import GrainRule, Stage, Step
from pieces.seams import compare, whole_length

ROUND_KNOT_MM = 20.0
"""What a knot's length is over the depth of the gathered loop; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SashOptions:
    """Options of a sash round the waist; each may be left out.

    Attributes
    ----------
    width : finished; 7 cm (common practice)
    ends : what hangs from the knot, each of two; 36 cm, the most that EN 14682 allows a child's
        tied belt (from memory; local rules decide)
    knot : what tying takes of each end; 25 cm for a knot and a loop (common practice)
    strip_length : the longest strip it may be joined from, as cut; as the least cloth takes
    joins : how many joins it is to have, instead; as the least cloth takes, and no more than the
        cloth's width asks for, as they show
    grain : lengthwise if its width must run along the cloth, crosswise if its length, or any; any
    """

    width: Length = 70.0
    ends: LengthOrZero = 360.0
    knot: LengthOrZero = 250.0
    strip_length: Length | None = None
    joins: CountOrZero | None = None
    grain: Literal["any", "lengthwise", "crosswise"] = "any"


@dataclass(frozen=True, slots=True, kw_only=True)
class BowOptions:
    """Options of a bow; each may be left out.

    Attributes
    ----------
    width : of the finished loops together; 14 cm (common practice)
    depth : of the loops before the knot draws them in; half the width (common practice)
    tail : length of each of two tails, or 0 for none; the width (common practice)
    knot : width of the finished knot; 3 cm (common practice)
    """

    width: Length = 140.0
    depth: Length | None = None
    tail: LengthOrZero | None = None
    knot: Length = 30.0


def draft_sash(context: DraftContext, options: SashOptions) -> DraftResult:
    """Draft a sash: the waist, and at both ends what the knot takes and what hangs from it.

    Steps
    -----
    1. Add to the waist seam for both ends 25 cm that the knot takes (common practice) and 36 cm to
       hang from it (the most EN 14682 allows a child's tied belt, from memory).
    2. Divide that by the cloth's width (common practice) less a seam allowance at both ends, and
       round up: so many equal strips (*Dress Making*, NIMI, 2024).
    3. Draw a strip twice as wide as the sash, 7 cm, with the fold along its middle, its grain
       across, seam allowances all round, and notches at the quarters of its edge (common practice).

    Raises
    ------
    OrderFault : the waist is not known, or its strips can't be cut
    """
    needs = Needs(context)
    whole = waist(needs) + 2 * (options.ends + options.knot)
    width = needs.enough("width", options.width)
    name = context.named("sash")
    strips = strips_asked(needs, options, name, whole, evenly=True)
    needs.settle()
    patterns = strip_patterns(
        name,
        strips,
        StripForm(width, GrainRule(options.grain), Role.SEAM, "edge", folded=True),
        evenly=True,
    )
    shell, lining = lined_apart(context, patterns, shell_allowances(context))
    checks = tuple(
        compare(
            f"strips of {pieces[0].name} joined, to waist and both ends",
            context.garment,
            whole_length(pieces, "edge"),
            whole,
        )
        for pieces in filter(None, (shell, lining))
    )
    told = f"Fold the {name} lengthwise, right sides together, sew it round and turn it."
    sewn = Step(stage=Stage.HEMS, what=told, how=None)
    return DraftResult(pieces=shell + lining, seam_checks=checks, steps=(sewn,))


def draft_bow(context: DraftContext, options: BowOptions) -> DraftResult:
    """Draft a bow: a loop twice as long as the bow is wide, two tails with a point, a knot.

    Steps
    -----
    1. Draw the loop twice as long as the bow is wide, 14 cm, and twice as deep as the loops, half
       that width, with the fold along its middle (common practice).
    2. Draw two tails as long as the bow is wide and as deep as the loop; on the fold they are
       longer by half the depth of the folded tail, so that their ends slant (common practice).
    3. Draw the knot 2 cm longer than the loops are deep, to go round both layers gathered to half
       their depth, and twice its width of 3 cm, with the fold along its middle (common practice).

    Raises
    ------
    OrderFault : there is too little of it to sew
    """
    needs = Needs(context)
    width = needs.enough("width", options.width)
    depth = needs.enough("depth", width / 2 if options.depth is None else options.depth)
    knot = needs.enough("knot", options.knot)
    tail = width if options.tail is None else options.tail
    if tail:
        needs.enough("tail", tail)
    needs.settle()

    patterns = [
        folded_strip(context, "bow loop", 2 * width, depth),
        *([_tail(context.named("bow tail"), tail, depth)] if tail else []),
        # It is drawn round both layers of the loop, gathered to half its depth.
        folded_strip(context, "bow knot", depth + ROUND_KNOT_MM, knot),
    ]
    pieces = lined(context, patterns, shell_allowances(context))
    told = (
        f"Fold each piece of the {context.named('bow')} lengthwise, right sides together, sew and "
        "turn it; draw the loop in with the knot and sew the bow on firmly."
    )
    return DraftResult(pieces=pieces, steps=(Step(stage=Stage.HEMS, what=told, how=None),))


def folded_strip(context: DraftContext, name: str, long: float, deep: float) -> Pattern:
    """A strip of a bow, on any grain, drawn twice so deep with the fold along its middle."""
    return strip_pattern(
        context.named(name),
        Strips(1, long),
        StripForm(deep, GrainRule.ANY, Role.SEAM, "edge", folded=True),
    )


def _tail(name: str, long: float, depth: float) -> Pattern:
    """Folded on the line down its middle its end slants by half its depth."""
    point = (long + depth / 2, depth)
    return Pattern(
        name=name,
        edges=(
            Edge("edge", ((0.0, 0.0), (long, 0.0))),
            Edge("end", ((long, 0.0), point, (long, 2 * depth))),
            Edge("other edge", ((long, 2 * depth), (0.0, 2 * depth))),
            Edge("top", ((0.0, 2 * depth), (0.0, 0.0))),
        ),
        grain=((0.0, depth), point),
        cut=2,
        grain_rule=GrainRule.ANY,
        drawn_lines=(((0.0, depth), point),),
    )


KINDS = (
    DraftKind(
        name="sash",
        options=SashOptions,
        draft=draft_sash,
        description="a sash to tie round the waist",
        place=160,
        strip=lambda options: StripAsked(at="waist", more_mm=2 * (options.ends + options.knot)),
    ),
    DraftKind(
        name="bow",
        options=BowOptions,
        draft=draft_bow,
        description="a bow of loop, tails and knot",
        place=170,
    ),
)
