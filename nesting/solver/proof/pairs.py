"""The least length that two items need between them, exactly, from their no-fit polygon.

With two items in given orientations the length depends only on how far the one lies behind the
other. It is least somewhere on the no-fit polygon's boundary, at a corner or where the items'
ranges across the strip end, or else where neither is in the other's way; so a few places will do.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations_with_replacement

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import Instance, Item, Orientation
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.programme.halfplanes import depth_inside

FloatArray = NDArray[np.float64]

_MOST_PAIRS = 12
_ROUNDING_UNITS = 2
"""A no-fit polygon's corners are rounded to whole units; the bound gives up as much."""


def pair_bound(instance: Instance, nofits: Nofits, above: int) -> int:
    """The longest length that some two items need, or `above` if none is known to need more.

    Only the few pairs of greatest reach are looked at.
    """
    best = above
    for one, other in _candidates(instance, above):
        best = max(best, _least_length(nofits, one, other, best))
    return best


def _candidates(instance: Instance, above: int) -> list[tuple[Item, Item]]:
    """Pairs that could need more than `above`, those of the longest items first."""
    kinds = {item.kind: item for item in instance.items}
    counts = Counter(item.kind for item in instance.items)
    reach = {kind: _shortest(item) for kind, item in kinds.items()}
    pairs = [
        (one, other)
        for one, other in combinations_with_replacement(kinds, 2)
        if reach[one] + reach[other] > above
        and (one != other or counts[one] > 1)
        and _is_exact(kinds[one])
        and _is_exact(kinds[other])
    ]
    pairs.sort(key=lambda pair: -reach[pair[0]] - reach[pair[1]])
    return [(kinds[one], kinds[other]) for one, other in pairs[:_MOST_PAIRS]]


def _is_exact(item: Item) -> bool:
    """Whether none of its outlines is drawn larger than it is."""
    return all(o.core is None for o in item.orientations)


def _shortest(item: Item) -> int:
    return min(o.x_reach + o.x_low for o in item.orientations)


def _least_length(nofits: Nofits, one: Item, other: Item, enough: int) -> int:
    """The least length over all orientations; early out once it is no more than `enough`."""
    tied = one.group == other.group >= 0
    least = _shortest(one) + _shortest(other)
    for i, first in enumerate(one.orientations):
        for j, second in enumerate(other.orientations):
            if tied and first.direction != second.direction:
                continue
            edges = nofits.edges(one.kind, i, other.kind, j)
            for low, high in _apart_across(first, second):
                length = _least_along(edges, first, second, float(low), float(high))
                least = min(least, int(np.ceil(length)) - _ROUNDING_UNITS)
            if least <= enough:
                return least
    return least


def _apart_across(first: Orientation, second: Orientation) -> Iterator[tuple[int, int]]:
    """How far above the first the second may lie, for each two of their ranges."""
    for low, high in first.y_ranges:
        for other_low, other_high in second.y_ranges:
            yield other_low - high, other_high - low


def _least_along(
    edges: FloatArray, first: Orientation, second: Orientation, low: float, high: float
) -> float:
    """The least length with the second from `low` to `high` above the first."""
    # As far behind as this, either item could lie at its own least place: the whole is then as
    # long as the longer, and every further step adds to it.
    begin, end = sorted((float(second.x_low - first.x_low), float(first.x_reach - second.x_reach)))
    # Where no edge crosses that stretch it is free throughout or nowhere.
    free = [begin] if depth_inside(edges, begin, low)[0] == 0 else []
    places = np.concatenate(
        [
            np.array(free, dtype=np.float64),
            edges[(edges[:, 1] >= low) & (edges[:, 1] <= high), 0],
            *(_crossings(edges, y) for y in (low, high)),
            *(_on_upright(edges, x, low, high) for x in (begin, end)),
        ]
    )
    x = np.maximum(first.x_low, second.x_low - places)
    lengths = np.maximum(x + first.x_reach, x + places + second.x_reach)
    return float(lengths.min(initial=np.inf))


def _crossings(edges: FloatArray, y: float) -> FloatArray:
    """Where edges cross a line of constant y."""
    y0, y1 = edges[:, 1] - y, edges[:, 3] - y
    meets = (y0 * y1 <= 0) & (y0 != y1)
    part = y0[meets] / (y0[meets] - y1[meets])
    crossing: FloatArray = edges[meets, 0] + part * (edges[meets, 2] - edges[meets, 0])
    return crossing


def _on_upright(edges: FloatArray, x: float, low: float, high: float) -> FloatArray:
    """The given x, once for each edge that crosses it between low and high."""
    crossing = _crossings(edges[:, [1, 0, 3, 2]], x)
    return np.full(np.count_nonzero((crossing >= low) & (crossing <= high)), x)
