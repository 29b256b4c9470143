"""The report: every figure with its unit, in the order's unit, in plain narrow text."""

import re
from dataclasses import replace

import pytest

from nesting.fabric.fabric import Bolt
from nesting.output.report.report import draft_report, report
from nesting.output.report.text import COLUMNS
from pieces.piece import Draft, Finding, SeamCheck
from pieces.units import Unit
from tests.nesting.output.sample_plan import many_pieces, sample_plan

NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?: \d+/\d+)?")
UNITS = ("cm", "mm", "in", "m", "yd", "%", "EUR", "degrees", "seconds")
COUNTS = re.compile(
    r"\d+ of \d+|give \d+|and \d+ spare|\d+ outlines?|^ *\d+\. |number \d+|cut \d+", re.MULTILINE
)


@pytest.fixture(scope="module")
def text():
    return report(sample_plan())


def test_is_plain_and_narrow(text):
    for said in (text, report(many_pieces()), report(sample_plan(Unit.IN))):
        assert all(len(line) <= COLUMNS for line in said.splitlines())
        assert "\t" not in said
        assert "\N{NO-BREAK SPACE}" not in said
        assert not re.search(r" +$", said, re.MULTILINE)


def test_no_number_without_a_unit(text):
    body = text[: text.index("Lays compared:")]
    body = re.sub(r"\n +(?=\S)", " ", COUNTS.sub("", body))
    found = list(NUMBER.finditer(body))
    assert len(found) > 50
    for match in found:
        after = body[match.end() :].split()[0].rstrip(".,;:)")
        assert after in UNITS, body[match.start() - 20 : match.end() + 20]


def test_a_number_is_never_parted_from_its_unit():
    for unit in (Unit.CM, Unit.IN):
        for said in (report(many_pieces(unit=unit)), report(sample_plan(unit))):
            assert not re.search(r"\d\n +(cm|in|m|\d+/\d+)\b", said)


def test_says_what_to_buy_with_cost_and_totals(text):
    assert "- red satin, 150 cm wide: 1.40 m (1 5/8 yd), 11.06 EUR" in text
    assert "- white tulle, 140 cm wide: 1.24 m (1 3/8 yd)" in text
    assert "In all: 11.06 EUR; without white tulle, which has no price." in text


def test_says_how_the_cloth_lies_its_waste_and_what_is_left(text):
    flat = " ".join(text.split())
    assert "Lay folded lengthwise, selvedges together" in flat
    assert "Width 150 cm, of which 148 cm can be used" in flat
    assert "Cloth used 117.5 cm of washed cloth; no shorter purchase can hold" in flat
    assert "Cloth used 124 cm Waste" in flat, "a bound of 110 cm would only puzzle"
    assert "Waste 27.3 % of the cloth used, 39.4 % of the purchase" in flat
    assert "Left over 20.5 cm by 74 cm, two layers, beginning 117.5 cm from the cut end" in flat
    assert "Cutting 12 outlines, 14.2 m of cutting line" in flat


def test_of_cloth_in_hand_nothing_is_told_to_buy():
    plan = sample_plan()
    entry = replace(plan.fabrics[0], bolt=Bolt("remnant", 2000.0, 1500.0))
    text = report(replace(plan, fabrics=(entry,)))
    table = text[text.index("Lays compared:") : text.index("* the best of its column")]
    assert "used" in table
    assert "to buy" not in table
    assert "EUR" not in table


def test_half_a_millimetre_is_told_in_inches_too():
    """It is nothing to a sixteenth: a seam that is out by 3/64 in. would be apart by nothing."""
    out = SeamCheck("waist to skirt", "Ada", 541.2, 540.0, 0.5)
    flat = " ".join(draft_report("dress", Draft((), (out,)), Unit.IN).split())
    assert "3/64 in 1/64 in DOES NOT MEET" in flat


def test_the_cutting_line_is_as_long_as_the_dresser_counts():
    flat = " ".join(report(sample_plan(Unit.IN)).split())
    assert "Cutting 12 outlines, 15 5/8 yd of cutting line" in flat
    assert " m of cutting line" not in flat


def test_reckons_the_purchase_step_by_step(text):
    start = text.index("How the purchase is reckoned:")
    steps = [line for line in text[start:].splitlines()[1:] if line.startswith("- ")]
    assert tuple(step[2:] for step in steps[:4]) == sample_plan().fabrics[0].purchase.steps


