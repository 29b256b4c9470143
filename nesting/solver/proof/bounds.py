"""Lengths that no layout of an instance can beat.

Arguments that hold for outlines of any form:

- an item by itself asks for its own reach, and two for the least that they need between them;
- a line along the strip: where it cuts the items, the cuts lie end to end. An item on a fold,
  or one wider than half the strip, is cut wherever it lies;
- a line across the strip: what it cuts fits into the strip's width, so a dual feasible function
  of the cuts, summed over all items and integrated along the strip, is at most the length. The
  identity gives the bound by area, a step at one half the items that can't lie side by side
  (Fekete, Schepers 2001, Mathematical Programming 91:11-31; Carlier, Clautiaux, Moukrim 2007,
  Computers & Operations Research 34:2223-2250; here on cuts through outlines of any form
  instead of the sides of rectangles).

Obstacles are left out of account, which only weakens a bound. Outlines hold half the gap that
is kept between them and may stick out of the strip by as much, so the room that they share is
taken from where their outlines may reach, not from the strip.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import Instance, IntArray, Item, Orientation
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.outline_cache import cached_by_outline
from nesting.solver.proof.pairs import pair_bound

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Span = tuple[int, int]

_FLOAT_SHARE = 1e-11
"""Share of a bound given up for floating error; far below a unit at any length in use."""
_SECTION_UNITS = 1e-6
"""Floating error of a cut through slanting edges, in units."""
_STAIRS = range(1, 13)
_SHARES = tuple(i / 40 for i in range(1, 21))
"""Shares of the width at which the functions are tried."""
_MOST_LINES, _FEWEST_LINES, _MOST_CUTS = 400, 10, 40_000
"""Lines along the strip that are tried, and kinds that they cut in all."""
_KEPT = 1000
"""Outlines whose cuts are kept for the next instance."""


def lower_bound(instance: Instance, nofits: Nofits | None = None) -> int:
    """A length no legal layout falls short of, in units; 0 for no items.

    Exact in whole numbers: a layout that uses the one unit of overlap a legal layout may have
    can be a few units shorter. `nofits` saves work where they are at hand.

    >>> square = np.array([[0, 0], [6, 0], [6, 6], [0, 6]])
    >>> item = Item(0, (Orientation(square, x_low=0, x_reach=6, y_ranges=((0, 4),)),))
    >>> lower_bound(Instance(10, (item, item, item)))
    18
    """
    if not instance.items:
        return 0
    kinds = _kinds(instance.items)
    slack = _overhang(kinds)
    longest = max(min(o.x_low + o.x_reach for o in kind.item.orientations) for kind in kinds)
    shared = [_along(kinds), *(_across(kinds, room) for room in _rooms(kinds))]
    best = max(longest, *(math.ceil(found * (1 - _FLOAT_SHARE)) - slack for found in shared))
    return pair_bound(instance, nofits or Nofits(instance), best)


# --- the items and the room they share ---------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class _Cuts:
    """An outline cut by parallel lines: each row is a strip of lines between two corners.

    `start` and `stop` are where the strip lies, `first` and `last` the lengths of one cut at its
    two ends, between which they grow or shrink evenly.
    """

    start: FloatArray
    stop: FloatArray
    first: FloatArray
    last: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Kind:
    """Items alike: how many, and for each orientation its reach across and its cuts."""

    item: Item
    count: int
    spans: tuple[tuple[Span, ...], ...]
    across: tuple[_Cuts, ...]


def _kinds(items: Iterable[Item]) -> list[_Kind]:
    items = list(items)
    counts = Counter(item.kind for item in items)
    return [
        _Kind(
            item,
            counts[kind],
            tuple(_spans(o) for o in item.orientations),
            tuple(_known_cuts(o.least) for o in item.orientations),
        )
        for kind, item in {item.kind: item for item in items}.items()
    ]


def _spans(orientation: Orientation) -> tuple[Span, ...]:
    """Where across the strip the outline may reach, one span for each range of its y."""
    low, high = (int(y) for y in _extent(orientation.outline[:, 1]))
    return tuple((below + low, above + high) for below, above in orientation.y_ranges)


def _extent(values: IntArray) -> tuple[int, int]:
    return int(values.min()), int(values.max())


def _overhang(kinds: Sequence[_Kind]) -> int:
    """How much longer than the length the room is that the outlines may cover."""
    before, after = [], []
    for orientation in (o for kind in kinds for o in kind.item.orientations):
        left, right = _extent(orientation.outline[:, 0])
        before.append(-(orientation.x_low + left))
        after.append(right - orientation.x_reach)
    return max(before) + max(after)


def _rooms(kinds: Sequence[_Kind]) -> list[tuple[Span, ...]]:
    """Parts of the strip's width that some items can't leave, as spans apart from each other."""
    own = {_union(span for spans in kind.spans for span in spans) for kind in kinds}
    return sorted(own | {_union(span for room in own for span in room)})


def _union(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Spans joined where they overlap or touch.

    >>> _union([(5, 9), (0, 3), (3, 4)])
    ((0, 4), (5, 9))
    """
    joined: list[Span] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(high, joined[-1][1])
        else:
            joined.append((low, high))
    return tuple(joined)


