"""Yokes, peplums, pleats, underlayers, and tiers cut from one strip."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces.body.tables import SIZES
from pieces.check import check
from pieces.corner import cloth_mm2, opened_out
from pieces.drafting.skirts.pleats import FOLDS, fold_places, pleats_across
from pieces.errors import OrderFault
from pieces.geometry import bounds
from pieces.seams import seam_length, whole_length
from tests.examples import examples
from tests.pieces.test_blocks import sound
from tests.pieces.wearers import bodies, by_name, garment, part

GIRL = SIZES["4 years"]


def refusals(body, *parts):
    with pytest.raises(OrderFault) as caught:
        garment(body, *parts)
    return [fault.key for fault in caught.value.faults]


# ---- yoke and peplum ---------------------------------------------------------------------


@settings(max_examples=examples(40), deadline=None)
@given(
    bodies(),
    st.sampled_from(["flared skirt", "gathered skirt", "pleated skirt"]),
    st.sampled_from(["zip", "front opening", None]),
)
def test_skirts_hang_at_the_yokes_lower_edge(body, skirt, closing):
    bodice = [] if closing is None else [part("bodice", closing=closing)]
    draft = garment(body, *bodice, part("yoke", lining="cotton"), part(skirt))
    sound(draft)
    pieces = by_name(draft)
    halves = [pieces["yoke front"], pieces["yoke back"]]
    lower = whole_length(halves, "hem")
    checks = [c for c in draft.seam_checks if "to lower edge of yoke" in c.what]
    assert [c.that_mm for c in checks] == pytest.approx([lower])
    assert lower >= whole_length(halves, "waist") - 1
    assert (pieces["yoke back"].on_fold is None) == (closing != "front opening")


def test_yoke_reaches_the_hip_a_third_of_half_the_breast_down():
    """*The Practical Designer*, lesson 106: breast 30, half of it 15, hip depth 5 in."""
    to_hip = GIRL.chest / 2 / 3
    (front, back) = garment(GIRL, part("yoke", depth=to_hip)).pieces
    assert whole_length([front, back], "hem") == pytest.approx(GIRL.hip + 60, abs=0.5)
    higher = garment(GIRL, part("yoke", depth=to_hip / 2)).pieces
    half_way = (GIRL.waist + GIRL.hip + 60) / 2
    assert whole_length(higher, "hem") == pytest.approx(half_way, abs=0.5)


def test_skirt_below_a_yoke_is_so_much_shorter():
    plain = garment(GIRL, part("flared skirt")).pieces[0]
    below = by_name(garment(GIRL, part("yoke", depth=50.0), part("flared skirt")))["skirt front"]
    assert seam_length(plain, "side") - seam_length(below, "side") == pytest.approx(50.0)


def test_yoke_below_a_high_waist_is_counted_from_there():
    high = part("bodice", waist="high")
    plain = by_name(garment(GIRL, high, part("flared skirt")))["skirt front"]
    below = garment(GIRL, high, part("yoke", depth=50.0), part("flared skirt"))
    shorter = by_name(below)["skirt front"]
    assert seam_length(plain, "side") - seam_length(shorter, "side") == pytest.approx(50.0)


def test_yoke_of_a_waist_wider_than_the_hip_falls_straight():
    body = replace(GIRL, waist=700.0, hip=600.0)
    (front, back) = garment(body, part("yoke")).pieces
    assert whole_length([front, back], "hem") == pytest.approx(700.0, abs=0.5)


def test_peplum_is_a_short_full_circle_beside_the_skirt():
    draft = garment(GIRL, part("bodice"), part("peplum", hem=8.0), part("flared skirt"))
    sound(draft)
    pieces = by_name(draft)
    assert "skirt front" in pieces
    assert seam_length(pieces["peplum front"], "side") == pytest.approx(100.0)
    halves = [pieces["peplum front"], pieces["peplum back"]]
    assert whole_length(halves, "hem") == pytest.approx(
        GIRL.waist + 40 + 2 * math.pi * 100, rel=2e-3
    )


@pytest.mark.parametrize(
    ("closing", "opened"), [("zip", "back"), ("buttons", "back"), ("front opening", "front")]
)
@pytest.mark.parametrize("panels", [1, 2])
def test_flared_skirt_opens_below_the_bodice(closing, opened, panels):
    skirt = part("flared skirt", lining="cotton", panels=panels)
    draft = garment(GIRL, part("bodice", closing=closing), skirt)
    sound(draft)
    pieces = by_name(draft)
    seams = pieces[f"skirt {opened}" if panels == 2 else "skirt"].seams
    assert f"centre {opened}" in {seam.name for seam in seams}
    if panels == 2:
        closed = {"back": "front", "front": "back"}[opened]
        assert pieces[f"skirt {opened}"].pair
        assert pieces[f"skirt {closed}"].on_fold is not None


@settings(max_examples=examples(30), deadline=None)
@given(bodies(), st.floats(1, 1.5), st.floats(200, 700), st.floats(5, 15))
def test_a_whole_circle_in_one_panel_is_drawn_as_a_quarter(body, fullness, long, hem):
    """Its waist is the body's, gathered, its hem a circle so much farther out; four quarters."""
    options = {"circle": "full", "panels": 1, "waist_fullness": fullness, "length": long}
    draft = garment(body, part("flared skirt", lining="cotton", hem=hem, **options))
    shell, lining = draft.pieces
    assert check(draft.pieces) == ()
    assert all(one.ok for one in draft.seam_checks)
    assert [finding.code for finding in draft.findings if finding.code != "deep-curved-hem"] == [
        "slit-to-open"
    ]
    radius = body.waist * fullness / (2 * math.pi)
    for piece in (shell, lining):
        assert whole_length([piece], "waist") == pytest.approx(body.waist * fullness, rel=2e-3)
        assert whole_length([piece], "hem") == pytest.approx(
            2 * math.pi * (radius + long), rel=2e-3
        )
        outer, inner = radius + long + hem, radius - 10
        assert bounds(opened_out(piece)) == pytest.approx((-outer, -outer, outer, outer), abs=0.2)
        assert cloth_mm2(piece) == pytest.approx(math.pi * (outer**2 - inner**2), rel=2e-3)
        # Along the grain, from the cut edge to 15 cm below the seam.
        (start, _), (end, _) = piece.slit
        assert (start, end) == pytest.approx((inner, radius + 150), abs=0.2)
        assert {y for _, y in piece.slit} == {0.0}


