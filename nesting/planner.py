"""The one door: from an order to a verified plan."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from functools import partial

from nesting.bolts import Portion
from nesting.cautions import cautions
from nesting.crew import crew
from nesting.fabric import Bolt, LayName
from nesting.figures import cut_metres
from nesting.in_hand import holds
from nesting.jobs import Job, jobs_for, with_cuttings
from nesting.lay import lay_under
from nesting.order import Order
from nesting.parts import draft_order, wanted_area_mm2
from nesting.plain import bought_plain_mm, plain_weight
from nesting.plans import Alternative, FabricPlan, Plan, Purchase
from nesting.purchase import purchase, unused_percent_of_purchase, waste_percent
from nesting.remnants import remnants
from nesting.spread import Work, dealt, searched
from nesting.stop import Seconds, Stop
from nesting.strip_choice import portions_cut
from nesting.trial import Trial, figures, worth
from nesting.trials import Search, Watch, ignore
from pieces.drafting.spec import Cutting

_Tried = tuple[Portion, list[Trial], float | None]
"""A portion of a cloth, its trials, and what would be bought if its print need not meet."""
_Cloth = tuple[Cutting | None, list[_Tried]]
"""How the strips of a cloth are cut, if it has any, and what was tried of its portions."""
_USUAL = Seconds(20)
_SEARCHING = 0.98
"""The share of the budget for searching; the rest is for what the markers come to."""
_NOTHING = Purchase(0.0, "nothing to buy", None, "", ())
_HAND_MM = 100.0
"""A remnant longer by less than this is not worth another outline to cut."""


def plan(
    order: Order,
    stop: Stop = _USUAL,
    *,
    seed: int = 1,
    jobs: int | None = None,
    executor: Executor | None = None,
    lay: LayName | None = None,
    watch: Watch = ignore,
) -> Plan:
    """Plan an order: draft its pieces, try each lay of each cloth, keep the best.

    Cloth in hand is used first, whole garments from each bolt; only the rest is bought.
    `stop` limits the whole: a time limit is shared out over the searches, a round limit holds
    for each. With a round limit alone, the same order and seed give the same plan, wherever it
    is searched: on `jobs` processes, one for each core by default, or on an executor that takes
    so many tasks at once. With four or more, cloths are searched beside each other.
    Ctrl-C ends the search and gives the best plan so far.

    Raises
    ------
    OrderFault : the drafts can't be drawn, or the order asks for nothing
    CannotFit : a piece is wider than its cloth
    OwnFailure : a marker did not verify, or a strip is not as long as the order asks
    """
    begun = time.monotonic()
    tasks = jobs_for(order, draft_order(order).pieces, lay)
    tasks = [with_cuttings(order, task) for task in tasks]
    works = [
        Work(sum(map(_budget, group)), partial(_cloths, order, group))
        for group in dealt(tasks, jobs, _budget)
    ]
    with crew(order, jobs, executor) as pool:
        each, searches = searched(works, stop.portion(_SEARCHING), seed, pool, watch)
    found = {name: tried for cloths in each for name, (_, tried) in cloths.items()}
    chosen = {name: cutting for cloths in each for name, (cutting, _) in cloths.items()}
    draft = draft_order(order, {name: one for name, one in chosen.items() if one is not None})
    untried = tuple(task.finding for task in tasks if task.finding is not None)
    untried += tuple(one for search in searches for one in search.findings.values())
    return Plan(
        order=order.name,
        unit=order.unit,
        seed=seed,
        seconds=time.monotonic() - begun,
        fabrics=tuple(portion_plan(*one) for task in tasks for one in found[task.fabric.name]),
        pieces=draft.pieces,
        seam_checks=draft.seam_checks,
        findings=draft.findings + untried,
        cautions=cautions([task.fabric for task in tasks], draft.pieces, order.garments),
        interrupted=any(search.interrupted for search in searches),
    )


def _weight(task: Job) -> float:
    return task.weight


def _budget(task: Job) -> float:
    """The weight of all that a cloth may be searched for."""
    return task.weight * (2 if task.fabric.in_hand else 1) + plain_weight(task)


def _cloths(order: Order, tasks: Sequence[Job], search: Search) -> dict[str, _Cloth]:
    """What is tried of some cloths, within one budget."""
    first = {task.fabric.name: search.first(task) for task in tasks}
    # Small cloths first: what they leave of their time goes to the large ones.
    found = {
        task.fabric.name: _cloth(order, task, search, first[task.fabric.name])
        for task in sorted(tasks, key=_weight)
    }
    bought = [one for _, tried in found.values() for one in tried if one[0].bolt is None]
    search.use_up([(portion.job, trials) for portion, trials, _ in bought])
    return found


def _cloth(order: Order, task: Job, search: Search, first: Sequence[Trial]) -> _Cloth:
    """What is tried of a cloth: on each bolt in hand that is used, and for what is bought.

    Its `first` layout was for those who watch; it counts where there is no time for another.
    """
    cut, portions = portions_cut(order, task, search)
    search.budget.give_back(cut.weight - sum(one.job.weight for one in portions))
    tried = []
    for one in portions:
        shown = one.shown or (first if search.interrupted else ())
        trials = search.best_lays(one.job, shown)
        plain_mm = None
        if one.bolt is None:
            best = min(trials, key=worth)
            plain_mm = bought_plain_mm(search, one.job, best, plain_weight(task))
        tried.append((one, trials, plain_mm))
    return cut.cutting, tried


def portion_plan(
    portion: Portion, trials: Sequence[Trial], plain_mm: float | None = None
) -> FabricPlan:
    """The plan of a cloth: the lay with the least to buy, then the least to cut (`worth`)."""
    pieces, bolt = portion.job.pieces, portion.bolt
    chosen = min(trials, key=worth) if bolt is None else _best_on(bolt, trials)
    shown = [Alternative(one.fabric, one.marker, figures(one, pieces), pieces) for one in trials]
    found = fabric_plan(shown, shown[trials.index(chosen)], bolt)
    if plain_mm is not None:  # a marker found since may be shorter
        plain_mm = min(plain_mm, found.purchase.length_mm)
    return replace(
        found,
        plain_purchase_mm=plain_mm,
        one_by_one_mm=portion.one_by_one_mm,
        fewer_joins=portion.fewer_joins if bolt is None else None,
    )


def fabric_plan(
    alternatives: Sequence[Alternative], chosen: Alternative, bolt: Bolt | None = None
) -> FabricPlan:
    """The plan of a fabric cut as `chosen`, one of its alternatives at one width."""
    fabric, marker, pieces = chosen.fabric, chosen.marker, chosen.pieces
    lay = lay_under(marker, fabric)
    wanted_mm2 = sum(map(wanted_area_mm2, pieces))
    bought = purchase(fabric, marker.length_mm) if bolt is None else _NOTHING
    cloth_mm = bought.length_mm if bolt is None else bolt.length_mm
    least_mm = min(one.figures.least_possible_mm for one in alternatives)
    return FabricPlan(
        fabric=fabric,
        marker=marker,
        table_length_mm=marker.table_length_mm,
        least_possible_mm=least_mm,
        proven_least=purchase(fabric, least_mm).length_mm >= bought.length_mm,
        purchase=bought,
        waste_percent=waste_percent(fabric, wanted_mm2, marker.length_mm),
        unused_percent_of_purchase=unused_percent_of_purchase(fabric, wanted_mm2, cloth_mm),
        cut_outlines=len(marker.placements),
        cut_metres=cut_metres(marker, lay, pieces),
        remnants=remnants(marker, lay, fabric, cloth_mm),
        lays_compared=tuple(one.figures for one in alternatives),
        pieces=pieces,
        alternatives=tuple(alternatives),
        bolt=bolt,
    )


def _best_on(bolt: Bolt, trials: Sequence[Trial]) -> Trial:
    """Of the markers that a bolt holds: the fewest outlines among the shortest but for a hand."""
    held = [trial for trial in trials if holds(trial.fabric, bolt, trial.marker.length_mm)]

    def figures(trial: Trial) -> tuple[float, ...]:
        _, *others = worth(trial)
        return math.ceil(trial.marker.length_mm / _HAND_MM), *others

    return min(held, key=figures)
