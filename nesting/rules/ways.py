"""Which ways a piece may lie, by its grain and the cloth's nap."""

from __future__ import annotations

from dataclasses import replace

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import MOST_TILT_DEG, Nap
from pieces.piece import GrainRule

_BASE_TURNS = {
    GrainRule.LENGTHWISE: (0.0,),
    GrainRule.CROSSWISE: (90.0, -90.0),
    GrainRule.BIAS: (45.0, -45.0),
    GrainRule.ANY: (0.0, 90.0, -90.0),
}
_ONE_WAY_TURNS = {
    GrainRule.LENGTHWISE: (0.0,),
    GrainRule.CROSSWISE: (90.0,),
    GrainRule.BIAS: (45.0,),
    GrainRule.ANY: (0.0, 90.0),
}
"""With a nap: pieces of one grain rule point their arrows one way, or they shade."""
_TILTS = (0.0, -1.0, -0.5, 0.5, 1.0)
"""Turns off the grain that are tried, as shares of the tilt that is allowed."""


def signed(turn_deg: float) -> float:
    """The same turn between -180 (excluded) and 180."""
    return 180.0 - (180.0 - turn_deg) % 360.0


def turns(rule: GrainRule, nap: Nap) -> tuple[float, ...]:
    """All turns in degrees that the grain and the nap allow one piece by itself.

    With a nap its arrow points one way, end for end of that where a garment may be turned about.
    Which way crosswise ones point is free, so long as all do that are to match.

    >>> turns(GrainRule.LENGTHWISE, Nap.ONE_WAY)
    (0.0,)
    >>> turns(GrainRule.ANY, Nap.NONE)
    (0.0, 90.0, -90.0, 180.0)
    """
    base = _BASE_TURNS if nap is Nap.NONE else _ONE_WAY_TURNS
    about = nap is not Nap.ONE_WAY or rule is GrainRule.CROSSWISE
    senses = (0.0, 180.0) if about else (0.0,)
    found = (signed(turn + sense) for sense in senses for turn in base[rule])
    return tuple(dict.fromkeys(found))


def directions(rule: GrainRule, turn_deg: float) -> tuple[int, ...]:
    """The senses of the nap that a turn can belong to: 0 as drawn, 1 turned end for end.

    For crosswise pieces, the two ways that they may point across the cloth. A small tilt
    changes nothing.
    """
    return tuple(
        sense
        for sense in (0, 1)
        if any(
            abs(signed(turn_deg - 180.0 * sense - base)) <= MOST_TILT_DEG
            for base in _ONE_WAY_TURNS[rule]
        )
    )


def tilted(cut: Cut, tilt_deg: float) -> Cut:
    """The cut with ways a little off the grain behind each that keeps to it; none on a fold."""
    if cut.on_fold:
        return cut
    straight = [one for one in cut.orientations if is_straight(cut.piece.grain_rule, one[0])]
    ways = ((turn + tilt_deg * off, hand) for turn, hand in straight for off in _TILTS)
    return replace(cut, orientations=tuple(ways))


def is_straight(rule: GrainRule, turn_deg: float) -> bool:
    """Whether a turn keeps to the grain.

    >>> is_straight(GrainRule.LENGTHWISE, 180), is_straight(GrainRule.LENGTHWISE, 1)
    (True, False)
    """
    return turn_deg in turns(rule, Nap.NONE)


def of_one_sense(rule: GrainRule, turn_deg: float) -> tuple[float, ...]:
    """The turns that lie one way along a nap with a turn."""
    sense = 180.0 * directions(rule, turn_deg)[0]
    return tuple(signed(turn + sense) for turn in _ONE_WAY_TURNS[rule])