def test_a_whole_circle_in_one_panel_must_be_slit_and_drawn_for_folds():
    def asked(**options):
        return part("flared skirt", circle="full", panels=1, length=300.0, **options)

    assert refusals(GIRL, asked(on_fold=False)) == ["garment[0].part[0].on_fold"]
    assert refusals(GIRL, asked(slit=300.0)) == ["garment[0].part[0].slit"]
    (elastic,) = garment(GIRL, asked(opening="none", slit=300.0)).pieces
    assert elastic.slit == ()
    (peplum,) = garment(GIRL, part("peplum", panels=1, slit=80.0)).pieces
    assert len(peplum.fold_edges) == 2
    assert refusals(GIRL, part("peplum", panels=1)) == ["garment[0].part[0].slit"]


# ---- pleats ------------------------------------------------------------------------------


@settings(max_examples=examples(60), deadline=None)
@given(bodies(), st.sampled_from(sorted(FOLDS)), st.floats(500, 1600))
def test_pleated_skirt_folds_into_its_waist(body, kind, strip):
    draft = garment(body, part("pleated skirt", lining="cotton", kind=kind, strip_length=strip))
    sound(draft)
    shell = [piece for piece in draft.pieces if not piece.name.endswith(" lining")]
    wide = whole_length(shell, "waist")
    panels = sum(piece.cut for piece in shell)
    assert all(seam_length(piece, "waist") + 20 <= strip + 1e-6 for piece in shell)
    width = {"knife": 40, "box": 80, "inverted": 80}[kind]
    each = width * 3
    # Three layers everywhere, but for the pleats' corrected width.
    pleats = (wide - body.waist) / (width / FOLDS[kind] * 2 * FOLDS[kind])
    assert pleats == pytest.approx(round(pleats), abs=1e-6)
    assert wide == pytest.approx(body.waist * 3, abs=each)
    # Whole pleats in each, no two panels more than one apart, and no panel more than it takes.
    own = [seam_length(piece, "waist") / wide * pleats for piece in shell]
    assert own == pytest.approx([round(one) for one in own], abs=1e-6)
    assert max(own) - min(own) == pytest.approx(len(own) - 1, abs=1e-6)
    assert panels == 1 or math.ceil(round(pleats) / (panels - 1)) * wide / pleats > strip - 20


@given(st.sampled_from(sorted(FOLDS)), st.integers(1, 6), st.floats(300, 1200), st.floats(10, 60))
def test_pleats_fold_up_to_their_width(kind, count, finished, depth):
    pleats = pleats_across(finished, depth, 50.0, kind)
    assert pleats.count * pleats.width == pytest.approx(finished)
    places = fold_places(pleats, depth, kind, count)
    wide = pleats.pattern * count / pleats.count
    assert places == sorted(places)
    assert all(0 < place < wide for place in places)
    # Laid in, what lies between a fold and its line is gone: twice the depth for each.
    assert wide - count * FOLDS[kind] * 2 * depth == pytest.approx(pleats.width * count)


def test_pleats_that_lie_over_each_other_are_remarked_on():
    def found(**options):
        draft = garment(GIRL, part("pleated skirt", **options))
        return [finding.code for finding in draft.findings]

    assert found() == found(kind="box") == found(kind="inverted") == []
    assert found(pleat_width=30.0, pleat_depth=60.0) == ["pleats-overlap"]


