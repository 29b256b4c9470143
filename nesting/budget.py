"""The budget of a plan, shared out over its searches by what each weighs."""

from __future__ import annotations

import math
import time

from nesting.stop import State, Stop, repeats, spent_by

_FOREVER_S, _LONG_S, _SHORT_S = 1e9, 256.0, 0.05


class Budget:
    """What is left of a stop, and of the weights of the searches to come.

    It began when it was made, or at a moment given (`time.monotonic`): what goes by between the
    searches is spent as well. One of rounds never looks at the clock.
    """

    def __init__(self, stop: Stop, weight: float, begun: float | None = None) -> None:
        self._begun = time.monotonic() if begun is None else begun
        self._stop = stop
        self.weight_left = weight
        self.share_left = 1.0

    @property
    def spent(self) -> float:
        """The share of it that the clock has taken; with rounds alone none is, ever."""
        return spent_by(self._stop, time.monotonic() - self._begun)

    @property
    def repeats(self) -> bool:
        """Whether a search within it gives the same result again, as rounds are not shared out."""
        return repeats(self._stop)

    def seconds_until(self, spent: float) -> float:
        """About the seconds until so much is spent, some minutes at most; endless if by rounds."""
        now, seconds = time.monotonic() - self._begun, _LONG_S
        if spent_by(self._stop, _FOREVER_S) < spent:
            return math.inf
        while seconds > _SHORT_S and spent_by(self._stop, now + seconds) > spent:
            seconds /= 2
        return seconds

    def share_of(self, weight: float) -> float:
        """The share of the whole that there is for a weight: all that is left for all the rest."""
        self.share_left = min(self.share_left, max(0.0, 1.0 - self.spent))
        if weight < self.weight_left:
            return self.share_left * weight / self.weight_left
        return self.share_left if weight > 0 else 0.0

    def portion(self, share: float) -> Stop:
        """The stop of a search with that share."""
        return self._stop.portion(share)

    def pay(self, share: float, used: State) -> None:
        """Take away what a search with that share has used.

        A first layout may take longer than its share; the searches to come make up for it.
        """
        self.share_left = max(0.0, self.share_left - share * self._stop.portion(share)(used))

    def give_back(self, weight: float) -> None:
        """Leave what a weight would have had to the searches to come."""
        self.weight_left -= weight

    def end(self) -> None:
        """Nothing is left."""
        self._stop = self._stop.portion(0.0)
        self.share_left = 0.0
