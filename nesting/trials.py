"""Searching the lays of a cloth: all of them briefly, then the best two."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from nesting.convert import UNITS_PER_MM, Keyed, Packing
from nesting.fabric import Fabric, LayName
from nesting.figures import cut_metres
from nesting.jobs import Job
from nesting.lay import Lay
from nesting.marker import Marker
from nesting.parts import wanted_area_mm2
from nesting.plans import ComparedLay
from nesting.purchase import longest_for_less, purchase, waste_percent
from nesting.repeats import one_of, repeated
from nesting.solver.instance import Layout
from nesting.stop import FirstOf, Fits, State, Stop
from nesting.tilting import straightened, tilted_packing
from nesting.unfold import carried_over, opened
from nesting.verify import require_valid
from pieces.piece import Piece

_BRIEF = 0.35
"""The share of a cloth's budget that all its lays have before the best two have the rest."""
_FINALISTS = 2
_ONE = 0.2
"""The share of a cloth's budget for one garment, where several are alike."""
_TILTING = 0.3
"""The share of a cloth's budget for turning pieces off the grain, where it allows that."""
_WORTHWHILE = 0.02
"""A smaller share of the time, left over, is not worth another search."""
_ROUNDING_MM = 0.001


@dataclass(frozen=True, slots=True)
class PlanState:
    """How far planning has come: the search at hand, and the share of the budget spent.

    `layout` on `packing` is the best so far of this search, not yet verified.
    """

    fabric: str
    lay: LayName
    spent: float
    length_mm: float
    packing: Packing
    layout: Layout


Watch = Callable[[PlanState], None]


def ignore(_: PlanState) -> None:
    """Watch nothing."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One lay searched: its verified marker, and a bound below any marker on it.

    `untied` is a layout of the same pieces that leaves the print out of account.
    """

    packing: Packing
    layout: Layout
    marker: Marker
    bound_mm: float
    untied: Layout | None = None

    @property
    def fabric(self) -> Fabric:
        """The cloth, at the width tried."""
        return self.packing.fabric


def figures(trial: Trial, pieces: Sequence[Piece]) -> ComparedLay:
    """What a trial comes to, beside others."""
    fabric, marker = trial.fabric, trial.marker
    bought = purchase(fabric, marker.length_mm)
    wanted_mm2 = sum(map(wanted_area_mm2, pieces))
    return ComparedLay(
        lay=marker.lay,
        width_mm=fabric.width_mm,
        length_mm=marker.length_mm,
        least_possible_mm=trial.bound_mm,
        purchase_mm=bought.length_mm,
        cost=bought.cost,
        waste_percent=waste_percent(fabric, wanted_mm2, marker.length_mm),
        cut_outlines=len(marker.placements),
        cut_metres=cut_metres(marker, trial.packing.lay),
        joins=sum(piece.joins for piece in pieces),
    )


def worth(trial: Trial) -> tuple[float, ...]:
    """Smaller is better: the least to buy, then the fewest outlines, then the least length."""
    marker = trial.marker
    bought = purchase(trial.fabric, marker.length_mm).length_mm
    return bought, len(marker.placements), marker.length_mm


def _worth_and_bound(trial: Trial) -> tuple[float, ...]:
    return *worth(trial), -trial.bound_mm


def best_of_each_lay(trials: Iterable[Trial]) -> list[Trial]:
    """The best trial of every lay, in the order in which the lays were tried."""
    best: dict[LayName, Trial] = {}
    for trial in trials:
        known = best.setdefault(trial.marker.lay, trial)
        best[trial.marker.lay] = min(known, trial, key=_worth_and_bound)
    return list(best.values())


