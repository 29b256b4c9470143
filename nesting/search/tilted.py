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
    lay_result_of,
    straight_or_placed,
)
from nesting.search.clock import Clock
from nesting.search.lay_result import LayResult, shorter_for_less, verified
from nesting.search.problem import FabricProblem
from nesting.search.warm_start.transfer import layouts_like, start_for
from nesting.solver.search.line import Slice


class TiltedOpening(Attempted):
    """A lay that ends opened out, searched on from a result with pieces off the grain."""

    def __init__(self, problem: FabricProblem, origin: LayResult, seed: int) -> None:
        super().__init__(problem, tilted_packing(origin.packing), seed)
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
            self._keep(lay_result_of(found, self.problem))


@dataclass(frozen=True, slots=True)
class Tilted:
    """A candidate with pieces off the grain, and the result that it has to buy less than."""

    origin: LayResult
    candidate: Candidate

    def lay_result(self) -> LayResult | None:
        """Its best layout, pieces that need not be off the grain turned back."""
        found = self.candidate.lay_result()
        if found is None or found.section is not None:
            return found
        there, layout = straight_and_clear(found.packing, found.layout)
        return verified(there, layout, found.bound_mm, self.candidate.problem.pieces)


def tilted_from(problem: FabricProblem, origin: LayResult, seed: int) -> Tilted:
    """What is searched with pieces off the grain, from a result on."""
    if origin.section is not None:
        return Tilted(origin, TiltedOpening(problem, origin, seed))
    packing = tilted_packing(origin.packing)
    found = straight_or_placed(problem, packing, seed, shorter_for_less(packing))
    start = start_for(packing, [origin])
    if isinstance(found, Straight | FoldPlace) and start is not None:
        found.offer(start)
    return Tilted(origin, found)
