"""Lays and widths side by side: what must hold whatever the search finds."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from nesting.fabric.fabric import Fabric, LayName, Nap, Repeat
from nesting.fabric.plans import ComparedCloth, Comparison
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.report.comparison import comparison_data, comparison_report
from nesting.output.report.comparison_sheet import draw_comparison
from nesting.output.write import write_comparison
from nesting.planning.comparer import compare, widths_mm
from nesting.search.state import PlanState
from nesting.solver.stop import Rounds, StopToken
from nesting.verify.judge import verify
from pieces.errors import CannotFit, OrderFault
from pieces.piece import Mark, Piece
from tests.nesting.planning.test_planner import order_of

GRAIN = ((0.0, 0.0), (10.0, 0.0))
FRONT = Piece(
    "front", "lawn", ((0, 0), (300, 0), (280, 150), (0, 170)), GRAIN, ((0.0, 0.0), (300.0, 0.0))
)
SIDE = Piece("side", "lawn", ((0, 0), (300, 0), (200, 140), (0, 140)), GRAIN, pair=True)
FLAP = Piece("flap", "lawn", ((0, 0), (120, 0), (90, 60), (0, 60)), GRAIN)
LAWN = Fabric("lawn", 900, selvedge_mm=10)
WIDTHS = (700.0, 900.0, 1200.0)


def order(fabric: Fabric = LAWN) -> Order:
    return order_of([FRONT, SIDE, FLAP], fabric)


@pytest.fixture(scope="module")
def compared() -> Comparison:
    return compare(order(), Rounds(2), widths_mm=WIDTHS[::-1], jobs=1)


def test_a_narrower_cloth_is_not_shown_what_only_a_wider_one_can_hold() -> None:
    """Tips across the middle of a double fold, apart on the wide cloth, would touch here."""
    gore = Piece("gore", "lawn", ((0, 0), (160, 0), (80, 130)), GRAIN, ((0, 0), (160, 0)), cut=2)
    cloth = order_of([gore], Fabric("lawn", 520, gap_mm=2))
    (found,) = compare(cloth, Rounds(2), widths_mm=(520, 557), jobs=1).cloths
    double = {
        one.figures.width_mm: one.figures.length_mm
        for one in found.alternatives
        if one.figures.lay is LayName.DOUBLE_FOLD
    }
    assert double[557] == pytest.approx(160, abs=0.01)
    assert double[520] > 162


def test_every_lay_is_compared_at_every_width(compared: Comparison) -> None:
    (cloth,) = compared.cloths
    told = [(one.figures.width_mm, one.figures.lay) for one in cloth.alternatives]
    told += cloth.refused
    assert sorted(told) == sorted((width, lay) for width in WIDTHS for lay in LayName)
    assert not compared.interrupted


def test_open_is_never_longer_than_folded_and_wide_never_than_narrow(
    compared: Comparison,
) -> None:
    (cloth,) = compared.cloths
    best: list[float] = []
    for width in WIDTHS:
        lengths = {
            one.figures.lay: one.figures.length_mm
            for one in cloth.alternatives
            if one.figures.width_mm == width
        }
        assert lengths[LayName.OPEN] <= min(lengths.values()) + 0.001
        best.append(lengths[LayName.OPEN])
    assert best[1] <= best[0] + 0.001
    assert best[2] <= best[1] + 0.001


def require_no_longer_on_wider(cloth: ComparedCloth) -> None:
    """Each lay, opened out at its end or not, is never longer than on narrower cloth."""
    least: dict[LayName, float] = {}
    for one in sorted(cloth.alternatives, key=lambda one: one.figures.width_mm):
        length_mm = one.figures.length_mm
        assert length_mm <= least.get(one.figures.lay, length_mm) + 0.001, one.figures
        least[one.figures.lay] = length_mm


def test_no_lay_is_longer_on_wider_cloth(compared: Comparison) -> None:
    require_no_longer_on_wider(compared.cloths[0])


def test_what_is_cut_with_a_nap_can_be_cut_without() -> None:
    """So with a nap no lay need be shorter than without."""
    (cloth,) = compare(order(replace(LAWN, nap=Nap.ONE_WAY)), Rounds(1), jobs=1).cloths
    assert len(cloth.alternatives) == len(LayName) - 1
    for one in cloth.alternatives:
        assert verify(LAWN, cloth.pieces, one.marker) == ()


def test_every_marker_shown_verifies(compared: Comparison) -> None:
    for one in compared.cloths[0].alternatives:
        assert verify(one.fabric, compared.cloths[0].pieces, one.marker) == ()


def test_files_say_what_the_comparison_says(compared: Comparison, tmp_path: Path) -> None:
    write_comparison(compared, tmp_path)
    data = json.loads((tmp_path / "compare.json").read_text())
    (cloth,) = data["fabrics"]
    assert len(cloth["lays_compared"]) == len(compared.cloths[0].alternatives)
    assert {"lay", "width_mm", "length_mm", "purchase_mm", "cost", "waste_percent"} <= set(
        cloth["lays_compared"][0]
    )
    assert (tmp_path / "compare.png").stat().st_size > 10_000
    report = (tmp_path / "compare.txt").read_text()
    assert all(len(line) <= 88 for line in report.splitlines())
    assert report.strip() == comparison_report(compared)
    # The least to buy is marked, and nothing that is more.
    least = min(one["purchase_mm"] for one in cloth["lays_compared"])
    marked = [line for line in report.splitlines() if f"{least / 10:g} cm*" in line]
    assert marked


@pytest.mark.long
def test_the_same_rounds_and_seed_repeat() -> None:
    one, other = (compare(order(), Rounds(1), seed=5, jobs=1).cloths for _ in range(2))
    assert one == other


def test_who_stops_it_gets_what_was_tried() -> None:
    seen: list[PlanState] = []
    token = StopToken()

    def stop_at_the_third(state: PlanState) -> None:
        seen.append(state)
        if len({one.lay for one in seen}) == 3:
            token.ask()

    found = compare(order(), Rounds(2), jobs=1, watch=stop_at_the_third, token=token)
    assert found.interrupted
    assert 2 <= len(found.cloths[0].alternatives) <= 3
    assert "Stopped early" in comparison_report(found)


def test_widths_are_read_in_the_orders_unit_and_faults_told_together() -> None:
    assert widths_mm(order(), ["115", "58 in"]) == (1150.0, pytest.approx(1473.2))
    with pytest.raises(OrderFault) as caught:
        widths_mm(order(), ["wide", "1.5", "90", "20 m"])
    assert len(caught.value.faults) == 3
    assert all(fault.where == "--width" for fault in caught.value.faults)


def test_a_cloth_with_no_room_at_any_width_can_not_fit() -> None:
    with pytest.raises(CannotFit):
        compare(order(), Rounds(1), widths_mm=[100.0], jobs=1)


def test_four_layers_are_not_compared_on_a_nap() -> None:
    velvet = Fabric("lawn", 900, nap=Nap.ONE_WAY)
    (cloth,) = compare(order(velvet), Rounds(1), jobs=1).cloths
    assert LayName.QUARTER_FOLD not in {one.figures.lay for one in cloth.alternatives}
    assert LayName.CROSSWISE_FOLD in {one.figures.lay for one in cloth.alternatives}


def test_a_print_is_set_beside_plain_cloth() -> None:
    """A square whose hems must meet a repeat of 25 cm: 45 cm of plain cloth, 70 with the print."""
    block = ((0, 0), (200, 0), (200, 300), (0, 300))
    mark = Mark("hem", (0.0, 0.0), across=False)
    square = Piece("square", "lawn", block, GRAIN, cut=2, marks=(mark,), match=("hem",))
    plaid = Fabric("lawn", 320, repeat=Repeat(length_mm=250.0), lays=(LayName.OPEN,))
    made = compare(order_of([square], plaid), Rounds(1), widths_mm=[320, 340], jobs=1)
    (cloth,) = made.cloths
    assert [one.figures.purchase_mm for one in cloth.alternatives] == [450, 450]
    assert cloth.plain_purchase_mm == ((320, 400), (340, 400))
    assert comparison_data(made)["fabrics"][0]["plain"][0] == {"width_mm": 320, "purchase_mm": 400}
    assert "As plain cloth, 32 cm wide, buy 0.40 m" in comparison_report(made)
    texts = [text.get_text() for text in draw_comparison(made).axes.texts]
    assert texts.count("as plain cloth") == 2


def test_plain_cloth_is_not_set_beside_itself(compared: Comparison) -> None:
    assert compared.cloths[0].plain_purchase_mm == ()
    assert comparison_data(compared)["fabrics"][0]["plain"] == []


@pytest.mark.long
@pytest.mark.parametrize("times", [1, 4])
def test_the_picture_prints_on_a4_and_no_text_meets_another(
    compared: Comparison, times: int
) -> None:
    """Widths by lays, of one cloth and of four: whole pages, one scale a cloth, the best marked."""
    sheet = draw_comparison(replace(compared, cloths=compared.cloths * times))
    assert sheet.width_mm == 297
    pages = sheet.height_mm / 210
    assert pages <= 1 or pages == int(pages)
    renderer = sheet.figure.canvas.get_renderer()
    texts = [text for text in sheet.axes.texts if text.get_text()]
    boxes = [(text.get_text(), text.get_window_extent(renderer)) for text in texts]
    for index, (text, box) in enumerate(boxes):
        assert box.x0 >= 0
        assert box.x1 <= sheet.figure.bbox.width, text
        for other, its in boxes[:index]:
            across = min(box.x1, its.x1) - max(box.x0, its.x0)
            high = min(box.y1, its.y1) - max(box.y0, its.y0)
            assert min(across, high) < 2, (text, other)
    assert sum(text.get_text().startswith("buy ") for text in texts) == times * len(
        compared.cloths[0].alternatives
    )


def test_no_lay_is_called_without_room_beside_its_own_layout() -> None:
    """A skirt as wide as its net finds no room on a fold; in two widths with a join it does."""
    text = """
name = "net"
units = "cm"
[fabric.net]
width = 140
lays = ["open", "lengthwise-fold"]
[[garment]]
name = "Ada"
size = "4 years"
quantity = 2
part = [{ draft = "gathered skirt", fabric = "net", fullness = 2.5 }]
"""
    found = compare(order_from_text(text, "net.toml"), Rounds(1), widths_mm=(1150, 1400), jobs=1)
    (cloth,) = found.cloths
    shown = {(one.figures.width_mm, one.figures.lay) for one in cloth.alternatives}
    assert (1400, LayName.LENGTHWISE_FOLD) in shown
    assert not shown & set(cloth.refused)
    assert "No room" not in comparison_report(found)
