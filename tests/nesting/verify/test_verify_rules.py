"""The verifier on nap, mirror images and spares, beyond what the table holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from nesting.fabric.fabric import Fabric, Faces, Nap
from nesting.fabric.marker import Marker, Placement
from nesting.verify.judge import verify
from pieces.piece import GrainRule, Outline, Piece
from tests.nesting.rules.rules_shapes import BUTTERFLY, LOPSIDED, SPEARHEAD, STRIP
from tests.nesting.rules.rules_table import (
    ALIKE,
    ANY,
    BIAS,
    CROSSWISE,
    DIFFERENT,
    FOLD,
    LENGTHWISE,
    NONE,
    ONE_WAY,
    OPEN,
    PER_GARMENT,
    Way,
)
from tests.nesting.verify.hand_made import (
    BAND,
    CLOTH,
    SLEEVE,
    codes,
    moved,
    placed,
    right,
)


def one_garment(
    garment: str, ways: Sequence[tuple[GrainRule, Way]]
) -> tuple[list[Piece], list[Placement]]:
    grain = ((10.0, 10.0), (50.0, 10.0))
    pieces, placements = [], []
    for number, (rule, way) in enumerate(ways):
        piece = Piece(f"{number}", "velvet", LOPSIDED, grain, grain_rule=rule, garment=garment)
        pieces.append(piece)
        offset = 0.0 if garment == "Ada" else 100.0
        placements.append(placed(piece, LOPSIDED, (100.0 * number, offset), way=way))
    return pieces, placements


def nap_codes(
    nap: Nap, faces: Faces = DIFFERENT, **garments: Sequence[tuple[GrainRule, Way]]
) -> set[str]:
    pieces, placements = [], []
    for garment, ways in garments.items():
        some = one_garment(garment, ways)
        pieces += some[0]
        placements += some[1]
    length_mm = max(right(placement.outline_mm) for placement in placements)
    marker = Marker("velvet", OPEN, length_mm, tuple(placements))
    return codes(Fabric("velvet", 300.0, nap=nap, faces=faces), pieces, marker)


UP, DOWN, LEFT, RIGHT = (0.0, False), (180.0, False), (90.0, False), (-90.0, False)


def test_a_nap_per_garment_ties_each_garment_to_itself_alone() -> None:
    up, down = (LENGTHWISE, UP), (LENGTHWISE, DOWN)
    left, right = (CROSSWISE, LEFT), (CROSSWISE, RIGHT)
    assert nap_codes(PER_GARMENT, Ada=[up, up], Bea=[down, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[up, down]) == {"nap"}
    assert nap_codes(NONE, Ada=[up, down]) == set()
    assert nap_codes(ONE_WAY, Ada=[up, up], Bea=[down]) == {"nap"}
    assert nap_codes(PER_GARMENT, Ada=[right, up], Bea=[left, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[right, up, right], Bea=[right, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[(ANY, LEFT), up], Bea=[(ANY, RIGHT), down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[(ANY, RIGHT), up]) == {"nap"}
    assert nap_codes(PER_GARMENT, Ada=[(ANY, DOWN), up]) == {"nap"}
    bias = [(BIAS, (-135.0, False)), (BIAS, (-135.0, False))]
    assert nap_codes(PER_GARMENT, Ada=[*bias, down], Bea=[up]) == set()
    assert nap_codes(PER_GARMENT, Ada=[*bias, up]) == {"nap"}
    assert nap_codes(PER_GARMENT, Ada=[(BIAS, (135.0, False))]) == {"nap"}


@pytest.mark.parametrize("faces", [DIFFERENT, ALIKE])
def test_crosswise_arrows_point_to_one_selvedge(faces: Faces) -> None:
    """Satin of which one half of a skirt would shine and the other not."""
    left, right = (CROSSWISE, LEFT), (CROSSWISE, RIGHT)
    for nap, across in ((ONE_WAY, {"nap"}), (PER_GARMENT, set())):
        assert nap_codes(nap, faces, Ada=[left, left], Bea=[left]) == set()
        assert nap_codes(nap, faces, Ada=[right, right, (LENGTHWISE, UP)]) == set()
        assert nap_codes(nap, faces, Ada=[left, right]) == {"nap"}
        assert nap_codes(nap, faces, Ada=[left, left], Bea=[right]) == across
    assert nap_codes(NONE, faces, Ada=[left, right]) == set()


@pytest.mark.parametrize("nap", [ONE_WAY, PER_GARMENT])
def test_both_layers_are_good_where_this_turn_allows_it(nap: Nap) -> None:
    """A butterfly of any grain with a nap: crosswise its copy below is good, lengthwise not."""
    piece = Piece(
        "bow", "sateen", BUTTERFLY, ((10, 10), (50, 10)), cut=2, grain_rule=ANY, garment="Ada"
    )
    cloth = replace(CLOTH, nap=nap)

    def found(way: Way) -> set[str]:
        only = placed(piece, BUTTERFLY, (0, 0), way=way, gives=(2, 0, 2))
        return codes(cloth, [piece], Marker("sateen", FOLD, right(only.outline_mm), (only,)))

    assert found((90.0, False)) == set()
    assert found((90.0, True)) == {"mirrored"}
    assert found((0.0, False)) == {"yields"}
    assert found((0.0, True)) == {"mirrored"}


def test_a_shape_alike_about_its_diagonal_is_good_one_way_only() -> None:
    """Cut on the bias with a nap: mirrored and turned a quarter to one side it is itself, which
    below 45 degrees lies with the nap; one that has to be turned to the other side doesn't."""
    cloth = replace(CLOTH, nap=ONE_WAY)

    def folded(drawn_deg: float) -> set[str]:
        piece, diagonal = godet(drawn_deg)
        only = placed(piece, diagonal, (0, 0), way=(45.0, False), gives=(2, 0, 2))
        return codes(cloth, [piece], Marker("sateen", FOLD, right(only.outline_mm), (only,)))

    def pair(drawn_deg: float) -> set[str]:
        piece, diagonal = godet(drawn_deg)
        way = (45.0, False)
        both = [placed(piece, diagonal, (0, 100 * n), way=way, copy=n + 1) for n in (0, 1)]
        marker = Marker("sateen", OPEN, right(both[0].outline_mm), tuple(both))
        return codes(cloth, [replace(piece, cut=1, pair=True)], marker)

    assert folded(-45.0) == set()
    assert folded(45.0) == {"yields"}
    assert pair(-45.0) == {"pair"}
    assert pair(45.0) == {"pair"}


