"""What a line of search has had, what it gained, and what it may gain yet."""

from __future__ import annotations

from dataclasses import dataclass, field

_HOPE = 0.08
"""What a search is expected to take off a first layout, as a share of it: about what it does."""
_LEAST = 0.002
"""What a search that stands still may gain all the same, as a share of the length."""
_YOUNG_S = 0.6
"""Seconds of work up to which a search is only hoped of."""


@dataclass(slots=True)
class Effort:
    """Seconds of work so far, and when it led to what length, in millimetres."""

    seconds: float = 0.0
    gains: list[tuple[float, float]] = field(default_factory=list)

    def add(self, seconds: float, length_mm: float) -> None:
        """Enter a slice, and the length after it."""
        self.seconds += seconds
        if not self.gains or length_mm < self.gains[-1][1]:
            self.gains.append((self.seconds, length_mm))

    def begin_anew(self) -> None:
        """What was gained so far tells nothing of what comes."""
        self.gains = []

    @property
    def expected_mm(self) -> float:
        """What as much work again may gain.

        What a search gains falls with the time that it has had: with as much again it gains about
        as much as in the second half of what it had.

        >>> effort = Effort()
        >>> effort.add(1.0, 1600.0)
        >>> effort.add(4.0, 1540.0)
        >>> effort.add(5.0, 1540.0)
        >>> effort.expected_mm
        60.0
        """
        if not self.gains:
            return 0.0
        last_mm = self.gains[-1][1]
        half_mm = next(
            (mm for at, mm in reversed(self.gains) if at <= self.seconds / 2), self.gains[0][1]
        )
        hope = _HOPE * last_mm if self.seconds < _YOUNG_S else _LEAST * last_mm
        return max(half_mm - last_mm, hope)

    @property
    def standing_s(self) -> float:
        """Seconds of work since the last gain."""
        return self.seconds - self.gains[-1][0] if self.gains else self.seconds
