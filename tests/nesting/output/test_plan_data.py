"""plan.json: its keys, and that its numbers hang together."""

import json
import math

import pytest
from shapely.geometry import Polygon

from nesting.output.files.data import plan_data
from tests.nesting.output.sample_plan import sample_plan

PLAN_KEYS = {
    "format", "order", "seed", "seconds", "totals", "fabrics", "pieces", "seam_checks",
    "findings", "cautions", "notions",
}  # fmt: skip
FABRIC_KEYS = {
    "name", "lay", "nap", "faces", "gap_mm", "edge_gap_mm", "tilt_deg", "shrinkage", "width_mm",
    "usable_width_mm", "length_mm", "table_length_mm", "least_possible_mm", "purchase",
    "proven_least", "waste_percent", "unused_percent_of_purchase", "cut_outlines", "cut_metres",
    "remnants", "flaws", "lays_compared", "placements", "files",
}  # fmt: skip
PURCHASE_KEYS = {"length_mm", "text", "cost", "steps"}
LAY_KEYS = {
    "lay", "width_mm", "length_mm", "purchase_mm", "cost", "waste_percent", "cut_outlines",
}  # fmt: skip
PLACEMENT_KEYS = {
    "garment", "piece", "copy", "yields", "spare", "layers", "section", "band", "on_fold",
    "turn_deg", "mirrored", "x_mm", "y_mm", "grain_deg", "outline_mm",
}  # fmt: skip
PIECE_KEYS = {
    "garment", "piece", "fabric", "cut", "pair", "on_fold", "area_mm2", "outline_mm", "seams",
}  # fmt: skip
CHECK_KEYS = {"what", "garment", "this_mm", "that_mm", "difference_mm", "allowed_mm", "ok"}


@pytest.fixture(scope="module")
def data():
    plan = sample_plan()
    kinds = ("png", "dxf", "svg", "pdf")
    files = {e.fabric.name: {kind: f"x.{kind}" for kind in kinds} for e in plan.fabrics}
    return json.loads(json.dumps(plan_data(plan, files), allow_nan=False))


def test_holds_every_promised_key(data):
    assert data.keys() >= PLAN_KEYS
    for fabric in data["fabrics"]:
        assert fabric.keys() >= FABRIC_KEYS
        assert fabric["purchase"].keys() >= PURCHASE_KEYS
        assert fabric["files"].keys() == {"png", "dxf", "svg", "pdf"}
        assert all(lay.keys() >= LAY_KEYS for lay in fabric["lays_compared"])
        assert all(placed.keys() >= PLACEMENT_KEYS for placed in fabric["placements"])
    assert all(piece.keys() >= PIECE_KEYS for piece in data["pieces"])
    assert all(check.keys() >= CHECK_KEYS for check in data["seam_checks"])
    assert all(finding.keys() == {"code", "message", "key"} for finding in data["findings"])


def test_money_and_what_is_not_yet_known(data):
    satin, tulle = data["fabrics"]
    assert data["totals"] == {"EUR": 11.06}
    assert satin["purchase"]["cost"] == 11.06
    assert tulle["purchase"]["cost"] is None
    assert (satin["flaws"], satin["tilt_deg"]) == ([], 0)


def test_shrinkage_is_in_percent_as_in_the_order():
    plan = sample_plan()
    assert plan.fabrics[0].fabric.shrinkage_length == 0.01
    data = plan_data(plan, {entry.fabric.name: {} for entry in plan.fabrics})
    assert data["fabrics"][0]["shrinkage"] == {"length": 1.0, "width": 0.0}


def test_a_placement_is_its_piece_mirrored_then_turned_then_moved(data):
    for fabric in data["fabrics"]:
        of = {
            (p["garment"], p["piece"]): p for p in data["pieces"] if p["fabric"] == fabric["name"]
        }
        for placed in fabric["placements"]:
            piece = of[placed["garment"], placed["piece"]]
            if placed["unfolded"]:
                assert Polygon(placed["outline_mm"]).area == pytest.approx(2 * piece["area_mm2"])
                continue
            cos, sin = (f(math.radians(placed["turn_deg"])) for f in (math.cos, math.sin))
            for (x, y), (px, py) in zip(piece["outline_mm"], placed["outline_mm"], strict=True):
                v = -y if placed["mirrored"] else y
                at = (placed["x_mm"] + x * cos - v * sin, placed["y_mm"] + x * sin + v * cos)
                assert at == pytest.approx((px, py), abs=1e-5)


def test_area_is_that_of_the_outline_given(data):
    for piece in data["pieces"]:
        assert piece["area_mm2"] == pytest.approx(Polygon(piece["outline_mm"]).area)
