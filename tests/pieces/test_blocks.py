"""Every draft over every size of the tables and over random bodies near them."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Polygon

from pieces.body.tables import SIZES
from pieces.check import check
from pieces.drafting.bodices.upper import quarter_chest_ease
from pieces.drafting.skirts.flared_skirt import CIRCLES
from pieces.geometry import area, bounds, doubled, signed_area
from pieces.joins import unmet
from pieces.seams import seam_length, seam_line, whole_length
from tests.examples import examples, some
from tests.pieces.wearers import bodies, by_name, concert_dress, garment, part


def sound(draft):
    """What holds for whatever is drafted: outlines, seams, and the laid form."""
    assert check(draft.pieces) == ()
    # Random bodies may be as large as a grown-up's, of whom a bodice says that it is a child's.
    assert [found.code for found in draft.findings if found.code != "bust-not-shaped"] == []
    assert [c.what for c in draft.seam_checks if not c.ok] == []
    assert list(unmet(draft.pieces, draft.joins)) == []
    for piece in draft.pieces:
        left, low, _, _ = bounds(piece.outline)
        assert left == 0
        assert low == 0
        assert signed_area(piece.outline) > 0
        (tail, head) = piece.grain
        assert tail[1] == pytest.approx(head[1], abs=1e-9)
        assert tail[0] < head[0]
        if piece.on_fold is not None:
            assert {y for _, y in piece.on_fold} == {0.0}
            assert area(doubled(piece.outline, piece.on_fold)) == pytest.approx(
                2 * area(piece.outline)
            )
        ring = LinearRing(piece.sewing_line)
        assert all(
            ring.distance(LinearRing([*s.line, *s.line[-2::-1]])) < 1e-6 for s in piece.seams
        )


@pytest.mark.parametrize("size", some(SIZES))
def test_a_dress_of_everything_in_every_size(size):
    sound(garment(SIZES[size], *concert_dress()))


@settings(max_examples=examples(40), deadline=None)
@given(bodies(), st.floats(5, 16), st.floats(0, 1.6))
def test_a_dress_of_everything_for_random_bodies(body, seam, hems):
    parts = [
        replace(one, seam_allowance_mm=seam, hem_allowance_mm=hems * one.hem_allowance_mm)
        for one in concert_dress()
    ]
    sound(garment(body, *parts))


@settings(max_examples=examples(40), deadline=None)
@given(bodies(), st.sampled_from(["zip", "buttons", "none"]), st.floats(0, 80), st.floats(0, 120))
def test_bodice_measures_what_its_body_does(body, closing, waist_ease, chest_ease):
    draft = garment(
        body, part("bodice", closing=closing, waist_ease=waist_ease, chest_ease=chest_ease)
    )
    pieces = by_name(draft)
    front, back = pieces["bodice front"], pieces["bodice back"]
    assert whole_length([front, back], "waist") == pytest.approx(body.waist + waist_ease)
    # The widest place of the sewing line, the underarm, is a quarter of the chest and its ease
    # unless the shoulder's point lies further out.
    for piece in (front, back):
        (x, y) = max(p for s in piece.seams if s.name == "side" for p in s.line)
        middle = {round(q[1], 6) for q in piece.grain}.pop()
        assert abs(y - middle) == pytest.approx((body.chest + chest_ease) / 4)
        assert x < max(q[0] for q in piece.sewing_line)
        assert seam_length(piece, "shoulder") == pytest.approx(body.shoulder)
    middle_back = back.grain[1][0] - back.grain[0][0]
    assert middle_back == pytest.approx(body.back_waist)
    assert back.pair is (closing != "none")
    assert (back.on_fold is not None) is (closing == "none")


@pytest.mark.parametrize("wider", [5.0, 20.0, 40.0])
def test_a_wider_neck_is_taken_off_the_shoulder(wider):
    """The armhole stays where it was."""
    body = SIZES["4 years"]
    neck = body.neck / 6 + 5
    plain = garment(body, part("bodice"))
    wide = garment(body, part("bodice", neck_width=neck + wider))
    sound(wide)
    for one, other in zip(plain.pieces, wide.pieces, strict=True):
        assert seam_length(one, "armhole") == pytest.approx(seam_length(other, "armhole"))
        slope = math.cos(math.radians(15))
        lost = seam_length(one, "shoulder") - seam_length(other, "shoulder")
        assert lost == pytest.approx(wider / slope)


def test_buttons_lap_wider_than_a_zip():
    body = SIZES["4 years"]
    widths = [
        bounds(by_name(garment(body, part("bodice", closing=closing)))["bodice back"].outline)[3]
        for closing in ("zip", "buttons")
    ]
    assert widths[1] - widths[0] == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("height", "chest", "ease"),
    [(1160, 600, 10), (1220, 600, 12.5), (1460, 700, 15), (None, 580, 10), (None, 680, 12.5)],
)
def test_ease_by_height_or_else_by_chest(height, chest, ease):
    assert quarter_chest_ease(height, chest) == ease


@settings(max_examples=examples(60), deadline=None)
@given(bodies(), st.floats(0, 30), st.floats(20, 80), st.sampled_from(["short", "long"]))
def test_sleeve_cap_is_the_armhole_and_its_ease(body, cap_ease, ease, style):
    draft = garment(
        body,
        part("bodice"),
        part("sleeve", cap_ease=cap_ease, ease=ease, style=style),
    )
    pieces = by_name(draft)
    armhole = sum(seam_length(pieces[name], "armhole") for name in ("bodice front", "bodice back"))
    sleeve = pieces["sleeve"]
    caps = [seam_length(sleeve, f"cap {side}") for side in ("front", "back")]
    assert sum(caps) == pytest.approx(armhole + cap_ease, abs=0.1)
    assert sleeve.pair
    front, back = (seam_line(sleeve, f"cap {side}") for side in ("front", "back"))
    assert front[-1] == back[0]
    assert math.dist(front[0], back[-1]) == pytest.approx(body.upper_arm + ease)
    if style == "long":
        assert sleeve.grain[1][0] - sleeve.grain[0][0] == pytest.approx(body.arm)
    sound(draft)


def test_sleeve_notches_pair_with_the_armholes():
    """One in front and two behind, and the hem in quarters."""
    pieces = by_name(garment(SIZES["5 years"], part("bodice"), part("sleeve")))
    front, back, sleeve = (pieces[n] for n in ("bodice front", "bodice back", "sleeve"))
    assert (len(front.notches), len(back.notches), len(sleeve.notches)) == (1, 2, 4 + 3)


FULL = {"full": 1, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


@settings(max_examples=examples(80), deadline=None)
@given(
    st.sampled_from(sorted(FULL)),
    st.integers(1, 8),
    st.floats(400, 1200),
    st.floats(150, 1100),
    st.sampled_from(["centre back", "side", "none"]),
    st.sampled_from([None, True, False]),
    st.floats(1, 3),
)
def test_flared_skirt_is_its_part_of_a_ring(circle, panels, waist, long, opening, fold, full):
    """Area of all its parts between the sewing lines: pi f (R^2 - r^2)."""
    if circle == "full" and panels == 1:
        panels = 2
    body = replace(SIZES["4 years"], waist=waist, chest=waist + 60, hip=waist + 80)
    skirt = part(
        "flared skirt",
        circle=circle,
        panels=panels,
        length=long,
        opening=opening,
        on_fold=fold,
        waist_fullness=full,
    )
    draft = garment(body, skirt)
    f = FULL[circle]
    assert CIRCLES[circle] == f
    inner = waist * full / (2 * math.pi * f)
    outer = inner + long
    found = sum(
        area(piece.sewing_line) * piece.parts * (2 if piece.on_fold else 1)
        for piece in draft.pieces
    )
    # Chords cut off 2/3 of their height at most: 0.1 mm all along the hem, 0.05 at the waist.
    slack = 2 * math.pi * f * (outer * 0.1 + inner * 0.05)
    assert found == pytest.approx(math.pi * f * (outer**2 - inner**2), abs=slack)
    hem = whole_length(draft.pieces, "hem")
    assert hem == pytest.approx(2 * math.pi * f * outer, rel=1e-3)
    assert all(check.ok for check in draft.seam_checks)
    assert check(draft.pieces) == ()


@pytest.mark.parametrize(
    ("panels", "opening", "names"),
    [
        (1, "centre back", {"skirt": 1}),
        (2, "centre back", {"skirt front": 1, "skirt back": 2}),
        (2, "side", {"skirt panel": 2}),
        (6, "centre back", {"skirt panel": 6}),
    ],
)
def test_panels_and_their_names(panels, opening, names):
    skirt = part("flared skirt", circle="half", panels=panels, opening=opening)
    draft = garment(SIZES["4 years"], skirt)
    assert {piece.name: piece.parts for piece in draft.pieces} == names


def test_zip_allowance_lies_at_the_opening():
    back = by_name(garment(SIZES["4 years"], part("flared skirt", opening_allowance=30.0)))[
        "skirt back"
    ]
    cut, sewing = Polygon(back.outline), Polygon(back.sewing_line)
    assert bounds(back.sewing_line)[1] - bounds(back.outline)[1] == pytest.approx(30.0)
    assert cut.covers(sewing)


@settings(max_examples=examples(40), deadline=None)
@given(bodies(), st.floats(1, 4), st.floats(300, 3000), st.floats(100, 900))
def test_gathered_skirt_is_as_wide_as_its_fullness(body, fullness, strip, long):
    draft = garment(
        body, part("gathered skirt", fullness=fullness, strip_length=strip, length=long)
    )
    (piece,) = draft.pieces
    assert whole_length([piece], "waist") == pytest.approx(body.waist * fullness)
    _, _, deep, wide = bounds(piece.outline)
    assert wide <= strip + 1e-6
    assert deep == pytest.approx(long + 10 + 25)
    assert wide * (piece.cut - 1) <= body.waist * fullness + 20 * piece.cut
    sound(draft)
