"""Every allowed lay of every cloth, at every width asked, side by side."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace
from typing import Unpack

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.plans import ComparedCloth, Comparison
from nesting.order.cloths.fabrics import WIDEST_MM
from nesting.order.model import Order
from nesting.planning.planner import alternative
from nesting.prints.prints import asks_for_print
from nesting.rules.parts import draft_order
from nesting.search.clock import Clock
from nesting.search.cloth import ClothSearch
from nesting.search.lay_result import LayResult, rank_key
from nesting.search.options import Asked, SearchOptions
from nesting.search.parallel.pool import worker_pool
from nesting.search.plain import bought_plain_mm
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for, with_cuttings
from nesting.search.session import Session
from nesting.search.warm_start.transfer import bounded, on_wider, with_dominance
from nesting.solver.stop import Stop, UntilUnlikely
from pieces.errors import CannotFit, Fault, OrderFault
from pieces.piece import Piece
from pieces.units import parse_length
from pieces.wording import either

_USUAL = UntilUnlikely()
_PLAIN = 0.06
"""Of cloths with a print: the share of the budget for what they would take as plain cloth."""
_ASKED = Asked(every_lay=True, with_one=False)


def compare(
    order: Order,
    stop: Stop = _USUAL,
    *,
    widths_mm: Sequence[float] = (),
    **options: Unpack[SearchOptions],
) -> Comparison:
    """Lay out each cloth on every lay that the rules allow, at its own width or those given.

    Time goes to the lay that is expected to become shorter by most. Strips are cut for each width;
    what the narrower ones found holds for the wider too, so that wider cloth is never longer.
    Ctrl-C ends the search; the comparison then holds what was tried.

    Raises
    ------
    OrderFault : the drafts can't be drawn, or the order asks for nothing
    CannotFit : some cloth has room for its pieces at none of its widths
    OwnFailure : a marker did not verify, or a strip is not as long as the order asks
    """
    begun = time.monotonic()
    used = {piece.fabric for piece in draft_order(order).pieces}
    tasks = [
        [
            _at_width(order, replace(fabric, width_mm=width_mm))
            for width_mm in sorted(set(widths_mm or [fabric.width_mm]))
        ]
        for fabric in order.fabrics.values()
        if fabric.name in used
    ]
    _require_room(tasks)
    printed = any(asks_for_print(problem.pieces) for task in tasks for problem in task)
    with worker_pool(order, **options) as own:
        finals = _PLAIN if printed else 0.0
        session = Session(Clock(stop, own["token"]), finals=finals, **own)
        searched = [[session.cloth(problem, _ASKED) for problem in task] for task in tasks]
        session.search([one for own in searched for one in own])
        cloths = [_cloth(session, task, own) for task, own in zip(tasks, searched, strict=True)]
    return Comparison(
        order=order.name,
        unit=order.unit,
        seed=session.seed,
        seconds=time.monotonic() - begun,
        interrupted=session.interrupted,
        ended=session.ended,
        cloths=tuple(cloth for cloth in cloths if cloth.alternatives),
        costing=order.costing,
    )


def _at_width(order: Order, fabric: Fabric) -> FabricProblem:
    """What to search of a cloth at one width, its strips drafted for that."""
    order = replace(order, fabrics={**order.fabrics, fabric.name: fabric})
    return with_cuttings(order, problem_for(order, fabric, draft_order(order).pieces, None))


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
                    "Give the full width of the cloth, such as "
                    + either('--width 115 or --width "58 in".', "115 or 58 in."),
                )
            )
        found.append(width_mm)
    if faults:
        raise OrderFault(faults)
    return tuple(found)


def _has_room(fabric: Fabric, width_mm: float) -> bool:
    return replace(fabric, width_mm=width_mm).usable_width_mm > 2 * fabric.edge_gap_mm


def _place_of(lay_result: LayResult) -> int:
    """Its place among the lays at one width."""
    return list(LayName).index(lay_result.marker.lay)


def _require_room(tasks: Sequence[Sequence[FabricProblem]]) -> None:
    faults = [
        fault
        for task in tasks
        if not any(problem.lays for problem in task)
        for fault in task[-1].refused[-1][1]
    ]
    if faults:
        raise CannotFit(faults)


def _best_of_each_width(searched: Sequence[ClothSearch]) -> dict[float, list[LayResult]]:
    """The best results at each width, the narrowest first."""
    best: dict[float, list[LayResult]] = {}
    narrower: list[LayResult] = []
    for one in searched:
        found = [lay_result for way in one.ways for lay_result in way.lay_results()]
        if found:
            problem = replace(one.leading.problem, least_mm=one.least_mm())
            narrower = best[problem.fabric.width_mm] = _best_at(problem, found, narrower)
    return best


def _best_at(
    problem: FabricProblem, own: Sequence[LayResult], narrower: Sequence[LayResult]
) -> list[LayResult]:
    """The best of each lay at one width; every lay of narrower cloth can be laid here as it is."""
    carried = [on_wider(one, problem.fabric, one.pieces) for one in narrower]
    # Strips may be cut in several ways: what bounds one does not bound the others.
    ways: dict[tuple[Piece, ...], list[LayResult]] = {one.pieces: [] for one in own}
    for one in (*(one for one in reversed(carried) if one is not None), *own):
        ways.setdefault(one.pieces, []).append(one)
    best: dict[LayName, LayResult] = {}
    least_mm = problem.least_mm
    for pieces, lay_results in ways.items():
        for one in bounded(with_dominance(lay_results)):
            least_mm = least_mm if pieces == problem.pieces else min(least_mm, one.bound_mm)
            known = best.setdefault(one.marker.lay, one)
            best[one.marker.lay] = min(known, one, key=_length_first)
    return [replace(one, bound_mm=min(one.bound_mm, least_mm)) for one in best.values()]


def _length_first(lay_result: LayResult) -> tuple[float, ...]:
    """The shortest; of those as long, the one with the fewest joins."""
    return round(lay_result.marker.length_mm, 2), lay_result.joins


def _cloth(
    session: Session, task: Sequence[FabricProblem], searched: Sequence[ClothSearch]
) -> ComparedCloth:
    """One cloth at all its widths, the narrowest first."""
    best = _best_of_each_width(searched)
    by_width = {one.problem.fabric.width_mm: one for one in searched}
    alternatives = tuple(
        alternative(lay_result, by_width.get(lay_result.fabric.width_mm))
        for found in best.values()
        for lay_result in sorted(found, key=_place_of)
    )
    plain: dict[float, float] = {}
    for problem in task:
        found = best.get(problem.fabric.width_mm)
        plain_mm = None if found is None else _plain_mm(session, min(found, key=rank_key))
        if plain_mm is not None:
            # Narrower plain cloth shows the wider one its layout, unless flaws lie in the way.
            known = [] if problem.fabric.flaws else list(plain.values())
            plain[problem.fabric.width_mm] = min([plain_mm, *known])
    # Where strips cut in one way find no room, those cut in another may.
    shown = {(one.figures.width_mm, one.figures.lay) for one in alternatives}
    every = ((problem.fabric.width_mm, name) for problem in task for name, _ in problem.refused)
    refused = tuple(one for one in every if one not in shown)
    pieces = task[0].pieces
    return ComparedCloth(task[0].fabric, pieces, alternatives, refused, tuple(plain.items()))


def _plain_mm(session: Session, best: LayResult) -> float | None:
    """What would be bought if the print need not meet; None where it needn't, or after Ctrl-C."""
    if session.interrupted:
        return None
    return bought_plain_mm(session, best, _PLAIN)
