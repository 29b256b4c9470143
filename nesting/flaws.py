"""Flaws of a cloth where it lies: nothing is cut from there. Millimetres.

A fabric's flaws are given on the flat cloth as bought, its right side up and its cut end to the
left: x from the squared cut end, y from the lower edge, selvedge and all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import numpy as np

from nesting.fabric import Fabric
from nesting.lay import End, Lay
from nesting.marker import MAIN
from nesting.parts import Cut
from nesting.prints import asks_for_print
from pieces.geometry import anticlockwise, area
from pieces.piece import Outline

if TYPE_CHECKING:
    from shapely.geometry import Polygon

_LEAST_MM2 = 1e-3
"""Less of a flaw than this, within a band, is rounding."""


@dataclass(frozen=True, slots=True)
class LaidFlaw:
    """What lies of a flaw in one band of a section.

    `layer` counts from 1, the layer on the table.
    """

    outline_mm: Outline
    band: int
    layer: int
    section: str = MAIN


def laid_flaws(fabric: Fabric, lay: Lay) -> tuple[LaidFlaw, ...]:
    """Where the flaws come to lie, each in its layer; those in a selvedge don't count.

    Where the cut ends come together at the near end, the lower half alone: see `unsettled`. None
    while the place of a fold there isn't settled.

    >>> from nesting.fabric import LayName
    >>> from nesting.lay import lay_of
    >>> lawn = Fabric("lawn", 1000, flaws=(((0, 100), (50, 100), (50, 200), (0, 200)),))
    >>> [one.layer for one in laid_flaws(lawn, lay_of(lawn, LayName.LENGTHWISE_FOLD))]
    [2]
    """
    if lay.near is End.FOLD and not lay.begins_mm:
        return ()
    return tuple(one for flaw in washed(fabric) for one in _in_bands(flaw, lay))


def washed(fabric: Fabric) -> list[Outline]:
    """The flaws on washed cloth, y from the lower selvedge's inner edge.

    Where motifs are centred along it, up to a repeat is cut off for the first one: a flaw then is
    as long as all the stretch in which it may come to lie.
    """
    along, across = 1 - fabric.shrinkage_length, 1 - fabric.shrinkage_width
    before_mm = fabric.before_motif_mm * along
    return [
        drawn_out(tuple((x * along, (y - fabric.selvedge_mm) * across) for x, y in flaw), before_mm)
        for flaw in fabric.flaws
    ]


def drawn_out(outline: Outline, back_mm: float) -> Outline:
    """All that an outline comes to cover, and what lies between, moved back by up to so much."""
    from shapely.geometry import MultiPoint

    if not back_mm:
        return outline
    moved = tuple((x - back_mm, y) for x, y in outline)
    return _corners(cast("Polygon", MultiPoint(outline + moved).convex_hull))


def _in_bands(flaw: Outline, lay: Lay) -> Iterator[LaidFlaw]:
    from shapely.geometry import Polygon, box

    upright = tuple((x - lay.begins_mm, y - lay.origin_mm) for x, y in flaw)
    end_mm = max(abs(x) for x, _ in upright)
    for number, band in enumerate(lay.bands):
        layers = [upright]
        if band.fold_mm is not None:
            fold_mm = band.fold_mm
            layers.append(tuple((x, 2 * fold_mm - y) for x, y in upright))
        if lay.near is End.FOLD:
            layers += [tuple((-x, y) for x, y in layer) for layer in layers]
        window = box(0.0, band.low_mm, end_mm, band.high_mm)
        for layer, outline in enumerate(layers, start=1):
            for part in _parts(Polygon(outline).intersection(window)):
                yield LaidFlaw(_corners(part), number, layer)


def cut_off(outline: Outline, end_mm: float) -> list[Outline]:
    """What of an outline lies before a place along the cloth."""
    from shapely.geometry import Polygon, box

    left, low, right, high = Polygon(outline).bounds
    if right <= end_mm:
        return [outline]
    if left >= end_mm:
        return []
    found = Polygon(outline).intersection(box(left, low, end_mm, high))
    return [_corners(part) for part in _parts(found)]


def _parts(shape: object) -> list[Polygon]:
    from shapely.geometry import Polygon

    found = getattr(shape, "geoms", [shape])
    return [part for part in found if isinstance(part, Polygon) and part.area > _LEAST_MM2]


def _corners(shape: Polygon) -> Outline:
    return anticlockwise(tuple((x, y) for x, y in shape.exterior.coords[:-1]))


def hindrances(fabric: Fabric, lay: Lay, cuts: Sequence[Cut]) -> list[Outline]:
    """What no cut may touch on the lay: flaws of all layers, those that lie on each other joined.

    Those beyond any marker of the cuts worth having are left out.
    """
    from shapely import unary_union
    from shapely.geometry import Polygon

    flaws = laid_flaws(fabric, lay)
    if not flaws:
        return []
    joined = unary_union([Polygon(one.outline_mm) for one in flaws])
    shapes = sorted(_parts(joined), key=lambda shape: shape.bounds)
    row_mm = _row_mm(fabric, cuts)
    # A fold at the near end lies so far from the cut end because pieces reach as far on the table.
    reach_mm, found = max(row_mm, lay.begins_mm), []
    for shape in shapes:
        if shape.bounds[0] < reach_mm:
            found.append(_corners(shape))
            # Past the flaws there is always room for all cuts, one behind another.
            reach_mm = max(reach_mm, shape.bounds[2] + row_mm)
    return found


def _row_mm(fabric: Fabric, cuts: Sequence[Cut]) -> float:
    """A length in which the cuts find room one behind another, whichever way each lies.

    One that meets a print along the cloth may have to wait for its place up to a repeat.
    """
    corners = (np.asarray(cut.outline_mm) for cut in cuts)
    kept_mm = 2 * fabric.edge_gap_mm + fabric.gap_mm * len(cuts)
    kept_mm += fabric.washed_repeat.length_mm * sum(asks_for_print([cut.piece]) for cut in cuts)
    return kept_mm + sum(float(np.hypot(*np.ptp(points, axis=0))) for points in corners)


def unsettled(fabric: Fabric, lay: Lay, cuts: Sequence[Cut]) -> bool:
    """Whether a flaw's layer depends on how long the marker becomes.

    Where the cut ends come together, the length decides at which place in which layer it comes
    to lie, unless it is in the near half of any marker or past the end of all worth having. A
    lay that begins at its fold has the fold's place to choose. With a section at its end the
    cloth reaches no less far before its upper layer begins: what lies beside it in two layers
    lies there in one.
    """
    if lay.lengths == 1 or lay.near is End.FOLD:
        return False
    least_mm = sum(area(cut.outline_mm) for cut in cuts) / lay.depth_mm
    most_mm = least_mm + _row_mm(fabric, cuts)
    spans = [(min(x for x, _ in flaw), max(x for x, _ in flaw)) for flaw in washed(fabric)]
    return any(end > least_mm and begin < lay.lengths * most_mm for begin, end in spans)
