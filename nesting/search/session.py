"""One command's search: where it runs, for how long, and what was found on the way."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import replace
from typing import Unpack

from nesting.fabric.fabric import Bolt, LayName
from nesting.fabric.plans import Ended
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.fold_place import searched
from nesting.packing.section_search import InTwo, laid_in_two
from nesting.search.clock import Clock
from nesting.search.cloth import ClothSearch
from nesting.search.lay_result import LayResult, shorter_for_less, verified
from nesting.search.options import USUAL, Asked, SearchOptions
from nesting.search.problem import FabricProblem
from nesting.search.runner import Runner
from nesting.search.state import PlanState, ignore
from nesting.solver.instance import Layout, Result
from nesting.solver.stop import FirstOf, Fits, State, Stop, heeding


class Session:
    """What every search of one command shares.

    `executor` does `jobs` things at once; without one all is done here. `finals` is the share of
    the time that is kept for what comes after. Once the clock's token was asked, nothing more is
    searched.
    """

    def __init__(
        self, clock: Clock, *, finals: float = 0.0, **options: Unpack[SearchOptions]
    ) -> None:
        self.clock, self.finals = clock, finals
        self.seed = options.get("seed", 1)
        self.executor, self.watch = options.get("executor"), options.get("watch", ignore)
        self.slots = options.get("jobs") or os.cpu_count() or 1
        self.searching = clock.part(1.0 - finals)
        self.ended = Ended.SETTLED
        self._known: dict[tuple[object, ...], ClothSearch] = {}
        self._done = 0.0

    @property
    def interrupted(self) -> bool:
        """Whether it was asked to stop."""
        return self.clock.token.asked

    @property
    def is_over(self) -> bool:
        """Whether no time is left."""
        return self.clock.is_over

    def part(self, share: float) -> Stop:
        """The stop of one search that may spend a share of the whole; none once it is over."""
        return self.clock.stop.portion(0.0 if self.is_over else share)

    def cloth(
        self,
        problem: FabricProblem,
        asked: Asked = USUAL,
        *,
        shown: Sequence[LayResult] = (),
        bolt: Bolt | None = None,
    ) -> ClothSearch:
        """A cloth to be searched with others."""
        return ClothSearch(
            problem, self.seed, self.searching, asked, self._known, shown=shown, bolt=bolt
        )

    def search(self, cloths: Sequence[ClothSearch]) -> None:
        """Search cloths together, for as long as the clock lets it."""
        runner = Runner(self.searching, self.executor, self.slots, self.watch)
        runner.run(cloths)
        self.ended = runner.ended
        if (
            self.clock.is_open and not self.interrupted
        ):  # what comes after has its share of what that took
            self.clock.expect(self.clock.elapsed / (1.0 - self.finals))

    # --- one strip in one go ---

    def lay_result(
        self,
        problem: FabricProblem,
        packing: Packing,
        stop: Stop,
        start: Layout | None,
        enough_mm: float | None = None,
    ) -> LayResult:
        """Search one lay until `stop`, or until a marker is short enough."""
        # A layout whose fold has no place yet is none to show.
        part_of = packing.lay.name if packing.lay.moves_flaws(packing.fabric) else None

        def solve(strip: Packing, start: Layout | None, part: float) -> Result:
            return self._solved(problem, strip, stop.portion(part), start, part_of, enough_mm)

        packing, result = searched(packing, start, solve)
        bound_mm = result.bound * packing.lay.lengths / UNITS_PER_MM
        found = verified(packing, result.layout, bound_mm, problem.pieces)
        return replace(found, untied=result.untied)

    def in_two(
        self,
        problem: FabricProblem,
        strips: tuple[Packing, Packing],
        starts: tuple[Layout | None, Layout | None],
        stop: Stop,
        *,
        straighten: bool = False,
    ) -> LayResult | None:
        """Search the folded part of a lay, then its section; None where a print leaves no way."""

        def solve(strip: Packing, start: Layout | None, part: float) -> Result:
            return self._solved(problem, strip, stop.portion(part), start, strips[0].lay.name)

        found: InTwo | None = laid_in_two(strips, starts, solve, straighten=straighten)
        if found is None:
            return None
        return verified(found.folded, found.layout, found.bound_mm, problem.pieces, found.section)

    def _solved(
        self,
        problem: FabricProblem,
        packing: Packing,
        stop: Stop,
        start: Layout | None,
        part_of: LayName | None = None,
        enough_mm: float | None = None,
    ) -> Result:
        from nesting.solver.search.line import any_shorter
        from nesting.solver.solve import solve

        lengths = packing.lay.lengths

        def tell(state: State) -> None:
            assert state.layout is not None  # nothing is told before the first one
            self._done = max(self._done, min(1.0, self.clock.spent()))
            length_mm = state.length * lengths / UNITS_PER_MM
            layout = None if part_of else state.layout
            name, lay = problem.fabric.name, part_of or packing.lay.name
            self.watch(PlanState(name, lay, self._done, length_mm, packing, layout, tried=True))

        # What a part must lose for the counter to cut less depends on the other.
        shorter = any_shorter if part_of else shorter_for_less(packing)
        ends = stop
        if enough_mm is not None:  # no counter cuts that length
            shorter = any_shorter
            ends = FirstOf(ends, Fits(math.floor(enough_mm / lengths * UNITS_PER_MM)))
        with heeding(self.clock.token):
            return solve(
                packing.instance,
                ends,
                seed=self.seed,
                start=start,
                watch=tell,
                executor=self.executor,
                shorter=shorter,
            )
