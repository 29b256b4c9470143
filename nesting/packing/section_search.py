"""Searching a lay that ends opened out: its folded part first, then the section behind it."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.fold_place import Solve, searched, straight_and_clear
from nesting.packing.sections import Strip, section_after
from nesting.packing.tilting import straightened
from nesting.solver.instance import Layout, Result


@dataclass(frozen=True, slots=True)
class InTwo:
    """What lies in the folded part and in its section; no marker is shorter than the bound."""

    folded: Packing
    layout: Layout
    section: Strip
    bound_mm: float


def laid_in_two(
    strips: tuple[Packing, Packing],
    starts: tuple[Layout | None, Layout | None],
    solve: Solve,
    *,
    straighten: bool = False,
) -> InTwo | None:
    """Both parts of a lay, the second on the cloth that the first leaves.

    None where the print leaves the second no place, as far as was searched.
    """
    total = sum(len(strip.cuts) for strip in strips)
    first, second = (len(strip.cuts) / total for strip in strips)

    def solve_folded(strip: Packing, start: Layout | None, share: float) -> Result:
        return solve(strip, start, share * first)

    folded, found = searched(strips[0], starts[0], solve_folded)
    layout = found.layout
    if straighten:
        folded, layout = straight_and_clear(folded, layout)
    single = section_after(folded, layout, strips[1])
    if not single.meets:
        return None
    start = starts[1] if starts[1] is not None and single.suits(starts[1]) else None
    result = solve(single, start, second)
    there = straightened(single, result.layout) if straighten else result.layout
    bound_mm = (folded.lay.lengths * found.bound + result.bound) / UNITS_PER_MM
    return InTwo(folded, layout, (single, there), bound_mm)
