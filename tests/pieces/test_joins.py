"""Pieces laid together on their seams: no line kinks, no curve is too tight, notches face."""

import math
import random
from itertools import pairwise

import pytest

from pieces.body.measurements import Body
from pieces.body.ranges import RANGES_MM
from pieces.body.tables import SIZES
from pieces.joins import KINK_DEG, check, found_on, kinks, unmet
from pieces.piece import Join, Piece, Seam, Side
from pieces.seams import seam_line
from tests.examples import some
from tests.pieces.wearers import ANY_BODIES, COMPLETE, by_name, garment, part

NECKS = ("round", "V", "square", "boat", "sweetheart")
KNOWN = sorted(size for size, body in SIZES.items() if body.wrist is not None)


def angle(piece, name, end):
    """The angle inside a piece at the start (0) or end (-1) of a seam, by the chords there."""
    ring = piece.sewing_line
    lines = [seam.line for seam in piece.seams if seam.name == name]  # in two beside a dart
    corner = min(ring, key=lambda at: math.dist(at, lines[end][end]))
    place = ring.index(corner)
    (ax, ay), (x, y), (bx, by) = ring[place - 1], corner, ring[(place + 1) % len(ring)]
    turn = math.degrees(math.atan2(ay - y, ax - x) - math.atan2(by - y, bx - x)) % 360
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise((*ring, ring[0])))
    return turn if area > 0 else 360 - turn


def over(front, back, name, ends=(0, -1)):
    """By how much lines turn at the ends of a seam between front and back."""
    return [angle(front, name, end) + angle(back, name, end) - 180 for end in ends]


def at_fold(piece, *, corner=""):
    """By how much lines turn at the ends of a piece's fold, but at the seam called so."""
    ends = [
        (seam.name, end) for seam in piece.seams for end in (0, -1) if abs(seam.line[end][1]) < 1e-6
    ]
    return [2 * angle(piece, name, end) - 180 for name, end in ends if name != corner]


def tightest(line):
    """The least radius of a curve, by circles through three points each 3 mm apart or more."""
    thinned = [line[0]]
    for point in line[1:]:
        if math.dist(point, thinned[-1]) >= 3:
            thinned.append(point)
    found = math.inf
    for a, b, c in zip(thinned, thinned[1:], thinned[2:], strict=False):
        twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]))
        if twice > 1e-9:
            found = min(found, math.dist(a, b) * math.dist(b, c) * math.dist(a, c) / 2 / twice)
    return found


@pytest.mark.parametrize("size", some(SIZES))
def test_bodices_do_not_kink(size):
    """Neck at the shoulder, armhole at shoulder and underarm, waist at the side: front and back
    laid together make one continuous curve (*A Complete Course in Dressmaking*, vol. 9, 1921,
    p. 22); over 3 degrees is a fault (common practice)."""
    for neck in NECKS:
        for waist in ("natural", "high"):
            draft = garment(SIZES[size], part("bodice", neck=neck, waist=waist))
            front, back = draft.pieces
            turns = [*over(front, back, "shoulder"), *over(front, back, "side")]
            turns += at_fold(front, corner="neck" if neck in ("V", "sweetheart") else "")
            turns += [2 * angle(back, "centre back", end) - 180 for end in (0, -1)]
            assert max(map(abs, turns)) < 3, (neck, waist, turns)


@pytest.mark.parametrize("size", some(SIZES))
def test_no_neck_is_tighter_than_its_seam(size):
    """A curve turns no tighter than a seam allowance of 1 cm can be pressed (common practice)."""
    for neck in NECKS:
        front, back = garment(SIZES[size], part("bodice", neck=neck)).pieces
        assert tightest(seam_line(back, "neck")) > 10, neck
        if neck not in ("V", "square", "sweetheart"):  # these have a corner
            assert tightest(seam_line(front, "neck")) > 10, neck


