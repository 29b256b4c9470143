"""PDF as general tools write it; the measures are those that the tools were given."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon

import tests.pieces.pdf.pdf_pages as p
from pieces.geometry import area, bounds
from pieces.ready import read_pieces

SAMPLES = Path(__file__).parent / "samples"
FRONT_MM2, POCKET_MM2 = 29325.0, 120.0 * 130.0
"""The front: by the shoelace formula 26,950 mm2 of its corners (30, 20), (230, 20), (230, 160),
(120, 180), (30, 140), and 2,375 mm2 under the cubic from (120, 180) to there, by the integral of
x dy - y dx."""


def cubic_area(a: tuple[float, float], *more: tuple[float, float]) -> float:
    """Half the integral of x dy - y dx along a cubic, by Simpson's rule, which is exact for it."""
    points = (a, *more)

    def at(t: float) -> tuple[float, float, float, float]:
        s = 1 - t
        w = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
        v = (-3 * s * s, 3 * s * s - 6 * s * t, 6 * s * t - 3 * t * t, 3 * t * t)
        x, y = (sum(k * q[i] for k, q in zip(w, points, strict=True)) for i in (0, 1))
        dx, dy = (sum(k * q[i] for k, q in zip(v, points, strict=True)) for i in (0, 1))
        return x, y, dx, dy

    count = 200
    total = 0.0
    for i in range(count + 1):
        x, y, dx, dy = at(i / count)
        weight = 1 if i in (0, count) else 4 if i % 2 else 2
        total += weight * (x * dy - y * dx)
    return total / (3 * count) / 2


def test_the_measures_of_the_sample_are_what_they_are_said_to_be() -> None:
    straight = [(30, 140), (30, 20), (230, 20), (230, 160), (120, 180)]
    sides = itertools.pairwise(straight)
    area_mm2 = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in sides) / 2
    area_mm2 += cubic_area((120, 180), (90, 180), (60, 150), (30, 140))
    assert area_mm2 == pytest.approx(FRONT_MM2, abs=0.5)


@pytest.mark.parametrize(
    "tool", ["reportlab", "cairo", "inkscape", "libreoffice", "object-streams"]
)
def test_a_drawing_comes_in_at_true_size_with_all_that_is_written(tool: str) -> None:
    draft = read_pieces(SAMPLES / f"{tool}.pdf")
    front, pocket = draft.pieces
    # LibreOffice rounds to hundredths of a millimetre.
    assert area(front.outline) == pytest.approx(FRONT_MM2, rel=3e-4)
    assert bounds(front.outline) == pytest.approx((0, 0, 160, 200), abs=0.05)
    assert (front.name, front.cut, front.pair) == ("Front", 1, False)
    assert front.on_fold is not None
    assert math.dist(*front.on_fold) == pytest.approx(120, abs=0.05)
    assert [notch.at[0] for notch in front.notches] == pytest.approx([70], abs=0.05)
    assert bounds(pocket.outline) == pytest.approx((0, 0, 130, 120), abs=0.05)
    assert (pocket.name, pocket.cut, pocket.on_fold) == ("Pocket", 2, None)
    assert p.codes(draft) == {"test-square-right", "grain-read"}


def test_a_drawing_by_matplotlib(tmp_path: Path) -> None:
    figure = Figure(figsize=(300 / 25.4, 200 / 25.4))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, 300)
    axes.set_ylim(0, 200)
    axes.axis("off")
    axes.add_patch(Circle((100, 100), 80, fill=False))
    axes.add_patch(Polygon([(200, 20), (280, 20), (240, 90)], fill=False))
    axes.text(100, 120, "Round", fontsize=14)
    axes.text(100, 100, "cut 2 pairs", fontsize=9)
    axes.annotate("", (240, 60), (240, 25), arrowprops={"arrowstyle": "->"})
    figure.savefig(tmp_path / "a.pdf")
    draft = read_pieces(tmp_path / "a.pdf")
    by_area = sorted(draft.pieces, key=lambda piece: area(piece.outline))
    # The library draws a circle as eight cubics, good to a part in a hundred thousand.
    assert area(by_area[1].outline) == pytest.approx(math.pi * 6400, rel=1e-3)
    assert (by_area[1].name, by_area[1].cut, by_area[1].pair) == ("Round", 2, True)
    assert area(by_area[0].outline) == pytest.approx(80 * 70 / 2, abs=0.1)
    assert bounds(by_area[0].outline)[2] == pytest.approx(70, abs=0.01)  # its grain runs up
