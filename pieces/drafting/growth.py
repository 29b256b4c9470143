"""What a child's clothes are given to grow into: wider seams and a deeper hem, let out later.

Half an inch above the waist and half an inch in the hem for a toddler's size, 1 1/2 in. of skirt at
4 to 6 years, 2 1/4 in. where it reaches the floor: a family magazine's advice of 1976 (secondary
copy).
"""

from __future__ import annotations

from typing import Literal

from pieces.drafting.context import DraftContext
from pieces.piece import Finding

Growth = Literal["none", "one size"]

SIDE_MM = 10.0
"""More at each side seam: 4 cm in all, the step of a European size and more; common practice."""
WAIST_MM = 12.7
_TODDLER_MM, _CHILD_MM, _FLOOR_MM = 12.7, 38.1, 57.2
_TODDLERS_TO_MM = 980.0
"""Of height: 3 years; common practice."""
_FLOOR_FROM = 0.5
"""From waist to hem over the height, of what reaches the floor; common practice."""


def hem_growth(context: DraftContext, growth: Growth, long_mm: float) -> float:
    """How much deeper the hem of a skirt of that length is, to be let down."""
    if growth == "none":
        return 0.0
    height = context.body.height
    if height is not None and long_mm > _FLOOR_FROM * height:
        return _FLOOR_MM
    return _TODDLER_MM if height is not None and height < _TODDLERS_TO_MM else _CHILD_MM


def bodice_told(context: DraftContext, growth: Growth) -> tuple[Finding, ...]:
    """What lies in a bodice's seams: code ``growth-allowed``."""
    if growth == "none":
        return ()
    each, waist = context.told(SIDE_MM), context.told(WAIST_MM)
    message = (
        f"to grow into, the side seams of the bodice have {each} more on each "
        f"edge, {context.told(4 * SIDE_MM)} round in all, and its waist seam {waist} more; leave "
        "them on, and let them out later."
    )
    return (context.finding("growth-allowed", message, "growth"),)


def hem_told(context: DraftContext, name: str, deeper_mm: float) -> tuple[Finding, ...]:
    """What lies in a skirt's hem: code ``growth-allowed``."""
    if not deeper_mm:
        return ()
    message = (
        f"to grow into, the hem of {name} is {context.told(deeper_mm)} deeper; let it down later."
    )
    return (context.finding("growth-allowed", message, "growth"),)
