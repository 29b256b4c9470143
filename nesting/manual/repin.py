"""Planning round pieces that a hand has pinned: they stay, and the rest is packed about them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import TypedDict, Unpack

import numpy as np

from nesting.fabric.fabric import Fabric
from nesting.fabric.lay import End
from nesting.fabric.marker import Marker
from nesting.manual.by_hand import laid_marker, opened_by, packings_of, strips_at
from nesting.manual.requests import CutId, PlacementRequest
from nesting.packing.convert import Packing
from nesting.packing.sections import Strip, section_after
from nesting.rules.ways import directions
from nesting.solver.instance import Instance, Item, Layout, Phase
from nesting.solver.stop import State, Stop
from nesting.verify.judge import require_valid, verify
from pieces.errors import Fault, OrderFault
from pieces.piece import Finding, Piece

Watch = Callable[[Marker, float], None]
"""Told of a layout, not yet verified, and of the share of the budget spent."""

_OF_PINS = frozenset(
    {
        "shape", "self-crossing", "not-finite", "band", "layers", "outside-band", "beyond-end",
        "edge-gap", "overlap", "gap", "fold", "off-fold", "grain", "grain-stated", "nap",
        "mirrored", "flaw",
    }
)  # fmt: skip
"""Findings that a few pieces may have by themselves; the others need the whole marker."""


_RELOAD = "Load the page again."


def ignore(_: Marker, __: float) -> None:
    """Watch nothing."""


class RepinOptions(TypedDict, total=False):
    """How it is searched round pins; each may be left out.

    Attributes
    ----------
    seed : of the random numbers; 1
    executor : where it searches; in this process without one
    watch : sees every better layout
    """

    seed: int
    executor: Executor | None
    watch: Watch


def replan(
    fabric: Fabric,
    pieces: Sequence[Piece],
    marker: Marker,
    requests: Iterable[PlacementRequest],
    pinned: Collection[CutId],
    stop: Stop,
    **options: Unpack[RepinOptions],
) -> Marker:
    """Pack a marker's pieces anew on the same lay, but for those that are pinned.

    `requests` say where every cut lies now, and in which section; the pinned ones stay there to a
    thousandth of a millimetre, those of a section from where it begins. A cut stays in its
    section. Where the others lie well now, the marker is never longer than it is. Limited by
    rounds alone the same requests, pins and seed give the same marker. The marker is verified; its
    length counts the pinned pieces.

    Raises
    ------
    OrderFault : some pinned pieces can't be cut where they lie, with the reason for each
    OwnFailure : the marker did not verify
    """
    requests = tuple(requests)
    packings = packings_of(fabric, pieces, marker, opened_by(requests, pieces))
    strips = list(strips_at(packings, requests))
    held = _held(packings, pinned)
    faults = _faults(fabric, pieces, laid_marker(strips), pinned)
    if faults:
        raise OrderFault(faults)
    free = sum(len(p.cuts) for p in packings) - len(pinned)
    search = _Strips(strips, free, stop, options.get("watch", ignore))
    for number, own in enumerate(held):
        search.pack(number, own, options.get("seed", 1), options.get("executor"))
    made = laid_marker(strips)
    if len(strips) > 1 and (fabric.flaws or fabric.repeat or fabric.border):
        _require_clear(verify(fabric, pieces, made))
    require_valid(fabric, pieces, made)
    return made


def _require_clear(found: Sequence[Finding]) -> None:
    """Where the folded part ends decides where flaws and the print lie in the section."""
    if found:
        told = "With these pins no way was found round the flaws, or to meet the print: "
        remedy = "Take a pin out, or move it."
        raise OrderFault([Fault("", "", told + one.message, remedy) for one in found])


class _Strips:
    """The strips of a cloth, packed one after the other; each has its share of the budget."""

    def __init__(self, strips: list[Strip], free: int, stop: Stop, watch: Watch) -> None:
        self._strips, self._free, self._stop, self._watch = strips, free, stop, watch
        self._spent = 0.0

    def pack(self, number: int, held: Sequence[int], seed: int, executor: Executor | None) -> None:
        """Pack what is free on one strip; the others stay as they are."""
        from nesting.solver.solve import solve

        packing, given = self._strips[number]
        if number:
            packing = section_after(*self._strips[0], packing)
            self._strips[number] = packing, given
        free = _Free(packing, given, held)
        # How long flawed cloth is as folded across tells where the flaws lie: it stays.
        stays = packing.lay.near is End.FOLD and packing.fabric.flaws
        if not free.members.size or stays or not packing.meets:
            return
        share = len(free.members) / self._free
        limit = _UntilReached(self._stop.portion(share), free.reach)

        def tell(state: State) -> None:
            if state.layout is not None:
                self._strips[number] = packing, free.whole(state.layout)
                spent = self._spent + share * min(1.0, limit(state))
                self._watch(laid_marker(self._strips), min(1.0, spent))

        start = free.start()
        result = solve(free.instance, limit, seed=seed, start=start, watch=tell, executor=executor)
        self._strips[number] = packing, free.whole(result.layout)
        self._spent += share


def pin_findings(
    fabric: Fabric, pieces: Sequence[Piece], marker: Marker, pinned: Collection[CutId]
) -> list[Finding]:
    """What is wrong with the pinned placements of a marker, whatever becomes of the others."""
    own = tuple(p for p in marker.placements if (p.garment, p.piece, p.copy) in pinned)
    if not own:
        return []
    found = verify(fabric, pieces, replace(marker, placements=own))
    return [one for one in found if one.code in _OF_PINS]


def _faults(
    fabric: Fabric, pieces: Sequence[Piece], marker: Marker, pinned: Collection[CutId]
) -> list[Fault]:
    remedy = "Move it, or take its pin out."
    found = pin_findings(fabric, pieces, marker, pinned)
    return [Fault("", "", "Pinned: " + one.message, remedy) for one in found]


def _held(packings: Sequence[Packing], pinned: Collection[CutId]) -> list[list[int]]:
    """The pinned cuts of each strip.

    Raises
    ------
    OrderFault : there is no such cut
    """
    known = [[(*cut.piece.key, cut.copy) for cut in packing.cuts] for packing in packings]
    missing = [cut_id for cut_id in pinned if not any(cut_id in own for own in known)]
    if missing:
        faults = [Fault("", "", f"There is no {cut_id[1]} to pin.", _RELOAD) for cut_id in missing]
        raise OrderFault(faults)
    return [[index for index, cut_id in enumerate(own) if cut_id in pinned] for own in known]


@dataclass(frozen=True, slots=True)
class _UntilReached:
    """Ends a search early: nothing is gained by less length than the pinned pieces take."""

    stop: Stop
    reach: int

    def __call__(self, state: State) -> float:
        return 1.0 if state.length <= self.reach else self.stop(state)

    def portion(self, share: float) -> _UntilReached:
        return _UntilReached(self.stop.portion(share), self.reach)


class _Free:
    """The cuts that are not pinned, as an instance of their own with the others in the way."""

    def __init__(self, packing: Packing, given: Layout, held: Sequence[int]) -> None:
        self._packing, self._given = packing, given
        items = packing.instance.items
        still = np.zeros(len(items), dtype=np.bool_)
        still[list(held)] = True
        self.members = np.flatnonzero(~still)
        chosen = {i: items[i].orientations[int(given.orientation[i])] for i in held}
        self.reach = max(
            (int(given.xy[i, 0]) + way.x_reach for i, way in chosen.items()), default=0
        )
        in_the_way = tuple(way.outline + given.xy[i] for i, way in chosen.items())
        self._senses = {
            items[i].group: sense for i in held if (sense := self._sense(i)) is not None
        }
        self._kept = [self._options(items[i]) for i in self.members.tolist()]
        self.instance: Instance = replace(
            packing.instance,
            items=tuple(self._items()),
            obstacles=packing.instance.obstacles + in_the_way,
            phases=self._phases(held),
        )

    def _phases(self, held: Sequence[int]) -> tuple[Phase, ...]:
        """The phases of a print, those that pinned cuts lie on settled by them."""
        phases = list(self._packing.instance.phases)
        for index in held:
            way = self._packing.instance.items[index].orientations[
                int(self._given.orientation[index])
            ]
            for number, offset in way.ties:
                phase = phases[number]
                place = (float(self._given.xy[index, phase.axis]) + offset) % phase.period
                phases[number] = replace(phase, choices=(place,))
        return tuple(phases)

    def _sense(self, index: int) -> int | None:
        """The direction along the nap that a pinned cut settles for its garment, if it does."""
        cut = self._packing.cuts[index]
        (way, _), _ = self._packing.ways(index)[int(self._given.orientation[index])]
        sides = directions(cut.piece.grain_rule, cut.orientations[way][0])
        return sides[0] if cut.nap_group is not None and len(sides) == 1 else None

    def _options(self, item: Item) -> list[int]:
        """The orientations left to an item once its garment's direction is settled."""
        sense = self._senses.get(item.group)
        return [
            number
            for number, way in enumerate(item.orientations)
            if sense is None or way.direction == sense
        ]

    def _items(self) -> Iterator[Item]:
        """The free items; one whose garment's direction is settled belongs to no group any more.

        What was of one kind is of two where only one of two garments is settled.
        """
        kinds: dict[tuple[int, tuple[int, ...]], int] = {}
        groups: dict[int, int] = {-1: -1}
        for index, kept in zip(self.members.tolist(), self._kept, strict=True):
            item = self._packing.instance.items[index]
            kind = kinds.setdefault((item.kind, tuple(kept)), len(kinds))
            ways = tuple(item.orientations[number] for number in kept)
            group = -1 if item.group in self._senses else item.group
            group = groups.setdefault(group, len(groups) - 1)
            yield replace(item, kind=kind, orientations=ways, group=group)

    def start(self) -> Layout | None:
        """Where the free cuts lie now, if that is a layout that can be cut."""
        from nesting.solver.nofit.nofits import Nofits
        from nesting.solver.programme.compact import is_legal

        orientation = np.zeros(len(self.members), dtype=np.int64)
        for place, (index, kept) in enumerate(zip(self.members.tolist(), self._kept, strict=True)):
            chosen = int(self._given.orientation[index])
            if chosen not in kept:
                return None
            orientation[place] = kept.index(chosen)
        layout = Layout(orientation, self._given.xy[self.members].copy())
        if not _one_way(self.instance.items, layout):
            return None
        return layout if is_legal(self.instance, Nofits(self.instance), layout) else None

    def whole(self, layout: Layout) -> Layout:
        """A layout of the free cuts together with the pinned ones."""
        orientation, xy = self._given.orientation.copy(), self._given.xy.copy()
        for place, index in enumerate(self.members.tolist()):
            orientation[index] = self._kept[place][int(layout.orientation[place])]
        xy[self.members] = layout.xy
        return Layout(orientation, xy)


def _one_way(items: Sequence[Item], layout: Layout) -> bool:
    """Whether the items of every group share one direction."""
    seen: dict[int, int] = {}
    for item, chosen in zip(items, layout.orientation.tolist(), strict=True):
        if item.group >= 0:
            sense = item.orientations[chosen].direction
            if seen.setdefault(item.group, sense) != sense:
                return False
    return True
