"""The opening that runs on below a waist seam that passes neither chest nor hip. Millimetres."""

from __future__ import annotations

import math

from pieces.body.measurements import Body
from pieces.drafting.context import DraftContext

_OPENS_DOWN = 1 / 6
"""Of the chest, from the waist down to the hip: *The Practical Designer*, lesson 106."""
_ROOM_MM = 50.0
"""So much further down there is room to pass; common practice."""


def opens_down(body: Body) -> float:
    """How far down from the waist an opening must reach, to whole centimetres."""
    return ((body.chest or body.hip or 0.0) * _OPENS_DOWN) // 10 * 10 + _ROOM_MM


def opening_below(context: DraftContext) -> float:
    """How far down a skirt opens below its waist seam; 0 where that passes, or hangs on elastic.

    A dress goes over the head, past the chest, or up over the hip, whichever is easier; a skirt by
    itself over the hip.
    """
    body, bodice = context.body, context.bodice
    seam_mm = context.waist_mm or body.waist
    if seam_mm is None:
        return 0.0
    if bodice is not None:
        if not (bodice.front.opens or bodice.back.opens):
            return 0.0  # a waist seam of a bodice that opens nowhere is told by itself
        over_mm = min(body.chest or math.inf, body.hip or math.inf)
    elif context.on_elastic:
        return 0.0
    else:
        over_mm = body.hip or math.inf
    return opens_down(body) if seam_mm < over_mm < math.inf else 0.0
