"""What an order may say of a flared skirt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext
from pieces.drafting.growth import Growth
from pieces.fields import Count, Flag, Length, LengthOrZero, Ratio

CIRCLES = {"full": 1.0, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


@dataclass(frozen=True, slots=True, kw_only=True)
class FlaredSkirtOptions:
    """Options of a flared skirt; each may be left out.

    Attributes
    ----------
    circle : full, three-quarter, half or quarter: how much of a circle it is
    length : from waist to hem, without a band; waist to knee, 0.28 of the height (from memory)
    waist_fullness : the top edge over the waist it is gathered to; 1
    radius : at which the waist is cut, from the middle of the circle to the cut edge; as the waist
        asks. What the edge is then longer than the waist is gathered in
    panels : from how many it is sewn; 2, or 1 for a quarter circle (common practice). A full circle
        in 1 has no seam: it is drawn as a quarter, for the corner of two folds
    opening : centre back or centre front (one panel has its only seam there, of two that one is
        cut apart), side or none; centre back, or below a bodice's front opening
    slit : how far down from the waist a full circle in one panel is slit to open; 15 cm (common
        practice)
    opening_allowance : where the opening is; 2 cm for a zip (common practice)
    on_fold : whether a panel is drawn as a half on the fold; so for one or two panels
    back_longer : by how much the hem is lower behind than in front, falling from there round the
        sides; 0
    growth : none, or one size: the hem is then deeper, to be let down, as far as a curved hem lies
        flat (a state extension's It's Fun to Sew; depths by a family magazine's advice of 1976,
        secondary copy)
    horsehair : whether the hem is stiffened with horsehair braid; so on a full circle
    lining_shorter : by how much the lining ends above the hem; 0
    lining_hem_allowance : the shell's
    """

    circle: Literal["full", "three-quarter", "half", "quarter"] = "half"
    length: Length | None = None
    waist_fullness: Ratio = 1.0
    radius: Length | None = None
    panels: Count | None = None
    opening: Literal["centre back", "centre front", "side", "none"] | None = None
    opening_allowance: LengthOrZero = 20.0
    slit: Length = 150.0
    back_longer: LengthOrZero = 0.0
    on_fold: Flag | None = None
    growth: Growth = "none"
    horsehair: Flag | None = None
    lining_shorter: LengthOrZero = 0.0
    lining_hem_allowance: LengthOrZero | None = None

    @property
    def panel_count(self) -> int:
        """How many panels, the trade's choice where none is told."""
        return self.panels or (1 if self.circle == "quarter" else 2)

    @property
    def seamless(self) -> bool:
        """Whether it is a whole circle in one panel."""
        return self.circle == "full" and self.panel_count == 1

    @property
    def panel_deg(self) -> float:
        """Angle of one panel, opened out."""
        return 360.0 * CIRCLES[self.circle] / self.panel_count


def opening_of(context: DraftContext, options: FlaredSkirtOptions) -> str:
    """Where it opens: below the bodice's opening unless told."""
    if options.opening is not None:
        return options.opening
    bodice = context.bodice
    in_front = bodice is not None and bodice.front.opens
    return "centre front" if in_front else "centre back"
