"""Panels that are parts of a ring: flared skirts, peplums, yokes."""

from __future__ import annotations

from pieces.curves import arc
from pieces.drafting.pattern import Edge, Role


def half_ring(
    radius: float,
    long: float,
    half_deg: float,
    name: str,
    middle: Role,
    side: str,
    side_role: Role,
    lower: Role,
) -> tuple[Edge, ...]:
    """Half a panel above its middle, which lies along the x axis with the waist to the right."""
    waist_line = arc((0.0, 0.0), radius, 180.0, 180.0 - half_deg)
    hem = arc((0.0, 0.0), radius + long, 180.0 - half_deg, 180.0)
    return (
        Edge(name, (hem[-1], waist_line[0]), middle),
        Edge("waist", waist_line),
        Edge(side, (waist_line[-1], hem[0]), side_role),
        Edge("hem", hem, lower),
    )


def quarter_ring(radius: float, long: float, name: str, lower: Role) -> tuple[Edge, ...]:
    """A quarter of a whole ring, between its middle along the x axis and its side along y."""
    waist_line = arc((0.0, 0.0), radius, 90.0, 0.0)
    hem = arc((0.0, 0.0), radius + long, 0.0, 90.0)
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
    waist_line = arc((0.0, 0.0), radius, low, high)
    hem = arc((0.0, 0.0), radius + long, high, low)
    return (
        Edge(names[0], (hem[-1], waist_line[0]), side_role),
        Edge("waist", waist_line),
        Edge(names[1], (waist_line[-1], hem[0]), side_role),
        Edge("hem", hem, lower),
    )