@pytest.mark.parametrize("size", some(KNOWN))
@pytest.mark.parametrize("style", ["short", "long", "puff"])
def test_sleeves_do_not_kink(size, style):
    """Cap and hem run on over the underarm seam, and a hem turned up on it is a mirror image."""
    for more in ({}, {"cap_fullness": 1.25 if style == "long" else 2.0}, {"ease": 20.0}):
        draft = garment(SIZES[size], part("bodice"), part("sleeve", style=style, **more))
        sleeve = draft.pieces[2]
        cap = angle(sleeve, "cap front", 0) + angle(sleeve, "cap back", -1) - 180
        hem = angle(sleeve, "hem", 0) + angle(sleeve, "hem", -1) - 180
        assert max(abs(cap), abs(hem)) < 3, (style, more, cap, hem)
        assert angle(sleeve, "hem", 0) == pytest.approx(90, abs=1.5)


@pytest.mark.parametrize("size", some(SIZES))
def test_facings_do_not_kink(size):
    for neck in NECKS:
        parts = part("facing"), part("facing", edge="armhole")
        draft = garment(SIZES[size], part("bodice", neck=neck, sleeveless=True), *parts)
        pieces = by_name(draft)
        for edge, seams in (("neck", ("shoulder",)), ("armhole", ("shoulder", "side"))):
            front, back = (pieces[f"{edge} facing {side}"] for side in ("front", "back"))
            for name in seams:
                assert max(map(abs, over(front, back, name))) < 3, (neck, edge, name)


@pytest.mark.parametrize("size", some(KNOWN))
def test_skirts_and_yokes_do_not_kink(size):
    for circle in ("full", "three-quarter", "half"):
        front, back = garment(SIZES[size], part("flared skirt", circle=circle)).pieces
        turns = [*over(front, back, "side"), *at_fold(front)]
        turns += [2 * angle(back, "centre back", end) - 180 for end in (0, -1)]
        assert max(map(abs, turns)) < 3, (circle, turns)
    front, back = garment(SIZES[size], part("yoke")).pieces
    assert max(map(abs, [*over(front, back, "side"), *at_fold(front)])) < 3


@pytest.mark.parametrize("size", some(SIZES))
@pytest.mark.parametrize("style", ["flat", "stand"])
def test_collars_do_not_kink(size, style):
    for closing in ("zip", "front opening"):
        draft = garment(SIZES[size], part("bodice", closing=closing), part("collar", style=style))
        collar = draft.pieces[2]
        turns = at_fold(collar)
        if closing == "zip":
            turns = [2 * angle(collar, "centre back", end) - 180 for end in (0, -1)]
        assert max(map(abs, turns)) < 3, (closing, turns)


@pytest.mark.parametrize("size", some(KNOWN))
def test_front_is_longer_where_the_belly_asks(size):
    """Children's fronts are longer: 1 cm in a pattern teaching site's block for 1 to 10 years."""
    body = SIZES[size]
    front, back = garment(body, part("bodice")).pieces
    lower = back.grain[1][0] - back.grain[0][0]
    _, tail = front.grain[1], front.grain[0]
    side = min(seam_line(front, "side")[0][0], seam_line(front, "side")[-1][0])
    longer = side - tail[0]
    assert lower == pytest.approx(body.back_waist)
    share = body.waist / body.chest
    if share >= 0.98:
        assert longer == pytest.approx(15)
    elif share > 0.8:
        assert 0 < longer < 15
    flat = garment(body, part("bodice", front_longer=0.0)).pieces[0]
    assert flat.grain[0][0] == pytest.approx(seam_line(flat, "side")[0][0])


# ---- the joiner ------------------------------------------------------------------------------


def box(name, *, lean=0.0, marks=(4.0,)):
    """A box ten wide, sewn at its right edge, whose top leans; notched on that edge."""
    ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0 - 10.0 * math.tan(lean)))
    return Piece(
        name,
        "cloth",
        ring,
        ((0.0, 0.0), (0.0, 5.0)),
        sewing_line=ring,
        seams=(Seam("side", ring[1:3], marks),),
    )


