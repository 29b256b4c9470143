"""Outlines moved, mirrored, unfolded and compared."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.geometry import (
    anticlockwise,
    area,
    bounds,
    doubled,
    is_simple,
    laid,
    mirrored,
    reflected,
    rotated,
    same_under_mirror,
    signed_area,
    translated,
    without_repeats,
)
from pieces.piece import Notch, Piece, Seam

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
BENT = ((0.0, 0.0), (10.0, 0.0), (10.0, 3.0), (4.0, 3.0), (4.0, 8.0), (0.0, 8.0))


@st.composite
def stars(draw: st.DrawFn) -> tuple[tuple[float, float], ...]:
    """Star-shaped outlines around the origin, which never cross themselves."""
    radii = draw(st.lists(st.floats(5, 500), min_size=5, max_size=12))
    step = 2 * math.pi / len(radii)
    return tuple((r * math.cos(i * step), r * math.sin(i * step)) for i, r in enumerate(radii))


@given(stars(), st.floats(-720, 720), st.floats(-1e3, 1e3), st.floats(-1e3, 1e3))
def test_moving_keeps_area_and_sense(outline, turn, dx, dy):
    moved = translated(rotated(outline, turn), dx, dy)
    assert signed_area(moved) == pytest.approx(signed_area(outline), rel=1e-9)
    assert signed_area(mirrored(outline)) == pytest.approx(-signed_area(outline))
    assert anticlockwise(outline[::-1]) == outline


@given(stars(), st.integers(-8, 8))
def test_quarter_turns_are_exact(outline, quarters):
    turned = rotated(outline, 90.0 * quarters)
    expected = [complex(x, y) * [1, 1j, -1, -1j][quarters % 4] for x, y in outline]
    assert [complex(x, y) for x, y in turned] == expected


def test_bounds_and_repeats():
    assert bounds(BENT) == (0, 0, 10, 8)
    assert without_repeats((*SQUARE, SQUARE[-1], SQUARE[0])) == SQUARE


def test_bow_tie_is_not_simple():
    assert is_simple(SQUARE)
    assert not is_simple(((0, 0), (10, 10), (10, 0), (0, 10)))
    assert not is_simple(SQUARE[:2])


@given(st.floats(-180, 180), st.floats(-500, 500))
def test_doubling_doubles_the_area_without_repeats(turn, shift):
    outline = translated(rotated(BENT, turn), shift, -shift)
    whole = doubled(outline, (outline[0], outline[1]))
    assert signed_area(whole) == pytest.approx(2 * area(BENT), rel=1e-9)
    assert len(whole) == 2 * len(BENT) - 2
    assert without_repeats(whole) == whole
    assert is_simple(whole)


def test_doubling_is_exact_on_the_axes():
    whole = doubled(BENT, ((0.0, 0.0), (10.0, 0.0)))
    assert whole == (*BENT[1:], BENT[0], (0, -8), (4, -8), (4, -3), (10, -3))
    assert doubled(BENT, ((10.0, 0.0), (0.0, 0.0))) == whole


def test_doubling_drops_corners_on_the_fold():
    outline = ((0.0, 0.0), (4.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert area(doubled(outline, ((0.0, 0.0), (10.0, 0.0)))) == 200
    assert len(doubled(outline, ((0.0, 0.0), (10.0, 0.0)))) == 6


@pytest.mark.parametrize("fold", [((0.0, 0.0), (10.0, 10.0)), ((1.0, 0.0), (9.0, 0.0))])
def test_a_fold_that_is_no_edge_is_refused(fold):
    with pytest.raises(ValueError, match="fold"):
        doubled(SQUARE, fold)


@given(stars(), st.floats(0, 360))
def test_reflecting_twice_gives_back(outline, turn):
    axis = rotated(((-3.0, 1.0), (8.0, 1.0)), turn)
    twice = reflected(reflected(outline, axis), axis)
    assert all(math.dist(a, b) < 1e-9 for a, b in zip(outline, twice, strict=True))


def test_rectangle_is_its_own_mirror_image_and_a_bent_piece_is_not():
    assert same_under_mirror(SQUARE, (0.0,))
    assert not same_under_mirror(BENT, (0.0, 90.0, 180.0, -90.0))
    assert not same_under_mirror(SQUARE, ())


def test_mirror_image_may_need_a_turn():
    kite = ((0.0, 0.0), (10.0, 3.0), (0.0, 10.0), (3.0, 3.0))
    leaning = ((0.0, 0.0), (10.0, 0.0), (7.0, 5.0))  # no symmetry at all
    upright = ((0.0, 0.0), (8.0, 0.0), (4.0, 5.0))  # its axis runs along y
    assert not same_under_mirror(upright, (0.0,))
    assert same_under_mirror(upright, (180.0,))
    assert not same_under_mirror(leaning, (0.0, 90.0, 180.0, -90.0))
    assert not same_under_mirror(kite, (0.0,))


@pytest.mark.parametrize(("lean", "same"), [(0.0, True), (0.009, True), (0.02, False), (5, False)])
def test_mirror_tolerance_is_a_hundredth_of_a_millimetre(lean, same):
    outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0 + lean), (0.0, 50.0))
    assert same_under_mirror(outline, (0.0,)) is same


def test_other_corners_on_the_same_edges_are_the_same_shape():
    more = ((0.0, 0.0), (4.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert same_under_mirror(more, (0.0,))


PIECE = Piece(
    name="half",
    fabric="cloth",
    outline=BENT,
    grain=((1.0, 1.0), (1.0, 6.0)),
    on_fold=((0.0, 8.0), (0.0, 0.0)),
    sewing_line=BENT,
    seams=(Seam("side", ((10.0, 0.0), (10.0, 3.0))),),
    notches=(Notch((10.0, 2.0), 180.0),),
    drawn_lines=(((1.0, 1.0), (3.0, 1.0)),),
)


def _rounded(point):
    return round(point[0], 3), round(point[1], 3)


@given(st.floats(-180, 180), st.booleans(), st.floats(-500, 500))
def test_laid_undoes_any_move(turn, mirror, shift):
    """However the piece was drawn, laid it lies the same, with all that is attached."""

    def moved(line):
        line = mirrored(line) if mirror else line
        return translated(rotated(line, turn), shift, shift)

    drawn = replace(
        PIECE,
        outline=moved(PIECE.outline),
        grain=moved(PIECE.grain),
        on_fold=moved(PIECE.on_fold),
        seams=(Seam("side", moved(PIECE.seams[0].line)),),
        notches=(
            Notch(
                moved((PIECE.notches[0].at,))[0],
                (-180.0 if mirror else 180.0) + turn,
            ),
        ),
    )
    result, expected = laid(drawn), laid(PIECE)
    assert result.notches[0].inward_deg == pytest.approx(expected.notches[0].inward_deg, abs=1e-6)
    for one, other in (
        (sorted(result.outline, key=_rounded), sorted(expected.outline, key=_rounded)),
        (result.grain, expected.grain),
        (result.seams[0].line, expected.seams[0].line),
        ((result.notches[0].at,), (expected.notches[0].at,)),
    ):
        for a, b in zip(one, other, strict=True):
            assert math.dist(a, b) < 1e-6


def test_laid_form_of_a_piece_on_the_fold():
    piece = laid(PIECE)
    assert bounds(piece.outline) == (0, 0, 8, 10)
    assert {y for _, y in piece.on_fold} == {0.0}
    assert piece.grain == ((1.0, 1.0), (6.0, 1.0))
    assert signed_area(piece.outline) == area(BENT)
    # The side seam ran from the hem up at x = 10; it is now at the top of the piece.
    assert {y for _, y in piece.seams[0].line} == {10.0}
    assert piece.notches[0].at == (2.0, 10.0)
    assert piece.notches[0].inward_deg == 270.0


def test_laid_form_of_a_piece_with_its_grain_across_the_fold():
    piece = laid(replace(PIECE, grain=((6.0, 1.0), (1.0, 1.0))))
    assert bounds(piece.outline)[:2] == (0, 0)
    assert piece.on_fold[0][0] == piece.on_fold[1][0] == 10.0
    assert piece.grain[0][0] < piece.grain[1][0]


def test_a_notch_to_the_middle_from_one_side_is_no_mirror_image():
    notched = ((0, 0), (40, 0), (40, 40), (20, 20), (0, 40))
    assert same_under_mirror(rotated(notched, 90), [0])
    assert not same_under_mirror(notched, [0])
