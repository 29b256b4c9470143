"""Bodices of every neck, closing and waist, and the sleeves that go into them."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from pieces.body.tables import SIZES
from pieces.errors import OrderFault
from pieces.geometry import bounds
from pieces.seams import seam_length, seam_line, whole_length
from tests.examples import examples, some
from tests.pieces.test_blocks import sound
from tests.pieces.wearers import bodies, by_name, garment, part

GIRL = SIZES["4 years"]
NECKS = ("round", "V", "square", "boat")
CLOSINGS = ("zip", "buttons", "front opening")


def refusals(body, *parts):
    with pytest.raises(OrderFault) as caught:
        garment(body, *parts)
    return [fault.key for fault in caught.value.faults]


@pytest.mark.parametrize("size", some(SIZES))
def test_every_bodice_in_every_size(size):
    closings = itertools.cycle(CLOSINGS)
    for neck, waist, bare in itertools.product(NECKS, ("natural", "high"), (False, True)):
        closing = next(closings)
        options = {"neck": neck, "closing": closing, "waist": waist, "sleeveless": bare}
        sound(garment(SIZES[size], part("bodice", lining="cotton", **options)))


@settings(max_examples=examples(60), deadline=None)
@given(bodies(), st.sampled_from(NECKS), st.sampled_from(["short", "puff", "long"]))
def test_sleeves_fit_whatever_the_neck(body, neck, style):
    draft = garment(
        body,
        part("bodice", neck=neck),
        part("sleeve", lining="cotton", style=style),
        part("sleeve band"),
    )
    sound(draft)


@pytest.mark.parametrize("closing", CLOSINGS)
def test_closing_decides_what_is_on_the_fold(closing):
    pieces = by_name(garment(GIRL, part("bodice", closing=closing)))
    front, back = pieces["bodice front"], pieces["bodice back"]
    opens_in_front = closing == "front opening"
    assert (front.pair, front.on_fold is None) == (opens_in_front, opens_in_front)
    assert (back.pair, back.on_fold is None) == (not opens_in_front, not opens_in_front)
    # The middle's allowance: 4 cm where buttons lap, 2 cm for a zip.
    opened = front if opens_in_front else back
    middle = opened.grain[0][1]  # it is drawn along the middle
    _, low, _, high = bounds(opened.outline)
    lap = min(middle - low, high - middle)
    assert lap == pytest.approx(20 if closing == "zip" else 40)


def depth_and_width(neck, **options):
    front = by_name(garment(GIRL, part("bodice", neck=neck, **options)))["bodice front"]
    left, low, right, high = bounds(seam_line(front, "neck"))
    return right - left, high - low


def test_necks_differ_as_their_names_say():
    drawn = {neck: depth_and_width(neck) for neck in NECKS}
    assert drawn["V"][0] == pytest.approx(drawn["round"][0] + 30)
    assert drawn["square"] == pytest.approx(drawn["round"])
    assert drawn["boat"][0] < 40
    assert drawn["boat"][1] > drawn["round"][1] + 20
    lengths = {
        neck: seam_length(
            by_name(garment(GIRL, part("bodice", neck=neck, neck_depth=80.0)))["bodice front"],
            "neck",
        )
        for neck in ("round", "V", "square")
    }
    # Between the same two points: straight, round, round the corner.
    assert lengths["V"] < lengths["round"] < lengths["square"]


def test_boat_neck_is_as_wide_behind():
    pieces = by_name(garment(GIRL, part("bodice", neck="boat")))
    front, back = pieces["bodice front"], pieces["bodice back"]
    assert seam_length(front, "shoulder") == pytest.approx(seam_length(back, "shoulder"))
    assert seam_length(front, "shoulder") < 0.6 * GIRL.shoulder


def test_sleeveless_is_a_centimetre_higher_under_the_arm():
    plain, bare = (
        by_name(garment(GIRL, part("bodice", sleeveless=flag)))["bodice front"]
        for flag in (False, True)
    )
    assert seam_length(bare, "side") == pytest.approx(seam_length(plain, "side") + 10, abs=0.5)
    assert refusals(GIRL, part("bodice", sleeveless=True), part("sleeve", at=1)) == [
        "garment[0].part[1].draft"
    ]


@settings(max_examples=examples(40), deadline=None)
@given(bodies())
def test_high_waist_is_the_natural_block_cut_off(body):
    """Its seam lies on the natural bodice's side line, and the skirt begins so much higher."""
    high = garment(body, part("bodice", waist="high"), part("flared skirt"))
    plain = garment(body, part("bodice"), part("flared skirt"))
    one, other = (by_name(draft)["bodice back"] for draft in (high, plain))
    cut_off = other.grain[1][0] - other.grain[0][0] - (one.grain[1][0] - one.grain[0][0])
    assert cut_off > 0
    assert seam_length(one, "side") < seam_length(other, "side")
    ratio = seam_length(one, "side") / seam_length(other, "side")
    quarter = (body.chest + 4 * 10) / 4  # at least; more ease makes it wider still
    waist = whole_length([one, by_name(high)["bodice front"]], "waist") / 4
    assert 0 < ratio < 1
    assert waist >= min(quarter, body.waist / 4 + 10) - 1e-6
    longer = [seam_length(by_name(draft)["skirt front"], "side") for draft in (high, plain)]
    assert longer[0] - longer[1] == pytest.approx(cut_off)


