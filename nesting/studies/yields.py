"""How many whole garments come out of the bolts in hand, and what one more would need."""

from __future__ import annotations

import math
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Unpack

from nesting.allocation.assign import Counts
from nesting.allocation.bolts import Allocation
from nesting.allocation.item_types import ItemType
from nesting.allocation.measure import SetLengths, SubBudget
from nesting.fabric.cautions import cautions
from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import Bolt, Fabric
from nesting.fabric.in_hand import cloth_of, room_mm, short_mm
from nesting.fabric.plans import FabricPlan, Plan
from nesting.order.model import Order
from nesting.planning.planner import allocation_plan
from nesting.prints.prints import with_motifs
from nesting.rules.parts import draft_cloth, draft_order, of_fabric
from nesting.search.clock import Clock
from nesting.search.options import SearchOptions
from nesting.search.parallel.pool import worker_pool
from nesting.search.problem_builder import problem_for
from nesting.search.session import Session
from nesting.solver.stop import Seconds, Stop, at_most
from nesting.strips.cuttings import cuttings_for
from pieces.errors import Fault, OrderFault
from pieces.piece import Piece

_USUAL = Seconds(20)
_COUNTING = 0.5
"""The share of the budget for counting; the rest is for what is cut from each bolt."""
_STEP, _MOST = 0.12, 200
"""The share of a cloth's budget for one more garment; so many are counted at most."""


@dataclass(frozen=True, slots=True)
class BoltYield:
    """What one bolt gives: the garments cut from it, and by how much it is short for the next.

    It is short by None if no length of it would do: it is too narrow, or flawed there.
    """

    fabric: str
    bolt: Bolt
    garments: tuple[str, ...]
    next_garment: str
    short_mm: float | None


@dataclass(frozen=True, slots=True)
class Yields:
    """So many whole garments come out of what is in hand of every cloth they take.

    `by_cloth` is how many each cloth would give; cloths with nothing in hand don't count, they
    are `not_in_hand`. The plan has an entry for each bolt cut from.
    """

    asked: tuple[str, ...]
    whole: int
    by_cloth: dict[str, int]
    not_in_hand: tuple[str, ...]
    bolts: tuple[BoltYield, ...]
    plan: Plan


_Counted = tuple[list[BoltYield], list[Allocation], int]
"""What each bolt gives, its pieces with the layout found, and the garments in all."""


def how_many(
    order: Order,
    names: Sequence[str],
    stop: Stop = _USUAL,
    **options: Unpack[SearchOptions],
) -> Yields:
    """Count the garments of one type that the bolts in hand give; of several types in turn.

    Each count is a verified layout. Ctrl-C ends the search with the best so far.

    Raises
    ------
    OrderFault : there is no such garment, or nothing in hand of its cloths
    """
    begun = time.monotonic()
    called = {_garment(order, name): name for name in names}
    pieces = [
        replace(piece, garment=called[piece.garment])
        for piece in draft_order(order).pieces
        if piece.garment in called
    ]
    asked = tuple(called.values())
    cloths = [one for one in order.fabrics.values() if of_fabric(pieces, one.name)]
    in_hand = [cloth for cloth in cloths if cloth.in_hand]
    if not in_hand:
        raise _fault(order, "none of its cloths is in hand", "Give in_hand in a fabric's table.")
    bolts: list[BoltYield] = []
    by_cloth: dict[str, int] = {}
    with worker_pool(order, **options) as own:
        session = Session(Clock(at_most(stop, _USUAL.seconds), own["token"]), **own)
        weights = {cloth.name: float(len(of_fabric(pieces, cloth.name))) for cloth in in_hand}
        allocations: list[Allocation] = []
        for cloth in in_hand:
            ways = _ways_to_cut(order, cloth, of_fabric(pieces, cloth.name), called)
            share = _COUNTING * weights[cloth.name] / sum(weights.values()) / len(ways)
            counts = [
                _Counting(order, with_motifs(cloth, own), asked, own, session, share).count()
                for own in ways
                if own is ways[0] or not session.interrupted
            ]
            # Of as many the first: fewest joins.
            given, cut, by_cloth[cloth.name] = max(counts, key=_turns)
            bolts += given
            allocations += cut
        searched = [
            session.cloth(one.problem, shown=one.shown, bolt=one.bolt) for one in allocations
        ]
        session.search(searched)
        entries = [
            allocation_plan(one, found.best_of_each_lay())
            for one, found in zip(allocations, searched, strict=True)
        ]
    return Yields(
        asked=asked,
        whole=min(by_cloth.values()),
        by_cloth=by_cloth,
        not_in_hand=tuple(cloth.name for cloth in cloths if not cloth.in_hand),
        bolts=tuple(bolts),
        plan=_plan(order, session, time.monotonic() - begun, entries, in_hand),
    )


def _plan(
    order: Order,
    session: Session,
    seconds: float,
    entries: Sequence[FabricPlan],
    in_hand: Sequence[Fabric],
) -> Plan:
    """The plan of the bolts that are cut from."""
    every = tuple(piece for entry in entries for piece in entry.pieces)
    return Plan(
        order=order.name,
        unit=order.unit,
        seed=session.seed,
        seconds=seconds,
        fabrics=tuple(entries),
        pieces=every,
        seam_checks=(),
        findings=(),
        cautions=cautions(in_hand, every, order.garments),
        interrupted=session.interrupted,
    )


