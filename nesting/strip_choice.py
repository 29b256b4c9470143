"""How the strips of a cloth are cut, and what of it is cut from each bolt in hand or bought."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from nesting.bolts import Portion, portions_of
from nesting.carry import open_bound_mm
from nesting.jobs import Job
from nesting.order import Order
from nesting.plans import FewerJoins
from nesting.purchase import purchase
from nesting.repeats import one_of, repeated
from nesting.strict import freed_from, stricter_of
from nesting.trial import Trial, worth
from nesting.trials import Search

_SHARE = 0.25
"""The share of a cloth's budget for finding out how to cut its strips."""
_NOTHING = 1e-9


def portions_cut(order: Order, job: Job, search: Search) -> tuple[Job, list[Portion]]:
    """The job with its strips cut in the way that takes the least cloth, and its portions.

    Where cloth is in hand, it is shared out with its strips cut in each of the ways; the least is
    bought, then the fewest joins are sewn.
    """
    if not job.fabric.in_hand:
        best, shown, fewer = least_cut(job, search)
        return best, [Portion(None, best, tuple(shown), fewer_joins=fewer)]
    ways = (job, *job.others)
    weight = job.weight / len(ways)
    found: list[tuple[Job, list[Portion]]] = []
    for one in ways:
        if found and search.interrupted:
            search.budget.give_back(weight)
            continue
        alone = replace(one, others=(), share=one.share * weight / one.weight)
        found.append((alone, portions_of(order, alone, search)))
    best, portions = min(found, key=_bought)
    fewer = _fewer_joins(best, [(one, _bought((one, shared))[0]) for one, shared in found])
    portions = [replace(one, fewer_joins=fewer) for one in portions]
    return replace(best, share=best.share * job.weight / best.weight), portions


def least_cut(
    job: Job, search: Search, *, stricter: bool = True
) -> tuple[Job, list[Trial], FewerJoins | None]:
    """The job with its strips cut as takes the least cloth, the trials that tell, what it saves.

    Each way is laid out on the freest lay. Of those that buy the same, that with the fewest joins
    is taken. Where a search but repeats itself, none is taken that buys more than what one of
    several garments alike, and the same under a `stricter` nap, show with their own cutting.
    """
    if not job.others or search.interrupted:
        return replace(job, others=()), [], None
    jobs = [replace(one, others=()) for one in (job, *job.others)]
    tried: list[list[Trial]] = [[] for _ in jobs]
    settled = stricter and search.repeats and not job.tilts
    try:
        if settled:
            _show(job, jobs, tried, search)
        for one, trials in zip(jobs, tried, strict=True):
            alone = replace(one, lays=one.lays[-1:])
            share = alone.share * _SHARE * job.weight / len(jobs) / alone.weight
            search.each_lay(replace(alone, share=share), trials)
    except KeyboardInterrupt:
        search.interrupt()
    known = [(one, trials) for one, trials in zip(jobs, tried, strict=True) if trials]
    if not known:
        return jobs[0], [], None
    best, trials = min(known, key=_least_joined)
    least_mm = min(open_bound_mm(some, one.pieces) for one, some in known)
    share = best.share * (1 - _SHARE) * job.weight / best.weight
    fewer = _fewer_joins(best, [(one, min(map(worth, some))[0]) for one, some in known])
    return replace(best, share=share, least_mm=least_mm, settled=settled), trials, fewer


def _fewer_joins(best: Job, tried: Sequence[tuple[Job, float]]) -> FewerJoins | None:
    """What is bought with the joins of the first way, or fewer, if the best has more."""
    first = tried[0][0]
    if best.joins <= first.joins:
        return None
    fewer = [(bought_mm, one.joins) for one, bought_mm in tried if one.joins <= first.joins]
    bought_mm, joins = min(fewer)
    return FewerJoins(best.joins - joins, bought_mm) if bought_mm < math.inf else None


def _show(job: Job, jobs: Sequence[Job], tried: Sequence[list[Trial]], search: Search) -> None:
    """Plan the same under a stricter nap, and of several garments one; add what they show."""
    strict, one = stricter_of(job), one_of(job)
    if strict is not None:
        cut, trials = _planned(strict, search)
        for free, shown in zip(jobs, tried, strict=True):
            if free.cutting == cut.cutting:
                shown += (found.trial for found in freed_from(free, trials))
    if one is not None:
        cut, trials = _planned(one, search)
        for every, shown in zip(jobs, tried, strict=True):
            if every.cutting == cut.cutting:
                found = (repeated(every, trial) for trial in trials)
                shown += (several.trial for several in found if several is not None)


def _planned(job: Job, search: Search) -> tuple[Job, list[Trial]]:
    """Another job as if it were ordered: how its strips are cut, and its best trials.

    It takes none of the budget, which by rounds is each search's own.
    """
    cut, shown, _ = least_cut(replace(job, share=_NOTHING), search)
    return cut, search.beforehand(cut, _NOTHING * cut.weight, shown)


def _least_joined(tried: tuple[Job, Sequence[Trial]]) -> tuple[float, ...]:
    """Smaller is better: the least to buy, then the fewest joins."""
    job, trials = tried
    bought, *rest = min(map(worth, trials))
    return bought, job.joins, *rest


def _bought(shared: tuple[Job, list[Portion]]) -> tuple[float, int]:
    """What must be bought, and how many joins there are."""
    job, portions = shared
    rest = next((one for one in portions if one.bolt is None), None)
    if rest is None:
        return 0.0, job.joins
    if not rest.shown:
        return math.inf, job.joins
    best = min(rest.shown, key=worth)
    return purchase(rest.job.fabric, best.marker.length_mm).length_mm, job.joins
