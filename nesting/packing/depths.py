"""How deep to fold one selvedge in, where the rest of the width lies single."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric
from pieces.geometry import area, oriented

_MOST = 2
_APART_MM = 5.0
"""Depths nearer to each other than this are one."""
_STACKED = 3
"""So many outlines side by side across the double cloth make a depth worth a trial."""
_MOST_HEIGHTS = 12


@dataclass(frozen=True, slots=True)
class _Across:
    """What the cuts of one thickness ask of the width: least of each, and their area."""

    needs_mm: tuple[float, ...]
    area_mm2: float

    @property
    def most_mm(self) -> float:
        return max(self.needs_mm, default=0.0)


def useful_depths(cuts: Sequence[Cut], fabric: Fabric) -> tuple[float, ...]:
    """Depths of a partial fold worth a trial, the most promising first.

    Each leaves room for every cut; if none does, the deepest that leaves room for those cut
    singly. A depth runs from the fold to the outer edge of the selvedge folded in.
    """
    double = _across([cut for cut in cuts if cut.layers > 1], fabric)
    single = _across([cut for cut in cuts if cut.layers == 1], fabric)
    width_mm, selvedge_mm = fabric.washed_width_mm, fabric.washed_selvedge_mm
    least_mm = selvedge_mm + max(double.most_mm, 1.0)
    most_mm = width_mm / 2
    if single.needs_mm:
        most_mm = (width_mm - selvedge_mm - single.most_mm) / 2
    if most_mm < least_mm:
        return (min(width_mm / 2, max(most_mm, selvedge_mm + 1.0)),)

    def promise(depth_mm: float) -> float:
        """A length that no marker so folded falls short of, by area alone."""
        double_mm = depth_mm - selvedge_mm
        single_mm = max(width_mm - 2 * depth_mm - selvedge_mm, 1.0)
        return max(double.area_mm2 / double_mm, single.area_mm2 / single_mm)

    depths = [least_mm, most_mm, *_stacks(double, selvedge_mm)]
    depths += _from_single(single, width_mm, selvedge_mm)
    possible = {depth for depth in depths if least_mm <= depth <= most_mm}
    ranked = sorted(possible, key=lambda depth: (promise(depth), depth))
    return tuple(_distinct(ranked))[:_MOST]


def _across(cuts: Sequence[Cut], fabric: Fabric) -> _Across:
    needs = []
    for cut in cuts:
        keep_mm = fabric.edge_gap_mm
        if not cut.on_fold:
            keep_mm += fabric.gap_mm / 2 if cut.layers > 1 else fabric.edge_gap_mm
        heights = []
        for way in cut.orientations or ((0.0, False),):
            ys = [y for _, y in oriented(cut.outline_mm, *way)]
            heights.append(max(ys) - min(ys))
        needs.append(min(heights) + keep_mm)
    return _Across(tuple(needs), sum(area(cut.outline_mm) for cut in cuts))


def _sums(needs_mm: Sequence[float]) -> Iterator[float]:
    """Widths of a few outlines side by side."""
    heights = sorted(set(needs_mm), reverse=True)[:_MOST_HEIGHTS]
    for count in range(1, _STACKED + 1):
        yield from map(sum, combinations_with_replacement(heights, count))


def _stacks(double: _Across, selvedge_mm: float) -> Iterator[float]:
    yield from (selvedge_mm + needed for needed in _sums(double.needs_mm))


def _from_single(single: _Across, width_mm: float, selvedge_mm: float) -> Iterator[float]:
    yield from ((width_mm - selvedge_mm - needed) / 2 for needed in _sums(single.needs_mm))


def _distinct(depths: Sequence[float]) -> Iterator[float]:
    kept: list[float] = []
    for depth in depths:
        if all(abs(depth - other) >= _APART_MM for other in kept):
            kept.append(depth)
            yield depth
