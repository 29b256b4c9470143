"""Women: their sizes, darts over the bust and at the waist, and all that is sewn to these."""

import math
import random
from dataclasses import replace

import pytest

from pieces.body.measurements import Body
from pieces.body.tables import SIZES, fill
from pieces.check import check
from pieces.drafting.spec import GarmentSpec
from pieces.drafting.worn import worn
from pieces.errors import OrderFault
from pieces.joins import KINK_DEG, kinks, unmet
from pieces.seams import seam_length, whole_length
from tests.examples import some
from tests.pieces.wearers import by_name, garment, part

WOMEN = [size for size in SIZES if size.split()[0] in ("misses", "women", "bust")]
MISS = SIZES["misses 12"]
IN = 25.4


def lines(piece, name):
    return [seam.line for seam in piece.seams if seam.name == name]


def legs(piece, name):
    """The two legs of a dart, each from its foot."""
    (mouth,) = lines(piece, name)
    return [line for line in piece.drawn_lines if line[0] in (mouth[0], mouth[-1])]


def sound(draft):
    assert check(draft.pieces) == ()
    assert [one.what for one in draft.seam_checks if not one.ok] == []
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert list(unmet(draft.pieces, draft.joins)) == []


# ---- sizes ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "bust", "waist", "hip", "back"),
    [
        ("misses 6", 30.5, 23, 32.5, 15.5),
        ("misses 12", 34, 26.5, 36, 16.25),
        ("misses 14", 36, 28, 38, 16.5),
        ("misses 20", 42, 34, 44, 17.25),
        ("women 42", 46, 39, 48, 17.5),
        ("women 48", 52, 46.5, 54, 17.875),
    ],
)
def test_us_sizes_are_the_pattern_companies(size, bust, waist, hip, back):
    """Their standard body measurements, inches, as a sewing blog of 2011 reprints them."""
    body = SIZES[size]
    found = (body.chest, body.waist, body.hip, body.back_waist)
    assert found == pytest.approx([one * IN for one in (bust, waist, hip, back)], abs=1.0)


@pytest.mark.parametrize(
    ("bust", "across_back", "across_front", "shoulder", "upper_arm", "rise"),
    [
        (76, 31.4, 28.8, 11.5, 24.8, 25.9),
        (88, 34.4, 32.4, 12.25, 28.4, 28.0),
        (104, 38.4, 37.2, 13.25, 33.2, 30.8),
        (122, 42.6, 42.6, 14.2, 39.2, 33.8),
    ],
)
def test_lines_keep_near_the_chart(bust, across_back, across_front, shoulder, upper_arm, rise):
    """Single sizes of a British textbook's chart, cm (secondary copy): to 6 mm."""
    body = SIZES[f"bust {bust} cm"]
    found = (body.across_back, body.across_front, body.shoulder, body.upper_arm, body.rise)
    for one, chart in zip(
        found, (across_back, across_front, shoulder, upper_arm, rise), strict=True
    ):
        assert one == pytest.approx(10 * chart, abs=6.5)


def test_every_women_size_has_what_her_darts_need():
    for size in WOMEN:
        assert SIZES[size].has_bust, size
    with pytest.raises(ValueError, match="misses 12"):
        fill(Body(), "miss 12")


# ---- darts ---------------------------------------------------------------------------------


@pytest.mark.parametrize("size", some(WOMEN))
def test_a_bust_dart_ends_by_the_bust_point(size):
    """Both legs are equally long and end 2 cm short of it; the side is as long as the back's."""
    body = SIZES[size]
    draft = garment(body, part("bodice", closing="zip"))
    sound(draft)
    assert draft.findings == ()
    front, back = draft.pieces
    assert seam_length(front, "side") == pytest.approx(seam_length(back, "side"), abs=0.02)
    one, other = legs(front, "bust dart")
    assert math.dist(*one) == pytest.approx(math.dist(*other), abs=0.01)
    assert math.dist(one[0], other[0]) > 15
    # The side of the neck is the highest point; the fold lies on y = 0.
    neck = lines(front, "neck")[0][0]
    across = body.bust_span / 2 - neck[1]
    point = (neck[0] - math.sqrt(body.bust_height**2 - across**2), body.bust_span / 2)
    assert math.dist(one[1], point) == pytest.approx(20, abs=0.2)
    assert one[1][1] > point[1]
    waist = legs(front, "waist dart")[0][1]
    assert (waist[0], waist[1]) == pytest.approx((point[0] - 20, point[1]), abs=0.2)
    assert whole_length(draft.pieces, "waist") == pytest.approx(body.waist + 40, abs=0.1)