def test_places_each_piece_from_the_cut_end_and_the_edge(text):
    flat = " ".join(text.split())
    assert (
        "1. skirt front (Dora), cut on the fold, arrow away from the cut end: at the cut end, "
        "its fold edge on the fold; " in flat
    )
    assert "takes 57 cm along and 32 cm across." in flat
    assert (
        "9. pocket (Mila), two layers give 1 and 1 spare, arrow away from the cut end: "
        "78 cm from the cut end, 49 cm from the fold; takes 9 cm along and 8 cm across." in flat
    )
    assert (
        "3. skirt back (Dora), 2 of 2, mirrored, arrow away from the cut end: 2 cm from the cut "
        "end, 99 cm from" in flat
    )
    assert "against the lower edge" in flat


def test_steps_go_along_the_cloth():
    said = report(many_pieces())
    steps = re.findall(
        r"^ *(\d+)\. .*?(?:(\d+(?:\.\d+)?) cm from|at) the cut end", said, re.M | re.S
    )
    assert [int(number) for number, _ in steps] == list(range(1, 41))
    starts = [float(start or 0) for _, start in steps]
    assert starts == sorted(starts)


def test_speaks_the_order_s_unit():
    inches = report(sample_plan(Unit.IN))
    steps = inches[inches.index("To lay out") : inches.index("Lays compared:")]
    assert " cm" not in steps
    assert "57 cm" not in steps
    assert "22 7/16 in" in steps
    # a yard is a unit of the counter: on the table one measures in inches
    yards = report(sample_plan(Unit.YD))
    assert yards == inches


def test_compares_lays_in_a_table(text):
    start = text.index("Lays compared:")
    head, first, second = text[start:].splitlines()[1:4]
    assert head.split()[:3] == ["Lay", "width", "used"]
    told = "lengthwise fold 150 cm 117.5 cm 1.40 m 11.06 EUR 27.3 % 12* 14.2 m*"
    assert first.split() == told.split()
    assert "116 cm*" in second, "the best of a column is marked"
    assert second.startswith("open")
    assert "25.3 m" in second


def test_compares_seams_and_shouts_where_they_do_not_meet(text):
    assert re.search(
        r"sleeve head to armhole \(Mila\) +34.2 cm +33 cm +1.2 cm +0.5 cm +DOES NOT MEET", text
    )
    assert "1 of 2 seams meets, within 0.2 cm or less." in text
    assert not re.search(r"54 cm +54.1 cm", text), "what meets is not listed"


def test_seams_that_all_meet_are_one_line():
    checks = tuple(SeamCheck(f"seam {n}", "Ada", 100.0, 100.0, 1.0) for n in range(30))
    said = draft_report("dress", Draft((), checks), Unit.IN)
    end = said[said.index("Seams that must meet") :].splitlines()
    assert end[2:] == ["All 30 seams meet, within 3/64 in or less."]


def test_long_seam_names_wrap_in_their_column():
    name = "the gathered upper edge of the second tier to the lower edge of the first tier"
    plan = replace(sample_plan(), seam_checks=(SeamCheck(name, "Ines", 1000, 1020, 5),))
    said = report(plan)
    assert all(len(line) <= COLUMNS for line in said.splitlines())
    assert all(word in said for word in name.split())


def test_what_two_pieces_lack_alike_is_told_once():
    twice = (Finding("bare", "Nothing finishes the neck."),) * 2
    assert report(replace(sample_plan(), findings=twice)).count("Nothing finishes") == 1


def test_findings_cautions_and_seed_come_last(text):
    order = [
        text.index(s)
        for s in ("Seams that must meet", "Worth knowing", "Take care", "seed number 7")
    ]
    assert order == sorted(order)


def test_draft_report_gives_each_piece_and_its_cut():
    plan = sample_plan()
    said = " ".join(draft_report("sisters", Draft(plan.pieces, plan.seam_checks), Unit.CM).split())
    assert "skirt front: cut 1 on the fold in red satin; 57 cm along the grain by 32 cm" in said
    assert "puff sleeve: cut 1 pair in red satin" in said
    assert "collar: cut 2 pairs in red satin" in said
    assert "DOES NOT MEET" in said
