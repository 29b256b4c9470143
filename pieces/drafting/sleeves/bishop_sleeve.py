"""A bishop sleeve: long, with a hem spread and gathered into a band."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.drafting.context import DraftContext, DraftResult
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.sleeves.sleeve import SleeveOptions, draft_sleeve
from pieces.fields import Length, LengthOrZero, Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class BishopSleeveOptions:
    """Options of a bishop sleeve; each may be left out.

    Attributes
    ----------
    length : from the shoulder's point to where the band is sewn on; the arm's length
    ease : over the upper arm; 6 cm (common practice)
    cap_ease : the cap's length over the armhole's; 1.5 cm (children 1.2 to 2 cm, from memory)
    fullness : the hem over the band that it is gathered to; 1.6 (1.5 to 2, from memory)
    hem_width : of the band; wrist + 5 cm, for a hand to pass (common practice)
    """

    length: Length | None = None
    ease: LengthOrZero = 60.0
    cap_ease: LengthOrZero = 15.0
    fullness: Ratio = 1.6
    hem_width: Length | None = None


def draft_bishop_sleeve(context: DraftContext, options: BishopSleeveOptions) -> DraftResult:
    """Draft a pair of bishop sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Draw a plain long sleeve for the armhole, upper arm and 6 cm wide (common practice), its cap
       1.5 cm longer than the armhole (from memory).
    2. Spread the hem to 1.6 times the wrist and 5 cm (from memory), the underarm seams flaring out
       to it and upright where they end (common practice).
    3. Notch the hem in quarters for the gathers; a sleeve band takes it in (common practice).

    Raises
    ------
    OrderFault : measures or the bodice are missing, or no sleeve can be drawn from them
    """
    plain = SleeveOptions(
        style="long",
        length=options.length,
        ease=options.ease,
        cap_ease=options.cap_ease,
        hem_fullness=options.fullness,
        hem_width=options.hem_width,
    )
    return draft_sleeve(context, plain)


KINDS = (
    DraftKind(
        name="bishop sleeve",
        options=BishopSleeveOptions,
        draft=draft_bishop_sleeve,
        description="a pair of long sleeves, gathered into a band",
        place=26,
        needs_bodice=True,
        carries="sleeve",
        finishes=finishing("armhole"),
    ),
)
