"""From an order to a plan: what must hold whatever the search finds."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from itertools import groupby
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.order.read import example_order, order_from_text
from nesting.output.files.data import plan_data
from nesting.output.report.report import report
from nesting.output.write import write_plan
from nesting.packing.convert import Packing
from nesting.planning.planner import plan
from nesting.search.state import PlanState
from nesting.solver.stop import FirstOf, Rounds, Seconds
from nesting.verify.judge import verify
from pieces.errors import CannotFit, OrderFault, OwnFailure
from pieces.piece import Piece
from pieces.units import Unit
from tests.examples import examples, some
from tests.nesting.order.any_orders import (
    ANY_ORDERS,
    FLAWS_IN_THE_WAY_OF_THE_NEXT,
    HEMS_ON_A_FOLD,
    HEMS_ON_TWO_BORDERS,
    IN_A_CORNER_PAST_FLAWS,
    MEETING_A_PRINT_ON_A_FOLD_PAST_FLAWS,
    ON_A_FOLD_PAST_FLAWS,
    TOUCHING_ON_FLAWED_CLOTH,
    Table,
    orders,
    read,
)

GRAIN = ((0.0, 0.0), (10.0, 0.0))


DRESSES = [
    pytest.param(1, id="one dress of the example"),
    pytest.param(3, id="the example", marks=pytest.mark.long),
]
ROUNDS = Rounds(2)


def dresses(count: int) -> Order:
    """So many of the example's garments: every cloth and every kind of part is in the first.

    What closes the others is not asked for where they are not.
    """
    whole = example_order()
    if count == len(whole.garments):
        return whole
    return replace(whole, garments=whole.garments[:count], notions=())


@pytest.fixture(scope="module", params=DRESSES)
def example(request: pytest.FixtureRequest) -> Plan:
    return plan(dresses(request.param), ROUNDS, jobs=1)


def order_of(pieces: list[Piece], fabric: Fabric) -> Order:
    return Order("test", "test.toml", Unit.CM, {fabric.name: fabric}, (), tuple(pieces))


def test_every_fabric_of_the_example_is_planned(example: Plan) -> None:
    assert [entry.fabric.name for entry in example.fabrics] == list(example_order().fabrics)
    assert all(check.ok for check in example.seam_checks)
    assert len(example.seam_checks) > 10
    assert set(example.totals) == {"EUR"}


def test_cutting_open_is_never_longer_than_on_the_fold(example: Plan) -> None:
    for entry in example.fabrics:
        length = {compared.lay: compared.length_mm for compared in entry.lays_compared}
        assert length[LayName.OPEN] <= length[LayName.LENGTHWISE_FOLD] + 0.001
        outlines = {compared.lay: compared.cut_outlines for compared in entry.lays_compared}
        assert outlines[LayName.OPEN] > outlines[LayName.LENGTHWISE_FOLD]


def test_what_any_lay_takes_the_same_for_is_not_folded() -> None:
    """One patch: below any fold a spare would be cut."""
    corners = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
    order = order_of([Piece("patch", "lawn", corners, GRAIN)], Fabric("lawn", 1000.0))
    (entry,) = plan(order, Rounds(1), jobs=1).fabrics
    assert entry.marker.lay is LayName.OPEN


def test_the_lay_with_the_least_to_buy_is_chosen(example: Plan) -> None:
    for entry in example.fabrics:
        least = min(compared.purchase_mm for compared in entry.lays_compared)
        assert entry.purchase.length_mm == least
        assert entry.least_possible_mm <= entry.marker.length_mm + 0.001


def test_waste_is_what_the_pieces_leave_of_the_cloth(example: Plan) -> None:
    for entry in example.fabrics:
        wanted = sum(
            Polygon(placement.outline_mm).area * placement.yields * (2 if placement.on_fold else 1)
            for placement in entry.marker.placements
        )
        cloth = entry.fabric.usable_width_mm * entry.marker.length_mm
        assert entry.waste_percent == pytest.approx(100 * (1 - wanted / cloth), abs=1e-6)


def test_plan_json_says_what_the_plan_says(example: Plan, tmp_path: Path) -> None:
    """Read back from the file alone: outlines apart, inside the cloth, and as many as asked."""
    write_plan(example, tmp_path)
    data = json.loads((tmp_path / "plan.json").read_text())
    assert len(data["fabrics"]) == len(example.fabrics)
    for fabric in data["fabrics"]:
        folded = fabric["lay"] == "lengthwise-fold"
        across = fabric["usable_width_mm"] / (2 if folded else 1)
        shapes = [Polygon(placement["outline_mm"]) for placement in fabric["placements"]]
        for shape in shapes:
            left, low, right, high = shape.bounds
            assert left >= -0.002
            assert low >= -0.002
            assert right <= fabric["length_mm"] + 0.002
            assert high <= across + 0.002
        for i, one in enumerate(shapes):
            for other in shapes[:i]:
                assert one.intersection(other).buffer(-0.002).area == 0
        wanted = sum(
            piece["cut"] * (2 if piece["pair"] else 1)
            for piece in data["pieces"]
            if piece["fabric"] == fabric["name"]
        )
        assert sum(placement["yields"] for placement in fabric["placements"]) == wanted
        for name in fabric["files"].values():
            assert (tmp_path / name).stat().st_size > 1000


@pytest.mark.long
@pytest.mark.parametrize("count", DRESSES)
def test_progress_runs_from_start_to_end(count: int) -> None:
    seen: list[PlanState] = []
    plan(dresses(count), ROUNDS, jobs=1, watch=seen.append)
    spent = [round(state.spent, 9) for state in seen]
    assert spent == sorted(spent)
    assert 0 <= spent[0] <= spent[-1] <= 1
    assert {state.fabric for state in seen} == set(example_order().fabrics)


def test_all_that_can_not_fit_is_told_at_once() -> None:
    wide = ((0, 0), (2000, 0), (2000, 1600), (0, 1600))
    pieces = [Piece("sheet", "lawn", wide, GRAIN), Piece("sail", "net", wide, GRAIN)]
    order = order_of(pieces, Fabric("lawn", 1500))
    order = replace(order, fabrics={**order.fabrics, "net": Fabric("net", 1400)})
    with pytest.raises(CannotFit) as caught:
        plan(order, Rounds(1), jobs=1)
    assert [fault.key for fault in caught.value.faults] == ["fabric.lawn", "fabric.net"]


def test_a_lay_that_has_no_room_is_told_and_the_other_used() -> None:
    """40 cm on a cloth of 60: it lies open, and half of the cloth is too narrow."""
    square = Piece("square", "lawn", ((0, 0), (400, 0), (400, 400), (0, 400)), GRAIN)
    made = plan(order_of([square], Fabric("lawn", 600)), Rounds(1), jobs=1)
    (entry,) = made.fabrics
    assert entry.marker.lay is LayName.OPEN
    assert [finding.code for finding in made.findings] == ["lay-refused"]
    assert "30 cm" in made.findings[0].message


def test_a_marker_that_does_not_verify_is_our_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    """The planner must ask the verifier: broken conversion may never reach a reader."""
    honest = Packing.marker

    def shifted(self: Packing, layout: object) -> object:
        marker = honest(self, layout)  # type: ignore[arg-type]
        first, *rest = marker.placements
        return replace(marker, placements=(replace(first, x_mm=first.x_mm + 1), *rest))

    monkeypatch.setattr(Packing, "marker", shifted)
    square = Piece("square", "lawn", ((0, 0), (400, 0), (400, 400), (0, 400)), GRAIN, cut=2)
    with pytest.raises(OwnFailure):
        plan(order_of([square], Fabric("lawn", 900)), Rounds(1), jobs=1)


def test_faults_of_copies_are_told_once() -> None:
    text = """
    name = "twins"
    units = "cm"
    [fabric.lawn]
    width = 110
    [[garment]]
    name = "twin"
    quantity = 2
    [[garment.part]]
    draft = "bodice"
    fabric = "lawn"
    """
    with pytest.raises(OrderFault) as caught:
        plan(order_from_text(text, "twins.toml"), Rounds(1), jobs=1)
    faults = [str(fault) for fault in caught.value.faults]
    assert len(faults) == len(set(faults))


def test_a_purchase_proven_least_leaves_its_time_to_the_other_cloths() -> None:
    """Five squares, one behind another, need 2 m; nobody can tell of the triangles."""
    block = ((0, 0), (400, 0), (400, 400), (0, 400))
    squares = [Piece(f"square {n}", "lawn", block, GRAIN) for n in range(5)]
    corner = ((0, 0), (330, 0), (0, 290))
    corners = [Piece(f"corner {n}", "net", corner, GRAIN, cut=2) for n in range(2)]
    open_only = (LayName.OPEN,)
    lawn = Fabric("lawn", 700, lays=open_only, sold_by_mm=100)
    net = Fabric("net", 500, lays=open_only)
    order = Order(
        "test", "test.toml", Unit.CM, {"lawn": lawn, "net": net}, (), (*squares, *corners)
    )
    seen: list[PlanState] = []
    made = plan(order, FirstOf(Rounds(3), Seconds(1000)), jobs=1, watch=seen.append)
    assert [entry.proven_least for entry in made.fabrics] == [True, False]
    names = [name for name, _ in groupby(state.fabric for state in seen)]
    assert names == ["lawn", "net"]  # at once a first layout of each, then the net's alone


ONCE_WRONG = {
    "hems on a fold": HEMS_ON_A_FOLD,
    "on a fold past flaws": ON_A_FOLD_PAST_FLAWS,
    "in a corner past flaws": IN_A_CORNER_PAST_FLAWS,
    "touching on flawed cloth": TOUCHING_ON_FLAWED_CLOTH,
    "flaws in the way of the next": FLAWS_IN_THE_WAY_OF_THE_NEXT,
    "meeting a print on a fold past flaws": MEETING_A_PRINT_ON_A_FOLD_PAST_FLAWS,
    "hems on two borders": HEMS_ON_TWO_BORDERS,
}


@settings(max_examples=examples(ANY_ORDERS), deadline=None, suppress_health_check=list(HealthCheck))
@given(tables=orders())
def test_any_order_is_planned_and_verified_or_refused(tables: Table) -> None:
    require_planned_or_refused(tables)


@pytest.mark.parametrize("name", some(ONCE_WRONG))
def test_orders_that_were_once_planned_wrongly(name: str) -> None:
    require_planned_or_refused(ONCE_WRONG[name])


def require_planned_or_refused(tables: Table) -> None:
    """What comes out of an order is verified and whole, or it is refused with reasons."""
    try:
        made = plan(read(tables), Rounds(1), jobs=1)
    except (CannotFit, OrderFault) as fault:
        refused = fault
    else:
        refused = None
    if refused is not None:
        assert all(fault.message for fault in refused.faults)
        return
    require_whole(made)
    for entry in made.fabrics:
        for one in entry.alternatives:
            assert verify(one.fabric, entry.pieces, one.marker) == ()
        length = {compared.lay: compared.length_mm for compared in entry.lays_compared}
        assert length.get(LayName.OPEN, 0.0) <= min(length.values()) + 0.001
        assert entry.least_possible_mm <= entry.marker.length_mm + 0.001
    assert report(made)
    assert json.dumps(plan_data(made, {entry.title: {} for entry in made.fabrics}))


def require_whole(made: Plan) -> None:
    """Every part wanted comes out of some bolt, or of what is bought, and none twice."""
    cut: Counter[tuple[str, str]] = Counter()
    for entry in made.fabrics:
        for one in entry.marker.placements:
            cut[one.garment, one.piece] += one.yields
    assert cut == {piece.key: piece.parts for piece in made.pieces}
