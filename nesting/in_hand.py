"""Cloth that is there already: what it is to a marker. Millimetres."""

from __future__ import annotations

from dataclasses import replace

from nesting.fabric import Bolt, Fabric


def cloth_of(fabric: Fabric, bolt: Bolt | None) -> Fabric:
    """The fabric as a bolt has it, or as the shop sells it.

    A bolt that is washed shrinks no more, and no counter's step holds for it. It may have no
    selvedges, or others.

    >>> lawn = Fabric("lawn", 1000, selvedge_mm=10, shrinkage_length=0.04, shrinkage_width=0.1)
    >>> cloth_of(lawn, Bolt("remnant", 600, 900, washed=True)).usable_width_mm
    882.0
    >>> cloth_of(lawn, Bolt("remnant", 600, 900, washed=True, selvedge_mm=0.0)).usable_width_mm
    900.0
    """
    if bolt is None:
        return replace(fabric, in_hand=())
    own_mm = bolt.selvedge_mm
    cloth = replace(
        fabric,
        in_hand=(),
        selvedge_mm=fabric.selvedge_mm if own_mm is None else own_mm,
        width_mm=bolt.width_mm,
        flaws=bolt.flaws,
        sold_by_mm=0.0,
        minimum_mm=0.0,
    )
    if not bolt.washed:
        return cloth
    border = fabric.border
    return replace(
        cloth,
        selvedge_mm=fabric.washed_selvedge_mm if own_mm is None else own_mm,
        repeat=None if fabric.repeat is None else fabric.washed_repeat,
        border=None if border is None else replace(border, depth_mm=fabric.washed_border_mm),
        shrinkage_length=0.0,
        shrinkage_width=0.0,
    )


def room_mm(cloth: Fabric, bolt: Bolt) -> float:
    """The longest marker that a bolt holds: what is left of it when washed and squared.

    >>> lawn = Fabric("lawn", 1000, shrinkage_length=0.04, end_allowance_mm=20)
    >>> room_mm(lawn, Bolt("bolt", 2020, 1000))
    1920.0
    """
    return max(0.0, (bolt.length_mm - cloth.end_allowance_mm) * (1 - cloth.shrinkage_length))
