"""Does what was decided: slices on as many processes as there are, until the clock is spent."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from typing import Any, NamedTuple

from nesting.fabric.plans import Ended
from nesting.search.candidate import Candidate
from nesting.search.clock import Clock
from nesting.search.cloth import ClothSearch
from nesting.search.decide import next_by_rounds, next_by_worth, seconds_enough
from nesting.search.state import PlanState, Watch
from nesting.solver.instance import NoRoom
from nesting.solver.search.line import Slice
from nesting.solver.stop import Seconds, heeding
from pieces.errors import OwnFailure

_PATIENCE_S = 1.0
"""How long slices that are being done when the time is over are waited for."""
_TICK_S = 0.1
"""How often it is looked whether the search was asked to stop."""
_MOMENT_S = 0.01
"""What a first layout is given once the search was stopped; it takes a little more if it must."""
_TELL_S = 0.5
"""At least so often those who watch are told how far it is."""


class Done(NamedTuple):
    """What came of a slice, and the seconds that it took."""

    found: Any
    seconds: float


def done(work: Slice) -> Done:
    """A slice, timed by what this thread worked."""
    begun = time.thread_time()
    found = work.function(*work.args)
    return Done(found, time.thread_time() - begun)


class Runner:
    """Searches cloths on an executor that does so many slices at once, or here without one."""

    def __init__(self, clock: Clock, executor: Executor | None, slots: int, watch: Watch) -> None:
        self.clock, self.executor, self.watch = clock, executor, watch
        self.slots = max(1, slots) if executor is not None else 1
        self.ended = Ended.LIMIT
        self._told = 0.0
        self._spent = 0.0
        self._busy: dict[Future[Done], tuple[ClothSearch, Candidate]] = {}

    def run(self, cloths: Sequence[ClothSearch]) -> None:
        """Search until nothing is left to gain, the clock is spent or its token was asked."""
        self._run(cloths)
        if self.clock.token.asked:
            self.ended = Ended.STOPPED
            for future in self._busy:
                future.cancel()
            self._first_layouts(cloths)
        self._busy = {}

    def _run(self, cloths: Sequence[ClothSearch]) -> None:
        while not self.clock.token.asked:
            over = self._is_over(cloths)
            while not over and len(self._busy) < self.slots:
                if not self._submit(cloths):
                    break
                over = self._is_over(cloths)
            if not self._busy:
                self.ended = self._why(over, cloths)
                return
            ready, _ = wait(
                self._busy,
                timeout=_PATIENCE_S if over else _TICK_S,
                return_when=FIRST_COMPLETED,
            )
            if not ready:
                if over:  # what goes on past the end is no longer wanted
                    self._busy = {}
                continue
            # In the order in which they were begun, so that rounds repeat.
            came = [future for future in self._busy if future in ready]
            better = [self._gather(future) for future in came]
            if self.clock.is_open:
                self.clock.expect(seconds_enough(cloths, self.clock.elapsed))
            while not over and len(self._busy) < self.slots and self._submit(cloths):
                pass
            self._tell([one for one in better if one is not None], cloths)

    def _why(self, over: bool, cloths: Sequence[ClothSearch]) -> Ended:
        """Why it ended, that not having been stopped."""
        if over and not self.clock.is_open:
            return Ended.LIMIT
        if any(cloth.leading.in_columns for cloth in cloths):
            return Ended.COLUMNS
        if not over and self.clock.rounds == math.inf:
            return Ended.SETTLED
        return Ended.UNLIKELY if self.clock.is_open else Ended.LIMIT

    def _is_over(self, cloths: Sequence[ClothSearch]) -> bool:
        return self.clock.is_over and all(
            cloth.length_mm < math.inf or cloth.is_done() for cloth in cloths
        )

    def _submit(self, cloths: Sequence[ClothSearch]) -> bool:
        """Begin the next slice; whether there was one."""
        decide = next_by_rounds if self.clock.repeats else next_by_worth
        chosen = decide(cloths, self.slots)
        if chosen is None:
            return False
        cloth, one = chosen
        work = one.take(self.clock)
        one.busy += 1
        if self.executor is not None:
            future = self.executor.submit(done, work)
        else:
            future = Future()
            try:
                with heeding(self.clock.token):
                    future.set_result(done(work))
            except NoRoom as fault:
                future.set_exception(fault)
            except BaseException:
                one.busy -= 1
                raise
        self._busy[future] = cloth, one
        return True

    def _gather(self, future: Future[Done]) -> tuple[ClothSearch, Candidate] | None:
        """Enter what came of a slice; whose it is, if it is shorter."""
        cloth, one = self._busy.pop(future)
        one.busy -= 1
        before = one.length_mm
        try:
            came = future.result()
        except NoRoom:
            one.failed = True
            return None
        try:
            one.put(came.found)
        except OwnFailure as fault:
            one.drop(fault)
        one.effort.add(came.seconds, one.outlook_mm)
        if one.length_mm >= before:
            return None
        self.clock.is_better()
        cloth.share(one)
        return cloth, one

    def _tell(
        self, better: Sequence[tuple[ClothSearch, Candidate]], cloths: Sequence[ClothSearch]
    ) -> None:
        """Tell those who watch of what is shorter, and now and then how far it is."""
        told = list(better)
        if not told and time.monotonic() - self._told > _TELL_S:
            told = [(cloth, one) for cloth, one in list(self._busy.values())[:1]]
        for cloth, one in told:
            if one.length_mm == math.inf:
                continue
            self._told = time.monotonic()
            packing, layout = one.shown()
            whole = (
                one.problem.pieces == cloth.pieces and one.problem.fabric == cloth.problem.fabric
            )
            self._spent = max(self._spent, min(1.0, self._share(cloths)))
            self.watch(
                PlanState(
                    cloth.problem.fabric.name,
                    one.lay,
                    self._spent,
                    cloth.length_mm if cloth.length_mm < math.inf else one.length_mm,
                    packing,
                    layout if whole else None,
                    cloth.bought,
                    cloth.bolt,
                )
            )

    def _share(self, cloths: Sequence[ClothSearch]) -> float:
        """How far it is: by the clock, or by what has had its rounds."""
        if not self.clock.repeats:
            return self.clock.spent()
        every = [one for cloth in cloths for one in cloth.candidates()]
        return sum(one.is_done(self.clock) for one in every) / max(1, len(every))

    def _first_layouts(self, cloths: Sequence[ClothSearch]) -> None:
        """A first layout of each cloth that has none, whatever the clock says."""
        self.clock.end()
        # One that looks at the clock, as rounds don't: first layouts are broken off.
        over = Clock(Seconds(_MOMENT_S))
        for cloth in cloths:
            cloth.hurry()
            for one in cloth.candidates():
                while cloth.length_mm == math.inf and not one.is_done(over):
                    one.busy = 0
                    one.put(done(one.take(over)).found)
