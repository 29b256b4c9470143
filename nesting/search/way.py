"""A cloth with its strips cut in one way: its candidates, and the results that came of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from nesting.fabric.fabric import LayName
from nesting.fabric.purchase import longest_for_less, purchase
from nesting.search.candidate import Candidate, FoldPlace, Opening, Straight
from nesting.search.clock import Clock
from nesting.search.lay_result import LayResult, rank_key
from nesting.search.problem import FabricProblem
from nesting.search.tilted import Tilted
from nesting.search.warm_start.transfer import start_for
from pieces.errors import OwnFailure

_WORTH_TELLING_MM = 10.0
"""What is worth a longer search where any length is sold: about the width of a thumb."""


@dataclass(slots=True, eq=False)
class Way:
    """A cloth with its strips cut in one way.

    `freest` is searched for the shortest length, `lays` are the others; `tilts` are the best lays
    with pieces turned off the grain. `shown` are results that other searches gave, `tilted` those
    of them with pieces off the grain.
    """

    problem: FabricProblem
    freest: Candidate | None = None
    lays: list[Candidate] = field(default_factory=list)
    tilts: list[Tilted] = field(default_factory=list)
    shown: list[LayResult] = field(default_factory=list)
    tilted: list[LayResult] = field(default_factory=list)

    @property
    def candidates(self) -> list[Candidate]:
        """All of them, the freest first."""
        return [*([] if self.freest is None else [self.freest]), *self.lays]

    @property
    def all_candidates(self) -> list[Candidate]:
        """Those too that turn pieces off the grain."""
        return [*self.candidates, *(one.candidate for one in self.tilts)]

    @property
    def in_columns(self) -> list[LayName]:
        """The lays on which too many outlines differ for more than a first layout."""
        return [one.lay for one in self.candidates if not one.is_searched]

    @property
    def length_mm(self) -> float:
        """The shortest found for it."""
        found = [one.length_mm for one in self.all_candidates]
        return min([*found, *(one.marker.length_mm for one in self.shown)], default=math.inf)

    def lay_results(self) -> list[LayResult]:
        """What was found on each lay, in the order of its lays, and what was shown."""
        found: list[LayResult] = []
        for one in sorted(self.candidates, key=self._place):
            try:
                lay_result = None if one.fault else one.lay_result()
            except OwnFailure as fault:
                one.drop(fault)
                continue
            if lay_result is None or (isinstance(one, Opening) and not _pays(one, lay_result)):
                continue
            found.append(lay_result)
        return [*self.shown, *found]

    def _place(self, one: Candidate) -> int:
        lays = self.problem.all_packings
        return next((n for n, lay in enumerate(lays) if lay is one.packing), len(lays))


def _pays(one: Opening, lay_result: LayResult) -> bool:
    """Whether opening a lay out is worth more than leaving it folded all along."""
    plain = None if one.plain is None else one.plain.lay_result()
    return plain is None or rank_key(lay_result) < rank_key(plain)


def begin_from(one: Candidate, shown: Sequence[LayResult]) -> None:
    """Let a candidate go on from the shortest that results show for it."""
    start = start_for(one.packing, shown) if shown else None
    if start is not None and isinstance(one, Straight | FoldPlace):
        one.offer(start)


def may_lose_mm(one: Candidate, clock: Clock) -> float:
    """What a candidate may lose with as much work again; nothing once it is settled."""
    if one.length_mm == math.inf or (one.is_done(clock) and not clock.repeats):
        return 0.0
    return max(0.0, min(one.effort.expected_mm, one.length_mm - one.bound_mm))


def saving_mm(way: Way, clock: Clock) -> float:
    """What less would be bought if a search as long again led to a shorter step, as is likely.

    0 where it is not. Where the counter has no steps: about how much shorter the way is likely to
    become, if that is worth telling.
    """
    fabric = way.problem.fabric
    likely_mm = min(
        (one.length_mm - may_lose_mm(one, clock) for one in way.candidates), default=math.inf
    )
    if not fabric.sold_by_mm:
        less_mm = way.length_mm - likely_mm
        return less_mm if less_mm >= _WORTH_TELLING_MM else 0.0
    less_mm = longest_for_less(fabric, way.length_mm)
    if likely_mm > less_mm:
        return 0.0
    now, then = (purchase(fabric, long_mm).length_mm for long_mm in (way.length_mm, less_mm))
    return now - then
