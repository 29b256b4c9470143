"""A pinafore: a bib, and straps with ruffles, for a skirt on a waistband."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pieces.body.shoulders import half_neck
from pieces.curves import bezier, length
from pieces.drafting.bodices.bodice_block import NECK_RISE
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, wanting
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Flag, Length, LengthOrZero, Ratio
from pieces.piece import GrainRule, How, Join, Piece, Side, Stage, Step
from pieces.wording import key

_BIB, _TOP, _BOTTOM = 0.6, 0.22, 0.26
_STRAP_MM, _RUFFLE_MM, _NARROWED = 30.0, 60.0, 0.4
_CROSSED_MM = 30.0
"""Common practice, as all proportions of this draft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PinaforeOptions:
    """Options of a pinafore; each may be left out.

    Attributes
    ----------
    bib : whether it has one in front; without it there are only the straps
    bib_depth : from waist to its upper edge; 0.6 of the back waist length (common practice)
    bib_width : of its upper edge; 0.22 of the chest, and 0.26 at the waist (common practice)
    strap_width : finished; 3 cm (common practice)
    strap_length : from the waist in front over the shoulder to the waist behind; twice from waist
        to the side of the neck, and 3 cm to cross behind (common practice)
    ruffle : depth of the ruffle over the shoulder, which narrows to 0.4 of that at the waist; 6 cm,
        or 0 for none (common practice)
    fullness : the ruffle over the strap that it is gathered to; 1.5 (common practice; one third
        longer in *Scientific Sewing and Garment Cutting*)
    """

    bib: Flag = True
    bib_depth: Length | None = None
    bib_width: Length | None = None
    strap_width: Length = _STRAP_MM
    strap_length: Length | None = None
    ruffle: LengthOrZero = _RUFFLE_MM
    fullness: Ratio = 1.5


def draft_pinafore(context: DraftContext, options: PinaforeOptions) -> DraftResult:
    """Draft the bib and the ruffled straps of a pinafore; a skirt and a waistband come after it.

    Steps
    -----
    1. Take a strap from the waist over the shoulder to the waist on the other side (*Scientific
       Sewing and Garment Cutting*, Plain Sewing Apron): twice the back waist length and what the
       side of the neck is above the nape, and 3 cm to cross behind (common practice). Cut each
       twice, strap and facing, 3 cm wide.
    2. Draw half a bib on the fold, 0.6 of the back waist length deep, 0.26 of the chest wide at the
       waist and 0.22 at its upper edge; cut it twice, bib and facing (common practice).
    3. Sew the sides of the bib to the straps from the waist up (common practice).
    4. Draw a ruffle 1.5 times as long as the strap (common practice; that book makes it one third
       longer), 6 cm deep in the middle and 0.4 of that at both ends, and notch both in quarters.

    Raises
    ------
    OrderFault : measures are missing, or there is too little of it to sew
    """
    needs = Needs(context)
    back_waist = 0.0
    if options.strap_length is None or (options.bib and options.bib_depth is None):
        back_waist = needs.measure("back_waist", "A pinafore")
    if options.strap_length is None:
        long = _over_shoulder(needs, back_waist)
    else:
        long = needs.enough("strap_length", options.strap_length)
    ruffle = options.ruffle and needs.enough("ruffle", options.ruffle)
    wide = needs.enough("strap_width", options.strap_width)
    fullness = needs.gathers("fullness", options.fullness)
    bib = _bib(needs, options, back_waist) if options.bib else None
    needs.settle()
    side = 0.0 if bib is None else length(bib.edges[1].line)
    if side > 0.6 * long:
        needs.refuse(
            "bib_depth",
            f"The sides of the bib, {needs.told(side)}, leave too little of straps of "
            f"{needs.told(long)}.",
            "Give a smaller " + key("bib_depth") + " or a longer " + key("strap_length") + ".",
        )
    needs.settle()
    faced = 2 if context.part.lining is None else 1
    patterns = [_strap(context.named("pinafore strap"), long, wide, side, 2 * faced)]
    if bib is not None:
        patterns.insert(0, replace(bib, cut=faced))
    pieces = lined(context, patterns, shell_allowances(context))
    if ruffle:
        pattern = _ruffle(context.named("pinafore ruffle"), long * fullness, ruffle)
        plain = replace(context, part=replace(context.part, lining=None))
        pieces += lined(plain, (pattern,), shell_allowances(context))
    return DraftResult(
        pieces=pieces,
        steps=(_turned(context, bib is not None),),
        joins=tuple(_joins({piece.name: piece for piece in pieces}, context, fullness)),
    )


