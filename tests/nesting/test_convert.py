"""Millimetres to the solver's units and back; folded markers cut open."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from nesting.convert import UNITS_PER_MM, Packing, unfolded_outlines
from nesting.fabric import Fabric, Faces, LayName, Nap
from nesting.lay import lay_of
from nesting.marker import Marker
from nesting.rules import cuts_for
from nesting.solver.instance import Layout
from nesting.verify import verify
from pieces.piece import Piece

GRAIN = ((0.0, 10.0), (100.0, 10.0))
LEFT_AND_RIGHT = Piece(
    "side", "lawn", ((0, 0), (300, 0), (300, 80), (120, 150), (0, 150)), GRAIN, pair=True
)
ON_FOLD = Piece(
    "front",
    "lawn",
    ((0, 0), (400, 0), (400, 100), (250, 180), (0, 160)),
    GRAIN,
    on_fold=((0, 0), (400, 0)),
)
STRIP = Piece("band", "lawn", ((0, 0), (500, 0), (500, 60), (0, 60)), GRAIN, cut=3)
ODD = Piece("patch", "lawn", ((0, 0), (90, 0), (60, 70)), GRAIN)
PIECES = (LEFT_AND_RIGHT, ON_FOLD, STRIP, ODD)
LAWN = Fabric("lawn", 1000, selvedge_mm=10)


def packing(fabric: Fabric, lay: LayName, pieces: tuple[Piece, ...] = PIECES) -> Packing:
    return Packing(cuts_for(pieces, fabric, lay), fabric, lay_of(fabric, lay))


def in_a_row(packed: Packing, apart_mm: float = 0.0, sense: int = 0) -> Layout:
    """Each cut in the last orientation of a direction, one behind the other, as low as it may."""
    x = 0
    xy, chosen = [], []
    for item in packed.instance.items:
        ways = enumerate(item.orientations)
        number = max(i for i, way in ways if way.direction == (sense if item.group >= 0 else 0))
        way = item.orientations[number]
        at = x + way.x_low
        xy.append((at, way.y_ranges[0][0]))
        chosen.append(number)
        x = at + way.x_reach + round(apart_mm * UNITS_PER_MM)
    return Layout(np.array(chosen, dtype=np.int64), np.array(xy, dtype=np.int64))


@pytest.mark.parametrize("lay", list(LayName))
@pytest.mark.parametrize("gap_mm", [0.0, 3.0])
@pytest.mark.parametrize("edge_gap_mm", [0.0, 5.0])
def test_a_row_of_pieces_verifies(lay: LayName, gap_mm: float, edge_gap_mm: float) -> None:
    fabric = Fabric("lawn", 1000, selvedge_mm=10, gap_mm=gap_mm, edge_gap_mm=edge_gap_mm)
    packed = packing(fabric, lay)
    marker = packed.marker(in_a_row(packed, apart_mm=gap_mm))
    assert verify(fabric, PIECES, marker) == ()


@pytest.mark.parametrize("faces", list(Faces))
@pytest.mark.parametrize("gap_mm", [0.0, 3.0])
def test_a_folded_marker_can_be_cut_open_as_it_lies(faces: Faces, gap_mm: float) -> None:
    """Folding is never shorter than cutting open: the open lay can always imitate the fold."""
    fabric = Fabric("lawn", 1000, selvedge_mm=10, faces=faces, gap_mm=gap_mm)
    folded = packing(fabric, LayName.LENGTHWISE_FOLD)
    marker = folded.marker(in_a_row(folded, apart_mm=gap_mm))
    opened = packing(fabric, LayName.OPEN)
    outlines = unfolded_outlines(marker, opened.lay.depth_mm / 2)
    layout = opened.layout_like(outlines, opened.senses(marker))
    assert layout is not None
    again = opened.marker(layout)
    assert verify(fabric, PIECES, again) == ()
    assert again.length_mm == pytest.approx(marker.length_mm, abs=0.001)


def test_a_garment_keeps_its_direction_when_its_fold_is_cut_open() -> None:
    """A triangle mirrored is the triangle turned end for end: the outline alone can't tell."""
    triangle = Piece("gore", "lawn", ((0, 0), (160, 0), (80, 130)), GRAIN, pair=True, garment="one")
    front = replace(ON_FOLD, garment="one")
    fabric = Fabric("lawn", 1000, nap=Nap.PER_GARMENT)
    for sense in (0, 1):
        folded = packing(fabric, LayName.LENGTHWISE_FOLD, (front, triangle))
        row = in_a_row(folded, sense=sense)
        marker = folded.marker(row)
        opened = packing(fabric, LayName.OPEN, (front, triangle))
        outlines = unfolded_outlines(marker, opened.lay.depth_mm / 2)
        layout = opened.layout_like(outlines, opened.senses(marker))
        assert layout is not None
        assert verify(fabric, (front, triangle), opened.marker(layout)) == ()


def test_an_outline_that_is_not_there_gives_no_layout() -> None:
    opened = packing(LAWN, LayName.OPEN)
    assert opened.layout_like([], {}) is None


def test_a_piece_as_wide_as_the_cloth_fits_exactly() -> None:
    wide = Piece("panel", "lawn", ((0, 0), (100, 0), (100, 980), (0, 980)), GRAIN)
    (item,) = packing(LAWN, LayName.OPEN, (wide,)).instance.items
    assert item.orientations[0].y_ranges == ((0, 0),)


def test_equal_cuts_share_a_kind_and_unequal_ones_do_not() -> None:
    kinds = [item.kind for item in packing(LAWN, LayName.OPEN).instance.items]
    assert len(set(kinds)) == 5, "left, right, front, band, patch"
    assert len(kinds) == 7


def test_markers_survive_the_way_there_and_back() -> None:
    packed = packing(LAWN, LayName.LENGTHWISE_FOLD)
    layout = in_a_row(packed)
    marker: Marker = packed.marker(layout)
    for placement, (x, y) in zip(marker.placements, layout.xy.tolist(), strict=True):
        assert (placement.x_mm, placement.y_mm) == (x / UNITS_PER_MM, y / UNITS_PER_MM)
