"""The verifier against every cell of the table of rules written by hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import pytest

from nesting.fabric.fabric import LayName, Nap
from nesting.fabric.marker import Marker
from nesting.verify.judge import verify
from tests.nesting.rules.rules_cases import Case, Outlined, cases, two_fold_cases
from tests.nesting.rules.rules_table import (
    CROSSWISE_FOLD,
    DOUBLE_FOLD,
    PARTIAL_FOLD,
    QUARTER_FOLD,
    UPPER_FOLD_WAYS,
    Way,
)
from tests.nesting.verify.hand_made import (
    codes,
    moved,
    placed,
    right,
)

TURNS = (0.0, 45.0, 90.0, 135.0, 180.0, -135.0, -90.0, -45.0)
ALL_WAYS: list[Way] = [(turn, mirrored) for turn in TURNS for mirrored in (False, True)]


FOLDED_IN_MM = {LayName.PARTIAL_FOLD: 300.0}
"""How deep a partial fold is here: 300 mm of double cloth, and 400 of single beyond it."""


def place(case: Case, wanted: Outlined, way: Way, high_mm: float) -> tuple[int, float]:
    """Band and lower limit of an outline `high_mm` across: in the single band, on a fold."""
    if case.lay is PARTIAL_FOLD and wanted.layers == 1:
        return 1, 300.0
    key = (case.half or case.kind, case.piece.grain_rule, case.fabric.nap)
    upper = UPPER_FOLD_WAYS.get(key, ())
    across = abs(way[0]) == 90.0 and (way[0], False) in upper
    if wanted.on_fold and case.lay is DOUBLE_FOLD and (way in upper or across):
        return 1, 500.0 - high_mm
    return 0, 0.0


def in_a_row(case: Case, ways: Sequence[Way]) -> Marker:
    """The outlines of a case end to end along a fold, or an edge."""
    placements, x_mm = [], 0.0
    for copy, (wanted, way) in enumerate(zip(case.outlines, ways, strict=True), start=1):
        gives = (wanted.yields, wanted.spare, wanted.layers)
        folds = {"on_fold": wanted.on_fold, "unfolded": wanted.unfolded}
        outline = wanted.shape or (case.whole if wanted.unfolded else case.piece.outline)
        ys = [y for _, y in moved(outline, way)]
        band, low_mm = place(case, wanted, way, max(ys) - min(ys))
        one = placed(case.piece, outline, (x_mm, low_mm), way=way, copy=copy, gives=gives, **folds)
        placements.append(replace(one, band=band, in_corner=wanted.in_corner))
        x_mm = right(one.outline_mm)
    length_mm = 2 * x_mm if case.lay in (CROSSWISE_FOLD, QUARTER_FOLD) else x_mm
    depth_mm = FOLDED_IN_MM.get(case.lay, 0.0)
    return Marker(case.fabric.name, case.lay, length_mm, tuple(placements), depth_mm)


BY_PLACE: dict[tuple[LayName, Nap, str], list[Case]] = defaultdict(list)
for one_case in (*cases(), *two_fold_cases()):
    BY_PLACE[one_case.lay, one_case.fabric.nap, one_case.kind].append(one_case)
PLACES = pytest.mark.parametrize(("lay", "nap", "kind"), BY_PLACE)
SIXTHS = pytest.mark.parametrize(
    "sixth", [0, *(pytest.param(other, marks=pytest.mark.long) for other in range(1, 6))]
)
"""Of all that is wrong with a case every sixth is tried at once, another with each next case."""


def ways_of(outlines: Sequence[Outlined], number: int) -> list[Way]:
    """A way for each outline, turned as the first is where it may be."""
    found: list[Way] = []
    for outline in outlines:
        every = sorted(outline.may)
        same = [way for way in every if found and way[0] == found[0][0]] or every
        found.append(same[number % len(same)])
    return found


@PLACES
@SIXTHS
def test_every_way_of_the_table_passes(lay: LayName, nap: Nap, kind: str, sixth: int) -> None:
    for first, case in enumerate(BY_PLACE[lay, nap, kind]):
        for number in range((sixth + first) % 6, len(case.outlines[0].may), 6):
            marker = in_a_row(case, ways_of(case.outlines, number))
            assert verify(case.fabric, [case.piece], marker) == (), str(case)


@PLACES
@SIXTHS
def test_every_other_way_is_found(lay: LayName, nap: Nap, kind: str, sixth: int) -> None:
    """One outline, the last, lies in a way that the table does not allow."""
    expected = {"grain", "nap", "mirrored", "pair", "yields", "off-fold", "outside-band"}
    for number, case in enumerate(BY_PLACE[lay, nap, kind]):
        if case.piece.cut == 2:  # as one or three, and a third of the time
            continue
        last = case.outlines[-1]
        others = ways_of(case.outlines, 0)[:-1] if last.may else [(0.0, False)] * 2
        for way in ALL_WAYS[(sixth + number) % 6 :: 6]:
            if way not in last.may:
                marker = in_a_row(case, [*others[: len(case.outlines) - 1], way])
                assert codes(case.fabric, [case.piece], marker) & expected, (str(case), way)


@PLACES
def test_arrows_of_one_rule_that_point_two_ways_are_found(
    lay: LayName, nap: Nap, kind: str
) -> None:
    """The last outline turned end for end, though it might lie so if all the others did."""
    for case in BY_PLACE[lay, nap, kind]:
        if nap is Nap.NONE or len(case.outlines) == 1 or not case.outlines[0].may:
            continue
        *rest, (turn, hand) = ways_of(case.outlines, 0)
        about = (180.0 - (-turn) % 360.0, hand)
        if about in case.outlines[-1].may:
            marker = in_a_row(case, [*rest, about])
            assert "nap" in codes(case.fabric, [case.piece], marker), str(case)


@PLACES
@SIXTHS
def test_every_wrong_number_is_found(lay: LayName, nap: Nap, kind: str, sixth: int) -> None:
    """A part missing, a part too many, a spare hidden, layers and copies miscounted."""
    for number, case in enumerate(BY_PLACE[lay, nap, kind]):
        if case.piece.cut == 2 or not case.outlines[0].may:
            continue
        good = in_a_row(case, ways_of(case.outlines, 0))
        *rest, last = good.placements
        # A half of a piece with two fold edges could lie on a crosswise fold; a whole one doesn't.
        could_lie_there = case.half and (lay, nap) == (CROSSWISE_FOLD, Nap.NONE)
        wrong = {
            "count": replace(last, yields=last.yields + 1, spare=last.spare - 1),
            "spare": replace(last, spare=last.spare + 1),
            "layers": replace(last, layers=last.layers + 1),
            "copies": replace(last, copy=last.copy + 1),
            "yields": replace(last, yields=0, spare=last.yields + last.spare),
            "off-fold" if could_lie_there else "fold": replace(last, on_fold=not last.on_fold),
            "band": replace(last, band=2),
            "grain-stated": replace(last, grain_deg=last.grain_deg + 180),
        }
        turned_over = replace(last, unfolded=not last.unfolded)
        tried = [*((code, [bad]) for code, bad in wrong.items()), ("fold", [turned_over])]
        tried += [("count" if rest else "empty", [])]
        for code, bad in tried[(sixth + number) % 6 :: 6]:
            marker = replace(good, placements=(*rest, *bad))
            assert code in codes(case.fabric, [case.piece], marker), (str(case), code)
