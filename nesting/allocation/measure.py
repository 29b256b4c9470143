"""What sets of garments take of a cloth: layouts found, verified, and put to use again.

A set is how many of each item type it has. A layout of more garments shows one for fewer; two laid
one behind the other show one for both. A set with no layout found is excluded, and every superset
of it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.allocation.assign import Counts
from nesting.allocation.item_types import ItemType, ShadeGroup, shade_group_of
from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import allowed_lays
from nesting.fabric.marker import Keyed
from nesting.order.model import Order
from nesting.packing.convert import Packing
from nesting.search.lay_result import LayResult
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for
from nesting.search.session import Session
from nesting.solver.stop import Stop
from nesting.verify.judge import verify
from pieces.geometry import translated
from pieces.piece import Piece

_LONG_S = 256.0
_SLACK_MM = 0.01
"""By which a marker may seem longer than it is: rounding."""


@dataclass(frozen=True, slots=True)
class _Link:
    """One layout of a chain: so many of each item type are taken from it."""

    counts: Counts
    lay_result: LayResult


class SubBudget:
    """The share of the budget that is there for one cloth's sets."""

    def __init__(self, session: Session, share: float) -> None:
        self.session, self.share, self.left = session, share, 1.0
        self._until = session.clock.spent() + share

    def take(self, share: float) -> Stop:
        """The stop of a search that may spend a share of it, as far as there is any."""
        taken = min(self.left, share)
        self.left -= taken
        return self.session.part(self.share * taken)

    @property
    def is_empty(self) -> bool:
        """Whether no more searches can be paid for, or the time for them is over."""
        return self.left <= 0 or self.is_late

    @property
    def is_late(self) -> bool:
        """Whether the time for them is over; never if no clock limits it."""
        return self.session.is_over or self.session.clock.spent() > self._until

    @property
    def seconds_left(self) -> float:
        """About the time until it is empty; endless if no clock limits it."""
        return self.session.clock.seconds_until(self._until, _LONG_S)


