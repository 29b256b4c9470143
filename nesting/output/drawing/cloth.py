"""The cloth of a plan as it is drawn: how it lies along its length, where it ends, its flaws.

An opened-out section is drawn where it comes to lie when the upper layer is laid back over the
fold: on both sides of the fold, if that runs along the cloth. In a plan its y begins at the
lower selvedge.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from nesting.fabric.fabric import Fabric
from nesting.fabric.flaws import LaidFlaw, cut_off, laid_flaws
from nesting.fabric.lay import Lay, lay_under, section_lay
from nesting.fabric.marker import OPENED_OUT, Marker
from nesting.fabric.plans import FabricPlan
from pieces.geometry import translated
from pieces.piece import Outline


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of cloth along the table that lies one way; y as it is drawn.

    `low_mm`, `high_mm` are its edges with their selvedges.
    """

    lay: Lay
    start_mm: float
    end_mm: float
    low_mm: float
    high_mm: float


def stretches(marker: Marker, fabric: Fabric, end_mm: float) -> list[Stretch]:
    """The folded part and the opened-out section, or the one way that all of the cloth lies."""
    lay, start_mm = lay_under(marker, fabric), marker.opened_from_mm
    if start_mm is None:
        return [_stretch(lay, fabric, (0.0, end_mm))]
    single = section_lay(fabric, lay, start_mm)
    bands = tuple(
        replace(band, low_mm=band.low_mm - lay.origin_mm, high_mm=band.high_mm - lay.origin_mm)
        for band in single.bands
    )
    section = _stretch(replace(single, bands=bands), fabric, (start_mm, end_mm))
    return [_stretch(lay, fabric, (0.0, start_mm)), section]


def _stretch(lay: Lay, fabric: Fabric, ends_mm: tuple[float, float]) -> Stretch:
    first, last, selvedge_mm = lay.bands[0], lay.bands[-1], fabric.washed_selvedge_mm
    low_mm = first.low_mm - (0.0 if first.fold_low else selvedge_mm)
    high_mm = max(last.high_mm, first.high_mm) + (0.0 if last.fold_high else selvedge_mm)
    return Stretch(lay, *ends_mm, low_mm, high_mm)


def drawn_marker(marker: Marker, fabric: Fabric) -> Marker:
    """A marker with the pieces of its section where they are drawn."""
    down_mm = lay_under(marker, fabric).origin_mm
    placements = tuple(
        replace(one, y_mm=one.y_mm - down_mm, outline_mm=translated(one.outline_mm, 0.0, -down_mm))
        if one.section == OPENED_OUT
        else one
        for one in marker.placements
    )
    return replace(marker, placements=placements)


def drawn(entry: FabricPlan) -> FabricPlan:
    """A cloth's plan with the pieces and remnants of its section where they are drawn."""
    marker, start_mm = entry.marker, entry.marker.opened_from_mm
    if start_mm is None:
        return entry
    down_mm = lay_under(marker, entry.fabric).origin_mm
    remnants = tuple(
        replace(one, y_mm=one.y_mm - down_mm) if one.x_mm >= start_mm else one
        for one in entry.remnants
    )
    return replace(entry, marker=drawn_marker(marker, entry.fabric), remnants=remnants)


def cloth_end_mm(entry: FabricPlan) -> float:
    """How far from the cut end the cloth on the table is known to reach."""
    ends = (remnant.x_mm + remnant.length_mm for remnant in entry.remnants)
    return max([entry.table_length_mm, *ends])


def flaws_in(entry: FabricPlan) -> list[LaidFlaw]:
    """The flaws that lie in it, where a plan has them."""
    return _flaws_on(entry.marker, entry.fabric, cloth_end_mm(entry))


def _flaws_on(marker: Marker, fabric: Fabric, end_mm: float) -> list[LaidFlaw]:
    """The flaws on the table up to an end; in an opened-out section once, on its one layer."""
    lay, start_mm = lay_under(marker, fabric), marker.opened_from_mm
    if start_mm is None:
        return _before(laid_flaws(fabric, lay), end_mm)
    there = (
        replace(one, outline_mm=translated(one.outline_mm, start_mm, 0.0), section=OPENED_OUT)
        for one in laid_flaws(fabric, section_lay(fabric, lay, start_mm))
    )
    return [*_before(laid_flaws(fabric, lay), start_mm), *_before(there, end_mm)]


def drawn_flaws(marker: Marker, fabric: Fabric, end_mm: float) -> list[Outline]:
    """The flaws on the table up to an end, those of a section where they are drawn."""
    down_mm = lay_under(marker, fabric).origin_mm
    return [
        translated(one.outline_mm, 0.0, -down_mm) if one.section == OPENED_OUT else one.outline_mm
        for one in _flaws_on(marker, fabric, end_mm)
    ]


def _before(flaws: Iterable[LaidFlaw], end_mm: float) -> list[LaidFlaw]:
    """Flaws cut off at an end of their cloth."""
    return [
        replace(flaw, outline_mm=part)
        for flaw in flaws
        for part in cut_off(flaw.outline_mm, end_mm)
    ]
