"""The same order under a stricter nap, whose markers the cloth as it is allows too.

What is cut with a nap can be cut without, so its markers are where the search without begins: nap
is never shorter than no nap. Without a nap pieces may lie in all the ways of garments each its own
way, and those in all the ways of one-way cloth. Flaws alone lie otherwise on a crosswise fold that
is cut and turned, so there its markers may show nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from nesting.fabric.fabric import Nap
from nesting.fabric.lay import lay_under
from nesting.packing.convert import Packing
from nesting.search.lay_result import LayResult
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for
from nesting.search.warm_start.transfer import Relaxed, freed
from nesting.verify.judge import verify

_STRICTER = {Nap.NONE: Nap.PER_GARMENT, Nap.PER_GARMENT: Nap.ONE_WAY}


def restricted_of(problem: FabricProblem, *, most: bool = False) -> FabricProblem | None:
    """The same problem with the next stricter nap, or with the strictest.

    None if there is none, or no lay allows it.
    """
    nap = _STRICTER.get(problem.fabric.nap)
    if nap is None or problem.order is None:
        return None
    strict = replace(problem.fabric, nap=Nap.ONE_WAY if most else nap)
    found = problem_for(problem.order, strict, problem.pieces, None)
    others = (restricted_of(other, most=most) for other in problem.others)
    alike = tuple(other for other in others if other is not None)
    return replace(found, cutting=problem.cutting, others=alike) if found.lays else None


def relaxed_from(problem: FabricProblem, lay_results: Iterable[LayResult]) -> list[Relaxed]:
    """What results of a stricter problem show for this one, on lays that it tries."""
    names = {packing.lay.name for packing in problem.all_packings}
    own = (lay_result for lay_result in lay_results if lay_result.marker.lay in names)
    found = (freed(one, problem.fabric, problem.pieces) or _as_it_is(one, problem) for one in own)
    return [one for one in found if one is not None]


def _as_it_is(lay_result: LayResult, problem: FabricProblem) -> Relaxed | None:
    """A stricter result with its own cuts, where the freer rules ask for others."""
    if lay_result.section is not None:
        return None
    lay = lay_under(lay_result.marker, problem.fabric)
    packing = Packing(lay_result.packing.cuts, problem.fabric, lay)
    marker = packing.marker(lay_result.layout)
    if verify(problem.fabric, problem.pieces, marker):
        return None
    return Relaxed(LayResult(packing, lay_result.layout, marker, problem.pieces, 0.0), tilts=False)
