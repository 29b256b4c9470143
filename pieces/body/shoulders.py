"""One shoulder, from whichever of three measures is given: dressmakers take each of them.

Along one shoulder from the side of the neck to its point; from point to point across the back; or
half of that, from the middle.
"""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.body.measurements import Body
from pieces.piece import Finding
from pieces.units import Unit, format_length
from pieces.wording import key

SLOPE_DEG = 15.0
"""Of a shoulder, below the level; from memory. 1/2 to 3/4 in. on a child's shoulder of 8 cm (a
teaching blog, secondary copy) are 9 to 14 degrees; *School Sewing*, on the foundation waist, has a
grown-up's shoulder drop 1 1/2 in., 17 degrees on one of 5 in., and more on a sloping one."""
_LEVEL = math.cos(math.radians(SLOPE_DEG))
_LEAST_MM = 30.0
"""As in `pieces.body.ranges`."""
_WIDEST, _NARROWEST = 0.265, 0.17
"""Middle to shoulder's point over the chest: from 0.20 to 0.24 in all children's tables, to 0.172
for large women, with room to spare; common practice."""
_LONGEST_MM = 185.0
"""One shoulder of a large man; common practice."""


def half_neck(body: Body) -> float:
    """Half the width of the neck, mm: neck / 6 + 5 mm (a pattern teaching site).

    Where the neck is not known, chest / 12 + 1/4 in. (Indian teaching notes).

    >>> half_neck(Body(neck=240.0)), half_neck(Body(chest=600.0))
    (45.0, 56.35)
    """
    if body.neck is not None:
        return body.neck / 6 + 5
    return (body.chest or 0.0) / 12 + 6.35


def one_shoulder(body: Body) -> Body:
    """The body with the length of one shoulder, reckoned from what is given across both."""
    return _read(body)[0]


def shoulder_told(body: Body, unit: Unit = Unit.CM) -> tuple[Finding, ...]:
    """How a shoulder was read that can't be one shoulder's length: code ``shoulder-read-as``.

    Its key begins at the body's garment.

    >>> told = shoulder_told(Body(chest=524.0, neck=240.0, shoulder=230.0))
    >>> [finding.code for finding in told]
    ['shoulder-read-as']
    """
    found, how = _read(body)
    if not how or body.shoulder is None or found.shoulder is None:
        return ()
    message = (
        f"a shoulder of {format_length(body.shoulder, unit)} is too long for one from the neck to "
        f"its point; it is taken as {how}, which makes one shoulder "
        f"{format_length(found.shoulder, unit)}. Write it as "
        + key("across_shoulders")
        + " if it is from point to point, or give one shoulder."
    )
    return (Finding("shoulder-read-as", message, "body.shoulder"),)


def _read(body: Body) -> tuple[Body, str]:
    """The body with one shoulder, and what its own was taken as; nothing if as it is."""
    if body.shoulder is None:
        if body.across_shoulders is None:
            return body, ""
        return replace(body, shoulder=_along(body, body.across_shoulders / 2)), ""
    given, chest = body.shoulder, body.chest
    if chest is None:
        return body, ""
    if given <= _LONGEST_MM and half_neck(body) + given * _LEVEL <= _WIDEST * chest:
        return body, ""
    if _NARROWEST * chest <= given <= _WIDEST * chest:
        how = "half across the shoulders, from the middle"
        return replace(body, shoulder=_along(body, given)), how
    if _NARROWEST * chest <= given / 2 <= _WIDEST * chest:
        return replace(body, shoulder=_along(body, given / 2)), "across both shoulders"
    return body, ""


def _along(body: Body, from_middle: float) -> float:
    """Length of a shoulder whose point lies so far from the middle; at least a body's."""
    return max(_LEAST_MM, (from_middle - half_neck(body)) / _LEVEL)
