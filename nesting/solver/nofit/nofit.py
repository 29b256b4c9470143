"""No-fit polygons: where the reference point of one outline may not lie beside another.

The no-fit polygon of a fixed outline A and a moved outline B is the Minkowski sum of A and -B.
Its boundary is among the edges of their signed convolution, in which an edge of the one is moved
along a corner of the other that faces it, backwards where that corner is reflex; the region with
a positive winding number is the sum (Guibas, Ramshaw, Stolfi 1983, FOCS 24:100-111). Where B fits
exactly between parts of A, two edges lie back to back inside the sum: such a slit has no area,
is lost in a union, and is found apart.

Rings are (n, 2) whole numbers with the forbidden side on their left: outer ones anticlockwise,
cavities clockwise, a slit as its two ends. Corners are rounded to whole units.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import pyclipper
from numba import njit
from numpy.typing import NDArray

from nesting.solver.instance import IntArray
from nesting.solver.outline_cache import cached_by_outline

_KEPT = 20_000
"""No-fit polygons kept for the next instance."""

FloatArray = NDArray[np.float64]
Rings = tuple[IntArray, ...]


def no_fit_polygon(fixed: IntArray, moved: IntArray) -> Rings:
    """The rings that bound where `moved` may not lie, about the reference point of `fixed`.

    Both outlines are simple and anticlockwise. A place strictly inside the rings means that
    the outlines overlap; a place on a ring, that they touch.

    >>> square = np.array([[0, 0], [4, 0], [4, 4], [0, 4]])
    >>> [ring.tolist() for ring in no_fit_polygon(square, square)]
    [[[-4, -4], [4, -4], [4, 4], [-4, 4]]]
    """
    loops, lengths = _convolution(np.ascontiguousarray(fixed), np.ascontiguousarray(-moved))
    if len(lengths) == 1 and _is_convex(loops):
        return (_without_level_corners(loops),)
    paths = np.split(loops, np.cumsum(lengths)[:-1])
    union = pyclipper.Pyclipper()
    union.AddPaths([path.tolist() for path in paths], pyclipper.PT_SUBJECT, True)
    positive = pyclipper.PFT_POSITIVE
    found = union.Execute(pyclipper.CT_UNION, positive, positive)
    rings = [np.array(ring, dtype=np.int64) for ring in found]
    slits = [np.rint(slit) for slit in _slits(paths) if _touches(fixed, moved, slit)]
    return (*rings, *(slit.astype(np.int64) for slit in slits if (slit[0] != slit[1]).any()))


@njit(cache=True)
def _is_convex(ring: IntArray) -> bool:
    """Whether a ring turns left all along and once round: the sum of two convex outlines."""
    edges = _edge_vectors(ring)
    rises = 0
    for i in range(len(edges)):
        before, after = edges[i - 1], edges[i]
        turn = _cross(before, after)
        back = before[0] * after[0] + before[1] * after[1] < 0
        if turn < 0 or (turn == 0 and back):
            return False
        was_up = before[1] > 0 or (before[1] == 0 and before[0] > 0)
        rises += int(not was_up and (after[1] > 0 or (after[1] == 0 and after[0] > 0)))
    return rises == 1


def _without_level_corners(ring: IntArray) -> IntArray:
    """A convex ring without the corners at which it goes straight on."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    kept: IntArray = ring[before[:, 0] * after[:, 1] != before[:, 1] * after[:, 0]]
    return kept


@njit(cache=True)
def _cross(a: IntArray, b: IntArray) -> int:
    return int(a[0] * b[1] - a[1] * b[0])


@njit(cache=True)
def _facing(edges: IntArray, corners: IntArray, later: bool) -> IntArray:
    """For each edge direction and each corner between two edges of the other outline: whether
    the corner faces the edge, 1 if it is convex, -1 if reflex, else 0.

    Of parallel edges those of the outline whose edges come `later` count as turned a little
    further, on both sides alike, or else the convolution would not close.
    """
    signs = np.zeros((len(edges), len(corners)), dtype=np.int64)
    for j in range(len(corners)):
        before, after = corners[j - 1], corners[j]
        turn = _cross(before, after)
        sign = 1 if turn > 0 else -1
        if turn < 0:
            before, after = after, before
        for i in range(len(edges)):
            past, ahead = _cross(before, edges[i]), _cross(edges[i], after)
            faces = past >= 0 and ahead > 0 if later else past > 0 and ahead >= 0
            if turn != 0 and faces:
                signs[i, j] = sign
    return signs


