"""Sheets stuck together: by frames, by names, by what the order tells; drawings cut up by hand.

A drawing is cut into sheets by translation and a window for each (ISO 32000-1, 8.5.4), as programs
that print posters do.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import tests.pieces.pdf.pdf_pages as p
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.piece import Draft

SKIRT = [(15, 20), (520, 20), (560, 300), (300, 340), (60, 330)]
ROUND = [
    (330 + 150 * math.cos(math.radians(d)), 520 + 150 * math.sin(math.radians(d)))
    for d in range(0, 360, 3)
]
INSIDE = p.text("skirt", 250, 150, 8) + p.text("cut 1", 250, 140)
DRAWING = p.path(SKIRT) + p.path(ROUND) + INSIDE


def area_of(points: list[tuple[float, float]]) -> float:
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


WANTED = sorted([area_of(SKIRT), area_of(ROUND)])


def sheets(
    columns: int,
    rows: int,
    step: tuple[float, float],
    frame: tuple[float, float, float, float],
    furniture: str = "",
    names: bool = False,
    clip: bool = True,
) -> list[p.Sheet]:
    """The drawing on sheets of A4, row by row from above; `frame` is where each shows it."""
    left, low, wide, tall = frame
    found = []
    for row in reversed(range(rows)):
        for column in range(columns):
            window = f"{left} {low} {wide} {tall} re W n\n" if clip else ""
            dx, dy = left - column * step[0], low - row * step[1]
            own = f"q {window}1 0 0 1 {dx:.4f} {dy:.4f} cm\n{DRAWING}Q\n" + furniture
            if names:
                own += p.text(f"{'ABCDEFG'[rows - 1 - row]}{column + 1}", 100, 3, 5)
            found.append(p.Sheet(own))
    return found


def check(draft: Draft) -> None:
    assert sorted(area(piece.outline) for piece in draft.pieces) == pytest.approx(WANTED, rel=2e-4)
    skirt = next(piece for piece in draft.pieces if piece.name == "skirt")
    assert bounds(skirt.outline) == pytest.approx((0, 0, 545, 320), abs=0.02)


FRAME = p.box(10, 15, 190, 267)


@pytest.mark.parametrize("names", [True, False])
def test_sheets_with_a_frame(tmp_path: Path, names: bool) -> None:
    made = sheets(3, 3, (190, 267), (10, 15, 190, 267), FRAME, names)
    draft = p.read(tmp_path, p.pdf(*made))
    check(draft)
    assert "9 sheets were stuck together by" in p.told(draft, "sheets-joined")


def test_lines_that_run_on_past_the_frame_are_taken_once(tmp_path: Path) -> None:
    made = sheets(3, 3, (190, 267), (10, 15, 190, 267), FRAME, clip=False)
    check(p.read(tmp_path, p.pdf(*made)))


def test_a_page_about_the_pattern_comes_first(tmp_path: Path) -> None:
    cover = p.box(80, 100, 50, 50) + p.text("test square 5 cm", 85, 120) + p.text("Skirt", 50, 250)
    made = sheets(3, 3, (190, 267), (10, 15, 190, 267), FRAME)
    draft = p.read(tmp_path, p.pdf(p.Sheet(cover), *made))
    check(draft)
    assert "50.0 mm measures 50.0 mm" in p.told(draft, "test-square-right")
    assert "1 of 10 pages, number 1, joined no other" in p.told(draft, "pages-left-out")


def test_names_tell_the_order_of_sheets_that_are_shuffled(tmp_path: Path) -> None:
    made = sheets(3, 3, (190, 267), (10, 15, 190, 267), FRAME, names=True)
    shuffled = [made[i] for i in (4, 0, 8, 2, 6, 1, 3, 7, 5)]
    draft = p.read(tmp_path, p.pdf(*shuffled))
    check(draft)
    assert "by their own names" in p.told(draft, "sheets-joined")


def test_sheets_by_the_grid_that_the_order_tells(tmp_path: Path) -> None:
    made = sheets(3, 3, (195, 282), (0, 0, 210, 297))
    check(p.read(tmp_path, p.pdf(*made), pages="A4", columns=3, overlap_mm=15.0))
    about = p.Sheet(p.text("how to sew", 50, 250))
    draft = p.read(tmp_path, p.pdf(about, *made), pages="2-10", columns=3, overlap_mm=15.0)
    check(draft)


def test_a_wrong_grid_is_told(tmp_path: Path) -> None:
    made = sheets(3, 3, (195, 282), (0, 0, 210, 297))
    with pytest.raises(OrderFault, match="no closed outline") as refused:
        p.read(tmp_path, p.pdf(*made), columns=2, overlap_mm=15.0)
    assert "lines go on where sheets meet; look at columns and overlap" in str(refused.value)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({}, "9 sheets that go together, but nothing on them tells how. Give columns"),
        ({"pages": "A3"}, "no such pages as 'A3': it has 9, of 210 mm by 297 mm"),
        ({"pages": "front"}, "'front' names no pages"),
        ({"overlap_mm": 10.0}, "not how many sheets make a row. Give columns"),
        ({"columns": 3, "overlap_mm": 300.0}, "leaves nothing of a sheet"),
    ],
)
def test_what_is_asked(tmp_path: Path, told: dict[str, object], said: str) -> None:
    made = sheets(3, 3, (195, 282), (0, 0, 210, 297))
    with pytest.raises(OrderFault) as refused:
        p.read(tmp_path, p.pdf(*made), **told)
    assert said in str(refused.value)


def test_pages_by_themselves_are_not_stuck_together(tmp_path: Path) -> None:
    one = p.Sheet(p.path([(20, 20), (120, 20), (120, 90)]) + p.text("yoke", 90, 40))
    other = p.Sheet(p.path([(30, 30), (90, 30), (90, 200)]) + p.text("tie", 75, 60))
    draft = p.read(tmp_path, p.pdf(one, other))
    assert [piece.name for piece in draft.pieces] == ["yoke", "tie"]
    assert "sheets-joined" not in p.codes(draft)
