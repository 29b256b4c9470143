"""One cloth under search: the ways to cut it that are worth a look, and what came of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.fabric.fabric import Bolt, LayName
from nesting.fabric.in_hand import room_mm
from nesting.fabric.plans import FewerJoins
from nesting.fabric.purchase import longest_for_less, purchase
from nesting.packing.convert import UNITS_PER_MM, Packing
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
from nesting.search.jobs import Job, Partly, fewer_joins
from nesting.search.tilted import tilted_from
from nesting.search.trial import Trial, shorter_for_less, worth
from nesting.search.warm_start.carry import Freed, bounded, open_bound_mm, settled, tilted_too
from nesting.search.warm_start.repeats import one_of, repeated
from nesting.search.warm_start.strict import freed_from, stricter_of
from nesting.search.way import Way, begin_from, may_lose_mm, saving_mm
from nesting.solver.search.line import Shorter
from pieces.errors import CannotFit
from pieces.piece import Finding, Piece

_TILT_AT = 0.5
"""The share of the time after which pieces are turned off the grain, where the cloth allows it."""
_CHOOSE_AT = 0.25
"""The share of the time after which one way to cut the strips is gone on with."""
_A_LITTLE_MM = 0.01


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted of a search.

    `every_lay` tells that each lay is to be as short as can be, for a comparison; otherwise lays
    beside the freest are to fit into what that buys. `with_one` tells whether of several garments
    alike one is planned first, where a search repeats itself.
    """

    every_lay: bool = False
    with_one: bool = True


USUAL = Asked()


