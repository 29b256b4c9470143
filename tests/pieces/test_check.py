"""Every code of `pieces.check`, each raised by a piece that deserves it and by no other."""

from dataclasses import replace

import pytest

from pieces.check import check, faults
from pieces.piece import Notch, Piece

GOOD = Piece(
    name="pocket",
    fabric="cotton",
    outline=((0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (0.0, 100.0)),
    grain=((20.0, 50.0), (100.0, 50.0)),
    garment="Ada's dress",
)
FOLDED = replace(GOOD, on_fold=((0.0, 0.0), (120.0, 0.0)))
INSIDE = ((10.0, 10.0), (110.0, 10.0), (110.0, 90.0), (10.0, 90.0))
HOOK = ((0.0, 0.0), (120.0, 0.0), (120.0, -50.0), (200.0, -50.0), (200.0, 100.0), (0.0, 100.0))

CUTTABLE = {
    "sliver": replace(GOOD, outline=((0.0, 0.0), (120.0, 0.0), (120.0, 5.0), (0.0, 5.0))),
    "out-of-size": replace(
        GOOD, outline=((0.0, 0.0), (1e4 + 1, 0.0), (1e4 + 1, 90.0), (0.0, 90.0))
    ),
    "grain-off-fold": replace(FOLDED, grain=((20.0, 50.0), (100.0, 60.0))),
    "sewing-line-outside": replace(GOOD, sewing_line=((-5.0, 10.0), *INSIDE[1:])),
    "notch-off-line": replace(GOOD, notches=(Notch((60.0, 1.0), 90.0),)),
}
UNCUTTABLE = {
    "not-a-shape": replace(GOOD, outline=GOOD.outline[:2]),
    "no-area": replace(GOOD, outline=((0.0, 0.0), (50.0, 0.0), (100.0, 0.0))),
    "self-crossing": replace(GOOD, outline=(*GOOD.outline[:2], *GOOD.outline[:1:-1])),
    "grain-without-length": replace(GOOD, grain=((5.0, 5.0), (5.0, 5.0))),
    "fold-not-an-edge": replace(GOOD, on_fold=((0.0, 0.0), (120.0, 100.0))),
    "pair-on-fold": replace(FOLDED, pair=True),
}


def codes(*pieces):
    return [finding.code for finding in check(pieces)]


def test_good_pieces_are_passed():
    assert codes(GOOD, replace(FOLDED, name="yoke", sewing_line=INSIDE)) == []
    assert faults(GOOD, "order.toml", "piece[0]") == ()


@pytest.mark.parametrize(("code", "piece"), (CUTTABLE | UNCUTTABLE).items())
def test_each_piece_has_its_own_finding(code, piece):
    assert codes(piece) == [code]
    message = check([piece])[0].message
    assert message.startswith("Ada's dress, pocket: ")


@pytest.mark.parametrize(("code", "piece"), UNCUTTABLE.items())
def test_what_cannot_be_cut_is_a_fault_with_its_place_and_a_remedy(code, piece):
    (fault,) = faults(piece, "order.toml", "piece[0]")
    assert (fault.where, fault.key) == ("order.toml", "piece[0]")
    assert fault.remedy


@pytest.mark.parametrize("piece", CUTTABLE.values())
def test_what_is_only_odd_is_no_fault(piece):
    assert faults(piece, "", "") == ()


def test_a_corner_that_is_no_number_is_not_a_shape():
    assert codes(replace(GOOD, outline=((0.0, 0.0), (float("nan"), 0.0), (1.0, 1.0)))) == [
        "not-a-shape"
    ]


def test_a_piece_on_both_sides_of_its_fold_is_refused():
    assert codes(replace(FOLDED, outline=HOOK)) == ["fold-not-an-edge"]


def test_names_are_told_apart_by_garment():
    other = replace(GOOD, garment="Bea's dress")
    assert codes(GOOD, other) == []
    assert codes(GOOD, GOOD, other) == ["duplicate-name"]


def test_grain_square_to_the_fold_is_all_right():
    assert codes(replace(FOLDED, grain=((50.0, 20.0), (50.0, 80.0)))) == []


@pytest.mark.parametrize("points", [1, 2])
def test_a_sewing_line_of_a_damaged_drawing_may_be_next_to_nothing(points: int) -> None:
    assert faults(replace(GOOD, sewing_line=INSIDE[:points]), "a.dxf", "piece") == ()
