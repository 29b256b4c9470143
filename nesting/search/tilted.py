"""The best of a cloth searched once more with pieces a little off the grain."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.packing.fold_place import straight_and_clear
from nesting.packing.section_search import InTwo
from nesting.packing.tilting import tilted_packing
from nesting.search.attempts import lay_on
from nesting.search.candidate import (
    Attempted,
    Candidate,
    FoldPlace,
    Straight,
    straight_or_placed,
    trial_of,
)
from nesting.search.clock import Clock
from nesting.search.jobs import Job
from nesting.search.trial import Trial, shorter_for_less, verified
from nesting.search.warm_start.carry import layouts_like, start_for
from nesting.solver.search.line import Slice


class TiltedOpening(Attempted):
    """A lay that ends opened out, searched on from a trial with pieces off the grain."""

    def __init__(self, job: Job, origin: Trial, seed: int) -> None:
        super().__init__(job, tilted_packing(origin.packing), seed)
        assert origin.section is not None
        self._strips = self.packing, tilted_packing(origin.section[0])
        self._origin = origin

    def take(self, clock: Clock) -> Slice:
        """One search; pieces that need not be off the grain are turned back."""
        starts = layouts_like(self._origin, self._strips)
        return Slice(lay_on, (self._strips, starts, self._means(clock), True))

    def put(self, found: InTwo | None) -> None:
        """Keep it if it is shorter."""
        self.failed = found is None
        if found is not None:
            self._keep(trial_of(found, self.job))


@dataclass(frozen=True, slots=True)
class Tilted:
    """A candidate with pieces off the grain, and the trial that it has to buy less than."""

    origin: Trial
    candidate: Candidate

    def trial(self) -> Trial | None:
        """Its best layout, pieces that need not be off the grain turned back."""
        found = self.candidate.trial()
        if found is None or found.section is not None:
            return found
        there, layout = straight_and_clear(found.packing, found.layout)
        return verified(there, layout, found.bound_mm, self.candidate.job.pieces)


def tilted_from(job: Job, origin: Trial, seed: int) -> Tilted:
    """What is searched with pieces off the grain, from a trial on."""
    if origin.section is not None:
        return Tilted(origin, TiltedOpening(job, origin, seed))
    packing = tilted_packing(origin.packing)
    found = straight_or_placed(job, packing, seed, shorter_for_less(packing))
    start = start_for(packing, [origin])
    if isinstance(found, Straight | FoldPlace) and start is not None:
        found.offer(start)
    return Tilted(origin, found)
