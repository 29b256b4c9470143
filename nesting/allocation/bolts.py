"""Cloth at hand first: which garments come out of which bolt, and what is left to buy.

Sets of garments that a bolt may hold are proposed by `assign`, laid out and verified; those that
no search makes fit are refused and others proposed, until nothing better is left to try or the
budget is spent. The first answer lays garments one behind the other, so that sharing a bolt is
never worse than cutting them one by one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from nesting.allocation.assign import Assignment, AssignmentProblem, Bin, Counts, SaleTerms, assign
from nesting.allocation.item_types import ItemType, ShadeGroup, item_types_of
from nesting.allocation.measure import SetLengths, SubBudget
from nesting.fabric.fabric import Bolt, Fabric
from nesting.fabric.in_hand import cloth_of, room_mm
from nesting.fabric.plans import FewerJoins
from nesting.fabric.purchase import purchase
from nesting.order.model import Order
from nesting.search.lay_result import LayResult, rank_key
from nesting.search.problem import FabricProblem, fewer_joins
from nesting.search.problem_builder import problem_for
from nesting.search.session import Session
from pieces.piece import Piece

UM_PER_MM = 1_000
_SINGLES, _STEP = 0.5, 0.07
"""Shares of the budget: for all garments by themselves, and for each set tried."""
_SHARING = 0.5
"""Of what cloth in hand deserves of the budget: the share for sharing it out."""
_CLOSER = (1.0, 0.985, 0.97, 0.95, 0.9, 0.0)
"""How much of what garments take by themselves they are supposed to take together, in turn; a
set is only proposed if it would fit then. At 0 nothing is supposed but their area."""


@dataclass(frozen=True, slots=True)
class Allocation:
    """What is cut from one bolt, or from what is bought; `shown` are layouts found so far.

    `one_by_one_mm` is what would be bought of this cloth if every garment had a length of its
    own; None where nothing is in hand, or nobody knows. `fewer_joins` is what strips without more
    joins than the width asks for would buy, if these have more.
    """

    bolt: Bolt | None
    problem: FabricProblem
    shown: tuple[LayResult, ...] = ()
    one_by_one_mm: float | None = None
    fewer_joins: FewerJoins | None = None


@dataclass(frozen=True, slots=True)
class _Shelf:
    """A bolt, what is known of its cloth, and how long a marker it holds."""

    bolt: Bolt
    layouts: SetLengths
    room_mm: float


def sharing_shares(tasks: Sequence[FabricProblem]) -> dict[str, float]:
    """The share of the budget for sharing out what is in hand of each cloth, by its name."""
    every = sum(task.weight for task in tasks)
    return {
        task.fabric.name: _SHARING * task.weight / every if task.fabric.in_hand else 0.0
        for task in tasks
    }


def allocations_cut(
    order: Order, problem: FabricProblem, session: Session, share: float
) -> list[Allocation]:
    """What of a cloth is cut from each bolt in hand, and what is bought; within a share.

    What is in hand is shared out with strips cut in each of the ways; the least is bought, then the
    fewest joins are sewn. Cloth with nothing in hand is one allocation, its cutting still open.
    """
    if not problem.fabric.in_hand:
        return [Allocation(None, problem)]
    ways = (problem, *problem.others)
    found: list[tuple[FabricProblem, list[Allocation]]] = []
    for one in ways:
        if not found or not session.interrupted:
            alone = replace(one, others=())
            found.append((alone, portions_of(order, alone, session, share / len(ways))))
    best, allocations = min(found, key=_bought)
    fewer = fewer_joins(best, [(one, _bought((one, shared))[0]) for one, shared in found])
    return [replace(one, fewer_joins=fewer) for one in allocations]


def _bought(shared: tuple[FabricProblem, list[Allocation]]) -> tuple[float, int]:
    """What must be bought, and how many joins there are."""
    problem, allocations = shared
    rest = next((one for one in allocations if one.bolt is None), None)
    if rest is None:
        return 0.0, problem.joins
    if not rest.shown:
        return math.inf, problem.joins
    best = min(rest.shown, key=rank_key)
    return purchase(rest.problem.fabric, best.marker.length_mm).length_mm, problem.joins


def portions_of(
    order: Order, problem: FabricProblem, session: Session, share: float
) -> list[Allocation]:
    """Share the garments of one cloth out over what is in hand; the last allocation is bought.

    Spends a share of the budget. All pieces of a garment come from one bolt. After Ctrl-C as found
    by then. What only a lay with an opened-out section holds is bought.
    """
    if not problem.fabric.in_hand or not problem.packings:
        return [Allocation(None, problem)]
    return _Sharing(order, problem, session, share).allocations()


class _Sharing:
    """One cloth shared out."""

    def __init__(
        self, order: Order, problem: FabricProblem, session: Session, share: float
    ) -> None:
        self.order, self.problem, self.session = order, problem, session
        self.item_types = item_types_of(order, problem.pieces)
        self.sub_budget = SubBudget(session, share)
        cloths: dict[Fabric, SetLengths] = {}

        def layouts(bolt: Bolt | None) -> SetLengths:
            cloth = replace(cloth_of(problem.fabric, bolt), sold_by_mm=0.0, minimum_mm=0.0)
            return cloths.setdefault(
                cloth, SetLengths(order, cloth, self.item_types, self.sub_budget)
            )

        self.shop = layouts(None)
        self.shelves = [
            _Shelf(bolt, found := layouts(bolt), room_mm(found.cloth, bolt.length_mm))
            for bolt in problem.fabric.in_hand
        ]
        self.worths = _worths(self.item_types)
        self.costs: dict[Counts, int] = {}
        everything = tuple(item_type.count for item_type in self.item_types)
        nothing = tuple(0 for _ in self.item_types)
        most_um = 10**12
        self.best = Assignment(
            tuple(nothing for _ in self.shelves), everything, most_um, worth=0, proven=False
        )
        self.one_by_one_mm: float | None = None

    def allocations(self) -> list[Allocation]:
        """The best sharing found, with its layouts."""
        self._search()
        return list(self._portions())

    def _search(self) -> None:
        singles = self._singles()
        self._one_by_one(singles)
        for closer in _CLOSER:
            while not self.sub_budget.is_empty:
                known = self.best.bought, self.best.worth
                question = self._question(singles, closer)
                found = assign(question, known, self.sub_budget.seconds_left)
                if found is None:
                    break
                if self._all_fit(found) and not self._consider(found):
                    break

    def _one_by_one(self, singles: dict[int, list[float | None]]) -> None:
        """Share out as if each garment had a length of its own: the answer to improve on."""
        found = assign(self._question(singles, 1.0))
        if found is None:
            return
        taken = [(s.layouts, c, s.room_mm) for s, c in zip(self.shelves, found.cut, strict=True)]
        taken.append((self.shop, found.left, math.inf))
        lengths_mm = [layouts.known_mm(counts) for layouts, counts, _ in taken]
        rooms_mm = [room_mm for _, _, room_mm in taken]
        within = (mm <= room + 0.01 for mm, room in zip(lengths_mm, rooms_mm, strict=True))
        if math.inf in lengths_mm or not all(within):
            return  # flaws or a print let them not lie one behind the other
        bought = purchase(self.problem.fabric, lengths_mm[-1]) if any(found.left) else None
        self.one_by_one_mm = 0.0 if bought is None else bought.length_mm
        self.best = replace(found, bought=round(UM_PER_MM * self.one_by_one_mm))
        self._consider(found)

    def _singles(self) -> dict[int, list[float | None]]:
        """What one of each item type takes by itself, by each cloth."""
        cloths = {id(one): one for one in [self.shop, *(s.layouts for s in self.shelves)]}
        share = _SINGLES / (len(cloths) * len(self.item_types))
        return {
            key: [layouts.single_mm(k, share) for k in range(len(self.item_types))]
            for key, layouts in cloths.items()
        }

    def _question(self, singles: dict[int, list[float | None]], closer: float) -> AssignmentProblem:
        def takes_um(layouts: SetLengths, item_type: int, grown: float = 1.0) -> int | None:
            single_mm = singles[id(layouts)][item_type]
            if single_mm is None:
                return None
            return int(UM_PER_MM * max(closer * single_mm, layouts.area_mm(item_type)) * grown)

        every = range(len(self.item_types))
        fabric = self.problem.fabric
        shrinks = 1 / (1 - fabric.shrinkage_length)
        sale_terms = SaleTerms(
            tuple(takes_um(self.shop, item_type, shrinks) or 0 for item_type in every),
            once=round(UM_PER_MM * (fabric.end_allowance_mm + fabric.before_motif_mm)),
            least=round(UM_PER_MM * fabric.minimum_mm),
            step=round(UM_PER_MM * fabric.sold_by_mm) or UM_PER_MM,
        )
        places = tuple(
            Bin(
                round(UM_PER_MM * shelf.room_mm) + 10,
                tuple(takes_um(shelf.layouts, item_type) for item_type in every),
            )
            for shelf in self.shelves
        )
        refused = [
            (index, counts)
            for index, shelf in enumerate(self.shelves)
            for counts in shelf.layouts.failed_in(shelf.room_mm)
        ]
        return AssignmentProblem(self.worths, places, sale_terms, refused, list(self.costs.items()))

    def _all_fit(self, found: Assignment) -> bool:
        """Whether each bolt holds what it is to hold, the fullest asked first."""
        pairs = [
            (shelf, counts)
            for shelf, counts in zip(self.shelves, found.cut, strict=True)
            if any(counts)
        ]

        def fullness(pair: tuple[_Shelf, Counts]) -> float:
            shelf, counts = pair
            area_mm = sum(n * shelf.layouts.area_mm(k) for k, n in enumerate(counts))
            return -area_mm / shelf.room_mm

        return all(
            shelf.layouts.fits(counts, shelf.room_mm, _STEP)
            for shelf, counts in sorted(pairs, key=fullness)
        )

    def _consider(self, found: Assignment) -> bool:
        """Lay out what is left to buy, and keep the answer if it is better.

        Whether it can be laid at all: flaws may leave a lay to more garments and not to fewer.
        """
        bought_um = 0
        if any(found.left):
            length_mm = self._left_mm(found)
            if length_mm == math.inf:
                return False
            bought_um = round(UM_PER_MM * purchase(self.problem.fabric, length_mm).length_mm)
            self.costs[found.left] = bought_um
        better = replace(found, bought=bought_um)
        if (better.bought, -better.worth) < (self.best.bought, -self.best.worth):
            self.best = better
        return True

    def _left_mm(self, found: Assignment) -> float:
        """What is left to buy, laid out until it is as short as the answer supposes."""
        enough_mm = room_mm(self.problem.fabric, found.bought / UM_PER_MM)
        return self.shop.length_mm(found.left, _STEP, enough_mm)

    def _portions(self) -> list[Allocation]:
        out = [0] * len(self.item_types)
        found = []
        shares = [(s.bolt, s.layouts, c) for s, c in zip(self.shelves, self.best.cut, strict=True)]
        for bolt, layouts, counts in [*shares, (None, self.shop, self.best.left)]:
            shade_groups = [
                k.shade_groups[o : o + n]
                for k, o, n in zip(self.item_types, out, counts, strict=True)
            ]
            out = [o + n for o, n in zip(out, counts, strict=True)]
            if any(counts):
                found.append(self._portion(bolt, layouts, counts, shade_groups))
        return found

    def _portion(
        self,
        bolt: Bolt | None,
        layouts: SetLengths,
        counts: Counts,
        shade_groups: Sequence[Sequence[ShadeGroup]],
    ) -> Allocation:
        wanted = {shade_group for taken in shade_groups for shade_group in taken}
        pieces: list[Piece] = [
            piece
            for item_type in self.item_types
            for shade_group, own in zip(item_type.shade_groups, item_type.pieces, strict=True)
            if shade_group in wanted
            for piece in own
        ]
        problem = problem_for(self.order, cloth_of(self.problem.fabric, bolt), pieces, None)
        problem = replace(problem, cutting=self.problem.cutting)
        shown = tuple(layouts.shown(counts, shade_groups, problem))
        return Allocation(bolt, problem, shown, self.one_by_one_mm)


def _worths(item_types: Sequence[ItemType]) -> tuple[tuple[int, ...], ...]:
    """What it is worth to have each shade group out of a bolt: the more, the earlier its turn."""
    turns = sorted(
        {priority for item_type in item_types for priority in item_type.priorities}, reverse=True
    )
    return tuple(
        tuple(turns.index(priority) + 1 for priority in item_type.priorities)
        for item_type in item_types
    )
