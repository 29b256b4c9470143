"""What is worn over a dress or with it: pinafores, petticoats, capes, waistcoats, collars."""

import math
from dataclasses import replace

import pytest

from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.curves import length
from pieces.seams import seam_length, seam_line, whole_length
from tests.pieces.test_garments import BABY, BOY, GIRL, IN, codes, refused
from tests.pieces.test_joins import angle, over
from tests.pieces.wearers import by_name, garment, part


def test_straps_of_a_sewing_apron_in_print():
    """*Scientific Sewing and Garment Cutting*, Plain Sewing Apron: straps as long as from the waist
    over the shoulder to the waist behind, cut 2 1/2 in. wide; ruffles 1 in. deep and one third
    longer. Ours are cut in two layers, so each is as wide as finished with a seam on both edges."""
    over_shoulder = 26 * IN
    asked = part(
        "pinafore",
        bib=False,
        strap_length=over_shoulder,
        ruffle=IN,
        fullness=4 / 3,
        seam=0.25 * IN,
        hem=0.25 * IN,
    )
    pieces = by_name(garment(GIRL, asked))
    strap, ruffle = pieces["pinafore strap"], pieces["pinafore ruffle"]
    assert seam_length(strap, "ruffle edge") == pytest.approx(over_shoulder)
    assert seam_length(ruffle, "top") == pytest.approx(over_shoulder * 4 / 3)
    assert (strap.parts, ruffle.parts) == (4, 2)
    # As drafted, twice from the waist to the side of the neck, and 3 cm to cross.
    own = by_name(garment(GIRL, part("pinafore")))["pinafore strap"]
    assert seam_length(own, "ruffle edge") == pytest.approx(2 * (GIRL.back_waist + 15) + 30, abs=1)


def test_a_pinafore_hangs_on_a_waistband():
    parts = part("pinafore"), part("gathered skirt")
    assert "edge-unfinished" in codes(GIRL, *parts)
    assert "edge-unfinished" not in codes(GIRL, *parts, part("waistband"))
    bib, strap = garment(GIRL, parts[0]).pieces[:2]
    assert seam_length(bib, "side") == pytest.approx(seam_length(strap, "bib edge"))


@pytest.mark.parametrize("hoops", [1, 3, 5])
def test_channels_are_as_long_as_the_circle_they_lie_on(hoops):
    asked = part("petticoat", hoops=hoops, length=600.0, hem_width=1800.0, top_fullness=1.0)
    draft = garment(GIRL, asked)
    pieces = by_name(draft)
    panel = pieces["petticoat panel"]
    assert len(draft.pieces) == hoops
    for number in range(1, hoops):
        around = GIRL.waist + (1800 - GIRL.waist) * number / hoops
        assert whole_length([panel], f"channel {number}") == pytest.approx(around, rel=1e-3)
        strip = pieces[f"petticoat channel {number}"]
        assert whole_length([strip], "edge") == pytest.approx(around + 40, rel=1e-3)
    assert draft.findings == ()
    assert [notion.name for notion in draft.notions if notion.length_mm > 500] == (
        ["hoop boning"] * hoops
    )
    assert "opening-to-leave" in codes(GIRL, asked, part("waistband"))


def test_an_overskirt_covers_its_share_and_falls_to_the_back():
    for name, share in (("overskirt", 1.0), ("train", 0.5)):
        (piece,) = garment(GIRL, part(name, back_longer=200.0)).pieces
        assert whole_length([piece], "waist") == pytest.approx(share * GIRL.waist, rel=1e-3)
        whole = garment(GIRL, part(name, back_longer=200.0, rounding=0.0)).pieces[0]
        behind = whole.grain[1][0] - whole.grain[0][0]
        assert behind - seam_length(whole, "front edge") == pytest.approx(200)
        assert angle(whole, "front edge", -1) == pytest.approx(90, abs=1.5)
        assert "edge-unfinished" in codes(GIRL, part(name))
    assert refused(GIRL, part("train", covers=2.0)).key.endswith(".covers")


