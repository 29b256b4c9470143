"""Searching the lays of a cloth: all of them briefly, then the best two."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from nesting.budget import Budget
from nesting.carry import Freed, bounded, layouts_like, settled, start_for, tilted_too
from nesting.convert import UNITS_PER_MM, Packing
from nesting.fabric import Fabric, LayName
from nesting.fold_place import searched, straight_and_clear
from nesting.jobs import Job, Partly
from nesting.opening import Sized, may_open, way_to_open
from nesting.prints import ALONG
from nesting.refusals import no_section, section_refused
from nesting.repeats import one_of, repeated
from nesting.section_search import laid_in_two
from nesting.sections import open_packing
from nesting.solver.instance import Layout, Result
from nesting.stop import FirstOf, Fits, State, Stop
from nesting.strict import freed_from, stricter_of
from nesting.tilting import tilted_packing
from nesting.trial import (
    Trial,
    best_of_each_lay,
    may_win,
    shorter_for_less,
    unsettled,
    verified,
    worth,
)
from pieces.errors import CannotFit
from pieces.piece import Finding, Piece

_BRIEF = 0.35
"""The share of a cloth's budget that all its lays have before the best two have the rest."""
_FINALISTS = 2
_ONE = 0.2
"""The share of a cloth's budget for one garment, where several are alike."""
_STRICTER = 0.1
"""The share of a cloth's budget for the same under a stricter nap, where there is one."""
_WORTHWHILE = 0.02
"""A smaller share of the time, left over, is not worth another search."""


@dataclass(frozen=True, slots=True)
class PlanState:
    """How far planning has come: the search at hand, and the share of the budget spent.

    `layout` on `packing` is the best so far of this search, not yet verified; None while a part
    of the lay is searched that is not all of it.
    """

    fabric: str
    lay: LayName
    spent: float
    length_mm: float
    packing: Packing
    layout: Layout | None


Watch = Callable[[PlanState], None]


def ignore(_: PlanState) -> None:
    """Watch nothing."""


