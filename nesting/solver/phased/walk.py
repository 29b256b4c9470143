"""A walker for items that are tied to phases.

It works as one without ties. Items stay on their phases all the while, phases move with all that
is tied to them, and in the linear programme after each success those of one phase move as one.
"""

from __future__ import annotations

import math

from nesting.solver.overlap.bundles import Effort
from nesting.solver.overlap.candidates import random
from nesting.solver.search.prepared import Prepared
from nesting.solver.search.separate import OverlappingLayout, flip_group, shortened, swap_large
from nesting.solver.search.walk import FLIPS, Budget, Walker

_EFFORT = Effort(sweeps=5, patience=200, strikes=3)


class PhasedWalker(Walker):
    """One line of search whose layouts keep their phases. Can be sent between processes."""

    def _effort(self) -> Effort:
        return _EFFORT

    def _next(self, prepared: Prepared, budget: Budget) -> OverlappingLayout:
        """The next layout to free of overlap, on a shorter strip than the best."""
        target = math.floor(self.length * (1 - self.shrink))
        if not self.pool:
            cut = random(self.seeds) * self.length
            return shortened(prepared, self._placed(prepared), target, cut)
        rank = int(len(self.pool) * random(self.seeds) ** 2)
        cut = random(self.seeds) * self.length
        overlapping = shortened(prepared, self.pool[rank][1], target, cut)
        swap_large(prepared, overlapping, self.seeds)
        if random(self.seeds) < FLIPS:
            flip_group(prepared, overlapping, self.seeds)
        if random(self.seeds) < FLIPS:
            self._choose(prepared, overlapping)
        return overlapping

    def _choose(self, prepared: Prepared, overlapping: OverlappingLayout) -> None:
        """Give a phase that has a choice of places another of them."""
        phases = prepared.instance.phases
        several = [
            number
            for number, own in enumerate(prepared.levels)
            if phases[number].choices is not None and len(own) > 1
        ]
        if several:
            number = several[int(random(self.seeds) * len(several))]
            own = prepared.levels[number]
            overlapping.placed.phase[number] = own[int(random(self.seeds) * len(own))]
            overlapping.clamp()