class ClothSearch:
    """One cloth, or a portion of it, with its candidates.

    `known` are searches of other jobs by cloth and pieces, which are made once for all.
    """

    def __init__(
        self,
        job: Job,
        seed: int,
        clock: Clock,
        asked: Asked,
        known: dict[tuple[object, ...], ClothSearch],
        *,
        shown: Sequence[Trial] = (),
        bolt: Bolt | None = None,
    ) -> None:
        self.job, self.seed, self.clock, self.asked, self.bolt = job, seed, clock, asked, bolt
        self.known = known
        self.ways = [Way(replace(one, others=())) for one in (job, *job.others)]
        self.ways[0].shown += shown
        self.sources: list[tuple[ClothSearch, bool]] = []
        self.findings: dict[LayName, Finding] = {}
        self._chosen: Way | None = self.ways[0] if len(self.ways) == 1 else None
        if clock.repeats:
            self._ask_others()

    # --- what other searches show ---

    def _ask_others(self) -> None:
        """Plan the same under a stricter nap, and of several garments alike one, beforehand."""
        strict = stricter_of(self.job)
        one = one_of(self.job) if self.asked.with_one else None
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
                trials = [*source.best_of_each_lay(straight=True), *source.best_of_each_lay()]
            except CannotFit:
                continue
            for way in self.ways:
                if len(self.ways) > 1 and way.job.cutting != source.leading.job.cutting:
                    continue
                for found in _freed(way.job, trials, is_one):
                    (way.tilted if found.tilts else way.shown).append(found.trial)
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
        packings = way.job.packings
        if packings:
            shorter = shorter_for_less(packings[-1])
            way.freest = straight_or_placed(way.job, packings[-1], self.seed, shorter)
            self._show(way)
        else:
            way.lays += [Opening(way.job, lay, self.seed, None) for lay in _partly(way.job)]

    def _choose(self) -> None:
        """Go on with the way to cut the strips that buys least, then has the fewest joins."""
        begun = [way for way in self.ways if way.length_mm < math.inf]
        if self.clock.repeats:
            if not all(one.is_done(self.clock) for way in self.ways for one in way.candidates):
                return
        elif len(begun) < len(self.ways) or self.clock.spent() < _CHOOSE_AT:
            return
        self._chosen = min(begun or self.ways, key=self._rank)

    def _rank(self, way: Way) -> tuple[float, ...]:
        return self.bought_mm(way.length_mm), way.job.joins, way.length_mm

    def bought_mm(self, length_mm: float) -> float:
        """What would be bought for a length; infinite as long as there is none."""
        if length_mm == math.inf:
            return math.inf
        return purchase(self.job.fabric, length_mm).length_mm

    def _add_lays(self, way: Way) -> None:
        """The other lays of a way, and those that end opened out, once it is known how they lie."""
        ready = not self.clock.repeats or way.freest is None or way.freest.is_done(self.clock)
        known = {id(one.packing) for one in way.candidates if not isinstance(one, Opening)}
        for lay in way.job.lays if ready else ():
            if isinstance(lay, Partly):
                if not any(isinstance(o, Opening) and o.partly is lay for o in way.lays):
                    way.lays.append(Opening(way.job, lay, self.seed, None))
            elif id(lay) not in known:
                shorter = self._shorter(lay)
                found = straight_or_placed(way.job, lay, self.seed, shorter)
                begin_from(found, way.shown)
                way.lays.append(found)
        opened = {id(one.plain) for one in way.lays if isinstance(one, Opening)}
        for plain in way.candidates:
            if isinstance(plain, Opening) or id(plain) in opened or not may_open(plain.packing):
                continue
            done = plain.is_done(self.clock) if self.clock.repeats else plain.length_mm < math.inf
            if done:
                partly = Partly(plain.packing, {})
                way.lays.append(Opening(way.job, partly, self.seed, plain))

    def _add_tilts(self, way: Way) -> None:
        """Turn pieces off the grain on the best lay folded all along, and the best opened out."""
        if not way.job.tilts or way.tilts or self.asked.every_lay:
            return
        if self.clock.repeats:
            if not all(one.is_done(self.clock) for one in way.candidates):
                return
        elif self.clock.spent() < _TILT_AT:
            return
        trials = way.trials()
        whole = [trial for trial in trials if trial.section is None]
        opened = [trial for trial in trials if trial.section is not None]
        best = [min(some, key=worth) for some in (whole, opened) if some]
        way.tilts = [tilted_from(way.job, trial, self.seed) for trial in best]

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
        """Let the freest lay go on from what another lay has come to, if that is shorter.

        Folded, there are half as many outlines to lay, so that it is there first now and then.
        """
        if self.clock.repeats or self.asked.every_lay:
            return
        freest = next(way.freest for way in self.ways if way.job is one.job)
        if one is freest:
            return
        if isinstance(freest, Straight) and one.length_mm < freest.length_mm:
            trial = one.trial()
            begin_from(freest, [] if trial is None else [trial])

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
            return room_mm(self.job.fabric, self.bolt.length_mm)
        bought_mm = self.bought_mm(self.leading.length_mm)
        if bought_mm == math.inf:
            return math.inf
        just_more_mm = room_mm(self.job.fabric, bought_mm) + _A_LITTLE_MM
        return longest_for_less(self.job.fabric, just_more_mm)

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
        return purchase(self.job.fabric, self.length_mm).text

    def is_done(self) -> bool:
        """Whether there is nothing more to search."""
        if self.sources or self._chosen is None:
            return False
        return all(one.is_done(self.clock) for one in self.candidates())

    # --- what came of it ---

    def best_of_each_lay(self, *, straight: bool = False) -> list[Trial]:
        """The best of each lay, the strictest first, freer ones no longer than stricter ones.

        With `straight`, those that were found with all pieces on the grain.
        """
        trials = self.trials(straight=straight)
        way = self.leading
        return bounded(settled(trials, way.job.pieces), way.job.pieces, self.least_mm())

    def trials(self, *, straight: bool = False) -> list[Trial]:
        """All that was found.

        Raises
        ------
        CannotFit : no lay but such as need an opened-out section, and none was found for them
        OwnFailure : no layout found can be cut as it stands
        """
        if self._chosen is None:
            self._chosen = min(self.ways, key=self._rank)
        trials = self._on_the_grain(self._chosen)
        return trials if straight else self._and_off_it(self._chosen, trials)

    def _on_the_grain(self, way: Way) -> list[Trial]:
        for one in way.lays:
            if isinstance(one, Opening) and one.refused:
                self.findings[one.lay] = section_refused(way.job.fabric, one.lay)
        trials = way.trials()
        dropped = {one.lay: one.fault for one in way.candidates if one.fault is not None}
        for lay, fault in dropped.items():
            self.findings[lay] = marker_dropped(way.job.fabric, lay, fault)
        if dropped and not trials:
            raise next(iter(dropped.values()))
        if not trials:
            told = [no_section(way.job.fabric, one) for one in self.findings.values()]
            raise CannotFit(told or [no_way_to_lie(way.job.fabric)])
        if columns := way.in_columns:
            self.findings.setdefault(columns[0], laid_in_columns(way.job.fabric, columns))
        return trials

    def _and_off_it(self, way: Way, trials: list[Trial]) -> list[Trial]:
        """With those that have pieces off the grain, where these buy less."""
        for tilt in way.tilts:
            found = tilt.trial()
            if found is not None and worth(found)[0] < worth(tilt.origin)[0]:
                trials.append(found)
        if way.tilts:
            trials = [tilted_too(trial, trials, way.job.pieces) for trial in trials]
        least_mm = min(worth(trial)[0] for trial in trials)
        return trials + [trial for trial in way.tilted if worth(trial)[0] < least_mm]

    def least_mm(self) -> float:
        """A bound on the same cloth with its strips cut in any of the ways tried."""
        if len(self.ways) == 1:
            return self.job.least_mm
        tried = [(way.job.pieces, way.trials()) for way in self.ways]
        bounds = [open_bound_mm(trials, pieces) for pieces, trials in tried if trials]
        return min(bounds, default=math.inf)

    def fewer_joins(self) -> FewerJoins | None:
        """What is bought with the joins of the first way, or fewer, if the chosen one has more."""
        tried = [(way.job, self.bought_mm(way.length_mm)) for way in self.ways]
        return fewer_joins(self.leading.job, tried)

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces, as cut in the leading way."""
        return self.leading.job.pieces


def _partly(job: Job) -> list[Partly]:
    return [lay for lay in job.lays if isinstance(lay, Partly)]


def _freed(job: Job, trials: Sequence[Trial], is_one: bool) -> list[Freed]:
    """What trials of one of several garments alike, or of a stricter nap, show for a job."""
    if not is_one:
        return freed_from(job, trials)
    return [found for trial in trials if (found := repeated(job, trial)) is not None]
