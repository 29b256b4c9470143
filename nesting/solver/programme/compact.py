"""Layouts pressed together, and slight overlaps undone, by linear programmes.

For each close pair of items some half-planes describe where the one may lie beside the other
(`halfplanes`). With these fixed, the items' moves and the strip's length are the unknowns of a
linear programme; after the move the half-planes are chosen anew (Li, Milenkovic 1993, Symposium
on Computational Geometry 153-162; Gomes, Oliveira 2006, European Journal of Operational Research
171:811-829). Moves are rounded to whole units and each pair is then tested exactly, so that what
comes back is legal by the no-fit polygons, to within the one unit of a legal layout.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import Instance, IntArray, IsLate, Layout, Orientation, never
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.programme.halfplanes import MOST_PLANES, depths_inside, half_planes_of
from nesting.solver.programme.programme import Contacts, best_moves

FloatArray = NDArray[np.float64]

LEGAL_DEPTH = 1.0
"""Units by which one outline may reach into another: rounding, no more."""
Window = tuple[float, float]
"""From where to where along the strip."""

_ANYWHERE = 10**15
"""A greatest x that no strip comes to."""
_REACH = 0.1
"""How far an item may move in one programme, as a share of the strip's width."""
_MARGIN = 4
"""How far from an overlap items may move by themselves, in reaches."""
_PROGRESS = 0.75
"""A programme that leaves a larger share of the least overlap so far has not helped."""
_MOST_IDLE = 2
_FREE_LENGTH_COST = 0.01
"""Cost of a unit of length where it may grow, beside 1 for a unit of overlap."""


def is_legal(instance: Instance, nofits: Nofits, layout: Layout) -> bool:
    """Whether all items keep to the strip and their bands and apart from each other."""
    press = _Press(instance, nofits, layout)
    kept = bool((press.within_ranges(layout.xy) == layout.xy).all())
    return kept and not press.overlaps(layout.xy)


def compact(
    instance: Instance,
    nofits: Nofits,
    layout: Layout,
    rounds: int = 12,
    window: Window | None = None,
    is_late: IsLate = never,
) -> Layout:
    """A layout no longer than the given legal one, with every item in its orientation and band.

    Ends early once it is late or two programmes in a row gain nothing; each takes some
    milliseconds. Given a window, items before it stay, and those after it move up together.
    """
    press = _Press(instance, nofits, layout)
    press.confine(layout.xy, window)
    xy, idle = layout.xy, 0
    for number in range(rounds):
        if is_late():
            break
        contacts = press.contacts(xy, press.reach, flat_first=number % 2 == 0)
        move = press.shortest(xy, contacts, with_margin=idle == 0)
        moved = press.settled(xy, xy + move) if move is not None else xy
        gain = press.length(xy) - press.length(moved)
        idle = 0 if gain > press.least_gain else idle + 1
        xy = moved
        if idle == 2:
            break
    return Layout(layout.orientation, xy)


def separate(
    instance: Instance,
    nofits: Nofits,
    layout: Layout,
    length: int | None = None,
    rounds: int = 12,
    window: Window | None = None,
    is_late: IsLate = never,
) -> Layout | None:
    """A legal layout near one that overlaps slightly, or None if none was found until it is late.

    Items keep their orientations and bands. The length is free, or at most `length`. Given a
    window, only what overlaps, lies near that or in the window moves by itself.
    """
    press = _Press(instance, nofits, layout)
    xy, least, idle = press.within_ranges(layout.xy), np.inf, 0
    bad = press.overlaps(xy)
    press.confine(xy, window, bad)
    for number in range(rounds + 1):
        excess = sum(bad.values())
        excess += max(0, press.length(xy) - length) if length is not None else 0
        if excess == 0:
            return Layout(layout.orientation, xy)
        idle = 0 if excess < _PROGRESS * least else idle + 1
        least = min(least, excess)
        if idle == _MOST_IDLE or is_late():
            break
        # Where the nearest ways out, taken together, need more width than there is, others are
        # tried that lead along the strip.
        contacts = press.contacts(xy, press.reach, number % 2 == 0, stretch=4.0**idle)
        move = press.least_overlap(xy, contacts, length)
        if move is None:
            break
        xy = press.within_ranges(xy + move)
        bad = press.overlaps(xy)
    return None


