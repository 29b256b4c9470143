"""Pieces with their fold edge on a crosswise fold: the table, the verifier, and known optima."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.lay import End, lay_under
from nesting.fabric.marker import OPENED_OUT, Marker, Placement
from nesting.fabric.plans import FabricPlan
from nesting.fabric.unfold import opened
from nesting.output.files.data import fabric_data
from nesting.packing.cross_fold import crossings
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.rules.rules import cross_fold_ways, cuts_apart, cuts_for
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.geometry import bounds
from pieces.piece import GrainRule, Outline, Piece
from tests.examples import examples
from tests.nesting.packing.test_sections import BODICE, GRAIN, LAWN, SLEEVE, piece
from tests.nesting.planning.test_planner import order_of
from tests.nesting.rules.rules_cases import Case, cross_fold_cases, section_cases
from tests.nesting.rules.rules_shapes import FOLD_EDGES, SHAPES
from tests.nesting.rules.rules_table import (
    CROSS_FOLD_OPENED,
    CROSS_FOLD_WAYS,
    CROSSWISE_FOLD,
    OPEN,
    Way,
)
from tests.nesting.verify.hand_made import codes, placed, right, shifted

CASES = list(cross_fold_cases())
TURNS = (0.0, 90.0, 180.0, -90.0)
ALL_WAYS: list[Way] = [(turn, mirrored) for turn in TURNS for mirrored in (False, True)]


# --- The table -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "rule"), CROSS_FOLD_WAYS)
def test_ways_on_the_fold_are_those_of_the_table(kind: str, rule: GrainRule) -> None:
    one = Piece("x", "sateen", SHAPES[kind], GRAIN, on_fold=FOLD_EDGES[kind], grain_rule=rule)
    for nap in Nap:
        wanted = CROSS_FOLD_WAYS[kind, rule] if nap is Nap.NONE else ()
        assert set(cross_fold_ways(one, Fabric("sateen", 1000.0, nap=nap))) == set(wanted)


def test_cuts_are_those_of_the_table() -> None:
    for case, number in CASES:
        there = {case.piece.key: number}
        cuts = cuts_for([case.piece], case.fabric, CROSSWISE_FOLD, there)
        assert len(cuts) == len(case.outlines), str(case)
        for copy, (cut, wanted) in enumerate(zip(cuts, case.outlines, strict=True), start=1):
            assert (cut.piece, cut.copy) == (case.piece, copy), str(case)
            assert (cut.yields, cut.spare) == (wanted.yields, wanted.spare), str(case)
            assert cut.layers == wanted.layers, str(case)
            assert (cut.on_fold, cut.unfolded) == (wanted.on_fold, wanted.unfolded), str(case)
            assert wanted.must <= set(cut.orientations) <= wanted.may, str(case)


# --- The verifier --------------------------------------------------------------------------------


def laid(case: Case, turn: int = 0) -> Marker:
    """Those on the fold one above another, the others end to end past them."""
    placements: list[Placement] = []
    y_mm = x_mm = 0.0
    for copy, wanted in enumerate(case.outlines, start=1):
        way = sorted(wanted.may)[turn % len(wanted.may)]
        outline = wanted.shape or (case.piece.outline if wanted.on_fold else case.whole)
        at = (0.0, y_mm) if wanted.on_fold else (x_mm, 0.0)
        one = placed(
            case.piece,
            outline,
            at,
            way=way,
            copy=copy,
            gives=(wanted.yields, wanted.spare, 2),
            on_fold=wanted.on_fold,
            unfolded=wanted.unfolded,
        )
        placements.append(one)
        x_mm = max(x_mm, right(one.outline_mm))
        y_mm += bounds(one.outline_mm)[3] - bounds(one.outline_mm)[1] if wanted.on_fold else 0.0
    return Marker(case.fabric.name, CROSSWISE_FOLD, 2 * x_mm, tuple(placements))


def test_the_verifier_passes_every_way_of_the_table() -> None:
    for case, _ in CASES:
        for turn in range(4):
            assert verify(case.fabric, [case.piece], laid(case, turn)) == (), str(case)


def test_the_verifier_finds_every_other_way() -> None:
    expected = {"grain", "off-fold", "beyond-end", "mirrored"}
    for case, _ in CASES:
        good = laid(case)
        rest = good.placements[1:]
        for way in ALL_WAYS:
            if way in case.outlines[0].may:
                continue
            bad = placed(
                case.piece, case.piece.outline, (0.0, 0.0), way=way, gives=(1, 0, 2), on_fold=True
            )
            marker = replace(good, placements=(bad, *rest))
            assert codes(case.fabric, [case.piece], marker) & expected, (str(case), way)


def test_the_verifier_finds_what_is_wrong_on_the_fold() -> None:
    for case, number in CASES:
        good = laid(case)
        first, *rest = good.placements
        for code, bad in {
            "off-fold": shifted(first, 1.0, 0.0),
            "beyond-end": shifted(first, -1.0, 0.0),
            "fold": replace(first, on_fold=False),
            "spare": replace(first, spare=1),
            "layers": replace(first, layers=1),
            "yields": replace(first, yields=2),
        }.items():
            # Without any piece on it the marker is one that begins at its cut ends.
            if code != "fold" or number > 1:
                marker = replace(good, placements=(bad, *rest))
                assert code in codes(case.fabric, [case.piece], marker), (str(case), code)
        velvet = replace(case.fabric, nap=Nap.ONE_WAY)
        assert "fold" in codes(velvet, [case.piece], good), str(case)


# --- Where the fold ends opened out --------------------------------------------------------------


def opened_cases() -> list[tuple[Case, int, Case]]:
    """Of three wanted one or two lie on the fold; the others in a section, as on open cloth."""
    single = {(one.kind, one.piece.grain_rule): one for one in section_cases() if is_plain(one)}
    return [
        (case, number, single[case.kind, case.piece.grain_rule])
        for case, number in CASES
        if number < 3
    ]


def is_plain(case: Case) -> bool:
    crosswise = case.lay is CROSSWISE_FOLD and case.fabric.nap is Nap.NONE
    return crosswise and case.fabric == CASES[0][0].fabric and case.piece.cut == 1


def test_what_is_cut_on_the_fold_and_in_its_section_is_that_of_the_table() -> None:
    of_three = (case for case, number in CASES if number == 1)
    for case in of_three:
        key = case.piece.key
        for (meant, opened_out), wanted in CROSS_FOLD_OPENED.items():
            parts = cuts_apart(
                [case.piece], case.fabric, CROSSWISE_FOLD, {key: opened_out}, {key: meant}
            )
            told = [", ".join(map(in_words, part)) for part in parts]
            assert told == list(wanted), (str(case), meant, opened_out)
            cuts = [cut for part in parts for cut in part]
            assert [cut.copy for cut in cuts] == [n + 1 for n in range(len(cuts))], str(case)


def in_words(cut: Cut) -> str:
    assert cut.unfolded != cut.on_fold
    where = "on fold " if cut.on_fold else "beside " if cut.layers > 1 else ""
    return f"{where}{cut.yields}+{cut.spare}"


def laid_opened(case: Case, number: int, single: Case) -> Marker:
    """Those on the fold one above another, past them the others end to end in the section."""
    there = laid(case).placements[:number]
    start_mm = x_mm = max(right(one.outline_mm) for one in there)
    (wanted,) = single.outlines
    placements = list(there)
    for copy in range(number + 1, 4):
        way = sorted(wanted.may)[0]
        one = placed(case.piece, case.whole, (x_mm, 0.0), way=way, copy=copy, unfolded=True)
        placements.append(replace(one, section=OPENED_OUT))
        x_mm = right(one.outline_mm)
    length_mm = start_mm + x_mm
    return Marker(
        case.fabric.name, CROSSWISE_FOLD, length_mm, tuple(placements), opened_from_mm=start_mm
    )


def test_the_verifier_passes_pieces_on_a_fold_that_opens_out() -> None:
    for case, number, single in opened_cases():
        marker = laid_opened(case, number, single)
        assert verify(case.fabric, [case.piece], marker) == (), str(case)


def test_the_verifier_finds_what_is_wrong_on_a_fold_that_opens_out() -> None:
    for case, number, single in opened_cases():
        good = laid_opened(case, number, single)
        first, *rest = good.placements
        last = good.placements[-1]
        for code, bad in {
            "off-fold": (shifted(first, 1.0, 0.0), *rest),
            "fold": (first, *rest[:-1], replace(last, on_fold=True, unfolded=False)),
            "spare": (replace(first, spare=1), *rest),
            "layers": (first, *rest[:-1], replace(last, layers=2)),
        }.items():
            marker = replace(good, placements=bad)
            assert code in codes(case.fabric, [case.piece], marker), (str(case), code)


def block(left: float, low: float, length: float, width: float) -> Outline:
    right_mm, high = left + length, low + width
    return ((left, low), (right_mm, low), (right_mm, high), (left, high))


def flounce(long_mm: float, deep_mm: float, **more: object) -> Piece:
    """Half of it, to be opened out along its length; its grain runs across the cloth."""
    outline: Outline = ((0, 0), (long_mm, 0), (long_mm, deep_mm), (2, deep_mm))
    one = Piece(
        "flounce",
        "lawn",
        outline,
        GRAIN,
        on_fold=((0.0, 0.0), (long_mm, 0.0)),
        grain_rule=GrainRule.CROSSWISE,
        garment="Ada",
    )
    return replace(one, **more)  # type: ignore[arg-type]


def planned(pieces: list[Piece], fabric: Fabric, lay: LayName | None) -> FabricPlan:
    (entry,) = plan(order_of(pieces, fabric), Rounds(2), jobs=1, lay=lay).fabrics
    assert verify(replace(fabric, lays=None), pieces, entry.marker) == ()
    return entry


WRAP, CAPE = piece("wrap front", 900, 500), piece("cape front", 900, 500)
"""Unlike their mirror images, and cut once."""


def test_odd_single_pieces_lie_past_a_fold_that_holds_others() -> None:
    """40 cm of flounce on the fold, twice, and a section of 90 for both fronts side by side: all
    of the cloth. Folded all along both would take 1.3 m twice, and leave one of each."""
    entry = planned([flounce(1000, 400), WRAP, CAPE], LAWN, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 400 + 900, abs=0.01)
    assert entry.marker.opened_from_mm == pytest.approx(400, abs=0.01)
    assert [p.on_fold for p in entry.marker.placements] == [True, False, False]
    assert sum(p.spare for p in entry.marker.placements) == 0
    assert fabric_data(entry, {})["measured_from"] == "fold"


def test_an_odd_piece_of_the_fold_is_no_spare_beside_an_odd_front() -> None:
    """Three flounces of half a metre, 40 deep: two on the fold, the third opened out beside a
    front of 80 cm, in a section as long."""
    pieces = [flounce(500, 400, cut=3), piece("front", 800, 500)]
    entry = planned(pieces, LAWN, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 400 + 800, abs=0.01)


# --- What the planner makes of it ----------------------------------------------------------------


def test_a_flounce_that_only_fits_across_lies_on_the_crosswise_fold() -> None:
    """A metre across a metre of cloth: 40 cm deep on the fold, and no spare. Opened out beside it,
    two layers would take 80 cm each and give one for nothing."""
    entry = planned([flounce(1000, 400)], LAWN, CROSSWISE_FOLD)
    (there,) = entry.marker.placements
    assert (there.on_fold, there.yields, there.spare) == (True, 1, 0)
    assert entry.marker.length_mm == pytest.approx(800, abs=0.01)
    assert entry.cut_metres == pytest.approx(1 + 2 * 0.4, abs=0.01)


@pytest.mark.parametrize("gap_mm", [0.0, 6.0])
def test_other_pieces_lie_past_those_on_the_fold(gap_mm: float) -> None:
    """400 mm of flounce, the gap, and 600 of bodice; on both layers."""
    cloth = replace(LAWN, gap_mm=gap_mm)
    entry = planned([flounce(1000, 400), BODICE], cloth, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * (400 + gap_mm + 600), abs=0.1)


# --- On flawed cloth -----------------------------------------------------------------------------


def on_the_fold(pieces: list[Piece], cloth: Fabric) -> list[list[int]]:
    return [list(one.values()) for one in crossings(pieces, cloth, CROSSWISE_FOLD)]


def test_only_as_many_lie_on_the_fold_as_the_width_holds() -> None:
    """Of three of 40 cm one is odd, where two layers give two; and two need 80 cm of a metre."""
    three = flounce(400, 300, cut=3)
    assert on_the_fold([three], LAWN) == [[1], [2]]
    assert on_the_fold([three], replace(LAWN, width_mm=1200.0)) == [[1], [3]]
    assert on_the_fold([three], replace(LAWN, edge_gap_mm=75.0, gap_mm=50.0)) == [[1], [2]]
    assert on_the_fold([three], replace(LAWN, edge_gap_mm=76.0, gap_mm=50.0)) == [[1]]
    assert on_the_fold([flounce(1001, 300)], LAWN) == []
    assert on_the_fold([three], replace(LAWN, nap=Nap.ONE_WAY)) == []


def test_all_three_lie_on_a_fold_that_holds_them() -> None:
    """1.2 m of fold for three of 40 cm, 30 cm deep; with one on it the others take 60 cm past."""
    entry = planned([flounce(400, 300, cut=3)], replace(LAWN, width_mm=1200.0), CROSSWISE_FOLD)
    assert [p.on_fold for p in entry.marker.placements] == [True] * 3
    assert entry.marker.length_mm == pytest.approx(600, abs=0.01)


def test_the_open_cloth_shows_what_lies_on_the_fold() -> None:
    entry = planned([flounce(1000, 400), BODICE, SLEEVE], LAWN, None)
    lengths = {one.lay: one.length_mm for one in entry.lays_compared}
    assert lengths[OPEN] <= lengths[CROSSWISE_FOLD] + 0.001
    crosswise = next(a for a in entry.alternatives if a.marker.lay is CROSSWISE_FOLD)
    lay = lay_under(crosswise.marker, LAWN)
    assert (lay.near, lay.far) == (End.FOLD, End.EDGE)
    half_mm = crosswise.marker.table_length_mm
    whole = next(o for key, o in opened(crosswise.marker, lay) if key[1] == "flounce")
    assert bounds(whole) == pytest.approx((half_mm - 400, 0, half_mm + 400, 1000), abs=0.01)


@pytest.mark.long
def test_wider_cloth_is_never_longer() -> None:
    order = order_of([flounce(900, 400), BODICE, SLEEVE], LAWN)
    (cloth,) = compare(order, Rounds(1), widths_mm=(1000.0, 1100.0), jobs=1).cloths
    found = {
        one.fabric.width_mm: one.marker.length_mm
        for one in cloth.alternatives
        if one.marker.lay is CROSSWISE_FOLD
    }
    assert found[1100.0] <= found[1000.0] + 0.001


@st.composite
def some_pieces(draw: st.DrawFn) -> list[Piece]:
    side = st.integers(2, 30).map(lambda n: 20.0 * n)
    found: list[Piece] = [flounce(draw(side), draw(side), cut=draw(st.integers(1, 3)))]
    for number in range(draw(st.integers(0, 3))):
        outline = ((0, 0), (draw(side), 0), (draw(side), 60.0 + draw(side)), (0, draw(side)))
        one = Piece(f"{number}", "lawn", outline, GRAIN, garment="Ada", pair=draw(st.booleans()))
        found.append(one)
    return found


@settings(max_examples=examples(12), deadline=None, suppress_health_check=list(HealthCheck))
@given(
    pieces=some_pieces(),
    gap_mm=st.sampled_from([0.0, 5.0]),
    edge_mm=st.sampled_from([0.0, 8.0]),
    tilt_deg=st.sampled_from([0.0, 2.0]),
    flaws=st.lists(
        st.builds(block, st.integers(0, 1200), st.integers(0, 950), st.just(30), st.just(40)),
        max_size=2,
    ),
)
def test_random_pieces_on_the_fold_can_be_cut(
    pieces: list[Piece], gap_mm: float, edge_mm: float, tilt_deg: float, flaws: list[Outline]
) -> None:
    """Whatever is found verifies, and the open cloth takes no more."""
    cloth = replace(LAWN, gap_mm=gap_mm, edge_gap_mm=edge_mm, tilt_deg=tilt_deg)
    cloth = replace(cloth, lays=(CROSSWISE_FOLD, OPEN), flaws=tuple(flaws))
    (entry,) = plan(order_of(pieces, cloth), Rounds(2), jobs=1).fabrics
    lengths = {one.lay: one.length_mm for one in entry.lays_compared}
    for one in entry.alternatives:
        assert verify(cloth, pieces, one.marker) == ()
    if gap_mm == 0:
        assert lengths[OPEN] <= lengths[CROSSWISE_FOLD] + 0.001


def test_on_the_fold_is_told_in_the_plan() -> None:
    """Beside the fold other pieces are measured from it, too."""
    entry = planned(
        [flounce(1000, 400), piece("pocket", 200, 150, pair=True)], LAWN, CROSSWISE_FOLD
    )
    assert fabric_data(entry, {})["measured_from"] == "fold"
    there = [p.on_fold for p in entry.marker.placements]
    assert there == [True, False]
    assert min(x for x, _ in entry.marker.placements[1].outline_mm) == pytest.approx(400, abs=1)
