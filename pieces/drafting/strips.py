"""Strips joined end to end: how many, how long, and the straight pieces they are cut as."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.setting import Needs
from pieces.piece import GrainRule, Line
from pieces.units import Unit, format_length

STRIP_LENGTH_MM = 1400.0
"""A strip that goes across a cloth of 150 cm or along any; common practice."""
_MOST_STRIPS = 200


@dataclass(frozen=True, slots=True)
class Strips:
    """So many strips, each so long between its joins; together they make the whole length."""

    count: int
    each_mm: float


def strips_for(whole_mm: float, strip_mm: float, joins_mm: float) -> Strips:
    """Strips for a length, no longer than `strip_mm` as cut; the joins take `joins_mm` of each.

    The rule of *Dress Making* (NIMI, 2024): the length over what a strip yields, rounded up.

    Raises
    ------
    ValueError : the joins take the whole strip

    >>> strips_for(5400, 1100, 0), strips_for(5500, 1100, 20).count
    (Strips(count=5, each_mm=1080.0), 6)
    """
    if strip_mm <= joins_mm:
        raise ValueError("the joins take the whole strip")
    # What is over by less than a thousandth of a strip's yield is floating error.
    count = max(1, math.ceil(whole_mm / (strip_mm - joins_mm) - 1e-9))
    return Strips(count, whole_mm / count)


def strips_or_fault(needs: Needs, whole_mm: float, strip_mm: float, slant: float = 1.0) -> Strips:
    """The strips for a length with the part's seam allowance at both ends of each.

    Across slanting ends the allowance takes `slant` times as much of the length.
    """
    joins = _joins(needs, strip_mm, slant)
    if joins is None:
        return Strips(1, whole_mm)
    return _not_too_many(needs, strips_for(whole_mm, strip_mm, joins), whole_mm)


def whole_strips(
    needs: Needs, whole_mm: float, strip_mm: float, left_mm: float
) -> tuple[Strips, float]:
    """Strips as long as may be for what is left over from others doesn't make; what they leave.

    There may be none of them.
    """
    joins = _joins(needs, strip_mm)
    if joins is None:
        return Strips(1, whole_mm), 0.0
    each = strip_mm - joins
    count = max(0, math.ceil((whole_mm - left_mm) / each - 1e-9))
    strips = _not_too_many(needs, Strips(count, each), whole_mm)
    return strips, max(0.0, left_mm + count * each - whole_mm)


def _joins(needs: Needs, strip_mm: float, slant: float = 1.0) -> float | None:
    """What joins take of each strip; None and a fault if that is all of it."""
    joins = 2 * slant * needs.setting.part.seam_allowance_mm
    if strip_mm >= joins + 10:
        return joins
    needs.refuse(
        "strip_length",
        f"Strips of {format_length(strip_mm, Unit.CM)} are used up by their joins.",
        "Give a longer strip_length.",
    )
    return None


def _not_too_many(needs: Needs, strips: Strips, whole_mm: float) -> Strips:
    if strips.count > _MOST_STRIPS:
        needs.refuse(
            "strip_length",
            f"It would take {strips.count} strips to make {format_length(whole_mm, Unit.M)}.",
            "Give a longer strip_length or less fullness.",
        )
    return strips


def strip_pattern(
    name: str,
    strips: Strips,
    depth_mm: float,
    grain_rule: GrainRule,
    lower: Role,
    *,
    top: str,
    folded: bool = False,
    pleats_mm: Sequence[float] = (),
) -> Pattern:
    """A strip with its grain across it, from its lower edge to its top, notched in the middle.

    `folded` strips are drawn twice as deep, with the line at which they are folded. `pleats_mm`
    are the places along its top to notch instead, with a line down from each.
    """
    deep = 2 * depth_mm if folded else depth_mm
    end = strips.each_mm
    middle = end / 2
    creases: list[Line] = [((depth_mm, 0.0), (depth_mm, end))] if folded else []
    creases += [((0.0, place), (deep, place)) for place in pleats_mm]
    return Pattern(
        name=name,
        edges=(
            Edge("join", ((0.0, 0.0), (deep, 0.0))),
            Edge(top, ((deep, 0.0), (deep, end)), marks_mm=tuple(pleats_mm) or (middle,)),
            Edge("other join", ((deep, end), (0.0, end))),
            Edge("hem", ((0.0, end), (0.0, 0.0)), lower),
        ),
        grain=((0.0, middle), (deep, middle)),
        cut=strips.count,
        grain_rule=grain_rule,
        drawn_lines=tuple(creases),
        joins=max(0, strips.count - 1),
    )
