"""What those who watch a search are told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from nesting.fabric.fabric import Bolt, LayName
from nesting.packing.convert import Packing
from nesting.solver.instance import Layout


@dataclass(frozen=True, slots=True)
class PlanState:
    """How far planning has come: the lay at hand, and the share of the budget spent.

    `length_mm` is the shortest so far of the whole cloth, on any lay, and `bought` what it buys, in
    words; `layout` on `packing` is the best so far of the lay at hand, not yet verified, None while
    a part of the lay is searched that is not all of it. It comes out of `bolt`, if that is in
    hand; `tried` is whether it is only asked whether a bolt holds some garments.
    """

    fabric: str
    lay: LayName
    spent: float
    length_mm: float
    packing: Packing
    layout: Layout | None
    bought: str = ""
    bolt: Bolt | None = None
    tried: bool = False


Watch = Callable[[PlanState], None]


def ignore(_: PlanState) -> None:
    """Watch nothing."""
