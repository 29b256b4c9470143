"""What walkers found in different stretches of a long strip, put into one layout."""

from __future__ import annotations

import numpy as np

from nesting.solver.instance import Layout
from nesting.solver.programme.compact import is_legal
from nesting.solver.search.prepared import Prepared


def combined(prepared: Prepared, base: Layout, one: Layout, other: Layout) -> Layout | None:
    """The layout with the moves and turns of both since a common one, or None if they clash.

    Work on a stretch moves what comes after it up as a whole, so the moves of different
    stretches can be added.
    """
    turned = one.orientation != base.orientation
    if (turned & (other.orientation != base.orientation)).any():
        return None
    orientation = np.where(turned, one.orientation, other.orientation)
    ways = prepared.direction[prepared.first + np.array([orientation, base.orientation])]
    if ((ways[0] != ways[1]) & (prepared.group >= 0)).any():
        return None
    both = Layout(orientation, one.xy + other.xy - base.xy)
    return both if is_legal(prepared.instance, prepared.nofits, both) else None