class Search:
    """Shares a budget out over fabrics and their lays, and searches each."""

    def __init__(
        self, budget: Budget, seed: int, executor: Executor | None, watch: Watch = ignore
    ) -> None:
        self.budget, self._seed, self._executor, self._watch = budget, seed, executor, watch
        self._open_lay: tuple[Job, Sized] | None = None
        self._known: dict[tuple[Fabric, tuple[Piece, ...]], list[Trial]] = {}
        self.interrupted, self.repeats = False, budget.repeats
        self.findings: dict[tuple[str, LayName], Finding] = {}
        """What to say of lays that could not end opened out, by cloth and lay."""

    def first(self, job: Job) -> list[Trial]:
        """A first layout of the freest lay, at once, so that no cloth waits for the others'.

        None for a cloth of which lengths are in hand, as it is shared out before, nor for one that
        can't do without an opened-out section.
        """
        if job.fabric.in_hand or self.interrupted or not job.packings:
            return []
        try:
            return [self.trial(job, job.packings[-1], 0.0, None)]
        except KeyboardInterrupt:
            self.interrupt()
            return []

    @property
    def is_over(self) -> bool:
        """Whether no time is left."""
        return self.interrupted or self.budget.spent >= 1

    def best_lays(self, job: Job, shown: Sequence[Trial] = ()) -> list[Trial]:
        """The best trial of each lay of a fabric: all lays searched briefly, two to the end.

        The search goes on from what trials of the same pieces have `shown`, as long as there is
        time. After Ctrl-C those that were tried by then; one at least.

        Raises
        ------
        CannotFit : no lay but such as need an opened-out section, and none was found for them
        """
        trials, tilted = list(shown), list[Trial]()
        if trials and self.is_over:
            return bounded(trials, job.pieces, job.least_mm)
        try:
            job, tilted = self._shown_first(job, trials)
            self._all_briefly(job, trials, is_shown=bool(shown))
            if len(job.lays) > _FINALISTS and not self.interrupted:
                self.search_on(job, trials, (1 - _BRIEF) * job.straight_weight / _FINALISTS)
            self._tilt(job, trials)
        except KeyboardInterrupt:
            self.interrupt()
            if not trials:
                self._all_briefly(job, trials)
        if not trials:
            told = (one for (name, _), one in self.findings.items() if name == job.fabric.name)
            raise CannotFit([no_section(job.fabric, one) for one in told])
        least_mm = min(worth(trial)[0] for trial in trials)
        trials += [trial for trial in tilted if worth(trial)[0] < least_mm]
        return bounded(settled(trials, job.pieces), job.pieces, job.least_mm)

    def _shown_first(self, job: Job, trials: list[Trial]) -> tuple[Job, list[Trial]]:
        """Plan the same under a stricter nap, and of several garments one; add what they show.

        Gives what is left to do, and what they show off the grain.
        """
        if self.interrupted or job.settled:
            return job, []
        shown: list[Freed] = []
        spent = 0.0
        stricter = stricter_of(job, most=not self.repeats)
        if stricter is not None:
            shown += freed_from(job, self._under(stricter, _STRICTER * job.weight))
            spent += _STRICTER
        one = None if self.interrupted else one_of(job)
        if one is not None:
            alone = (repeated(job, trial) for trial in self.beforehand(one, _ONE * job.weight))
            shown += [found for found in alone if found is not None]
            spent += _ONE
        trials += [found.trial for found in shown if not found.tilts]
        left = replace(job, share=job.share * (1.0 - spent))
        return left, [found.trial for found in shown if found.tilts]

    def _under(self, stricter: Job, weight: float) -> list[Trial]:
        """What is found under a stricter nap: on all lays if that repeats, else on the freest."""
        if self.repeats:
            return self.beforehand(stricter, weight)
        if not stricter.packings:
            self.budget.give_back(weight)
            return []
        return [self.trial(stricter, stricter.packings[-1], weight, None)]

    def beforehand(self, job: Job, weight: float, shown: Sequence[Trial] = ()) -> list[Trial]:
        """The best trials of another job, searched once where a search would but repeat itself."""
        key = job.fabric, job.pieces
        if key in self._known:
            self.budget.give_back(weight)
            return self._known[key]
        findings = dict(self.findings)  # of another job there is nothing to tell
        try:
            found = self.best_lays(replace(job, share=job.share * weight / job.weight), shown)
        except CannotFit:
            found = []
        self.findings = findings
        if self.repeats and not self.interrupted:
            self._known[key] = found
        return found

    def each_lay(self, job: Job, trials: list[Trial]) -> None:
        """Search every lay equally long, and add what was found to the trials at hand."""
        for lay in job.lays:
            self._lay(job, lay, job.weight / len(job.lays), trials)
            if self.interrupted:
                return

    def interrupt(self) -> None:
        """Search no more; each fabric still to come gets the first layout of one lay."""
        self.interrupted = True
        self.budget.end()

    def _all_briefly(self, job: Job, trials: list[Trial], *, is_shown: bool = False) -> None:
        """Search every lay for a share of the time; no more of them once that is over, if shown."""
        share = _BRIEF if len(job.lays) > _FINALISTS else 1.0
        lays = job.lays[-1:] if self.interrupted else job.lays
        for lay in lays:
            if trials and (self.interrupted or (is_shown and self.is_over)):
                return
            self._lay(job, lay, share * job.straight_weight / len(lays), trials)

    def _lay(self, job: Job, lay: Packing | Partly, weight: float, trials: list[Trial]) -> None:
        """Search a lay that is folded all along, then one that ends in an opened-out section."""
        if isinstance(lay, Partly):
            trials += self._opened(job, lay, {}, weight)
            return
        opens = may_open(lay)
        weight /= 2 if opens else 1
        whole = self.trial(job, lay, weight, start_for(lay, trials))
        trials.append(whole)
        if opens and not self.is_over:
            found = self._opened(job, Partly(lay, {}), lay.senses(whole.marker), weight)
            trials += [trial for trial in found if worth(trial) < worth(whole)]

    def _opened(
        self, job: Job, lay: Partly, senses: Mapping[str, int], weight: float
    ) -> list[Trial]:
        """Search a lay with the section that promises most, if any promises much or it needs one.

        Garments with pieces in both parts lie the way that `senses` tell. Where a print runs on
        along the cloth, they are turned about as well: either may fall in with its repeat.
        """
        way = None
        if not self.interrupted:
            way = way_to_open(lay.packing, self._singly(job), job.pieces, lay.opened)
        choices = [senses]
        if ALONG in lay.packing.prints.axes:
            about = {piece.garment: 1 - senses.get(piece.garment, 0) for piece in job.pieces}
            choices.append(about)
        found: list[Trial | None] = []
        for choice in choices:
            strips = job.strips(lay, [way or lay.opened, lay.opened], choice)
            if strips is None:
                self.budget.give_back(weight / len(choices))
            else:
                found.append(self._parts(job, strips, (None, None), weight / len(choices)))
        return sorted((trial for trial in found if trial is not None), key=worth)[:1]

    def _singly(self, job: Job) -> Sized:
        """First layouts of a job's pieces on open cloth."""
        if self._open_lay is None or self._open_lay[0] is not job:
            self._open_lay = job, Sized(open_packing(job.pieces, replace(job.fabric, flaws=())))
        return self._open_lay[1]

    def _parts(
        self,
        job: Job,
        strips: tuple[Packing, Packing],
        starts: tuple[Layout | None, Layout | None],
        weight: float,
        *,
        straighten: bool = False,
    ) -> Trial | None:
        """Search the folded part of a lay and then its section, within their share.

        None where the print leaves no way, which is then said.
        """
        share = self.budget.share_of(weight)
        lay = strips[0].lay.name

        def solve(strip: Packing, start: Layout | None, part: float) -> Result:
            return self._solved(job, strip, share * part, start, lay)

        found = laid_in_two(strips, starts, solve, straighten=straighten)
        self.budget.give_back(weight)
        if found is None:
            self.findings[job.fabric.name, lay] = section_refused(job.fabric, lay)
            return None
        return verified(found.folded, found.layout, found.bound_mm, job.pieces, found.section)

    def _tilt(self, job: Job, trials: list[Trial]) -> None:
        """Turn pieces off the grain on the best lay, as far as may be; kept if it buys less.

        On the best that ends opened out, and the best that doesn't.
        """
        if not job.tilts:
            return
        whole = [trial for trial in trials if trial.section is None]
        opened = [trial for trial in trials if trial.section is not None]
        best = [min(some, key=worth) for some in (whole, opened) if some]
        weight = job.weight - job.straight_weight
        for trial in best:
            if self.interrupted:
                return
            found = self._tilted(job, trial, weight / len(best))
            if found is not None and worth(found)[0] < worth(trial)[0]:
                trials[trials.index(trial)] = found
        trials[:] = [tilted_too(trial, trials, job.pieces) for trial in trials]

    def _tilted(self, job: Job, best: Trial, weight: float) -> Trial | None:
        """A trial with pieces turned off the grain, those that need not be turned back."""
        packing = tilted_packing(best.packing)
        if best.section is not None:
            strips = packing, tilted_packing(best.section[0])
            starts = layouts_like(best, strips)
            return self._parts(job, strips, starts, weight, straighten=True)
        found = self.trial(job, packing, weight, start_for(packing, [best]))
        there, layout = straight_and_clear(found.packing, found.layout)
        return verified(there, layout, found.bound_mm, job.pieces)

    def use_up(self, found: Sequence[tuple[Job, list[Trial]]]) -> None:
        """Give the time that some cloths left to those whose purchase may still become less.

        Their trials are replaced where more was found.
        """
        if self.repeats or self.budget.share_left < _WORTHWHILE:
            return
        left = [(job, trials) for job, trials in found if unsettled(trials)]
        self.budget.weight_left = sum(job.weight for job, _ in left)
        for job, trials in left:
            try:
                self.search_on(job, trials, job.weight / min(_FINALISTS, len(trials)))
            except KeyboardInterrupt:
                self.interrupt()
            trials[:] = bounded(settled(trials, job.pieces), job.pieces, job.least_mm)

    def search_on(self, job: Job, trials: list[Trial], weight: float) -> None:
        """Search the best two on, the stricter first, so that the freer starts from its answer."""
        best = sorted(best_of_each_lay(trials), key=worth)[:_FINALISTS]
        for index in sorted(trials.index(trial) for trial in best):
            if self.is_over or self.budget.share_left <= 0 or not may_win(trials[index], trials):
                self.budget.give_back(weight)
                continue
            trial = trials[index]
            if trial.section is None:
                start = start_for(trial.packing, trials) or trial.layout
                found: Trial | None = self.trial(job, trial.packing, weight, start)
            else:
                strips = trial.packing, trial.section[0]
                starts = trial.layout, trial.section[1]
                found = self._parts(job, strips, starts, weight)
            # A shorter fold may leave flaws, or a place of the print, in the way.
            trials[index] = min(found or trial, trial, key=worth)

    def trial(
        self,
        job: Job,
        packing: Packing,
        weight: float,
        start: Layout | None,
        enough_mm: float | None = None,
    ) -> Trial:
        """Search one lay within its share of the budget, or until a marker is short enough."""
        share = self.budget.share_of(weight)
        # A layout whose fold has no place yet is none to show.
        part_of = packing.lay.name if packing.lay.moves_flaws(packing.fabric) else None

        def solve(strip: Packing, start: Layout | None, part: float) -> Result:
            return self._solved(job, strip, share * part, start, part_of, enough_mm)

        packing, result = searched(packing, start, solve)
        self.budget.give_back(weight)
        bound_mm = result.bound * packing.lay.lengths / UNITS_PER_MM
        found = verified(packing, result.layout, bound_mm, job.pieces)
        return replace(found, untied=result.untied)

    def _solved(
        self,
        job: Job,
        packing: Packing,
        share: float,
        start: Layout | None,
        part_of: LayName | None = None,
        enough_mm: float | None = None,
    ) -> Result:
        """Search a lay, or a part of one, within a share of the whole budget."""
        from nesting.solver.search import any_shorter, solve

        done = 1.0 - self.budget.share_left
        limit = self.budget.portion(share)
        lengths = packing.lay.lengths

        def tell(state: State) -> None:
            spent = min(1.0, done + share * limit(state))
            length_mm = state.length * lengths / UNITS_PER_MM
            name, lay = job.fabric.name, part_of or packing.lay.name
            assert state.layout is not None  # nothing is told before the first one
            layout = None if part_of else state.layout
            self._watch(PlanState(name, lay, spent, length_mm, packing, layout))

        ends: Stop = limit
        # What a part must lose for the counter to cut less depends on the other.
        shorter = any_shorter if part_of else shorter_for_less(packing)
        if enough_mm is not None:  # no counter cuts that length
            shorter = any_shorter
            ends = FirstOf(limit, Fits(math.floor(enough_mm / lengths * UNITS_PER_MM)))
        result = solve(
            packing.instance,
            ends,
            seed=self._seed,
            start=start,
            watch=tell,
            executor=self._executor,
            shorter=shorter,
        )
        if result.interrupted:
            self.interrupt()
        used = State(result.seconds, result.rounds, result.length, result.bound, 0.0)
        self.budget.pay(share, used)
        return result
