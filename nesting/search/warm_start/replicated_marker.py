"""Several garments alike: the marker of one, laid behind itself, shows one for all of them.

So N together are never longer than N times one; where motifs are centred along the cloth, than N
times what the whole repeats take in which one lies. Where a flaw would lie under a garment it is
laid behind that, so that flaws cost no more than the length up to the end of the last one. Where
a fold lies across flawed cloth it may show nothing; nor does it where the gap between pieces is
more than two edges'.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.flaws import laid_flaws
from nesting.fabric.lay import lay_of, lay_under
from nesting.fabric.marker import MAIN, Marker, Placement
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.fold_place import Reach, level_reaches
from nesting.packing.grown import grown
from nesting.prints.prints import ALONG, prints_of
from nesting.search.lay_result import LayResult
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for
from nesting.search.warm_start.transfer import Relaxed, freed
from nesting.strips.cuttings import cuttings_for
from pieces.geometry import translated
from pieces.piece import Piece

_TOUCHING_MM = 0.001


def one_of(problem: FabricProblem) -> FabricProblem | None:
    """The problem for one of several garments alike, as if ordered alone; None for others."""
    shade_groups = _lots(problem.pieces)
    alike = {tuple(replace(piece, garment="") for piece in own) for own in shade_groups.values()}
    if problem.order is None or "" in shade_groups or len(shade_groups) < 2 or len(alike) > 1:
        return None
    alone = problem_for(problem.order, problem.fabric, next(iter(shade_groups.values())), None)
    if not alone.lays:
        return None
    worth_it = cuttings_for(problem.fabric, alone.pieces) if problem.others else ()
    others = (one_of(other) for other in problem.others if other.cutting in worth_it)
    return replace(
        alone, cutting=problem.cutting, others=tuple(other for other in others if other is not None)
    )


def _lots(pieces: Sequence[Piece]) -> dict[str, list[Piece]]:
    shade_groups: dict[str, list[Piece]] = {}
    for piece in pieces:
        shade_groups.setdefault(piece.garment, []).append(piece)
    return shade_groups


def repeated(problem: FabricProblem, alone: LayResult) -> Relaxed | None:
    """The problem's garments laid as a result of one has it; None if they can't be cut so."""
    garments = list(_lots(problem.pieces))
    apart_mm = _whole_repeats_mm(problem)
    marker = _behind_itself(alone.marker, garments, problem.fabric, apart_mm)
    return freed(replace(alone, marker=marker), problem.fabric, problem.pieces)


def _whole_repeats_mm(problem: FabricProblem) -> float:
    """Garments lie a multiple of this apart, so that their motifs along the cloth fall alike."""
    prints = prints_of(problem.pieces, problem.fabric)
    return prints.periods_mm[ALONG] if ALONG in prints.motifs else 0.0


def _behind_itself(
    marker: Marker, garments: Sequence[str], fabric: Fabric, repeat_mm: float
) -> Marker:
    """The marker of one garment, once for each, in the folded part and then in the section."""
    first = [one for one in marker.placements if one.section == MAIN]
    parts = first, [one for one in marker.placements if one.section != MAIN]
    kept = [list(_kept_from(part, marker, fabric)) for part in parts]
    count, apart = len(garments), [_apart_mm(part, fabric, repeat_mm) for part in parts]
    # The first one lies clear of the flaws as it is.
    folded = [0.0, *_row_mm(apart[0], count - 1, apart[0], kept[0], repeat_mm)]
    last_mm = folded[-1]
    single = list(_row_mm(last_mm, count, apart[1], kept[1], repeat_mm))
    placements = [
        _moved(one, garment, by_mm)
        for garment, both_mm in zip(garments, zip(folded, single, strict=True), strict=True)
        for part, by_mm in zip(parts, both_mm, strict=True)
        for one in part
    ]
    lengths, start_mm = 2 if marker.lay.folds_across else 1, marker.opened_from_mm
    after_mm = single[-1] - last_mm if parts[1] else 0.0
    return replace(
        marker,
        length_mm=marker.length_mm + lengths * last_mm + after_mm,
        placements=tuple(placements),
        opened_from_mm=None if start_mm is None else start_mm + last_mm,
    )


def _row_mm(
    at_mm: float, count: int, apart_mm: float, kept: Sequence[Reach], repeat_mm: float
) -> Iterator[float]:
    """How far so many garments are moved, from a place on: apart, and kept from no place."""
    step_mm = repeat_mm or 1 / UNITS_PER_MM
    for _ in range(count):
        while in_the_way := [end for begin, end in kept if begin < at_mm < end - _TOUCHING_MM]:
            at_mm = math.ceil(min(in_the_way) / step_mm) * step_mm
        yield at_mm
        at_mm += apart_mm


def _kept_from(part: Sequence[Placement], marker: Marker, fabric: Fabric) -> Iterator[Reach]:
    """The moves along the cloth that would bring a flaw under a piece of a part."""
    from shapely.geometry import Polygon

    if marker.lay.folds_across or not part:
        return
    lay = lay_under(marker, fabric) if part[0].section == MAIN else lay_of(fabric, LayName.OPEN)
    flaws = [Polygon(flaw.outline_mm) for flaw in laid_flaws(fabric, lay)]
    for placement in part:
        shape = Polygon(grown(placement.outline_mm, fabric.gap_mm / 2))
        for flaw in flaws:
            for (left, right), (begin, end) in level_reaches(shape, flaw):
                yield begin - right, end - left


def _apart_mm(part: Sequence[Placement], fabric: Fabric, repeat_mm: float) -> float:
    """How far from each other the garments of a part begin."""
    if not part:
        return 0.0
    ends = [x for placement in part for x, _ in placement.outline_mm]
    units = math.ceil((max(ends) - min(ends) + fabric.gap_mm) * UNITS_PER_MM)
    whole_mm = units / UNITS_PER_MM
    return whole_mm if not repeat_mm else math.ceil(whole_mm / repeat_mm) * repeat_mm


def _moved(placement: Placement, garment: str, by_mm: float) -> Placement:
    outline = translated(placement.outline_mm, by_mm, 0.0)
    return replace(placement, garment=garment, x_mm=placement.x_mm + by_mm, outline_mm=outline)