@njit(cache=True)
def _edge_vectors(ring: IntArray) -> IntArray:
    edges = np.empty(ring.shape, dtype=np.int64)
    for i in range(len(ring)):
        after = i + 1 if i + 1 < len(ring) else 0
        edges[i, 0], edges[i, 1] = ring[after, 0] - ring[i, 0], ring[after, 1] - ring[i, 1]
    return edges


@njit(cache=True)
def _count(signs: IntArray) -> int:
    """How many are not 0."""
    count = 0
    for row in range(signs.shape[0]):
        for column in range(signs.shape[1]):
            count += abs(signs[row, column])
    return count


@njit(cache=True)
def _convolution(a: IntArray, b: IntArray) -> tuple[IntArray, IntArray]:
    """Closed loops of the signed convolution one after another, and how many corners each has.

    Corner (i, j) is a[i] + b[j]; as many edges lead into it as out of it, so following unused
    ones from any corner ends there again.
    """
    n, m = len(a), len(b)
    ea, eb = _edge_vectors(a), _edge_vectors(b)
    along_a = _facing(ea, eb, True)
    along_b = _facing(eb, ea, False)
    total = _count(along_a) + _count(along_b)
    loops = np.empty((total, 2), dtype=np.int64)
    lengths = np.empty(total, dtype=np.int64)
    size, count, done = 0, 0, 0
    for start in range(n * m):
        i, j = start // m, start % m
        while True:
            if along_a[i, j] == 1:
                along_a[i, j] = 0
                step_i, step_j = (i + 1) % n, j
            elif along_a[i - 1, j] == -1:
                along_a[i - 1, j] = 0
                step_i, step_j = (i - 1) % n, j
            elif along_b[j, i] == 1:
                along_b[j, i] = 0
                step_i, step_j = i, (j + 1) % m
            elif along_b[j - 1, i] == -1:
                along_b[j - 1, i] = 0
                step_i, step_j = i, (j - 1) % m
            else:
                break
            loops[size, 0], loops[size, 1] = a[i, 0] + b[j, 0], a[i, 1] + b[j, 1]
            size += 1
            i, j = step_i, step_j
        if size > done:
            lengths[count] = size - done
            count += 1
            done = size
    return loops, lengths[:count]


# --- slits -------------------------------------------------------------------------------------


def _slits(paths: Sequence[IntArray]) -> list[FloatArray]:
    """Segments inside the sum on which the outlines may touch and not overlap.

    Parallel edges of the two outlines beside a reflex corner can give the same picture.
    """
    starts = np.vstack(paths)
    ends = np.vstack([np.roll(path, -1, axis=0) for path in paths])
    found = []
    for one, other in _back_to_back(starts, ends):
        found += _alone(starts, ends, one, other)
    return found


