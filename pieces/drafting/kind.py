"""A kind of part: its name in an order, its options, its draft, and how it hangs in a garment.

A module of this package that has a draft says so in `KINDS`; nothing else names it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pieces.body.measurements import Body
from pieces.drafting.context import DraftContext, DraftResult


def _nowhere(_: Any) -> str:
    return ""


def _none(_: Any, __: Body) -> float:
    return 0.0


def _not(_: Any) -> bool:
    return False


def _nothing(_: Any) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripAsked:
    """How long an order has a part's strip be, in its own words, for whoever measures it.

    Attributes
    ----------
    at : the edge that it goes by: "edge", that it hangs at or else its top; "top", of a part sewn
        to the waist or a line below it; "waist"
    gathered : whether a fullness, or a length all round instead, says how much longer it is
    length_mm : its length, told instead; None as the edge is
    more_mm : what is added
    """

    at: str
    gathered: bool = False
    length_mm: float | None = None
    more_mm: float = 0.0


def no_strip(_: Any) -> StripAsked | None:
    """For `DraftKind.strip`: it has none whose length the order decides."""
    return None


def gathered_strip(at: str) -> Callable[[Any], StripAsked | None]:
    """For `DraftKind.strip`: one that is gathered to an edge, whatever the options."""
    return lambda _: StripAsked(at=at, gathered=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftKind:
    """One kind of part.

    Attributes
    ----------
    name, options, draft : as an order calls it, the class of its options, and what drafts it
    description : a line on it
    place : where it stands in lists for the reader
    needs_bodice, gives_bodice : whether it is drawn for a bodice before it; whether it is one
    hangs_at : for its options, at whose lower edge it hangs: "skirt", "sleeve" or nothing
    carries : what it is to the parts that hang at its lower edge: "skirt", "sleeve" or nothing
    at_waist : whether its top edge is sewn to the waist seam where it hangs at nothing else
    tiered : whether several, one after another, hang at each other and share a skirt's length
    deepens : whether it lengthens the skirt that it hangs at by its `depth`
    curved_hem : whether its lower edge is curved
    on_elastic : whether it lets a waist be drawn in by elastic
    longer_top, wider_hem : the option that makes its top edge longer, and its hem wider
    side_opening : for its options and a body, how long an opening in a side seam it is sewn into
    finishes : for its options, the edges that it finishes: "neck", "armhole", "waist"
    gives_waist : for its options, its seam that is the waist of what comes after it, or nothing
    waist_to_finish : for its options, whether its upper edge wants a waistband or a casing
    covers_edge : whether it is sewn over a cut edge, of which one is enough
    strip : for its options, how long the order has its strip be; None for no such strip
    level : whether it hangs level from the waist, so that a line below that is drawn on it
    closes_waist : whether it is a band that closes at the waist by a button of its own
    """

    name: str
    options: type[Any]
    draft: Callable[[DraftContext, Any], DraftResult]
    description: str
    place: float
    needs_bodice: bool = False
    gives_bodice: bool = False
    hangs_at: Callable[[Any], str] = _nowhere
    carries: str = ""
    at_waist: bool = False
    tiered: bool = False
    deepens: bool = False
    curved_hem: bool = False
    on_elastic: bool = False
    longer_top: str = ""
    wider_hem: str = ""
    side_opening: Callable[[Any, Body], float] = _none
    finishes: Callable[[Any], tuple[str, ...]] = _nothing
    gives_waist: Callable[[Any], str] = _nowhere
    waist_to_finish: Callable[[Any], bool] = _not
    covers_edge: bool = False
    strip: Callable[[Any], StripAsked | None] = no_strip
    level: bool = False
    closes_waist: bool = False

    @property
    def is_skirt(self) -> bool:
        """Whether it is a skirt by itself: it hangs at the waist and not in tiers."""
        return self.at_waist and self.carries == "skirt" and not self.tiered


def always(edge: str) -> Callable[[Any], str]:
    """For `DraftKind.hangs_at` and `gives_waist`: the same whatever the options."""
    return lambda _: edge


def finishing(*edges: str) -> Callable[[Any], tuple[str, ...]]:
    """For `DraftKind.finishes`: the same whatever the options."""
    return lambda _: edges


def wanting(_: Any) -> bool:
    """For `DraftKind.waist_to_finish`: whatever the options."""
    return True
