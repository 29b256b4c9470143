"""Prints in whole orders: what meets, what it costs and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from nesting import Rounds, plan
from nesting.fabric.fabric import LayName, Nap
from nesting.fabric.plans import Plan
from nesting.order.read import order_from_text
from nesting.output.drawing.printed import print_words
from nesting.output.files.print_data import print_data
from nesting.verify.judge import verify
from pieces.errors import CannotFit, OrderFault
from pieces.units import Unit
from tests.examples import examples, some
from tests.nesting.verify.hand_made import codes, shifted

# --- whole orders ----------------------------------------------------------------------------

PLAID = """
name = "plaid frock"
units = "cm"
[fabric.check]
width = 140
selvedge = 1
repeat = { length = 12, width = 10 }
shrinkage = { length = 4, width = 2 }
sold_by = "10 cm"
[fabric.meadow]
width = 112
selvedge = 1
border = { edge = "lower", depth = 12 }
repeat = { length = 20 }
[[garment]]
name = "Maren"
size = "4 years"
[[garment.part]]
draft = "bodice"
fabric = "check"
match = ["centre front", "centre back", "waist", "front armhole notch"]
motif = "centre front"
[[garment.part]]
draft = "sleeve"
fabric = "check"
match = ["front armhole notch"]
[[garment.part]]
draft = "gathered skirt"
fabric = "meadow"
length = 40
hem_allowance = 6
match = ["middle"]
strip_length = 80
border = true
"""


@pytest.fixture(scope="module")
def frock() -> Plan:
    return plan(order_from_text(PLAID, "plaid.toml"), Rounds(2), jobs=1)


def test_a_plaid_frock_meets_and_each_piece_off_it_is_found(frock: Plan) -> None:
    entry = frock.fabrics[0]
    assert verify(entry.fabric, entry.pieces, entry.marker) == ()
    along_mm, across_mm = 120 * 0.96, 100 * 0.98
    for index, one in enumerate(entry.marker.placements):
        # Half a repeat across, the two backs below each other would meet again.
        for dx_mm, dy_mm in ((along_mm / 2, 0.0), (0.0, across_mm / 3)):
            if dy_mm and one.piece == "sleeve":  # its notch asks for nothing across
                continue
            moved = list(entry.marker.placements)
            moved[index] = shifted(one, dx_mm, dy_mm)
            marker = replace(entry.marker, placements=tuple(moved))
            found = codes(entry.fabric, entry.pieces, marker)
            assert found & {"match", "motif"}, (one.piece, dx_mm, dy_mm)


def test_a_border_has_its_hems_along_the_selvedge(frock: Plan) -> None:
    entry = frock.fabrics[1]
    panels = [one for one in entry.marker.placements if one.piece == "skirt panel"]
    assert len(panels) == 2
    for one in panels:
        assert one.turn_deg == 90
        assert min(y for _, y in one.outline_mm) == pytest.approx(0.0, abs=1e-3)
    moved = replace(
        entry.marker, placements=(shifted(panels[0], 100.0, 0.0), *entry.marker.placements[1:])
    )
    assert "match" in codes(entry.fabric, entry.pieces, moved)


def test_a_print_never_costs_less_than_plain_cloth_and_says_what_it_costs(frock: Plan) -> None:
    for entry in frock.fabrics:
        data = print_data(entry)
        assert data is not None
        assert entry.plain_purchase_mm is not None
        assert data["more_than_plain_mm"] == pytest.approx(
            entry.purchase.length_mm - entry.plain_purchase_mm
        )
        assert data["more_than_plain_mm"] >= 0
        assert any("plain cloth" in text for text in print_words(entry, Unit.CM))
    points = print_data(frock.fabrics[0])["points"]  # type: ignore[index]
    levels = [one["x_mm"] % 115.2 for one in points if one["point"] == "waist"]
    assert max(levels) - min(levels) < 0.01


ON_FOLD = """
units = "cm"
[fabric.cloth]
width = 60
repeat = {{ length = 16, width = 3.1 }}
lays = ["{lay}"]
[[piece]]
name = "front"
fabric = "cloth"
garment = "Ada"
outline = [[0, 0], [8, 0], [6, 6], [3, 6]]
on_fold = [[0, 0], [8, 0]]
points = {{ notch = {{ along = 0, across = 3 }} }}
match = ["notch"]
"""


@pytest.mark.parametrize("lay", ["open", "lengthwise-fold"])
def test_a_point_beside_the_fold_counts_on_the_half_that_is_drawn(lay: str) -> None:
    """Its image in the other half lies 6 cm away, no whole repeats, opened out or not."""
    made = plan(order_from_text(ON_FOLD.format(lay=lay), "frock.toml"), Rounds(1), jobs=1)
    assert made.fabrics[0].marker.length_mm == pytest.approx(80, abs=0.1)


def stacked(count: int, piece: str, repeat: str) -> str:
    """Pieces as wide as the cloth, so that they lie behind each other, in inches."""
    return f"""