class Search:
    """Shares a budget out over fabrics and their lays, and searches each."""

    def __init__(
        self, stop: Stop, seed: int, executor: Executor | None, watch: Watch, weight: float
    ) -> None:
        self._stop, self._seed, self._executor, self._watch = stop, seed, executor, watch
        self._weight_left = weight
        self._share_left = 1.0
        self.interrupted = False

    def best_lays(self, job: Job, shown: Sequence[Trial] = ()) -> list[Trial]:
        """The best trial of each lay of a fabric: all lays searched briefly, two to the end.

        The search goes on from what trials of the same pieces have `shown`. After Ctrl-C those
        that were tried by then; one at least.
        """
        trials = list(shown)
        try:
            job = self._one_first(job, trials)
            self._all_briefly(job, trials)
            self._best_to_the_end(job, trials)
            self._tilt(job, trials)
        except KeyboardInterrupt:
            self.interrupt()
            if not trials:
                self._all_briefly(job, trials)
        return bounded(settled(trials, job.pieces), job.pieces)

    def _one_first(self, job: Job, trials: list[Trial]) -> Job:
        """Of several garments alike plan one, and add what it shows for all; what is left to do."""
        one = one_of(job, _ONE)
        if one is None or self.interrupted:
            return job
        for alone in self.best_lays(one):
            same = (p for p in job.packings if p.lay == alone.packing.lay)
            for straight in same:
                packing = tilted_packing(straight) if job.fabric.tilt_deg else straight
                layout = repeated(packing, job, alone.packing, alone.marker)
                if layout is not None:
                    trials.append(verified(packing, layout, 0.0, job.pieces))
        return replace(job, share=job.share * (1 - _ONE))

    def each_lay(self, job: Job, trials: list[Trial]) -> None:
        """Search every lay equally long, and add what was found to the trials at hand."""
        for packing in job.packings:
            share = job.weight / len(job.packings)
            trials.append(self.trial(job, packing, share, start_for(packing, trials)))
            if self.interrupted:
                return

    def interrupt(self) -> None:
        """Search no more; each fabric still to come gets the first layout of one lay."""
        self.interrupted = True
        self._stop = self._stop.portion(0.0)

    def _all_briefly(self, job: Job, trials: list[Trial]) -> None:
        share = _BRIEF if len(job.packings) > _FINALISTS else 1.0
        packings = job.packings[-1:] if self.interrupted else job.packings
        for packing in packings:
            if self.interrupted and trials:
                return
            weight = share * self._straight_weight(job) / len(packings)
            trials.append(self.trial(job, packing, weight, start_for(packing, trials)))

    def _best_to_the_end(self, job: Job, trials: list[Trial]) -> None:
        if len(job.packings) > _FINALISTS and not self.interrupted:
            weight = (1 - _BRIEF) * self._straight_weight(job) / _FINALISTS
            self._search_on(job, trials, weight)

    @staticmethod
    def _straight_weight(job: Job) -> float:
        return job.weight * (1 - _TILTING if job.tilts else 1.0)

    def _tilt(self, job: Job, trials: list[Trial]) -> None:
        """Turn pieces off the grain on the best lay, as far as may be; kept if it buys less."""
        if not job.tilts or self.interrupted:
            return
        best = min(trials, key=worth)
        packing = tilted_packing(best.packing)
        weight = job.weight - self._straight_weight(job)
        found = self.trial(job, packing, weight, start_for(packing, [best]))
        if worth(found)[0] >= worth(best)[0]:
            return
        layout = straightened(packing, found.layout)
        trials[trials.index(best)] = verified(packing, layout, found.bound_mm, job.pieces)
        trials[:] = [_tilted_too(trial, trials, job.pieces) for trial in trials]

    def use_up(self, found: Sequence[tuple[Job, list[Trial]]]) -> None:
        """Give the time that some cloths left to those whose purchase may still become less.

        Their trials are replaced where more was found.
        """
        shared_out = self._stop.portion(0.5) != self._stop
        if self.interrupted or not shared_out or self._share_left < _WORTHWHILE:
            return
        unsettled = [(job, trials) for job, trials in found if _unsettled(trials)]
        self._weight_left = sum(job.weight for job, _ in unsettled)
        for job, trials in unsettled:
            try:
                self._search_on(job, trials, job.weight / min(_FINALISTS, len(trials)))
            except KeyboardInterrupt:
                self.interrupt()
            trials[:] = bounded(settled(trials, job.pieces), job.pieces)

    def _search_on(self, job: Job, trials: list[Trial], weight: float) -> None:
        """Search the best two on, the stricter first, so that the freer starts from its answer."""
        best = sorted(best_of_each_lay(trials), key=worth)[:_FINALISTS]
        for index in sorted(trials.index(trial) for trial in best):
            if self.interrupted or self._share_left <= 0 or not _may_win(trials[index], trials):
                self._weight_left -= weight
                continue
            packing = trials[index].packing
            start = start_for(packing, trials) or trials[index].layout
            trials[index] = self.trial(job, packing, weight, start)

    def give_back(self, weight: float) -> None:
        """Leave a share of the budget to the searches to come."""
        self._weight_left -= weight

    def trial(
        self,
        job: Job,
        packing: Packing,
        weight: float,
        start: Layout | None,
        enough_mm: float | None = None,
    ) -> Trial:
        """Search one lay within its share of the budget, or until a marker is short enough."""
        from nesting.solver.search import any_shorter, solve

        share = self._share_left * weight / self._weight_left
        done = 1.0 - self._share_left
        limit = self._stop.portion(share)
        lengths = packing.lay.lengths

        def tell(state: State) -> None:
            spent = min(1.0, done + share * limit(state))
            length_mm = state.length * lengths / UNITS_PER_MM
            name, lay = job.fabric.name, packing.lay.name
            assert state.layout is not None  # nothing is told before the first one
            self._watch(PlanState(name, lay, spent, length_mm, packing, state.layout))

        ends: Stop = limit
        shorter = _shorter(packing)
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
        # A first layout may take longer than its share; the searches to come make up for it.
        self._share_left = max(0.0, self._share_left - share * limit(used))
        self._weight_left -= weight
        bound_mm = result.bound * lengths / UNITS_PER_MM
        found = verified(packing, result.layout, bound_mm, job.pieces)
        return replace(found, untied=result.untied)