@pytest.mark.parametrize(
    ("options", "key"),
    [
        ({"waist": "high", "length": 300.0}, "length"),
        ({"back_neck_depth": 240.0}, "back_neck_depth"),
        ({"neck": "boat", "neck_width": 120.0}, "neck_width"),
        ({"neck_depth": 1.0}, "neck_depth"),
        ({"neck": "boat", "neck_depth": 8.0}, "neck_depth"),
    ],
)
def test_bodices_that_cannot_be_drawn(options, key):
    assert f"garment[0].part[0].{key}" in refusals(GIRL, part("bodice", **options))


def marked(piece, seam):
    return next(one.marks_mm for one in piece.seams if one.name == seam)


def width(piece):
    """Between the ends of a sleeve's cap."""
    return math.dist(seam_line(piece, "cap front")[0], seam_line(piece, "cap back")[-1])


def sleeve(**options):
    draft = garment(GIRL, part("bodice"), part("sleeve", **options))
    return by_name(draft)["sleeve"], draft


@pytest.mark.parametrize("full", [1.5, 1.75, 2.0])
def test_puff_is_so_much_longer_than_its_armhole_and_band(full):
    """Spread 1.5 to 2 times (from memory), gathered between the notches and nowhere else."""
    piece, draft = sleeve(style="puff", cap_fullness=full)
    armholes = [seam_length(draft.pieces[i], "armhole") for i in (0, 1)]
    below = [max(marked(draft.pieces[i], "armhole")) for i in (0, 1)]
    cap = sum(seam_length(piece, f"cap {side}") for side in ("front", "back"))
    between = cap - sum(below)
    assert between == pytest.approx(full * (sum(armholes) + 15 - sum(below)), abs=0.1)
    plain, _ = sleeve()
    # The hem is spread by as much as the width.
    spread = [width(piece) - width(plain), seam_length(piece, "hem") - seam_length(plain, "hem")]
    assert spread[0] == pytest.approx(spread[1])
    assert spread[0] > 30 * full - 15
    heights = [one.grain[1][0] - one.grain[0][0] for one in (piece, plain)]
    # 1/2 to 1 in. more height, from memory.
    assert 12 < heights[0] - heights[1] < 26


@pytest.mark.parametrize(("cap", "hem"), [(1.5, 1.0), (1.0, 1.8)])
def test_spread_at_cap_or_hem_alone(cap, hem):
    piece, draft = sleeve(style="puff", cap_fullness=cap, hem_fullness=hem)
    sound(draft)
    assert seam_length(piece, "hem") == pytest.approx(hem * (GIRL.upper_arm + 30))


def test_cap_of_a_told_height_is_bowed_to_its_armhole():
    plain, _ = sleeve()
    caps = [point for seam in plain.seams if seam.name.startswith("cap") for point in seam.line]
    left, _, right, _ = bounds(caps)
    for lower in (4.0, -4.0):
        piece, draft = sleeve(cap_height=right - left - lower)
        sound(draft)
        cap = [point for seam in piece.seams if seam.name.startswith("cap") for point in seam.line]
        low, _, high, _ = bounds(cap)
        assert high - low == pytest.approx(right - left - lower)
    for height in (10.0, 140.0):
        assert refusals(GIRL, part("bodice"), part("sleeve", at=1, cap_height=height)) == [
            "garment[0].part[1].cap_height"
        ]


