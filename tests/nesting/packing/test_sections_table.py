"""Folds that end in an opened-out section: what must hold, by one hand-made table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker
from nesting.rules.rules import cuts_apart
from nesting.verify.judge import verify
from pieces.piece import Piece
from tests.nesting.rules.rules_cases import Case, section_cases
from tests.nesting.rules.rules_shapes import STRIP
from tests.nesting.rules.rules_table import FOLD, OPENS_OUT
from tests.nesting.verify.hand_made import codes, placed

CASES = list(section_cases())
BAND = Piece("band", "sateen", STRIP, ((0, 0), (200, 0)), cut=2, pair=True, garment="Eve")
"""Always folded, so that there is a fold to open out."""


def test_every_folded_lay_may_end_opened_out() -> None:
    assert {case.lay for case in CASES} == OPENS_OUT == set(LayName) - {LayName.OPEN}


def test_what_is_cut_in_the_section_is_that_of_the_table() -> None:
    for case in CASES:
        piece = case.piece
        folded, single = cuts_apart([piece, BAND], case.fabric, case.lay, {piece.key: piece.cut})
        assert {cut.piece for cut in folded} == {BAND}, str(case)
        assert len(single) == len(case.outlines), str(case)
        for copy, (cut, wanted) in enumerate(zip(single, case.outlines, strict=True), start=1):
            assert (cut.copy, cut.layers, cut.on_fold) == (copy, 1, False), str(case)
            assert (cut.yields, cut.spare) == (1, 0), str(case)
            assert cut.unfolded == wanted.unfolded, str(case)
            assert wanted.must <= set(cut.orientations) <= wanted.may, str(case)


def test_copies_in_the_section_are_counted_on() -> None:
    piece = replace(BAND, cut=3)
    folded, single = cuts_apart([piece], Fabric("sateen", 1000), FOLD, {piece.key: 1})
    assert [cut.copy for cut in folded] == [1, 2]
    assert [cut.copy for cut in single] == [3, 4]
    assert [cut.orientations[0][1] for cut in single] == [False, True]


def opened_marker(case: Case, turn: int = 0, gap_mm: float = 0.0) -> Marker:
    """The band folded, then the outlines of a case end to end along the lower selvedge."""
    fold_mm = 300.0 if case.lay is LayName.PARTIAL_FOLD else 0.0
    layers = 4 if case.lay is LayName.QUARTER_FOLD else 2
    whole = [
        placed(BAND, STRIP, (200.0 * n, 0.0), copy=n + 1, gives=(layers, 0, layers))
        for n in range(4 // layers)
    ]
    start_mm = x_mm = 200.0 * len(whole)
    single = []
    for copy, outline in enumerate(case.outlines, start=1):
        way = sorted(outline.may)[turn % len(outline.may)]
        shape = case.whole if outline.unfolded else case.piece.outline
        one = placed(
            case.piece, shape, (x_mm + gap_mm, 0.0), way=way, copy=copy, unfolded=outline.unfolded
        )
        single.append(replace(one, section=OPENED_OUT))
        x_mm = max(x for x, _ in one.outline_mm)
    length_mm = x_mm + (start_mm if case.lay.folds_across else 0.0)
    return Marker(
        "sateen", case.lay, length_mm, (*whole, *single), fold_mm, opened_from_mm=start_mm
    )


@pytest.mark.long
def test_the_verifier_passes_every_way_of_the_table() -> None:
    for number, case in enumerate(CASES):
        marker = opened_marker(case, number)
        assert verify(case.fabric, [case.piece, BAND], marker) == (), str(case)


def wrong_ways(case: Case) -> Iterable[Marker]:
    good = opened_marker(case)
    *rest, last = good.placements
    for changes in (
        {"section": MAIN},
        {"layers": 2},
        {"yields": 2},
        {"spare": 1},
        {"band": 1},
        {"on_fold": True},
        {"unfolded": not last.unfolded},
        {"section": "sleeve board"},
    ):
        yield replace(good, placements=(*rest, replace(last, **changes)))
    assert good.opened_from_mm is not None
    yield replace(good, opened_from_mm=good.opened_from_mm + 1)
    yield replace(good, opened_from_mm=good.opened_from_mm - 1)
    yield replace(good, opened_from_mm=None)
    yield replace(good, opened_from_mm=0.0)
    yield replace(good, length_mm=good.length_mm + 1)
    yield replace(good, length_mm=good.length_mm - 1)
    yield replace(good, lay=LayName.OPEN, fold_depth_mm=0.0)


@pytest.mark.long
def test_the_verifier_finds_what_is_wrong_in_a_section() -> None:
    for case in CASES[::7]:
        for marker in wrong_ways(case):
            assert codes(case.fabric, [case.piece, BAND], marker), str(case)


def test_pieces_on_both_sides_of_the_opening_keep_the_gap() -> None:
    case = next(one for one in CASES if one.lay is FOLD and one.kind == "single")
    cloth = replace(case.fabric, gap_mm=4.0)
    near, apart = opened_marker(case, gap_mm=0.0), opened_marker(case, gap_mm=2.0)
    assert "gap" in codes(cloth, [case.piece, BAND], near)
    shifted = replace(apart, opened_from_mm=400.0)
    assert "gap" in codes(cloth, [case.piece, BAND], shifted)
