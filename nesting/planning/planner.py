"""The one door: from an order to a verified plan."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import replace
from typing import Unpack

from nesting.allocation.bolts import Allocation, allocations_cut, sharing_shares
from nesting.fabric.cautions import cautions
from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import Bolt, LayName
from nesting.fabric.figures import cut_metres
from nesting.fabric.in_hand import holds
from nesting.fabric.lay import lay_under
from nesting.fabric.plans import Alternative, FabricPlan, Plan, Purchase, Saving
from nesting.fabric.purchase import (
    longest_for_less,
    purchase,
    unused_percent_of_purchase,
    waste_percent,
)
from nesting.fabric.remnants import largest_whole_mm2, remnants
from nesting.notions.buying import notions_bought
from nesting.order.model import Order
from nesting.prints.prints import asks_for_print
from nesting.rules.parts import draft_order
from nesting.search.clock import Clock
from nesting.search.cloth import ClothSearch
from nesting.search.lay_result import LayResult, figures, rank_key
from nesting.search.options import SearchOptions
from nesting.search.parallel.pool import worker_pool
from nesting.search.plain import bought_plain_mm
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problems_for, with_cuttings
from nesting.search.session import Session
from nesting.solver.stop import Stop, UntilUnlikely

_USUAL = UntilUnlikely()
_IN_HAND_S = 20.0
"""Seconds that are expected to be enough where cloth in hand is shared out first."""
_DRAWING_S, _EACH_CLOTH_S, _EACH_OUTLINE_S, _EACH_GARMENT_S = 2.2, 0.15, 0.04, 0.25
"""Seconds for starting and drawing, as measured on two cores: in all, and for each of them."""
_MARKERS = 0.02
"""The share of the budget for choosing markers and reckoning their figures."""
_PLAIN = 0.06
"""Of a cloth with a print: the share for what it would take as plain cloth."""
_NOTHING = Purchase(0.0, "nothing to buy", None, "", ())
_SAME_MM = 1.0
"""Lays that differ by less are as long as each other."""
_REMNANT_MM2 = 40_000.0
"""A remnant that is larger by less, 20 cm by 20 cm, is not worth another way to lay the cloth."""
_HAND_MM = 100.0
"""A remnant longer by less than this is not worth another outline to cut."""


def plan(
    order: Order,
    stop: Stop = _USUAL,
    *,
    lay: LayName | None = None,
    drawn: bool = False,
    **options: Unpack[SearchOptions],
) -> Plan:
    """Plan an order: draft its pieces, search the lays of each cloth, keep the best.

    Cloth in hand is used first, whole garments from each bolt; only the rest is bought.
    `stop` limits the whole: a time limit goes where it is expected to save most, a round limit
    holds for each lay. With a round limit alone, the same order and seed give the same plan,
    wherever it is searched. Ctrl-C ends the search and gives the best plan so far.
    If it is to be `drawn` within a limit of time, some of that is kept for the drawings.

    Raises
    ------
    OrderFault : the drafts can't be drawn, or the order asks for nothing
    CannotFit : a piece is wider than its cloth
    OwnFailure : a marker did not verify, or a strip is not as long as the order asks
    """
    begun = time.monotonic()
    tasks = problems_for(order, draft_order(order).pieces, lay)
    tasks = [with_cuttings(order, task) for task in tasks]
    printed = any(asks_for_print(task.pieces) for task in tasks)
    finals = _MARKERS + (_PLAIN if printed else 0.0)
    with worker_pool(order, **options) as own:
        clock = Clock(stop, own["token"])
        if drawn:
            clock = clock.without(_drawing_s(tasks, len(order.garments)))
        if clock.is_open and any(task.fabric.in_hand for task in tasks):
            clock.expect(_IN_HAND_S)
        session = Session(clock, finals=finals, **own)
        shares = sharing_shares(tasks)
        allocations = [
            allocations_cut(order, task, session, shares[task.fabric.name]) for task in tasks
        ]
        cloths = [
            [session.cloth(one.problem, shown=one.shown, bolt=one.bolt) for one in own]
            for own in allocations
        ]
        session.search([one for own in cloths for one in own])
        found = [
            _allocation_found(session, allocation, cloth)
            for own, there in zip(allocations, cloths, strict=True)
            for allocation, cloth in zip(own, there, strict=True)
        ]
    chosen = {own[0].problem.fabric.name: own[0].leading.problem.cutting for own in cloths}
    draft = draft_order(order, {name: one for name, one in chosen.items() if one is not None})
    untried = tuple(task.finding for task in tasks if task.finding is not None)
    untried += tuple(one for own in cloths for cloth in own for one in cloth.findings.values())
    return Plan(
        order=order.name,
        unit=order.unit,
        seed=session.seed,
        seconds=time.monotonic() - begun,
        fabrics=tuple(found),
        pieces=draft.pieces,
        seam_checks=draft.seam_checks,
        findings=draft.findings + untried,
        cautions=cautions(
            [task.fabric for task in tasks], draft.pieces, order.garments, draft.notions
        ),
        interrupted=session.interrupted,
        ended=session.ended,
        notions=notions_bought(order, draft.notions),
        sewing=draft.sewing,
        costing=order.costing,
    )


def _drawing_s(tasks: Sequence[FabricProblem], garments: int) -> float:
    """About the seconds in which the drawings of all cloths and the notes are made."""
    outlines = sum(piece.parts for task in tasks for piece in task.pieces)
    of_cloths = _EACH_CLOTH_S * len(tasks) + _EACH_OUTLINE_S * outlines
    return _DRAWING_S + of_cloths + _EACH_GARMENT_S * garments


def _allocation_found(session: Session, allocation: Allocation, cloth: ClothSearch) -> FabricPlan:
    """The plan of what is cut from one bolt or bought, once it has been searched."""
    lay_results = cloth.best_of_each_lay()
    problem = cloth.leading.problem
    if allocation.fewer_joins is None:
        allocation = replace(allocation, fewer_joins=cloth.fewer_joins())
    plain_mm = None
    if allocation.bolt is None:
        plain_mm = bought_plain_mm(session, min(lay_results, key=rank_key), _PLAIN)
    found = allocation_plan(replace(allocation, problem=problem), lay_results, plain_mm, cloth)
    return replace(found, may_save=_may_save(found, cloth))


def _may_save(found: FabricPlan, cloth: ClothSearch) -> Saving | None:
    """What a search as long again is likely to save, if the clock and not the rounds ended it."""
    less_mm = 0.0 if cloth.clock.repeats else cloth.saving_mm()
    if less_mm <= 0 or found.proven_least:
        return None
    fabric, cost = found.fabric, found.purchase.cost
    used_mm = found.marker.length_mm
    then_mm = longest_for_less(fabric, used_mm) if fabric.sold_by_mm else used_mm - less_mm
    then = purchase(fabric, then_mm)
    saved = None if cost is None or then.cost is None else cost - then.cost
    return Saving(found.purchase.length_mm - then.length_mm, saved)


def allocation_plan(
    allocation: Allocation,
    lay_results: Sequence[LayResult],
    plain_mm: float | None = None,
    cloth: ClothSearch | None = None,
) -> FabricPlan:
    """The plan of a cloth: the lay with the least to buy, then the least to cut (`rank_key`)."""
    bolt = allocation.bolt
    best = min(lay_results, key=rank_key) if bolt is None else _best_on(bolt, lay_results)
    chosen = _with_most_left(best, lay_results, bolt)
    shown = [alternative(one, cloth) for one in lay_results]
    found = fabric_plan(shown, shown[lay_results.index(chosen)], bolt)
    if plain_mm is not None:  # a marker found since may be shorter
        plain_mm = min(plain_mm, found.purchase.length_mm)
    return replace(
        found,
        plain_purchase_mm=plain_mm,
        one_by_one_mm=allocation.one_by_one_mm,
        fewer_joins=allocation.fewer_joins if bolt is None else None,
    )


def alternative(lay_result: LayResult, cloth: ClothSearch | None = None) -> Alternative:
    """One lay as it stands beside others; with what the search may still take off it."""
    told = figures(lay_result)
    if cloth is not None and not cloth.clock.repeats:
        told = replace(told, may_lose_mm=cloth.may_lose_mm(lay_result.marker.lay))
    return Alternative(lay_result.fabric, lay_result.marker, told, lay_result.pieces)


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


def _with_most_left(
    best: LayResult, lay_results: Sequence[LayResult], bolt: Bolt | None
) -> LayResult:
    """Of lays as long as the best, the one that leaves the largest whole rectangle.

    Where a fold cuts a spare, cloth is lost that another lay leaves whole.
    """
    if not any(placement.spare for placement in best.marker.placements):
        return best
    alike = [
        one for one in lay_results if abs(one.marker.length_mm - best.marker.length_mm) < _SAME_MM
    ]

    def lost(lay_result: LayResult) -> tuple[float, ...]:
        fabric, marker = lay_result.fabric, lay_result.marker
        whole_mm = bolt.length_mm if bolt else purchase(fabric, marker.length_mm).length_mm
        left_mm2 = largest_whole_mm2(marker, fabric, whole_mm)
        return (-round(left_mm2 / _REMNANT_MM2), *rank_key(lay_result))

    return min(alike, key=lost)


def _best_on(bolt: Bolt, lay_results: Sequence[LayResult]) -> LayResult:
    """Of the markers that a bolt holds: the fewest outlines among the shortest but for a hand."""
    held = [
        lay_result
        for lay_result in lay_results
        if holds(lay_result.fabric, bolt, lay_result.marker.length_mm)
    ]

    def figures(lay_result: LayResult) -> tuple[float, ...]:
        _, *others = rank_key(lay_result)
        return math.ceil(lay_result.marker.length_mm / _HAND_MM), *others

    return min(held, key=figures)
