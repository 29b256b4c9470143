"""One cloth under search: the ways to cut it that are worth a look, and what came of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.fabric.fabric import Bolt, LayName
from nesting.fabric.in_hand import room_mm
from nesting.fabric.plans import FewerJoins
from nesting.fabric.purchase import longest_for_less, purchase
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.opening import may_open
from nesting.packing.refusals import (
    laid_in_columns,
    marker_dropped,
    no_section,
    no_way_to_lie,
    section_refused,
)
from nesting.search.candidate import (
    Candidate,
    Opening,
    Straight,
    straight_or_placed,
)
from nesting.search.clock import Clock
from nesting.search.lay_result import LayResult, paid_key, rank_key, shorter_for_less
from nesting.search.options import Asked
from nesting.search.problem import FabricProblem, LayOption, fewer_joins
from nesting.search.tilted import tilted_from
from nesting.search.warm_start.replicated_marker import one_of, repeated
from nesting.search.warm_start.restrictions import relaxed_from, restricted_of
from nesting.search.warm_start.transfer import (
    Relaxed,
    bounded,
    open_bound_mm,
    tilted_too,
    with_dominance,
)
from nesting.search.way import Way, begin_from, may_lose_mm, saving_mm
from nesting.solver.search.line import Shorter
from pieces.errors import CannotFit
from pieces.piece import Finding, Piece

_TILT_AT = 0.5
"""The share of the time after which pieces are turned off the grain, where the cloth allows it."""
_CHOOSE_AT = 0.25
"""The share of the time after which one way to cut the strips is gone on with."""
_A_LITTLE_MM = 0.01


class ClothSearch:
    """One cloth, or an allocation of it, with its candidates.

    `known` are searches of other problems by cloth and pieces, which are made once for all.
    """

    def __init__(
        self,
        problem: FabricProblem,
        seed: int,
        clock: Clock,
        asked: Asked,
        known: dict[tuple[object, ...], ClothSearch],
        *,
        shown: Sequence[LayResult] = (),
        bolt: Bolt | None = None,
    ) -> None:
        self.problem, self.seed, self.clock, self.asked, self.bolt = (
            problem,
            seed,
            clock,
            asked,
            bolt,
        )
        self.known = known
        self.ways = [Way(replace(one, others=())) for one in (problem, *problem.others)]
        self.ways[0].shown += shown
        self.sources: list[tuple[ClothSearch, bool]] = []
        self.findings: dict[LayName, Finding] = {}
        self._chosen: Way | None = self.ways[0] if len(self.ways) == 1 else None
        if clock.repeats:
            self._ask_others()

    # --- what other searches show ---

    def _ask_others(self) -> None:
        """Plan the same under a stricter nap, and of several garments alike one, beforehand."""
        strict = restricted_of(self.problem)
        one = one_of(self.problem) if self.asked.with_one else None
        for other, is_one in ((strict, False), (one, True)):
            if other is None:
                continue
            key = (other.fabric, other.pieces, self.asked.every_lay)
            if key not in self.known:
                asked = replace(self.asked, with_one=self.asked.with_one and not is_one)
                self.known[key] = ClothSearch(other, self.seed, self.clock, asked, self.known)
            self.sources.append((self.known[key], is_one))

    def _take_sources(self) -> None:
        """Enter what the other searches show, once all are done."""
        for source, is_one in self.sources:
            try:
                lay_results = [*source.best_of_each_lay(straight=True), *source.best_of_each_lay()]
            except CannotFit:
                continue
            for way in self.ways:
                if len(self.ways) > 1 and way.problem.cutting != source.leading.problem.cutting:
                    continue
                for found in _freed(way.problem, lay_results, is_one):
                    (way.tilted if found.tilts else way.shown).append(found.lay_result)
        self.sources = []
        for way in self.ways:
            self._show(way)

    def _show(self, way: Way) -> None:
        """Let its freest lay go on from what was shown."""
        if way.freest is not None:
            begin_from(way.freest, way.shown)

    def hurry(self) -> None:
        """Ask no other searches any more, and look at no other way to cut the strips."""
        for source, _ in self.sources:
            source.hurry()
        self._take_sources()
        for way in self.ways:
            if way.freest is None and not way.lays:
                self._begin(way)
        self._chosen = self.leading

    # --- its candidates ---

    def candidates(self) -> Iterator[Candidate]:
        """All that may be searched by now, in the order in which rounds go to them."""
        for way in self.ways:
            if way.freest is None and not way.lays:
                self._begin(way)
        if self.sources:
            yield from (one for one in self.ways[0].candidates if one.is_new)
            for source, _ in self.sources:
                yield from source.candidates()
            if not all(source.is_done() for source, _ in self.sources):
                return
            self._take_sources()
        if self._chosen is None:
            self._choose()
        if self._chosen is None:
            for way in self.ways:
                yield from way.candidates
            return
        self._add_lays(self._chosen)
        self._add_tilts(self._chosen)
        yield from self._chosen.all_candidates

    def _begin(self, way: Way) -> None:
        packings = way.problem.packings
        if packings:
            shorter = shorter_for_less(packings[-1])
            way.freest = straight_or_placed(way.problem, packings[-1], self.seed, shorter)
            self._show(way)
        else:
            way.lays += [Opening(way.problem, lay, self.seed, None) for lay in way.problem.lays]

    def _choose(self) -> None:
        """Go on with the way to cut the strips that buys least, then has the fewest joins.

        Where the order tells what an hour costs, joins are priced beside the cloth.
        """
        begun = [way for way in self.ways if way.length_mm < math.inf]
        if self.clock.repeats:
            if not all(one.is_done(self.clock) for way in self.ways for one in way.candidates):
                return
        elif len(begun) < len(self.ways) or self.clock.spent() < _CHOOSE_AT:
            return
        self._chosen = min(begun or self.ways, key=self._rank)

    def _rank(self, way: Way) -> tuple[float, ...]:
        joins, length_mm = way.problem.joins, way.length_mm
        first = math.inf
        if length_mm < math.inf:
            first = paid_key(self.problem.fabric, length_mm, joins=joins)
        return first, joins, length_mm

    def bought_mm(self, length_mm: float) -> float:
        """What would be bought for a length; infinite as long as there is none."""
        if length_mm == math.inf:
            return math.inf
        return purchase(self.problem.fabric, length_mm).length_mm

    def _add_lays(self, way: Way) -> None:
        """The other lays of a way, and those that end opened out, once it is known how they lie."""
        ready = not self.clock.repeats or way.freest is None or way.freest.is_done(self.clock)
        known = {id(one.packing) for one in way.candidates if not isinstance(one, Opening)}
        for lay in way.problem.lays if ready else ():
            if lay.needs_section:
                if not any(isinstance(o, Opening) and o.option is lay for o in way.lays):
                    way.lays.append(Opening(way.problem, lay, self.seed, None))
            elif id(lay.packing) not in known:
                shorter = self._shorter(lay.packing)
                found = straight_or_placed(way.problem, lay.packing, self.seed, shorter)
                begin_from(found, way.shown)
                way.lays.append(found)
        opened = {id(one.plain) for one in way.lays if isinstance(one, Opening)}
        for plain in way.candidates:
            if isinstance(plain, Opening) or id(plain) in opened or not may_open(plain.packing):
                continue
            done = plain.is_done(self.clock) if self.clock.repeats else plain.length_mm < math.inf
            if done:
                option = LayOption(plain.packing)
                way.lays.append(Opening(way.problem, option, self.seed, plain))

    def _add_tilts(self, way: Way) -> None:
        """Turn pieces off the grain on the best lay folded all along, and the best opened out."""
        if not way.problem.tilts or way.tilts or self.asked.every_lay:
            return
        if self.clock.repeats:
            if not all(one.is_done(self.clock) for one in way.candidates):
                return
        elif self.clock.spent() < _TILT_AT:
            return
        lay_results = way.lay_results()
        whole = [lay_result for lay_result in lay_results if lay_result.section is None]
        opened = [lay_result for lay_result in lay_results if lay_result.section is not None]
        best = [min(some, key=rank_key) for some in (whole, opened) if some]
        way.tilts = [tilted_from(way.problem, lay_result, self.seed) for lay_result in best]

    def _shorter(self, lay: Packing) -> Shorter:
        """From a length to the longest that is worth having: no more than what is bought anyway."""
        less = shorter_for_less(lay)
        if self.clock.repeats or self.asked.every_lay:
            return less

        def shorter(length: int) -> int:
            fits = math.floor(self.enough_mm / lay.lay.lengths * UNITS_PER_MM)
            return fits if length > fits else less(length)

        return shorter

    def share(self, one: Candidate) -> None:
        """Let the freest lay go on from another lay's layout, if that is shorter.

        Folded, there are half as many outlines to lay, so that it is there first now and then.
        """
        if self.clock.repeats or self.asked.every_lay:
            return
        freest = next(way.freest for way in self.ways if way.problem is one.problem)
        if one is freest:
            return
        if isinstance(freest, Straight) and one.length_mm < freest.length_mm:
            lay_result = one.lay_result()
            begin_from(freest, [] if lay_result is None else [lay_result])

    # --- how it stands ---

    @property
    def chosen(self) -> Way | None:
        """The way to cut its strips that is gone on with, if that is settled."""
        return self._chosen

    @property
    def leading(self) -> Way:
        """The way with the least to buy so far."""
        return self._chosen or min(self.ways, key=self._rank)

    @property
    def length_mm(self) -> float:
        """The shortest so far."""
        return min(way.length_mm for way in self.ways)

    @property
    def enough_mm(self) -> float:
        """The longest length that buys no more than the shortest so far, or that the bolt holds."""
        if self.bolt is not None:
            return room_mm(self.problem.fabric, self.bolt.length_mm)
        bought_mm = self.bought_mm(self.leading.length_mm)
        if bought_mm == math.inf:
            return math.inf
        just_more_mm = room_mm(self.problem.fabric, bought_mm) + _A_LITTLE_MM
        return longest_for_less(self.problem.fabric, just_more_mm)

    @property
    def outlines(self) -> int:
        """How many there are to cut on the freest lay."""
        return max((one.outlines for one in self.leading.candidates), default=0)

    def may_lose_mm(self, lay: LayName) -> float:
        """What a lay may lose with as much search again; nothing once it is settled."""
        own = [one for one in self.leading.candidates if one.lay is lay]
        return max((may_lose_mm(one, self.clock) for one in own), default=0.0)

    def saving_mm(self) -> float:
        """What less would be bought if a search as long again led to that, as is likely.

        0 where it is not, or what is in hand is enough.
        """
        way = self.leading
        if self.bolt is not None or way.length_mm == math.inf:
            return 0.0
        return saving_mm(way, self.clock)

    @property
    def bought(self) -> str:
        """What the shortest so far buys, in words."""
        if self.bolt is not None or self.length_mm == math.inf:
            return ""
        return purchase(self.problem.fabric, self.length_mm).text

    def is_done(self) -> bool:
        """Whether there is nothing more to search."""
        if self.sources or self._chosen is None:
            return False
        return all(one.is_done(self.clock) for one in self.candidates())

    # --- what came of it ---

    def best_of_each_lay(self, *, straight: bool = False) -> list[LayResult]:
        """The best of each lay, the strictest first, freer ones no longer than stricter ones.

        With `straight`, those that were found with all pieces on the grain.
        """
        lay_results = self.lay_results(straight=straight)
        return bounded(with_dominance(lay_results), self.least_mm())

    def lay_results(self, *, straight: bool = False) -> list[LayResult]:
        """All that was found.

        Raises
        ------
        CannotFit : no lay but such as need an opened-out section, and none was found for them
        OwnFailure : no layout found can be cut as it stands
        """
        if self._chosen is None:
            self._chosen = min(self.ways, key=self._rank)
        lay_results = self._on_the_grain(self._chosen)
        return lay_results if straight else self._and_off_it(self._chosen, lay_results)

    def _on_the_grain(self, way: Way) -> list[LayResult]:
        for one in way.lays:
            if isinstance(one, Opening) and one.refused:
                self.findings[one.lay] = section_refused(way.problem.fabric, one.lay)
        lay_results = way.lay_results()
        dropped = {one.lay: one.fault for one in way.candidates if one.fault is not None}
        for lay, fault in dropped.items():
            self.findings[lay] = marker_dropped(way.problem.fabric, lay, fault)
        if dropped and not lay_results:
            raise next(iter(dropped.values()))
        if not lay_results:
            told = [no_section(way.problem.fabric, one) for one in self.findings.values()]
            raise CannotFit(told or [no_way_to_lie(way.problem.fabric)])
        if columns := way.in_columns:
            self.findings.setdefault(columns[0], laid_in_columns(way.problem.fabric, columns))
        return lay_results

    def _and_off_it(self, way: Way, lay_results: list[LayResult]) -> list[LayResult]:
        """With those that have pieces off the grain, where these buy less."""
        for tilt in way.tilts:
            found = tilt.lay_result()
            if found is not None and rank_key(found)[0] < rank_key(tilt.origin)[0]:
                lay_results.append(found)
        if way.tilts:
            lay_results = [tilted_too(one, lay_results) for one in lay_results]
        least_mm = min(rank_key(lay_result)[0] for lay_result in lay_results)
        return lay_results + [
            lay_result for lay_result in way.tilted if rank_key(lay_result)[0] < least_mm
        ]

    def least_mm(self) -> float:
        """A bound on the same cloth with its strips cut in any of the ways tried."""
        if len(self.ways) == 1:
            return self.problem.least_mm
        tried = [way.lay_results() for way in self.ways]
        bounds = [open_bound_mm(lay_results) for lay_results in tried if lay_results]
        return min(bounds, default=math.inf)

    def fewer_joins(self) -> FewerJoins | None:
        """What is bought with the joins of the first way, or fewer, if the chosen one has more."""
        tried = [(way.problem, self.bought_mm(way.length_mm)) for way in self.ways]
        return fewer_joins(self.leading.problem, tried)

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces, as cut in the leading way."""
        return self.leading.problem.pieces


def _freed(problem: FabricProblem, lay_results: Sequence[LayResult], is_one: bool) -> list[Relaxed]:
    """What results of one of several garments alike, or of a stricter nap, show for a problem."""
    if not is_one:
        return relaxed_from(problem, lay_results)
    return [
        found for lay_result in lay_results if (found := repeated(problem, lay_result)) is not None
    ]
