"""The verifier's own account of the flaws of a cloth: which flat cloth each outline is cut from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from shapely import affinity, unary_union
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from nesting.fabric.fabric import Fabric
from nesting.fabric.marker import Marker
from nesting.verify.shape import TOLERANCE_MM, Laid
from pieces.piece import Finding, GrainRule
from pieces.wording import exact

Affine = tuple[float, float, float, float, float, float]
"""x' = a x + b y + e, y' = c x + d y + f, in the order a, b, c, d, e, f."""


def flaw_findings(laid: Sequence[Laid], fabric: Fabric, marker: Marker) -> Iterator[Finding]:
    """Whether any outline, in any of its layers, touches a flaw.

    Flaws are given on the flat cloth as bought, from its cut end and its lower edge. Where a motif
    is centred along the cloth, up to a repeat of it is cut off before the layout begins.
    """
    if not fabric.flaws:
        return
    before_mm = _before_motif_mm(laid, fabric)
    flaws = [_up_to(_after_the_wash(Polygon(flaw), fabric), before_mm) for flaw in fabric.flaws]
    for one in laid:
        core = one.region.buffer(-TOLERANCE_MM)
        for number, way in enumerate(ways_to_flat(one, marker), start=1):
            below = affinity.affine_transform(core, list(way))
            touched = [flaw.intersection(below) for flaw in flaws if flaw.intersects(below)]
            if touched:
                x, y = (float(value) for value in touched[0].centroid.coords[0])
                yield Finding(
                    "flaw",
                    f"{one.label}: layer {number} of it is cut from a flaw, "
                    + exact(x, 1)
                    + " from the cut end and "
                    + exact(y, 1)
                    + " from the lower selvedge of the washed cloth.",
                )


def shortened_onto_flaw(laid: Sequence[Laid], fabric: Fabric, marker: Marker) -> bool:
    """Whether flaws are why a fold across lies farther from the cut end than its pieces reach.

    Folded where the farthest of them ends, one would lie under a piece, or nearer to it
    than pieces keep from each other.
    """
    cloth = laid[0].cloth
    if not (fabric.flaws and cloth.before_mm and cloth.ends_together):
        return False
    needed_mm = max(float(one.region.bounds[2]) for one in laid) + cloth.far[0]
    there = replace(cloth, before_mm=needed_mm)
    near_mm = fabric.gap_mm + TOLERANCE_MM
    wider = [replace(one, region=one.region.buffer(near_mm), cloth=there) for one in laid]
    return any(flaw_findings(wider, fabric, marker))


def _before_motif_mm(laid: Sequence[Laid], fabric: Fabric) -> float:
    """How much washed cloth may go before the first motif, where one is centred along it."""
    centred = any(
        mark.name in one.piece.motif
        and (mark.across if one.piece.grain_rule is GrainRule.CROSSWISE else mark.along)
        for one in laid
        for mark in one.piece.marks
    )
    if fabric.repeat is None or not centred:
        return 0.0
    return fabric.repeat.length_mm * (1 - fabric.shrinkage_length)


def _up_to(flaw: Polygon, back_mm: float) -> BaseGeometry:
    """Every place that a flaw reaches as it moves back along the cloth by up to so much."""
    on_the_way = (
        MultiPoint([*edge, *((x - back_mm, y) for x, y in edge)]).convex_hull
        for edge in pairwise(flaw.exterior.coords)
    )
    return unary_union([flaw, *on_the_way])


def _after_the_wash(flaw: Polygon, fabric: Fabric) -> Polygon:
    """A flaw as bought, on washed cloth, counted from inside the lower selvedge."""
    inside = affinity.translate(flaw, 0.0, -fabric.selvedge_mm)
    kept = (1 - fabric.shrinkage_length, 1 - fabric.shrinkage_width)
    return affinity.scale(inside, *kept, origin=(0.0, 0.0))


def ways_to_flat(laid: Laid, marker: Marker) -> Iterator[Affine]:
    """How each layer under a placement maps to the flat cloth."""
    cloth = laid.cloth
    first, strip = cloth.strips[0], cloth.strip_of(laid.placement)
    # What is folded under lies below y = 0 when the cloth is opened out.
    under_mm = first.high_mm if first.fold_low else 0.0
    ups = [(1.0, under_mm)]
    if strip.folded:
        fold_mm = strip.high_mm if strip.fold_high else strip.low_mm
        ups.append((-1.0, under_mm + 2 * fold_mm))
    for flip, up_mm in ups:
        yield (1.0, 0.0, 0.0, flip, cloth.before_mm, up_mm)
        if cloth.turned:
            # The upper layer, cut off and turned end for end, begins where the lower one ends.
            yield (1.0, 0.0, 0.0, -flip, marker.table_length_mm, strip.high_mm - up_mm)
        elif cloth.ends_together:
            yield (-1.0, 0.0, 0.0, flip, cloth.before_mm or marker.length_mm, up_mm)
