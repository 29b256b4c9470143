"""A fold that ends opened out, under the hand: two strips, pins in both, pieces changed over."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from nesting.fabric.fabric import Fabric, Faces, LayName, Nap, Repeat
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker
from nesting.manual.by_hand import (
    laid_marker,
    moved_over,
    opened_by,
    packings_of,
    spots_of,
    strips_at,
)
from nesting.manual.repin import replan
from nesting.manual.requests import PlacementRequest
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.errors import OrderFault
from pieces.piece import Mark, Piece
from tests.examples import some
from tests.nesting.manual.test_repin import GRAIN, box, by_cut_id, corner, first_marker

LAWN = Fabric("lawn", 1000.0)


def quad(name: str, far: tuple[float, float], near: float, **more: object) -> Piece:
    """Four-cornered, 400 mm long, and not its own mirror image."""
    outline = ((0.0, 0.0), (400.0, 0.0), far, (0.0, near))
    return Piece(name, "lawn", outline, GRAIN, **more)  # type: ignore[arg-type]


# A pair for the fold, and two odd pieces that leave a spare each unless they are opened out.
PAIR = quad("sleeve", (300, 500), 480, pair=True)
ODD = quad("wrap", (380, 480), 450), quad("under wrap", (360, 480), 440)
PIECES = (PAIR, *ODD)
FOLD = LayName.LENGTHWISE_FOLD
WRAP, UNDER, SLEEVE = ("", "wrap", 1), ("", "under wrap", 1), ("", "sleeve", 1)


@pytest.fixture(scope="module")
def marker() -> Marker:
    made = first_marker(LAWN, PIECES, FOLD)
    assert made.opened_from_mm == pytest.approx(400)
    return made


def test_spots_of_a_section_run_from_where_it_begins(marker: Marker) -> None:
    requests = {request.cut_id: request for request in spots_of(marker)}
    assert {cut_id: request.section for cut_id, request in requests.items()} == {
        SLEEVE: MAIN, WRAP: OPENED_OUT, UNDER: OPENED_OUT
    }  # fmt: skip
    assert min(requests[WRAP].x_mm, requests[UNDER].x_mm) < 400
    assert laid_marker(strips_at(packings_of(LAWN, PIECES, marker), requests.values())) == marker
    assert opened_by(requests.values(), PIECES) == {("", "wrap"): 1, ("", "under wrap"): 1}


def test_the_section_follows_when_the_folded_part_gets_longer(marker: Marker) -> None:
    requests = {request.cut_id: request for request in spots_of(marker)}
    requests[SLEEVE] = replace(requests[SLEEVE], x_mm=requests[SLEEVE].x_mm + 70)
    packings = packings_of(LAWN, PIECES, marker, opened_by(requests.values(), PIECES))
    made = laid_marker(strips_at(packings, requests.values()))
    assert verify(LAWN, PIECES, made) == ()
    assert made.opened_from_mm == pytest.approx(470)
    assert made.length_mm == pytest.approx(marker.length_mm + 70)


@pytest.mark.parametrize("cut_id", [WRAP, SLEEVE])
def test_the_rest_is_packed_round_a_pin_in_either_part(cut_id: tuple[str, str, int]) -> None:
    pieces = (*PIECES, corner("gusset", 170, 130, cut=3), corner("tab", 150, 90, pair=True))
    marker = first_marker(LAWN, pieces, FOLD)
    requests = {request.cut_id: request for request in spots_of(marker)}
    requests[cut_id] = replace(requests[cut_id], x_mm=requests[cut_id].x_mm + 55.5)
    told: list[Marker] = []
    made = replan(
        LAWN, pieces, marker, requests.values(), {cut_id}, Rounds(4),
        watch=lambda one, spent: told.append(one) if spent <= 1 else pytest.fail("past the end"),
    )  # fmt: skip
    assert verify(LAWN, pieces, made) == ()
    after = {request.cut_id: request for request in spots_of(made)}
    assert after[cut_id].x_mm == pytest.approx(requests[cut_id].x_mm, abs=0.002)
    assert after[cut_id].section == requests[cut_id].section
    assert told
    assert all(one.opened_from_mm is not None for one in told)


def test_a_pin_across_the_line_is_told(marker: Marker) -> None:
    requests = {request.cut_id: request for request in spots_of(marker)}
    requests[WRAP] = replace(requests[WRAP], x_mm=requests[WRAP].x_mm - 30)
    with pytest.raises(OrderFault, match="wrap"):
        replan(LAWN, PIECES, marker, requests.values(), {WRAP}, Rounds(2))


def test_a_piece_changes_over_to_the_fold_and_back(marker: Marker) -> None:
    """On the fold it is cut twice and leaves a spare; back in the section it is as it was."""
    requests = spots_of(marker)
    folded = laid_marker(moved_over(LAWN, PIECES, marker, requests, WRAP))
    assert verify(LAWN, PIECES, folded) == ()
    placed = by_cut_id(folded)[WRAP]
    assert (placed.section, placed.yields, placed.spare, placed.layers) == (MAIN, 1, 1, 2)
    assert by_cut_id(folded)[UNDER].section == OPENED_OUT
    back = laid_marker(moved_over(LAWN, PIECES, folded, spots_of(folded), WRAP))
    assert verify(LAWN, PIECES, back) == ()
    assert by_cut_id(back)[WRAP].spare == 0
    assert back.opened_from_mm == marker.opened_from_mm


def test_the_last_piece_of_the_section_leaves_a_plain_fold(marker: Marker) -> None:
    one = laid_marker(moved_over(LAWN, PIECES, marker, spots_of(marker), WRAP))
    both = laid_marker(moved_over(LAWN, PIECES, one, spots_of(one), UNDER))
    assert both.opened_from_mm is None
    assert verify(LAWN, PIECES, both) == ()
    again = laid_marker(moved_over(LAWN, PIECES, both, spots_of(both), UNDER))
    assert again.opened_from_mm is not None
    assert verify(LAWN, PIECES, again) == ()


def test_a_pair_goes_together(marker: Marker) -> None:
    pieces = (*PIECES, replace(PAIR, name="cuff", cut=2))
    marker = first_marker(LAWN, pieces, FOLD)
    requests = spots_of(marker)
    cuff = next(
        request.cut_id
        for request in requests
        if request.cut_id[1] == "cuff" and request.section == MAIN
    )
    made = laid_marker(moved_over(LAWN, pieces, marker, requests, cuff))
    assert verify(LAWN, pieces, made) == ()
    own = [p for p in made.placements if p.piece == "cuff"]
    assert sorted((p.section, p.yields) for p in own) == [
        (MAIN, 2), (OPENED_OUT, 1), (OPENED_OUT, 1)
    ]  # fmt: skip
    opened = next((p.garment, p.piece, p.copy) for p in own if p.section == OPENED_OUT)
    back = laid_marker(moved_over(LAWN, pieces, made, spots_of(made), opened))
    assert verify(LAWN, pieces, back) == ()
    assert {p.section for p in back.placements if p.piece == "cuff"} == {MAIN}


def test_nothing_may_be_left_without_a_fold(marker: Marker) -> None:
    with pytest.raises(OrderFault, match=r"sleeve.*leave nothing"):
        moved_over(LAWN, PIECES, marker, spots_of(marker), SLEEVE)


def test_a_piece_too_wide_for_the_fold_stays_opened_out() -> None:
    pieces = (PAIR, box("panel", 300, 700))
    marker = first_marker(LAWN, pieces, LayName.OPEN)
    packings = packings_of(LAWN, pieces, replace(marker, lay=FOLD), {("", "panel"): 1})
    assert [len(packing.cuts) for packing in packings] == [1, 1]
    strips = [(packing, _side_by_side(packing)) for packing in packings]
    made = laid_marker(strips)
    assert verify(LAWN, pieces, made) == ()
    with pytest.raises(OrderFault, match="panel"):
        moved_over(LAWN, pieces, made, spots_of(made), ("", "panel", 1))


def _side_by_side(packing):  # type: ignore[no-untyped-def]
    from nesting.solver.search.construct import row_layout
    from nesting.solver.search.prepared import Prepared

    return row_layout(Prepared(packing.instance))


@pytest.mark.parametrize(
    ("lay", "nap", "faces"),
    some(product((FOLD, LayName.CROSSWISE_FOLD, LayName.PARTIAL_FOLD), Nap, Faces)),
)
def test_a_piece_that_changes_over_can_be_cut_there(lay: LayName, nap: Nap, faces: Faces) -> None:
    cloth = Fabric("lawn", 900.0, selvedge_mm=10, nap=nap, faces=faces, gap_mm=4, edge_gap_mm=6)
    pieces = (
        corner("front", 300, 160, garment="Ada", cut=3), box("belt", 250, 60, garment="Ada", cut=3),
        corner("sleeve", 200, 150, garment="Bea", pair=True, cut=2),
        replace(corner("back", 260, 150, garment="Bea"), on_fold=((0.0, 0.0), (260.0, 0.0))),
    )  # fmt: skip
    marker = first_marker(cloth, pieces, lay)
    made = [
        found for request in spots_of(marker) if (found := changed(cloth, pieces, marker, request))
    ]
    assert len(made) >= 3
    for one in made:
        # All but the ends of a crosswise fold, which may need room that they did not before.
        assert {found.code for found in verify(cloth, pieces, one)} <= {"edge-gap", "beyond-end"}


def changed(
    cloth: Fabric, pieces: tuple[Piece, ...], marker: Marker, request: PlacementRequest
) -> Marker | None:
    """The marker with a piece changed over; None if there is no room for it."""
    try:
        return laid_marker(moved_over(cloth, pieces, marker, spots_of(marker), request.cut_id))
    except OrderFault:
        return None


def test_flaws_and_print_of_the_section_are_where_the_folded_part_ends() -> None:
    """A flaw beside the pieces moves under none of them, so what a hand lays there is judged."""
    flawed = replace(
        LAWN, flaws=(((820.0, 100.0), (840.0, 100.0), (840.0, 140.0), (820.0, 140.0)),)
    )
    marker = first_marker(flawed, PIECES, FOLD)
    assert marker.opened_from_mm == pytest.approx(400)
    requests = {request.cut_id: request for request in spots_of(marker)}
    requests[SLEEVE] = replace(requests[SLEEVE], x_mm=requests[SLEEVE].x_mm + 60)
    made = laid_marker(strips_at(packings_of(flawed, PIECES, marker), requests.values()))
    assert {one.code for one in verify(flawed, PIECES, made)} == {"flaw"}
    requests = {request.cut_id: request for request in spots_of(marker)}
    again = replan(flawed, PIECES, marker, requests.values(), {SLEEVE}, Rounds(2))
    assert verify(flawed, PIECES, again) == ()
    printed = replace(LAWN, repeat=Repeat(120.0, 0.0))
    pieces = tuple(replace(one, marks=(Mark("hem", (0.0, 0.0)),), match=("hem",)) for one in PIECES)
    marker = first_marker(printed, pieces, FOLD)
    requests = {request.cut_id: request for request in spots_of(marker)}
    made = laid_marker(strips_at(packings_of(printed, pieces, marker), requests.values()))
    assert made == marker
    again = replan(printed, pieces, marker, requests.values(), {SLEEVE}, Rounds(2))
    assert verify(printed, pieces, again) == ()
