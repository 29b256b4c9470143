"""Turning pieces a little off the grain, as far as the cloth allows.

Tilted pieces join the search as further ways to lie; whatever comes of it, each is turned back
onto its grain if the marker gets no longer by it.
"""

from __future__ import annotations

from nesting.packing.convert import Packing
from nesting.rules.ways import tilted
from nesting.solver.instance import Layout


def tilted_packing(packing: Packing) -> Packing:
    """The same lay and cuts, each with ways off the grain beside its own."""
    cuts = [tilted(cut, packing.fabric.tilt_deg) for cut in packing.cuts]
    return Packing(cuts, packing.fabric, packing.lay, packing.prints)


def straightened(packing: Packing, layout: Layout) -> Layout:
    """A layout no longer than the given one, with as many pieces as may be back on the grain."""
    from nesting.solver.nofit.nofits import Nofits
    from nesting.solver.programme.compact import separate

    nofits, length = Nofits(packing.instance), packing.instance.length(layout)
    for index, way in enumerate(layout.orientation.tolist()):
        straight = packing.straight(index, way)
        if straight == way:
            continue
        orientation = layout.orientation.copy()
        orientation[index] = straight
        found = separate(packing.instance, nofits, Layout(orientation, layout.xy), length)
        layout = layout if found is None else found
    return layout
