"""How deep a partial fold goes, reckoned by hand."""

from __future__ import annotations

import pytest

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import lay_of
from nesting.packing.depths import useful_depths
from nesting.packing.refusals import misfits
from nesting.rules.rules import cuts_for
from pieces.piece import Piece

GRAIN = ((0.0, 0.0), (10.0, 0.0))
PARTIAL = LayName.PARTIAL_FOLD


def block(name: str, long: float, wide: float, *, pair: bool = False, cut: int = 1) -> Piece:
    slanted = ((0.0, 0.0), (long, 0.0), (long - 5, wide), (0.0, wide))
    return Piece(name, "lawn", slanted, GRAIN, pair=pair, cut=cut)


def depths(fabric: Fabric, *pieces: Piece) -> tuple[float, ...]:
    return useful_depths(cuts_for(pieces, fabric, PARTIAL), fabric)


def test_a_pair_beside_a_wide_single_piece_leaves_one_depth() -> None:
    """A pair 20 cm wide and a single of 58 on 100 cm: fold in 21, one selvedge; 58 are left.

    100 less two layers of 21 are 58, less the far selvedge 57: 0.5 cm too few at 20.5.
    """
    cloth = Fabric("lawn", 1000, selvedge_mm=10)
    (only,) = depths(cloth, block("side", 300, 200, pair=True), block("back", 300, 570))
    assert only == pytest.approx(210)
    pieces = [block("side", 300, 200, pair=True), block("back", 300, 570.1)]
    cuts = cuts_for(pieces, cloth, PARTIAL)
    lay = lay_of(cloth, PARTIAL, useful_depths(cuts, cloth)[0])
    assert [cut.piece.name for cut in misfits(cuts, cloth, lay)] == ["side"]


def test_every_depth_leaves_room_for_every_piece() -> None:
    cloth = Fabric("lawn", 1400, selvedge_mm=8, gap_mm=3, edge_gap_mm=4, shrinkage_width=0.04)
    pieces = [
        block("side", 300, 200, pair=True),
        block("yoke", 150, 120, pair=True),
        block("pocket", 200, 150),
        block("flap", 100, 40, cut=3),
    ]
    cuts = cuts_for(pieces, cloth, PARTIAL)
    found = useful_depths(cuts, cloth)
    assert len(found) == 2
    for depth in found:
        assert misfits(cuts, cloth, lay_of(cloth, PARTIAL, depth)) == ()


def test_without_single_pieces_the_fold_may_go_to_the_middle() -> None:
    cloth = Fabric("lawn", 1000, selvedge_mm=10)
    found = depths(cloth, block("side", 300, 490, pair=True))
    assert found == (500.0,)
    assert lay_of(cloth, PARTIAL, 500.0).bands == lay_of(cloth, LayName.LENGTHWISE_FOLD).bands