class SetLengths:
    """The shortest layouts known on one cloth, each searched on the freest lay allowed.

    A `share` is that of the purse which a search may take out, if there is one at all.
    """

    def __init__(
        self, order: Order, cloth: Fabric, item_types: Sequence[ItemType], sub_budget: SubBudget
    ) -> None:
        self.order, self.cloth, self.item_types, self.sub_budget = (
            order,
            cloth,
            item_types,
            sub_budget,
        )
        allowed = allowed_lays(cloth)
        self._lay = LayName.OPEN if LayName.OPEN in allowed else None
        self._known: dict[Counts, LayResult] = {}
        self._failed: dict[Counts, float] = {}

    def area_mm(self, item_type: int) -> float:
        """A length that one of an item type never falls short of, by its area."""
        area_mm2 = sum(map(wanted_area_mm2, self.item_types[item_type].pieces[0]))
        return area_mm2 / self.cloth.usable_width_mm

    def single_mm(self, item_type: int, share: float) -> float | None:
        """The length found for one of a type by itself; None if the cloth has no room for it."""
        counts = self._one(item_type)
        if counts not in self._known and not self._measure(counts, share, None):
            return None
        return self._known[counts].marker.length_mm

    def length_mm(self, counts: Counts, share: float, enough_mm: float | None) -> float:
        """The shortest length found for a set; the search ends when it is short enough.

        Infinite where no lay allowed has room for the set, as more garments may bring a flaw under
        a fold.
        """
        if not (self.sub_budget.is_late and self._is_within(counts, math.inf)):
            self._measure(counts, share, enough_mm)
        known = self._known.get(counts)
        return math.inf if known is None else _length_mm(known)

    def known_mm(self, counts: Counts) -> float:
        """The length for a set as known, without a search; infinite if none is."""
        if not any(counts):
            return 0.0
        return _length_mm(self._known[counts]) if self._is_within(counts, math.inf) else math.inf

    def fits(self, counts: Counts, room_mm: float, share: float) -> bool:
        """Whether a verified layout of the set is known, or found, that is no longer."""
        if self._has_failed(counts, room_mm):
            return False
        if sum(n * self.area_mm(k) for k, n in enumerate(counts)) > room_mm + _SLACK_MM:
            return False
        if self._is_within(counts, room_mm):
            return True
        if self.sub_budget.is_late:
            return False
        self._measure(counts, share, room_mm)
        if self._is_within(counts, room_mm):
            return True
        self._failed[counts] = max(room_mm, self._failed.get(counts, 0.0))
        return False

    def failed_in(self, room_mm: float) -> list[Counts]:
        """The sets that were found not to fit a length."""
        return [counts for counts, tried_mm in self._failed.items() if tried_mm >= room_mm]

    def shown(
        self, counts: Counts, shade_groups: Sequence[Sequence[ShadeGroup]], problem: FabricProblem
    ) -> list[LayResult]:
        """The layout known for a set of these shade groups; empty if none is."""
        lay_result = self._assembled(counts, shade_groups, problem)
        return [] if lay_result is None else [lay_result]

    def _one(self, item_type: int) -> Counts:
        return tuple(int(k == item_type) for k in range(len(self.item_types)))

    def _first_lots(self, counts: Counts) -> list[tuple[ShadeGroup, ...]]:
        return [
            item_type.shade_groups[:n] for item_type, n in zip(self.item_types, counts, strict=True)
        ]

    def _has_failed(self, counts: Counts, room_mm: float) -> bool:
        return any(_holds(counts, less) for less in self.failed_in(room_mm))

    def _is_within(self, counts: Counts, room_mm: float) -> bool:
        """Whether a layout known, or put together from some known, is no longer."""
        known = self._known.get(counts)
        too_long = known is None or known.marker.length_mm > room_mm + _SLACK_MM
        if too_long and self._chain_mm(self._chain(counts)) <= room_mm + _SLACK_MM:
            shade_groups = self._first_lots(counts)
            self._keep(counts, self._assembled(counts, shade_groups, self._job(shade_groups)))
            known = self._known.get(counts)
        return known is not None and known.marker.length_mm <= room_mm + _SLACK_MM

    def _keep(self, counts: Counts, lay_result: LayResult | None) -> None:
        known = self._known.get(counts)
        if lay_result is not None and (known is None or _shorter(lay_result, known)):
            self._known[counts] = lay_result

    def _measure(self, counts: Counts, share: float, enough_mm: float | None) -> bool:
        """Search for a set; whether the cloth has room for its pieces at all."""
        shade_groups = self._first_lots(counts)
        problem = self._job(shade_groups)
        if not problem.packings:
            return False
        packing = self._freest(problem)
        shown = self._assembled(counts, shade_groups, problem)
        start = None if shown is None else shown.layout
        limit_mm = None if enough_mm is None else enough_mm + _SLACK_MM / 2
        stop = self.sub_budget.take(share)
        self._keep(
            counts, self.sub_budget.session.lay_result(problem, packing, stop, start, limit_mm)
        )
        return True

    def _job(self, shade_groups: Sequence[Sequence[ShadeGroup]]) -> FabricProblem:
        pieces: list[Piece] = []
        for item_type, taken in zip(self.item_types, shade_groups, strict=True):
            for shade_group in taken:
                pieces += item_type.pieces[item_type.shade_groups.index(shade_group)]
        return problem_for(self.order, self.cloth, pieces, self._lay)

    def _freest(self, problem: FabricProblem) -> Packing:
        own = (packing for packing in problem.packings if packing.lay.name is self._lay)
        return next(own, problem.packings[-1])

    def _assembled(
        self, counts: Counts, shade_groups: Sequence[Sequence[ShadeGroup]], problem: FabricProblem
    ) -> LayResult | None:
        """A layout put together from those known; None if they don't make one that can be cut."""
        links = self._chain(counts)
        if not links or not problem.packings:
            return None
        packing = self._freest(problem)
        outlines, senses = self._laid(links, shade_groups)
        layout = packing.layout_like(outlines, senses)
        if layout is None:
            return None
        marker = packing.marker(layout)
        if verify(packing.fabric, problem.pieces, marker):
            return None
        area_mm = sum(n * self.area_mm(k) for k, n in enumerate(counts))
        return LayResult(packing, layout, marker, problem.pieces, min(area_mm, marker.length_mm))

    def _chain(self, counts: Counts) -> list[_Link]:
        """Known layouts that make a set together: of one that has more, or one behind another."""
        more = [lay_result for known, lay_result in self._known.items() if _holds(known, counts)]
        links = self._links(counts)
        if more:
            least = min(more, key=_length_mm)
            if not links or _length_mm(least) <= sum(_length_mm(link.lay_result) for link in links):
                return [_Link(counts, least)]
        return links

    def _chain_mm(self, links: Sequence[_Link]) -> float:
        """The length of a chain; 0 if garments are taken out of it, as nobody knows it then."""
        if not links:
            return math.inf
        whole = all(self._known.get(link.counts) is link.lay_result for link in links)
        return sum(_length_mm(link.lay_result) for link in links) if whole else 0.0

    def _links(self, counts: Counts) -> list[_Link]:
        """Layouts one behind the other; those first that spare the most."""
        links: list[_Link] = []
        left = counts
        while any(left):
            within = (known for known in self._known if _holds(left, known))
            best = max(within, key=self._saving_mm, default=None)
            if best is None:
                return []
            links.append(_Link(best, self._known[best]))
            left = tuple(a - b for a, b in zip(left, best, strict=True))
        return links

    def _saving_mm(self, counts: Counts) -> float:
        """What a layout spares against its garments one behind the other."""
        apart = sum(
            n * self._known[self._one(k)].marker.length_mm
            for k, n in enumerate(counts)
            if n and self._one(k) in self._known
        )
        return apart - self._known[counts].marker.length_mm

    def _laid(
        self, links: Sequence[_Link], shade_groups: Sequence[Sequence[ShadeGroup]]
    ) -> tuple[list[Keyed], dict[str, int]]:
        """The outlines of a chain, its layouts one behind the other, and the garments' senses."""
        outlines: list[Keyed] = []
        senses: dict[str, int] = {}
        used = [0] * len(self.item_types)
        along_mm = 0.0
        for link in links:
            packing, marker = link.lay_result.packing, link.lay_result.marker
            named = self._named(link.counts, used, shade_groups)
            old = packing.senses(marker)
            senses |= {
                new[0]: old[shade_group[0]]
                for shade_group, new in named.items()
                if shade_group[0] in old
            }
            for placement in marker.placements:
                new = named.get(shade_group_of(placement.garment, placement.piece))
                if new is not None:
                    moved = translated(placement.outline_mm, along_mm, 0.0)
                    outlines.append(((new[0], placement.piece), moved))
            used = [a + b for a, b in zip(used, link.counts, strict=True)]
            along_mm += marker.table_length_mm + _apart_mm(packing)
        return outlines, senses

    def _named(
        self, counts: Counts, used: Sequence[int], shade_groups: Sequence[Sequence[ShadeGroup]]
    ) -> dict[ShadeGroup, ShadeGroup]:
        """For each shade group in a layout the one that takes its place."""
        return {
            item_type.shade_groups[place]: shade_groups[k][used[k] + place]
            for k, item_type in enumerate(self.item_types)
            for place in range(counts[k])
        }


def _holds(more: Counts, less: Counts) -> bool:
    return all(a >= b for a, b in zip(more, less, strict=True))


def _length_mm(lay_result: LayResult) -> float:
    return lay_result.marker.length_mm


def _shorter(one: LayResult, other: LayResult) -> bool:
    return one.marker.length_mm < other.marker.length_mm


def _apart_mm(packing: Packing) -> float:
    """What must lie between two layouts so that their pieces keep their gap."""
    fabric = packing.fabric
    return max(0.0, fabric.gap_mm - 2 * fabric.edge_gap_mm)
