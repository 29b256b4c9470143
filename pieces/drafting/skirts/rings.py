"""Panels that are parts of a ring: flared skirts, peplums, yokes."""

from __future__ import annotations

import math

from pieces.curves import arc
from pieces.drafting.pattern import Edge, Role
from pieces.piece import Line

_STEPS = 90
_SHARES = (1.0, 1 - 1 / _STEPS / 10, *((_STEPS - i) / _STEPS for i in range(1, _STEPS)), 0.001, 0.0)
"""Of the way from the middle to the side at which points of a dropped hem lie."""


def half_ring(
    radius: float,
    long: float,
    half_deg: float,
    middle: tuple[str, Role],
    side: tuple[str, Role],
    lower: Role,
    drop: tuple[float, float] = (0.0, 0.0),
) -> tuple[Edge, ...]:
    """Half a panel above its middle, which lies along the x axis with the waist to the right.

    `middle` and `side` are what these edges are called, and what they are. Where its hem drops,
    it is lower by the first of two in the middle and by the second at the side, half of a cosine's
    wave between them: level in the middle, and running on over the side seam into a panel that
    drops by as much again, or as much less.
    """
    waist_line = arc((0.0, 0.0), radius, 180.0, 180.0 - half_deg, sewn=True)
    if drop == (0.0, 0.0):
        hem = arc((0.0, 0.0), radius + long, 180.0 - half_deg, 180.0, sewn=True)
    else:
        hem = _dropped(radius + long, half_deg, drop)
    return (
        Edge(middle[0], (hem[-1], waist_line[0]), middle[1]),
        Edge("waist", waist_line),
        Edge(side[0], (waist_line[-1], hem[0]), side[1]),
        Edge("hem", hem, lower),
    )


def quarter_ring(radius: float, long: float, name: str, lower: Role) -> tuple[Edge, ...]:
    """A quarter of a whole ring, between its middle along the x axis and its side along y."""
    waist_line = arc((0.0, 0.0), radius, 90.0, 0.0, sewn=True)
    hem = arc((0.0, 0.0), radius + long, 0.0, 90.0, sewn=True)
    return (
        Edge(name, (waist_line[-1], hem[0]), Role.FOLD),
        Edge("hem", hem, lower),
        Edge("side", (hem[-1], waist_line[0]), Role.FOLD),
        Edge("waist", waist_line),
    )


def whole_ring(
    radius: float,
    long: float,
    angle_deg: float,
    names: tuple[str, str],
    side_role: Role,
    lower: Role,
) -> tuple[Edge, ...]:
    """A panel with its middle along the x axis and the waist to the right."""
    low, high = 180.0 + angle_deg / 2, 180.0 - angle_deg / 2
    waist_line = arc((0.0, 0.0), radius, low, high, sewn=True)
    hem = arc((0.0, 0.0), radius + long, high, low, sewn=True)
    return (
        Edge(names[0], (hem[-1], waist_line[0]), side_role),
        Edge("waist", waist_line),
        Edge(names[1], (waist_line[-1], hem[0]), side_role),
        Edge("hem", hem, lower),
    )


def _dropped(reach: float, half_deg: float, drop: tuple[float, float]) -> Line:
    """A hem from side to middle that drops by so much in the middle and at the side."""
    middle, side = drop
    line = []
    for share in _SHARES:
        down = middle + (side - middle) * (1 - math.cos(math.pi / 2 * share))
        turn = math.radians(180.0 - half_deg * share)
        line.append(((reach + down) * math.cos(turn), (reach + down) * math.sin(turn)))
    return (*line[:-1], (-reach - middle, 0.0))