def _within(spans: Iterable[Span], room: Sequence[Span]) -> bool:
    return all(any(low <= s[0] and s[1] <= high for low, high in room) for s in spans)


def _cuts(outline: IntArray) -> _Cuts:
    """All cuts of an outline by lines of constant x."""
    edges = np.stack([outline, np.roll(outline, -1, axis=0)], axis=1).astype(np.float64)
    edges = edges[edges[:, 0, 0] != edges[:, 1, 0]]
    edges = np.take_along_axis(edges, np.argsort(edges[:, :, :1], axis=1), axis=1)
    slopes = (edges[:, 1, 1] - edges[:, 0, 1]) / (edges[:, 1, 0] - edges[:, 0, 0])
    rows = []
    xs = np.unique(outline[:, 0]).astype(np.float64)
    for start, stop in pairwise(xs):
        crossing = (edges[:, 0, 0] <= start) & (edges[:, 1, 0] >= stop)
        begin, slope = edges[crossing, 0], slopes[crossing]
        ends = np.array([begin[:, 1] + (x - begin[:, 0]) * slope for x in (start, stop)])
        ends = ends[:, np.argsort(ends.sum(axis=0), kind="stable")]
        lengths = ends[:, 1::2] - ends[:, ::2] - (_SECTION_UNITS if slope.any() else 0)
        rows += [(start, stop, *pair) for pair in np.maximum(lengths, 0).T]
    return _Cuts(*np.array(rows).T)


_known_cuts = cached_by_outline(_cuts, _KEPT)


# --- lines across the strip --------------------------------------------------------------------

Share = Callable[[FloatArray, FloatArray, FloatArray], FloatArray]
"""Integral of a dual feasible function over cuts: their thickness, the shorter and the longer of
the lengths at their two ends."""


