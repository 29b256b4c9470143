"""What is told of pieces in a drawing by the numbers of their corners.

Lengths and places are those of school geometry.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import tests.pieces.pdf.pdf_pages as p
from nesting.order.model import Order
from nesting.order.read import order_from_text
from pieces.curves import length
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.piece import Draft, Line, Piece
from pieces.ready import read_pieces
from pieces.trace.marked import Marks
from pieces.trace.marking import told
from pieces.units import Unit

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="90mm" viewBox="0 0 300 90">'
    '<path id="cuff" d="M0 60H80V0H0Z"/><circle id="round" cx="200" cy="40" r="30"/></svg>'
)
"""Corners of the cuff from 1: lower left, lower right, upper right, upper left."""


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    file = tmp_path / "a.svg"
    file.write_text(DRAWING)
    return file


def drawn(file: Path, *texts: str) -> tuple[Marks, Draft]:
    marks = Marks(told(text) for text in texts)
    return marks, read_pieces(file, marks=marks)


def cuff(file: Path, *texts: str) -> Piece:
    """The cuff as it lies in the drawing."""
    marks, _ = drawn(file, *texts)
    return next(one.piece for one in marks.done if one.piece.name == "cuff")


def close(points: Line, true: list[tuple[float, float]]) -> bool:
    return bool(np.allclose(points, true, atol=0.01))


def test_an_edge_lies_on_the_fold_and_the_grain_runs_along_it(drawing: Path) -> None:
    _, draft = drawn(drawing, "cuff: fold 2-3")
    found = next(one for one in draft.pieces if one.name == "cuff")
    assert found.on_fold is not None
    assert math.dist(*found.on_fold) == pytest.approx(60)
    assert found.on_fold[0][1] == found.on_fold[1][1] == 0.0
    # The other piece is told of alone.
    assert [one.message.split()[1] for one in draft.findings] == ["round"]


def test_the_grain_at_an_angle_or_along_an_edge(drawing: Path) -> None:
    for text, way in (("cuff: grain 30 degrees", 30.0), ("cuff: grain 2-3", 90.0),
                      ("cuff: grain -45°", -45.0), ("cuff: grain 3-4", 180.0)):  # fmt: skip
        (ax, ay), (bx, by) = cuff(drawing, text).grain
        assert math.degrees(math.atan2(by - ay, bx - ax)) == pytest.approx(way)


def test_notches_and_seams_lie_between_corners(drawing: Path) -> None:
    found = cuff(drawing, "cuff: notch 2-3 at 4 cm", "cuff: seam side 2-4")
    (notch,) = found.notches
    assert notch.at == pytest.approx((80, -20))
    assert notch.inward_deg == pytest.approx(180)
    (seam,) = found.seams
    assert (seam.name, length(seam.line)) == ("side", pytest.approx(140))


def test_a_corner_moves_and_its_edges_stay_straight(drawing: Path) -> None:
    found = cuff(drawing, "cuff: move 3 by 5 mm, 2 mm", "cuff: move 3 by 0, 3 mm")
    assert close(found.outline, [(0, -60), (80, -60), (85, 5), (0, 0)])


def test_an_edge_is_bent_outwards_and_seams_and_notches_go_with_it(drawing: Path) -> None:
    plain = "cuff: notch 2-3 at 3 cm", "cuff: seam side 2-3"
    found = cuff(drawing, *plain, "cuff: bend 3-2 by 6 mm")
    # A parabola over a chord covers two some of its box (Archimedes).
    assert area(found.outline) == pytest.approx(80 * 60 + 2 / 3 * 60 * 6, rel=1e-3)
    # Half-way along a parabola is its top.
    assert cuff(drawing, "cuff: bend 2-3 by 6 mm").outline[1] == (80, -60)
    (seam,) = found.seams
    assert max(x for x, _ in seam.line) == pytest.approx(86)
    (notch,) = found.notches
    assert notch.at[0] > 85.9


def test_round_pieces_have_their_outermost_points(drawing: Path) -> None:
    marks, _ = drawn(drawing, "round: notch 1-2 at 1 cm")
    found = marks.done[1]
    assert len(found.corners) == 4
    assert len(found.piece.notches) == 1


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        (["cuff: fold 1-9"], "cuff has 4 corners, so 1-9 is no stretch of it"),
        (["cuff: move 9 by 1, 1"], "so 9 is no corner of it"),
        (["round: fold 1-2"], "isn't straight, so it can't lie on a fold"),
        (["cuff: notch 1-2 at 9 cm"], "is 8 cm long from corner 1 to 2, so no notch is there"),
        (["cuff: move 2 by -10 cm, 3 cm"], "crosses its own outline"),
        (["cuff: bend 1-3 by 1 cm"], "1-3 has others between"),
    ],
)
def test_what_cannot_be_so_is_refused(drawing: Path, texts: list[str], said: str) -> None:
    with pytest.raises(OrderFault, match=said):
        drawn(drawing, *texts)


def test_the_edge_on_the_fold_stays_straight(tmp_path: Path) -> None:
    file = tmp_path / "half.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">'
        '<g aria-label="half"><path d="M0 60H80V0H0Z"/><path aria-label="fold" '
        'd="M0 60H80"/></g></svg>'
    )
    with pytest.raises(OrderFault, match="its edge on the fold stays straight"):
        drawn(file, "half: bend 1-2 by 3 mm")
    (found,) = drawn(file, "half: move 2 by 0, -4 mm")[0].done
    assert found.piece.on_fold is not None
    assert close(found.piece.on_fold, [(0, -60), (80, -64)])


def ordered(file: Path, marks: str) -> Order:
    text = f"""
        units = "in"
        [fabric.lawn]
        width = 45
        [[piece]]
        file = "{file.name}"
        fabric = "lawn"
        marks = {marks}
    """
    return order_from_text(text, "order.toml", lambda name: file.parent / name)


def test_an_order_marks_a_drawing_in_its_own_unit(drawing: Path) -> None:
    order = ordered(drawing, '["cuff: notch 1-2 at 1 1/2", "cuff: seam hem 1-2"]')
    found = next(one for one in order.pieces if one.name == "cuff")
    assert found.notches[0].at[0] == pytest.approx(38.1)
    assert told("a: notch 1-2 at 2", Unit.IN).at_mm == 50.8
    with pytest.raises(OrderFault) as refused:
        ordered(drawing, '["cuf: fold 1-2", "cuff: fold 2-3"]')
    assert "piece 1: marks: There is no piece called 'cuf' in the drawing." in str(refused.value)
    assert 'Did you mean "cuff"?' in str(refused.value)
    with pytest.raises(OrderFault, match="Marks are a list of texts in quotes"):
        ordered(drawing, '"cuff: fold 1-2"')


def test_a_drawing_that_cannot_be_read_is_the_one_fault(drawing: Path) -> None:
    """Seams of its pieces aren't told to be missing as well."""
    text = """
        [fabric.lawn]
        width = "1 m"
        [[piece]]
        file = "a.svg"
        fabric = "lawn"
        marks = ["round: fold 1-2"]
        [[seam]]
        what = "hem"
        this = "cuff: hem"
        that = "cuff: top"
    """
    with pytest.raises(OrderFault) as refused:
        order_from_text(text, "order.toml", lambda _: drawing)
    (fault,) = [one for one in refused.value.faults if "units" not in one.key]
    assert "isn't straight" in fault.message


def test_an_order_marks_a_pattern_in_pdf(tmp_path: Path) -> None:
    file = tmp_path / "dress.pdf"
    file.write_bytes(p.pdf(p.Sheet(p.box(20, 20, 100, 120) + p.text("SLEEVE", 40, 80))))
    (name,) = [one.name for one in read_pieces(file).pieces]
    order = ordered(file, f'["{name}: grain 2-3", "{name}: notch 1-2 at 2 in"]')
    (found,) = order.pieces
    assert bounds(found.outline) == pytest.approx((0, 0, 120, 100), abs=0.01)
    assert len(found.notches) == 1
    assert "grain-assumed" not in {one.code for one in order.findings}
