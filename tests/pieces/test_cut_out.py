"""A cut-out in the back: a band above it, the zip below, all lines smooth."""

import math

import pytest

from pieces.body.tables import SIZES
from pieces.check import check
from pieces.errors import OrderFault
from pieces.joins import kinks, unmet
from tests.pieces.wearers import by_name, garment, part


@pytest.mark.parametrize("size", ["2 years", "8 years", "misses 12", "bust 110 cm"])
@pytest.mark.parametrize("style", ["plain", "princess"])
def test_a_cut_out_lies_below_a_band(size, style):
    parts = part("bodice", cut_out=60.0, style=style, lining="cotton"), part("facing")
    draft = garment(SIZES[size], *parts, part("flared skirt"))
    assert check(draft.pieces) == ()
    assert draft.findings == ()
    assert [one.what for one in draft.seam_checks if not one.ok] == []
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert list(unmet(draft.pieces, draft.joins)) == []
    back = by_name(draft)["bodice back"]
    above, below = (seam.line for seam in back.seams if seam.name == "centre back")
    (cut,) = (seam.line for seam in back.seams if seam.name == "cut-out")
    assert math.dist(*above) == pytest.approx(30)
    assert math.dist(cut[0], cut[-1]) == pytest.approx(60)
    assert max(abs(y - cut[0][1]) for _, y in cut) == pytest.approx(24, abs=0.1)
    whole = sum(math.dist(*line) for line in (above, below)) + 60
    assert whole == pytest.approx(SIZES[size].back_waist)
    (zip_,) = (one for one in draft.notions if one.name == "zip")
    assert zip_.where.startswith("centre back, from the cut-out to")
    hooks = [one.where for one in draft.notions if one.name == "hook and eye"]
    assert hooks == ["above the zip", "at the neck"]


def test_a_cut_out_is_finished_by_a_lining():
    found = garment(SIZES["8 years"], part("bodice", cut_out=60.0)).findings
    assert [one.code for one in found] == ["edge-unfinished"]


@pytest.mark.parametrize(
    "options", [{"closing": "none"}, {"closing": "buttons"}, {"cut_out": 300.0}]
)
def test_a_cut_out_without_a_place_is_refused(options):
    with pytest.raises(OrderFault) as refused:
        garment(SIZES["8 years"], part("bodice", **{"cut_out": 60.0} | options))
    (fault,) = refused.value.faults
    assert fault.key.endswith(".cut_out")
