"""A relaxed problem is warm-started from the restricted problem's best layout: never longer."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import Lay, lay_of, strictness
from nesting.fabric.marker import Keyed, Marker
from nesting.fabric.unfold import carried_over, opened
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.opening import may_open
from nesting.packing.sections import (
    Strip,
    cuts_in,
    folded_until,
    marker_of,
    open_packing,
    opened_in,
    opened_strips,
    parted,
    section_after,
)
from nesting.packing.tilting import tilted_packing
from nesting.search.lay_result import LayResult, best_of_each_lay, verified
from nesting.solver.instance import Layout
from nesting.verify.judge import verify
from pieces.piece import Piece

_ROUNDING_MM = 0.001


def start_for(packing: Packing, lay_results: Iterable[LayResult]) -> Layout | None:
    """The shortest layout that results of stricter problems show for a lay, or None.

    The open lay imitates every fold, a partial fold the plain one, and each lay itself at a
    narrower width.
    """
    for lay_result in sorted(lay_results, key=lambda lay_result: lay_result.marker.length_mm):
        outlines = _shown(lay_result, packing)
        if outlines is None:
            continue
        layout = packing.layout_like(outlines, packing.senses(lay_result.marker))
        if layout is not None:
            return layout
    return None


def _shown(lay_result: LayResult, packing: Packing) -> list[Keyed] | None:
    """A result's outlines on another lay, if that is freer or the same on a wider cloth."""
    there, here = lay_result.packing.lay, packing.lay
    if here.name is LayName.OPEN:
        return opened(lay_result.marker, there)
    if there.opens:
        return None
    from_plain = (there.name, here.name) == (LayName.LENGTHWISE_FOLD, LayName.PARTIAL_FOLD)
    if (there.name is here.name or from_plain) and _has_the_depth(here, there):
        return carried_over(lay_result.marker, there, here)
    return None


def _has_the_depth(here: Lay, there: Lay) -> bool:
    """Whether each band of `there` has its like here, as deep or deeper."""
    pairs = zip(there.bands, here.bands, strict=False)
    as_deep = all(b.depth_mm >= a.depth_mm - _ROUNDING_MM for a, b in pairs)
    return len(there.bands) <= len(here.bands) and as_deep


def tilted_too(lay_result: LayResult, lay_results: Sequence[LayResult]) -> LayResult:
    """A result, with pieces tilted as a shorter one of a stricter lay shows it."""
    if lay_result.section is not None:
        return lay_result
    packing = tilted_packing(lay_result.packing)
    start = start_for(packing, lay_results)
    if start is None or packing.marker(start).length_mm >= lay_result.marker.length_mm:
        return lay_result
    return verified(packing, start, lay_result.bound_mm, lay_result.pieces)


def with_dominance(lay_results: Sequence[LayResult]) -> list[LayResult]:
    """The results, the freer ones no longer than what the stricter ones show for them."""
    found: list[LayResult] = []
    for index, lay_result in enumerate(lay_results):
        others = [*found, *lay_results[index + 1 :]]
        start = None if lay_result.section else start_for(lay_result.packing, others)
        if start is not None:
            shown = lay_result.packing.marker(start)
            if shown.length_mm < lay_result.marker.length_mm and not verify(
                lay_result.fabric, lay_result.pieces, shown
            ):
                lay_result = replace(lay_result, layout=start, marker=shown, untied=None)
        found.append(lay_result)
    return found


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A result of another problem, shown to this one; `tilts` if pieces of it lie off the grain."""

    lay_result: LayResult
    tilts: bool


def freed(lay_result: LayResult, fabric: Fabric, pieces: Sequence[Piece]) -> Relaxed | None:
    """A result's marker where it can be cut too: under freer rules, or of more pieces; no bound."""
    for tilts in (False, True) if fabric.tilt_deg else (False,):
        found = on_wider(lay_result, fabric, pieces, tilts=tilts)
        if found is not None:
            return Relaxed(found, tilts)
    return None


