"""Many photographs, of pieces that are known: good ones, and those that must not be trusted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tests.pieces.trace.photographs import Scene

PIECES = 20
EVERY = 5
"""One photograph in so many is a bad one."""


def curve(*four: tuple[float, float]) -> list[tuple[float, float]]:
    """Points of a cubic Bezier curve after its first."""
    a, b, c, d = (np.array(point) for point in four)
    t = np.linspace(0, 1, 40)[1:, None]
    points = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * d
    return [(float(x), float(y)) for x, y in points]


def good(number: int) -> Scene:
    """One of many of 12 million pixels: 20 pieces, and each time another camera, light and table.

    Pieces are up to 60 cm long; two sheets lie beside each, as the guide tells.
    """
    rng = np.random.default_rng(number)
    light = rng.random() < 0.3
    return Scene(
        _piece(number % PIECES),
        (960, 700),
        ((42, 60, rng.uniform(-3.5, 3.5)), (738, rng.uniform(60, 380), rng.uniform(-4, 4))),
        (4000, 3000),
        tilt_deg=rng.uniform(0, 20),
        about_deg=rng.uniform(0, 360),
        k1=rng.uniform(-0.08, 0.06),
        k2=rng.uniform(-0.02, 0.02),
        blur=rng.uniform(0.5, 1.6),
        noise=rng.uniform(1, 6),
        shadow=rng.uniform(0, 0.35),
        table=(236, 238, 240) if light else tuple(int(v) for v in rng.integers(30, 95, 3)),  # type: ignore[arg-type]
        paper=(110, 150, 175) if light else (225, 230, 232),
        seed=number,
        closer=0.92,
        focal=rng.uniform(0.65, 1.1),
        cast=rng.choice((0.0, rng.uniform(0.1, 0.4))),
        corners=rng.uniform(0, 0.3),
    )


def _piece(number: int) -> list[tuple[float, float]]:
    """A bodice, sleeve or skirt of sorts: straight edges, an armhole, a hem."""
    shape = np.random.default_rng(number)
    wide, tall = shape.uniform(150, 420), shape.uniform(200, 560)
    left, top = 480 - wide / 2, 350 - tall / 2
    right, low = left + wide, top + tall
    deep, in_ = tall * shape.uniform(0.15, 0.4), wide * shape.uniform(0.15, 0.4)
    hem = shape.uniform(-0.08, 0.08) * tall
    return [
        (left, top), (right - in_, top),
        *curve((right - in_, top), (right - in_, top + 0.6 * deep),
               (right - 0.5 * in_, top + deep), (right, top + deep)),
        (right, low), *curve((right, low), (right - wide / 3, low + hem),
                             (left + wide / 3, low + hem), (left, low)),
    ]  # fmt: skip


def _moved(scene: Scene, x: float, y: float) -> Scene:
    return replace(scene, outline=[(a + x, b + y) for a, b in scene.outline])


BAD: dict[str, Callable[[Scene, np.random.Generator], Scene]] = {
    "blurred": lambda one, rng: replace(one, blur=rng.uniform(3, 9)),
    "sheets bent": lambda one, rng: replace(one, bend_mm=rng.uniform(3, 12)),
    "cut off": lambda one, rng: _moved(one, 0, rng.choice((-1, 1)) * rng.uniform(250, 320)),
    "oblique": lambda one, rng: replace(one, tilt_deg=rng.uniform(30, 48), closer=0.8),
    "wide lens": lambda one, rng: replace(
        one, focal=rng.uniform(0.4, 0.5), k1=rng.uniform(-0.3, -0.15), k2=rng.uniform(0, 0.08)
    ),
    "far from the sheet": lambda one, rng: replace(one, sheets=((-8, 330, rng.uniform(-4, 4)),)),
    "sheets covered": lambda one, rng: replace(
        one, sheets=((rng.uniform(-150, -60), 60, 2), (rng.uniform(860, 930), 60, 2))
    ),
    "paper like the table": lambda one, rng: replace(
        one, paper=tuple(v + int(rng.integers(5, 14)) for v in one.table)  # type: ignore[arg-type]
    ),
}  # fmt: skip


def bad(number: int) -> tuple[str, Scene]:
    """A photograph with something wrong, and what that is."""
    name = list(BAD)[number % len(BAD)]
    return name, BAD[name](good(number), np.random.default_rng(number))
