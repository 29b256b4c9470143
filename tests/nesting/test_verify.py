"""The verifier: hand-made markers pass, and each single mistake is found under its code."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rules_table import (
    ALIKE,
    ANY,
    BIAS,
    BUTTERFLY,
    CROSSWISE,
    FOLD,
    HALF_FRONT,
    LENGTHWISE,
    LOPSIDED,
    NONE,
    ONE_WAY,
    OPEN,
    PER_GARMENT,
    SPEARHEAD,
    STRIP,
    WHOLE_FRONT,
    Case,
    Outlined,
    Way,
    cases,
)

from nesting.fabric import Fabric, LayName, Nap
from nesting.marker import Marker, Placement
from nesting.verify import require_valid, verify
from pieces.errors import OwnFailure
from pieces.piece import GrainRule, Outline, Piece

TURNS = (0.0, 45.0, 90.0, 135.0, 180.0, -135.0, -90.0, -45.0)
ALL_WAYS: list[Way] = [(turn, mirrored) for turn in TURNS for mirrored in (False, True)]


def moved(outline: Outline, way: Way, x_mm: float = 0.0, y_mm: float = 0.0) -> Outline:
    """An outline mirrored, turned and shifted, point by point."""
    turn, mirrored = math.radians(way[0]), way[1]
    flip = -1 if mirrored else 1
    return tuple(
        (
            x * math.cos(turn) - flip * y * math.sin(turn) + x_mm,
            x * math.sin(turn) + flip * y * math.cos(turn) + y_mm,
        )
        for x, y in outline
    )


def low_left(outline: Outline) -> tuple[float, float]:
    return min(x for x, _ in outline), min(y for _, y in outline)


def right(outline: Outline) -> float:
    return max(x for x, _ in outline)


def placed(
    piece: Piece,
    outline: Outline,
    corner: tuple[float, float],
    *,
    way: Way = (0.0, False),
    copy: int = 1,
    gives: tuple[int, int, int] = (1, 0, 1),
    on_fold: bool = False,
    unfolded: bool = False,
) -> Placement:
    """A placement with the lower left of its box at `corner`; `gives` yields, spare, layers."""
    left, low = low_left(moved(outline, way))
    x_mm, y_mm = corner[0] - left, corner[1] - low
    yields, spare, layers = gives
    return Placement(
        garment=piece.garment,
        piece=piece.name,
        copy=copy,
        yields=yields,
        spare=spare,
        layers=layers,
        section="main",
        band=0,
        on_fold=on_fold,
        unfolded=unfolded,
        turn_deg=way[0],
        mirrored=way[1],
        x_mm=x_mm,
        y_mm=y_mm,
        grain_deg=way[0],
        outline_mm=moved(outline, way, x_mm, y_mm),
    )


def shifted(placement: Placement, dx_mm: float, dy_mm: float) -> Placement:
    return replace(
        placement,
        x_mm=placement.x_mm + dx_mm,
        y_mm=placement.y_mm + dy_mm,
        outline_mm=tuple((x + dx_mm, y + dy_mm) for x, y in placement.outline_mm),
    )


def in_a_row(case: Case, ways: Sequence[Way]) -> Marker:
    """The outlines of a case end to end along the fold or the lower selvedge."""
    placements, x_mm = [], 0.0
    for copy, (wanted, way) in enumerate(zip(case.outlines, ways, strict=True), start=1):
        gives = (wanted.yields, wanted.spare, wanted.layers)
        folds = {"on_fold": wanted.on_fold, "unfolded": wanted.unfolded}
        outline = case.whole if wanted.unfolded else case.piece.outline
        one = placed(case.piece, outline, (x_mm, 0.0), way=way, copy=copy, gives=gives, **folds)
        placements.append(one)
        x_mm = right(one.outline_mm)
    return Marker(case.fabric.name, case.lay, x_mm, tuple(placements))


def codes(fabric: Fabric, pieces: Sequence[Piece], marker: Marker) -> set[str]:
    return {finding.code for finding in verify(fabric, pieces, marker)}


# --- Every cell of the table ---------------------------------------------------------------

BY_PLACE: dict[tuple[LayName, Nap, str], list[Case]] = defaultdict(list)
for one_case in cases():
    BY_PLACE[one_case.lay, one_case.fabric.nap, one_case.kind].append(one_case)
PLACES = pytest.mark.parametrize(("lay", "nap", "kind"), BY_PLACE)


def ways_of(outlines: Sequence[Outlined], number: int) -> list[Way]:
    return [sorted(outline.may)[number % len(outline.may)] for outline in outlines]


@PLACES
def test_every_way_of_the_table_passes(lay: LayName, nap: Nap, kind: str) -> None:
    for case in BY_PLACE[lay, nap, kind]:
        for number in range(len(case.outlines[0].may)):
            marker = in_a_row(case, ways_of(case.outlines, number))
            assert verify(case.fabric, [case.piece], marker) == (), str(case)


@PLACES
def test_every_other_way_is_found(lay: LayName, nap: Nap, kind: str) -> None:
    """One outline, the last, lies in a way that the table does not allow."""
    expected = {"grain", "nap", "mirrored", "pair", "off-fold", "outside-band"}
    for case in BY_PLACE[lay, nap, kind]:
        if case.piece.cut == 2:  # as one or three, and a third of the time
            continue
        last = case.outlines[-1]
        others = ways_of(case.outlines, 0)[:-1] if last.may else [(0.0, False)] * 2
        for way in ALL_WAYS:
            if way not in last.may:
                marker = in_a_row(case, [*others[: len(case.outlines) - 1], way])
                assert codes(case.fabric, [case.piece], marker) & expected, (str(case), way)


@PLACES
def test_every_wrong_number_is_found(lay: LayName, nap: Nap, kind: str) -> None:
    """A part missing, a part too many, a spare hidden, layers and copies miscounted."""
    for case in BY_PLACE[lay, nap, kind]:
        if case.piece.cut == 2 or not case.outlines[0].may:
            continue
        good = in_a_row(case, ways_of(case.outlines, 0))
        *rest, last = good.placements
        wrong = {
            "count": replace(last, yields=last.yields + 1, spare=last.spare - 1),
            "spare": replace(last, spare=last.spare + 1),
            "layers": replace(last, layers=3 - last.layers),
            "copies": replace(last, copy=last.copy + 1),
            "yields": replace(last, yields=0, spare=last.yields + last.spare),
            "fold": replace(last, on_fold=not last.on_fold),
            "band": replace(last, band=1),
            "grain-stated": replace(last, grain_deg=last.grain_deg + 180),
        }
        for code, bad in wrong.items():
            marker = replace(good, placements=(*rest, bad))
            assert code in codes(case.fabric, [case.piece], marker), (str(case), code)
        turned_over = replace(last, unfolded=not last.unfolded)
        marker = replace(good, placements=(*rest, turned_over))
        assert "fold" in codes(case.fabric, [case.piece], marker), str(case)
        shorter = replace(good, placements=tuple(rest))
        assert codes(case.fabric, [case.piece], shorter) & {"count", "empty"}, str(case)


# --- One marker, and one mistake at a time -------------------------------------------------

CLOTH = Fabric("sateen", 220.0, selvedge_mm=5.0)
SLEEVE = Piece("sleeve", "sateen", LOPSIDED, ((10, 10), (50, 10)), pair=True, garment="Ada")
FRONT = Piece(
    "front",
    "sateen",
    HALF_FRONT,
    ((10, 10), (50, 10)),
    on_fold=((0.0, 0.0), (100.0, 0.0)),
    garment="Ada",
)
BAND = Piece("band", "sateen", STRIP, ((0, 0), (200, 0)), cut=2, garment="Ada")
PIECES = (SLEEVE, FRONT, BAND)


def folded_marker(gap_mm: float = 0.0, edge_mm: float = 0.0) -> Marker:
    """The front on the fold, sleeves beside it, bands above: 105 mm of double cloth."""
    x_mm = edge_mm + 100 + gap_mm
    front = placed(FRONT, HALF_FRONT, (edge_mm, 0), gives=(1, 0, 2), on_fold=True)
    sleeve = placed(SLEEVE, LOPSIDED, (x_mm, gap_mm / 2), gives=(2, 0, 2))
    bands = placed(BAND, STRIP, (edge_mm, 50 + gap_mm), gives=(2, 0, 2))
    length_mm = max(x_mm + 90, edge_mm + 200) + edge_mm
    return Marker("sateen", FOLD, length_mm, (front, sleeve, bands))


def open_marker() -> Marker:
    """The same, unfolded, one placement a part."""
    front = placed(FRONT, WHOLE_FRONT, (0, 0), unfolded=True)
    left = placed(SLEEVE, LOPSIDED, (100, 0))
    other = placed(SLEEVE, LOPSIDED, (100, 40), way=(0.0, True), copy=2)
    upper = placed(BAND, STRIP, (0, 100))
    lower = placed(BAND, STRIP, (0, 120), way=(180.0, False), copy=2)
    return Marker("sateen", OPEN, 200.0, (front, left, other, upper, lower))


def changed(marker: Marker, index: int, placement: Placement) -> Marker:
    entries = list(marker.placements)
    entries[index] = placement
    return replace(marker, placements=tuple(entries))


def test_the_hand_made_markers_pass() -> None:
    assert verify(CLOTH, PIECES, folded_marker()) == ()
    assert verify(CLOTH, PIECES, open_marker()) == ()
    require_valid(CLOTH, PIECES, folded_marker())


@pytest.mark.parametrize(
    ("index", "shift", "code"),
    [
        (1, (-0.01, 0.0), "overlap"),
        (2, (0.0, -0.01), "overlap"),
        (0, (0.0, 0.01), "off-fold"),
        (0, (0.0, -0.01), "off-fold"),
        (1, (0.0, -0.01), "outside-band"),
        (2, (0.0, 35.01), "outside-band"),
        (2, (-0.01, 0.0), "beyond-end"),
        (2, (0.01, 0.0), "beyond-length"),
        (1, (50.0, 0.0), "beyond-length"),
    ],
)
def test_a_shift_is_found(index: int, shift: tuple[float, float], code: str) -> None:
    marker = folded_marker()
    bad = changed(marker, index, shifted(marker.placements[index], *shift))
    assert code in codes(CLOTH, PIECES, bad)


@pytest.mark.parametrize("shift", [(0.001, 0.0), (-0.001, 0.0), (0.0, 0.001), (0.0, -0.001)])
@pytest.mark.parametrize("index", range(5))
def test_rounding_is_forgiven(index: int, shift: tuple[float, float]) -> None:
    marker = open_marker()
    nudged = changed(marker, index, shifted(marker.placements[index], *shift))
    assert verify(CLOTH, PIECES, nudged) == ()


def test_an_outline_that_is_not_the_pieces_own_is_found() -> None:
    marker = open_marker()
    band = marker.placements[3]
    for bad in (
        replace(band, x_mm=band.x_mm + 0.01),
        replace(band, turn_deg=0.01),
        replace(band, outline_mm=(*band.outline_mm[:2], (200.0, 119.9), band.outline_mm[3])),
    ):
        assert "shape" in codes(CLOTH, PIECES, changed(marker, 3, bad))
    sleeve = marker.placements[1]
    assert "shape" in codes(CLOTH, PIECES, changed(marker, 1, replace(sleeve, mirrored=True)))


def test_the_same_corners_joined_otherwise_are_another_shape() -> None:
    square = ((0, 0), (100, 0), (100, 100), (0, 100), (50, 50))
    notched_below = ((0, 0), (50, 50), (100, 0), (100, 100), (0, 100))
    piece = Piece("gusset", "sateen", square, ((10, 10), (50, 10)))
    bad = placed(piece, notched_below, (0, 0))
    assert codes(CLOTH, [piece], Marker("sateen", OPEN, 100, (bad,))) == {"shape"}


def test_a_smaller_piece_is_found_by_its_area_too() -> None:
    marker = open_marker()
    band = marker.placements[3]
    low = tuple((x, y if y < 110 else 119.0) for x, y in band.outline_mm)
    assert {"shape", "area"} <= codes(
        CLOTH, PIECES, changed(marker, 3, replace(band, outline_mm=low))
    )


def test_unreadable_placements_are_found() -> None:
    marker = open_marker()
    band = marker.placements[3]
    bow_tie = ((0.0, 100.0), (200.0, 120.0), (200.0, 100.0), (0.0, 120.0))
    for bad, code in (
        (replace(band, x_mm=math.nan), "not-finite"),
        (replace(band, outline_mm=((math.inf, 0.0), *band.outline_mm[1:])), "not-finite"),
        (replace(band, outline_mm=bow_tie), "self-crossing"),
        (replace(band, outline_mm=band.outline_mm[:2]), "self-crossing"),
        (replace(band, piece="pocket"), "unknown-piece"),
        (replace(band, garment="Bea"), "unknown-piece"),
    ):
        assert code in codes(CLOTH, PIECES, changed(marker, 3, bad))
    assert "not-finite" in codes(CLOTH, PIECES, replace(marker, length_mm=math.nan))


def test_what_is_wrong_with_the_whole_is_found() -> None:
    marker = open_marker()
    assert codes(CLOTH, PIECES, replace(marker, fabric="net")) == {"wrong-fabric"}
    other = (SLEEVE, FRONT, replace(BAND, fabric="net"))
    assert codes(CLOTH, other, marker) == {"wrong-fabric"}
    assert "duplicate-piece" in codes(CLOTH, (*PIECES, BAND), marker)
    assert "empty" in codes(CLOTH, PIECES, replace(marker, placements=()))
    assert codes(replace(CLOTH, lays=(FOLD,)), PIECES, marker) == {"lay"}
    assert codes(CLOTH, PIECES, replace(marker, length_mm=200.02)) == {"length"}
    assert codes(CLOTH, PIECES, replace(marker, length_mm=200.009)) == set()
    assert codes(CLOTH, PIECES, replace(marker, length_mm=199.99)) == {"beyond-length"}
    twice = replace(marker, placements=(*marker.placements, marker.placements[0]))
    assert {"overlap", "count", "copies", "area"} <= codes(CLOTH, PIECES, twice)
    band = marker.placements[3]
    assert "band" in codes(CLOTH, PIECES, changed(marker, 3, replace(band, section="end")))


def test_the_cloth_is_counted_after_selvedge_and_wash() -> None:
    """The folded marker is 70 mm deep: 150 mm less two selvedges of 5, in half."""
    narrow = replace(CLOTH, width_mm=150.0)
    assert verify(narrow, PIECES, folded_marker()) == ()
    assert codes(replace(narrow, width_mm=149.9), PIECES, folded_marker()) == {"outside-band"}
    assert codes(replace(narrow, selvedge_mm=5.1), PIECES, folded_marker()) == {"outside-band"}
    washed = replace(narrow, shrinkage_width=0.001)
    assert codes(washed, PIECES, folded_marker()) == {"outside-band"}


def test_gaps_are_kept_between_pieces_and_to_edges_but_not_to_a_fold() -> None:
    cloth = replace(CLOTH, gap_mm=4.0, edge_gap_mm=6.0)
    marker = folded_marker(4.0, 6.0)
    assert verify(cloth, PIECES, marker) == ()
    for index, shift, code in (
        (2, (0.0, -0.01), "gap"),
        (1, (0.0, -0.01), "gap"),  # its own copy across the fold is its neighbour
        (0, (-0.01, 0.0), "edge-gap"),
        (2, (0.01, 0.0), "edge-gap"),
        (2, (0.0, 25.01), "edge-gap"),
        (0, (0.0, 0.01), "off-fold"),
    ):
        bad = changed(marker, index, shifted(marker.placements[index], *shift))
        assert code in codes(cloth, PIECES, bad)
    assert codes(cloth, PIECES, replace(marker, length_mm=211.99)) == {"edge-gap"}


def test_a_piece_on_the_fold_is_never_opened_out_there_nor_folded_on_open_cloth() -> None:
    marker = folded_marker()
    opened = placed(FRONT, WHOLE_FRONT, (0, 0), gives=(1, 0, 2), unfolded=True)
    assert "fold" in codes(CLOTH, PIECES, changed(marker, 0, opened))
    beside = replace(marker.placements[0], on_fold=False)
    assert "fold" in codes(CLOTH, PIECES, changed(marker, 0, beside))
    single = open_marker()
    half = placed(FRONT, HALF_FRONT, (0, 0), on_fold=True)
    assert "fold" in codes(CLOTH, PIECES, changed(single, 0, half))


def test_a_spike_that_pokes_in_is_an_overlap() -> None:
    """Its area is next to nothing: 0.01 mm deep, a thousandth of that wide."""
    spike = Piece("gore", "sateen", ((0, 0), (100, 5), (0, 10)), ((10, 5), (50, 5)))
    block = Piece("block", "sateen", ((0, 0), (50, 0), (50, 50), (0, 50)), ((10, 10), (50, 10)))

    def marker(into_mm: float) -> Marker:
        tip = placed(spike, spike.outline, (0, 20))
        return Marker(
            "sateen", OPEN, 150 - into_mm, (tip, placed(block, block.outline, (100 - into_mm, 0)))
        )

    assert codes(CLOTH, (spike, block), marker(0.0)) == set()
    assert codes(CLOTH, (spike, block), marker(0.01)) == {"overlap"}


def test_a_heap_of_overlaps_is_told_briefly() -> None:
    """Nine bands on one spot are 36 overlapping pairs: twenty are measured, the rest counted."""
    piece = replace(BAND, cut=9)
    heap = tuple(placed(piece, STRIP, (0, 0), copy=copy) for copy in range(1, 10))
    found = verify(CLOTH, [piece], Marker("sateen", OPEN, 200.0, heap))
    assert [finding.code for finding in found] == ["overlap"] * 21
    assert "overlap by 10.00" in found[0].message
    assert found[-1].message.startswith("16 further pairs")


def test_messages_name_piece_garment_and_both_numbers() -> None:
    marker = folded_marker()
    bad = changed(marker, 2, shifted(marker.placements[2], 0.0, -0.25))
    (finding,) = verify(CLOTH, PIECES, bad)
    for words in ("band of Ada, copy 1", "front of Ada, copy 1", "0.250 mm", "0.002 mm"):
        assert words in finding.message


def test_require_valid_owns_up_and_lists_all() -> None:
    marker = replace(open_marker(), length_mm=190.0)
    missing = replace(marker, placements=marker.placements[:-1])
    with pytest.raises(OwnFailure, match="our mistake, not yours") as raised:
        require_valid(CLOTH, PIECES, missing)
    for finding in verify(CLOTH, PIECES, missing):
        assert finding.message in str(raised.value)
    assert "beyond-length" in str(raised.value)
    assert "count" in str(raised.value)


# --- The nap -------------------------------------------------------------------------------


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


def nap_codes(nap: Nap, **garments: Sequence[tuple[GrainRule, Way]]) -> set[str]:
    pieces, placements = [], []
    for garment, ways in garments.items():
        some = one_garment(garment, ways)
        pieces += some[0]
        placements += some[1]
    length_mm = max(right(placement.outline_mm) for placement in placements)
    marker = Marker("velvet", OPEN, length_mm, tuple(placements))
    return codes(Fabric("velvet", 300.0, nap=nap), pieces, marker)


UP, DOWN, LEFT = (0.0, False), (180.0, False), (-90.0, False)


def test_a_nap_per_garment_ties_each_garment_to_itself_alone() -> None:
    up, down, across = (LENGTHWISE, UP), (LENGTHWISE, DOWN), (CROSSWISE, LEFT)
    assert nap_codes(PER_GARMENT, Ada=[up, up], Bea=[down, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[up, down]) == {"nap"}
    assert nap_codes(NONE, Ada=[up, down]) == set()
    assert nap_codes(ONE_WAY, Ada=[up, up], Bea=[down]) == {"nap"}
    assert nap_codes(PER_GARMENT, Ada=[across, up], Bea=[across, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[(CROSSWISE, (90.0, False)), across, down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[(ANY, LEFT), up], Bea=[(ANY, LEFT), down]) == set()
    assert nap_codes(PER_GARMENT, Ada=[(ANY, DOWN), up]) == {"nap"}
    bias = [(BIAS, (135.0, False)), (BIAS, (-135.0, False))]
    assert nap_codes(PER_GARMENT, Ada=[*bias, down], Bea=[up]) == set()
    assert nap_codes(PER_GARMENT, Ada=[*bias, up]) == {"nap"}


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
    assert found((90.0, True)) == set()
    assert found((0.0, False)) == {"yields"}
    assert found((0.0, True)) == {"mirrored"}


def test_a_shape_alike_about_its_diagonal_is_good_one_way_only() -> None:
    """Cut on the bias with a nap: mirrored and turned a quarter it is itself, and 45 degrees
    to one side of the length that lies with the nap, to the other side against it."""
    diagonal = moved(SPEARHEAD, (45.0, False))
    grain = ((0.0, 0.0), (50.0, 0.0))
    piece = Piece("godet", "sateen", diagonal, grain, cut=2, grain_rule=BIAS, garment="Ada")
    cloth = replace(CLOTH, nap=ONE_WAY)

    def folded(turn_deg: float) -> set[str]:
        only = placed(piece, diagonal, (0, 0), way=(turn_deg, False), gives=(2, 0, 2))
        return codes(cloth, [piece], Marker("sateen", FOLD, right(only.outline_mm), (only,)))

    def pair(turn_deg: float) -> set[str]:
        way = (turn_deg, False)
        both = [placed(piece, diagonal, (0, 100 * n), way=way, copy=n + 1) for n in (0, 1)]
        marker = Marker("sateen", OPEN, right(both[0].outline_mm), tuple(both))
        return codes(cloth, [replace(piece, cut=1, pair=True)], marker)

    assert folded(-45.0) == set()
    assert folded(45.0) == {"yields"}
    assert pair(-45.0) == set()
    assert pair(45.0) == {"pair"}


def test_a_pair_is_never_cut_one_by_one_from_double_cloth() -> None:
    first = placed(SLEEVE, LOPSIDED, (0, 0), gives=(1, 1, 2))
    second = placed(SLEEVE, LOPSIDED, (0, 40), copy=2, gives=(1, 1, 2))
    marker = Marker("sateen", FOLD, 90.0, (first, second))
    assert codes(CLOTH, [SLEEVE], marker) == {"yields", "pair"}


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


# --- Random pieces -------------------------------------------------------------------------


@st.composite
def rounded(draw: st.DrawFn) -> Outline:
    """A convex piece: corners on an ellipse, anticlockwise, no two close together."""
    steps = draw(st.lists(st.floats(0.4, 1.0), min_size=4, max_size=12))
    wide, high = draw(st.floats(20, 80)), draw(st.floats(20, 80))
    angles = [2 * math.pi * sum(steps[:n]) / sum(steps) for n in range(len(steps))]
    return tuple((wide * math.cos(angle), high * math.sin(angle)) for angle in angles)


@st.composite
def jagged(draw: st.DrawFn) -> Outline:
    """A star-shaped piece with deep bays."""
    reaches = draw(st.lists(st.floats(15, 80), min_size=5, max_size=14))
    angles = [2 * math.pi * n / len(reaches) for n in range(len(reaches))]
    return tuple(
        (reach * math.cos(angle), reach * math.sin(angle))
        for reach, angle in zip(reaches, angles, strict=True)
    )


def singles(outlines: Sequence[Outline]) -> list[Piece]:
    return [
        Piece(f"{number}", "sateen", outline, ((0, 0), (10, 0)))
        for number, outline in enumerate(outlines)
    ]


@given(st.lists(st.one_of(rounded(), jagged()), min_size=1, max_size=14), st.floats(0, 10))
@settings(max_examples=60, deadline=None)
def test_shelves_of_random_pieces_pass(outlines: list[Outline], gap_mm: float) -> None:
    pieces = singles(outlines)
    cloth = Fabric("sateen", 700.0, gap_mm=gap_mm)
    placements, x_mm, y_mm, shelf_end = [], 0.0, 0.0, 0.0
    for piece in pieces:
        if y_mm + 160 > cloth.width_mm:
            x_mm, y_mm = shelf_end + gap_mm, 0.0
        one = placed(piece, piece.outline, (x_mm, y_mm))
        placements.append(one)
        y_mm = max(y for _, y in one.outline_mm) + gap_mm
        shelf_end = max(shelf_end, right(one.outline_mm))
    marker = Marker("sateen", OPEN, shelf_end, tuple(placements))
    assert verify(cloth, pieces, marker) == ()


def touching(one: Outline, other: Outline, edge: int, into_mm: float) -> tuple[float, float]:
    """The shift that brings the other's nearest corner to the middle of an edge, or inside it."""
    (x0, y0), (x1, y1) = one[edge], one[(edge + 1) % len(one)]
    size = math.hypot(x1 - x0, y1 - y0)
    inward = (-(y1 - y0) / size, (x1 - x0) / size)
    corner = max(other, key=lambda point: point[0] * inward[0] + point[1] * inward[1])
    return (
        (x0 + x1) / 2 + into_mm * inward[0] - corner[0],
        (y0 + y1) / 2 + into_mm * inward[1] - corner[1],
    )


