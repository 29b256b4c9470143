"""A wearer's measurements."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.fields import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A wearer's measurements in mm; None where neither tape nor table gives one."""

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
