"""A peplum: a short flared skirt over another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.context import DraftContext, DraftResult
from pieces.drafting.kind import DraftKind
from pieces.drafting.skirts.flared_options import FlaredSkirtOptions
from pieces.drafting.skirts.flared_skirt import ring_skirt
from pieces.fields import Flag, Length


@dataclass(frozen=True, slots=True, kw_only=True)
class PeplumOptions(FlaredSkirtOptions):
    """Options of a peplum: those of a flared skirt, with other values where none is told.

    Attributes
    ----------
    circle : full
    length : from waist to hem; 10 cm (common practice)
    horsehair : whether the hem is stiffened with horsehair braid
    """

    circle: Literal["full", "three-quarter", "half", "quarter"] = "full"
    length: Length | None = 100.0
    horsehair: Flag | None = False


def draft_peplum(context: DraftContext, options: PeplumOptions) -> DraftResult:
    """Draft a peplum, a short flared skirt over the one that the waist carries.

    Steps
    -----
    1. Strike the waist as for a flared skirt, of a full circle: its radius is the waist seam, with
       any fullness, over 2 pi (geometry; so stated by a teaching blog, secondary copy).
    2. Strike the hem 10 cm further out (common practice).
    3. Part, open and grain the ring as a flared skirt (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no such peplum can be drawn
    """
    return ring_skirt(context, options, "peplum")


KINDS = (
    DraftKind(
        name="peplum",
        options=PeplumOptions,
        draft=draft_peplum,
        description="a short flared skirt over another",
        place=100,
        at_waist=True,
        longer_top="waist_fullness",
        wider_hem="circle",
        level=True,
    ),
)
