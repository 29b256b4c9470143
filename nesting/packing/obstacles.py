"""Flaws as obstacles of a lay: what no outline may touch. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric
from nesting.fabric.flaws import corners_of, laid_flaws, parts_of, washed
from nesting.fabric.lay import End, Lay
from nesting.prints.prints import asks_for_print
from pieces.geometry import area
from pieces.piece import Outline


def hindrances(fabric: Fabric, lay: Lay, cuts: Sequence[Cut]) -> list[Outline]:
    """What no cut may touch on the lay: flaws of all layers, those that lie on each other joined.

    Those beyond any marker of the cuts worth having are left out.
    """
    from shapely import unary_union
    from shapely.geometry import Polygon

    flaws = laid_flaws(fabric, lay)
    if not flaws:
        return []
    joined = unary_union([Polygon(one.outline_mm) for one in flaws])
    shapes = sorted(parts_of(joined), key=lambda shape: shape.bounds)
    row_mm = _row_mm(fabric, cuts)
    # A fold at the near end lies so far from the cut end because pieces reach as far on the table.
    reach_mm, found = max(row_mm, lay.begins_mm), []
    for shape in shapes:
        if shape.bounds[0] < reach_mm:
            found.append(corners_of(shape))
            # Past the flaws there is always room for all cuts, one behind another.
            reach_mm = max(reach_mm, shape.bounds[2] + row_mm)
    return found


def _row_mm(fabric: Fabric, cuts: Sequence[Cut]) -> float:
    """A length in which the cuts find room one behind another, whichever way each lies.

    One that meets a print along the cloth may have to wait for its place up to a repeat.
    """
    corners = (np.asarray(cut.outline_mm) for cut in cuts)
    kept_mm = 2 * fabric.edge_gap_mm + fabric.gap_mm * len(cuts)
    kept_mm += fabric.washed_repeat.length_mm * sum(asks_for_print([cut.piece]) for cut in cuts)
    return kept_mm + sum(float(np.hypot(*np.ptp(points, axis=0))) for points in corners)


def layer_unknown(fabric: Fabric, lay: Lay, cuts: Sequence[Cut]) -> bool:
    """Whether a flaw's layer depends on how long the marker becomes.

    Where the cut ends come together, the length decides at which place in which layer it comes
    to lie, unless it is in the near half of any marker or past the end of all worth having. A
    lay that begins at its fold has the fold's place to choose. With a section at its end the
    cloth reaches no less far before its upper layer begins: what lies beside it in two layers
    lies there in one.
    """
    if lay.lengths == 1 or lay.near is End.FOLD:
        return False
    least_mm = sum(area(cut.outline_mm) for cut in cuts) / lay.depth_mm
    most_mm = least_mm + _row_mm(fabric, cuts)
    spans = [(min(x for x, _ in flaw), max(x for x, _ in flaw)) for flaw in washed(fabric)]
    return any(end > least_mm and begin < lay.lengths * most_mm for begin, end in spans)