def on_wider(
    lay_result: LayResult, fabric: Fabric, pieces: Sequence[Piece], *, tilts: bool = True
) -> LayResult | None:
    """A result's marker on wider cloth, folded as far in and opened out as it is; no bound.

    None where it can't be cut so there: a print or flaws may lie otherwise.
    """
    marker, lay = lay_result.marker, lay_result.packing.lay
    there = marker.on_cross_fold
    wide = lay_of(fabric, lay.name, lay.fold_depth_mm, opens=lay.opens, from_fold=bool(there))
    senses = open_packing(pieces, fabric).senses(marker)
    strips: tuple[Packing, ...] | None = (Packing(cuts_in(marker, pieces, fabric), fabric, wide),)
    if lay_result.section is not None:
        strips = opened_strips(pieces, fabric, wide, opened_in(marker, pieces), senses, there)
    if strips is None:
        return None
    if fabric.tilt_deg and tilts:
        strips = tuple(map(tilted_packing, strips))
    folded, *rest = strips
    first, *_ = parted(marker)
    opened_mm = marker.opened_from_mm
    folded = folded_until(folded, marker.table_length_mm if opened_mm is None else opened_mm)
    layout = folded.layout_like(carried_over(first, lay, wide), senses)
    if layout is None:
        return None
    section = _section_like(marker, folded, layout, rest[0], senses) if rest else None
    if rest and section is None:
        return None
    carried = marker_of(folded, layout, section)
    if verify(fabric, pieces, carried):
        return None
    return LayResult(folded, layout, carried, tuple(pieces), 0.0, section)


def _section_like(
    marker: Marker, folded: Packing, layout: Layout, single: Packing, senses: Mapping[str, int]
) -> Strip | None:
    """The section of a marker behind a layout of the folded part, if its pieces can lie so."""
    _, part = parted(marker)
    there = section_after(folded, layout, single)
    found = there.layout_like(_outlines(part), senses)
    return None if found is None else (there, found)


def layouts_like(
    lay_result: LayResult, strips: tuple[Packing, Packing]
) -> tuple[Layout | None, Layout | None]:
    """Layouts of other cuts of the same pieces as they lie in a result that ends opened out."""
    lay, parts = lay_result.packing.lay, parted(lay_result.marker)
    senses = [strip.senses(lay_result.marker) for strip in strips]
    first = strips[0].layout_like(carried_over(parts[0], lay, lay), senses[0])
    return first, strips[1].layout_like(_outlines(parts[1]), senses[1])


def _outlines(part: Marker) -> list[Keyed]:
    """What lies in a part of a marker, as it lies, by its piece."""
    return [((p.garment, p.piece), p.outline_mm) for p in part.placements]


def bounded(lay_results: Sequence[LayResult], least_mm: float = math.inf) -> list[LayResult]:
    """The best of each lay, the strictest first, each with a bound that holds for all so laid.

    Every marker can be cut open, so what bounds the open lay bounds all. One depth of a
    partial fold tells nothing of the others, nor does a lay folded all along of those that end
    in an opened-out section. Whatever may be tilted is bounded by its area. `least_mm` is a bound
    on the same cloth with its strips cut otherwise.
    """
    if not lay_results:
        return []
    several = {t.marker.lay for t in lay_results if may_open(t.packing) or t.section}
    several |= {t.marker.lay for t in lay_results if t.marker.on_cross_fold}
    several.add(LayName.PARTIAL_FOLD)
    floor_mm = open_bound_mm(lay_results)
    found = []
    for lay_result in sorted(
        best_of_each_lay(lay_results), key=lambda one: strictness(one.marker.lay)
    ):
        # What another search proved of a lay holds for a marker that was only shown to it.
        proved = (
            other.bound_mm for other in lay_results if other.marker.lay is lay_result.marker.lay
        )
        loose = lay_result.fabric.tilt_deg > 0 or lay_result.marker.lay in several
        own_mm = 0.0 if loose else max(proved)
        bound_mm = min(max(own_mm, floor_mm), lay_result.marker.length_mm, least_mm)
        found.append(replace(lay_result, bound_mm=bound_mm))
    return found


def open_bound_mm(lay_results: Sequence[LayResult]) -> float:
    """A bound on the length of any marker on one cloth, whether the open lay was tried or not.

    `lay_results` are of the same pieces, one at least.
    """
    from nesting.solver.proof.bounds import lower_bound

    pieces = lay_results[0].pieces
    if lay_results[0].fabric.tilt_deg:
        wanted_mm2 = sum(map(wanted_area_mm2, pieces))
        return min(wanted_mm2 / one.fabric.usable_width_mm for one in lay_results)
    tried = [
        lay_result.bound_mm for lay_result in lay_results if lay_result.marker.lay is LayName.OPEN
    ]
    if any(tried):  # one carried over from narrower cloth has none
        return max(tried)
    return lower_bound(open_packing(pieces, lay_results[0].fabric).instance) / UNITS_PER_MM