def _touches(fixed: IntArray, moved: IntArray, slit: FloatArray) -> bool:
    """Whether the outlines share no ground in the middle of a slit, but for rounding."""
    finer = 8
    overlap = pyclipper.Pyclipper()
    overlap.AddPath((finer * fixed).tolist(), pyclipper.PT_SUBJECT, True)
    place = np.rint(finer * slit.mean(axis=0)).astype(np.int64)
    overlap.AddPath((finer * moved + place).tolist(), pyclipper.PT_CLIP, True)
    shared = overlap.Execute(pyclipper.CT_INTERSECTION)
    inset = pyclipper.PyclipperOffset()
    inset.AddPaths(shared, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return not shared or not inset.Execute(-finer / 4)


def _back_to_back(starts: IntArray, ends: IntArray) -> Iterable[tuple[int, int]]:
    """Pairs of edges that lie on one line and lead opposite ways over a common stretch."""
    step = ends - starts
    step //= np.gcd(step[:, 0], step[:, 1])[:, None]
    forward = (step[:, 0] > 0) | ((step[:, 0] == 0) & (step[:, 1] > 0))
    axis = np.where(forward[:, None], step, -step)
    offset = axis[:, 0] * starts[:, 1] - axis[:, 1] * starts[:, 0]
    order = np.lexsort((offset, axis[:, 1], axis[:, 0]))
    key = np.column_stack([axis, offset])[order]
    breaks = np.flatnonzero((key[1:] != key[:-1]).any(axis=1)) + 1
    ahead = forward[order]
    first = np.concatenate([[0], breaks])
    share = np.add.reduceat(ahead.astype(np.int64), first)
    size = np.diff(np.append(first, len(order)))
    mixed = np.flatnonzero((share > 0) & (share < size))
    for begin, count in zip(first[mixed].tolist(), size[mixed].tolist(), strict=True):
        line = order[begin : begin + count]
        along = axis[line[0]]
        low, high = starts[line] @ along, ends[line] @ along
        ways = forward[line]
        one, other = np.flatnonzero(ways), np.flatnonzero(~ways)
        overlap = np.minimum(high[one][:, None], low[other]) - np.maximum(
            low[one][:, None], high[other]
        )
        for i, j in np.argwhere(overlap > 0):
            yield int(line[one[i]]), int(line[other[j]])


def _alone(starts: IntArray, ends: IntArray, one: int, other: int) -> list[FloatArray]:
    """The stretches common to two edges with a winding number of 1 beside them.

    Between the two, were they drawn apart, it is one less: none.
    """
    along = ends[one] - starts[one]
    common = sorted(
        (starts[one], ends[one], starts[other], ends[other]), key=lambda p: int(p @ along)
    )[1:3]
    low, high = (end.astype(np.float64) for end in common)
    cuts = _cuts(starts, ends, low, high)
    middles = (cuts[:-1] + cuts[1:]) / 2
    alone = [_winding(starts, ends, low + part * (high - low)) == 1 for part in middles]
    runs = np.flatnonzero(np.diff([False, *alone, False]))
    return [low + np.outer(cuts[run], high - low) for run in runs.reshape(-1, 2)]


def _cuts(starts: IntArray, ends: IntArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """Where other edges meet a segment, as parts of its length, with both its ends."""
    (nx, ny), length = (high - low), float(np.hypot(*(high - low)))
    side0 = (nx * (starts[:, 1] - low[1]) - ny * (starts[:, 0] - low[0])) / length
    side1 = (nx * (ends[:, 1] - low[1]) - ny * (ends[:, 0] - low[0])) / length
    meets = (side0 * side1 <= 0) & (np.abs(side0 - side1) > 0.5)
    part = side0[meets] / (side0[meets] - side1[meets])
    points = starts[meets] + part[:, None] * (ends[meets] - starts[meets])
    place = (points - low) @ (high - low) / length**2
    inner = place[(place > 1 / length) & (place < 1 - 1 / length)]
    return np.concatenate([[0.0], np.unique(inner), [1.0]])


def _winding(starts: IntArray, ends: IntArray, point: FloatArray) -> int:
    """How often all edges lead around a point; those that pass through it count for nothing."""
    a, b = starts - point, ends - point
    crossing = (a[:, 1] <= 0) != (b[:, 1] <= 0)
    a, b = a[crossing], b[crossing]
    length = np.hypot(*(b - a).T)
    side = (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / length
    upward = b[:, 1] > a[:, 1]
    return int(np.sum(upward & (side > 0.25)) - np.sum(~upward & (side < -0.25)))


def _edges(fixed: IntArray, moved: IntArray) -> FloatArray:
    """Edges (m, 4) of a no-fit polygon, those of a slit there and back."""
    rings = no_fit_polygon(fixed, moved)
    after = [np.concatenate([ring[1:], ring[:1]]) for ring in rings]
    return np.hstack([np.vstack(rings), np.vstack(after)]).astype(np.float64)


known_edges = cached_by_outline(_edges, _KEPT)
"""Edges (m, 4) x0, y0, x1, y1 of the no-fit polygon of two outlines (n, 2), fixed and moved."""
