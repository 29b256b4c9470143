"""Flaws of a cloth where it lies: nothing is cut from there. Millimetres.

A fabric's flaws are given on the flat cloth as bought, its right side up and its cut end to the
left: x from the squared cut end, y from the lower edge, selvedge and all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from nesting.fabric.fabric import Fabric
from nesting.fabric.lay import End, Lay
from nesting.fabric.marker import MAIN
from pieces.geometry import anticlockwise
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
    """Where the flaws lie on a lay, each in its layer; those in a selvedge don't count.

    Where the cut ends come together at the near end, the lower half alone: see
    `layer_unknown`. None while the place of a fold there is open.

    >>> from nesting.fabric.fabric import LayName
    >>> from nesting.fabric.lay import lay_of
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
    as long as all the stretch in which it may lie.
    """
    along, across = 1 - fabric.shrinkage_length, 1 - fabric.shrinkage_width
    before_mm = fabric.before_motif_mm * along
    return [
        drawn_out(tuple((x * along, (y - fabric.selvedge_mm) * across) for x, y in flaw), before_mm)
        for flaw in fabric.flaws
    ]


def drawn_out(outline: Outline, back_mm: float) -> Outline:
    """All that an outline covers on the way, and what lies between, moved back by up to so much."""
    from shapely.geometry import MultiPoint

    if not back_mm:
        return outline
    moved = tuple((x - back_mm, y) for x, y in outline)
    return corners_of(cast("Polygon", MultiPoint(outline + moved).convex_hull))


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
            for part in parts_of(Polygon(outline).intersection(window)):
                yield LaidFlaw(corners_of(part), number, layer)


def cut_off(outline: Outline, end_mm: float) -> list[Outline]:
    """What of an outline lies before a place along the cloth."""
    from shapely.geometry import Polygon, box

    left, low, right, high = Polygon(outline).bounds
    if right <= end_mm:
        return [outline]
    if left >= end_mm:
        return []
    found = Polygon(outline).intersection(box(left, low, end_mm, high))
    return [corners_of(part) for part in parts_of(found)]


def parts_of(shape: object) -> list[Polygon]:
    """The polygons of a shape, but for slivers that are rounding."""
    from shapely.geometry import Polygon

    found = getattr(shape, "geoms", [shape])
    return [part for part in found if isinstance(part, Polygon) and part.area > _LEAST_MM2]


def corners_of(shape: Polygon) -> Outline:
    """The outer ring of a polygon, anticlockwise."""
    return anticlockwise(tuple((x, y) for x, y in shape.exterior.coords[:-1]))
