"""Seams walked, measured and compared, and notches set on the cut line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.curves import arc, length
from pieces.geometry import anticlockwise
from pieces.piece import Piece, Seam
from pieces.seams import compare, notch, seam_length, walk, whole_length

L = ((0.0, 0.0), (30.0, 0.0), (30.0, 40.0))


@given(st.floats(0, 1))
def test_walking_part_of_a_line_covers_that_part(share):
    line = arc((0.0, 0.0), 100.0, 0.0, 200.0)
    at = share * length(line) * 0.999999
    point, _ = walk(line, at)
    before = [p for p in line if length(line[: line.index(p) + 1]) < at]
    assert length((*before, point)) == pytest.approx(at, abs=1e-9)


def test_walking_past_the_end_is_refused():
    with pytest.raises(ValueError, match="ends"):
        walk(L, 70.1)


def test_lengths_over_all_parts():
    half = Piece("front", "cloth", L, L[:2], on_fold=L[:2], cut=3, seams=(Seam("side", L[1:]),))
    pair = Piece("back", "cloth", L, L[:2], cut=2, pair=True, seams=(Seam("side", L[1:]),))
    assert seam_length(half, "side") == 40
    assert whole_length([half], "side") == 40 * 3 * 2
    assert whole_length([half, pair], "side") == 40 * (6 + 4)
    with pytest.raises(KeyError):
        seam_length(half, "waist")


def test_seams_meet_within_half_a_millimetre():
    assert compare("side", "g", 100.0, 100.5).ok
    assert not compare("side", "g", 100.0, 100.51).ok
    assert compare("side", "g", 100.0, 99.0).difference_mm == 1


def test_notch_lies_on_the_cut_line_opposite_its_point():
    cut = ((-10.0, -10.0), (110.0, -10.0), (110.0, 60.0), (-10.0, 60.0))
    found = notch(((0.0, 0.0), (100.0, 0.0)), 25.0, cut)
    assert found.at == pytest.approx((25.0, -10.0))
    assert found.inward_deg == pytest.approx(90.0)
    upright = notch(((100.0, 0.0), (100.0, 50.0)), 20.0, cut)
    assert upright.at == pytest.approx((110.0, 20.0))
    assert upright.inward_deg == pytest.approx(180.0)


def test_notch_without_allowance_is_on_the_sewing_line_itself():
    cut = anticlockwise(((0.0, 0.0), (100.0, 0.0), (100.0, 50.0)))
    assert notch(((0.0, 0.0), (100.0, 0.0)), 40.0, cut).at == pytest.approx((40.0, 0.0))
