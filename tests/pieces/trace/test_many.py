"""Many photographs of 12 million pixels: how true outlines are, and that none is silently wrong.

They are reckoned by OpenCV's documented camera model (see photographs.py). A few by default;
TRACED_PHOTOGRAPHS=200 in the environment takes so many, "40-60" those from the 40th on.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Polygon

import tests.pieces.trace.photographs as ph
from pieces.errors import OrderFault
from pieces.trace.tracing import trace
from tests.pieces.trace.scenes import EVERY, bad, good
from tests.pieces.trace.test_trace import WORST_MM, off

FIRST, LAST = (
    int(part) for part in f"0-{os.environ.get('TRACED_PHOTOGRAPHS', '10')}".split("-")[-2:]
)
WITHIN_S = 3.0


@pytest.mark.long
def test_many_photographs(tmp_path: Path) -> None:
    means, tails, worst, areas, seconds, refused, badly = [], [], [], [], [], [], []
    for number in range(FIRST, LAST):
        is_bad = number % EVERY == EVERY - 1
        what, scene = bad(number // EVERY) if is_bad else ("", good(number))
        file = ph.written(tmp_path, scene, "many.jpg")
        began = time.process_time()
        try:
            found = trace(file)
        except OrderFault as error:
            (badly if is_bad else refused).append(f"{number} {what}: {error}")
            continue
        seconds.append(time.process_time() - began)
        assert len(found.pieces) == 1, number
        away = off(found, scene.outline)
        print(number, what, f"{away.mean():.3f} {away.max():.2f} {found.pieces[0].within_mm:.2f}")
        assert away.max() < WORST_MM, (number, what)
        if is_bad:
            continue
        means.append(away.mean())
        tails.append(np.quantile(away, 0.95))
        worst.append(away.max())
        true = Polygon(scene.outline).area
        areas.append(abs(Polygon(found.pieces[0].outline).area / true - 1))
    print("\n".join(["refused:", *refused, "bad ones refused:", *badly]))
    print(
        f"{len(means)} of {FIRST}-{LAST}: mean {np.mean(means):.3f} mm, worst {max(means):.3f}; "
        f"95 % worst {max(tails):.3f}; farthest {max(worst):.2f}; area {max(areas):.3%}; "
        f"{np.median(seconds):.2f} s, longest {max(seconds):.2f}"
    )
    assert not refused
    assert max(means) < 0.5
    assert max(tails) < 1.0
    assert max(areas) < 5e-3
    assert np.median(seconds) < WITHIN_S