def test_capes_in_print():
    """*Vincent's Systems of Cutting all Kinds of Tailor-made Garments*, capes: half a circle has
    the middles of front and back at right angles, the shoulders touching; the seam is 2 1/2 to 3
    in. longer from the neck than the back on a grown-up, whose shoulder is some 5 in. Ours is
    longer by half the shoulder, 2.7 in. here; the front ends 3/4 in. lower than the back (*The
    Cutters' Practical Guide*, part 1, 1898, p. 22) where Vincent shortens it by 1 1/2 in. from a
    neck that is deeper in front."""
    body = Body(height=1700.0, chest=36 * IN, neck=14 * IN, shoulder=5 * IN, waist=26 * IN)
    draft = garment(body, part("cape", length=24 * IN))
    front, back = draft.pieces
    at_hem = [math.atan2(*_way(piece)) for piece in (front, back)]
    assert math.degrees(sum(at_hem)) == pytest.approx(90, abs=0.1)
    longer = seam_length(back, "shoulder") - (back.grain[1][0] - back.grain[0][0])
    assert 2.2 < longer / IN < 3
    assert seam_length(front, "shoulder") == pytest.approx(seam_length(back, "shoulder"))


def _way(piece):
    """How far the end of the shoulder seam runs across and along the middle."""
    (ax, ay), (bx, by) = seam_line(piece, "shoulder")[:2]
    return abs(by - ay), abs(bx - ax)


@pytest.mark.parametrize("size", ["6 months", "4 years", "12 years", "170 cm"])
def test_a_hood_fits_the_neck_and_the_head(size):
    pieces = by_name(garment(SIZES[size], part("cape", hood=True)))
    hood = pieces["cape hood"]
    neck = sum(seam_length(pieces[f"cape {side}"], "neck") for side in ("front", "back"))
    assert seam_length(hood, "neck") == pytest.approx(neck, abs=0.1)
    assert angle(hood, "front edge", 0) == pytest.approx(90, abs=1.5)
    assert angle(hood, "neck", 0) == pytest.approx(90, abs=1.5)
    # The hood's crown goes over the head, which is round a circle half of its girth and more.
    assert seam_length(hood, "crown") > 0.7 * 2 * 0.43 * 405


@pytest.mark.parametrize("draft", ["cape", "bow tie"])
def test_no_cord_is_told_where_the_neck_is_closed(draft):
    (found,) = garment(GIRL, part(draft)).findings
    assert found.code == "no-cord-at-neck"
    assert "Local rules" in found.message


# ---- boys' occasion wear -------------------------------------------------------------------


def test_a_waistcoat_is_lower_in_scye_and_neck_than_a_bodice():
    draft = garment(BOY, part("waistcoat", lining="cotton"))
    front, back = draft.pieces[:2]
    bodice = garment(BOY, part("bodice", sleeveless=True)).pieces[1]
    assert seam_length(back, "armhole") > seam_length(bodice, "armhole") + 5
    assert seam_length(back, "shoulder") < BOY.shoulder
    assert front.pair
    assert back.on_fold is not None
    down = back.grain[1][0] - back.grain[0][0]
    assert down == pytest.approx(1.22 * BOY.back_waist)
    assert max(map(abs, over(front, back, "side"))) < 3
    assert "edge-unfinished" not in codes(BOY, part("waistcoat", lining="cotton"))
    assert "edge-unfinished" in codes(BOY, part("waistcoat"))


