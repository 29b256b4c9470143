"""One way to cut a cloth, and what is known of it: best layout, bound, effort so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from nesting.fabric.fabric import LayName
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.section_search import InTwo
from nesting.search.attempts import Means, OpenedOut, Placed, lay_on, open_out, place
from nesting.search.clock import Clock
from nesting.search.effort import Effort
from nesting.search.lay_result import LayResult, verified
from nesting.search.problem import FabricProblem, LayOption
from nesting.solver.instance import Layout, NoRoom, is_searched
from nesting.solver.phased.line import UNTIED_SHARE, TiedLine
from nesting.solver.search.line import Line, Pace, Proved, Shorter, Slice, any_shorter
from nesting.solver.solve import line_of
from nesting.solver.stop import Seconds
from pieces.errors import OwnFailure

WALKERS = 2
"""Walkers of a line that is searched by rounds: as many wherever it is searched."""
_STEP_ROUNDS = 10
_ATTEMPT_SECONDS = 1.5
_SMALL = 30
"""Outlines up to which first layouts are tried in all orders at once: that takes a moment."""
_PROOF_SECONDS = 0.6
_PROOF_SHARE = 0.03
"""Of the time that is left: what proving a few rectangles may take."""
_PROOF_OF_A_ROUND = 0.02
"""The work of a proof for each round that is asked for, where a search must repeat itself."""
_PROVED_HOPE = 0.25
"""What is left to find of a few rectangles once their proof was tried, against other pieces."""


class Candidate:
    """What every way to cut a cloth has in common.

    Attributes
    ----------
    problem : the cloth and its pieces, strips cut in one way
    packing : the lay, its folded part if it ends opened out
    effort : what it has had and gained
    busy : slices that are being done
    failed : whether it can't be laid at all, as far as was searched
    fault : why a layout of it was dropped: it did not verify, which is our own failure
    """

    def __init__(self, problem: FabricProblem, packing: Packing) -> None:
        self.problem, self.packing = problem, packing
        self.effort = Effort()
        self.busy = 0
        self.failed = False
        self.fault: OwnFailure | None = None
        self._lay_result: LayResult | None = None

    @property
    def lay(self) -> LayName:
        """The name of its lay."""
        return self.packing.lay.name

    @property
    def length_mm(self) -> float:
        """Of its best layout, on flat cloth; infinite without one."""
        raise NotImplementedError

    @property
    def bound_mm(self) -> float:
        """What none of its layouts falls short of."""
        raise NotImplementedError

    @property
    def outlook_mm(self) -> float:
        """The length that a search longer is judged from: its best layout's, if it has one."""
        return self.length_mm

    @property
    def is_searched(self) -> bool:
        """Whether it is searched further than its first layouts."""
        return is_searched(self.packing.instance)

    @property
    def is_new(self) -> bool:
        """Whether nothing has been done for it yet."""
        return self.effort.seconds == 0.0 and not self.busy and not self.failed

    @property
    def outlines(self) -> int:
        """How many outlines there are to cut."""
        return len(self.packing.cuts)

    def is_done(self, clock: Clock) -> bool:
        """Whether it has had its rounds, or nothing is left to gain."""
        raise NotImplementedError

    def room(self, clock: Clock, slots: int) -> int:
        """How many slices may be taken at once now."""
        raise NotImplementedError

    def take(self, clock: Clock) -> Slice:
        """The next slice."""
        raise NotImplementedError

    def put(self, found: Any) -> None:
        """What came of a slice."""
        raise NotImplementedError

    def lay_result(self) -> LayResult | None:
        """Its best layout, verified; None without one.

        Raises
        ------
        OwnFailure : the marker can't be cut
        """
        raise NotImplementedError

    def shown(self) -> tuple[Packing, Layout | None]:
        """What to show of it while the search goes on."""
        raise NotImplementedError

    def drop(self, fault: OwnFailure) -> None:
        """Search it no more, as what it came to can't be cut."""
        self.failed, self.fault = True, fault


