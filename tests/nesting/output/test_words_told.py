"""Words that a reader once stumbled over: what is told, and how."""

from dataclasses import replace

import pytest

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.marker import Marker
from nesting.order.read import example_order
from nesting.output import words
from nesting.output.allowances import allowances, allowances_told
from nesting.output.drawing import key
from nesting.output.drawing.printed import _places
from nesting.output.drawing.sheet import Sheet, rectangle
from nesting.output.report.report import report
from nesting.output.report.shopping import shopping_list
from nesting.packing.refusals import lays_refused
from nesting.rules.parts import draft_order
from pieces.errors import Fault
from pieces.units import Unit
from tests.nesting.output.sample_plan import sample_plan


def test_a_place_in_the_repeat_that_is_a_whole_repeat_is_where_one_begins() -> None:
    for at in (0.0, 0.3, 59.8, 60.0):
        assert _places((at, None), (60.0, 60.0), Unit.CM) == "where a repeat begins along"
    told = _places((5.0, 31.0), (60.0, 60.0), Unit.CM)
    assert told == (
        "0.5 cm past where a repeat begins along and 3.1 cm past where a repeat begins across"
    )


def test_lays_refused_for_one_reason_are_told_together() -> None:
    why = (Fault("", "fabric.net", "The skirt is wider than the cloth."),)
    refused = [(LayName.QUARTER_FOLD, why), (LayName.LENGTHWISE_FOLD, why)]
    assert lays_refused(Fabric("net", 1000), refused).message == (
        "net was not tried on every lay. Quarter fold, lengthwise fold: The skirt is wider than "
        "the cloth."
    )


def test_ten_girls_by_the_table_are_told_of_once() -> None:
    order = example_order()
    tilda = order.garments[0]
    girls = tuple(replace(tilda, name=f"girl {number}") for number in range(10))
    draft = draft_order(replace(order, garments=girls, notions=()))
    (told,) = (one.message for one in draft.findings if one.code == "filled-from-table")
    assert told.startswith("girl 0, girl 1, girl 2")


def test_a_fold_across_is_told_from_the_cut_end_alone() -> None:
    lay = LayName.CROSSWISE_FOLD
    cloth = Fabric("lawn", 1000.0, flaws=(((0, 0), (9, 0), (9, 9)),))
    marker = Marker("lawn", lay, 900.0, (), opened_from_mm=300.0)
    assert words.laid(marker, cloth, Unit.CM) == (
        "folded crosswise, the first 30 cm from the cut end laid over the rest; past its end the "
        "cloth lies open, one layer"
    )


def test_allowances_are_told_by_edge() -> None:
    """The example: 1 cm, hems 2 cm; at an opening 4 cm, as its draft says."""
    pieces = [one for one in draft_order(example_order()).pieces if one.garment == "Tilda"]
    named = {piece.name: piece for piece in pieces}
    assert allowances(named["sleeve"]) == pytest.approx(
        {"hem": 20, "underarm front": 10, "cap front": 10, "cap back": 10, "underarm back": 10},
        abs=0.05,
    )
    satin = [piece for piece in pieces if piece.fabric == "satin"]
    (told,) = allowances_told(satin, Unit.CM)
    assert told == (
        "included in the outlines: 1 cm; 2 cm at hem of sleeve, centre back of skirt back; "
        "4 cm at centre back of bodice back"
    )
    bare = replace(satin[0], name="pocket", sewing_line=(), seams=())
    assert list(allowances_told([bare], Unit.CM)) == [
        "none added to pocket, whose outlines are cut as given"
    ]
    assert "Allowances      none added to bodice front" in report(sample_plan())


def test_where_no_step_is_known_a_cost_says_for_which_length() -> None:
    entry = sample_plan().fabrics[0]
    loose = replace(entry, fabric=replace(entry.fabric, sold_by_mm=0.0))
    assert words.buy(entry) == "1.40 m (1 5/8 yd), 11.06 EUR"
    assert words.buy(loose) == "1.40 m (1 5/8 yd), 11.06 EUR for 140 cm"


def test_the_shopping_list_says_what_a_narrower_cloth_asks_for() -> None:
    assert "150 cm (59 1/16 in) wide; for a narrower cloth plan anew" in shopping_list(
        sample_plan()
    )


def test_ten_girls_have_ten_patterns_and_many_more_fills() -> None:
    fills = key.fills_of([f"girl {number}" for number in range(88)])
    assert len({fill.pattern for fill in list(fills.values())[:10]}) == 10
    assert len(set(fills.values())) == 88


def test_patterns_are_told_apart_in_black_and_white() -> None:
    """Drawn grey, no two of ten swatches are alike dot for dot."""
    import io

    import numpy as np
    from PIL import Image

    seen = []
    for fill in key.fills_of([str(n) for n in range(10)]).values():
        sheet = Sheet(30.0, 20.0, "swatch")
        key.Fill("#dddddd", fill.pattern).draw(sheet, rectangle(2, 2, 26, 16), 0.5)
        with Image.open(io.BytesIO(sheet.saved("png"))) as image:
            seen.append(np.asarray(image.convert("L"), dtype=float))
    for index, one in enumerate(seen):
        for other in seen[:index]:
            assert (abs(one - other) > 40).mean() > 0.02
