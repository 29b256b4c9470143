"""The one door: from an order to a verified plan."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

from nesting.cautions import cautions
from nesting.convert import UNITS_PER_MM, Packing, unfolded_outlines
from nesting.fabric import Fabric, LayName
from nesting.figures import cut_metres, end_remnant
from nesting.lay import allowed_lays, lay_of
from nesting.marker import Marker
from nesting.order import Order
from nesting.parts import draft_order, of_fabric, wanted_area_mm2
from nesting.plans import ComparedLay, FabricPlan, Plan
from nesting.purchase import purchase, unused_percent_of_purchase, waste_percent
from nesting.refusals import fault, lay_refused, misfits
from nesting.rules import cuts_for
from nesting.solver.instance import Layout
from nesting.stop import Seconds, State, Stop
from nesting.verify import require_valid
from pieces.errors import CannotFit, Fault
from pieces.piece import Finding, Piece

_USUAL = Seconds(20)


@dataclass(frozen=True, slots=True)
class PlanState:
    """How far planning has come: the search at hand, and the share of the budget spent."""

    fabric: str
    lay: LayName
    spent: float
    length_mm: float


Watch = Callable[[PlanState], None]


def ignore(_: PlanState) -> None:
    """Watch nothing."""


@dataclass(frozen=True, slots=True)
class _Job:
    """A fabric, what is cut from it, and the lays on which all of that finds room."""

    fabric: Fabric
    pieces: tuple[Piece, ...]
    packings: tuple[Packing, ...]
    findings: tuple[Finding, ...]

    @property
    def weight(self) -> float:
        """How much of the budget it deserves against others: its outlines, a few at least."""
        return sum(len(packing.cuts) + 3 for packing in self.packings)


def plan(
    order: Order,
    stop: Stop = _USUAL,
    *,
    seed: int = 1,
    jobs: int | None = None,
    lay: LayName | None = None,
    watch: Watch = ignore,
) -> Plan:
    """Plan an order: draft its pieces, try each lay of each cloth, keep the best.

    `stop` limits the whole: a time limit is shared out over the searches, a round limit holds
    for each. With a round limit alone, the same order and seed give the same plan. Ctrl-C
    ends the search and gives the best plan so far.

    Raises
    ------
    OrderFault : the drafts can't be drawn, or the order asks for nothing
    CannotFit : a piece is wider than its cloth
    OwnFailure : a marker did not verify
    """
    from nesting.solver.search import workers

    begun = time.monotonic()
    draft = draft_order(order)
    tasks = _jobs(order, draft.pieces, lay)
    with workers(jobs) as executor:
        search = _Search(stop, seed, executor, watch, sum(task.weight for task in tasks))
        # Small cloths first: what they leave of their time goes to the large ones.
        done = {task.fabric.name: search.plan_of(task) for task in sorted(tasks, key=_weight)}
    findings = draft.findings + tuple(one for task in tasks for one in task.findings)
    return Plan(
        order=order.name,
        unit=order.unit,
        seed=seed,
        seconds=time.monotonic() - begun,
        fabrics=tuple(done[task.fabric.name] for task in tasks),
        pieces=draft.pieces,
        seam_checks=draft.seam_checks,
        findings=findings,
        cautions=cautions([task.fabric for task in tasks], draft.pieces, order.garments),
    )


def _weight(task: _Job) -> float:
    return task.weight


def _jobs(order: Order, pieces: Sequence[Piece], lay: LayName | None) -> list[_Job]:
    """One job for each fabric in use; raises CannotFit with all that fits none of its lays."""
    used = {piece.fabric for piece in pieces}
    jobs, faults = [], []
    for fabric in order.fabrics.values():
        if fabric.name not in used:
            continue
        job, refused = _job(order, fabric, of_fabric(pieces, fabric.name), lay)
        jobs.append(job)
        faults += refused if not job.packings else []
    if faults:
        raise CannotFit(faults)
    return jobs


def _job(
    order: Order, fabric: Fabric, pieces: tuple[Piece, ...], lay: LayName | None
) -> tuple[_Job, list[Fault]]:
    """The lays on which every piece finds room, and what the freest of the others refuses."""
    packings: list[Packing] = []
    findings: list[Finding] = []
    refused: list[Fault] = []
    for name in (lay,) if lay is not None else allowed_lays(fabric):
        cuts, cloth = cuts_for(pieces, fabric, name), lay_of(fabric, name)
        misfit = misfits(cuts, fabric, cloth)
        if not misfit:
            packings.append(Packing(cuts, fabric, cloth))
            continue
        refused = [fault(cut, fabric, cloth, order.unit, order.source) for cut in misfit]
        findings += [lay_refused(fabric, name, one) for one in refused]
    return _Job(fabric, pieces, tuple(packings), tuple(findings)), refused


@dataclass(frozen=True, slots=True)
class _Trial:
    """One lay searched: its verified marker, and a bound below any marker on it."""

    packing: Packing
    marker: Marker
    bound_mm: float


class _Search:
    """Shares a budget out over fabrics and their lays, and searches each."""

    def __init__(
        self, stop: Stop, seed: int, executor: Executor | None, watch: Watch, weight: float
    ) -> None:
        self._stop, self._seed, self._executor, self._watch = stop, seed, executor, watch
        self._weight_left = weight
        self._share_left = 1.0

    def plan_of(self, task: _Job) -> FabricPlan:
        """The plan of a fabric; if Ctrl-C comes between searches, with no more searching."""
        try:
            return self._plan_of(task)
        except KeyboardInterrupt:
            self._stop = self._stop.portion(0.0)
            return self._plan_of(task)

    def _plan_of(self, task: _Job) -> FabricPlan:
        """Search every lay of a fabric and keep the one with the least to buy.

        Where two buy the same, the one with fewer outlines to cut is kept.
        """
        trials: list[_Trial] = []
        for packing in task.packings:
            start = _cut_open(trials[0].marker, packing) if trials else None
            trials.append(self._trial(task, packing, start))
        compared = tuple(_compared(task, trial) for trial in trials)

        def worth(entry: tuple[ComparedLay, _Trial]) -> tuple[float, ...]:
            return entry[0].purchase_mm, entry[0].cut_outlines, entry[0].length_mm

        _, chosen = min(zip(compared, trials, strict=True), key=worth)
        return _fabric_plan(task, chosen, compared)

    def _trial(self, task: _Job, packing: Packing, start: Layout | None) -> _Trial:
        """Search one lay within its share of the budget."""
        from nesting.solver.search import solve

        weight = task.weight / len(task.packings)
        share = self._share_left * weight / self._weight_left
        done = 1.0 - self._share_left
        limit = self._stop.portion(share)

        def tell(state: State) -> None:
            spent = done + share * min(1.0, limit(state))
            name = packing.lay.name
            self._watch(PlanState(task.fabric.name, name, spent, state.length / UNITS_PER_MM))

        result = solve(
            packing.instance,
            limit,
            seed=self._seed,
            start=start,
            watch=tell,
            executor=self._executor,
        )
        if result.interrupted:
            self._stop = self._stop.portion(0.0)
        used = State(result.seconds, result.rounds, result.length, result.bound, 0.0)
        self._share_left -= share * min(1.0, limit(used))
        self._weight_left -= weight
        marker = packing.marker(result.layout)
        require_valid(task.fabric, task.pieces, marker)
        return _Trial(packing, marker, result.bound / UNITS_PER_MM)


def _cut_open(folded: Marker, packing: Packing) -> Layout | None:
    """A folded marker as the start for cutting the same pieces from open cloth."""
    if packing.lay.name is not LayName.OPEN or folded.lay is LayName.OPEN:
        return None
    outlines = unfolded_outlines(folded, packing.lay.depth_mm / 2)
    return packing.layout_like(outlines, packing.senses(folded))


def _area_mm2(pieces: Sequence[Piece]) -> float:
    return sum(wanted_area_mm2(piece) for piece in pieces)


def _compared(task: _Job, trial: _Trial) -> ComparedLay:
    marker = trial.marker
    bought = purchase(task.fabric, marker.length_mm)
    return ComparedLay(
        lay=marker.lay,
        width_mm=task.fabric.width_mm,
        length_mm=marker.length_mm,
        least_possible_mm=trial.bound_mm,
        purchase_mm=bought.length_mm,
        cost=bought.cost,
        waste_percent=waste_percent(task.fabric, _area_mm2(task.pieces), marker.length_mm),
        cut_outlines=len(marker.placements),
        cut_metres=cut_metres(marker),
    )


def _fabric_plan(task: _Job, chosen: _Trial, compared: tuple[ComparedLay, ...]) -> FabricPlan:
    marker = chosen.marker
    fabric, wanted_mm2 = task.fabric, _area_mm2(task.pieces)
    bought = purchase(fabric, marker.length_mm)
    least_mm = min(entry.least_possible_mm for entry in compared)
    return FabricPlan(
        fabric=fabric,
        marker=marker,
        table_length_mm=marker.length_mm,
        least_possible_mm=least_mm,
        proven_least=purchase(fabric, least_mm).length_mm >= bought.length_mm,
        purchase=bought,
        waste_percent=waste_percent(fabric, wanted_mm2, marker.length_mm),
        unused_percent_of_purchase=unused_percent_of_purchase(fabric, wanted_mm2, bought.length_mm),
        cut_outlines=len(marker.placements),
        cut_metres=cut_metres(marker),
        remnants=end_remnant(marker, chosen.packing.lay, fabric, bought.length_mm),
        lays_compared=compared,
        pieces=task.pieces,
    )