class Straight(Candidate):
    """A lay folded all along, or open: one line of search, which goes on slice by slice."""

    def __init__(
        self,
        problem: FabricProblem,
        packing: Packing,
        seed: int,
        shorter: Shorter,
        start: Layout | None = None,
    ) -> None:
        super().__init__(problem, packing)
        self.line: Line | TiedLine = line_of(packing.instance, seed, shorter)
        self._in_step = False
        self._came: list[Any] = []
        if start is not None:
            self.offer(start)

    def offer(self, layout: Layout) -> None:
        """Go on from a layout, if it is shorter."""
        length = self.packing.instance.length(layout)
        if isinstance(self.line, TiedLine):
            self.line.offer(layout, length)
        else:
            self.line.give(layout, length)

    @property
    def length_mm(self) -> float:
        """Of its best layout."""
        return math.inf if self.line.best is None else self._flat_mm(self.line.length)

    @property
    def outlook_mm(self) -> float:
        """Of its best layout; as long as a print is left out of account, of that without it."""
        if isinstance(self.line, TiedLine) and self.line.loose:
            free = self.line.free
            return math.inf if free.best is None else self._flat_mm(free.length)
        return self.length_mm

    def _flat_mm(self, length: int) -> float:
        return length * self.packing.lay.lengths / UNITS_PER_MM

    @property
    def bound_mm(self) -> float:
        """As proven of the lay."""
        return self._flat_mm(self.line.bound)

    def is_done(self, clock: Clock) -> bool:
        """Whether it has had its rounds, or nothing is left to gain."""
        if self.failed:
            return True
        line = self.line
        if isinstance(line, TiedLine) and line.loose:
            return False
        if line.best is None or not line.begun:
            return False
        return line.is_settled() or (line.proved and line.rounds >= clock.rounds)

    def room(self, clock: Clock, slots: int) -> int:
        """One for what must be done alone; else its walkers', in step if they count rounds."""
        if self._is_to_be_tied(clock):
            if self.busy:
                return 0
            assert isinstance(self.line, TiedLine)
            self.line.tie()
            self.effort.begin_anew()
        if self.is_done(clock):
            return 0
        if self.line.alone:
            return 0 if self.busy else 1
        if clock.rounds < math.inf:
            return 0 if self.busy or self._came else WALKERS
        return slots - self.busy

    def _is_to_be_tied(self, clock: Clock) -> bool:
        """Whether the items have had their share without their phases."""
        line = self.line
        if not isinstance(line, TiedLine) or not line.loose or line.alone:
            return False
        by_time = not clock.repeats and clock.spent() >= UNTIED_SHARE
        return by_time or line.free.rounds >= clock.rounds or line.free.is_settled()

    def take(self, clock: Clock) -> Slice:
        """The next slice."""
        self._in_step = clock.rounds < math.inf
        if clock.repeats:
            done = self._rounds()
            rounds = min(_STEP_ROUNDS, clock.rounds - done)
            proof = min(_PROOF_SECONDS, _PROOF_OF_A_ROUND * clock.rounds)
            return self.line.next(Pace(rounds, math.inf, done / clock.rounds, proof=proof))
        left = clock.seconds_until(1.0, 60.0)
        proof = min(_PROOF_SECONDS, _PROOF_SHARE * left)
        return self.line.next(
            Pace(
                clock.rounds - self._rounds(),
                clock.seconds_until(1.0),
                min(1.0, clock.spent()),
                orders=None if len(self.packing.cuts) <= _SMALL else 1,
                late=left / 2,
                proof=proof,
                proof_late=3 * proof,
            )
        )

    def _rounds(self) -> int:
        line = self.line
        return line.free.rounds if isinstance(line, TiedLine) and line.loose else line.rounds

    def put(self, found: Any) -> None:
        """What came of a slice; walkers that keep in step are gathered together, in their order."""
        self._came.append(found)
        if self.busy and self._in_step:
            return
        came, self._came = self._came, []
        for one in came:
            try:
                self.line.gather(one)
            except NoRoom:
                self.failed = True
            if isinstance(one, Proved):
                self.effort.hope = _PROVED_HOPE

    def lay_result(self) -> LayResult | None:
        """Its best layout, verified."""
        if self.line.best is None:
            return None
        if self._lay_result is None or self._lay_result.layout is not self.line.best:
            found = verified(self.packing, self.line.best, self.bound_mm, self.problem.pieces)
            untied = self.line.free.best if isinstance(self.line, TiedLine) else None
            self._lay_result = replace(found, untied=untied)
        return replace(self._lay_result, bound_mm=self.bound_mm)

    def shown(self) -> tuple[Packing, Layout | None]:
        """Its best layout."""
        return self.packing, self.line.best


