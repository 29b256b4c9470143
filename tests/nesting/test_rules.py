"""The rules that make the cuts, against the table written by hand."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest
from rules_cases import Case, cases
from rules_table import CROSSWISE, LENGTHWISE, PER_GARMENT

from nesting.fabric import LayName, Nap
from nesting.rules import cuts_for

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


def test_a_garment_shares_its_direction_only_where_the_nap_says_so() -> None:
    for case in cases():
        cuts = cuts_for([case.piece], case.fabric, case.lay)
        groups = {cut.nap_group for cut in cuts}
        if case.fabric.nap is not PER_GARMENT or case.piece.grain_rule is CROSSWISE:
            assert groups == {None}, str(case)
        elif case.piece.grain_rule is LENGTHWISE and cuts[0].orientations:
            assert groups == {"Ada"}, str(case)


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
