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
    chest : all round, over the bust
    waist : all round, where it is narrowest
    hip : all round, over the seat
    back_waist : from the bone at the nape down to the waist
    shoulder : one shoulder, from the side of the neck to the shoulder's point
    upper_arm, wrist, neck : all round
    arm : from the shoulder's point to the wrist
    across_shoulders : from one shoulder's point to the other, over the back; instead of `shoulder`
    across_back, across_front : from armhole to armhole, half way down it
    bust_height : a woman's, from the side of the neck down to the bust point, where darts end
    bust_span : a woman's, from one bust point to the other
    front_waist : from the side of the neck over the bust point down to the waist
    rise : from the waist down to the chair on which the wearer sits, at the side
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
    bust_height: Length | None = None
    bust_span: Length | None = None
    front_waist: Length | None = None
    rise: Length | None = None

    @property
    def has_bust(self) -> bool:
        """Whether it is drawn over a bust: both its height and its span are known."""
        return self.bust_height is not None and self.bust_span is not None


OTHER_NAMES = {"bust": "chest"}
"""What else a measure is called: a woman's chest is her bust."""


def in_words(name: str) -> str:
    """A measure's name as the trade says it.

    >>> in_words("back_waist"), in_words("upper_arm")
    ('back waist length', 'upper arm')
    """
    lengths = {
        "back_waist": "back waist length",
        "front_waist": "front waist length",
        "arm": "arm length",
    }
    return lengths.get(name, name.replace("_", " "))