def _across(kinds: Sequence[_Kind], room: Sequence[Span]) -> float:
    """The most that any of the dual feasible functions asks for."""
    width = sum(high - low for low, high in room)
    inside = [
        (kind.count, kind.across)
        for kind in kinds
        if all(_within(spans, room) for spans in kind.spans)
    ]
    cuts = [cut for _, across in inside for cut in across]
    thickness = np.concatenate([cut.stop - cut.start for cut in cuts])
    first = np.concatenate([cut.first for cut in cuts])
    last = np.concatenate([cut.last for cut in cuts])
    low, high = np.minimum(first, last), np.maximum(first, last)
    of_cut = np.concatenate([[0], np.cumsum([len(cut.start) for cut in cuts])[:-1]])
    of_item = np.concatenate([[0], np.cumsum([len(across) for _, across in inside])[:-1]])
    counts = np.array([count for count, _ in inside])
    widest = np.unique([max(cut.first.max(), cut.last.max()) for cut in cuts])
    most = max(_FEWEST_LINES, _MOST_CUTS // len(cuts))
    widest = widest[:: math.ceil(len(widest) / most)]

    def total(share: Share) -> float:
        each = np.add.reduceat(share(thickness, low, high), of_cut)
        return float(np.minimum.reduceat(each, of_item) @ counts)

    return max(total(share) for share in _shares(width, widest))


def _shares(width: int, widest: FloatArray) -> list[Share]:
    """Dual feasible functions worth a try where the outlines' widest cuts are as given."""
    parts = {math.ceil(share * width) for share in _SHARES} | {int(w) for w in widest}
    marks = {0, *parts, *(width - part for part in parts)}
    return [
        *(_clipped(width, mark) for mark in sorted(marks) if 2 * mark <= width),
        *(_stairs(*_even_steps(width, number)) for number in _STAIRS),
        *(_stairs(*_mirrored_steps(width, part)) for part in sorted(parts) if 0 < 2 * part < width),
    ]


def _clipped(width: int, mark: int) -> Share:
    """Cuts longer than width - mark count as the whole width, those shorter than mark as none."""

    def share(thickness: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
        whole = _part_above(width - mark, False, low, high)
        between = np.clip(_part_above(mark, True, low, high) - whole, 0, 1)
        ends = np.clip(low, mark, width - mark) + np.clip(high, mark, width - mark)
        part: FloatArray = whole + between * ends / 2 / width
        return thickness * part

    return share


def _even_steps(width: int, number: int) -> tuple[list[tuple[float, bool]], float]:
    """floor((k + 1) x) / k, its value at whole (k + 1) x rounded down."""
    return [(width * i / (number + 1), False) for i in range(1, number + 1)], 1 / number


def _mirrored_steps(width: int, part: int) -> tuple[list[tuple[float, bool]], float]:
    """floor(x / part) up to a half, then its mirror image, in steps of 1 / floor(width / part)."""
    most = width // part
    marks = [part * i for i in range(1, most + 1) if 2 * part * i < width]
    middle = [(width / 2, False), (width / 2, True)][: most - 2 * len(marks)]
    below = [(float(mark), True) for mark in marks]
    above = [(float(width - mark), False) for mark in marks]
    return [*below, *middle, *above], 1 / most


def _stairs(steps: Sequence[tuple[float, bool]], height: float) -> Share:
    """A function that climbs by `height` past each mark; a True marks one that counts at it."""

    marks = np.array([[mark] for mark, _ in steps])
    or_at = np.array([[counts] for _, counts in steps])

    def share(thickness: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
        climbed = _part_above(marks, or_at, low, high).sum(axis=0)
        return np.asarray(thickness * climbed * height)

    return share


def _part_above(
    mark: float | FloatArray, or_at: bool | BoolArray, low: FloatArray, high: FloatArray
) -> FloatArray:
    """The part of each strip in which its cuts are longer than the mark; or as long, if `or_at`.

    Marks may be (m, 1); then the parts are (m, n).
    """
    even = (low > mark) | (or_at & (low == mark))
    rise = high - low
    is_even = rise <= 0
    slanting = np.clip((high - mark) / np.where(is_even, 1, rise), 0, 1)
    return np.where(is_even, even, slanting)


# --- lines along the strip ---------------------------------------------------------------------


def _along(kinds: Sequence[_Kind]) -> float:
    """The longest sum of cuts that some line along the strip makes wherever the items lie.

    Lines lie half a unit beside whole numbers, so that none runs along an edge.
    """
    profiles = [[_profile(o.least) for o in kind.item.orientations] for kind in kinds]
    best = 0.0
    for line in _lines(kinds):
        total = 0.0
        for kind, own in zip(kinds, profiles, strict=True):
            total += kind.count * min(
                _least_cut(profile, line - high, line - low)
                for profile, orientation in zip(own, kind.item.orientations, strict=True)
                for low, high in orientation.y_ranges
            )
        best = max(best, total)
    return best


def _lines(kinds: Sequence[_Kind]) -> list[float]:
    """Where the least cut of some item may change: its corners at either end of its range.

    Not all of them where there are many, and fewer the more kinds each would have to cut.
    """
    most = max(_FEWEST_LINES, min(_MOST_LINES, _MOST_CUTS // len(kinds)))
    found: set[int] = set()
    for orientation in (o for kind in kinds for o in kind.item.orientations):
        corners = np.unique(orientation.outline[:, 1])
        for low, high in orientation.y_ranges:
            if corners[-1] + low > corners[0] + high:
                found.update(int(y) for y in corners + low)
                found.update(int(y) for y in corners + high)
    lines = sorted({y + half for y in found for half in (-0.5, 0.5)})
    return lines[:: max(1, math.ceil(len(lines) / most))]


def _profile(outline: IntArray) -> _Cuts:
    """All cuts of an outline by lines of constant y, those of one line summed."""
    cuts = _known_cuts(outline[:, ::-1])
    start, index = np.unique(cuts.start, return_inverse=True)
    stop, first, last = np.zeros((3, len(start)))
    stop[index] = cuts.stop
    np.add.at(first, index, cuts.first)
    np.add.at(last, index, cuts.last)
    return _Cuts(start, stop, first, last)


def _least_cut(profile: _Cuts, low: float, high: float) -> float:
    """The least summed cut at any y from low to high; 0 where that leaves the outline."""
    if low <= profile.start[0] or high >= profile.stop[-1]:
        return 0.0
    touched = (profile.start <= high) & (profile.stop >= low)
    start, stop, first = profile.start[touched], profile.stop[touched], profile.first[touched]
    slope = (profile.last[touched] - first) / (stop - start)
    at_low = first + (np.maximum(start, low) - start) * slope
    at_high = first + (np.minimum(stop, high) - start) * slope
    return float(min(at_low.min(), at_high.min()))
