"""Darts at the waist, on older children and grown-ups: the waist runs on over them."""

import math
import random

import pytest

from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.check import check
from pieces.errors import OrderFault
from pieces.joins import kinks, unmet
from pieces.seams import seam_line, whole_length
from tests.examples import some
from tests.pieces.test_joins import angle
from tests.pieces.wearers import ANY_BODIES, garment, part

OLDER = SIZES["14 years"]
WOMAN = Body(
    height=1680.0,
    chest=920.0,
    waist=720.0,
    hip=980.0,
    back_waist=410.0,
    shoulder=125.0,
    upper_arm=290.0,
    arm=600.0,
    wrist=165.0,
    neck=370.0,
)
"""A misses' size 14 and a little more, from memory of US tables."""


def legs(piece):
    """The lengths of a dart's legs, from the waist to its point."""
    return [math.dist(*line) for line in piece.drawn_lines[:2]]


@pytest.mark.parametrize("body", [OLDER, WOMAN, SIZES["152 cm"], SIZES["176 cm"]])
def test_darts_take_what_would_slant_the_side(body):
    draft = garment(body, part("bodice", lining="cotton"))
    front, back = draft.pieces[:2]
    assert whole_length((front, back), "waist") == pytest.approx(body.waist + 40, abs=0.05)
    for piece in (front, back):
        one, other = legs(piece)
        assert one == pytest.approx(other, abs=0.01)
        mouth = seam_line(piece, "waist dart")
        assert 6 <= math.dist(mouth[0], mouth[-1]) <= 35
        side = seam_line(piece, "side")
        down = abs(side[0][0] - side[-1][0])
        assert abs(side[0][1] - side[-1][1]) <= max(20, 0.12 * down) + 35
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert check(draft.pieces) == ()


@pytest.mark.parametrize("body", [OLDER, WOMAN])
def test_the_waist_runs_on_over_a_dart(body):
    """Pinned shut, the waist on one side of it makes one line with that on the other: each is
    square to its leg."""
    for piece in garment(body, part("bodice")).pieces[:2]:
        apex = piece.drawn_lines[0][1]
        to_dart, on = (seam.line for seam in piece.seams if seam.name == "waist")
        for near, foot in ((to_dart[-2], to_dart[-1]), (on[1], on[0])):
            along = math.atan2(near[1] - foot[1], near[0] - foot[0])
            up = math.atan2(apex[1] - foot[1], apex[0] - foot[0])
            turn = abs(math.degrees(along - up)) % 360
            assert min(turn, 360 - turn) == pytest.approx(90, abs=1)
        # And level in the middle and at the side.
        assert angle(piece, "side", 0) == pytest.approx(90, abs=2)


def test_children_have_no_darts_and_they_can_be_left_out():
    for size in ("newborn", "4 years", "8 years", "134 cm"):
        assert all(
            seam.name != "waist dart"
            for piece in garment(SIZES[size], part("bodice")).pieces
            for seam in piece.seams
        )
    plain = garment(OLDER, part("bodice", darts=False))
    assert [seam.name for seam in plain.pieces[0].seams].count("waist") == 1


def test_a_bust_that_nothing_shapes_is_told():
    """The block is a child's: whoever is larger than all its sizes is told to sew a trial."""
    (found,) = garment(WOMAN, part("bodice")).findings
    assert found.code == "bust-not-shaped"
    assert "92 cm" in found.message
    assert garment(OLDER, part("bodice")).findings == ()


@pytest.mark.parametrize("number", range(ANY_BODIES or 20))
def test_random_women(number):
    """Each measure 12 percent up and down; what is drawn meets and does not kink."""
    chance = random.Random(number)
    measures = {
        name: value * chance.uniform(0.92, 1.12)
        for name in ("height", "back_waist", "shoulder", "arm", "wrist", "neck")
        if (value := getattr(WOMAN, name))
    }
    whole = chance.uniform(0.9, 1.3)
    round_them = {
        name: getattr(WOMAN, name) * whole * chance.uniform(0.97, 1.03)
        for name in ("chest", "waist", "hip", "upper_arm")
    }
    body = Body(**measures, **round_them)
    draft = garment(body, part("bodice", neck="V"), part("sleeve"), part("flared skirt"))
    assert [one.what for one in draft.seam_checks if not one.ok] == []
    assert list(kinks(draft.pieces, draft.joins)) == []
    waist = whole_length(draft.pieces[:2], "waist")
    assert waist == pytest.approx(body.waist + 40, abs=0.2)


# ---- princess lines ------------------------------------------------------------------------


@pytest.mark.parametrize("size", some(SIZES))
def test_princess_panels_meet(size):
    """The seam takes the dart: both edges are equally long, notched where it ends, and neck,
    armhole and waist run on over it."""
    body = SIZES[size]
    parts = (
        part("bodice", style="princess", lining="cotton", closing="buttons"),
        part("sleeve"),
        part("facing"),
        part("gathered skirt"),
    )
    draft = garment(body, *parts)
    assert check(draft.pieces) == ()
    assert draft.findings == ()
    assert [one.what for one in draft.seam_checks if not one.ok] == []
    assert list(kinks(draft.pieces, draft.joins)) == []
    assert list(unmet(draft.pieces, draft.joins)) == []
    shell = draft.pieces[:4]
    assert [piece.name for piece in shell] == [
        "bodice front",
        "bodice side front",
        "bodice back",
        "bodice side back",
    ]
    assert whole_length(shell, "waist") == pytest.approx(body.waist + 40, abs=0.1)
    plain = garment(body, part("bodice", closing="buttons")).pieces
    assert whole_length(shell, "armhole") == pytest.approx(whole_length(plain, "armhole"), rel=0.02)
    assert whole_length(shell, "neck") == pytest.approx(whole_length(plain, "neck"))


def test_a_high_waist_has_no_room_for_a_princess_line():
    with pytest.raises(OrderFault) as refused:
        garment(SIZES["4 years"], part("bodice", style="princess", waist="high", length=160.0))
    (fault,) = refused.value.faults
    assert fault.key == "garment[0].part[0].style"