class Attempted(Candidate):
    """A way that is searched in one go, again and again from its best."""

    def __init__(self, problem: FabricProblem, packing: Packing, seed: int) -> None:
        # Sent to other processes without what only the planner asks for.
        super().__init__(problem, packing)
        self._light = replace(problem, lays=(), others=(), order=None, refused=())
        self._seed, self._made = seed, 0
        self._bound_mm = 0.0

    @property
    def length_mm(self) -> float:
        """Of its best layout."""
        return math.inf if self._lay_result is None else self._lay_result.marker.length_mm

    @property
    def bound_mm(self) -> float:
        """The least that was proven of it."""
        return self._bound_mm

    @property
    def outlines(self) -> int:
        """Of its best layout, or all that are folded."""
        return (
            super().outlines
            if self._lay_result is None
            else len(self._lay_result.marker.placements)
        )

    def is_done(self, clock: Clock) -> bool:
        """By rounds it is searched once, and what came of it is there; by time as often as it seems
        worth.
        """
        return self.failed or (clock.rounds < math.inf and self._made > 0 and not self.busy)

    def room(self, clock: Clock, slots: int) -> int:
        """One at a time."""
        return 0 if self.busy or self.is_done(clock) else 1

    def _means(self, clock: Clock) -> Means:
        self._made += 1
        seed = self._seed + self._made - 1
        if clock.repeats:
            return Means(clock.stop, seed, WALKERS)
        stop = Seconds(clock.seconds_until(1.0, _ATTEMPT_SECONDS))
        return Means(stop, seed, 1)

    def lay_result(self) -> LayResult | None:
        """Its best layout, which was verified when it came."""
        return self._lay_result

    def shown(self) -> tuple[Packing, Layout | None]:
        """Nothing: a part alone is no layout of the lay."""
        return self.packing, None

    def _keep(self, lay_result: LayResult) -> None:
        if lay_result.marker.length_mm < self.length_mm:
            self._lay_result = lay_result


class FoldPlace(Attempted):
    """A fold across flawed cloth, whose place comes out of the search."""

    _given: Layout | None = None

    def offer(self, layout: Layout) -> None:
        """Begin from a layout."""
        self._given = layout

    def take(self, clock: Clock) -> Slice:
        """One search."""
        start = self._given if self._lay_result is None else self._lay_result.layout
        return Slice(place, (self.packing, start, self._means(clock)))

    def put(self, found: Placed) -> None:
        """Keep it if it is shorter."""
        self._bound_mm = found.bound * self.packing.lay.lengths / UNITS_PER_MM
        self._keep(verified(found.packing, found.layout, self._bound_mm, self.problem.pieces))


class Opening(Attempted):
    """A lay that ends in an opened-out section.

    `plain` is the same lay folded all along, None for one that needs a section; garments lie the
    way that it has them.
    """

    def __init__(
        self, problem: FabricProblem, lay: LayOption, seed: int, plain: Candidate | None
    ) -> None:
        super().__init__(problem, lay.packing, seed)
        self.option, self.plain = lay, plain
        self.refused = False

    @property
    def senses(self) -> Mapping[str, int]:
        """The way in which garments lie where the lay is folded all along."""
        plain = None if self.plain is None else self.plain.lay_result()
        return {} if plain is None else self.option.packing.senses(plain.marker)

    def take(self, clock: Clock) -> Slice:
        """The first search looks for what to open out; later ones go on from there."""
        best, means = self._lay_result, self._means(clock)
        if best is None or best.section is None:
            return Slice(open_out, (self._light, self.option, dict(self.senses), means))
        strips = best.packing, best.section[0]
        return Slice(lay_on, (strips, (best.layout, best.section[1]), means))

    def put(self, found: OpenedOut | InTwo | None) -> None:
        """Keep it if it is shorter."""
        laid = found
        if isinstance(found, OpenedOut):
            laid = found.found
            self.refused = found.refused
            self.failed = laid is None
        if isinstance(laid, InTwo):
            self._bound_mm = laid.bound_mm
            self._keep(lay_result_of(laid, self.problem))


def lay_result_of(laid: InTwo, problem: FabricProblem) -> LayResult:
    """A lay in two parts, verified."""
    return verified(laid.folded, laid.layout, laid.bound_mm, problem.pieces, laid.section)


def straight_or_placed(
    problem: FabricProblem, packing: Packing, seed: int, shorter: Shorter = any_shorter
) -> Candidate:
    """The candidate for a lay folded all along."""
    if packing.lay.moves_flaws(packing.fabric):
        return FoldPlace(problem, packing, seed)
    return Straight(problem, packing, seed, shorter)
