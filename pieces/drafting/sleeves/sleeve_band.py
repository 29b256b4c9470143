"""Bands at the hems of a pair of sleeves, folded along their middle."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, always
from pieces.drafting.pattern import Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.drafting.strips import StripForm, Strips, strip_pattern
from pieces.fields import Length
from pieces.piece import GrainRule, How, Stage, Step
from pieces.seams import compare, seam_length


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveBandOptions:
    """Options of the bands at the hems of the sleeves before them; each may be left out.

    Attributes
    ----------
    depth : finished; 2 cm (common practice). Bands are folded, right side out, so they are cut
        twice as deep with a seam allowance on both edges (Clothing for Women, 1916)
    """

    depth: Length = 20.0


def draft_sleeve_band(context: DraftContext, options: SleeveBandOptions) -> DraftResult:
    """Draft the bands of the pair of sleeves before them, one for each.

    Steps
    -----
    1. Take the finished hem of the sleeve, its fullness gathered in, as the length (common
       practice).
    2. Draw a strip of that length and twice the depth of 2 cm, with the fold along its middle, so
       that seam allowances come on both edges (*Clothing for Women*, 1916; the depth common
       practice).
    3. Notch its top in quarters and cut two (common practice).

    Raises
    ------
    OrderFault : there is no sleeve before them
    """
    needs = Needs(context)
    if context.edge_mm is None:
        needs.refuse(
            "draft",
            "A sleeve band is sewn to the hem of a sleeve, and there is none before it.",
            "Put the sleeve's part before it.",
        )
    hem = context.edge_mm or 0.0
    depth = needs.enough("depth", options.depth)
    needs.settle()
    strip = strip_pattern(
        context.named("sleeve band"),
        Strips(1, hem),
        StripForm(depth, GrainRule.ANY, Role.SEAM, "top", folded=True),
    )
    pattern = replace(strip, cut=2)
    pieces = lined(context, (pattern,), shell_allowances(context))
    checks = tuple(
        compare(
            f"top of {piece.name} to {context.edge}",
            context.garment,
            seam_length(piece, "top"),
            hem,
        )
        for piece in pieces
    )
    sewn = Step(
        stage=Stage.SLEEVES,
        what=f"{context.edge}, each",
        to=f"a {pieces[0].name}, folded",
        how=How.GATHERED,
        this_mm=hem,
        that_mm=hem,
        quarters=True,
    )
    return DraftResult(pieces=pieces, seam_checks=checks, steps=(sewn,))


KINDS = (
    DraftKind(
        name="sleeve band",
        options=SleeveBandOptions,
        draft=draft_sleeve_band,
        description="bands at the hems of a pair of sleeves",
        place=30,
        hangs_at=always("sleeve"),
    ),
)
