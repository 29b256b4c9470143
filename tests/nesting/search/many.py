"""Orders of many corners and of many pieces, made when they are asked for."""

from __future__ import annotations

import math
import os
import random
from collections.abc import Sequence

MANY = int(os.environ.get("MANY_PIECES", "1"))
"""So many times the usual number of corners and pieces."""
Corners = list[tuple[float, float]]

HEAD = 'units = "mm"\n[fabric.lawn]\nwidth = 1400\n'


def piece(name: str, outline: Sequence[tuple[float, float]], cut: int = 1) -> str:
    """The table of a piece, its grain along x."""
    points = ", ".join(f"[{x}, {y}]" for x, y in outline)
    return (
        f'\n[[piece]]\nname = "{name}"\nfabric = "lawn"\ncut = {cut}\n'
        f"grain = [[0, 0], [1, 0]]\noutline = [{points}]\n"
    )


def wavy(corners: int) -> Corners:
    """A smooth, wavy outline about 270 mm long and 180 mm wide; no mirror image of itself."""
    found = []
    for number in range(corners):
        angle = 2 * math.pi * number / corners
        reach = 0.9 * (1 + 0.05 * math.sin(9 * angle) + 0.02 * math.sin(31 * angle + 1))
        x, y = 150 * (1 + reach * math.cos(angle)), 100 * (1 + reach * math.sin(angle))
        found.append((round(x, 4), round(y, 4)))
    return found


def quadrilaterals(number: int) -> list[Corners]:
    """So many different ones, 40 to 200 mm long."""
    draw = random.Random(1)
    found = []
    for _ in range(number):
        w, h = draw.uniform(60, 200), draw.uniform(60, 150)
        off = [round(draw.uniform(0, 15), 2) for _ in range(8)]
        found.append(
            [
                (off[0], off[1]),
                (round(w - off[2], 2), off[3]),
                (round(w - off[4], 2), round(h - off[5], 2)),
                (off[6], round(h - off[7], 2)),
            ]
        )
    return found


def all_different(number: int) -> str:
    """An order of so many pieces, no two alike."""
    shapes = enumerate(quadrilaterals(number), start=1)
    return HEAD + "".join(piece(f"shape {n}", one) for n, one in shapes)


def twenty_shapes(number: int) -> str:
    """An order of so many parts, of twenty shapes."""
    shapes = enumerate(quadrilaterals(20), start=1)
    return HEAD + "".join(piece(f"shape {n}", one, number // 20) for n, one in shapes)