def test_the_joiner_tells_what_turns_and_what_misses_its_notch():
    join = Join(what="side seam", this=Side("a", "side"), that=Side("b", "side"))
    straight = [box("a"), box("b")]
    assert list(kinks(straight, [join])) == []
    assert list(unmet(straight, [join])) == []
    pieces = [box("a"), box("b", lean=math.radians(12), marks=(6.0,))]
    ((what, turn),) = kinks(pieces, [join])
    assert (what, round(turn)) == ("side seam", -12)
    assert list(unmet(pieces, [join])) == [("side seam", 4.0)]
    assert check(join, "Ada", {piece.name: piece for piece in pieces}).ok
    slight = [box("a"), box("b", lean=math.radians(KINK_DEG - 0.1))]
    assert list(kinks(slight, [join])) == []


def test_a_join_that_runs_the_other_way_is_looked_at_from_its_other_end():
    join = Join(what="side seam", this=Side("a", "side"), that=Side("b", "side"), turned=True)
    pieces = [box("a"), box("b", marks=(6.0,))]
    assert list(unmet(pieces, [join])) == []


@pytest.mark.parametrize("size", some(KNOWN))
def test_every_join_of_a_dress_is_smooth_and_notched_alike(size):
    parts = (
        part("bodice", closing="buttons", lining="cotton"),
        part("sleeve", style="puff"),
        part("facing"),
        part("yoke"),
        part("flared skirt"),
    )
    draft = garment(SIZES[size], *parts)
    assert {join.what.split(",")[0] for join in draft.joins} >= {"side seam", "shoulder seam"}
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert list(unmet(draft.pieces, draft.joins)) == []
    assert [one.what for one in draft.seam_checks if not one.ok] == []


def test_a_seam_that_would_kink_is_told_once():
    join = Join(what="side seam", this=Side("a", "side"), that=Side("b", "side"))
    (found,) = found_on("Ada", [box("a", lean=0.2), box("b", lean=0.1)], [join])
    assert found.code == "seam-kinks"
    assert "17 degrees" in found.message


def test_the_steepest_sleeve_still_runs_on_over_its_seam():
    """One that tapers from a plump arm to a narrow hem within 5 cm."""
    draft = garment(SIZES["4 years"], part("bodice"), part("sleeve", hem_width=100.0))
    assert draft.findings == ()


@pytest.mark.parametrize("number", range(ANY_BODIES or 12))
def test_joins_of_random_bodies(number):
    """Seeded: each measure a little off those of a size, larger or smaller as a whole."""
    chance = random.Random(number)
    like, whole = SIZES[chance.choice(COMPLETE)], chance.uniform(0.9, 1.4)
    measures = {
        name: value * whole * chance.uniform(0.97, 1.03)
        for name in RANGES_MM
        if (value := getattr(like, name)) is not None
    }
    parts = (
        part("bodice", neck=NECKS[number % 5], style=("plain", "princess")[number % 2]),
        part("sleeve", style=("short", "long", "puff")[number % 3]),
        part("facing"),
        part("A-line dress", "lawn", neck=NECKS[number % 5]),
        part("bell sleeve", "lawn", hem=8.0),
        part("flared skirt", "lawn", back_longer=40.0 * (number % 3)),
        part("bloomers", "lawn", hem=15.0),
    )
    draft = garment(Body(**measures), *parts)
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert list(unmet(draft.pieces, draft.joins)) == []
    assert [one.what for one in draft.seam_checks if not one.ok] == []


@pytest.mark.parametrize("size", KNOWN[::6])
def test_no_cut_line_has_points_that_crowd_a_fold(size):
    """Whoever reads a drawing takes what is within half a millimetre of its fold to be on it."""
    parts = part("bodice", closing="none"), part("flared skirt"), part("yoke")
    for piece in garment(SIZES[size], *parts).pieces:
        if piece.on_fold is not None:
            assert all(y == 0 or y > 0.5 for _, y in piece.outline), piece.name
