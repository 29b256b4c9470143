"""From an order to a problem for each cloth: which lays have room for its pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.fabric.cut import Cut, on_cross_fold
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import End, Lay, allowed_lays, lay_of, suits_nap
from nesting.order.model import Order
from nesting.packing.convert import Packing
from nesting.packing.cross_fold import crossings
from nesting.packing.depths import useful_depths
from nesting.packing.obstacles import layer_unknown
from nesting.packing.refusals import (
    across_flaws,
    against_nap,
    against_print,
    fault,
    misfits,
    too_many_with_print,
)
from nesting.packing.sections import Opened, opened_strips
from nesting.prints.lays import NO_ROOM, refusal
from nesting.prints.prints import Prints, asks_for_print, prints_of, with_motifs
from nesting.rules.parts import draft_cloth, of_fabric
from nesting.rules.rules import cuts_for
from nesting.search.problem import FabricProblem, LayOption
from nesting.solver.instance import is_searched
from nesting.solver.phases import is_tied
from nesting.strips.cuttings import cuttings_for
from pieces.errors import CannotFit, Fault, OrderFault
from pieces.piece import Piece

_MOST_PARTS = 5000
"""Parts to be cut from one cloth."""


def problems_for(order: Order, pieces: Sequence[Piece], lay: LayName | None) -> list[FabricProblem]:
    """One problem for each fabric in use; `lay` takes the place of the lays that the order names.

    Raises
    ------
    OrderFault : more is to be cut from a cloth than can be laid at once
    CannotFit : with all that fits none of its lays
    """
    used = {piece.fabric for piece in pieces}
    crowded = list(_crowded(order, pieces))
    if crowded:
        raise OrderFault(crowded)
    problems = [
        problem_for(order, fabric, pieces, lay)
        for fabric in order.fabrics.values()
        if fabric.name in used
    ]
    problems = [problem if problem.lays else with_cuttings(order, problem) for problem in problems]
    faults = [one for problem in problems if not problem.lays for one in problem.refused[-1][1]]
    if faults:
        raise CannotFit(faults)
    faults = [
        too_many_with_print(problem.fabric) for problem in problems if _is_past_its_print(problem)
    ]
    if faults:
        raise OrderFault([replace(one, where=order.source) for one in faults])
    return problems


def _is_past_its_print(problem: FabricProblem) -> bool:
    """Whether so many outlines differ that no first layout can meet the print."""
    found = (one.instance for one in problem.all_packings)
    return any(is_tied(one) and not is_searched(one) for one in found)


def _crowded(order: Order, pieces: Sequence[Piece]) -> Iterator[Fault]:
    """Cloths from which more is to be cut than can be laid at once."""
    parts = Counter[str]()
    for piece in pieces:
        parts[piece.fabric] += piece.parts
    for name, number in parts.items():
        if number > _MOST_PARTS:
            yield Fault(
                order.source,
                f"fabric.{name}",
                f"{number:,} parts are to be cut from this cloth; {_MOST_PARTS:,} are the most "
                "that can be laid at once.",
                "Share the pieces out between several orders, or lower their cut.",
            )


def problem_for(
    order: Order, fabric: Fabric, pieces: Sequence[Piece], lay: LayName | None
) -> FabricProblem:
    """What to search for one fabric; without any lays if none has room for everything."""
    own = of_fabric(pieces, fabric.name)
    asked = fabric if lay is None else replace(fabric, lays=(lay,))
    lays: list[LayOption] = []
    refused: list[tuple[LayName, tuple[Fault, ...]]] = [
        (name, (against_nap(fabric, name, order.source),))
        for name in asked.lays or ()
        if not suits_nap(name, fabric.nap)
    ]
    asked = with_motifs(asked, own)
    prints = prints_of(own, asked)
    for name in allowed_lays(asked):
        cuts = cuts_for(own, asked, name)
        if asked.lays is None and _is_another_lay(name, cuts):
            continue
        for asked_for, cloth in _ways_to_lay(asked, name, cuts, own):
            found = _on_lay(order, asked, own, asked_for, cloth, prints)
            if isinstance(found, LayOption):
                lays.append(found)
            elif cloth.near is not End.FOLD:
                refused.append((name, found))
    lays.sort(key=lambda lay: not lay.needs_section)
    problem = FabricProblem(asked, own, tuple(lays), order=order)
    tried = {packing.lay.name for packing in problem.all_packings}
    return replace(problem, refused=tuple(one for one in refused if one[0] not in tried))


def with_cuttings(order: Order, problem: FabricProblem) -> FabricProblem:
    """The problem for all that is cut from a cloth, with the ways to cut its strips worth a trial.

    Of several garments those too that are worth one for the first by itself. If no lay has room for
    strips cut in the usual way, another takes its place.
    """
    if problem.cutting is not None:
        return problem
    fabric = problem.fabric
    first = [piece for piece in problem.pieces if piece.garment == problem.pieces[0].garment]
    ways = dict.fromkeys(
        way for pieces in (problem.pieces, first) for way in cuttings_for(fabric, pieces)
    )
    usual, *others = ways
    found = []
    for cutting in others:
        try:
            pieces = draft_cloth(order, fabric.name, cutting)
        except OrderFault:
            continue
        other = replace(problem_for(order, fabric, pieces, None), cutting=cutting)
        if other.lays and pieces != problem.pieces:
            found.append(other)
    if found and not problem.lays:
        return replace(found[0], others=tuple(found[1:]))
    return replace(problem, cutting=usual, others=tuple(found))


def _on_lay(
    order: Order,
    fabric: Fabric,
    pieces: Sequence[Piece],
    cuts: Sequence[Cut],
    cloth: Lay,
    prints: Prints,
) -> LayOption | tuple[Fault, ...]:
    """What there is to search on a lay, or else why it can't be used: flaws, the print, widths.

    Where the print forbids the fold, pieces that meet it are cut from an opened-out section.
    """
    if layer_unknown(fabric, cloth, cuts):
        return (across_flaws(fabric, cloth.name, order.source),)
    against = refusal(prints, cuts, fabric, cloth)
    if against is None:
        return _laid(order, fabric, pieces, cuts, cloth, {})
    asking = {piece.key: piece.cut for piece in pieces if asks_for_print([piece])}
    others = [cut for cut in cuts if cut.piece.key not in asking]
    if others and cloth.name is not LayName.OPEN:
        found = _laid(order, fabric, pieces, others, cloth, asking)
        if isinstance(found, LayOption) and found.needs_section:
            return found
    return (against_print(fabric, cloth.name, against, order.source),)


def _laid(
    order: Order,
    fabric: Fabric,
    pieces: Sequence[Piece],
    cuts: Sequence[Cut],
    cloth: Lay,
    opened: Opened,
) -> LayOption | tuple[Fault, ...]:
    """The cuts on a lay, or else why it can't hold them; pieces `opened` are not among them.

    Those too wide for a folded layer are cut from an opened-out section, too, if that holds them.
    """
    wide = misfits(cuts, fabric, cloth)
    if not wide and not opened:
        packing = Packing(cuts, fabric, cloth)
        no_room = against_print(fabric, cloth.name, NO_ROOM, order.source)
        return LayOption(packing) if packing.meets else (no_room,)
    opened = opened | {cut.piece.key: cut.piece.cut for cut in wide}
    there = on_cross_fold(cuts, cloth.name)
    strips = opened_strips(pieces, fabric, cloth, opened, {}, there)
    if strips is not None and not _is_another_lay(cloth.name, strips[0].cuts):
        return LayOption(Packing(strips[0].cuts, fabric, cloth), opened)
    single = lay_of(fabric, LayName.OPEN)
    too_wide = misfits(cuts_for([cut.piece for cut in wide], fabric, single.name), fabric, single)
    at_fault, where = (too_wide, single) if too_wide else (wide, cloth)
    return tuple(fault(cut, fabric, where, order.unit, order.source) for cut in at_fault)


def _is_another_lay(name: LayName, cuts: Sequence[Cut]) -> bool:
    """Whether a partial fold would be a plain fold, or no fold at all."""
    return name is LayName.PARTIAL_FOLD and len({cut.layers for cut in cuts}) < 2


def _ways_to_lay(
    fabric: Fabric, name: LayName, cuts: Sequence[Cut], pieces: Sequence[Piece]
) -> Iterator[tuple[Sequence[Cut], Lay]]:
    """A fold across with pieces on it first, each depth of a partial fold, or the lay."""
    if name.folds_across:
        for there in crossings(pieces, fabric, name):
            yield cuts_for(pieces, fabric, name, there), lay_of(fabric, name, from_fold=True)
    depths_mm = useful_depths(cuts, fabric) if name is LayName.PARTIAL_FOLD else [0.0]
    for depth_mm in depths_mm:
        yield cuts, lay_of(fabric, name, depth_mm)
