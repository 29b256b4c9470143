"""Millimetres to the solver's units and back; folded markers cut open."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from nesting.fabric.fabric import Fabric, Faces, LayName, Nap
from nesting.fabric.lay import lay_of
from nesting.fabric.marker import Marker
from nesting.fabric.unfold import carried_over, opened
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.rules.rules import cuts_for
from nesting.solver.instance import Layout
from nesting.verify.judge import verify
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


DEPTH_MM = {LayName.PARTIAL_FOLD: 250.0}


def packing(fabric: Fabric, lay: LayName, pieces: tuple[Piece, ...] = PIECES) -> Packing:
    cloth = lay_of(fabric, lay, DEPTH_MM.get(lay, 0.0))
    return Packing(cuts_for(pieces, fabric, lay), fabric, cloth)


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


LAYS_AND_NAPS = [
    (lay, nap)
    for lay in LayName
    for nap in Nap
    if lay is not LayName.QUARTER_FOLD or nap is Nap.NONE
]


@pytest.mark.parametrize(("lay", "nap"), LAYS_AND_NAPS)
@pytest.mark.parametrize("gap_mm", [0.0, 3.0])
@pytest.mark.parametrize("edge_gap_mm", [0.0, 1.0, 5.0])
def test_a_row_of_pieces_verifies(
    lay: LayName, nap: Nap, gap_mm: float, edge_gap_mm: float
) -> None:
    fabric = Fabric("lawn", 1000, selvedge_mm=10, nap=nap, gap_mm=gap_mm, edge_gap_mm=edge_gap_mm)
    packed = packing(fabric, lay)
    marker = packed.marker(in_a_row(packed, apart_mm=gap_mm))
    assert verify(fabric, PIECES, marker) == ()


@pytest.mark.parametrize(("lay", "nap"), LAYS_AND_NAPS)
@pytest.mark.parametrize("faces", list(Faces))
@pytest.mark.parametrize("gap_mm", [0.0, 3.0])
def test_any_marker_can_be_cut_open_as_it_lies(
    lay: LayName, nap: Nap, faces: Faces, gap_mm: float
) -> None:
    """Folding is never shorter than cutting open: the open lay can always imitate the fold."""
    fabric = Fabric(
        "lawn", 1000, selvedge_mm=10, nap=nap, faces=faces, gap_mm=gap_mm, edge_gap_mm=1.0
    )
    folded = packing(fabric, lay)
    marker = folded.marker(in_a_row(folded, apart_mm=gap_mm))
    open_cloth = packing(fabric, LayName.OPEN)
    layout = open_cloth.layout_like(opened(marker, folded.lay), open_cloth.senses(marker))
    assert layout is not None
    again = open_cloth.marker(layout)
    assert verify(fabric, PIECES, again) == ()
    assert again.length_mm <= marker.length_mm + 0.001


@pytest.mark.parametrize(("lay", "nap"), LAYS_AND_NAPS)
def test_a_marker_can_be_cut_from_wider_cloth_as_it_lies(lay: LayName, nap: Nap) -> None:
    narrow = Fabric("lawn", 1000, selvedge_mm=10, nap=nap, gap_mm=2.0)
    wide = replace(narrow, width_mm=1013.0)
    before, after = packing(narrow, lay), packing(wide, lay)
    marker = before.marker(in_a_row(before, apart_mm=2.0))
    layout = after.layout_like(carried_over(marker, before.lay, after.lay), {})
    assert layout is not None
    again = after.marker(layout)
    assert verify(wide, PIECES, again) == ()
    assert again.length_mm == pytest.approx(marker.length_mm, abs=0.001)


def test_a_plain_fold_that_leaves_room_is_a_partial_fold_too() -> None:
    pieces = (LEFT_AND_RIGHT, ON_FOLD)
    plain, partial = (
        packing(LAWN, lay, pieces) for lay in (LayName.LENGTHWISE_FOLD, LayName.PARTIAL_FOLD)
    )
    marker = plain.marker(in_a_row(plain))
    layout = partial.layout_like(carried_over(marker, plain.lay, partial.lay), {})
    assert layout is not None
    assert verify(LAWN, pieces, partial.marker(layout)) == ()


def test_both_folds_of_a_double_fold_are_used_and_the_middle_is_not_crossed() -> None:
    """Two fronts of 18 cm on a cloth of 100 cm less selvedges: 24 cm to the middle from each."""
    (item, _) = packing(LAWN, LayName.DOUBLE_FOLD, (replace(ON_FOLD, cut=2),)).instance.items
    fixed = {o.y_ranges for o in item.orientations}
    assert fixed == {((0, 0),), ((5_000_000, 5_000_000),)}
    tall = Piece("panel", "lawn", ((0, 0), (10, 0), (10, 240), (0, 240)), GRAIN, pair=True)
    (item,) = packing(LAWN, LayName.DOUBLE_FOLD, (tall,)).instance.items
    assert item.orientations[0].y_ranges == ((0, 0), (2_600_000, 2_600_000))
    taller = replace(tall, outline=((0, 0), (10, 0), (10, 240.1), (0, 240.1)))
    (item,) = packing(LAWN, LayName.DOUBLE_FOLD, (taller,)).instance.items
    assert item.orientations == ()


def test_a_garment_keeps_its_direction_when_its_fold_is_cut_open() -> None:
    """A triangle mirrored is the triangle turned end for end: the outline alone can't tell."""
    triangle = Piece("gore", "lawn", ((0, 0), (160, 0), (80, 130)), GRAIN, pair=True, garment="one")
    front = replace(ON_FOLD, garment="one")
    fabric = Fabric("lawn", 1000, nap=Nap.PER_GARMENT)
    for sense in (0, 1):
        folded = packing(fabric, LayName.LENGTHWISE_FOLD, (front, triangle))
        marker = folded.marker(in_a_row(folded, sense=sense))
        flat = packing(fabric, LayName.OPEN, (front, triangle))
        layout = flat.layout_like(opened(marker, folded.lay), flat.senses(marker))
        assert layout is not None
        assert verify(fabric, (front, triangle), flat.marker(layout)) == ()


def test_an_outline_that_is_not_there_gives_no_layout() -> None:
    assert packing(LAWN, LayName.OPEN).layout_like([], {}) is None


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
