"""Searching a lay that ends opened out: its folded part first, then the section behind it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from nesting.convert import UNITS_PER_MM, Packing
from nesting.lay import End
from nesting.sections import (
    Strip,
    flaws_lie_as_reckoned,
    folded_until,
    marker_of,
    section_after,
)
from nesting.solver.instance import Layout, Result
from nesting.tilting import straightened

Solve = Callable[[Packing, Layout | None, float], Result]
"""Searches a strip from a layout, if one is given, within a share of what there is to spend."""
_TRIES = 3
"""So often the flaws are laid out anew before a fold across flawed cloth is given up."""


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

    None where flaws or the print leave no way, as far as was searched.
    """
    total = sum(len(strip.cuts) for strip in strips)
    first, second = (len(strip.cuts) / total for strip in strips)

    def solve_folded(strip: Packing, start: Layout | None, share: float) -> Result:
        return solve(strip, start, share * first)

    found = _folded(strips[0], starts[0], solve_folded)
    if found is None:
        return None
    folded, layout, bound = found
    if straighten:
        folded, layout = _straightened(folded, layout)
    single = section_after(folded, layout, strips[1])
    if not single.meets:
        return None
    start = starts[1] if starts[1] is not None and single.suits(starts[1]) else None
    result = solve(single, start, second)
    there = straightened(single, result.layout) if straighten else result.layout
    marker = marker_of(folded, layout, (single, there))
    if not flaws_lie_as_reckoned(folded.fabric, marker):
        return None
    bound_mm = (folded.lay.lengths * bound + result.bound) / UNITS_PER_MM
    return InTwo(folded, layout, (single, there), bound_mm)


def _folded(
    strip: Packing, start: Layout | None, solve: Solve
) -> tuple[Packing, Layout, int] | None:
    """The folded part, its layout and a bound in units.

    Where its near end is a fold, how long it becomes tells where flaws lie in it: they are laid
    out anew until a layout keeps clear of them where they then are.
    """
    if strip.lay.near is not End.FOLD or not strip.fabric.flaws:
        result = solve(strip, start, 1.0)
        return strip, result.layout, result.bound
    faultless = replace(strip.fabric, flaws=())
    plain = Packing(strip.cuts, faultless, strip.lay, strip.prints)
    result = solve(plain, start, 1 / (1 + _TRIES))
    for last in (False,) * _TRIES + (True,):
        strip = folded_until(strip, _long_mm(strip, result.layout))
        if strip.suits(result.layout):
            return strip, result.layout, result.bound
        if not last:
            result = solve(strip, None, 1 / (1 + _TRIES))
    return None


def _straightened(folded: Packing, layout: Layout) -> tuple[Packing, Layout]:
    """The folded part with its pieces back on the grain, unless flaws come to lie under them."""
    straight = straightened(folded, layout)
    shorter = folded_until(folded, _long_mm(folded, straight))
    return (shorter, straight) if shorter.suits(straight) else (folded, layout)


def _long_mm(strip: Packing, layout: Layout) -> float:
    return strip.marker(layout).table_length_mm
