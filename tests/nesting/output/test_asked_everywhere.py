"""What to ask for at the counter is said in the same words wherever it is said."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from nesting.batch.run import plan_folder
from nesting.batch.summary import batch_report
from nesting.fabric.plans import Plan
from nesting.fabric.purchase import purchase
from nesting.order.read import order_from_text
from nesting.output.drawing.drawing import draw_plan
from nesting.output.report.comparison import comparison_report
from nesting.output.report.comparison_sheet import draw_comparison
from nesting.output.report.report import report
from nesting.output.report.shopping import in_one_line, shopping_list
from nesting.page.table.client import client_page
from nesting.page.tasks.planning import shown_data
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.units import Unit, format_length

# 37.9 in is 0.9627 m and 1.053 yd: to the nearest mark, a yard.
INCHES = """
name = "apron"
units = "in"
[fabric.lawn]
width = 45
lays = ["open", "lengthwise-fold"]
[[piece]]
name = "front"
fabric = "lawn"
outline = [[0, 0], [37.9, 0], [37.9, 20], [0, 20]]
cut = 2
"""
# 403 mm is 0.40 m to the nearest mark.
CENTIMETRES = """
name = "mat"
units = "cm"
[fabric.lawn]
width = 45
lays = ["open", "crosswise-fold"]
[[piece]]
name = "mat"
fabric = "lawn"
outline = [[0, 0], [40.3, 0], [40.3, 40], [0, 40]]
"""
ORDERS = [
    pytest.param(INCHES, "1 1/8 yd", "1 1/8 yd", id="in"),
    pytest.param(CENTIMETRES, "0.50 m (1/2 yd)", "0.50 m", id="cm"),
    pytest.param(
        CENTIMETRES.replace("width = 45", 'width = 45\nsold_by = "1/8 yd"'),
        "1/2 yd (0.50 m)",
        "1/2 yd",
        id="cm at a counter that sells by the yard",
    ),
]


def made_from(text: str) -> Plan:
    return plan(order_from_text(text, "o.toml"), Rounds(1), jobs=1)


@pytest.mark.parametrize(("order", "whole", "counter"), ORDERS)
def test_every_door_says_the_same(order: str, whole: str, counter: str, tmp_path: Path) -> None:
    made = made_from(order)
    (entry,) = made.fabrics
    assert entry.purchase.text == whole
    assert f"ask for {whole}" in shopping_list(made)
    told = report(made)
    assert f": {whole}" in told
    table = told[told.index("Lays compared:") :]
    assert re.search(rf"^(open|lengthwise).* {counter}", table, re.MULTILINE)
    compared = compare(order_from_text(order, "o.toml"), Rounds(1), jobs=1)
    line = re.search(
        rf"^(open|lengthwise).* {counter}.*$", comparison_report(compared), re.MULTILINE
    )
    assert line is not None
    drawn = [text.get_text() for text in draw_comparison(compared).axes.texts]
    assert f"buy {counter}" in drawn
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "o.toml").write_text(order)
    batch = plan_folder(tmp_path / "one", tmp_path / "out", Rounds(1), jobs=1)
    assert batch_report(batch).count(whole) == 2


@pytest.mark.parametrize(("order", "whole", "counter"), ORDERS)
def test_the_page_has_it_in_words(order: str, whole: str, counter: str) -> None:
    made = made_from(order)
    shown = shown_data(made)
    (cloth,) = shown["plan"]["fabrics"]
    assert cloth["told"]["buy"] == whole
    chosen = [lay for lay in shown["lays"]["lawn"] if lay["lay"] == cloth["lay"]]
    assert [lay["told"]["buy"] for lay in chosen] == [whole]
    for lay, one in zip(shown["lays"]["lawn"], made.fabrics[0].alternatives, strict=True):
        assert lay["told"]["buy"] == purchase(one.fabric, one.marker.length_mm).text
    used = cloth["told"]["used"]
    assert f"{used} of the table" in " ".join(_folding(made)) or cloth["lay"] == "crosswise-fold"
    assert f"Cloth used      {used}" in report(made)


@pytest.mark.parametrize("step", ["", 'sold_by = "1/8 yd"\n'])
def test_a_cost_of_another_length_than_is_asked_for_says_so_at_every_door(step: str) -> None:
    """37.9 in at 12 a yard are 12.64; who asks for 1 1/8 yd pays 13.50."""
    order = INCHES.replace("width = 45\n", f'width = 45\nprice = 12\ncurrency = "GBP"\n{step}')
    made = made_from(order)
    (entry,) = made.fabrics
    said = "13.50 GBP" if step else "12.64 GBP for 37 15/16 in"
    compared = compare(order_from_text(order, "o.toml"), Rounds(1), jobs=1)
    chosen = [lay for lay in shown_data(made)["lays"]["lawn"] if lay["lay"] == "open"]
    for told in (
        report(made),
        shopping_list(made),
        " ".join(text.get_text() for text in draw_plan(made, entry).axes.texts),
        " ".join(text.get_text() for text in draw_comparison(compared).axes.texts),
        shown_data(made)["plan"]["fabrics"][0]["told"]["cost"],
        chosen[0]["told"]["cost"],
        client_page(made, prices=True),
    ):
        assert re.search(rf"\b{said}(?! for)", " ".join(told.split())), told
    assert ("(12.64 GBP for 37 15/16 in)" in in_one_line(made)) is not bool(step)
    assert ("no step of the shop for lawn" in comparison_report(compared)) is not bool(step)


def _folding(made: Plan) -> list[str]:
    from nesting.fabric.lay import lay_under
    from nesting.output import words
    from nesting.page.table.steps import folding

    entry = made.fabrics[0]
    return list(folding(entry, lay_under(entry.marker, entry.fabric), words.tape(made.unit)))


def test_used_is_rounded_up_and_what_is_left_down() -> None:
    """30.04 cm are used, and 29.96 cm are left of the 60 that are bought."""
    order = CENTIMETRES.replace("40.3", "30.04")
    order = order.replace("width = 45", 'width = 45\nsold_by = "60 cm"')
    told = report(made_from(order))
    assert "Cloth used      30.1 cm" in told
    assert "Left over       29.9 cm by 45 cm" in told
    assert format_length(300.4, Unit.CM) == "30 cm"


def test_the_width_to_use_is_the_same_on_the_drawing_and_in_the_report() -> None:
    """44.96 cm are there: 45 cm would be too much."""
    order = CENTIMETRES.replace("width = 45", "width = 45.2\nshrinkage = { width = 0.531 }")
    made = made_from(order.replace('"open", "crosswise-fold"', '"open"'))
    assert "45.2 cm, of which 44.9 cm can be used" in report(made)
    drawn = [text.get_text() for text in draw_plan(made, made.fabrics[0]).axes.texts]
    assert "44.9 cm to use" in drawn
    assert any(", 44.9 cm to use" in text for text in drawn)


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_the_cutting_line_is_the_same_in_tables_and_pictures(unit: str) -> None:
    """Rounded up once: 11.87 m are 12.98 yd, but 11.9 m, rounded before, are more than 13."""
    order = INCHES if unit == "in" else CENTIMETRES
    compared = compare(order_from_text(order, "o.toml"), Rounds(1), jobs=1)
    (cloth,) = compared.cloths
    own = [replace(one.figures, cut_metres=11.87) for one in cloth.alternatives]
    told = {"in": "13 yd", "cm": "11.9 m"}[unit]
    changed = [
        replace(one, figures=figures) for one, figures in zip(cloth.alternatives, own, strict=True)
    ]
    compared = replace(compared, cloths=(replace(cloth, alternatives=tuple(changed)),))
    assert comparison_report(compared).count(f"  {told}") == len(own)
    drawn = [text.get_text() for text in draw_comparison(compared).axes.texts]
    assert drawn.count(f"{told} to cut") == len(own)