units = "in"
[fabric.plaid]
width = 30
lays = ["open"]
repeat = {{ length = "{repeat}" }}
[[piece]]
name = "width"
fabric = "plaid"
garment = "skirt"
outline = [[0, 0], [{piece}, 0], [{piece}, 29], [0, 29]]
cut = {count}
match = ["hem"]
"""


@pytest.mark.parametrize(
    ("count", "repeat", "extra_in"),
    some([(2, "1 1/4 in", 2.5), (2, "4 1/4 in", 8.5), (3, "6 in", 18.0)]),
)
@pytest.mark.parametrize("piece_in", [20.0, 24.1, 25.5])
def test_stacked_widths_stay_within_the_rule_of_the_trade(
    count: int, repeat: str, extra_in: float, piece_in: float
) -> None:
    """Extra cloth is the repeat times the pieces stacked along the length.

    1 1/4 in. and 4 1/4 in., two stacked: 2 1/2 and 8 1/2 in. (a fabric shop's teaching article,
    2010); 6 in., front, back and sleeves: 18 in. (a sewing page, 2011). The rule is generous: all
    but the last piece are rounded up to whole repeats.
    """
    order = order_from_text(stacked(count, str(piece_in), repeat), "stack.toml")
    made = plan(order, Rounds(1), jobs=1).fabrics[0]
    period_in = extra_in / count
    exact_in = (count - 1) * math.ceil(piece_in / period_in - 1e-9) * period_in + piece_in
    assert made.marker.length_mm / 25.4 == pytest.approx(exact_in, abs=1e-3)
    assert made.marker.length_mm / 25.4 <= count * piece_in + extra_in
    assert made.plain_purchase_mm == pytest.approx(count * piece_in * 25.4, abs=1.0)


def test_a_motif_along_the_cloth_asks_for_a_repeat_more() -> None:
    """The pattern's amount and one full repeat for a large one: a web page's rule."""
    text = stacked(2, "20", "6 in")
    matched = plan(order_from_text(text, "a.toml"), Rounds(1), jobs=1).fabrics[0]
    centred = plan(
        order_from_text(text.replace("match", "motif"), "b.toml"), Rounds(1), jobs=1
    ).fabrics[0]
    assert centred.marker.length_mm == pytest.approx(matched.marker.length_mm)
    assert centred.purchase.length_mm == pytest.approx(matched.purchase.length_mm + 6 * 25.4, abs=1)
    assert any("begin anywhere in its repeat" in step for step in centred.purchase.steps)


# --- what can't be met -----------------------------------------------------------------------


def faults_of(old: str, new: str) -> str:
    assert old in PLAID
    with pytest.raises((OrderFault, CannotFit)) as caught:
        plan(order_from_text(PLAID.replace(old, new), "plaid.toml"), Rounds(1), jobs=1)
    return str(caught.value)


SLEEVE = 'draft = "sleeve"\nfabric = "check"\nmatch = ["front armhole notch"]'


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"centre back", "waist"', '"waistline"', 'no point called "waistline" here'),
        ('"centre back", "waist"', '"waistline"', '"front armhole notch"'),
        ("repeat = { length = 12, width = 10 }", "", "check has no repeat"),
        ('border = { edge = "lower", depth = 12 }', "", "meadow has no border"),
        ("depth = 12 }", "depth = 3 }", "the border is only 3 cm deep"),
        ("length = 40\n", "length = 120\n", "the cloth has 110 cm"),
        (SLEEVE, 'draft = "collar"\nfabric = "meadow"\nborder = true', "no hem"),
        ('match = ["middle"]', 'motif = "hem"', "does not repeat that way"),
    ],
)
def test_what_can_not_be_met_is_said(old: str, new: str, said: str) -> None:
    assert said in faults_of(old, new)


def test_a_border_that_forbids_a_fold_is_what_is_at_fault() -> None:
    text = """
    units = "cm"
    [fabric.lawn]
    width = 100
    lays = ["lengthwise-fold"]
    repeat = { length = 11 }
    border = { edge = "lower", depth = 6 }
    [[piece]]
    name = "band"
    fabric = "lawn"
    border = true
    outline = [[0, 0], [30, 0], [30, 12], [0, 12]]
    """
    with pytest.raises(CannotFit) as caught:
        plan(order_from_text(text, "o.toml"), Rounds(1), jobs=1)
    assert [fault.key for fault in caught.value.faults] == ["fabric.lawn.border"]


def test_points_too_far_apart_can_not_both_meet() -> None:
    """Front and back have their side seam alike, but sleeve and front no common second height."""
    text = PLAID.replace(
        'match = ["front armhole notch"]', 'match = ["front armhole notch", "hem"]'
    ) + (
        '[[piece]]\nname = "tab"\nfabric = "check"\ngarment = "Maren"\n'
        "outline = [[0, 0], [10, 0], [10, 5], [0, 5]]\n"
        'points = { "front armhole notch" = { along = 7 } }\n'
        'match = ["hem", "front armhole notch"]\n'
    )
    with pytest.raises(OrderFault, match="can't meet the print at"):
        plan(order_from_text(text, "plaid.toml"), Rounds(1), jobs=1)


# --- random orders ---------------------------------------------------------------------------


@st.composite
def orders(draw: st.DrawFn) -> str:
    """A few pieces of one or two garments, matched somehow on some cloth and lay."""
    length, width = (draw(st.sampled_from([0, 3, 7.5, 16, 31])) for _ in "lw")
    keys = [f"length = {length}"] * (length > 0) + [f"width = {width}"] * (width > 0)
    border = draw(st.sampled_from(["", "lower", "upper", "both"]))
    lays = draw(st.lists(st.sampled_from([one.value for one in LayName]), max_size=3))
    text = f"""units = "cm"
