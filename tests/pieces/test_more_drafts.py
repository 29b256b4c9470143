"""Dresses in one, sleeves other than set-in ones, waistbands, laps, growth, and marks."""

import itertools
import math

import pytest

from pieces.body.tables import SIZES
from pieces.curves import length
from pieces.geometry import bounds
from pieces.joins import kinks
from pieces.seams import seam_length, seam_line, whole_length
from tests.examples import some
from tests.pieces.test_joins import angle, over
from tests.pieces.wearers import by_name, garment, part, without_notions

GIRL = SIZES["4 years"]


def marks(piece, name):
    return next(seam.marks_mm for seam in piece.seams if seam.name == name)


# ---- a dress in one ------------------------------------------------------------------------


@pytest.mark.parametrize("size", some(SIZES))
def test_a_dress_in_one_does_not_kink(size):
    for neck in ("round", "V", "square", "boat"):
        draft = garment(SIZES[size], part("A-line dress", neck=neck, lining="cotton"))
        front, back = draft.pieces[:2]
        turns = [*over(front, back, "side"), *over(front, back, "shoulder")]
        assert max(map(abs, turns)) < 3
        assert angle(front, "hem", 0) == pytest.approx(90, abs=1.5)
        assert draft.findings == ()
        assert all(one.ok for one in draft.seam_checks)


def test_a_dress_in_one_has_the_bodices_armhole_and_carries_bands():
    draft = garment(GIRL, part("A-line dress"), part("sleeve"), part("band", depth=30.0))
    pieces = by_name(draft)
    bodice = by_name(garment(GIRL, part("bodice")))
    for side in ("front", "back"):
        for name in ("shoulder", "neck"):
            drawn = seam_length(pieces[f"dress {side}"], name)
            assert drawn == pytest.approx(seam_length(bodice[f"bodice {side}"], name), abs=1.5)
    hem = whole_length((pieces["dress front"], pieces["dress back"]), "hem")
    assert whole_length((pieces["band"],), "top") == pytest.approx(hem)
    wide = by_name(garment(GIRL, part("A-line dress", flare=120.0)))
    wider = whole_length((wide["dress front"], wide["dress back"]), "hem")
    # Four times what the sides come out more, less what the hem, square to them, ends above it.
    more = 4 * (120 - 0.2 * (241 + 0.28 * 1016 - 129))
    assert 0.8 * more < wider - hem < more


# ---- sleeves -------------------------------------------------------------------------------


@pytest.mark.parametrize("draft", ["cap sleeve", "flutter sleeve"])
def test_open_sleeves_are_sewn_above_the_notches(draft):
    bodice = part("bodice", sleeveless=True)
    made = garment(GIRL, bodice, part(draft, hem=8.0))
    front, back, sleeve = made.pieces
    ease = 5.0 if draft == "cap sleeve" else 0.0
    above = sum(seam_length(one, "armhole") - max(marks(one, "armhole")) for one in (front, back))
    cap = seam_length(sleeve, "cap front") + seam_length(sleeve, "cap back")
    assert cap == pytest.approx(above + ease, abs=0.3)
    assert all(check.ok for check in made.seam_checks)
    down = 50.0 if draft == "cap sleeve" else 70.0
    assert sleeve.grain[1][0] - sleeve.grain[0][0] == pytest.approx(down)


def test_a_flutter_sleeve_is_part_of_a_circle():
    sleeve = garment(
        GIRL, part("bodice"), part("flutter sleeve", circle="half", fullness=1.5, hem=8.0)
    ).pieces[2]
    front, back = seam_line(sleeve, "cap front"), seam_line(sleeve, "cap back")
    # Half a circle: its ends are two radii apart, and its length is pi radii.
    assert math.pi * math.dist(front[0], back[-1]) / 2 == pytest.approx(
        length(front) + length(back), rel=2e-3
    )
    (found,) = garment(GIRL, part("bodice"), part("flutter sleeve", hem=20.0)).findings
    assert found.code == "deep-curved-hem"


