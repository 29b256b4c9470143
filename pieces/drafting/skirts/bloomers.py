"""Bloomers: two legs without side seams, drawn in by elastic at waist and knee."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.curves import bezier, length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Length, LengthOrZero
from pieces.joins import opened
from pieces.notions import Notion, Sold
from pieces.piece import Join, Piece, Side, Stage

_EASE_MM = 160.0
_RISE_MM, _SITS_MM = 50.0, 10.0
_BACK_HIGHER_MM = 25.0
_FRONT_FORK, _BACK_FORK = 1 / 16, 1 / 9
_SNUG_MM, _LAP_MM = 25.0, 20.0
"""Common practice, as all proportions of this draft."""
_LEG = 0.6
"""What a leg measures of the hip where the elastic goes round it; from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BloomersOptions:
    """Options of bloomers; each may be left out.

    Attributes
    ----------
    ease : over the whole hip, drawn in by elastic at the waist; 16 cm (common practice)
    rise : from the waist down to the fork, in front; the body's and 1 cm, or hip / 4 + 5 cm where
        that is not known (common practice)
    inseam : from the fork to the hem; 6 cm (common practice)
    """

    ease: LengthOrZero = _EASE_MM
    rise: Length | None = None
    inseam: Length = 60.0


def draft_bloomers(context: DraftContext, options: BloomersOptions) -> DraftResult:
    """Draft the two legs of bloomers, front and back in one, for elastic at waist and legs.

    Steps
    -----
    1. Take half the hip and half of 16 cm of ease as the width of a leg (common practice).
    2. Draw the middles upright from the waist, in front a quarter of the hip and 5 cm long, behind
       2.5 cm longer, and curve them out to the fork by 1/16 of the hip in front and 1/9 behind,
       level there, so that they run on over the inseam (common practice).
    3. Draw the inseams upright, 6 cm to a level hem; the waist level at both middles (common
       practice).
    4. The hem allowance at waist and legs is turned down for the elastic: the waist less 2.5 cm,
       and round each leg 0.6 of the hip (from memory), with 2 cm to overlap (common practice).
    5. Notch the waist in the middle, where the side lies, and lay the grain down from there (common
       practice).

    Raises
    ------
    OrderFault : measures are missing, or there is too little of them
    """
    needs = Needs(context)
    hip = needs.measure("hip", "Bloomers")
    waist = needs.measure("waist", "The elastic of bloomers")
    inseam = needs.enough("inseam", options.inseam)
    measured = context.body.rise
    usual = hip / 4 + _RISE_MM if measured is None else measured + _SITS_MM
    rise = options.rise or usual
    needs.settle()
    needs.enough("rise", rise, 2 * _BACK_FORK * hip)
    needs.settle()
    pattern = _pattern(context, (hip + options.ease) / 2, hip, rise, inseam)
    pieces = lined(context, (pattern,), shell_allowances(context))
    return DraftResult(
        pieces=pieces,
        joins=tuple(join for piece in pieces for join in _joins(piece)),
        notions=(
            _elastic(context, "waist", 1, waist - _SNUG_MM),
            _elastic(context, "legs", 2, _LEG * hip),
        ),
    )


def _elastic(context: DraftContext, where: str, count: int, round_body: float) -> Notion:
    return Notion(
        name="elastic",
        garment=context.garment,
        where=f"{where} of the {context.named('bloomers')}",
        sold=Sold.LENGTH,
        count=count,
        length_mm=round_body + _LAP_MM,
    )


def _pattern(
    context: DraftContext, width: float, hip: float, rise: float, inseam: float
) -> Pattern:
    """A leg with its front to the right; y is 0 at the fork."""
    front, back = width + _FRONT_FORK * hip, -_BACK_FORK * hip
    high = rise + _BACK_HIGHER_MM
    curve = 0.5 * rise
    centre_front = (
        *bezier(
            (front, 0.0),
            (front - 0.6 * (front - width), 0.0),
            (width, 0.35 * curve),
            (width, curve),
            sewn=True,
        ),
        (width, rise),
    )
    centre_back = (
        (0.0, high),
        *bezier((0.0, curve), (0.0, 0.35 * curve), (0.6 * back, 0.0), (back, 0.0), sewn=True),
    )
    waist = bezier((width, rise), (0.6 * width, rise), (0.4 * width, high), (0.0, high), sewn=True)
    side = width / 2
    return Pattern(
        name=context.named("bloomers"),
        edges=(
            Edge("hem", ((back, -inseam), (front, -inseam)), Role.HEM),
            Edge("inseam front", ((front, -inseam), (front, 0.0))),
            Edge("centre front", centre_front),
            Edge("waist", waist, Role.HEM, marks_mm=(length(waist) / 2,)),
            Edge("centre back", centre_back),
            Edge("inseam back", ((back, 0.0), (back, -inseam))),
        ),
        grain=((side, -inseam), (side, rise)),
        pair=True,
    )


def _joins(piece: Piece) -> tuple[Join, ...]:
    inseam = Join(
        what=f"inseam of {piece.name}",
        this=Side(piece.name, "inseam front"),
        that=Side(piece.name, "inseam back"),
        turned=True,
    )
    # Where four seams meet at the fork, each middle ends with its inseam.
    middles = (opened(piece, f"centre {which}", stage=Stage.SIDES) for which in ("front", "back"))
    return (inseam, *middles)


KINDS = (
    DraftKind(
        name="bloomers",
        options=BloomersOptions,
        draft=draft_bloomers,
        description="bloomers for elastic at waist and legs",
        place=135,
        finishes=finishing("waist"),
    ),
)
