"""From sewing line to cut line: corners, hems, folds, and what can't be done."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from pieces.allowances import Finish, Stretch, offset_allowances, with_allowance
from pieces.body.tables import SIZES
from pieces.curves import arc
from pieces.geometry import area, doubled, is_simple, rotated, signed_area
from pieces.piece import Piece
from tests.pieces.wearers import garment, part

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))


def piece_of(outline, on_fold=None):
    return Piece("p", "cloth", outline, ((0.0, 0.0), (1.0, 0.0)), on_fold=on_fold)


@given(st.floats(0.5, 60), st.floats(0, 360))
def test_square_grows_by_its_allowance_all_round(allowance, turn):
    grown = with_allowance(piece_of(rotated(SQUARE, turn)), allowance)
    assert len(grown.outline) == 4
    assert area(grown.outline) == pytest.approx((100 + 2 * allowance) ** 2)


def test_fold_edge_gets_no_allowance():
    grown = with_allowance(piece_of(SQUARE, ((0.0, 0.0), (100.0, 0.0))), 10.0)
    assert sorted(grown.outline) == [(-10, 0), (-10, 110), (110, 0), (110, 110)]
    assert grown.on_fold == ((-10, 0), (110, 0))
    assert grown.sewing_line == SQUARE
    assert area(doubled(grown.outline, grown.on_fold)) == 120 * 220


@st.composite
def convex(draw):
    """Corners on a circle, at angles of their own."""
    gaps = draw(st.lists(st.floats(0.3, 2), min_size=4, max_size=9))
    turn, total, outline = 0.0, sum(gaps), []
    for gap in gaps:
        turn += 2 * math.pi * gap / total
        outline.append((200 * math.cos(turn), 200 * math.sin(turn)))
    return tuple(outline)


@given(convex(), st.floats(2, 25))
def test_cut_line_keeps_its_distance_from_a_convex_sewing_line(outline, allowance):
    """Mitred corners lie further off, edges exactly the allowance."""
    grown = with_allowance(piece_of(outline), allowance).outline
    sewing, cut = Polygon(outline), Polygon(grown)
    assert cut.buffer(1e-6).covers(sewing.buffer(allowance, quad_segs=64))
    reach = 2.5 * allowance
    # A blunt corner is that far off at its middle, a little further at its ends.
    assert sewing.buffer(1.1 * reach, quad_segs=64).covers(cut)
    for a, b in pairwise((*grown, grown[0])):
        middle = LineString([a, b]).interpolate(0.5, normalized=True)
        blunt = sewing.distance(middle) > allowance + 1e-6
        assert not blunt or sewing.distance(middle) == pytest.approx(reach, abs=1e-6)


def test_sharp_corner_is_blunted_square_to_its_bisector():
    spike = ((0.0, -10.0), (200.0, 0.0), (0.0, 10.0))
    grown = with_allowance(piece_of(spike), 10.0).outline
    tips = [point for point in grown if point[0] > 200]
    assert len(tips) == 2
    assert all(x == pytest.approx(225.0) for x, _ in tips)


def test_hem_ends_mirror_the_sides():
    """A skirt that widens downwards: turned up, the hem lies exactly on the skirt's own sides."""
    side = Stretch(((100.0, 0.0), (60.0, 200.0)), 10.0)
    top = Stretch(((60.0, 200.0), (-60.0, 200.0)), 10.0)
    other = Stretch(((-60.0, 200.0), (-100.0, 0.0)), 10.0)
    hem = Stretch(((-100.0, 0.0), (100.0, 0.0)), 30.0, Finish.HEM)
    outline, folds = offset_allowances([side, top, other, hem])
    assert folds == ()
    foot = [point for point in outline if point[1] == pytest.approx(0.0)]
    toe = [point for point in outline if point[1] == pytest.approx(-30.0)]
    # The side's cut line is 10 mm outside a line that leans 40 in 200.
    half = 100 + 10 * math.hypot(40, 200) / 200
    assert sorted(x for x, _ in foot) == pytest.approx([-half, half])
    # 30 mm up, the skirt is narrower by a fifth of that on each side.
    assert sorted(x for x, _ in toe) == pytest.approx([-half + 6, half - 6])