@pytest.mark.parametrize(("size", "chart"), [("bust 80 cm", 58), ("bust 88 cm", 70)])
def test_a_dart_at_the_shoulder_is_the_charts(size, chart):
    """5.8 cm at a bust of 80, 7 at 88, measured at the shoulder (a British textbook's chart,
    secondary copy); the draft halves the shoulder lower and trues the side: to 1 cm."""
    front = garment(SIZES[size], part("bodice", bust_dart="shoulder")).pieces[0]
    one, other = legs(front, "bust dart")
    assert math.dist(one[0], other[0]) == pytest.approx(chart, abs=10)
    assert math.dist(*one) == pytest.approx(math.dist(*other), abs=0.01)


def test_a_longer_front_has_a_wider_dart():
    """What the front is longer than the back, both from the side of the neck to the waist, goes
    into the dart (a sewing blog, 2012)."""
    rise = (MISS.neck / 6 + 5) / 3
    mouths = []
    for longer in (10.0, 30.0):
        body = replace(MISS, front_waist=MISS.back_waist + rise + longer)
        front, back = garment(body, part("bodice")).pieces
        one, other = legs(front, "bust dart")
        mouths.append(math.dist(one[0], other[0]))
        long = [lines(one, "neck")[0][0][0] - lines(one, "waist")[0][0][0] for one in (front, back)]
        assert long[0] - long[1] == pytest.approx(longer, abs=0.1)
    assert mouths[1] - mouths[0] == pytest.approx(20, abs=2)


@pytest.mark.parametrize("size", some(WOMEN))
@pytest.mark.parametrize("draft", ["bodice", "A-line dress"])
def test_a_dart_may_begin_at_the_shoulder(size, draft):
    found = garment(SIZES[size], part(draft, bust_dart="shoulder", neck="V"), part("facing"))
    sound(found)
    assert found.findings == ()
    assert len(legs(found.pieces[0], "bust dart")) == 2
    assert len(lines(found.pieces[0], "side")) == 1


@pytest.mark.parametrize("size", some(WOMEN))
@pytest.mark.parametrize("waist", ["natural", "high"])
def test_a_princess_seam_takes_both_darts(size, waist):
    parts = part("bodice", style="princess", waist=waist, lining="cotton"), part("sleeve")
    draft = garment(SIZES[size], *parts, part("gathered skirt"))
    sound(draft)
    assert draft.findings == ()
    pieces = by_name(draft)
    front, beside = pieces["bodice front"], pieces["bodice side front"]
    assert not front.drawn_lines
    assert not beside.drawn_lines
    plain = by_name(garment(SIZES[size], part("bodice", waist=waist)))["bodice front"]
    armholes = sum(seam_length(one, "armhole") for one in (front, beside))
    assert armholes == pytest.approx(seam_length(plain, "armhole"), abs=1.5)


def test_a_dart_that_kinks_is_told():
    """Its legs moved aside: the waist then turns as it runs over them."""
    front = garment(MISS, part("bodice")).pieces[0]
    one, other = legs(front, "waist dart")
    moved = tuple(
        (line[0], (line[1][0], line[1][1] + 40)) if line == one else line
        for line in front.drawn_lines
    )
    ((what, turn),) = kinks([replace(front, drawn_lines=moved)], ())
    assert what == "waist dart of bodice front"
    assert abs(turn) > KINK_DEG
    assert other in moved


# ---- who has none, and why -----------------------------------------------------------------


def test_without_a_known_bust_a_grown_ups_bodice_says_why_it_has_no_darts():
    flat = replace(MISS, bust_height=None, bust_span=None)
    large = replace(flat, chest=960.0, waist=780.0, hip=1000.0, upper_arm=300.0)
    (found,) = garment(large, part("bodice")).findings
    assert found.code == "bust-not-shaped"
    assert "neither bust_height nor bust_span" in found.message
    (found,) = garment(replace(flat, bust_span=180.0), part("bodice")).findings
    assert "but not bust_height" in found.message
    (found,) = garment(MISS, part("bodice", bust_dart="none")).findings
    assert 'bust_dart = "none"' in found.message
    short = replace(MISS, front_waist=MISS.back_waist)
    assert "no longer than" in garment(short, part("bodice")).findings[-1].message
    for draft in ("romper", "waistcoat"):
        (found,) = garment(MISS, part(draft)).findings
        assert found.code == "bust-not-shaped"


