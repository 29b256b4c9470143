"""Pieces with two fold edges in the corner of a quarter fold: table, verifier, known optima."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, Nap
from nesting.fabric.lay import End, lay_under
from nesting.fabric.marker import OPENED_OUT
from nesting.fabric.unfold import opened
from nesting.manual.by_hand import laid_marker, moved_over, packings_of, spots_of, strips_at
from nesting.order.read import order_from_text
from nesting.output.write import write_plan
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.rules.rules import corner_ways, cuts_for
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.corner import cornered
from pieces.curves import arc
from pieces.errors import CannotFit
from pieces.geometry import area, bounds
from pieces.geometry import laid as laid_form
from pieces.piece import GrainRule, Piece
from tests.nesting.packing.test_cross_fold import WRAP, laid, planned
from tests.nesting.packing.test_sections import GRAIN, LAWN, piece
from tests.nesting.planning.test_planner import order_of
from tests.nesting.rules.rules_cases import (
    Case,
    corner_cases,
    quarter_round,
    two_fold_cases,
    two_folds_on_cross_fold,
)
from tests.nesting.rules.rules_shapes import QUARTER_ROUND
from tests.nesting.rules.rules_table import CORNER_WAYS, CROSSWISE_FOLD, FOLD, OPEN, QUARTER_FOLD
from tests.nesting.verify.hand_made import codes, placed, right, shifted
from tests.nesting.verify.test_verify_table import ALL_WAYS, in_a_row, ways_of

CASES = list(corner_cases())


def same_ring(one: object, other: object) -> bool:
    """Whether two outlines have the same corners in the same order."""
    a, b = list(one), list(other)  # type: ignore[call-overload]
    return any(a == b[n:] + b[:n] for n in range(len(b)))


# --- The rules -----------------------------------------------------------------------------------


@pytest.mark.parametrize("rule", GrainRule)
def test_ways_in_the_corner_are_those_of_the_table(rule: GrainRule) -> None:
    for nap in Nap:
        wanted = CORNER_WAYS[rule] if nap is Nap.NONE else ()
        cloth = Fabric("sateen", 1000.0, nap=nap)
        assert set(corner_ways(quarter_round(rule), cloth)) == set(wanted)


def check(case: Case, cuts: tuple[Cut, ...]) -> None:
    assert [cut.copy for cut in cuts] == [n + 1 for n in range(len(case.outlines))], str(case)
    for cut, wanted in zip(cuts, case.outlines, strict=True):
        assert (cut.piece.key, cut.piece.cut) == (case.piece.key, case.piece.cut), str(case)
        assert (cut.yields, cut.spare, cut.layers) == (
            wanted.yields,
            wanted.spare,
            wanted.layers,
        ), str(case)
        assert (cut.on_fold, cut.in_corner) == (wanted.on_fold, wanted.in_corner), str(case)
        assert cut.halved == wanted.unfolded, str(case)
        assert wanted.must <= set(cut.orientations) <= wanted.may, str(case)
        assert same_ring(cut.outline_mm, wanted.shape), str(case)


def test_cuts_are_those_of_the_table() -> None:
    for case in two_fold_cases():
        check(case, cuts_for([case.piece], case.fabric, case.lay))
    for case in CASES:
        check(case, cuts_for([case.piece], case.fabric, case.lay, {case.piece.key: 1}))
    for case, number in two_folds_on_cross_fold():
        check(case, cuts_for([case.piece], case.fabric, case.lay, {case.piece.key: number}))


# --- The verifier: `test_verify_table` looks at all that lies in no corner ----------------------


def test_the_verifier_passes_every_way_of_the_table() -> None:
    for case in CASES:
        for number in range(4):
            marker = in_a_row(case, ways_of(case.outlines, number))
            assert verify(case.fabric, [case.piece], marker) == (), str(case)
    for case, _ in two_folds_on_cross_fold():
        for turn in range(4):
            assert verify(case.fabric, [case.piece], laid(case, turn)) == (), str(case)


def test_the_verifier_finds_every_other_way_in_the_corner() -> None:
    expected = {"grain", "off-fold", "beyond-end", "outside-band"}
    for case in CASES:
        good = in_a_row(case, ways_of(case.outlines, 0))
        rest = good.placements[1:]
        for way in ALL_WAYS:
            if way not in case.outlines[0].may:
                bad = placed(
                    case.piece, QUARTER_ROUND, (0, 0), way=way, gives=(1, 0, 4), on_fold=True
                )
                marker = replace(good, placements=(replace(bad, in_corner=True), *rest))
                assert codes(case.fabric, [case.piece], marker) & expected, (str(case), way)


def test_the_verifier_finds_what_is_wrong_in_the_corner() -> None:
    for case in CASES:
        good = in_a_row(case, ways_of(case.outlines, 0))
        first, *rest = good.placements
        for code, bad in {
            "off-fold": shifted(first, 1.0, 0.0),
            "beyond-end": shifted(first, -1.0, 0.0),
            "outside-band": shifted(first, 0.0, -1.0),
            "fold": replace(first, in_corner=False),
            "shape": replace(first, unfolded=True),
            "spare": replace(first, spare=1),
            "layers": replace(first, layers=2),
            "yields": replace(first, yields=2),
        }.items():
            marker = replace(good, placements=(bad, *rest))
            assert code in codes(case.fabric, [case.piece], marker), (str(case), code)
        above = replace(good, placements=(shifted(first, 0.0, 1.0), *rest))
        assert "off-fold" in codes(case.fabric, [case.piece], above), str(case)


def test_the_verifier_knows_no_corner_on_other_lays_nor_with_a_nap() -> None:
    for case in CASES:
        good = in_a_row(case, ways_of(case.outlines, 0))
        for lay in (FOLD, CROSSWISE_FOLD):
            marker = replace(good, lay=lay, length_mm=good.table_length_mm)
            assert "fold" in codes(case.fabric, [case.piece], marker), str(case)
        velvet = replace(case.fabric, nap=Nap.ONE_WAY)
        assert {"lay", "fold"} <= codes(velvet, [case.piece], good), str(case)


def test_only_one_lies_in_the_corner() -> None:
    case = next(case for case in CASES if case.piece.cut == 2)
    first = in_a_row(case, ways_of(case.outlines, 0)).placements[0]
    two = replace(
        in_a_row(case, ways_of(case.outlines, 0)),
        placements=(first, replace(first, copy=2)),
        length_mm=2 * right(first.outline_mm),
    )
    assert "overlap" in codes(case.fabric, [case.piece], two)


# --- What the planner makes of it ----------------------------------------------------------------


def quarter_ring(outer_mm: float, inner_mm: float = 0.0, **more: object) -> Piece:
    """A quarter of a circle round a hole, drawn for two folds."""
    outer = arc((0.0, 0.0), outer_mm, 0.0, 90.0)
    inner = arc((0.0, 0.0), inner_mm, 90.0, 0.0) if inner_mm else ((0.0, 0.0),)
    one = Piece(
        "circle",
        "lawn",
        (*outer, *inner),
        GRAIN,
        on_fold=(inner[-1], outer[0]),
        second_fold=(inner[0], outer[-1]),
        garment="Ada",
    )
    return laid_form(cornered(replace(one, **more)))  # type: ignore[arg-type]


def test_a_circle_as_wide_as_the_cloth_lies_in_the_corner() -> None:
    """A metre across on a metre of cloth: half a metre of quarter fold, one outline, no spare.

    Its hem is cut along a quarter of the circle, through four layers, and so is its hole.
    """
    entry = planned([quarter_ring(500.0, 80.0)], LAWN, QUARTER_FOLD)
    (there,) = entry.marker.placements
    assert (there.in_corner, there.yields, there.spare, there.layers) == (True, 1, 0, 4)
    assert entry.marker.length_mm == pytest.approx(1000.0, abs=0.01)
    assert entry.table_length_mm == pytest.approx(500.0, abs=0.01)
    assert entry.cut_metres == pytest.approx(math.pi / 2 * 0.58, abs=0.001)
    ring_mm2 = math.pi * (500.0**2 - 80.0**2)
    assert entry.waste_percent == pytest.approx(100 * (1 - ring_mm2 / 1e6), abs=0.05)


def test_every_lay_has_room_for_a_circle_as_wide_as_the_cloth() -> None:
    """On each it takes its width of cloth; in the corner the least is cut, and there it is."""
    entry = planned([quarter_ring(500.0, 80.0)], LAWN, None)
    assert entry.marker.lay is QUARTER_FOLD
    found = {one.lay: one for one in entry.lays_compared}
    for lay, turns in ((OPEN, 4), (FOLD, 2), (CROSSWISE_FOLD, 2), (QUARTER_FOLD, 1)):
        assert found[lay].length_mm == pytest.approx(1000.0, abs=0.1)
        assert found[lay].cut_metres == pytest.approx(turns * math.pi / 2 * 0.58, abs=0.001)
        assert found[lay].cut_outlines == 1


def test_of_three_circles_one_lies_in_the_corner_and_a_half_of_the_others_beside_it() -> None:
    """Half a metre for the one, a metre for the half that gives two, less what nests. Two need no
    corner: the half gives both."""
    entry = planned([quarter_ring(500.0, cut=3)], LAWN, QUARTER_FOLD)
    first, second = sorted(entry.marker.placements, key=lambda one: one.copy)
    assert (first.in_corner, first.yields, first.spare) == (True, 1, 0)
    assert (second.on_fold, second.unfolded, second.yields, second.spare) == (True, True, 2, 0)
    assert entry.marker.length_mm <= 2 * (500.0 + 1000.0) + 0.01
    entry = planned([quarter_ring(500.0, cut=2)], LAWN, QUARTER_FOLD)
    assert [one.in_corner for one in entry.marker.placements] == [False]
    assert entry.marker.length_mm == pytest.approx(2000.0, abs=0.01)


@pytest.mark.parametrize("gap_mm", [0.0, 6.0])
def test_other_pieces_lie_past_the_one_in_the_corner(gap_mm: float) -> None:
    """A bar across all of the depth lies past it, and four are cut at once."""
    cloth = replace(LAWN, gap_mm=gap_mm)
    high_mm = 500.0 - gap_mm / 2
    outline = ((0, 0), (100, 0), (100, high_mm), (0, high_mm))
    bar = Piece("bar", "lawn", outline, GRAIN, cut=4, garment="Ada")
    square = Piece(
        "square",
        "lawn",
        ((0, 0), (300, 0), (300, 500), (0, 500)),
        GRAIN,
        on_fold=((0.0, 0.0), (300.0, 0.0)),
        second_fold=((0.0, 0.0), (0.0, 500.0)),
        garment="Ada",
    )
    entry = planned([square, bar], cloth, QUARTER_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * (300 + gap_mm + 100), abs=0.1)


def test_the_open_cloth_shows_the_whole_of_what_lies_in_the_corner() -> None:
    marker = planned([quarter_ring(500.0, 80.0)], LAWN, QUARTER_FOLD).marker
    lay = lay_under(marker, LAWN)
    assert (lay.near, lay.far) == (End.FOLD, End.EDGE)
    ((_, whole),) = opened(marker, lay)
    assert bounds(whole) == pytest.approx((0.0, 0.0, 1000.0, 1000.0), abs=0.01)
    assert area(whole) == pytest.approx(4 * area(marker.placements[0].outline_mm))


def test_a_hand_finds_it_in_the_corner_and_may_open_it_out() -> None:
    """As it lies it verifies again; cut in the section it lies whole, and no corner is held."""
    pieces = [quarter_ring(300.0, 80.0), piece("side", 300.0, 150.0, pair=True, cut=2)]
    marker = planned(pieces, LAWN, QUARTER_FOLD).marker
    assert sum(one.in_corner for one in marker.placements) == 1
    spots = spots_of(marker)
    again = laid_marker(strips_at(packings_of(LAWN, pieces, marker), spots))
    assert again.placements == marker.placements
    assert verify(LAWN, pieces, again) == ()
    moved = laid_marker(moved_over(LAWN, pieces, marker, spots, ("Ada", "circle", 1)))
    (whole,) = [one for one in moved.placements if one.section == OPENED_OUT]
    assert (whole.piece, whole.unfolded, whole.in_corner) == ("circle", True, False)
    assert area(whole.outline_mm) == pytest.approx(4 * area(pieces[0].outline))


@pytest.mark.long
def test_on_wider_cloth_the_corner_is_no_longer() -> None:
    order = order_of([quarter_ring(400.0, 80.0), WRAP], LAWN)
    (cloth,) = compare(order, Rounds(1), widths_mm=(1000.0, 1100.0), jobs=1).cloths
    found = {
        one.fabric.width_mm: one.marker.length_mm
        for one in cloth.alternatives
        if one.marker.lay is QUARTER_FOLD
    }
    assert found[1100.0] <= found[1000.0] + 0.001


SKIRT = """
name = "choir skirt"
units = "cm"
hem_allowance = 1
[fabric.satin]
width = {width}
selvedge = 1
end_allowance = 2
sold_by = "10 cm"
[[garment]]
name = "Dora"
body = {{ waist = 52 }}
[[garment.part]]
draft = "flared skirt"
fabric = "satin"
circle = "full"
panels = 1
length = 40
"""


def test_a_circle_skirt_in_one_takes_its_own_width_of_cloth(tmp_path: Path) -> None:
    """52 / 6.283 = 8.28 cm to the waist, 40 to the hem and 1 turned up: 98.55 cm across and along;
    with 2 cm to square the ends the counter cuts 110."""
    order = order_from_text(SKIRT.format(width=101), "skirt.toml")
    made = plan(order, Rounds(2), jobs=1)
    (entry,) = made.fabrics
    (there,) = entry.marker.placements
    assert there.in_corner
    assert entry.marker.length_mm == pytest.approx(2 * (520 / (2 * math.pi) + 410), abs=0.2)
    assert entry.purchase.length_mm == pytest.approx(1100.0)
    assert "slit-to-open" in {finding.code for finding in made.findings}
    # A quarter of hem and waist, and the slit with its seam allowance.
    hem_mm, waist_mm = (math.pi / 2 * (520 / (2 * math.pi) + by_mm) for by_mm in (410, -10))
    assert entry.cut_metres == pytest.approx((hem_mm + waist_mm + 160) / 1000, abs=0.002)
    files = write_plan(made, tmp_path)
    assert files
    report = (tmp_path / "report.txt").read_text(encoding="utf-8")
    said = " ".join(report.split())
    assert "cut in the corner of both folds, arrow away from the crosswise fold: " in said
    assert "at the crosswise fold, its fold edges on both folds" in said


def test_a_circle_wider_than_its_cloth_asks_for_panels() -> None:
    order = order_from_text(SKIRT.format(width=100), "skirt.toml")
    with pytest.raises(CannotFit) as caught:
        plan(order, Rounds(1), jobs=1)
    assert {"panels" in fault.remedy for fault in caught.value.faults} == {True}
