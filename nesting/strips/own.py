"""Each strip cut in its own way: from the best common one, one strip after the other, by sums."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from nesting.strips.open_strips import OpenStrip, Sums, Worth
from pieces.drafting.spec import Cutting, of_garment
from pieces.geometry import SAME_MM
from pieces.piece import GrainRule

_MOST_MORE_JOINS = 4
"""Joins of one strip beyond what the width asks for: each is a seam to sew, press and neaten, and
shows unless it falls in a gather; common practice."""
_SHORTEST_MM = 300.0
"""Shorter strips are patches; common practice."""
_MOST_LAID = 4000
"""Rectangles laid out for one cloth: a few tenths of a second."""


def own_cutting(sums: Sums, begun: Cutting, usual: Cutting, *, more_joins: bool = False) -> Cutting:
    """The cutting that was begun with, changed for single strips until no change takes less.

    First whatever seems to take less, then what buys no more with fewer joins. No strip has more
    joins than in the usual way, unless it may and `more_joins` are looked at; then those of one
    name that differ are looked at one by one, too, as a single join may do.
    """
    groups = _by_name(sums.strips)
    found = [_improved(sums, begun, usual, groups, more_joins)]
    if more_joins:
        groups = {
            of_garment(strip.name, strip.garment): [strip]
            for own in groups.values()
            if len({(strip.whole_mm, strip.deep_mm) for strip in own}) > 1
            for strip in own
        }
        found.append(_improved(sums, begun, usual, groups, more_joins))
    return min(found, key=sums.worth)


def one_join_more(sums: Sums, begun: Cutting, usual: Cutting) -> Cutting:
    """The cutting that was begun with, one strip of one garment in one part more than there.

    That which seems to take least: a single join is soon sewn, and may do as much as many. The same
    cutting where no strip may have more.
    """
    found, most = [begun], sums.laid + _MOST_LAID
    alike = {(strip.name, strip.whole_mm, strip.deep_mm): strip for strip in sums.strips}
    for strip in alike.values():
        if not strip.more_joins:
            continue
        if sums.laid > most:
            break
        long_mm = strip.as_cut_mm(strip.cut(begun).count + 1)
        way = Cutting(min(usual.across_mm, long_mm), long_mm)
        if min(strip.cut(way).lengths_mm) >= _SHORTEST_MM - SAME_MM:
            found.append(_with(begun, of_garment(strip.name, strip.garment), way))
        sums.worth(found[-1])  # reckoned here, so that it counts
    return min(found, key=lambda one: _takes_less(sums.worth(one)))


def _improved(
    sums: Sums,
    begun: Cutting,
    usual: Cutting,
    groups: Mapping[str, Sequence[OpenStrip]],
    more_joins: bool,
) -> Cutting:
    """The cutting with the strips of each group cut in the way that is best for all of them."""
    ways = {name: list(_ways(own, begun, usual, more_joins)) for name, own in groups.items()}
    best = begun
    for better in (_takes_less, _sews_less):
        best = _changed(sums, best, ways, better)
    return best


def _takes_less(worth: Worth) -> tuple[float, ...]:
    bought_mm, joins, takes_mm = worth
    return round(takes_mm, 3), bought_mm, joins


def _sews_less(worth: Worth) -> tuple[float, ...]:
    return worth


def _changed(
    sums: Sums,
    begun: Cutting,
    ways: dict[str, list[Cutting]],
    better: Callable[[Worth], tuple[float, ...]],
) -> Cutting:
    """Each strip in turn cut in its best way, until a whole round changes nothing."""
    best, most = begun, sums.laid + _MOST_LAID
    while True:
        before = best
        for name, own in ways.items():
            if sums.laid > most:
                return best
            tried = [best, *(_with(best, name, way) for way in own)]
            best = min(tried, key=lambda one: better(sums.worth(one)))
        if best == before:
            return best


def _with(cutting: Cutting, name: str, way: Cutting) -> Cutting:
    """The cutting with the strip of that name cut so."""
    own = {known: one for known, one in cutting.own if known != name}
    common = replace(cutting, own=())
    if way != common:
        own[name] = way
    return replace(cutting, own=tuple(sorted(own.items(), key=lambda one: one[0])))


def _by_name(strips: Sequence[OpenStrip]) -> dict[str, list[OpenStrip]]:
    """Those that are called the same, of several garments, are cut by the same lengths."""
    found: dict[str, list[OpenStrip]] = {}
    for strip in strips:
        found.setdefault(strip.name, []).append(strip)
    return found


def _ways(
    strips: Sequence[OpenStrip], begun: Cutting, usual: Cutting, more_joins: bool
) -> Iterator[Cutting]:
    """As in the cutting begun with; across in whole widths and a rest; in so many strips."""
    yield replace(begun, own=())
    yield replace(usual, evenly=False)
    more_joins = more_joins and all(strip.more_joins for strip in strips)
    lengths = {
        strip.as_cut_mm(count) for strip in strips for count in _counts(strip, usual, more_joins)
    }
    for long_mm in sorted(lengths, reverse=True):
        across_mm = min(usual.across_mm, long_mm)
        way = Cutting(across_mm, long_mm)
        if all(_may_be(strip, way, usual, more_joins) for strip in strips):
            yield way
            yield replace(way, evenly=False)


def _counts(strip: OpenStrip, usual: Cutting, more_joins: bool) -> range:
    least = strip.cut(usual).count
    first = least if strip.rule is GrainRule.LENGTHWISE else 1
    return range(first, least + 1 + (_MOST_MORE_JOINS if more_joins else 0))


def _may_be(strip: OpenStrip, way: Cutting, usual: Cutting, more_joins: bool) -> bool:
    """Whether it is cut in no more strips than it may be, and in none too short to be any."""
    cut, most = strip.cut(way), strip.cut(usual).count
    if cut.count <= most:
        return True
    shortest_mm = min(cut.lengths_mm)
    return (
        more_joins
        and cut.count <= most + _MOST_MORE_JOINS
        and shortest_mm >= _SHORTEST_MM - SAME_MM
    )
