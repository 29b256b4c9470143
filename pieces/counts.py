"""Whole numbers of something that lengths ask for: pleats, strips, panels, chords.

A ratio of two lengths that is a whole number, or half-way between two, hardly ever comes out as
just that: a waist in inches differs from the same in centimetres in the last bit. So a ratio is
taken for the nearest of these as soon as it is within a billionth of it, and halves go up. An
order then gives the same counts in every unit.

>>> at_least(3.0000000001), at_most(2.9999999999), nearest(7.5), nearest(7.4999999999)
(3, 3, 8, 8)
"""

from __future__ import annotations

import math

_SAME = 1e-9
"""Far more than floating error, and of a strip as long as cloth is wide a millionth of a mm."""


def at_least(ratio: float) -> int:
    """The least whole number that is no less than a ratio."""
    return math.ceil(ratio - _SAME)


def at_most(ratio: float) -> int:
    """The greatest whole number that is no more than a ratio."""
    return math.floor(ratio + _SAME)


def nearest(ratio: float) -> int:
    """The whole number nearest to a ratio; of two as near the greater."""
    return at_most(ratio + 0.5)
