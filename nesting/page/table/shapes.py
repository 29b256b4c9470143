"""How a lay lies on the table, for whoever draws it."""

from __future__ import annotations

from typing import Any

from nesting.fabric.fabric import Fabric
from nesting.fabric.lay import End, lay_under
from nesting.fabric.marker import Marker

Record = dict[str, Any]


def shape_data(marker: Marker, fabric: Fabric) -> Record:
    """How a lay lies on the table, in mm: depth, folds along it, edges of the cloth inside.

    `section` is null, or says where an opened-out section begins, how far it reaches across,
    and how far below the lay's y = 0 its own lies.
    """
    lay = lay_under(marker, fabric)
    return {
        "depth_mm": round(lay.depth_mm, 6),
        "selvedge_mm": round(fabric.washed_selvedge_mm, 6),
        "bands_mm": [[round(band.low_mm, 6), round(band.high_mm, 6)] for band in lay.bands],
        "folds_mm": [round(band.fold_mm, 6) for band in lay.bands if band.fold_mm is not None],
        "fold_end": lay.far is End.FOLD,
        "fold_start": lay.near is End.FOLD,
        "section": None
        if marker.opened_from_mm is None
        else {
            "from_mm": round(marker.opened_from_mm, 6),
            "depth_mm": round(fabric.usable_width_mm, 6),
            "below_mm": round(lay.origin_mm, 6),
        },
        "inner_edges_mm": [round(edge, 6) for edge in lay.inner_edges_mm],
    }
