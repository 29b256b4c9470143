"""The verifier: hand-made markers pass, and each single mistake is found under its code."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from nesting.fabric.fabric import LayName
from nesting.fabric.marker import Marker
from nesting.verify.judge import require_valid, verify
from pieces.errors import OwnFailure
from pieces.piece import Piece
from tests.nesting.rules.rules_shapes import HALF_FRONT, STRIP, WHOLE_FRONT
from tests.nesting.rules.rules_table import FOLD, OPEN, PARTIAL_FOLD
from tests.nesting.verify.hand_made import (
    BAND,
    CLOTH,
    FRONT,
    PIECES,
    SLEEVE,
    changed,
    codes,
    folded_marker,
    open_marker,
    placed,
    shifted,
)


def test_the_hand_made_markers_pass() -> None:
    assert verify(CLOTH, PIECES, folded_marker()) == ()
    assert verify(CLOTH, PIECES, open_marker()) == ()
    require_valid(CLOTH, PIECES, folded_marker())


@pytest.mark.parametrize(
    ("index", "shift", "code"),
    [
        (1, (-0.01, 0.0), "overlap"),
        (2, (0.0, -0.01), "overlap"),
        (0, (0.0, 0.01), "off-fold"),
        (0, (0.0, -0.01), "off-fold"),
        (1, (0.0, -0.01), "outside-band"),
        (2, (0.0, 35.01), "outside-band"),
        (2, (-0.01, 0.0), "beyond-end"),
        (2, (0.01, 0.0), "beyond-length"),
        (1, (50.0, 0.0), "beyond-length"),
    ],
)
def test_a_shift_is_found(index: int, shift: tuple[float, float], code: str) -> None:
    marker = folded_marker()
    bad = changed(marker, index, shifted(marker.placements[index], *shift))
    assert code in codes(CLOTH, PIECES, bad)


@pytest.mark.parametrize("shift", [(0.001, 0.0), (-0.001, 0.0), (0.0, 0.001), (0.0, -0.001)])
@pytest.mark.parametrize("index", range(5))
def test_rounding_is_forgiven(index: int, shift: tuple[float, float]) -> None:
    marker = open_marker()
    nudged = changed(marker, index, shifted(marker.placements[index], *shift))
    assert verify(CLOTH, PIECES, nudged) == ()


def test_an_outline_that_is_not_the_pieces_own_is_found() -> None:
    marker = open_marker()
    band = marker.placements[3]
    for bad in (
        replace(band, x_mm=band.x_mm + 0.01),
        replace(band, turn_deg=0.01),
        replace(band, outline_mm=(*band.outline_mm[:2], (200.0, 119.9), band.outline_mm[3])),
    ):
        assert "shape" in codes(CLOTH, PIECES, changed(marker, 3, bad))
    sleeve = marker.placements[1]
    assert "shape" in codes(CLOTH, PIECES, changed(marker, 1, replace(sleeve, mirrored=True)))


def test_the_same_corners_joined_otherwise_are_another_shape() -> None:
    square = ((0, 0), (100, 0), (100, 100), (0, 100), (50, 50))
    notched_below = ((0, 0), (50, 50), (100, 0), (100, 100), (0, 100))
    piece = Piece("gusset", "sateen", square, ((10, 10), (50, 10)))
    bad = placed(piece, notched_below, (0, 0))
    assert codes(CLOTH, [piece], Marker("sateen", OPEN, 100, (bad,))) == {"shape"}


def test_a_smaller_piece_is_found_by_its_area_too() -> None:
    marker = open_marker()
    band = marker.placements[3]
    low = tuple((x, y if y < 110 else 119.0) for x, y in band.outline_mm)
    assert {"shape", "area"} <= codes(
        CLOTH, PIECES, changed(marker, 3, replace(band, outline_mm=low))
    )


def test_unreadable_placements_are_found() -> None:
    marker = open_marker()
    band = marker.placements[3]
    bow_tie = ((0.0, 100.0), (200.0, 120.0), (200.0, 100.0), (0.0, 120.0))
    for bad, code in (
        (replace(band, x_mm=math.nan), "not-finite"),
        (replace(band, outline_mm=((math.inf, 0.0), *band.outline_mm[1:])), "not-finite"),
        (replace(band, outline_mm=bow_tie), "self-crossing"),
        (replace(band, outline_mm=band.outline_mm[:2]), "self-crossing"),
        (replace(band, piece="pocket"), "unknown-piece"),
        (replace(band, garment="Bea"), "unknown-piece"),
    ):
        assert code in codes(CLOTH, PIECES, changed(marker, 3, bad))
    assert "not-finite" in codes(CLOTH, PIECES, replace(marker, length_mm=math.nan))


def test_what_is_wrong_with_the_whole_is_found() -> None:
    marker = open_marker()
    assert codes(CLOTH, PIECES, replace(marker, fabric="net")) == {"wrong-fabric"}
    other = (SLEEVE, FRONT, replace(BAND, fabric="net"))
    assert codes(CLOTH, other, marker) == {"wrong-fabric"}
    assert "duplicate-piece" in codes(CLOTH, (*PIECES, BAND), marker)
    assert "empty" in codes(CLOTH, PIECES, replace(marker, placements=()))
    assert codes(replace(CLOTH, lays=(FOLD,)), PIECES, marker) == {"lay"}
    assert codes(CLOTH, PIECES, replace(marker, length_mm=200.02)) == {"length"}
    assert codes(CLOTH, PIECES, replace(marker, length_mm=200.009)) == set()
    assert codes(CLOTH, PIECES, replace(marker, length_mm=199.99)) == {"beyond-length"}
    twice = replace(marker, placements=(*marker.placements, marker.placements[0]))
    assert {"overlap", "count", "copies", "area"} <= codes(CLOTH, PIECES, twice)
    band = marker.placements[3]
    assert "section" in codes(CLOTH, PIECES, changed(marker, 3, replace(band, section="end")))


def test_the_cloth_is_counted_after_selvedge_and_wash() -> None:
    """The folded marker is 70 mm deep: 150 mm less two selvedges of 5, in half."""
    narrow = replace(CLOTH, width_mm=150.0)
    assert verify(narrow, PIECES, folded_marker()) == ()
    assert codes(replace(narrow, width_mm=149.9), PIECES, folded_marker()) == {"outside-band"}
    assert codes(replace(narrow, selvedge_mm=5.1), PIECES, folded_marker()) == {"outside-band"}
    washed = replace(narrow, shrinkage_width=0.001)
    assert codes(washed, PIECES, folded_marker()) == {"outside-band"}


@pytest.mark.parametrize(
    ("lay", "depth_mm", "is_found"),
    [(PARTIAL_FOLD, 99.0, False), (PARTIAL_FOLD, 99.1, True), (PARTIAL_FOLD, 0.0, True),
     (FOLD, 0.0, False), (FOLD, 1.0, True)],
)  # fmt: skip
def test_a_fold_takes_no_more_than_half_of_the_washed_cloth(
    lay: LayName, depth_mm: float, is_found: bool
) -> None:
    """A tenth of 220 mm goes in the wash: of 198 mm half may be folded in."""
    cloth = replace(CLOTH, shrinkage_width=0.1)
    marker = replace(folded_marker(), lay=lay, fold_depth_mm=depth_mm)
    assert ("fold-depth" in codes(cloth, PIECES, marker)) is is_found


def test_gaps_are_kept_between_pieces_and_to_edges_but_not_to_a_fold() -> None:
    cloth = replace(CLOTH, gap_mm=4.0, edge_gap_mm=6.0)
    marker = folded_marker(4.0, 6.0)
    assert verify(cloth, PIECES, marker) == ()
    for index, shift, code in (
        (2, (0.0, -0.01), "gap"),
        (1, (0.0, -0.01), "gap"),  # its own copy across the fold is its neighbour
        (0, (-0.01, 0.0), "edge-gap"),
        (2, (0.01, 0.0), "edge-gap"),
        (2, (0.0, 25.01), "edge-gap"),
        (0, (0.0, 0.01), "off-fold"),
    ):
        bad = changed(marker, index, shifted(marker.placements[index], *shift))
        assert code in codes(cloth, PIECES, bad)
    assert codes(cloth, PIECES, replace(marker, length_mm=211.99)) == {"edge-gap"}


def test_a_piece_on_the_fold_is_never_opened_out_there_nor_folded_on_open_cloth() -> None:
    marker = folded_marker()
    opened = placed(FRONT, WHOLE_FRONT, (0, 0), gives=(1, 0, 2), unfolded=True)
    assert "fold" in codes(CLOTH, PIECES, changed(marker, 0, opened))
    beside = replace(marker.placements[0], on_fold=False)
    assert "fold" in codes(CLOTH, PIECES, changed(marker, 0, beside))
    single = open_marker()
    half = placed(FRONT, HALF_FRONT, (0, 0), on_fold=True)
    assert "fold" in codes(CLOTH, PIECES, changed(single, 0, half))


def test_a_spike_that_pokes_in_is_an_overlap() -> None:
    """Its area is next to nothing: 0.01 mm deep, a thousandth of that wide."""
    spike = Piece("gore", "sateen", ((0, 0), (100, 5), (0, 10)), ((10, 5), (50, 5)))
    block = Piece("block", "sateen", ((0, 0), (50, 0), (50, 50), (0, 50)), ((10, 10), (50, 10)))

    def marker(into_mm: float) -> Marker:
        tip = placed(spike, spike.outline, (0, 20))
        return Marker(
            "sateen", OPEN, 150 - into_mm, (tip, placed(block, block.outline, (100 - into_mm, 0)))
        )

    assert codes(CLOTH, (spike, block), marker(0.0)) == set()
    assert codes(CLOTH, (spike, block), marker(0.01)) == {"overlap"}


def test_a_heap_of_overlaps_is_told_briefly() -> None:
    """Nine bands on one spot are 36 overlapping pairs: twenty are measured, the rest counted."""
    piece = replace(BAND, cut=9)
    heap = tuple(placed(piece, STRIP, (0, 0), copy=copy) for copy in range(1, 10))
    found = verify(CLOTH, [piece], Marker("sateen", OPEN, 200.0, heap))
    assert [finding.code for finding in found] == ["overlap"] * 21
    assert "overlap by 10.00" in found[0].message
    assert found[-1].message.startswith("16 further pairs")


def test_messages_name_piece_garment_and_both_numbers() -> None:
    marker = folded_marker()
    bad = changed(marker, 2, shifted(marker.placements[2], 0.0, -0.25))
    (finding,) = verify(CLOTH, PIECES, bad)
    for words in ("band of Ada, copy 1", "front of Ada, copy 1", "0.250 mm", "0.002 mm"):
        assert words in finding.message


def test_require_valid_owns_up_and_lists_all() -> None:
    marker = replace(open_marker(), length_mm=190.0)
    missing = replace(marker, placements=marker.placements[:-1])
    with pytest.raises(OwnFailure, match="our mistake, not yours") as raised:
        require_valid(CLOTH, PIECES, missing)
    for finding in verify(CLOTH, PIECES, missing):
        assert finding.message in str(raised.value)
    assert "beyond-length" in str(raised.value)
    assert "count" in str(raised.value)
