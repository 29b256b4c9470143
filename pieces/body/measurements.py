"""A wearer's measurements."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.fields import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A wearer's measurements in mm; None where neither tape nor table gives one.

    Attributes
    ----------
    height : standing, without shoes
    chest, waist, hip : all round; the waist where it is narrowest
    back_waist : from the bone at the nape down to the waist
    shoulder : one shoulder, from the side of the neck to the shoulder's point
    upper_arm, wrist, neck : all round
    arm : from the shoulder's point to the wrist
    across_shoulders : from one shoulder's point to the other, over the back; instead of `shoulder`
    across_back, across_front : from armhole to armhole, half way down it
    """

    height: Length | None = None
    chest: Length | None = None
    waist: Length | None = None
    hip: Length | None = None
    back_waist: Length | None = None
    shoulder: Length | None = None
    upper_arm: Length | None = None
    arm: Length | None = None
    wrist: Length | None = None
    neck: Length | None = None
    across_shoulders: Length | None = None
    across_back: Length | None = None
    across_front: Length | None = None


def in_words(name: str) -> str:
    """A measure's name as the trade says it.

    >>> in_words("back_waist"), in_words("upper_arm")
    ('back waist length', 'upper arm')
    """
    lengths = {"back_waist": "back waist length", "arm": "arm length"}
    return lengths.get(name, name.replace("_", " "))
