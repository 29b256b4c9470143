"""Prints: what meets, where it may lie, what it costs and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hand_made import codes, placed, shifted
from hypothesis import given, settings
from hypothesis import strategies as st
from rules_table import NAPPED_PRINT_LAYS, NONE, ONE_WAY, OPENS_OUT, PRINT_LAYS

from nesting import Rounds, plan
from nesting.fabric import Border, Edge, Fabric, LayName, Nap, Repeat
from nesting.lay import lay_of, suits_nap
from nesting.marker import MAIN, OPENED_OUT, Marker
from nesting.order import Order
from nesting.order_file import order_from_text
from nesting.output.printed import print_data, print_words
from nesting.plans import Plan
from nesting.print_lays import refusal
from nesting.prints import prints_of
from nesting.rules import cuts_for
from nesting.verify import verify
from pieces.errors import CannotFit, OrderFault
from pieces.piece import GrainRule, Mark, Piece
from pieces.units import Unit

LOPSIDED = ((0.0, 0.0), (90.0, 0.0), (60.0, 40.0), (0.0, 30.0))
MARKS = (Mark("waist", (10.0, 15.0), across=False), Mark("middle", (0.0, 15.0), along=False))
KINDS = {
    "length": (Repeat(length_mm=70.0), None),
    "width": (Repeat(width_mm=60.0), None),
    "length and width": (Repeat(70.0, 60.0), None),
    "lower border": (None, Border(Edge.LOWER, 20.0)),
    "upper border": (None, Border(Edge.UPPER, 20.0)),
    "both borders": (None, Border(Edge.BOTH, 20.0)),
}
CASES = [
    (kind, nap, lay) for kind in KINDS for nap in (NONE, ONE_WAY) for lay in LayName
]  # fmt: skip


def cloth(kind: str, nap: Nap = NONE, width_mm: float = 1000.0) -> Fabric:
    repeat, border = KINDS[kind]
    return Fabric("plaid", width_mm, nap=nap, repeat=repeat, border=border)


def sleeves(kind: str) -> tuple[Piece, ...]:
    """Two pairs of one garment, matched at all points that they have, or laid on the border."""
    one = Piece(
        "sleeve", "plaid", LOPSIDED, ((10, 10), (50, 10)), pair=True, garment="Ada", marks=MARKS
    )
    if "border" in kind:
        one = replace(one, border=True, grain_rule=GrainRule.CROSSWISE)
    else:
        one = replace(one, match=("waist", "middle"))
    return one, replace(one, name="cuff")


def table(nap: Nap) -> dict[str, set[LayName]]:
    return PRINT_LAYS if nap is NONE else NAPPED_PRINT_LAYS


@pytest.mark.parametrize(("kind", "nap", "lay"), CASES)
def test_a_print_leaves_the_lays_of_the_table(kind: str, nap: Nap, lay: LayName) -> None:
    if not suits_nap(lay, nap):
        return
    fabric, pieces = cloth(kind, nap), sleeves(kind)
    cuts = cuts_for(pieces, fabric, lay)
    cloth_laid = lay_of(fabric, lay, 300.0 if lay is LayName.PARTIAL_FOLD else 0.0)
    forbids = refusal(prints_of(pieces, fabric), cuts, fabric, cloth_laid)
    assert (forbids is None) == (lay in table(nap)[kind])


def laid_by_hand(kind: str, nap: Nap, lay: LayName, off_mm: float = 0.0) -> Marker:
    """Two pairs where the table allows it; the second `off_mm` further along and across."""
    one, other = sleeves(kind)
    far = lay in (LayName.CROSSWISE_FOLD, LayName.QUARTER_FOLD)
    layers = {LayName.OPEN: 1, LayName.QUARTER_FOLD: 4}.get(lay, 2)
    placements = []
    for number, piece in enumerate((one, other)):
        gives = (1, 0, 1) if layers == 1 else (2, layers - 2, layers)
        hands = (False, True) if layers == 1 else (False,)
        for copy, mirrored in enumerate(hands, start=1):
            shift = number * off_mm
            if "border" in kind:
                where = (140.0 * number + 50.0 * (copy - 1), 0.0)
                turn = 90.0
                if kind == "upper border" or lay in (LayName.LENGTHWISE_FOLD, LayName.QUARTER_FOLD):
                    high_mm = (
                        500.0 if lay in (LayName.LENGTHWISE_FOLD, LayName.QUARTER_FOLD) else 1000.0
                    )
                    where, turn = (where[0], high_mm - 90.0), -90.0
                made = placed(piece, LOPSIDED, where, way=(turn, mirrored), copy=copy, gives=gives)
                placements.append(shifted(made, 0.0, shift))
                continue
            # The middle lies on the line at 240 mm: a fold or a whole number of repeats from one.
            low_mm = 225.0 if not mirrored else 225.0 + 120.0 - 10.0
            made = placed(
                piece, LOPSIDED, (210.0 * number, low_mm), way=(0.0, mirrored), copy=copy,
                gives=gives,
            )  # fmt: skip
            placements.append(shifted(made, shift, shift))
    length_mm = max(x for one in placements for x, _ in one.outline_mm) * (2 if far else 1)
    depth_mm = 300.0 if lay is LayName.PARTIAL_FOLD else 0.0
    return Marker("plaid", lay, length_mm, tuple(placements), depth_mm)


@pytest.mark.parametrize(("kind", "nap", "lay"), CASES)
def test_where_a_print_forbids_the_fold_what_meets_it_is_opened_out(
    kind: str, nap: Nap, lay: LayName
) -> None:
    """Past a band that is folded; the plan's marker is verified."""
    if lay not in OPENS_OUT or lay in table(nap)[kind] or not suits_nap(lay, nap):
        return
    fabric, tied = cloth(kind, nap), sleeves(kind)
    band = Piece("band", "plaid", ((0, 0), (60, 0), (60, 40), (1, 40)), ((0, 0), (9, 0)), pair=True)
    pieces = (*tied, replace(band, garment="Ada"), *_for_a_band(lay))
    order = Order("test", "frock.toml", Unit.CM, {"plaid": fabric}, (), pieces)
    (entry,) = plan(order, Rounds(1), jobs=1, lay=lay).fabrics
    sections = {p.piece: p.section for p in entry.marker.placements}
    assert {sections[piece.name] for piece in tied} == {OPENED_OUT}
    assert sections["band"] == MAIN