class _Press:
    """A layout's items in the form the programmes need; places are (n, 2) whole units.

    Items of one body move as one; body -1 does not move.
    """

    def __init__(self, instance: Instance, nofits: Nofits, layout: Layout) -> None:
        self._nofits = nofits
        self._chosen = [int(index) for index in layout.orientation]
        own = [
            item.orientations[index]
            for item, index in zip(instance.items, self._chosen, strict=True)
        ]
        self._number = np.array(
            [
                nofits.number(item.kind, index)
                for item, index in zip(instance.items, self._chosen, strict=True)
            ]
        )
        bands = [_band(o.y_ranges, int(y)) for o, y in zip(own, layout.xy[:, 1], strict=True)]
        self._low = np.array([o.outline.min(axis=0) for o in own])
        self._high = np.array([o.outline.max(axis=0) for o in own])
        self._tail = np.array([o.x_reach for o in own])
        self._least = np.array([(o.x_low, low) for o, (low, _) in zip(own, bands, strict=True)])
        self._most = np.array(
            [
                (_ANYWHERE if o.x_most is None else o.x_most, high)
                for o, (_, high) in zip(own, bands, strict=True)
            ]
        )
        self._obstacles = instance.obstacles
        self._joint, self._fixed = _tied(instance, own)
        self._body = np.arange(len(own))
        self.reach = instance.width * _REACH
        self.least_gain = instance.width * 1e-6

    def length(self, xy: IntArray) -> int:
        """What the layout asks of the strip."""
        return int((xy[:, 0] + self._tail).max())

    def within_ranges(self, xy: IntArray) -> IntArray:
        """Items brought back over the strip's beginning and into their bands."""
        held: IntArray = np.minimum(np.maximum(xy, self._least), self._most)
        return held

    def confine(
        self, xy: IntArray, window: Window | None, bad: Iterable[tuple[int, int]] = ()
    ) -> None:
        """Let only what lies in a window or near a bad pair move by itself.

        What lies before all that stays; what lies between or after it moves as one.
        """
        if window is None:
            return
        middle = xy[:, 0] + (self._low[:, 0] + self._high[:, 0]) / 2
        near = middle[[side for pair in bad for side in pair if side >= 0]]
        margin = _MARGIN * self.reach
        zones = [window, *((float(x) - margin, float(x) + margin) for x in near)]
        begin, end = np.sort(np.array(zones), axis=0).T
        passed = np.searchsorted(end, middle)
        inside = np.searchsorted(begin, middle) > passed
        joint = np.unique(passed[~inside & (passed > 0)])
        body = np.where(
            inside, np.cumsum(inside) - 1, inside.sum() + np.searchsorted(joint, passed)
        )
        self._body = np.where(inside | (passed > 0), body, -1)

    # --- pairs ---

    def _close(self, xy: IntArray, reach: float) -> tuple[IntArray, IntArray]:
        """Pairs of items, first < second, whose extents come together within twice the reach."""
        low, high = xy + self._low - reach, xy + self._high + reach
        order = np.argsort(low[:, 0], kind="stable")
        # Of those that begin no sooner, the ones that begin before this one ends.
        place = np.arange(len(order))
        following = np.searchsorted(low[order, 0], high[order, 0]) - place - 1
        one = np.repeat(place, following)
        other = one + 1 + np.arange(len(one)) - np.repeat(following.cumsum() - following, following)
        one, other = order[one], order[other]
        meet = (low[one, 1] < high[other, 1]) & (low[other, 1] < high[one, 1])
        pairs = np.sort(np.column_stack([one, other])[meet], axis=1)
        pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
        return pairs[:, 0], pairs[:, 1]

    def _pairs(self, xy: IntArray, reach: float) -> tuple[IntArray, IntArray]:
        """Close pairs that may move apart; an obstacle counts down from -1 as a first."""
        first, second = self._close(xy, reach)
        apart = self._body[first] != self._body[second]
        found = [(first[apart], second[apart])]
        for number, obstacle in enumerate(self._obstacles):
            low, high = obstacle.min(axis=0) - reach, obstacle.max(axis=0) + reach
            near = ((xy + self._low < high) & (xy + self._high > low)).all(axis=1)
            near = np.flatnonzero(near & (self._body >= 0))
            found.append((np.full(len(near), -1 - number), near))
        firsts, seconds = zip(*found, strict=True)
        return np.concatenate(firsts), np.concatenate(seconds)

    def _beside(
        self, xy: IntArray, first: IntArray, second: IntArray
    ) -> tuple[IntArray, FloatArray]:
        """Where the edges of pairs are in the table, and their places (n, 2) from each other."""
        fixed = first < 0
        behind, item = self._nofits.obstacle_number(0) - 1 - first, np.maximum(first, 0)
        spans = self._nofits.spans(
            np.where(fixed, behind, self._number[item]), self._number[second]
        )
        places = (xy[second] - np.where(fixed[:, None], 0, xy[item])).astype(np.float64)
        return spans, places

    def contacts(
        self, xy: IntArray, reach: float, flat_first: bool, stretch: float = 1.0
    ) -> Contacts:
        """Half-planes for all pairs that moves up to `reach` could bring together."""
        first, second = self._pairs(xy, reach)
        spans, places = self._beside(xy, first, second)
        span = np.where(first >= 0, 2 * reach, reach)
        planes = np.empty((len(first), MOST_PLANES, 3))
        counts = np.empty(len(first), dtype=np.int64)
        half_planes_of(self._nofits.table, spans, places, span, flat_first, stretch, planes, counts)
        stacked = planes[np.arange(MOST_PLANES) < counts[:, None]]
        between = np.column_stack([np.maximum(first, -1), second]).repeat(counts, axis=0)
        body = np.append(self._body, -1)[between]
        # What doesn't move comes first; seen from the other side, all is turned about.
        turn = body[:, 1] < 0
        body[turn] = body[turn, ::-1]
        normal = np.where(turn[:, None], -stacked[:, :2], stacked[:, :2])
        return Contacts(body[:, 0], body[:, 1], normal, stacked[:, 2])

    def overlaps(self, xy: IntArray) -> dict[tuple[int, int], float]:
        """Pairs that overlap more than a legal layout's do, and how deep."""
        first, second = self._pairs(xy, 0)
        spans, places = self._beside(xy, first, second)
        depths = np.empty(len(first))
        depths_inside(self._nofits.table, spans, places, depths)
        return {
            (int(first[k]), int(second[k])): float(depths[k])
            for k in np.flatnonzero(depths > LEGAL_DEPTH)
        }

    def settled(self, legal: IntArray, wanted: IntArray) -> IntArray:
        """The wanted places, but the legal ones for bodies that would overlap there."""
        xy = self.within_ranges(wanted)
        bad = self.overlaps(xy)
        while bad:
            sides = [side for pair in bad for side in pair if side >= 0]
            back = np.isin(self._body, self._body[sides])
            for _ in self._joint:
                for _, members in self._joint:
                    back[members] |= back[members].any()
            if (xy[back] == legal[back]).all():
                return legal
            xy[back] = legal[back]
            bad = self.overlaps(xy)
        return xy

    # --- programmes ---

    def shortest(self, xy: IntArray, contacts: Contacts, with_margin: bool) -> IntArray | None:
        """Moves that make the strip shortest and push no pair closer than it may lie.

        Rounding to whole units may break a half-plane by up to 1.4; with a margin the pair is
        legal even so, without one the closest contacts are reached if rounding permits.
        """
        least = contacts.least + with_margin * _margin(contacts)
        return self._moves(xy, contacts, np.minimum(least, 0.0), 1.0, (-np.inf, 0.0))

    def least_overlap(
        self, xy: IntArray, contacts: Contacts, length: int | None
    ) -> IntArray | None:
        """Moves that leave least overlap, and least length over the one that is asked for."""
        wanted = contacts.least + _margin(contacts)
        least = np.where(contacts.least > 0, wanted, np.minimum(wanted, 0.0))
        if length is None:
            return self._moves(xy, contacts, least, _FREE_LENGTH_COST, (-np.inf, np.inf))
        return self._moves(xy, contacts, least, 1.0, (length - self.length(xy), np.inf))

    def _moves(
        self,
        xy: IntArray,
        contacts: Contacts,
        least: FloatArray,
        length_cost: float,
        growth: tuple[float, float],
    ) -> IntArray | None:
        """The best moves in whole units, by one programme in parts of the reach."""
        unit = 1 / self.reach
        free = self._body >= 0
        body, size = self._body[free], int(self._body.max()) + 1
        low, high, behind = np.full((size, 2), -1.0), np.ones((size, 2)), np.full(size, np.inf)
        np.maximum.at(low, body, (self._least - xy)[free] * unit)
        np.minimum.at(high, body, (self._most - xy)[free] * unit)
        np.minimum.at(behind, body, (self.length(xy) - xy[:, 0] - self._tail)[free] * unit)
        for axis, members in self._fixed:
            low[members, axis] = high[members, axis] = 0.0
        together = np.bincount(body) > 1
        low[together, 1] = high[together, 1] = 0.0
        scaled = Contacts(contacts.first, contacts.second, contacts.normal, least * unit)
        moves = best_moves(
            low,
            high,
            scaled,
            behind,
            length_cost,
            (growth[0] * unit, growth[1] * unit),
            self._joint,
        )
        if moves is None:
            return None
        still = np.zeros((1, 2), dtype=np.int64)
        whole: IntArray = np.vstack([np.rint(moves * self.reach).astype(np.int64), still])
        return whole[self._body]


_Tied = list[tuple[int, IntArray]]
"""Axes, and the items that are tied to one phase there."""


def _tied(instance: Instance, own: Sequence[Orientation]) -> tuple[_Tied, _Tied]:
    """What moves together as its phase does, and what doesn't as its phase has a place."""
    joint: _Tied = []
    fixed: _Tied = []
    for number, phase in enumerate(instance.phases):
        ties = [i for i, o in enumerate(own) if any(tie == number for tie, _ in o.ties)]
        if ties:
            kept = joint if phase.choices is None else fixed
            kept.append((phase.axis, np.array(ties, dtype=np.int64)))
    return joint, fixed


def _margin(contacts: Contacts) -> FloatArray:
    """What rounding may take from a half-plane beyond what a legal layout may lack."""
    margin: FloatArray = np.maximum(np.abs(contacts.normal).sum(axis=1) - LEGAL_DEPTH, 0.0)
    return margin


def _band(ranges: Sequence[tuple[int, int]], y: int) -> tuple[int, int]:
    """The range that y lies in, or else the nearest."""
    return min(ranges, key=lambda ends: max(ends[0] - y, y - ends[1], 0))
