"""One lay searched: what was found, its figures, and how it ranks beside others."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.figures import cut_metres, outline_metres
from nesting.fabric.marker import Marker
from nesting.fabric.plans import ComparedLay
from nesting.fabric.purchase import longest_for_less, purchase, waste_percent
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.sections import Strip, marker_of
from nesting.solver.instance import Layout
from nesting.verify.judge import require_valid
from pieces.piece import Piece

_SIMPLEST_FIRST = (
    LayName.OPEN,
    LayName.LENGTHWISE_FOLD,
    LayName.CROSSWISE_FOLD,
    LayName.PARTIAL_FOLD,
    LayName.DOUBLE_FOLD,
    LayName.QUARTER_FOLD,
)


_WORTH_A_FOLD = 3
"""So many outlines a fold beyond the first must save: to lay and square it takes as long as to pin
and cut them (common practice)."""


@dataclass(frozen=True, slots=True)
class LayResult:
    """One lay searched: its verified marker of `pieces`, and a bound below any marker on it.

    `section` is what lies in the opened-out section at its end, if it ends in one; `packing` and
    `layout` are then those of the folded part. `untied` is a layout of the same pieces that
    leaves the print out of account.
    """

    packing: Packing
    layout: Layout
    marker: Marker
    pieces: tuple[Piece, ...]
    bound_mm: float
    section: Strip | None = None
    untied: Layout | None = None

    @property
    def fabric(self) -> Fabric:
        """The cloth, at the width tried."""
        return self.packing.fabric

    @property
    def joins(self) -> int:
        """How many joins the strips of its pieces have."""
        return sum(piece.joins for piece in self.pieces)


def figures(lay_result: LayResult) -> ComparedLay:
    """The figures of a result, as a comparison has them."""
    fabric, marker = lay_result.fabric, lay_result.marker
    bought = purchase(fabric, marker.length_mm)
    wanted_mm2 = sum(map(wanted_area_mm2, lay_result.pieces))
    return ComparedLay(
        lay=marker.lay,
        width_mm=fabric.width_mm,
        length_mm=marker.length_mm,
        least_possible_mm=lay_result.bound_mm,
        purchase_mm=bought.length_mm,
        cost=bought.cost,
        waste_percent=waste_percent(fabric, wanted_mm2, marker.length_mm),
        cut_outlines=len(marker.placements),
        cut_metres=cut_metres(marker, lay_result.packing.lay, lay_result.pieces),
        joins=lay_result.joins,
        opened_from_mm=marker.opened_from_mm,
    )


def rank_key(lay_result: LayResult) -> tuple[float, ...]:
    """Smaller is better: the least to buy, then the fewest outlines, then the least to cut.

    That is told to 10 cm. Where it is the same, the shortest, and then the simplest way to lie.
    A second fold, and one that opens out, count as outlines. Where the order tells what an hour
    of work costs, cloth and the cutter's minutes together come first, in cents.
    """
    marker = lay_result.marker
    cut_m = round(outline_metres(marker, lay_result.packing.lay), 1)
    simplest = _SIMPLEST_FIRST.index(marker.lay)
    outlines = len(marker.placements)
    folds = marker.lay.folds + (marker.opened_from_mm is not None)
    first = paid_key(lay_result.fabric, marker.length_mm, folds, outlines, cut_m, lay_result.joins)
    if not any(one.in_corner for one in marker.placements):  # a quarter lies there as it is drawn
        outlines += _WORTH_A_FOLD * max(0, folds - 1)
    return first, outlines, cut_m, marker.length_mm, simplest


def paid_key(
    fabric: Fabric,
    length_mm: float,
    folds: int = 0,
    outlines: int = 0,
    cut_m: float = 0.0,
    joins: int = 0,
) -> float:
    """What a length is judged by first: mm to buy; at a rate, cents for cloth and minutes of work.

    `cut_m` are metres of cutting line.
    """
    bought, handling = purchase(fabric, length_mm), fabric.handling
    if handling is None or bought.cost is None:
        return bought.length_mm
    work = handling.minute * handling.each.spent(folds, outlines, cut_m, joins)
    return float(round(100 * (bought.cost + work)))


def best_of_each_lay(lay_results: Iterable[LayResult]) -> list[LayResult]:
    """The shortest result of every lay, in the order in which the lays were tried."""
    best: dict[LayName, LayResult] = {}
    for lay_result in lay_results:
        known = best.setdefault(lay_result.marker.lay, lay_result)
        best[lay_result.marker.lay] = min(known, lay_result, key=_length_first)
    return list(best.values())


def _length_first(lay_result: LayResult) -> tuple[float, ...]:
    """Not as `rank_key`: with fewer outlines it could be longer than a stricter problem's."""
    return lay_result.marker.length_mm, len(lay_result.marker.placements), -lay_result.bound_mm


def verified(
    packing: Packing,
    layout: Layout,
    bound_mm: float,
    pieces: Sequence[Piece],
    section: Strip | None = None,
) -> LayResult:
    """A result from its layout, and that of its section if it has one.

    Raises
    ------
    OwnFailure : the marker can't be cut
    """
    marker = marker_of(packing, layout, section)
    require_valid(packing.fabric, pieces, marker)
    return LayResult(packing, layout, marker, tuple(pieces), bound_mm, section)


def shorter_for_less(packing: Packing) -> Callable[[int], int]:
    """From a length on the table, in units, to the longest for which the counter cuts less."""
    lengths = packing.lay.lengths

    def shorter(length: int) -> int:
        less_mm = longest_for_less(packing.fabric, length * lengths / UNITS_PER_MM)
        return math.floor(less_mm / lengths * UNITS_PER_MM)

    return shorter
