"""Folds, notches and seams by the names of lines in SVG; lengths and places are school geometry."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from pieces.curves import length
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.piece import Draft, Piece
from pieces.ready import read_pieces

HALF = '<path id="front" d="M100 100 H300 V400 H150 C150 350 120 320 100 320 Z"/>'
"""Its left edge, from (100, 100) to (100, 320), is straight, and so is its right one."""


def read(folder: Path, *shapes: str) -> Draft:
    drawing = "\n".join(shapes)
    (folder / "a.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" '
        f'viewBox="0 0 500 500">{drawing}</svg>'
    )
    return read_pieces(folder / "a.svg")


def line(name: str, way: str) -> str:
    return f'<path aria-label="{name}" d="{way}"/>'


def one(folder: Path, *shapes: str) -> Piece:
    (piece,) = read(folder, *shapes).pieces
    return piece


@pytest.mark.parametrize("name", ["fold", "Fold line", "place on fold", "front_fold-2", "mirror"])
def test_a_fold_drawn_by_eye_is_laid_on_the_edge_beside_it(tmp_path: Path, name: str) -> None:
    piece = one(tmp_path, HALF, line(name, "M104 120 L106 300"))
    assert piece.on_fold is not None
    assert math.dist(*piece.on_fold) == pytest.approx(220, abs=0.01)
    # In its laid form the fold lies at the bottom, and the grain, shown by none, runs along it.
    assert {round(y, 6) for _, y in piece.on_fold} == {0.0}
    assert bounds(piece.outline) == pytest.approx((0, 0, 300, 200), abs=0.1)


def test_a_fold_is_told_apart_from_the_grain(tmp_path: Path) -> None:
    draft = read(tmp_path, HALF, line("fold", "M100 110 V310"), line("grain", "M150 210 H280"))
    (piece,) = draft.pieces
    assert piece.on_fold is not None
    assert piece.on_fold[0][0] == pytest.approx(piece.on_fold[1][0])  # square to the grain
    assert "grain-assumed" not in {found.code for found in draft.findings}


def test_a_fold_that_is_no_edge_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OrderFault, match="neither a straight edge of it nor its middle"):
        read(tmp_path, HALF, line("fold", "M180 150 L250 300"))


def test_notches_lie_on_the_outline_and_point_inwards(tmp_path: Path) -> None:
    piece = one(tmp_path, HALF, line("notch", "M303 200 H290"), line("notches", "M200 392 V403"))
    first, second = piece.notches
    # The grain runs from left to right as it is drawn: the piece lies as it is seen.
    assert first.at == pytest.approx((200, 200), abs=0.01)
    assert first.inward_deg == pytest.approx(180)
    assert second.at == pytest.approx((100, 0), abs=0.01)
    assert second.inward_deg == pytest.approx(90)


def test_seams_run_along_the_outline_from_corner_to_corner(tmp_path: Path) -> None:
    side = line("seam side", "M297 104 L301 397")
    neck = line("seam: neck", "M149 397 C150 345 125 322 103 318")
    piece = one(tmp_path, HALF, side, neck)
    lengths = {seam.name: length(seam.line) for seam in piece.seams}
    assert lengths["side"] == pytest.approx(300, abs=0.01)
    # The cubic from (150, 400) to (100, 320): a chain of 10,000 chords by its own formula.
    four = [(150, 400), (150, 350), (120, 320), (100, 320)]
    points = [
        tuple(
            sum(
                w * p[i]
                for w, p in zip(
                    ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3),
                    four,
                    strict=True,
                )
            )
            for i in (0, 1)
        )
        for t in (k / 10_000 for k in range(10_001))
    ]
    true = sum(math.dist(a, b) for a, b in pairwise(points))
    assert lengths["neck"] == pytest.approx(true, abs=0.3)


@pytest.mark.parametrize("way", ["M300 100 V400", "M300 400 V100", "M299 110 L299 380"])
def test_a_seam_may_be_drawn_either_way(tmp_path: Path, way: str) -> None:
    piece = one(tmp_path, HALF, line("seam side", way))
    (seam,) = piece.seams
    expected = 270 if "110" in way else 300
    assert length(seam.line) == pytest.approx(expected, abs=0.01)


def test_lines_that_lie_by_no_piece_are_told(tmp_path: Path) -> None:
    draft = read(tmp_path, HALF, line("seam side", "M400 10 V60"), line("fold", "M450 10 V60"))
    told = [found.message for found in draft.findings if found.code == "line-ignored"]
    assert len(told) == 2
    assert all("lies by no outline and was left out" in message for message in told)
    assert not draft.pieces[0].seams


def test_a_closed_line_is_a_piece_whatever_it_is_called(tmp_path: Path) -> None:
    piece = one(tmp_path, '<rect aria-label="fold" x="10" y="10" width="90" height="60"/>')
    assert (piece.name, piece.on_fold) == ("fold", None)
    assert area(piece.outline) == pytest.approx(90 * 60)