@pytest.mark.parametrize("share", [4, 6])
def test_a_flat_cap_widens_its_sleeve(share):
    """Armhole / 4 for a shirt or play clothes, / 6 for pyjamas, from memory: a cap so flat asks
    for a wider sleeve, which is told."""
    armhole = sum(seam_length(one, "armhole") for one in sleeve()[1].pieces[:2])
    piece, draft = sleeve(cap_height=armhole / share)
    cap = sum(seam_length(piece, f"cap {side}") for side in ("front", "back"))
    assert cap == pytest.approx(armhole + 15, abs=0.1)
    found = {one.code: one.message for one in draft.findings}
    assert ("cap-widens-sleeve" in found) == (width(piece) > GIRL.upper_arm + 51)
    assert share == 4 or "a higher cap makes it narrower" in found["cap-widens-sleeve"]


def test_sleeve_bands_are_two_and_as_long_as_the_gathered_hem():
    draft = garment(GIRL, part("bodice"), part("sleeve", style="puff"), part("sleeve band"))
    band = by_name(draft)["sleeve band"]
    assert band.parts == 2
    assert seam_length(band, "top") == pytest.approx(GIRL.upper_arm + 30)
    assert bounds(band.outline)[2] == pytest.approx(2 * 20 + 2 * 10)
    assert "top of sleeve band to hem of sleeve" in {c.what for c in draft.seam_checks}
    assert refusals(GIRL, part("sleeve band")) == ["garment[0].part[0].draft"]


def test_cap_is_checked_front_and_back():
    _, draft = sleeve()
    found = {check.what: check for check in draft.seam_checks if check.what.startswith("cap")}
    assert list(found) == [
        "cap of sleeve, front to armhole with 0.8 cm ease",
        "cap of sleeve, back to armhole with 0.7 cm ease",
    ]
    armholes = [seam_length(draft.pieces[i], "armhole") for i in (0, 1)]
    ease = [c.this_mm - a for c, a in zip(found.values(), armholes, strict=True)]
    assert sum(ease) == pytest.approx(15, abs=0.01)
    assert ease[0] / ease[1] == pytest.approx(armholes[0] / armholes[1], abs=0.01)


def marks(piece, seam):
    """How far along a seam the notches opposite it lie; each has a notch on the cut line."""
    line = LineString(seam_line(piece, seam))
    found = marked(piece, seam)
    for mark in found:
        at = line.interpolate(mark)
        assert min(Point(notch.at).distance(at) for notch in piece.notches) < 10.5
    return sorted(found)


@pytest.mark.parametrize("style", ["short", "puff"])
def test_notches_of_cap_and_armhole_lie_equally_far_from_the_underarm(style):
    """So that all the ease, or the gathers, lie above them, and the crown meets the shoulder."""
    piece, draft = sleeve(style=style)
    front, back = draft.pieces[:2]
    assert marks(piece, "cap front")[0] == pytest.approx(marks(front, "armhole")[0], abs=0.1)
    whole = seam_length(piece, "cap back")
    crown, *down = marks(piece, "cap back")
    assert crown == pytest.approx(0, abs=0.1)
    up = sorted(whole - mark for mark in down)
    assert up == pytest.approx(marks(back, "armhole"), abs=0.1)
    assert len(up) == 2


@pytest.mark.parametrize("style", ["flat", "stand"])
def test_collars_notch_meets_the_shoulder(style):
    draft = garment(GIRL, part("bodice"), part("collar", style=style))
    pieces = by_name(draft)
    from_behind = seam_length(pieces["bodice back"], "neck")
    assert marks(pieces["collar"], "neck") == pytest.approx([from_behind], abs=1.0)


def test_facing_has_the_notches_of_its_armhole():
    bodice = part("bodice", sleeveless=True)
    pieces = by_name(garment(GIRL, bodice, part("facing", edge="armhole")))
    for side in ("front", "back"):
        one, other = pieces[f"armhole facing {side}"], pieces[f"bodice {side}"]
        assert marks(one, "armhole") == pytest.approx(marks(other, "armhole"), abs=0.1)


def test_crown_notch_meets_the_shoulder():
    """Ease is shared as the armholes are, so the notch is not quite in the middle."""
    piece, draft = sleeve()
    armholes = [seam_length(draft.pieces[i], "armhole") for i in (0, 1)]
    front = seam_line(piece, "cap front")
    share = seam_length(piece, "cap front") / (sum(armholes) + 15)
    assert share == pytest.approx(armholes[0] / sum(armholes), abs=1e-6)
    near = [notch for notch in piece.notches if math.dist(notch.at, front[-1]) < 12]
    assert len(near) == 1