@pytest.mark.parametrize("full", [1.3, 1.6, 2.0])
def test_a_bishop_sleeve_is_gathered_into_its_band(full):
    draft = garment(GIRL, part("bodice"), part("bishop sleeve", fullness=full), part("sleeve band"))
    sleeve, band = draft.pieces[2:]
    assert seam_length(sleeve, "hem") == pytest.approx(full * (GIRL.wrist + 50))
    assert seam_length(band, "top") == pytest.approx(GIRL.wrist + 50)
    assert sleeve.grain[1][0] - sleeve.grain[0][0] == pytest.approx(GIRL.arm)
    assert list(kinks(draft.pieces, draft.joins)) == []


@pytest.mark.parametrize("size", some(SIZES))
def test_a_bell_sleeve_widens_and_does_not_kink(size):
    body = SIZES[size]
    draft = garment(body, part("bodice"), part("bell sleeve", hem=8.0))
    sleeve = draft.pieces[2]
    wide = math.dist(seam_line(sleeve, "cap front")[0], seam_line(sleeve, "cap back")[-1])
    assert wide == pytest.approx(body.upper_arm + 50)
    assert wide < seam_length(sleeve, "hem") < wide + 0.8 * 0.3 * body.arm
    assert angle(sleeve, "hem", 0) == pytest.approx(90, abs=1.5)
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert all(check.ok for check in draft.seam_checks)
    assert draft.findings == ()
    asked = garment(GIRL, part("bodice"), part("bell sleeve", length=250.0, hem_width=360.0))
    long = asked.pieces[2]
    assert long.grain[1][0] - long.grain[0][0] == pytest.approx(250)
    assert seam_length(long, "hem") == pytest.approx(360, rel=0.08)


# ---- bloomers ------------------------------------------------------------------------------


@pytest.mark.parametrize("size", some(SIZES))
def test_bloomers_meet_at_the_fork(size):
    body = SIZES[size]
    draft = garment(body, part("bloomers", hem=15.0))
    (leg,) = draft.pieces
    turns = [
        angle(leg, f"inseam {side}", end) - 90 for side in ("front", "back") for end in (0, -1)
    ]
    assert max(map(abs, turns)) < 1.5
    assert seam_length(leg, "inseam front") == pytest.approx(seam_length(leg, "inseam back"))
    assert seam_length(leg, "centre back") > seam_length(leg, "centre front") + 20
    assert 2 * seam_length(leg, "waist") == pytest.approx(body.hip + 160, rel=0.02)
    assert list(kinks(draft.pieces, draft.joins)) == []


# ---- waistband -----------------------------------------------------------------------------


@pytest.mark.parametrize(("style", "parts", "deep"), [("folded", 1, 80.0), ("faced", 2, 50.0)])
def test_a_waistband_is_the_waist_and_an_underlap(style, parts, deep):
    draft = garment(GIRL, part("gathered skirt"), part("waistband", style=style))
    band = draft.pieces[-1]
    assert seam_length(band, "edge") == pytest.approx(GIRL.waist + 30)
    assert (band.parts, bounds(band.outline)[2]) == (parts, pytest.approx(deep))
    assert marks(band, "edge") == pytest.approx([GIRL.waist * i / 4 for i in (1, 2, 3, 4)])
    assert all(check.ok for check in draft.seam_checks)


# ---- a hem that falls ----------------------------------------------------------------------


