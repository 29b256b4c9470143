"""Pieces on a crosswise fold of flawed cloth, and where its plan says to fold it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.fabric.fabric import LayName
from nesting.fabric.flaws import laid_flaws
from nesting.fabric.lay import lay_of, lay_under
from nesting.fabric.marker import Marker
from nesting.manual.by_hand import laid_marker, packings_of, spots_of, strips_at
from nesting.manual.repin import replan
from nesting.manual.requests import cut_id_of
from nesting.output import words
from nesting.page.table.steps import folding
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.geometry import bounds
from pieces.piece import Outline, Piece
from pieces.units import Unit
from tests.examples import some
from tests.nesting.packing.test_cross_fold import CAPE, WRAP, block, flounce, planned
from tests.nesting.packing.test_sections import BODICE, GRAIN, LAWN, SLEEVE, piece
from tests.nesting.rules.rules_table import (
    CROSSWISE_FOLD,
    FLAW_FROM_FOLD,
)
from tests.nesting.verify.hand_made import codes, placed


def square_patch(side: float) -> Piece:
    outline = ((0, 0), (side, 0), (side, side), (0, side))
    return Piece("patch", "lawn", outline, GRAIN, cut=2, garment="Ada")


@pytest.mark.parametrize("fold_mm", FLAW_FROM_FOLD)
def test_a_flaw_lies_from_the_fold_as_the_table_has_it(fold_mm: float) -> None:
    cloth = replace(LAWN, flaws=(block(100, 300, 120, 50),))
    lay = replace(lay_of(cloth, CROSSWISE_FOLD, from_fold=True), begins_mm=fold_mm)
    found = [(one.layer, *bounds(one.outline_mm)) for one in laid_flaws(cloth, lay)]
    wanted = [(n, begin, 300.0, end, 350.0) for n, begin, end in FLAW_FROM_FOLD[fold_mm]]
    assert found == [pytest.approx(one) for one in wanted]


@pytest.mark.parametrize("fold_mm", FLAW_FROM_FOLD)
def test_the_verifier_finds_a_flaw_in_the_layers_of_the_table(fold_mm: float) -> None:
    """A narrow band lies on the fold, and a patch at the cut ends, both clear of the flaw; another
    patch is moved along the fold's length at the flaw's height."""
    cloth = replace(LAWN, flaws=(block(100, 300, 120, 50),))
    band, patch = flounce(200, 10), square_patch(20.0)
    there = placed(
        band, band.outline, (0.0, 0.0), way=(-90.0, False), gives=(1, 0, 2), on_fold=True
    )
    at_end = placed(patch, patch.outline, (fold_mm - 20, 600.0), gives=(2, 0, 2))
    last = replace(at_end, piece="last patch")
    pieces = [band, patch, replace(patch, name="last patch")]
    for x_mm in range(12, int(fold_mm) - 20, 8):
        one = placed(patch, patch.outline, (float(x_mm), 320.0), gives=(2, 0, 2))
        marker = Marker("lawn", CROSSWISE_FOLD, 2 * fold_mm, (there, one, last))
        spans = FLAW_FROM_FOLD[fold_mm]
        under = any(begin < x_mm + 20 and x_mm < end for _, begin, end in spans)
        assert codes(cloth, pieces, marker) == ({"flaw"} if under else set()), x_mm


@pytest.mark.parametrize(
    ("flaw", "length_mm"),
    [
        (block(0, 0, 20, 1000), 2 * (400 + 20)),  # at the cut end: lost, and as much below it
        (block(900, 0, 40, 1000), 2 * 400),  # past what is used
        (block(500, 300, 40, 50), 2 * (540 + 400)),  # under it, in the lower layer
        (block(795, 300, 5, 50), 2 * 400 + 2 * 400 + 2 * 400),  # at the other cut end
    ],
)
def test_the_fold_lies_where_a_flaw_is_clear_of_the_piece_on_it(
    flaw: Outline, length_mm: float
) -> None:
    """The flounce fills the width for 400 mm of both layers. A flaw in them comes to lie before
    them, in the upper layer, once the cloth is folded 400 mm past it."""
    entry = planned([flounce(1000, 400)], replace(LAWN, flaws=(flaw,)), CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(length_mm, abs=0.01)


def test_other_pieces_keep_clear_of_a_flaw_past_the_fold() -> None:
    """The bodice has half the width to lie in, above a flaw or below it, in either layer."""
    for left in (500.0, 1500.0):
        for low in (100.0, 850.0):
            cloth = replace(LAWN, flaws=(block(left, low, 40, 50),))
            entry = planned([flounce(1000, 400), BODICE], cloth, CROSSWISE_FOLD)
            assert entry.marker.length_mm == pytest.approx(2000, abs=0.1)


def test_a_fold_on_flawed_cloth_may_end_opened_out() -> None:
    """The fold's 800 mm of cloth, then 100 clear, 40 of flaw across the lower half, and 900: of the
    two fronts one begins past the flaw, the other beside it."""
    cloth = replace(LAWN, flaws=(block(900, 100, 40, 50),))
    entry = planned([flounce(1000, 400), WRAP, CAPE], cloth, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(800 + 140 + 900, abs=0.5)
    assert entry.marker.opened_from_mm == pytest.approx(400, abs=0.01)


def test_a_longer_marker_than_its_pieces_ask_for_needs_a_flaw_as_the_reason() -> None:
    cloth = replace(LAWN, flaws=(block(0, 0, 20, 1000),))
    pieces = [flounce(1000, 400)]
    good = planned(pieces, cloth, CROSSWISE_FOLD).marker
    assert "flaw" in codes(cloth, pieces, replace(good, length_mm=800.0))
    elsewhere = replace(cloth, flaws=(block(2000, 0, 20, 1000),))
    assert "length" in codes(elsewhere, pieces, good)


@pytest.mark.parametrize(
    "flaw", some([(None,), (block(0, 0, 20, 1000),), (block(500, 100, 40, 50),)])
)
@pytest.mark.parametrize("others", [[BODICE], [piece("wrap front", 900, 500), SLEEVE]])
def test_a_hand_takes_up_the_layout_as_it_is(flaw: Outline | None, others: list[Piece]) -> None:
    cloth = replace(LAWN, flaws=() if flaw is None else (flaw,))
    pieces = [flounce(1000, 400), *others]
    marker = planned(pieces, cloth, CROSSWISE_FOLD).marker
    strips = strips_at(packings_of(cloth, pieces, marker), spots_of(marker))
    taken_up = laid_marker(strips)
    assert verify(cloth, pieces, taken_up) == ()
    assert taken_up.length_mm == pytest.approx(marker.length_mm, abs=0.01)
    pins = {cut_id_of(marker.placements[0])}
    made = replan(cloth, pieces, marker, spots_of(marker), pins, Rounds(1))
    assert made.length_mm <= marker.length_mm + 0.01


def test_where_to_fold_is_told_where_the_cut_ends_do_not_meet() -> None:
    """Whole cloth that opens out, in two or in four: its upper layer is as long as the fold."""
    entry = planned([flounce(1000, 400), WRAP, CAPE], LAWN, CROSSWISE_FOLD)
    told = next(folding(entry, lay_under(entry.marker, LAWN), Unit.CM))
    assert told.startswith("Fold it across, right sides together, 40 cm from its cut end.")
    pieces = [piece("yoke", 300, 500, pair=True), piece("panel", 700, 800)]
    entry = planned(pieces, LAWN, LayName.QUARTER_FOLD)
    told = next(folding(entry, lay_under(entry.marker, LAWN), Unit.CM))
    assert "lengthwise" in told
    assert "30 cm from its cut end" in told
    entry = planned([flounce(1000, 400)], LAWN, CROSSWISE_FOLD)
    told = next(folding(entry, lay_under(entry.marker, LAWN), Unit.CM))
    assert "so that the cut ends meet" in told


def test_it_is_told_where_to_fold_flawed_cloth() -> None:
    cloth = replace(LAWN, flaws=(block(0, 0, 20, 1000),), end_allowance_mm=20.0, sold_by_mm=1000.0)
    entry = planned([flounce(1000, 400)], cloth, CROSSWISE_FOLD)
    assert words.laid(entry.marker, cloth, Unit.CM) == (
        "folded crosswise, the first 42 cm from the cut end laid over the rest"
    )
    assert "laid over" not in words.laid(entry.marker, LAWN, Unit.CM)
    lay = lay_under(entry.marker, cloth)
    told = " ".join(folding(entry, lay, Unit.CM))
    assert "Fold it across, right sides together, 42 cm from its cut end, so that no" in told
    # 86 cm are asked for and a metre bought: past the upper layer 14 cm lie single.
    rest = [(r.layers, r.x_mm, r.length_mm) for r in entry.remnants if r.x_mm > 400]
    assert rest == [(1, pytest.approx(420, abs=0.1), pytest.approx(140, abs=0.1))]
