"""Budgets of a run: rounds, time on the clock, or processor time."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from nesting.solver.stop import FirstOf, Rounds, Seconds, State, Stop


@dataclass(frozen=True, slots=True)
class CpuSeconds:
    """Stop once this process has worked for so long since the stop was made.

    Other work on the machine hardly distorts it. Other processes' time is not counted, so it is
    good for a search without an executor only.
    """

    seconds: float
    begun: float = field(default_factory=time.process_time)

    def __call__(self, _: State) -> float:
        """The share of the time that is spent."""
        return (time.process_time() - self.begun) / self.seconds

    def portion(self, share: float) -> CpuSeconds:
        """That share of the time, from the same moment on."""
        return CpuSeconds(max(self.seconds * share, 1e-9), self.begun)


@dataclass(frozen=True, slots=True)
class Budget:
    """What a run may spend: seconds, rounds or whichever is first.

    With `cpu`, seconds are processor time of one process.
    """

    seconds: float | None
    rounds: int | None = None
    cpu: bool = False

    def stop(self) -> Stop:
        """A stop that begins now. Rounds alone never look at the clock, so that they repeat."""
        stops: list[Stop] = [] if self.rounds is None else [Rounds(self.rounds)]
        if self.seconds is not None:
            stops.append(CpuSeconds(self.seconds) if self.cpu else Seconds(self.seconds))
        return FirstOf(*stops)

    @property
    def clock(self) -> Callable[[], float]:
        """What a run's seconds are read from."""
        return time.process_time if self.cpu else time.perf_counter

    def __str__(self) -> str:
        parts = [] if self.rounds is None else [f"{self.rounds} rounds"]
        if self.seconds is not None:
            parts.append(f"{self.seconds:g} s{' of processor time' if self.cpu else ''}")
        return " or ".join(parts)