def _for_a_band(lay: LayName) -> tuple[Piece, ...]:
    """A partial fold is one only where something lies single beside it."""
    single = Piece("flap", "plaid", LOPSIDED, ((10, 10), (50, 10)), garment="Ada")
    return (single,) if lay is LayName.PARTIAL_FOLD else ()


PRINT_CODES = {"match", "print-way", "border"}


@pytest.mark.parametrize(("kind", "nap", "lay"), CASES)
def test_the_verifier_holds_to_the_same_table(kind: str, nap: Nap, lay: LayName) -> None:
    """Laid on a line of the print, or hem to selvedge; on other lays nothing can be right."""
    if not suits_nap(lay, nap):
        return
    fabric, pieces = cloth(kind, nap), sleeves(kind)
    if kind != "length" and lay is LayName.DOUBLE_FOLD:
        return  # a width that is a multiple of the repeat meets by chance; see the next test
    found = codes(fabric, pieces, laid_by_hand(kind, nap, lay)) & PRINT_CODES
    allowed = lay in table(nap)[kind]
    if allowed and nap is ONE_WAY and lay is LayName.CROSSWISE_FOLD and kind == "width":
        return  # 1000 mm less 240 is no whole number of half repeats from it
    assert (found == set()) == allowed, found


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind in ("length", "width")])
@pytest.mark.parametrize("lay", [LayName.OPEN, LayName.LENGTHWISE_FOLD])
def test_a_piece_moved_off_the_repeat_is_found(kind: str, lay: LayName) -> None:
    assert codes(cloth(kind), sleeves(kind), laid_by_hand(kind, NONE, lay)) & PRINT_CODES == set()
    for off_mm in (35.0, 30.0, 2.0):
        assert "match" in codes(cloth(kind), sleeves(kind), laid_by_hand(kind, NONE, lay, off_mm))


def test_a_hem_off_its_selvedge_is_found() -> None:
    marker = laid_by_hand("lower border", NONE, LayName.OPEN, off_mm=3.0)
    assert "border" in codes(cloth("lower border"), sleeves("lower border"), marker)


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
    [(2, "1 1/4 in", 2.5), (2, "4 1/4 in", 8.5), (3, "6 in", 18.0)],
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


@given(orders())
@settings(max_examples=25, deadline=None)
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
