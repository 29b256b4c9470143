"""The cloth of a plan as far as it is bought: where it ends, and the flaws in it."""

from __future__ import annotations

from nesting.flaws import LaidFlaw, laid_flaws
from nesting.lay import lay_under
from nesting.plans import FabricPlan


def cloth_end_mm(entry: FabricPlan) -> float:
    """How far from the cut end the cloth on the table is known to reach."""
    ends = (remnant.x_mm + remnant.length_mm for remnant in entry.remnants)
    return max([entry.table_length_mm, *ends])


def flaws_in(entry: FabricPlan) -> list[LaidFlaw]:
    """The flaws that lie in it."""
    end_mm = cloth_end_mm(entry)
    flaws = laid_flaws(entry.fabric, lay_under(entry.marker, entry.fabric))
    return [flaw for flaw in flaws if min(x for x, _ in flaw.outline_mm) < end_mm]
