"""Where a fold across flawed cloth lies, so that its layout keeps clear of the flaws. Millimetres.

Where the near end of a lay is a fold, how far that is from the cut end tells where every flaw
comes to lie. It is folded as near to it as the pieces let it, or a little farther on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from nesting.fabric.fabric import Fabric
from nesting.fabric.flaws import washed
from nesting.fabric.lay import Lay
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.sections import folded_until
from nesting.packing.tilting import straightened
from nesting.solver.instance import Layout, NoRoom, Result
from pieces.piece import Outline

if TYPE_CHECKING:
    from shapely.geometry import Polygon

Solve = Callable[[Packing, Layout | None, float], Result]
"""Searches a strip from a layout, if one is given, within a share of what there is to spend."""
Reach = tuple[float, float]
_TRIES = 3
"""So often the flaws are laid out anew for a layout that loses less to them."""
_TOUCHING_MM = 0.001


def folded_clear(strip: Packing, layout: Layout) -> Packing:
    """A strip with the fold at its near end so near the cut end as a layout allows.

    That is where its farthest piece ends, or past it, where no flaw lies under a piece. Other
    strips stay as they are.
    """
    if not strip.lay.moves_flaws(strip.fabric):
        return strip
    place_mm = folded_until(strip, 0.0).marker(layout).table_length_mm
    at_once = folded_until(strip, place_mm)
    if at_once.suits(layout):
        return at_once
    for begin_mm, end_mm in sorted(_kept_from(strip, layout)):
        if begin_mm < place_mm < end_mm:
            place_mm = end_mm
    return folded_until(strip, place_mm)


def straight_and_clear(strip: Packing, layout: Layout) -> tuple[Packing, Layout]:
    """A strip with its pieces back on the grain, as many as may be, its fold clear of flaws."""
    straight = straightened(strip, layout)
    return folded_clear(strip, straight), straight


def searched(strip: Packing, start: Layout | None, solve: Solve) -> tuple[Packing, Result]:
    """A strip searched, and its fold laid where the layout found is clear of the flaws.

    The bound is one for cloth without them.
    """
    if not strip.lay.moves_flaws(strip.fabric):
        return strip, solve(strip, start, 1.0)
    share = 1 / (1 + _TRIES)
    faultless = folded_until(strip, 0.0)
    result = solve(faultless, start, share)
    least_mm = place_mm = _long_mm(faultless, result.layout)
    layouts = [result.layout] if start is None else [result.layout, start]
    best = min((_laid(strip, one) for one in layouts), key=_laid_mm)
    for _ in range(_TRIES):
        if _laid_mm(best) <= least_mm + _TOUCHING_MM:
            break
        there = folded_until(strip, place_mm)
        try:
            found = solve(there, best[1] if there.suits(best[1]) else None, share)
        except NoRoom:  # a flaw lies where pieces on the fold have to meet the print
            break
        best = min(best, _laid(strip, found.layout), key=_laid_mm)
        needed_mm = _long_mm(faultless, found.layout)
        # What fits past that fold is next laid with the fold where the best so far has it.
        place_mm = needed_mm if needed_mm > place_mm else _laid_mm(best)
    return best[0], replace(result, layout=best[1], untied=None)


def _laid(strip: Packing, layout: Layout) -> tuple[Packing, Layout]:
    return folded_clear(strip, layout), layout


def _laid_mm(laid: tuple[Packing, Layout]) -> float:
    return _long_mm(*laid)


def _long_mm(strip: Packing, layout: Layout) -> float:
    return strip.marker(layout).table_length_mm


def _kept_from(strip: Packing, layout: Layout) -> Iterator[tuple[float, float]]:
    """The stretches of places for the fold in which a flaw would lie under a piece.

    In the layer before the fold a flaw moves away from it as the fold moves on, in the layer
    past it nearer to it.
    """
    from shapely.geometry import Polygon

    flaws = [Polygon(flaw) for flaw in _below(strip.fabric, strip.lay)]
    ways = zip(strip.instance.items, layout.orientation.tolist(), layout.xy, strict=True)
    for item, way, xy in ways:
        shape = Polygon((item.orientations[way].outline + xy) / UNITS_PER_MM)
        for flaw in flaws:
            for (left, right), (begin, end) in level_reaches(shape, flaw):
                yield left + begin, right + end
                yield begin - right, end - left


def _below(fabric: Fabric, lay: Lay) -> Iterator[Outline]:
    """The flaws in each layer that a fold along the cloth makes; x from the cut end."""
    fold_mm = lay.bands[0].fold_mm
    for flaw in washed(fabric):
        upright = tuple((x, y - lay.origin_mm) for x, y in flaw)
        yield upright
        if fold_mm is not None:
            yield tuple((x, 2 * fold_mm - y) for x, y in reversed(upright))


def level_reaches(one: Polygon, other: Polygon) -> Iterator[tuple[Reach, Reach]]:
    """From where to where both reach along the cloth, as far as they lie level with each other."""
    from shapely.geometry import box

    low, high = max(one.bounds[1], other.bounds[1]), min(one.bounds[3], other.bounds[3])
    if low < high:
        parts = (
            own.intersection(box(own.bounds[0], low, own.bounds[2], high)).bounds
            for own in (one, other)
        )
        first, second = ((left, right) for left, _, right, _ in parts)
        yield first, second
