"""Cloth that is there already: what it is to a marker. Millimetres."""

from __future__ import annotations

from dataclasses import replace

from nesting.fabric.fabric import Bolt, Fabric

_ROUNDING_MM = 0.01


def cloth_of(fabric: Fabric, bolt: Bolt | None) -> Fabric:
    """The fabric as a bolt has it, or as the shop sells it.

    A bolt that is washed shrinks no more, and no counter's step holds for it. It may have no
    selvedges, or others; a border that ran along those is not on a piece cut out between them.

    >>> lawn = Fabric("lawn", 1000, selvedge_mm=10, shrinkage_length=0.04, shrinkage_width=0.1)
    >>> cloth_of(lawn, Bolt("remnant", 600, 900, washed=True)).usable_width_mm
    882.0
    >>> cloth_of(lawn, Bolt("remnant", 600, 900, washed=True, selvedge_mm=0.0)).usable_width_mm
    900.0
    """
    if bolt is None:
        return replace(fabric, in_hand=())
    own_mm, full_mm = bolt.selvedge_mm, fabric.washed_width_mm if bolt.washed else fabric.width_mm
    has_border = own_mm != 0 or bolt.width_mm >= full_mm
    cloth = replace(
        fabric,
        in_hand=(),
        selvedge_mm=fabric.selvedge_mm if own_mm is None else own_mm,
        width_mm=bolt.width_mm,
        flaws=bolt.flaws,
        border=fabric.border if has_border else None,
        sold_by_mm=0.0,
        minimum_mm=0.0,
    )
    if not bolt.washed:
        return cloth
    border = cloth.border
    return replace(
        cloth,
        selvedge_mm=fabric.washed_selvedge_mm if own_mm is None else own_mm,
        repeat=None if fabric.repeat is None else fabric.washed_repeat,
        border=None if border is None else replace(border, depth_mm=fabric.washed_border_mm),
        shrinkage_length=0.0,
        shrinkage_width=0.0,
    )


def room_mm(cloth: Fabric, length_mm: float) -> float:
    """The longest marker that a length of cloth is sure to hold, washed and squared.

    Up to a repeat of it goes before the first motif, where motifs are centred along the cloth.

    >>> lawn = Fabric("lawn", 1000, shrinkage_length=0.04, end_allowance_mm=20)
    >>> room_mm(lawn, 2020)
    1920.0
    """
    kept_mm = length_mm - cloth.end_allowance_mm - cloth.before_motif_mm
    return max(0.0, kept_mm * (1 - cloth.shrinkage_length))


def holds(cloth: Fabric, bolt: Bolt, marker_mm: float) -> bool:
    """Whether a bolt is long enough for a marker."""
    return marker_mm <= room_mm(cloth, bolt.length_mm) + _ROUNDING_MM


def short_mm(cloth: Fabric, bolt: Bolt, marker_mm: float) -> float:
    """By how much a bolt, as it is now, is too short for a marker; below 0 where it is not.

    >>> lawn = Fabric("lawn", 1000, shrinkage_length=0.04, end_allowance_mm=20)
    >>> short_mm(lawn, Bolt("scrap", 10, 1000), 960)
    1010.0
    """
    needed_mm = marker_mm / (1 - cloth.shrinkage_length)
    return needed_mm + cloth.end_allowance_mm + cloth.before_motif_mm - bolt.length_mm
