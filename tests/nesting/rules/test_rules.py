"""The rules that make the cuts, against the table written by hand."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.rules.rules import cuts_apart, cuts_for, half_on
from nesting.rules.ways import directions
from pieces.geometry import bounds
from pieces.piece import GrainRule, Piece
from tests.nesting.rules.rules_cases import Case, cases
from tests.nesting.rules.rules_table import (
    CROSSWISE,
    LENGTHWISE,
    NONE,
    ONE_WAY,
    ONE_WAY_TOGETHER,
    PER_GARMENT,
    TURNS,
)

BY_PLACE: dict[tuple[LayName, Nap, str], list[Case]] = defaultdict(list)
for one in cases():
    BY_PLACE[one.lay, one.fabric.nap, one.kind].append(one)


@pytest.mark.parametrize(("lay", "nap", "kind"), BY_PLACE)
def test_cuts_are_those_of_the_table(lay: LayName, nap: Nap, kind: str) -> None:
    for case in BY_PLACE[lay, nap, kind]:
        cuts = cuts_for([case.piece], case.fabric, case.lay)
        assert len(cuts) == len(case.outlines), str(case)
        for copy, (cut, wanted) in enumerate(zip(cuts, case.outlines, strict=True), start=1):
            assert cut.piece == case.piece, str(case)
            assert cut.copy == copy, str(case)
            assert (cut.yields, cut.spare) == (wanted.yields, wanted.spare), str(case)
            assert cut.layers == wanted.layers, str(case)
            assert (cut.on_fold, cut.unfolded) == (wanted.on_fold, wanted.unfolded), str(case)
            assert len(set(cut.orientations)) == len(cut.orientations), str(case)
            assert wanted.must <= set(cut.orientations) <= wanted.may, str(case)


def test_wanted_parts_come_out_of_the_table() -> None:
    """The table itself gives as many parts as its pieces ask for: no slip of the pen."""
    for case in cases():
        assert sum(outline.yields for outline in case.outlines) == case.piece.parts, str(case)
        for outline in case.outlines:
            parts = outline.layers // (2 if outline.on_fold else 1)
            assert outline.yields + outline.spare == parts, str(case)


def test_who_shares_a_direction_along_the_nap() -> None:
    """All that lies across one-way cloth; a garment's pieces, and apart those across, else."""
    across: dict[Nap, set[str]] = defaultdict(set)
    for case in cases():
        nap, rule = case.fabric.nap, case.piece.grain_rule
        garments = [replace(case.piece, garment=name) for name in ("Ada", "Ines")]
        cuts = cuts_for(garments, case.fabric, case.lay)
        groups = {cut.nap_group for cut in cuts if cut.orientations}
        if not groups or nap is NONE:
            assert groups <= {None}, str(case)
        elif rule is CROSSWISE:
            assert len(groups) == (2 if nap is PER_GARMENT else 1), str(case)
            assert not groups & {None, "Ada", "Ines"}, str(case)
            across[nap] |= groups
        else:
            assert groups == ({"Ada", "Ines"} if nap is PER_GARMENT else {None}), str(case)
    assert {nap: len(groups) for nap, groups in across.items()} == {ONE_WAY: 1, PER_GARMENT: 2}


@pytest.mark.parametrize("rule", GrainRule)
def test_directions_are_those_that_lie_together(rule: GrainRule) -> None:
    for turn in TURNS[rule, PER_GARMENT]:
        wanted = tuple(s for s, together in enumerate(ONE_WAY_TOGETHER[rule]) if turn in together)
        assert directions(rule, turn) == wanted


@pytest.mark.parametrize("lay", LayName)
def test_pieces_keep_their_order_and_count_their_own_copies(lay: LayName) -> None:
    some = [case for case in cases() if case.lay is lay and case.piece.grain_rule is LENGTHWISE]
    first = some[:9]
    pieces = [replace(one.piece, name=f"{number}") for number, one in enumerate(first)]
    cuts = cuts_for(pieces, first[0].fabric, lay)
    wanted = [
        (piece.name, copy + 1)
        for piece, one in zip(pieces, first, strict=True)
        for copy in range(len(one.outlines))
    ]
    assert all(one.fabric == first[0].fabric for one in first)
    assert [(cut.piece.name, cut.copy) for cut in cuts] == wanted


QUARTER = Piece(
    "round top",
    "linen",
    ((0, 0), (300, 0), (300, 100), (0, 100)),
    ((50, 50), (250, 50)),
    on_fold=((0, 0), (300, 0)),
    second_fold=((0, 100), (0, 0)),
)
"""A quarter, as drawn for two folds: 300 mm along the grain, 100 across."""


@pytest.mark.parametrize(
    ("grain", "lay", "size"),
    [
        (GrainRule.LENGTHWISE, LayName.LENGTHWISE_FOLD, (600, 100)),
        (GrainRule.LENGTHWISE, LayName.CROSSWISE_FOLD, (300, 200)),
        (GrainRule.CROSSWISE, LayName.LENGTHWISE_FOLD, (300, 200)),
        (GrainRule.CROSSWISE, LayName.CROSSWISE_FOLD, (600, 100)),
    ],
)
def test_of_two_folds_the_one_that_is_not_there_is_opened_out(
    grain: GrainRule, lay: LayName, size: tuple[float, float]
) -> None:
    """The edge along the grain lies on a lengthwise fold, the one across it on a crosswise one."""
    half = half_on(replace(QUARTER, grain_rule=grain), lay)
    x0, y0, x1, y1 = bounds(half.outline)
    assert (x1 - x0, y1 - y0) == pytest.approx(size)
    assert half.second_fold is None


def test_what_is_cut_opened_out_is_cut_on_the_fold_no_more() -> None:
    """Five belts: two opened out in one layer, the others two at a time out of the fold."""
    belt = Piece(
        "belt", "linen", ((0, 0), (300, 0), (300, 50), (0, 50)), ((0, 25), (300, 25)), cut=5
    )
    fabric = Fabric("linen", 1500)
    folded, opened = cuts_apart([belt], fabric, LayName.LENGTHWISE_FOLD, {belt.key: 2})
    assert [(cut.copy, cut.yields, cut.spare) for cut in folded] == [(1, 2, 0), (2, 1, 1)]
    assert [(cut.copy, cut.yields) for cut in opened] == [(3, 1), (4, 1)]
    assert all(cut.piece == belt for cut in (*folded, *opened))
