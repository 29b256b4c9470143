"""How the cloth lies: its bands across the width, their layers, and where the folds are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum, auto

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.marker import Marker


class End(Enum):
    """What becomes of the cloth at one end of a lay, along its length."""

    EDGE = auto()
    """It ends."""
    FOLD = auto()
    """It is folded back."""
    CUT_APART = auto()
    """It was cut through: what is past the cut lies on top, turned end for end."""
    GOES_ON = auto()
    """It goes on in one piece, folded on this side and opened out on the other."""
    LOWER_GOES_ON = auto()
    """So does the lower layer, and the upper one ends."""


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch across the lay with the same number of layers all along.

    `fold_low`, `fold_high` tell whether its lower or upper limit is a fold; if not, it is an
    edge of the cloth.
    """

    low_mm: float
    high_mm: float
    layers: int
    fold_low: bool = False
    fold_high: bool = False

    @property
    def depth_mm(self) -> float:
        """How far it reaches across."""
        return self.high_mm - self.low_mm

    @property
    def fold_mm(self) -> float | None:
        """Where its lengthwise fold lies across the lay, if it has one."""
        if self.fold_low:
            return self.low_mm
        return self.high_mm if self.fold_high else None


@dataclass(frozen=True, slots=True)
class Lay:
    """One way of laying a fabric; y runs across it, from the fold or the lower selvedge.

    Attributes
    ----------
    depth_mm : how far it reaches across the table, selvedges at its outer edges left out
    origin_mm : where y = 0 lies on the cloth opened out, from its lower selvedge; the layer on
        the table, right side up, runs on from there
    inner_edges_mm : edges of the cloth that lie inside, on the layer below
    near, far : what becomes of the cloth at its two ends
    turned : it was cut apart, and the upper layer turned end for end
    begins_mm : how far from the cloth's cut end its near end lies on the cloth opened out; a fold
        there has the upper layer before it, and 0 says that its place isn't settled
    fold_depth_mm : of a partial fold, as in `Marker`
    """

    name: LayName
    bands: tuple[Band, ...]
    depth_mm: float
    origin_mm: float = 0.0
    inner_edges_mm: tuple[float, ...] = ()
    near: End = End.EDGE
    far: End = End.EDGE
    turned: bool = False
    fold_depth_mm: float = 0.0
    begins_mm: float = 0.0

    @property
    def lengths(self) -> int:
        """How many times its length on the table the cloth is long."""
        return 2 if self.name.folds_across else 1

    @property
    def opens(self) -> bool:
        """Whether the cloth lies open past its far end, as a section of one layer."""
        return self.far in (End.GOES_ON, End.LOWER_GOES_ON)

    def moves_flaws(self, fabric: Fabric) -> bool:
        """Whether where its fold lies decides where the flaws of the cloth lie."""
        return self.near is End.FOLD and bool(fabric.flaws)


def _open(fabric: Fabric, _: float) -> Lay:
    usable_mm = fabric.usable_width_mm
    return Lay(LayName.OPEN, (Band(0.0, usable_mm, layers=1),), usable_mm)


def _lengthwise_fold(fabric: Fabric, _: float) -> Lay:
    half_mm = fabric.usable_width_mm / 2
    band = Band(0.0, half_mm, layers=2, fold_low=True)
    return Lay(LayName.LENGTHWISE_FOLD, (band,), half_mm, half_mm)


def _crosswise_fold(fabric: Fabric, _: float) -> Lay:
    usable_mm = fabric.usable_width_mm
    turned = fabric.nap is not Nap.NONE
    return Lay(
        LayName.CROSSWISE_FOLD,
        (Band(0.0, usable_mm, layers=2),),
        usable_mm,
        far=End.CUT_APART if turned else End.FOLD,
        turned=turned,
    )


def _double_fold(fabric: Fabric, _: float) -> Lay:
    """Both selvedges meet in the middle, where neither band reaches across them."""
    width_mm, selvedge_mm = fabric.washed_width_mm, fabric.washed_selvedge_mm
    quarter_mm = width_mm / 4
    bands = (
        Band(0.0, quarter_mm - selvedge_mm, layers=2, fold_low=True),
        Band(quarter_mm + selvedge_mm, width_mm / 2, layers=2, fold_high=True),
    )
    origin_mm = quarter_mm - selvedge_mm
    return Lay(LayName.DOUBLE_FOLD, bands, width_mm / 2, origin_mm, (quarter_mm,))