def verified(packing: Packing, layout: Layout, bound_mm: float, pieces: Sequence[Piece]) -> Trial:
    """A trial from its layout.

    Raises
    ------
    OwnFailure : the marker can't be cut
    """
    marker = packing.marker(layout)
    require_valid(packing.fabric, pieces, marker)
    return Trial(packing, layout, marker, bound_mm)


def start_for(packing: Packing, trials: Iterable[Trial]) -> Layout | None:
    """The shortest layout that trials of stricter problems show for a lay, or None.

    The open lay imitates every fold, a partial fold the plain one, and each lay itself at a
    narrower width.
    """
    for trial in sorted(trials, key=lambda trial: trial.marker.length_mm):
        outlines = _shown(trial, packing)
        if outlines is None:
            continue
        layout = packing.layout_like(outlines, packing.senses(trial.marker))
        if layout is not None:
            return layout
    return None


def _shown(trial: Trial, packing: Packing) -> list[Keyed] | None:
    """A trial's outlines on another lay, if that is freer or the same on a wider cloth."""
    there, here = trial.packing.lay, packing.lay
    if here.name is LayName.OPEN:
        return opened(trial.marker, there)
    from_plain = (there.name, here.name) == (LayName.LENGTHWISE_FOLD, LayName.PARTIAL_FOLD)
    if (there.name is here.name or from_plain) and _has_the_depth(here, there):
        return carried_over(trial.marker, there, here)
    return None


def _has_the_depth(here: Lay, there: Lay) -> bool:
    """Whether each band of `there` has its like here, as deep or deeper."""
    pairs = zip(there.bands, here.bands, strict=False)
    as_deep = all(b.high_mm - b.low_mm >= a.high_mm - a.low_mm - _ROUNDING_MM for a, b in pairs)
    return len(there.bands) <= len(here.bands) and as_deep


def _tilted_too(trial: Trial, trials: Sequence[Trial], pieces: Sequence[Piece]) -> Trial:
    """A trial, with pieces tilted as a shorter one of a stricter lay shows it."""
    packing = tilted_packing(trial.packing)
    start = start_for(packing, trials)
    if start is None or packing.marker(start).length_mm >= trial.marker.length_mm:
        return trial
    return verified(packing, start, trial.bound_mm, pieces)


def settled(trials: Sequence[Trial], pieces: Sequence[Piece]) -> list[Trial]:
    """The trials, the freer ones no longer than what the stricter ones show for them."""
    found: list[Trial] = []
    for index, trial in enumerate(trials):
        others = [*found, *trials[index + 1 :]]
        start = start_for(trial.packing, others)
        if start is not None:
            shown = trial.packing.marker(start)
            if shown.length_mm < trial.marker.length_mm:
                trial = verified(trial.packing, start, trial.bound_mm, pieces)
        found.append(trial)
    return found


def bounded(trials: Sequence[Trial], pieces: Sequence[Piece]) -> list[Trial]:
    """The best of each lay, each with a bound that holds for all markers so laid.

    Every marker can be cut open, so what bounds the open lay bounds all. One depth of a
    partial fold tells nothing of the others; they are bounded by their area, and so is all that
    may be tilted.
    """
    floor_mm = max((t.bound_mm for t in trials if t.marker.lay is LayName.OPEN), default=0.0)
    wanted_mm2 = sum(map(wanted_area_mm2, pieces))
    found = []
    for trial in best_of_each_lay(trials):
        by_area_mm = wanted_mm2 / trial.fabric.usable_width_mm
        tilts = trial.fabric.tilt_deg > 0
        loose = tilts or trial.marker.lay is LayName.PARTIAL_FOLD
        own_mm = min(by_area_mm, trial.marker.length_mm) if loose else trial.bound_mm
        found.append(replace(trial, bound_mm=own_mm if tilts else max(own_mm, floor_mm)))
    return found


def _shorter(packing: Packing) -> Callable[[int], int]:
    """From a length on the table, in units, to the longest for which the counter cuts less."""
    lengths = packing.lay.lengths

    def shorter(length: int) -> int:
        less_mm = longest_for_less(packing.fabric, length * lengths / UNITS_PER_MM)
        return math.floor(less_mm / lengths * UNITS_PER_MM)

    return shorter


def _unsettled(trials: Sequence[Trial]) -> bool:
    """Whether more search on some lay could make the purchase less, or the cuts fewer."""
    return any(_may_win(trial, trials) for trial in trials)


def _may_win(trial: Trial, trials: Sequence[Trial]) -> bool:
    """Whether more search could make a trial the best: less to buy, or the same in fewer cuts."""
    best = min(trials, key=worth)
    opened_mm = max((t.bound_mm for t in trials if t.marker.lay is LayName.OPEN), default=0.0)
    least_mm = purchase(trial.fabric, max(trial.bound_mm, opened_mm)).length_mm
    bought_mm = purchase(best.fabric, best.marker.length_mm).length_mm
    fewer = len(trial.marker.placements) < len(best.marker.placements)
    return least_mm < bought_mm or (least_mm == bought_mm and fewer)