@pytest.mark.parametrize(
    ("name", "value"), [("bust_span", 345.0), ("bust_height", 130.0), ("front_waist", 640.0)]
)
def test_a_bust_where_none_can_be_is_refused(name, value):
    with pytest.raises(OrderFault) as refused:
        garment(replace(MISS, **{name: value}), part("bodice"))
    assert [one.key for one in refused.value.faults] == [f"garment[0].body.{name}"]


# ---- a hundred women -----------------------------------------------------------------------


def any_woman(number):
    """A woman like one of the tables', each measure a little more or less."""
    chance = random.Random(number)
    like = SIZES[chance.choice([size for size in WOMEN if SIZES[size].chest < 1250])]
    known = {name: getattr(like, name) for name in Body.__dataclass_fields__}
    body = {name: mm * chance.uniform(0.96, 1.04) for name, mm in known.items() if mm is not None}
    if number % 3 == 0:
        rise = (body["neck"] / 6 + 5) / 3
        body["front_waist"] = body["back_waist"] + rise + chance.uniform(0, 35)
    return Body(**body)


STYLES = ({}, {"bust_dart": "shoulder"}, {"style": "princess"}, {"waist": "high"})
NECKS = ("round", "V", "square", "boat", "sweetheart")


@pytest.mark.parametrize(
    "number",
    [*range(5), *(pytest.param(n, marks=pytest.mark.long) for n in range(5, 100))],
)
def test_any_woman_is_dressed(number):
    """Angles within 3 degrees, lengths within 0.5 mm, notches meet, and she gets in."""
    body = any_woman(number)
    neck = NECKS[number % 5]
    parts = (
        part("bodice", neck=neck, lining="cotton", **STYLES[number // 4 % 4]),
        part("sleeve", style=("short", "long", "puff")[number % 3], lining="cotton"),
        part("facing"),
        part("flared skirt"),
    )
    draft = garment(body, *parts)
    sound(draft)
    seen = {found.code for found in draft.findings}
    assert seen <= {"back-waist-over-front-waist"}, seen
    assert worn(GarmentSpec("Ada's dress", body, parts, "garment[0]")) == ()
    dress = garment(body, part("A-line dress", neck=neck), part("bell sleeve"))
    sound(dress)


# ---- on one shoulder -----------------------------------------------------------------------


@pytest.mark.parametrize("size", some(["newborn", "8 years", *WOMEN]))
@pytest.mark.parametrize("shoulder", ["left", "right"])
def test_one_shoulder_is_whole_and_the_lining_turned_over(size, shoulder):
    """Front and back lie right side up, as nobody mirrors odd single pieces: seen from outside, the
    wearer's left is at the right of a front and at the left of a back (common practice)."""
    bodice = part("one-shoulder bodice", lining="cotton", shoulder=shoulder)
    draft = garment(SIZES[size], bodice, part("flared skirt", opening="side"))
    sound(draft)
    assert {one.code for one in draft.findings} == {"opens-at-side"}
    pieces = by_name(draft)
    for which, at_right in (("front", shoulder == "left"), ("back", shoulder == "right")):
        for name, right in ((which, at_right), (f"{which} lining", not at_right)):
            piece = pieces[f"one-shoulder {name}"]
            assert (piece.parts, piece.on_fold) == (1, None)
            (shoulder_line,) = lines(piece, "shoulder")
            # The head of the grain points to +x: what is at the right lies lower.
            assert (shoulder_line[0][1] < piece.grain[0][1]) is right, name
    shell = [pieces[f"one-shoulder {which}"] for which in ("front", "back")]
    assert whole_length(shell, "waist") == pytest.approx(SIZES[size].waist + 40, abs=0.2)
    (zip_,) = (one for one in draft.notions if one.name == "zip")
    assert zip_.where.startswith("side seam, from the underarm")


def test_one_shoulder_needs_a_lining_and_a_strap():
    found = garment(MISS, part("one-shoulder bodice")).findings
    assert {one.code for one in found} == {"opens-at-side", "edge-unfinished"}
    with pytest.raises(OrderFault) as refused:
        garment(MISS, part("one-shoulder bodice", strap=8.0))
    assert [one.key for one in refused.value.faults] == ["garment[0].part[0].strap"]


def test_a_bust_point_above_a_deep_armhole_is_refused():
    """From there no dart down to the side makes it as long as the back's."""
    body = replace(MISS, bust_height=212.0)
    with pytest.raises(OrderFault) as refused:
        garment(body, part("A-line dress", scye_depth=243.0))
    assert [one.key for one in refused.value.faults] == ["garment[0].body.bust_height"]
