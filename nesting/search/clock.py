"""How much of a command's budget is spent, and what a slice may take of what is left."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field

from nesting.solver.stop import State, Stop, StopToken, UntilUnlikely, repeats

_FOREVER = 10**12
_ENDLESS = 10**15
_SLICE_SECONDS = 0.5
_SHORTEST_SECONDS = 0.02
_LONG_S = 36_000.0


@dataclass(slots=True)
class Clock:
    """A stop that began at a moment (`time.monotonic`), for everything that is searched.

    A limit of rounds is each lay's own and never looks at the clock; with rounds alone a search
    repeats itself. Once its `token` is asked, nothing is left.
    """

    stop: Stop
    token: StopToken = field(default_factory=StopToken)
    begun: float = field(default_factory=time.monotonic)
    better: float = field(default_factory=time.monotonic)

    @property
    def repeats(self) -> bool:
        """Whether the same search gives the same result again."""
        return repeats(self.stop)

    @property
    def rounds(self) -> float:
        """How many rounds each lay may have; endless if only time limits it."""
        if self.stop(_state(0.0, _FOREVER, 0.0)) < 1:
            return math.inf
        low, high = 0, 1
        while self.stop(_state(0.0, high, 0.0)) < 1:
            low, high = high, 2 * high
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (
                (low, middle) if self.stop(_state(0.0, middle, 0.0)) >= 1 else (middle, high)
            )
        return high

    def spent(self, later: float = 0.0) -> float:
        """The share that the clock has taken, or will have some seconds later."""
        now = time.monotonic() + later
        if self.token.asked:
            return math.inf
        return self.stop(_state(now - self.begun, 0, now - self.better))

    @property
    def is_over(self) -> bool:
        """Whether no time is left."""
        return self.spent() >= 1

    def seconds_until(self, spent: float, most: float = _SLICE_SECONDS) -> float:
        """About the seconds until so much is spent, up to so many; a moment at least."""
        if self.repeats:
            return math.inf
        seconds = most
        while seconds > _SHORTEST_SECONDS and self.spent(seconds) >= spent:
            seconds /= 1.25
        return seconds

    def part(self, share: float) -> Clock:
        """The clock of that which may take so much of the time, from the same moment on."""
        return Clock(self.stop.portion(share), self.token, self.begun, self.better)

    def without(self, seconds: float) -> Clock:
        """The clock with so many seconds kept, half of the time at the most."""
        if self.repeats or self.is_open:
            return self
        left = self.seconds_until(1.0, _LONG_S)
        return self.part(max(0.5, 1.0 - seconds / left))

    @property
    def elapsed(self) -> float:
        """Seconds since it began."""
        return time.monotonic() - self.begun

    @property
    def is_open(self) -> bool:
        """Whether what is found decides when it is over."""
        return isinstance(self.stop, UntilUnlikely)

    def expect(self, seconds: float) -> None:
        """Let so many seconds from its beginning be enough."""
        self.stop = UntilUnlikely(seconds)

    def end(self) -> None:
        """Nothing is left."""
        self.stop = self.stop.portion(0.0)

    def is_better(self) -> None:
        """Something shorter was found just now."""
        self.better = time.monotonic()


def _state(seconds: float, rounds: int, since_better: float) -> State:
    return State(seconds, rounds, _ENDLESS, 0, since_better)
