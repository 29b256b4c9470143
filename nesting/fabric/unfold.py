"""What one marker shows another lay: cut open, or carried over to a wider or freer one.

Freer problems start from the stricter one's answer, so that they are never longer.
"""

from __future__ import annotations

from nesting.fabric.lay import End, Lay
from nesting.fabric.marker import OPENED_OUT, Keyed, Marker, Placement
from pieces.geometry import doubled, translated
from pieces.piece import Outline

_FOLD_MM = 1e-4
"""A corner so near the fold lies on it."""


def opened(marker: Marker, lay: Lay) -> list[Keyed]:
    """Every outline that a marker cuts, as it lies when the cloth is opened out.

    A piece on a fold lies opened out across it; any other lies once for each layer. Layers
    face to face show each other's mirror image. `lay` is the one the marker lies on, or its
    folded part.
    """
    # A fold at the near end lies inside the cloth, the upper layer before it.
    before_mm = 0.0
    if lay.near is End.FOLD:
        opened_mm = marker.opened_from_mm
        before_mm = marker.table_length_mm if opened_mm is None else opened_mm
    found: list[Keyed] = []
    for placement in marker.placements:
        key = (placement.garment, placement.piece)
        if placement.section == OPENED_OUT:
            found.append((key, translated(placement.outline_mm, before_mm, 0.0)))
            continue
        flat = _across_fold(placement, lay)
        if lay.lengths > 1 and not _on_cross_fold(placement, lay):
            flat += [_on_upper_layer(outline, marker.table_length_mm, lay) for outline in flat]
        found += [(key, translated(outline, before_mm, lay.origin_mm)) for outline in flat]
    return found


def _across_fold(placement: Placement, lay: Lay) -> list[Outline]:
    """What one length of cloth shows of a placement, on the table's own y."""
    upper, fold_mm = placement.outline_mm, lay.bands[placement.band].fold_mm
    if placement.on_fold and fold_mm is not None:
        on_line = [point for point in upper if abs(point[1] - fold_mm) <= _FOLD_MM]
        upper = doubled(upper, (min(on_line), max(on_line)))
    if _on_cross_fold(placement, lay):
        across = sorted((y, x) for x, y in upper if abs(x) <= _FOLD_MM)
        (low, x0), (high, x1) = across[0], across[-1]
        upper = doubled(upper, ((x0, low), (x1, high)))
    if placement.on_fold or fold_mm is None:
        return [upper]
    return [upper, tuple((x, 2 * fold_mm - y) for x, y in reversed(upper))]


def _on_cross_fold(placement: Placement, lay: Lay) -> bool:
    """Whether a piece lies with a fold edge on the fold at the near end."""
    alone = placement.on_fold and lay.bands[placement.band].fold_mm is None
    return placement.in_corner or alone


def _on_upper_layer(outline: Outline, table_mm: float, lay: Lay) -> Outline:
    """The copy in what was folded back from an end: across that fold, or with its layer turned."""
    if lay.turned:
        return tuple((x + table_mm, lay.depth_mm - y) for x, y in reversed(outline))
    fold_mm = 0.0 if lay.near is End.FOLD else table_mm
    return tuple((2 * fold_mm - x, y) for x, y in reversed(outline))


def carried_over(marker: Marker, lay: Lay, wider: Lay) -> list[Keyed]:
    """A marker's outlines on a lay whose bands are as deep or deeper, each kept to its fold.

    Bands without a fold keep to their lower edge.
    """
    found: list[Keyed] = []
    for placement in marker.placements:
        band, other = lay.bands[placement.band], wider.bands[placement.band]
        up_mm = other.high_mm - band.high_mm if band.fold_high else other.low_mm - band.low_mm
        key = (placement.garment, placement.piece)
        found.append((key, translated(placement.outline_mm, 0.0, up_mm)))
    return found
