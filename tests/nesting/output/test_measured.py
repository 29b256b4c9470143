"""Places are told from the cloth's edge, selvedge and all, as an order tells those of flaws."""

from __future__ import annotations

import pytest

from nesting.order.read import order_from_text
from nesting.output.report.report import report
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds

ORDER = """
units = "cm"
[fabric.satin]
width = 100
selvedge = 2
nap = "one-way"
lays = ["{lay}"]
flaws = [{{ from = 10, to = 15, across = [72, 90] }}]
[[piece]]
name = "panel"
fabric = "satin"
outline = [[0, 0], [40, 0], [40, 20], [0, 30]]
pair = {pair}
grain_rule = "{rule}"
"""


def told(lay: str, rule: str = "lengthwise", pair: str = "false") -> str:
    text = ORDER.format(lay=lay, rule=rule, pair=pair)
    return " ".join(report(plan(order_from_text(text, "any.toml"), Rounds(2), jobs=1)).split())


def test_from_the_cloth_s_edge_where_it_lies_open() -> None:
    said = told("open")
    assert "measured from the cut end, and across from the lower edge, selvedge and all." in said
    assert "panel, arrow away from the cut end: at the cut end, 2 cm from the lower edge;" in said
    assert "5 cm along by 18 cm across, 10 cm from the cut end, 72 cm from the lower edge" in said


def test_from_the_fold_where_there_is_one() -> None:
    said = told("lengthwise-fold", pair="true")
    assert "measured from the cut end, and across from the fold." in said


@pytest.mark.parametrize("lay", ["open", "lengthwise-fold"])
def test_every_step_tells_where_the_arrow_points(lay: str) -> None:
    said = told(lay, rule="crosswise", pair="true")
    steps = said[said.index("To lay out") : said.index("Take care")]
    away, towards = (
        sum(steps.count(f"arrow {way} the {edge}") for edge in ("fold", "lower edge"))
        for way in ("away from", "towards")
    )
    # Both of a pair shade alike, so each lies by itself, with its arrow to the same selvedge.
    assert sorted((away, towards)) == [0, 2]
    assert "arrows of one grain all point one way" in said