@given(rounded(), rounded(), st.integers(0, 3), st.floats(0.01, 15))
@settings(max_examples=150, deadline=None)
def test_random_pieces_may_touch_and_may_not_overlap(
    one: Outline, other: Outline, edge: int, depth_mm: float
) -> None:
    """Convex pieces: brought against an edge they only touch; any deeper they overlap."""
    pieces = singles([one, other])
    cloth = Fabric("sateen", 1000.0)

    def found(into_mm: float) -> set[str]:
        base = placed(pieces[0], one, (200.0, 200.0))
        loose = placed(pieces[1], other, (0.0, 0.0))
        shift = touching(base.outline_mm, loose.outline_mm, edge, into_mm)
        both = (base, shifted(loose, *shift))
        length_mm = max(right(placement.outline_mm) for placement in both)
        return codes(cloth, pieces, Marker("sateen", OPEN, length_mm, both))

    assert found(0.0) == set()
    assert found(0.0015) == set()
    assert found(depth_mm) == {"overlap"}


@given(jagged(), jagged(), st.integers(0, 4), st.floats(0.01, 10))
@settings(max_examples=100, deadline=None)
def test_a_corner_in_a_random_edge_is_an_overlap(
    one: Outline, other: Outline, edge: int, depth_mm: float
) -> None:
    pieces = singles([one, other])
    base = placed(pieces[0], one, (200.0, 200.0))
    loose = placed(pieces[1], other, (0.0, 0.0))
    both = (base, shifted(loose, *touching(base.outline_mm, loose.outline_mm, edge, depth_mm)))
    length_mm = max(right(placement.outline_mm) for placement in both)
    found = codes(Fabric("sateen", 1000.0), pieces, Marker("sateen", OPEN, length_mm, both))
    assert "overlap" in found