def test_a_lap_is_mirrored_at_its_fold():
    """Folded back half-way, its edge lies on the slanting neck that it faces."""
    neck = Stretch(((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (60.0, 100.0), (0.0, 70.0)), 10.0)
    lap = Stretch(((0.0, 70.0), (0.0, 0.0)), 40.0, Finish.LAP)
    outline, _ = offset_allowances([neck, lap])
    # The neck rises by a half: its cut line crosses the middle 10 * hypot(1, 1/2) above it.
    middle = 70 + 10 * math.hypot(1, 0.5)
    for x, y in ((-20.0, middle - 10), (-40.0, middle)):
        assert min(math.dist((x, y), point) for point in outline) < 1e-6
    assert (-40.0, -10.0) in [(round(x, 6), round(y, 6)) for x, y in outline]


def test_hem_square_to_its_sides_has_no_idle_corners():
    sides = Stretch(((100.0, 0.0), (100.0, 200.0), (0.0, 200.0), (0.0, 0.0)), 10.0)
    hem = Stretch(((0.0, 0.0), (100.0, 0.0)), 30.0, Finish.HEM)
    outline, _ = offset_allowances([sides, hem])
    assert sorted(outline) == [(-10, -30), (-10, 210), (110, -30), (110, 210)]


def test_steps_where_allowances_differ_along_one_line():
    first = Stretch(((0.0, 0.0), (50.0, 0.0)), 10.0)
    second = Stretch(((50.0, 0.0), (100.0, 0.0)), 20.0)
    rest = Stretch(((100.0, 0.0), (100.0, 100.0), (0.0, 100.0), (0.0, 0.0)), 10.0)
    outline, _ = offset_allowances([first, second, rest])
    assert (50.0, -10.0) in outline
    assert (50.0, -20.0) in outline


@given(st.floats(25, 400), st.floats(1, 20))
def test_inside_of_a_curve_is_its_own_arc_drawn_nearer(radius, allowance):
    """A quarter ring on the fold: an allowance at the waist takes from the hole."""
    waist = arc((0.0, 0.0), radius, 180.0, 90.0)
    hem = arc((0.0, 0.0), radius + 300, 90.0, 180.0)
    stretches = [
        Stretch((hem[-1], waist[0]), 0.0, Finish.FOLD),
        Stretch(waist, allowance),
        Stretch((waist[-1], hem[0]), allowance),
        Stretch(hem, 2 * allowance, Finish.HEM),
    ]
    outline, (fold,) = offset_allowances(stretches)
    assert {y for _, y in fold} == {0.0}
    assert fold[1][0] == pytest.approx(allowance - radius, abs=0.1)
    assert fold[0][0] == pytest.approx(-radius - 300 - 2 * allowance, abs=0.1)
    assert all(y >= 0 for _, y in outline)
    ring = [math.hypot(x, y) for x, y in outline if x <= 0]
    assert min(ring) == pytest.approx(radius - allowance, abs=0.1)
    assert is_simple(doubled(outline, fold))


def test_allowance_wider_than_a_curve_closes_it():
    """A hollow of 8 mm radius under an allowance of 10: its arc vanishes from the cut line."""
    hollow = tuple((x + 50, y) for x, y in arc((0.0, 0.0), 8.0, 180.0, 360.0, 0.05))
    outline = (*hollow, (100.0, 0.0), (100.0, -80.0), (0.0, -80.0), (0.0, 0.0))
    outline = outline if signed_area(outline) > 0 else outline[::-1]
    grown = with_allowance(piece_of(outline), 10.0).outline
    assert Polygon(grown).buffer(1e-3).covers(Polygon(outline).buffer(9.99, join_style="mitre"))
    assert len(grown) < 10


def test_slot_narrower_than_its_allowances_is_refused():
    slot = (
        (0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (52.0, 100.0), (52.0, 20.0),
        (48.0, 20.0), (48.0, 100.0), (0.0, 100.0),
    )  # fmt: skip
    with pytest.raises(ValueError, match="allowances"):
        with_allowance(piece_of(slot), 10.0)


@given(convex(), st.floats(1, 30))
def test_fold_of_a_whole_piece_ends_on_the_fold_line(outline, allowance):
    half = tuple((x, y) for x, y in outline if y > 5)
    assume(len(half) >= 2)
    half = ((half[-1][0], 0.0), (half[0][0], 0.0), *half)
    assume(half[1][0] - half[0][0] > 1)
    grown = with_allowance(piece_of(half, (half[0], half[1])), allowance)
    assert grown.on_fold is not None
    assert all(abs(y) < 1e-9 for _, y in grown.on_fold)
    assert all(point in grown.outline for point in grown.on_fold)
    assert min(y for _, y in grown.outline) > -1e-9


def test_curve_tighter_than_its_allowance_where_it_meets_the_fold():
    """A neck of 30 mm under an allowance of 40: bridged at the fold, square to it."""
    neck = arc((0.0, 100.0), 30.0, 360.0, 270.0)
    outline = ((0.0, 0.0), (90.0, 0.0), (90.0, 100.0), *neck)
    grown = with_allowance(piece_of(outline, (neck[-1], (0.0, 0.0))), 40.0)
    assert sorted(grown.on_fold) == [(0, -40), (0, 140)]
    assert area(grown.outline) == pytest.approx(130 * 180)


def test_ellipse_too_tight_only_at_the_fold_keeps_its_hollow():
    """Its radius at the fold is 20 * 20 / 60 = 6.7 mm, under an allowance of 10."""
    neck = tuple((x / 3, 100 + y) for x, y in arc((0.0, 0.0), 60.0, 360.0, 270.0, 0.02))
    outline = ((0.0, 0.0), (90.0, 0.0), (90.0, 100.0), *neck)
    grown = with_allowance(piece_of(outline, (neck[-1], (0.0, 0.0))), 10.0)
    whole = Polygon(doubled(outline, (neck[-1], (0.0, 0.0)))).buffer(10.0, quad_segs=64)
    cut = Polygon(doubled(grown.outline, grown.on_fold))
    # The buffer rounds corners that the cut line mitres: compare below them.
    inside = Polygon([(-18, 20), (18, 20), (18, 98), (-18, 98)])
    assert cut.intersection(inside).area == pytest.approx(whole.intersection(inside).area, rel=2e-3)


def turns(outline):
    """By how much a closed line turns at its corners, degrees, whichever way."""
    for i, (x, y) in enumerate(outline):
        (ax, ay), (bx, by) = outline[i - 1], outline[(i + 1) % len(outline)]
        turn = math.atan2(by - y, bx - x) - math.atan2(y - ay, x - ax)
        yield abs(math.degrees(math.remainder(turn, 2 * math.pi)))


@pytest.mark.parametrize("allowance", [6.0, 10.0, 15.0, 22.0])
def test_a_hollow_corner_from_which_a_curve_leaves_has_no_spur(allowance):
    """As a sweetheart neck has, where chords are shorter than the allowance: the cut line turns
    there by the corner's angle, and never back on itself."""
    parts = part("bodice", neck="sweetheart", seam=allowance), part("facing", seam=allowance)
    for piece in garment(SIZES["bust 88 cm"], *parts).pieces:
        assert max(turns(piece.outline)) < 150, piece.name