def _turned(context: DraftContext, bib: bool) -> Step:
    """How straps and bib are finished, once ruffles and bib lie between their two layers."""
    strap = context.named("pinafore strap")
    faced = f"Sew the {context.named('pinafore bib')} to its facing along the top. " if bib else ""
    what = f"{faced}Sew each {strap} to its facing over the ruffle, and turn it."
    return Step(stage=Stage.TRIMS, what=what, how=None)


def _over_shoulder(needs: Needs, back_waist: float) -> float:
    """From the waist in front over the shoulder to the waist behind, crossing there."""
    return 2 * (back_waist + NECK_RISE * half_neck(needs.context.body)) + _CROSSED_MM


def _bib(needs: Needs, options: PinaforeOptions, back_waist: float) -> Pattern:
    chest = needs.measure("chest", "A bib")
    depth = options.bib_depth or _BIB * back_waist
    top = (options.bib_width or _TOP * chest) / 2
    needs.enough("bib_depth", depth)
    bottom = max(top, _BOTTOM * chest / 2)
    return Pattern(
        name=needs.context.named("pinafore bib"),
        edges=(
            Edge("waist", ((0.0, 0.0), (bottom, 0.0))),
            Edge("side", ((bottom, 0.0), (top, depth))),
            Edge("top", ((top, depth), (0.0, depth))),
            Edge("centre front", ((0.0, depth), (0.0, 0.0)), Role.FOLD),
        ),
        grain=((0.0, 0.0), (0.0, depth)),
    )


def _strap(name: str, long: float, wide: float, side: float, cut: int) -> Pattern:
    """Drawn along, the end in front to the left, the bib's side below it."""
    beside_bib = (Edge("bib edge", ((0.0, 0.0), (side, 0.0))),) if side else ()
    quarters = tuple(long * quarter / 4 for quarter in (1, 2, 3))
    return Pattern(
        name=name,
        edges=(
            *beside_bib,
            Edge("inner edge", ((side, 0.0), (long, 0.0))),
            Edge("end behind", ((long, 0.0), (long, wide))),
            Edge("ruffle edge", ((long, wide), (0.0, wide)), marks_mm=quarters),
            Edge("end in front", ((0.0, wide), (0.0, 0.0))),
        ),
        grain=((0.0, wide / 2), (long, wide / 2)),
        cut=cut,
        grain_rule=GrainRule.ANY,
    )


def _ruffle(name: str, long: float, deep: float) -> Pattern:
    ends = _NARROWED * deep
    lower = bezier(
        (0.0, -ends), (0.3 * long, -deep * 1.1), (0.7 * long, -deep * 1.1), (long, -ends)
    )
    return Pattern(
        name=name,
        edges=(
            Edge("hem", lower, Role.HEM),
            Edge("end behind", ((long, -ends), (long, 0.0))),
            Edge(
                "top",
                ((long, 0.0), (0.0, 0.0)),
                marks_mm=tuple(long * quarter / 4 for quarter in (1, 2, 3)),
            ),
            Edge("end in front", ((0.0, 0.0), (0.0, -ends))),
        ),
        grain=((long / 2, -deep), (long / 2, 0.0)),
        cut=2,
        grain_rule=GrainRule.ANY,
    )


def _joins(pieces: dict[str, Piece], context: DraftContext, fullness: float) -> list[Join]:
    bib, strap, ruffle = (context.named(f"pinafore {what}") for what in ("bib", "strap", "ruffle"))
    found = []
    if bib in pieces:
        found.append(
            Join(
                what=f"side of {bib} to {strap}",
                this=Side(bib, "side"),
                that=Side(strap, "bib edge"),
                smooth=(False, False),
                stage=Stage.TRIMS,
            )
        )
    if ruffle in pieces:
        found.append(
            Join(
                what=f"{ruffle} to {strap}",
                this=Side(ruffle, "top"),
                that=Side(strap, "ruffle edge"),
                fullness=fullness,
                smooth=(False, False),
                how=How.GATHERED if fullness > 1 else How.PLAIN,
                stage=Stage.SHAPE,
            )
        )
    return found


KINDS = (
    DraftKind(
        name="pinafore",
        options=PinaforeOptions,
        draft=draft_pinafore,
        description="a bib and ruffled straps, for a skirt on a waistband",
        place=17,
        waist_to_finish=wanting,
    ),
)
