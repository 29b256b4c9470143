"""Convex room around one place outside a no-fit polygon, as half-planes.

A no-fit polygon is concave as a rule, so "outside" is no set that a linear program can state.
Near one place it has convex parts: the half-plane beyond the nearest edge, cut down by the
half-plane beyond the nearest edge that is still inside it, and so on until none is left (Li,
Milenkovic 1993; Gomes, Oliveira 2006). All of that part is outside, not only the place itself.

Edges are (m, 4) floats x0, y0, x1, y1 with the forbidden side on their left, in units of the
solver and so exact.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from nesting.solver.instance import IntArray

FloatArray = NDArray[np.float64]

MOST_PLANES = 12
_EPS = 1e-3
"""Units; far below one and far above the floating error of a distance."""


@njit(cache=True)
def depth_inside(
    edges: FloatArray, x: float, y: float, stretch: float = 1.0
) -> tuple[float, float, float]:
    """How deep a place lies inside, 0 outside or on an edge; and the nearest place on an edge.

    Distances along y count `stretch` times.
    """
    inside = False
    nearest, near_x, near_y = math.inf, x, y
    for e in range(len(edges)):
        x0, y0, x1, y1 = edges[e, 0] - x, edges[e, 1] - y, edges[e, 2] - x, edges[e, 3] - y
        if (y0 > 0) != (y1 > 0) and (x1 - x0) * -y0 / (y1 - y0) + x0 > 0:
            inside = not inside
        px, py = _nearest_on(x0, y0 * stretch, x1, y1 * stretch)
        distance = math.sqrt(px * px + py * py)
        if distance < nearest:
            nearest, near_x, near_y = distance, px + x, py / stretch + y
    return (nearest if inside else 0.0), near_x, near_y


@njit(cache=True)
def _nearest_on(x0: float, y0: float, x1: float, y1: float) -> tuple[float, float]:
    """The place on a segment nearest to the origin."""
    ex, ey = x1 - x0, y1 - y0
    square = ex * ex + ey * ey
    part = 0.0 if square == 0.0 else -(x0 * ex + y0 * ey) / square
    part = min(1.0, max(0.0, part))
    return x0 + part * ex, y0 + part * ey


@njit(cache=True)
def half_planes(
    edges: FloatArray,
    x: float,
    y: float,
    reach: float,
    flat_first: bool,
    stretch: float,
    planes: FloatArray,
) -> int:
    """Fill `planes` with rows nx, ny, c and return how many.

    A move (u, v) of the place stays outside if nx * u + ny * v >= c for all of them and neither
    |u| nor |v| exceeds `reach`; a place inside has one c above 0 at least. At a corner either
    edge's half-plane will do: the one that lets the place slide along the strip is taken if
    `flat_first`, else the one with more room. Edges are near by distances in which those along
    y count `stretch` times: more than 1 leads out of an overlap along the strip.
    """
    depth, near_x, near_y = depth_inside(edges, x, y, stretch)
    if depth <= _EPS:
        near_x, near_y = x, y
    near = (near_x - x, near_y - y)
    count = 0
    while count < len(planes):
        chosen = _next_edge(edges, (x, y), near, reach, flat_first, stretch, planes[:count])
        if chosen < 0:
            break
        nx, ny = _normal(edges, chosen)
        planes[count, 0], planes[count, 1] = nx, ny
        planes[count, 2] = nx * (edges[chosen, 0] - x) + ny * (edges[chosen, 1] - y)
        count += 1
    return count


@njit(cache=True)
def half_planes_of(
    table: FloatArray,
    spans: IntArray,
    places: FloatArray,
    reach: FloatArray,
    flat_first: bool,
    stretch: float,
    planes: FloatArray,
    counts: IntArray,
) -> None:
    """The half-planes of many pairs: `planes` (n, most, 3), of which `counts` (n,) are filled.

    The edges of each are `table` from and to its row of `spans` (n, 2).
    """
    for k in range(len(spans)):
        counts[k] = half_planes(
            table[spans[k, 0] : spans[k, 1]],
            places[k, 0],
            places[k, 1],
            reach[k],
            flat_first,
            stretch,
            planes[k],
        )


@njit(cache=True)
def depths_inside(
    table: FloatArray, spans: IntArray, places: FloatArray, depths: FloatArray
) -> None:
    """How deep the places (n, 2) of many pairs lie inside, as for `half_planes_of`."""
    for k in range(len(spans)):
        edges = table[spans[k, 0] : spans[k, 1]]
        depths[k] = depth_inside(edges, places[k, 0], places[k, 1])[0]


@njit(cache=True)
def _normal(edges: FloatArray, e: int) -> tuple[float, float]:
    """The unit normal of an edge away from the forbidden side."""
    ex, ey = edges[e, 2] - edges[e, 0], edges[e, 3] - edges[e, 1]
    length = math.sqrt(ex * ex + ey * ey)
    return ey / length, -ex / length


@njit(cache=True)
def _next_edge(
    edges: FloatArray,
    place: tuple[float, float],
    near: tuple[float, float],
    reach: float,
    flat_first: bool,
    stretch: float,
    planes: FloatArray,
) -> int:
    """The edge that is nearest to place + near among what the planes have left of all, or -1."""
    best, best_distance, best_rank = -1, math.inf, -math.inf
    dx, dy = near
    box = max(reach, abs(dx), abs(dy)) + _EPS
    for e in range(len(edges)):
        x0, y0 = edges[e, 0] - place[0], edges[e, 1] - place[1]
        x1, y1 = edges[e, 2] - place[0], edges[e, 3] - place[1]
        if min(x0, x1) > box or max(x0, x1) < -box or min(y0, y1) > box or max(y0, y1) < -box:
            continue
        nx, ny = _normal(edges, e)
        low, high = _left_of(x0, y0, x1, y1, nx, ny, box, planes)
        if high - low <= 0.0:
            continue
        ex, ey = x1 - x0, y1 - y0
        px, py = _nearest_on(
            x0 + low * ex - dx,
            (y0 + low * ey - dy) * stretch,
            x0 + high * ex - dx,
            (y0 + high * ey - dy) * stretch,
        )
        distance = math.sqrt(px * px + py * py)
        if distance > best_distance + _EPS:
            continue
        room = nx * (dx - x0) + ny * (dy - y0)
        rank = 1 - abs(nx) if flat_first and room > -_EPS else room
        if distance < best_distance - _EPS or rank > best_rank:
            best, best_rank = e, rank
            best_distance = min(distance, best_distance)
    return best


@njit(cache=True)
def _left_of(
    x0: float,
    y0: float,
    x1: float,
    y1: float,
    nx: float,
    ny: float,
    box: float,
    planes: FloatArray,
) -> tuple[float, float]:
    """From where to where, as parts of its length, an edge lies in the box and the planes."""
    low, high = 0.0, 1.0
    for side in range(4 + len(planes)):
        if side < 4:
            sign = 1.0 if side % 2 == 0 else -1.0
            at0 = sign * (x0 if side < 2 else y0) + box
            at1 = sign * (x1 if side < 2 else y1) + box
        else:
            px, py, c = planes[side - 4]
            # An edge back to back with the plane's own bounds a slit and must not be lost.
            slack = -_EPS if nx * px + ny * py < -1 + 1e-12 else _EPS
            at0 = px * x0 + py * y0 - c - slack
            at1 = px * x1 + py * y1 - c - slack
        if at0 <= 0.0 and at1 <= 0.0:
            return 1.0, 0.0
        if at0 < 0.0:
            low = max(low, at0 / (at0 - at1))
        elif at1 < 0.0:
            high = min(high, at0 / (at0 - at1))
    return low, high
