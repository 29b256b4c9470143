"""Facings, collars, bindings, sashes, bows, casings, pockets."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.check import check
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.seams import seam_length, seam_line, whole_length
from tests.examples import examples
from tests.pieces.test_blocks import sound
from tests.pieces.wearers import bodies, by_name, garment, part, without_notions

GIRL = SIZES["4 years"]
NECKS = ("round", "V", "square", "boat")


def refusals(body, *parts):
    with pytest.raises(OrderFault) as caught:
        garment(body, *parts)
    return [fault.key for fault in caught.value.faults]


# ---- facings -----------------------------------------------------------------------------


@settings(max_examples=examples(60), deadline=None)
@given(bodies(), st.sampled_from(NECKS), st.sampled_from(["zip", "front opening"]), st.booleans())
def test_facings_meet_their_edges(body, neck, closing, lined):
    bodice = part("bodice", neck=neck, closing=closing, sleeveless=True)
    lining = "cotton" if lined else None
    facings = part("facing", lining=lining), part("facing", lining=lining, edge="armhole")
    draft = garment(body, bodice, *facings)
    sound(draft)
    pieces = by_name(draft)
    for edge in ("neck", "armhole"):
        for side in ("front", "back"):
            facing = seam_length(pieces[f"{edge} facing {side}"], edge)
            assert facing == pytest.approx(seam_length(pieces[f"bodice {side}"], edge))


@pytest.mark.parametrize("neck", NECKS)
@pytest.mark.parametrize("edge", ["neck", "armhole"])
def test_facing_is_as_deep_all_along(neck, edge):
    """But within 3 mm at its ends, where front and back must reach equally far."""
    bodice = part("bodice", neck=neck, sleeveless=True)
    pieces = by_name(garment(GIRL, bodice, part("facing", edge=edge, depth=20.0)))
    for side in ("front", "back"):
        facing = pieces[f"{edge} facing {side}"]
        inner = LineString(seam_line(facing, "inner edge"))
        along = LineString(seam_line(facing, edge))
        away = [inner.interpolate(i / 20, normalized=True).distance(along) for i in range(1, 20)]
        assert away == pytest.approx([20.0] * 19, abs=3.0)
        assert away[6:13] == pytest.approx([20.0] * 7, abs=0.2)


def test_facings_open_and_fold_as_the_bodice_does():
    bodice = part("bodice", closing="zip", sleeveless=True)
    pieces = by_name(garment(GIRL, bodice, part("facing"), part("facing", edge="armhole")))
    assert pieces["neck facing front"].on_fold is not None
    assert pieces["neck facing back"].pair
    assert pieces["armhole facing front"].pair
    assert pieces["armhole facing back"].pair


def test_facing_without_bodice_or_room():
    assert refusals(GIRL, part("facing")) == ["garment[0].part[0].draft"]
    bodice = part("bodice", sleeveless=True)
    assert refusals(GIRL, bodice, part("facing", at=1, depth=120.0)) == ["garment[0].part[1].depth"]


# ---- collars -----------------------------------------------------------------------------


@settings(max_examples=examples(40), deadline=None)
@given(
    bodies(),
    st.sampled_from(["flat", "stand"]),
    st.sampled_from(["zip", "front opening"]),
    st.floats(15, 45),
)
def test_collar_is_as_long_as_the_neck(body, style, closing, depth):
    collar = part("collar", style=style, depth=depth)
    draft = garment(body, part("bodice", closing=closing), collar)
    sound(draft)
    pieces = by_name(draft)
    half = sum(seam_length(pieces[f"bodice {side}"], "neck") for side in ("front", "back"))
    assert seam_length(pieces["collar"], "neck") == pytest.approx(half, abs=0.1)
    # Upper and under collar; halves where the bodice opens behind.
    assert pieces["collar"].parts == (4 if closing == "zip" else 2)
    assert (pieces["collar"].on_fold is None) == (closing == "zip")


def test_flat_collar_is_so_deep_behind_and_in_the_middle():
    collar = by_name(garment(GIRL, part("bodice"), part("collar", depth=45.0)))["collar"]
    assert seam_length(collar, "centre back") == pytest.approx(45.0)
    neck = LineString(seam_line(collar, "neck"))
    outer = LineString(seam_line(collar, "outer edge"))
    assert outer.interpolate(0.5, normalized=True).distance(neck) == pytest.approx(45, abs=0.3)


def test_overlap_shortens_the_outer_edge_alone():
    flat, swung = (
        by_name(garment(GIRL, part("bodice"), part("collar", overlap=overlap)))["collar"]
        for overlap in (0.0, 25.0)
    )
    assert seam_length(flat, "neck") == pytest.approx(seam_length(swung, "neck"))
    assert seam_length(flat, "outer edge") > seam_length(swung, "outer edge") + 5


def test_stand_rises_to_its_ends():
    collar = by_name(garment(GIRL, part("bodice"), part("collar", style="stand")))["collar"]
    assert seam_length(collar, "top") < seam_length(collar, "neck")
    assert seam_length(collar, "front end") == pytest.approx(25.0)


def test_lined_collar_has_its_under_collar_of_lining():
    pieces = by_name(garment(GIRL, part("bodice"), part("collar", lining="cotton")))
    assert (pieces["collar"].cut, pieces["collar lining"].cut) == (1, 1)
    assert pieces["collar lining"].fabric == "cotton"


@pytest.mark.parametrize("neck", ["V", "square", "boat"])
def test_collar_asks_for_a_round_neck(neck):
    bodice = part("bodice", neck=neck)
    assert refusals(GIRL, bodice, part("collar", at=1)) == ["garment[0].part[1].draft"]


# ---- bias binding ------------------------------------------------------------------------


@settings(max_examples=examples(60), deadline=None)
@given(st.floats(100, 9000), st.floats(5, 20), st.sampled_from(["double", "French"]))
def test_bias_strips_lie_on_the_bias_and_make_the_length(long, width, fold):
    binding = part("bias binding", length=long, width=width, fold=fold, strip_length=900.0)
    draft = garment(Body(), binding)
    assert check(draft.pieces) == ()
    (piece,) = draft.pieces
    assert whole_length([piece], "edge") == pytest.approx(long + 40)
    (ax, ay), (bx, by) = seam_line(piece, "edge")
    assert abs(math.degrees(math.atan2(by - ay, bx - ax))) % 90 == pytest.approx(45)
    cut_mm = width * {"double": 4, "French": 6}[fold]
    each = (long + 40) / piece.cut
    # Across its slanting ends an allowance of 1 cm takes 1.41 of the strip's length.
    assert each + 20 * math.sqrt(2) <= 900 + 1e-6
    corners = zip(piece.outline, piece.outline[1:] + piece.outline[:1], strict=True)
    assert max(math.dist(*ends) for ends in corners) <= 900 + 1e-6
    assert area(piece.sewing_line) == pytest.approx(each * cut_mm)
    # Nothing is added along its edges: the cut line is no wider than the strip.
    edge = LineString([(ax, ay), (bx, by)])
    far = max(edge.distance(LineString([p, p])) for p in seam_line(piece, "other edge"))
    assert far >= cut_mm - 1e-6
    joins = 2 * 10 * cut_mm * math.sqrt(2)
    assert Polygon(piece.outline).area == pytest.approx(each * cut_mm + joins)


@settings(max_examples=examples(60), deadline=None)
@given(st.floats(100, 9000), st.floats(5, 20), st.floats(0, 12))
def test_bias_square_yields_what_is_bound(long, width, seam):
    binding = part("bias binding", length=long, width=width, method="square", seam=seam)
    (piece,) = garment(Body(), binding).pieces
    side = bounds(piece.outline)[2]
    assert side % 10 == pytest.approx(0, abs=1e-6)
    # Two seams, each taking an allowance from both edges along a side's length.
    assert (side - 4 * seam) * side >= (long + 40) * 4 * width - 1e-3
    smaller = side - 10
    assert (smaller - 4 * seam) * smaller < (long + 40) * 4 * width + 1e-3
    assert len(piece.drawn_lines) == 1


def test_bindings_go_round_what_they_are_told():
    bodice, skirt = part("bodice", sleeveless=True), part("flared skirt", length=300.0)
    bindings = [part("bias binding", edge=edge) for edge in ("neck", "armhole", "hem")]
    draft = garment(GIRL, bodice, skirt, *bindings)
    sound(without_notions(draft))
    pieces = by_name(draft)
    halves = [pieces["bodice front"], pieces["bodice back"]]
    skirts = [pieces["skirt front"], pieces["skirt back"]]
    for edge, whole in (
        ("neck", whole_length(halves, "neck") + 40),
        ("armhole", whole_length(halves, "armhole") + 80),
        ("hem", whole_length(skirts, "hem") + 40),
    ):
        assert whole_length([pieces[f"{edge} binding"]], "edge") == pytest.approx(whole)
    # A bound hem is not turned up.
    left, _, right, _ = bounds(pieces["skirt front"].outline)
    plain = by_name(garment(GIRL, bodice, skirt))["skirt front"]
    assert bounds(plain.outline)[2] - (right - left) == pytest.approx(25 - 10, abs=0.1)


def test_binding_of_nothing():
    assert refusals(GIRL, part("bias binding")) == ["garment[0].part[0].draft"]
    assert refusals(GIRL, part("bias binding", edge="hem")) == ["garment[0].part[0].edge"]


# ---- sash, bow, casing, pockets ----------------------------------------------------------


def test_sash_is_the_waist_and_both_ends():
    draft = garment(GIRL, part("bodice"), part("sash", width=80.0, ends=300.0, knot=200.0))
    sash = by_name(draft)["sash"]
    assert whole_length([sash], "edge") == pytest.approx(GIRL.waist + 40 + 2 * 500)
    assert bounds(sash.outline)[2] == pytest.approx(2 * 80 + 2 * 10)
    sound(draft)


def test_bow_has_loop_tails_and_knot():
    pieces = by_name(garment(Body(), part("bow", width=120.0, knot=25.0)))
    assert {name: piece.parts for name, piece in pieces.items()} == {
        "bow loop": 1,
        "bow tail": 2,
        "bow knot": 1,
    }
    loop, tail, knot = pieces.values()
    assert bounds(loop.sewing_line)[2:] == pytest.approx((10 + 120, 10 + 240))
    # Folded down its middle line, the tail ends in a slant.
    assert area(tail.sewing_line) == pytest.approx(120 * 120 + 120 * 30 / 2)
    assert bounds(knot.sewing_line)[2:] == pytest.approx((10 + 50, 10 + 80))
    without = by_name(garment(Body(), part("bow", tail=0.0)))
    assert list(without) == ["bow loop", "bow knot"]


def test_casing_and_the_elastic_to_buy():
    draft = garment(GIRL, part("gathered skirt"), part("casing", elastic_width=15.0))
    casing = by_name(draft)["casing"]
    assert whole_length([casing], "top") == pytest.approx(GIRL.waist)
    assert bounds(casing.outline)[2] == pytest.approx(15 + 5 + 20)
    (elastic,) = draft.notions
    assert (elastic.name, elastic.where) == ("elastic", "through the casing")
    # 48.6 less 2.5, and 2 to overlap.
    assert (elastic.length_mm, elastic.width_mm) == pytest.approx((481.0, 15.0))


def test_pockets_are_two_or_two_pairs_of_bags():
    patch = garment(GIRL, part("pocket")).pieces[0]
    assert (patch.name, patch.parts) == ("pocket", 2)
    left, low, right, high = bounds(patch.sewing_line)
    assert {round(right - left, 3), round(high - low, 3)} == {101.6, round(101.6 * 1.15, 3)}
    bag = garment(GIRL, part("pocket", style="in seam", width=100.0)).pieces[0]
    assert (bag.name, bag.parts, bag.pair) == ("pocket bag", 4, True)
    assert seam_length(bag, "side") == pytest.approx(0.75 * 170)
    assert check((patch, bag)) == ()


@pytest.mark.parametrize(
    ("draft", "options", "key"),
    [
        ("bow", {"knot": 2.0}, "knot"),
        ("sash", {"strip_length": 12.0}, "strip_length"),
        ("casing", {"strip_length": 12.0}, "strip_length"),
        ("pocket", {"width": 9.0}, "width"),
        ("bias binding", {"width": 1.0, "length": 100.0}, "width"),
    ],
)
def test_trimmings_that_cannot_be_cut(draft, options, key):
    assert refusals(GIRL, part(draft, **options)) == [f"garment[0].part[0].{key}"]


@pytest.mark.parametrize("size", ["3 months", "4 years", "misses 12"])
def test_a_notched_collar_has_a_v_at_the_shoulder(size):
    """As deep as half the collar; its neck is that of the round one."""
    parts = part("bodice"), part("collar", ends="notched")
    notched = garment(SIZES[size], *parts)
    plain = garment(SIZES[size], part("bodice"), part("collar")).pieces[2]
    collar = notched.pieces[2]
    assert check(notched.pieces) == ()
    assert seam_length(collar, "neck") == pytest.approx(seam_length(plain, "neck"))
    assert area(collar.sewing_line) < area(plain.sewing_line) - 0.1 * 50 * 50
    long = sum(math.dist(a, b) for a, b in pairwise(seam_line(collar, "outer edge")))
    assert long > sum(math.dist(a, b) for a, b in pairwise(seam_line(plain, "outer edge"))) + 15
    with pytest.raises(OrderFault) as refused:
        garment(SIZES[size], part("bodice"), part("collar", style="stand", ends="notched"))
    assert [fault.key for fault in refused.value.faults] == ["garment[0].part[0].ends"]