def test_pleats_too_deep_for_any_panel():
    skirt = part("pleated skirt", pleat_depth=400.0, strip_length=500.0)
    assert refusals(GIRL, skirt) == ["garment[0].part[0].strip_length"]


# ---- underlayer --------------------------------------------------------------------------


def test_underlayer_hides_under_the_longest_skirt_and_its_band():
    skirts = (
        part("flared skirt", length=250.0),
        part("tier", "net", depth=120.0, at_waist=True),
        part("tier", "net", depth=140.0),
        part("band", "print", depth=30.0),
    )
    under = part("underlayer", "stiff", seam=0.0, hem=0.0)
    draft = garment(GIRL, part("bodice"), *skirts, under)
    sound(draft)
    long = bounds(by_name(draft)["underlayer"].outline)[2]
    assert long == pytest.approx(120 + 140 + 30 - 25.4)


def test_underlayer_reckons_with_a_band_that_follows():
    skirt = part("gathered skirt", length=200.0)
    under = part("underlayer", "stiff", seam=0.0, hem=0.0)
    draft = garment(GIRL, skirt, under, part("band", "print", depth=30.0))
    assert bounds(by_name(draft)["underlayer"].outline)[2] == pytest.approx(200 + 30 - 25.4)


def test_underlayer_that_shows_is_remarked_on():
    def found(long):
        skirt = part("gathered skirt", length=300.0)
        draft = garment(GIRL, skirt, part("underlayer", "stiff", length=long))
        return [finding.code for finding in draft.findings]

    assert found(299.0) == []
    assert found(300.0) == ["underlayer-shows"]


def test_underlayer_alone_is_an_inch_above_the_knee():
    under = garment(GIRL, part("underlayer", seam=0.0, hem=0.0)).pieces[0]
    assert bounds(under.outline)[2] == pytest.approx(0.28 * GIRL.height - 25.4)


def test_horsehair_and_short_linings_are_told():
    skirt = part("gathered skirt", lining="cotton", horsehair=True, lining_shorter=50.0)
    draft = garment(GIRL, skirt)
    assert [finding.code for finding in draft.findings] == ["short-lining"]
    (braid,) = [notion for notion in draft.notions if notion.name == "horsehair braid"]
    assert braid.length_mm == pytest.approx(997.0)  # 2 x 48.6 and 2.5


# ---- tiers joined end to end -------------------------------------------------------------


def joined_tiers(*fullness, **options):
    return [
        part("tier", "net", fullness=f, depth=100.0, strips="joined end to end", **options)
        for f in fullness
    ]


@settings(max_examples=examples(80), deadline=None)
@given(st.lists(st.floats(1, 3), min_size=1, max_size=4), st.floats(300, 2000), st.floats(0, 15))
def test_joined_tiers_take_as_few_strips_as_their_sum(fullness, strip, seam):
    draft = garment(GIRL, *joined_tiers(*fullness, strip_length=strip, seam=seam))
    assert all(check.ok for check in draft.seam_checks)
    wholes, edge = [], GIRL.waist
    for f in fullness:
        edge *= f
        wholes.append(edge)
    yields = strip - 2 * seam
    count = sum(piece.cut for piece in draft.pieces)
    assert count == math.ceil(sum(wholes) / yields - 1e-6)
    own = [
        replace(p, options=replace(p.options, strips="each tier on its own"))
        for p in joined_tiers(*fullness, strip_length=strip, seam=seam)
    ]
    assert count <= sum(piece.cut for piece in garment(GIRL, *own).pieces)


def test_joined_tiers_are_all_cut_with_the_hem():
    """So that one strip does for any of them; what a seam doesn't want is trimmed."""
    deep = {bounds(piece.outline)[2] for piece in garment(GIRL, *joined_tiers(2, 2)).pieces}
    assert deep == {100 + 10 + 25}


def test_joined_tiers_of_two_depths_are_refused():
    first, second = joined_tiers(2, 2)
    other = replace(second, options=replace(second.options, depth=120.0), key="second")
    assert refusals(GIRL, first, other) == ["second.depth"]


def test_other_cloth_begins_a_new_strip():
    first, second = joined_tiers(1.5, 1.5, strip_length=3000.0)
    one = garment(GIRL, first, second)
    two = garment(GIRL, first, replace(second, fabric="tulle"))
    assert [p.name for p in one.pieces] == ["net tier 1"]
    assert [p.name for p in two.pieces] == ["net tier 1", "tulle tier 2"]


def test_band_after_a_tier_without_strips_of_its_own():
    """The tier above left enough for it, so nothing is cut; the band still goes round it."""
    draft = garment(GIRL, *joined_tiers(1, 2, strip_length=3000.0), part("band", "print"))
    band = by_name(draft)["band"]
    assert whole_length([band], "top") == pytest.approx(2 * GIRL.waist)
    assert draft.seam_checks[-1].what == "top of band to hem of net tier 2"