@pytest.mark.parametrize("circle", ["full", "half", "quarter"])
@pytest.mark.parametrize("closing", ["zip", "front opening"])
def test_a_hem_falls_to_the_back(circle, closing):
    bodice = part("bodice", closing=closing)
    skirt = part("flared skirt", circle=circle, panels=2, length=300.0, back_longer=180.0)
    draft = garment(GIRL, bodice, skirt)
    pieces = by_name(draft)
    front, back = pieces["skirt front"], pieces["skirt back"]
    down = [piece.grain[1][0] - piece.grain[0][0] for piece in (front, back)]
    assert down == pytest.approx([300, 480])
    assert seam_length(front, "side") == pytest.approx(390)
    assert max(map(abs, over(front, back, "side"))) < 3
    assert list(kinks(draft.pieces, draft.joins)) == []
    for piece in (front, back):
        hem = seam_line(piece, "hem")
        middle = min(hem, key=lambda at: abs(at[1] - piece.grain[0][1]))
        assert middle[0] == pytest.approx(piece.grain[0][0])
    assert all(check.ok for check in draft.seam_checks)


# ---- where it opens ------------------------------------------------------------------------


@pytest.mark.parametrize("neck", ["V", "round"])
def test_a_lap_begins_where_the_neck_meets_the_middle(neck):
    """Folded back half-way, its edge lies on the neck's own; it does not begin below it."""
    front = garment(GIRL, part("bodice", neck=neck, closing="front opening")).pieces[0]
    middle = front.grain[0][1]
    top = max(x for x, y in front.sewing_line if abs(y - middle) < 1e-6)
    left, low, _, high = bounds(front.outline)
    outer = low if abs(middle - low) < abs(high - middle) else high
    on_edge = [x for x, y in front.outline if abs(y - outer) < 1e-6]
    assert max(on_edge) - top >= 10 - 1e-6  # a seam allowance and no less above the neck's corner
    fold, centre, *holes = front.drawn_lines
    assert abs(fold[0][1] - middle) == pytest.approx(20)
    assert {round(y, 6) for _, y in centre} == {round(middle, 6)}
    assert len(holes) >= 3
    places = sorted(hole[0][0] for hole in holes)
    assert places[0] >= left + 10
    assert all(40 < b - a < 80 for a, b in itertools.pairwise(places))


def test_a_zip_ends_at_a_notch_and_pockets_have_theirs():
    zipped = by_name(garment(GIRL, part("flared skirt")))["skirt back"]
    long = seam_length(zipped, "centre back")
    assert marks(zipped, "centre back") == pytest.approx([long - (524 // 60 * 10 + 50)])
    pocketed = by_name(garment(GIRL, part("flared skirt"), part("pocket", style="in seam")))
    opening = seam_length(pocketed["pocket bag"], "side")
    for side in ("front", "back"):
        at = marks(pocketed[f"skirt {side}"], "side")
        assert at == pytest.approx([40, 40 + opening])


def test_tops_of_strips_are_notched_in_quarters():
    for parts in ((part("gathered skirt"),), (part("tier"),), (part("underlayer"),)):
        (strip,) = garment(GIRL, *parts).pieces
        top = "top" if parts[0].draft == "tier" else "waist"
        long = seam_length(strip, top)
        assert marks(strip, top) == pytest.approx([long / 4, long / 2, 3 * long / 4])


# ---- growth --------------------------------------------------------------------------------


def test_growth_is_drawn_and_told():
    """Wider side and waist seams and a deeper hem (a family magazine's advice of 1976)."""
    plain = garment(GIRL, part("bodice"), part("gathered skirt"))
    grown = garment(
        GIRL, part("bodice", growth="one size"), part("gathered skirt", growth="one size")
    )
    for one, other in zip(plain.pieces, grown.pieces, strict=True):
        assert one.sewing_line != () != other.sewing_line
        assert seam_length(one, "waist") == pytest.approx(seam_length(other, "waist"))
    deep = [bounds(draft.pieces[2].outline)[2] for draft in (plain, grown)]
    assert deep[1] - deep[0] == pytest.approx(38.1)
    wide = [bounds(draft.pieces[0].outline)[3] for draft in (plain, grown)]
    assert wide[1] - wide[0] == pytest.approx(10, abs=1.5)
    codes = [found.code for found in without_notions(grown).findings]
    assert codes == ["growth-allowed", "growth-allowed"]
    assert "4 cm round in all" in grown.findings[0].message
    assert plain.findings == ()