def test_a_bow_tie_goes_round_the_neck_and_a_cummerbund_round_the_waist():
    pieces = by_name(garment(BOY, part("bow tie"), part("cummerbund")))
    assert seam_length(pieces["bow tie band"], "edge") == pytest.approx(BOY.neck + 15 + 30)
    assert seam_length(pieces["bow tie loop"], "edge") == pytest.approx(2 * 0.36 * BOY.neck)
    front, band = pieces["cummerbund"], pieces["cummerbund band"]
    around = seam_length(front, "lower edge") + 2 * seam_length(band, "edge")
    assert around == pytest.approx(BOY.waist + 10 + 40)
    deep, finished = seam_length(front, "end"), seam_length(band, "front end")
    assert finished == pytest.approx(0.085 * BOY.height)
    assert deep == pytest.approx(finished * (1 + 2 * 4 * 0.6 / 5))
    assert refused(BOY, part("cummerbund", pleat_depth=40.0)).key.endswith(".pleat_depth")


def test_what_closes_them_is_on_the_shopping_list():
    def bought(body, *parts):
        draft = garment(body, *parts)
        return {(one.name, one.where): (one.count, one.length_mm) for one in draft.notions}

    suit = bought(BOY, part("waistcoat", lining="cotton"), part("trousers", waist="band"))
    assert suit["button", "centre front"][0] == 3
    banded = bought(
        BOY,
        part("waistcoat", lining="cotton"),
        part("trousers", waist="band"),
        part("waistband", underlap=25.0),
    )
    assert banded["button", "underlap of the waistband"][0] == 1
    assert suit["zip", "front of the trousers"][1] == pytest.approx(115, abs=5)
    assert bought(BOY, part("trousers"))["elastic", "waist of the trousers"] == (
        1,
        pytest.approx(BOY.waist - 5),
    )
    # A yoke of some 7 cm and 20 cm of placket, not buttons down to the hem.
    assert bought(BABY, part("christening gown"))["button", "centre back"][0] == 5
    # One in one piece has a zip to a hand's breadth below the waist.
    whole = bought(BABY, part("christening gown", style="one-piece", closing="zip"))
    assert whole["zip", "centre back, from the neck down to its notch"][1] < BABY.back_waist + 150
    romper = bought(BABY, part("romper"))
    assert romper["snap", "fork of the romper"][0] == 3
    assert romper["elastic", "legs of the romper"][0] == 2
    assert bought(GIRL, part("cape"))["button", "front of the cape"][0] == 6


# ---- collars that roll ---------------------------------------------------------------------


def test_a_collar_that_rolls_is_as_long_at_the_neck_and_shorter_outside():
    """The more the shoulders overlap, the shorter the outer edge, and the higher it stands."""
    flat, rolled = (
        garment(GIRL, part("bodice"), part("collar", ends="square", roll=roll)).pieces[2]
        for roll in (0.0, 15.0)
    )
    assert seam_length(rolled, "neck") == pytest.approx(seam_length(flat, "neck"), abs=0.05)
    assert seam_length(rolled, "outer edge") < seam_length(flat, "outer edge") - 10
    turns = [2 * angle(rolled, "centre back", end) - 180 for end in (0, -1)]
    assert max(map(abs, turns)) < 3


def test_a_standing_collar_in_print():
    """*The Practical Designer*, 1918, lesson 53: for a neck of 14 in. a stand 3 in. high, its ends
    raised by 1 in. above the middle of its lower edge. Ours leans less, with ends 1 cm higher; the
    length is the neck's in both."""
    draft = garment(GIRL, part("bodice"), part("collar", style="stand", depth=3 * IN))
    stand = draft.pieces[2]
    neck = seam_line(stand, "neck")
    (ax, _), (bx, _) = neck[0], neck[-1]
    assert abs(bx - ax) == pytest.approx(10, abs=0.3)
    assert length(seam_line(stand, "front end")) == pytest.approx(3 * IN)
    round_end = garment(GIRL, part("bodice"), part("collar", style="stand", ends="round"))
    assert seam_length(round_end.pieces[2], "front end") < 25


def test_a_bodys_belly_is_not_too_wide_for_a_band():
    """Where the waist is more than the hip the sides of trousers go out to it."""
    stout = replace(BOY, waist=560.0)
    pieces = garment(stout, part("trousers", waist="band")).pieces
    assert whole_length(pieces, "waist") == pytest.approx(570, abs=6)