[fabric.cloth]
width = {draw(st.integers(60, 150))}
selvedge = {draw(st.sampled_from([0, 1]))}
nap = "{draw(st.sampled_from([one.value for one in Nap]))}"
faces = "{draw(st.sampled_from(["alike", "different"]))}"
gap = {draw(st.sampled_from([0, 0.4]))}
edge_gap = {draw(st.sampled_from([0, 0.6]))}
shrinkage = {{ length = {draw(st.sampled_from([0, 5]))}, width = {draw(st.sampled_from([0, 3]))} }}
"""
    text += f"repeat = {{ {', '.join(keys)} }}\n" * bool(keys)
    text += f'border = {{ edge = "{border}", depth = 9 }}\n' * bool(border)
    text += f"lays = {[*dict.fromkeys(lays)]}\n" * bool(lays)
    for number in range(draw(st.integers(1, 5))):
        long, wide = draw(st.integers(8, 50)), draw(st.integers(6, 40))
        text += f"""[[piece]]
name = "piece {number}"
fabric = "cloth"
garment = "{draw(st.sampled_from(["Ada", "Mia"]))}"
outline = [[0, 0], [{long}, 0], [{long - 2}, {wide}], [3, {wide}]]
cut = {draw(st.integers(1, 3))}
grain_rule = "{draw(st.sampled_from(["lengthwise", "crosswise", "any"]))}"
points = {{ notch = {{ along = {draw(st.integers(0, 8))}, across = {draw(st.integers(0, 6))} }} }}
"""
        fold = draw(st.sampled_from(["", "fold", "pair"]))
        text += f"on_fold = [[0, 0], [{long}, 0]]\n" * (fold == "fold") + "pair = true\n" * (
            fold == "pair"
        )
        names = draw(st.lists(st.sampled_from(["hem", "middle", "notch"]), max_size=2, unique=True))
        text += f"match = {names}\n" * bool(names and keys)
        text += f'motif = "{draw(st.sampled_from(["hem", "middle"]))}"\n' * bool(
            keys and draw(st.integers(0, 4)) == 0
        )
        text += "border = true\n" * bool(border and draw(st.integers(0, 2)) == 0)
    return text


LAYERS_THAT_AGREE = """
units = "cm"
[fabric.cloth]
width = 60
nap = "none"
faces = "different"
repeat = { width = 3 }
[[piece]]
name = "leaf"
fabric = "cloth"
garment = "Ada"
outline = [[0, 0], [8, 0], [6, 6], [3, 6]]
cut = 1
pair = true
grain_rule = "crosswise"
points = { notch = { along = 0, across = 0 } }
motif = "hem"
"""
"""Cut ends together, the print of both layers runs the same way across: one cut gives a pair."""


@example(LAYERS_THAT_AGREE)
@given(orders())
@settings(max_examples=examples(25), deadline=None)
def test_random_prints_are_planned_or_refused_with_a_reason(text: str) -> None:
    """Every plan that comes out was verified; nothing crashes."""
    try:
        made = plan(order_from_text(text, "order.toml"), Rounds(1), jobs=1)
    except (OrderFault, CannotFit) as refused:
        reasons = [fault.message for fault in refused.faults]
    else:
        reasons = []
        check(made)
    assert all(reasons)


def check(made: Plan) -> None:
    for entry in made.fabrics:
        assert verify(entry.fabric, entry.pieces, entry.marker) == ()
        plain_mm = entry.plain_purchase_mm
        assert plain_mm is None or plain_mm <= entry.purchase.length_mm