def godet(drawn_deg: float) -> tuple[Piece, Outline]:
    diagonal = moved(SPEARHEAD, (drawn_deg, False))
    grain = ((0.0, 0.0), (50.0, 0.0))
    return Piece(
        "godet", "sateen", diagonal, grain, cut=2, grain_rule=BIAS, garment="Ada"
    ), diagonal


def test_a_pair_is_never_cut_one_by_one_from_double_cloth() -> None:
    first = placed(SLEEVE, LOPSIDED, (0, 0), gives=(1, 1, 2))
    second = placed(SLEEVE, LOPSIDED, (0, 40), copy=2, gives=(1, 1, 2))
    marker = Marker("sateen", FOLD, 90.0, (first, second))
    assert codes(CLOTH, [SLEEVE], marker) == {"yields", "pair", "spare"}


def test_needless_spares_are_found() -> None:
    """Two bands cut one by one from double cloth, though one cut gives both."""
    first = placed(BAND, STRIP, (0, 0), gives=(1, 1, 2))
    second = placed(BAND, STRIP, (0, 20), copy=2, gives=(1, 1, 2))
    marker = Marker("sateen", FOLD, 200.0, (first, second))
    assert codes(CLOTH, [BAND], marker) == {"spare"}
    lopsided = replace(SLEEVE, pair=False, cut=2)
    first = placed(lopsided, LOPSIDED, (0, 0), gives=(1, 1, 2))
    second = placed(lopsided, LOPSIDED, (0, 40), copy=2, gives=(1, 1, 2))
    marker = Marker("sateen", FOLD, 90.0, (first, second))
    assert codes(CLOTH, [lopsided], marker) == set()
    assert codes(replace(CLOTH, faces=ALIKE), [lopsided], marker) == {"spare"}


def test_a_piece_drawn_at_an_angle_is_judged_by_its_thread() -> None:
    """The same sleeve drawn with its grain at 30 degrees lies lengthwise turned by -30."""
    drawn = moved(LOPSIDED, (30.0, False))
    piece = replace(SLEEVE, outline=drawn, grain=((0, 0), moved(((50, 0),), (30.0, False))[0]))
    left = placed(piece, drawn, (0, 0), way=(-30.0, False))
    other = placed(piece, drawn, (100, 0), way=(30.0, True), copy=2)
    marker = Marker(
        "sateen", OPEN, 190.0, (replace(left, grain_deg=0.0), replace(other, grain_deg=0.0))
    )
    assert verify(CLOTH, [piece], marker) == ()
    askew = replace(left, turn_deg=0.0, grain_deg=30.0, outline_mm=moved(drawn, (0, False), 100, 0))
    assert "grain" in codes(CLOTH, [piece], replace(marker, placements=(askew, other)))
