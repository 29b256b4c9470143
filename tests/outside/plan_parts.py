"""What checks of a plan.json share: each layer of each placement on the flat cloth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shapely.geometry import Polygon

Record = dict[str, Any]
NEAR_MM = 0.005
"""Rounding, and a thread is twenty times as thick."""


@dataclass(frozen=True)
class Part:
    """One layer of one placement on the flat cloth."""

    placement: Record
    piece: Record
    layer: int
    way: Sequence[float]
    region: Polygon

    @property
    def flips(self) -> bool:
        a, b, c, d, *_ = self.way
        return a * d - b * c < 0

    @property
    def face_down(self) -> bool:
        """Whether the cloth shows the drawing's mirror image here."""
        return bool(self.placement["mirrored"]) != self.flips

    @property
    def thread_deg(self) -> float:
        a, b, c, d, *_ = self.way
        (x0, y0), (x1, y1) = (laid(p, self.placement) for p in self.piece["grain_mm"])
        dx, dy = x1 - x0, y1 - y0
        return math.degrees(math.atan2(c * dx + d * dy, a * dx + b * dy))


def laid(point: Sequence[float], placement: Record) -> tuple[float, float]:
    """Mirrored about y = 0 if so, turned anticlockwise, then shifted."""
    x, y = point[0], -point[1] if placement["mirrored"] else point[1]
    turn = math.radians(placement["turn_deg"])
    cos, sin = math.cos(turn), math.sin(turn)
    return x * cos - y * sin + placement["x_mm"], x * sin + y * cos + placement["y_mm"]


def among(angle: float, angles: Sequence[float], off: float) -> bool:
    return any(abs(math.remainder(angle - one, 360.0)) <= off + 1e-4 for one in angles)


def label(placement: Record) -> str:
    return f"{placement['piece']} {placement['copy']} ({placement['garment']})"
