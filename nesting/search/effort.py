"""What a line of search has had, what it gained, and what it may gain yet."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

_HOPE = 0.12
"""What as much work again may take off a layout that has had a second, as a share of it."""
_LEAST = 0.002
"""What it may take off at any time."""


@dataclass(slots=True)
class Effort:
    """Seconds of work so far, and when it led to what length, in millimetres.

    `hope` is a share of what most searches gain: of few rectangles most is found at once.
    """

    seconds: float = 0.0
    hope: float = 1.0
    gains: list[tuple[float, float]] = field(default_factory=list)

    def add(self, seconds: float, length_mm: float) -> None:
        """Enter a slice, and the length after it."""
        self.seconds += seconds
        if length_mm == math.inf:
            return
        if not self.gains or length_mm < self.gains[-1][1]:
            self.gains.append((self.seconds, length_mm))

    def begin_anew(self) -> None:
        """What was gained so far tells nothing of what comes."""
        self.gains = []

    @property
    def expected_mm(self) -> float:
        """What as much work again may gain.

        What a search gains falls with the time that it has had: with as much again it gains about
        as much as in the second half of what it had. One that stood still meanwhile may gain all
        the same, so that is half of what is expected; the other half is what most searches gain.

        >>> effort = Effort()
        >>> effort.add(1.0, 1600.0)
        >>> effort.add(4.0, 1540.0)
        >>> effort.add(5.0, 1540.0)
        >>> round(effort.expected_mm, 1)
        8.4
        """
        if not self.gains:
            return 0.0
        last_mm = self.gains[-1][1]
        half_mm = next(
            (mm for at, mm in reversed(self.gains) if at <= self.seconds / 2), self.gains[0][1]
        )
        usual_mm = self.hope * last_mm * max(_LEAST, _HOPE / (1 + self.seconds))
        return (half_mm - last_mm + usual_mm) / 2
