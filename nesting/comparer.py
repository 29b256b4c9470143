"""Every allowed lay of every cloth, at every width asked, side by side."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace

from nesting.carry import bounded, on_wider, settled
from nesting.fabric import Fabric, LayName
from nesting.jobs import Job, job_for
from nesting.order import Order
from nesting.order_fabrics import WIDEST_MM
from nesting.parts import draft_order
from nesting.plain import bought_plain_mm, plain_weight
from nesting.plans import Alternative, ComparedCloth, Comparison
from nesting.stop import Seconds, Stop, repeats
from nesting.strict import freed_from, stricter_of
from nesting.trial import Trial, figures, worth
from nesting.trials import Search, Watch, ignore
from pieces.errors import CannotFit, Fault, OrderFault
from pieces.units import parse_length

_USUAL = Seconds(20)


def compare(
    order: Order,
    stop: Stop = _USUAL,
    *,
    widths_mm: Sequence[float] = (),
    seed: int = 1,
    jobs: int | None = None,
    executor: Executor | None = None,
    watch: Watch = ignore,
) -> Comparison:
    """Lay out each cloth on every lay that the rules allow, at its own width or those given.

    All lays have an equal share of the budget. Pieces stay as drafted for the order, and each
    width starts from what the narrower ones found, so that wider cloth is never longer. Ctrl-C
    ends the search; the comparison then holds what was tried.

    Raises
    ------
    OrderFault : the drafts can't be drawn, or the order asks for nothing
    CannotFit : some cloth has room for its pieces at none of its widths
    OwnFailure : a marker did not verify
    """
    from nesting.solver.search import workers

    begun = time.monotonic()
    pieces = draft_order(order).pieces
    used = {piece.fabric for piece in pieces}
    tasks = [
        [
            job_for(order, replace(fabric, width_mm=width_mm), pieces, None)
            for width_mm in sorted(set(widths_mm or [fabric.width_mm]))
        ]
        for fabric in order.fabrics.values()
        if fabric.name in used
    ]
    _require_room(tasks)
    with workers(jobs, executor) as pool:
        chains = [_stricter_first(task, stop) for task in tasks]
        weight = sum(job.weight for chain in chains for task in chain for job in task)
        weight += sum(plain_weight(job) for task in tasks for job in task)
        search = Search(stop, seed, pool, watch, weight)
        cloths = [_cloth(search, chain) for chain in chains]
    return Comparison(
        order=order.name,
        unit=order.unit,
        seed=seed,
        seconds=time.monotonic() - begun,
        interrupted=search.interrupted,
        cloths=tuple(cloth for cloth in cloths if cloth.alternatives),
    )


def widths_mm(order: Order, texts: Sequence[str]) -> tuple[float, ...]:
    """Widths given as text, a bare number in the order's unit.

    Raises
    ------
    OrderFault : some are no lengths, or leave nothing of a cloth
    """
    found, faults = [], []
    for text in texts:
        try:
            width_mm = parse_length(text, order.unit)
        except ValueError as error:
            faults.append(Fault("--width", "", str(error), ""))
            continue
        narrow = [name for name, one in order.fabrics.items() if not _has_room(one, width_mm)]
        if narrow or width_mm > WIDEST_MM:
            faults.append(
                Fault(
                    "--width",
                    "",
                    f"{text} leaves nothing of {', '.join(narrow)} between the selvedges."
                    if narrow
                    else f"No cloth is {text} wide.",
                    'Give the full width of the cloth, such as --width 115 or --width "58 in".',
                )
            )
        found.append(width_mm)
    if faults:
        raise OrderFault(faults)
    return tuple(found)


def _has_room(fabric: Fabric, width_mm: float) -> bool:
    return replace(fabric, width_mm=width_mm).usable_width_mm > 2 * fabric.edge_gap_mm


def _shown_at(trial: Trial) -> int:
    """Its place among the lays at one width."""
    return list(LayName).index(trial.marker.lay)


def _require_room(tasks: Sequence[Sequence[Job]]) -> None:
    faults = [
        fault
        for task in tasks
        if not any(job.lays for job in task)
        for fault in task[-1].refused[-1][1]
    ]
    if faults:
        raise CannotFit(faults)


def _stricter_first(task: Sequence[Job], stop: Stop) -> list[list[Job]]:
    """A cloth's jobs, behind the same under each stricter nap if a search of those repeats."""
    chain = [list(task)]
    while repeats(stop):
        stricter = [found for job in chain[0] if (found := stricter_of(job)) is not None]
        if not stricter:
            break
        chain.insert(0, stricter)
    return chain


def _best_of_each_width(
    search: Search, task: Sequence[Job], shown: Mapping[float, list[Trial]]
) -> dict[float, list[Trial]]:
    """The best trials at each width, from those `shown` under a stricter nap."""
    trials: list[Trial] = []
    try:
        for job in task:
            known = freed_from(job, shown.get(job.fabric.width_mm, ()))
            trials += [found.trial for found in known if not found.tilts]
            if not search.interrupted:
                search.each_lay(job, trials)
    except KeyboardInterrupt:
        search.interrupt()
    pieces = task[0].pieces
    found: dict[float, list[Trial]] = {}
    best: list[Trial] = []
    for job in task:
        # Every lay of the narrower cloth can be laid on this one as it is.
        carried = (on_wider(trial, job.fabric, pieces) for trial in best)
        own = [trial for trial in trials if trial.fabric.width_mm == job.fabric.width_mm]
        if own:
            own = [*(trial for trial in carried if trial is not None), *own]
            found[job.fabric.width_mm] = best = bounded(settled(own, pieces), pieces)
    return found


def _cloth(search: Search, chain: Sequence[Sequence[Job]]) -> ComparedCloth:
    """One cloth at all its widths, the narrowest first; the strictest nap first."""
    best: dict[float, list[Trial]] = {}
    for task in chain:
        best = _best_of_each_width(search, task, best)
    task, pieces = chain[-1], chain[-1][0].pieces
    alternatives = tuple(
        Alternative(trial.fabric, trial.marker, figures(trial, pieces))
        for trials in best.values()
        for trial in sorted(trials, key=_shown_at)
    )
    plain: dict[float, float] = {}
    for job in task:
        trials = best.get(job.fabric.width_mm)
        plain_mm = None if trials is None else _plain_mm(search, job, min(trials, key=worth))
        if plain_mm is not None:
            # Narrower plain cloth shows the wider one its layout, unless flaws lie in the way.
            known = [] if job.fabric.flaws else list(plain.values())
            plain[job.fabric.width_mm] = min([plain_mm, *known])
    refused = tuple((job.fabric.width_mm, name) for job in task for name, _ in job.refused)
    return ComparedCloth(task[0].fabric, pieces, alternatives, refused, tuple(plain.items()))


def _plain_mm(search: Search, job: Job, best: Trial) -> float | None:
    """What would be bought if the print need not meet; None where it needn't, or after Ctrl-C."""
    if search.interrupted:
        return None
    try:
        return bought_plain_mm(search, job, best, plain_weight(job))
    except KeyboardInterrupt:
        search.interrupt()
        return None
