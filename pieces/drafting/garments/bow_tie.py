"""A bow tie, made up, on a band round the neck."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.drafting.trimmings.bow import ROUND_KNOT_MM, folded_strip
from pieces.fields import Length, LengthOrZero
from pieces.notions import Notion, Sold
from pieces.piece import Finding, Stage, Step

_WIDTH, _DEPTH = 0.36, 0.55
_KNOT_MM, _BAND_MM, _EASE_MM, _LAP_MM = 25.0, 20.0, 15.0, 30.0
"""Common practice, as all proportions of this draft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BowTieOptions:
    """Options of a bow tie; each may be left out.

    Attributes
    ----------
    width : of the finished bow; 0.36 of the neck, 8.6 cm on 24 cm (common practice)
    depth : of the bow before the knot draws it in; 0.55 of its width (common practice)
    knot : width of the finished knot; 2.5 cm (common practice)
    band : width of the finished band; 2 cm (common practice)
    ease : of the band over the neck; 1.5 cm (common practice)
    """

    width: Length | None = None
    depth: Length | None = None
    knot: Length = _KNOT_MM
    band: Length = _BAND_MM
    ease: LengthOrZero = _EASE_MM


def draft_bow_tie(context: DraftContext, options: BowTieOptions) -> DraftResult:
    """Draft the bow, its knot and the band round the neck.

    Steps
    -----
    1. Draw the bow twice as long as it is wide, 0.36 of the neck, and twice as deep as 0.55 of
       that, with the fold along its middle: folded and turned, its ends meet behind (common
       practice).
    2. Draw the knot 2 cm longer than the bow is deep, to go round it, and twice its width of
       2.5 cm (common practice).
    3. Draw the band as long as the neck, 1.5 cm of ease and 3 cm to overlap for a snap, and twice
       as deep as 2 cm (common practice).

    Raises
    ------
    OrderFault : the neck is not known, or there is too little of it to sew
    """
    needs = Needs(context)
    neck = needs.measure("neck", "A bow tie")
    width = options.width or _WIDTH * neck
    depth = options.depth or _DEPTH * width
    for key, value in (("width", width), ("depth", depth), ("knot", options.knot)):
        needs.enough(key, value)
    needs.enough("band", options.band)
    needs.settle()

    patterns = [
        folded_strip(context, "bow tie loop", 2 * width, depth),
        folded_strip(context, "bow tie knot", depth + ROUND_KNOT_MM, options.knot),
        folded_strip(context, "bow tie band", neck + options.ease + _LAP_MM, options.band),
    ]
    made = (
        f"Fold loop, knot and band of the {context.named('bow tie')} lengthwise, right sides "
        "together, sew and turn them. Lay the ends of the loop to its middle, draw it in and sew "
        "the knot round it and the band."
    )
    return DraftResult(
        pieces=lined(context, patterns, shell_allowances(context)),
        findings=_told(context),
        steps=(Step(stage=Stage.HEMS, what=made, how=None),),
        notions=(
            Notion(
                name="snap",
                garment=context.garment,
                where=f"band of the {context.named('bow tie')}",
                sold=Sold.PIECE,
            ),
        ),
    )


def _told(context: DraftContext) -> tuple[Finding, ...]:
    """How to close its band: code ``no-cord-at-neck``."""
    message = (
        "close the band of the bow tie behind with a snap that gives way when "
        "it is pulled, and tie nothing round a child's neck; sew the bow on firmly. Local rules "
        "and qualified people decide."
    )
    return (context.finding("no-cord-at-neck", message),)


KINDS = (
    DraftKind(
        name="bow tie",
        options=BowTieOptions,
        draft=draft_bow_tie,
        description="a bow tie, made up, on a band",
        place=172,
    ),
)