def _ways_to_cut(
    order: Order, cloth: Fabric, pieces: Sequence[Piece], called: Mapping[str, str]
) -> list[tuple[Piece, ...]]:
    """The pieces of a cloth with their strips cut in each way that is worth a trial."""
    ways = [tuple(pieces)]
    for cutting in cuttings_for(cloth, pieces)[1:]:
        try:
            drafted = draft_cloth(order, cloth.name, cutting)
        except OrderFault:
            continue
        own = (one for one in drafted if one.garment in called)
        ways.append(tuple(replace(one, garment=called[one.garment]) for one in own))
    return sorted(ways, key=lambda way: sum(piece.joins for piece in way))


def _turns(counted: _Counted) -> int:
    return counted[2]


def _garment(order: Order, name: str) -> str:
    """The garment called so; the first of several copies."""
    known = [garment.name for garment in order.garments]
    known += [piece.garment for piece in order.pieces if piece.garment]
    for one in known:
        if one == name or one.startswith(f"{name} 1 of "):
            return one
    listed = ", ".join(dict.fromkeys(known)) or "none"
    raise _fault(order, f"there is no garment called '{name}'", f"There are: {listed}.")


def _fault(order: Order, message: str, remedy: str) -> OrderFault:
    begun = message[0].upper() + message[1:]
    return OrderFault([Fault("--how-many", order.source, f"{begun}.", remedy)])


class _Counting:
    """The garments of one cloth, taken in turn, bolt after bolt."""

    def __init__(
        self,
        order: Order,
        fabric: Fabric,
        asked: Sequence[str],
        pieces: Sequence[Piece],
        session: Session,
        share: float,
    ) -> None:
        self.order, self.fabric = order, fabric
        self.sub_budget = SubBudget(session, share)
        own = [[piece for piece in pieces if piece.garment == name] for name in asked]
        self.most = self._most(own)
        self.asked = tuple(asked)
        # A garment may take nothing of this cloth; its turn comes and goes all the same.
        self.turns = [turn for turn, some in enumerate(own) if some]
        self.item_types = tuple(
            _copies(asked[turn], own[turn], -(-self.most // len(asked)) + 1) for turn in self.turns
        )
        self.cloths: dict[Fabric, SetLengths] = {}

    def _most(self, own: Sequence[Sequence[Piece]]) -> int:
        """More than this no area suffices for."""
        area_mm2 = sum(sum(map(wanted_area_mm2, some)) for some in own) / len(own)
        in_hand_mm2 = sum(bolt.length_mm * bolt.width_mm for bolt in self.fabric.in_hand)
        return min(_MOST, int(in_hand_mm2 / area_mm2) + len(own))

    def count(self) -> _Counted:
        """What comes out of bolt after bolt."""
        found, allocations = [], []
        begun = 0
        for bolt in self.fabric.in_hand:
            layouts = self._layouts(cloth_of(self.fabric, bolt))
            one, n = self._bolt(layouts, bolt, begun)
            found.append(one)
            if any(self._taken(begun, n)):
                allocations.append(self._portion(layouts, bolt, begun, n))
            begun += n
        return found, allocations, begun

    def _layouts(self, cloth: Fabric) -> SetLengths:
        if cloth not in self.cloths:
            self.cloths[cloth] = SetLengths(self.order, cloth, self.item_types, self.sub_budget)
        return self.cloths[cloth]

    def _bolt(self, layouts: SetLengths, bolt: Bolt, begun: int) -> tuple[BoltYield, int]:
        room = room_mm(layouts.cloth, bolt.length_mm)
        singles = [layouts.single_mm(item_type, _STEP) for item_type in range(len(self.item_types))]
        if None in singles:
            return BoltYield(self.fabric.name, bolt, (), self._name(begun), None), 0
        n = 0
        while begun + n < self.most and self._fits(layouts, self._taken(begun, n + 1), room):
            n += 1
        following = self._taken(begun, n + 1)
        short = short_mm(layouts.cloth, bolt, layouts.length_mm(following, _STEP, None))
        takers = [turn for turn in range(begun, begun + n) if turn % len(self.asked) in self.turns]
        return (
            BoltYield(
                self.fabric.name,
                bolt,
                tuple(map(self._name, takers)),
                self._name(begun + n),
                short if math.isfinite(short) else None,
            ),
            n,
        )

    def _fits(self, layouts: SetLengths, counts: Counts, room: float) -> bool:
        return not any(counts) or layouts.fits(counts, room, _STEP)

    def _name(self, turn: int) -> str:
        return self.asked[turn % len(self.asked)]

    def _taken(self, begun: int, n: int) -> Counts:
        """How many of each item type there are in so many turns."""
        of = [turn % len(self.asked) for turn in range(begun, begun + n)]
        return tuple(of.count(turn) for turn in self.turns)

    def _portion(self, layouts: SetLengths, bolt: Bolt, begun: int, n: int) -> Allocation:
        before, counts = self._taken(0, begun), self._taken(begun, n)
        shade_groups = [
            item_type.shade_groups[first : first + count]
            for item_type, first, count in zip(self.item_types, before, counts, strict=True)
        ]
        pieces = [
            piece
            for item_type, taken in zip(self.item_types, shade_groups, strict=True)
            for shade_group in taken
            for piece in item_type.pieces[item_type.shade_groups.index(shade_group)]
        ]
        problem = problem_for(self.order, layouts.cloth, pieces, None)
        return Allocation(bolt, problem, tuple(layouts.shown(counts, shade_groups, problem)))


def _copies(name: str, pieces: Sequence[Piece], count: int) -> ItemType:
    """So many garments alike, as an item type."""
    names = [f"{name} no. {n}" for n in range(1, count + 1)]
    return ItemType(
        tuple((one, "") for one in names),
        tuple(tuple(replace(piece, garment=one) for piece in pieces) for one in names),
        (1,) * count,
    )
