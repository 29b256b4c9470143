"""How the cloth lies: its bands across the width, their layers, and where the folds are."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.fabric import Fabric, LayName


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
    def fold_edges_mm(self) -> tuple[float, ...]:
        """Where the folds lie across the lay."""
        edges = ((self.low_mm, self.fold_low), (self.high_mm, self.fold_high))
        return tuple(edge for edge, is_fold in edges if is_fold)


@dataclass(frozen=True, slots=True)
class Lay:
    """One way of laying a fabric; y runs across it, from the fold or the lower selvedge."""

    name: LayName
    bands: tuple[Band, ...]

    @property
    def depth_mm(self) -> float:
        """How far the lay reaches across the table."""
        return max(band.high_mm for band in self.bands)


def _open(usable_mm: float) -> tuple[Band, ...]:
    return (Band(0.0, usable_mm, layers=1),)


def _lengthwise_fold(usable_mm: float) -> tuple[Band, ...]:
    return (Band(0.0, usable_mm / 2, layers=2, fold_low=True),)


_BANDS = {LayName.OPEN: _open, LayName.LENGTHWISE_FOLD: _lengthwise_fold}


def lay_of(fabric: Fabric, name: LayName) -> Lay:
    """Lay `fabric` as `name` says, between its selvedges and after the wash.

    >>> lay_of(Fabric("lawn", 1120, selvedge_mm=10), LayName.LENGTHWISE_FOLD).depth_mm
    550.0
    """
    return Lay(name, _BANDS[name](fabric.usable_width_mm))


def allowed_lays(fabric: Fabric) -> tuple[LayName, ...]:
    """The lays that the order allows for `fabric`, folded ones before the open one.

    The order matters: a folded marker can be cut open as it is, so the open search starts
    from the folded one's answer and is never longer.
    """
    lays = fabric.lays if fabric.lays is not None else tuple(LayName)
    return tuple(sorted(lays, key=lambda name: name is LayName.OPEN))
