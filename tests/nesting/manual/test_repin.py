"""Pinned pieces stay, the rest is packed round them, and what comes out can be cut."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric, Faces, LayName, Nap
from nesting.fabric.marker import OPENED_OUT, Marker, Placement
from nesting.manual.by_hand import laid_marker, packings_of, spots_of, strips_at
from nesting.manual.repin import replan
from nesting.manual.requests import PlacementRequest, cut_id_of, layout_at, nudged_clear
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.errors import OrderFault
from pieces.piece import GrainRule, Piece
from pieces.units import Unit
from tests.examples import examples

GRAIN = ((0.0, 0.0), (10.0, 0.0))
STAYS_MM = 0.002


def box(name: str, long: float, wide: float, **more: object) -> Piece:
    outline = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    return Piece(name, "lawn", outline, GRAIN, **more)  # type: ignore[arg-type]


def corner(name: str, long: float, wide: float, **more: object) -> Piece:
    """A three-cornered piece, which is not its own mirror image."""
    outline = ((0.0, 0.0), (long, 0.0), (long * 0.3, wide))
    return Piece(name, "lawn", outline, GRAIN, **more)  # type: ignore[arg-type]


def first_marker(fabric: Fabric, pieces: tuple[Piece, ...], lay: LayName) -> Marker:
    order = Order("test", "test.toml", Unit.CM, {"lawn": fabric}, (), pieces)
    return plan(order, Rounds(1), jobs=1, lay=lay).fabrics[0].marker


def by_cut_id(marker: Marker) -> dict[tuple[str, str, int], Placement]:
    return {cut_id_of(placement): placement for placement in marker.placements}


def start_mm(marker: Marker, placement: Placement) -> float:
    """Where the section of a placement begins."""
    return marker.opened_from_mm or 0.0 if placement.section == OPENED_OUT else 0.0


FOUR = tuple(box(f"square {n}", 100.0, 100.0) for n in range(4))
NARROW = Fabric("lawn", 200.0)


def test_the_rest_goes_round_a_pinned_piece() -> None:
    """Four squares on cloth two squares wide: one pinned at 50 mm makes the least 250 mm."""
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    assert marker.length_mm == pytest.approx(200)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "square 2", 1)
    requests[cut_id] = PlacementRequest(cut_id, 0.0, False, 50.0, 0.0)
    made = replan(NARROW, FOUR, marker, requests.values(), {cut_id}, Rounds(20))
    assert verify(NARROW, FOUR, made) == ()
    held = by_cut_id(made)[cut_id]
    assert (held.x_mm, held.y_mm, held.turn_deg) == (50.0, 0.0, 0.0)
    # Beside it two lie end to end (200 mm), behind it one (to 250 mm).
    assert made.length_mm == pytest.approx(250, abs=0.01)


def test_the_length_counts_the_pinned_pieces() -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "square 0", 1)
    requests[cut_id] = PlacementRequest(cut_id, 0.0, False, 900.0, 50.0)
    made = replan(NARROW, FOUR, marker, requests.values(), {cut_id}, Rounds(5))
    assert made.length_mm == pytest.approx(1000)


def test_all_pinned_comes_back_as_it_lies() -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    every = set(by_cut_id(marker))
    made = replan(NARROW, FOUR, marker, spots_of(marker), every, Rounds(5))
    assert made == marker


def test_nothing_pinned_is_never_longer() -> None:
    pieces = (*FOUR, corner("gusset", 150, 90, cut=3), box("tab", 30, 70, cut=4))
    marker = first_marker(NARROW, pieces, LayName.OPEN)
    made = replan(NARROW, pieces, marker, spots_of(marker), set(), Rounds(5))
    assert made.length_mm <= marker.length_mm


def refusal(
    marker: Marker,
    requests: dict[tuple[str, str, int], PlacementRequest],
    pinned: set[tuple[str, str, int]],
    fabric: Fabric = NARROW,
    pieces: tuple[Piece, ...] = FOUR,
) -> str:
    with pytest.raises(OrderFault) as caught:
        replan(fabric, pieces, marker, requests.values(), pinned, Rounds(2))
    assert all(fault.remedy for fault in caught.value.faults)
    return str(caught.value)


def test_pinned_pieces_that_overlap_are_refused() -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    one, other = ("", "square 0", 1), ("", "square 1", 1)
    requests[one], requests[other] = (PlacementRequest(cut_id, 0.0, False, 20.0 * n, 30.0)
                                for n, cut_id in enumerate((one, other)))  # fmt: skip
    words = refusal(marker, requests, {one, other})
    assert "square 0" in words
    assert "square 1" in words
    assert "overlap" in words
    # Pinned alone, each can stay.
    assert replan(NARROW, FOUR, marker, requests.values(), {one}, Rounds(2)).length_mm > 0


@pytest.mark.parametrize(("x_mm", "y_mm"), [(-1.0, 0.0), (0.0, 100.5), (0.0, -5.0)])
def test_a_piece_pinned_off_the_cloth_is_refused(x_mm: float, y_mm: float) -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "square 0", 1)
    requests[cut_id] = PlacementRequest(cut_id, 0.0, False, x_mm, y_mm)
    words = refusal(marker, requests, {cut_id})
    assert "square 0" in words
    assert "beyond" in words


def test_a_piece_against_the_nap_is_refused() -> None:
    velvet = replace(NARROW, nap=Nap.ONE_WAY)
    marker = first_marker(velvet, FOUR, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "square 0", 1)
    requests[cut_id] = PlacementRequest(cut_id, 180.0, False, 100.0, 100.0)
    assert "may not lie this way" in refusal(marker, requests, {cut_id}, velvet)


def test_a_piece_that_is_not_there_can_not_be_pinned() -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    assert "no sleeve" in refusal(marker, requests, {("", "sleeve", 1)})


def test_a_garment_keeps_to_the_direction_of_its_pinned_piece() -> None:
    """One piece of each sister turned end for end and pinned: her others follow, and only hers."""
    cloth = Fabric("lawn", 400.0, nap=Nap.PER_GARMENT)
    pieces = tuple(
        corner(name, 120, 90 + 10 * n, garment=garment, cut=2)
        for garment in ("Ada", "Bea")
        for n, name in enumerate(("front", "back"))
    )
    marker = first_marker(cloth, pieces, LayName.OPEN)
    cut_id = ("Ada", "front", 1)
    for turn_deg, corner_at in ((180.0, (400.0, 200.0)), (0.0, (400.0, 0.0))):
        requests = {request.cut_id: request for request in spots_of(marker)}
        requests[cut_id] = PlacementRequest(cut_id, turn_deg, False, *corner_at)
        made = replan(cloth, pieces, marker, requests.values(), {cut_id}, Rounds(4))
        assert verify(cloth, pieces, made) == ()
        assert {p.turn_deg for p in made.placements if p.garment == "Ada"} == {turn_deg}


def test_a_piece_on_the_fold_stays_on_it() -> None:
    front = replace(corner("front", 150, 80), on_fold=((0.0, 0.0), (150.0, 0.0)))
    pieces = (front, box("band", 180, 40, cut=2), corner("sleeve", 90, 60, pair=True))
    cloth = Fabric("lawn", 300.0, selvedge_mm=5.0)
    marker = first_marker(cloth, pieces, LayName.LENGTHWISE_FOLD)
    cut_id = ("", "front", 1)
    requests = {request.cut_id: request for request in spots_of(marker)}
    requests[cut_id] = replace(requests[cut_id], x_mm=requests[cut_id].x_mm + 75)
    made = replan(cloth, pieces, marker, requests.values(), {cut_id}, Rounds(4))
    assert verify(cloth, pieces, made) == ()
    held = by_cut_id(made)[cut_id]
    assert held.on_fold
    assert held.x_mm == pytest.approx(requests[cut_id].x_mm, abs=STAYS_MM)
    off = {**requests, cut_id: replace(requests[cut_id], y_mm=3.0)}
    assert "fold" in refusal(marker, off, {cut_id}, cloth, pieces)


def test_the_same_pins_and_rounds_give_the_same_marker() -> None:
    pieces = (*FOUR, corner("gusset", 150, 90, cut=3), corner("tab", 30, 70, cut=4))
    marker = first_marker(NARROW, pieces, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "square 2", 1)
    requests[cut_id] = PlacementRequest(cut_id, 0.0, False, 130.0, 40.0)
    made = [replan(NARROW, pieces, marker, requests.values(), {cut_id}, Rounds(15), seed=3)
            for _ in range(2)]  # fmt: skip
    assert made[0] == made[1]


def test_a_piece_may_be_pinned_a_little_off_the_grain_where_the_cloth_allows() -> None:
    loose = replace(NARROW, tilt_deg=2.0)
    pieces = (*FOUR, corner("gusset", 90, 60))
    marker = first_marker(loose, pieces, LayName.OPEN)
    requests = {request.cut_id: request for request in spots_of(marker)}
    cut_id = ("", "gusset", 1)
    requests[cut_id] = PlacementRequest(cut_id, 2.0, False, 60.0, 20.0)
    made = replan(loose, pieces, marker, requests.values(), {cut_id}, Rounds(4))
    assert verify(loose, pieces, made) == ()
    assert by_cut_id(made)[cut_id].turn_deg == 2.0
    assert "may not lie" in refusal(marker, requests, {cut_id}, NARROW, pieces)


@pytest.mark.parametrize("shift", [(-8.0, 3.0), (6.0, -5.0), (0.0, 12.0)])
def test_a_piece_dropped_a_little_on_another_slides_clear(shift: tuple[float, float]) -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    (packing,) = packings_of(NARROW, FOUR, marker)
    requests = spots_of(marker)
    requests[3] = replace(requests[3], x_mm=200.0 + shift[0], y_mm=50.0 + shift[1])
    moved = nudged_clear(packing, layout_at(packing, requests), 3, within_mm=20.0)
    assert moved is not None
    made = packing.marker(moved)
    assert verify(NARROW, FOUR, made) == ()
    assert made.placements[:3] == packing.marker(layout_at(packing, requests)).placements[:3]
    last = made.placements[3]
    # The shortest way out of 8 mm of overlap is 8 mm.
    assert abs(last.x_mm - 200.0) <= max(0.0, shift[0]) + 0.01
    assert abs(last.y_mm - requests[3].y_mm) < 0.01


def test_a_piece_dropped_far_into_others_does_not_slide() -> None:
    marker = first_marker(NARROW, FOUR, LayName.OPEN)
    (packing,) = packings_of(NARROW, FOUR, marker)
    requests = spots_of(marker)
    requests[3] = replace(requests[3], x_mm=50.0, y_mm=50.0)
    assert nudged_clear(packing, layout_at(packing, requests), 3, within_mm=20.0) is None


@st.composite
def orders(draw: st.DrawFn) -> tuple[Fabric, tuple[Piece, ...], LayName]:
    pieces = []
    for number in range(draw(st.integers(2, 5))):
        make = draw(st.sampled_from([box, corner]))
        size = draw(st.floats(40, 160)), draw(st.floats(30, 90))
        more: dict[str, object] = {
            "cut": draw(st.integers(1, 2)),
            "pair": draw(st.booleans()),
            "garment": draw(st.sampled_from(["Ada", "Bea"])),
            "grain_rule": draw(st.sampled_from([GrainRule.LENGTHWISE, GrainRule.ANY])),
        }
        piece = make(f"piece {number}", *size, **more)
        if draw(st.booleans()):
            fold = ((0.0, 0.0), (piece.outline[1][0], 0.0))
            lengthwise = GrainRule.LENGTHWISE
            piece = replace(piece, on_fold=fold, pair=False, grain_rule=lengthwise)
        pieces.append(piece)
    fabric = Fabric(
        "lawn",
        draw(st.floats(700, 900)),
        selvedge_mm=draw(st.sampled_from([0.0, 8.0])),
        nap=draw(st.sampled_from(list(Nap))),
        faces=draw(st.sampled_from(list(Faces))),
        gap_mm=draw(st.sampled_from([0.0, 4.0])),
        edge_gap_mm=draw(st.sampled_from([0.0, 5.0])),
    )
    lays = [LayName.OPEN, LayName.LENGTHWISE_FOLD, LayName.CROSSWISE_FOLD]
    return fabric, tuple(pieces), draw(st.sampled_from(lays))


@settings(
    max_examples=examples(20), deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
@given(orders(), st.data())
def test_pinned_pieces_do_not_move_and_the_rest_can_be_cut(
    order: tuple[Fabric, tuple[Piece, ...], LayName], data: st.DataObject
) -> None:
    fabric, pieces, lay = order
    marker = first_marker(fabric, pieces, lay)
    requests = {request.cut_id: request for request in spots_of(marker)}
    strips = strips_at(packings_of(fabric, pieces, marker), requests.values())
    assert laid_marker(strips) == marker
    pinned = data.draw(st.sets(st.sampled_from(sorted(requests)), max_size=3))
    shift = data.draw(st.sampled_from([0.0, 37.5, 400.0]))
    for cut_id in pinned:
        requests[cut_id] = replace(requests[cut_id], x_mm=requests[cut_id].x_mm + shift)
    # Moved alike, they keep apart from each other.
    made = replan(fabric, pieces, marker, requests.values(), pinned, Rounds(1))
    assert verify(fabric, pieces, made) == ()
    for cut_id in pinned:
        held, asked = by_cut_id(made)[cut_id], requests[cut_id]
        assert (held.turn_deg, held.mirrored) == (asked.turn_deg, asked.mirrored)
        assert abs(held.x_mm - start_mm(made, held) - asked.x_mm) <= STAYS_MM
        assert abs(held.y_mm - asked.y_mm) <= STAYS_MM
    if not shift:
        assert made.length_mm <= marker.length_mm + STAYS_MM