def _partial_fold(fabric: Fabric, fold_depth_mm: float) -> Lay:
    width_mm, selvedge_mm = fabric.washed_width_mm, fabric.washed_selvedge_mm
    across_mm = width_mm - fold_depth_mm - selvedge_mm
    double = Band(0.0, fold_depth_mm - selvedge_mm, layers=2, fold_low=True)
    single = Band(fold_depth_mm, across_mm, layers=1)
    return Lay(
        LayName.PARTIAL_FOLD,
        (double, single) if single.depth_mm > 0 else (double,),
        max(across_mm, double.high_mm),
        fold_depth_mm - selvedge_mm,
        (fold_depth_mm,) if single.depth_mm > 0 else (),
        fold_depth_mm=fold_depth_mm,
    )


def _quarter_fold(fabric: Fabric, _: float) -> Lay:
    half_mm = fabric.usable_width_mm / 2
    band = Band(0.0, half_mm, layers=4, fold_low=True)
    return Lay(LayName.QUARTER_FOLD, (band,), half_mm, half_mm, far=End.FOLD)


_LAYS: dict[LayName, Callable[[Fabric, float], Lay]] = {
    LayName.OPEN: _open,
    LayName.LENGTHWISE_FOLD: _lengthwise_fold,
    LayName.CROSSWISE_FOLD: _crosswise_fold,
    LayName.DOUBLE_FOLD: _double_fold,
    LayName.PARTIAL_FOLD: _partial_fold,
    LayName.QUARTER_FOLD: _quarter_fold,
}
_STRICTEST_FIRST = (
    LayName.QUARTER_FOLD,
    LayName.DOUBLE_FOLD,
    LayName.LENGTHWISE_FOLD,
    LayName.CROSSWISE_FOLD,
    LayName.PARTIAL_FOLD,
    LayName.OPEN,
)


def lay_of(
    fabric: Fabric,
    name: LayName,
    fold_depth_mm: float = 0.0,
    *,
    opens: bool = False,
    from_fold: bool = False,
) -> Lay:
    """Lay `fabric` as `name` says, between its selvedges and after the wash.

    A partial fold, and no other, needs the depth of its fold. A folded lay that `opens` ends in
    a section of one layer (`section_lay`); a fold across the cloth then lies at its near end, as
    does one that pieces are to lie on, `from_fold`.

    >>> lay_of(Fabric("lawn", 1120, selvedge_mm=10), LayName.LENGTHWISE_FOLD).depth_mm
    550.0
    >>> lay_of(Fabric("lawn", 1120, selvedge_mm=10), LayName.PARTIAL_FOLD, 210).bands[1]
    Band(low_mm=210, high_mm=900.0, layers=1, fold_low=False, fold_high=False)
    """
    lay = _LAYS[name](fabric, fold_depth_mm)
    if from_fold and not opens:
        return replace(lay, near=lay.far, far=End.EDGE)
    if not opens:
        return lay
    near = End.FOLD if lay.far is End.FOLD else End.EDGE
    return replace(lay, near=near, far=End.LOWER_GOES_ON if lay.lengths > 1 else End.GOES_ON)


def ending_at(folded: Lay, opened_from_mm: float) -> Lay:
    """A folded lay that opens out, its folded part so long on the table.

    Where the near end is a fold, that tells where the fold lies on the cloth.
    """
    return replace(folded, begins_mm=opened_from_mm if folded.near is End.FOLD else 0.0)


def section_lay(fabric: Fabric, folded: Lay, opened_from_mm: float = 0.0) -> Lay:
    """The opened-out section at the end of a folded lay: one layer, the full width."""
    far = End.CUT_APART if folded.turned else End.EDGE
    begins_mm = ending_at(folded, opened_from_mm).begins_mm + opened_from_mm
    return replace(_open(fabric, 0.0), near=End.GOES_ON, far=far, begins_mm=begins_mm)


def lay_under(marker: Marker, fabric: Fabric) -> Lay:
    """The lay that a marker of `fabric` was made for; of one that opens out, its folded part."""
    opened_mm = marker.opened_from_mm
    opens, from_fold = opened_mm is not None, bool(marker.on_cross_fold)
    lay = lay_of(fabric, marker.lay, marker.fold_depth_mm, opens=opens, from_fold=from_fold)
    return ending_at(lay, marker.table_length_mm if opened_mm is None else opened_mm)


def suits_nap(name: LayName, nap: Nap) -> bool:
    """Whether a lay can be used with a nap: of four layers two always lie against it."""
    return name is not LayName.QUARTER_FOLD or nap is Nap.NONE


def strictness(name: LayName) -> int:
    """The place of a lay when the strictest comes first."""
    return _STRICTEST_FIRST.index(name)


def allowed_lays(fabric: Fabric) -> tuple[LayName, ...]:
    """The lays that the order and the nap allow for `fabric`, the strictest first.

    The order matters: a folded marker can be cut open as it is, so the open search starts
    from the folded ones' answers and is never longer.
    """
    lays = fabric.lays if fabric.lays is not None else tuple(LayName)
    return tuple(name for name in _STRICTEST_FIRST if name in lays and suits_nap(name, fabric.nap))
