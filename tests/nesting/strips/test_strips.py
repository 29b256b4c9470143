"""Strips along or across the cloth: the joins that the planner chooses, and what an order fixes."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric
from nesting.fabric.plans import FabricPlan, FewerJoins
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.drawing.joins import joins_told
from nesting.output.files.data import fabric_data
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.rules.parts import draft_cloth, draft_order
from nesting.solver.stop import Rounds
from nesting.strips.cuttings import cuttings_for, usual_cutting
from nesting.strips.open_strips import Sums
from nesting.studies.yields import how_many
from nesting.verify.judge import verify
from pieces.drafting.spec import Cutting
from pieces.drafting.strips import strips_for
from pieces.errors import OrderFault
from pieces.piece import GrainRule, Piece, Strip
from pieces.units import Unit
from tests.examples import examples, some

FRILL = 'draft = "tier"\nat_waist = true\nfullness = 5\ndepth = 17\n'
"""For a waist of 60 cm: 3 m long, and 20 cm deep as cut."""


EASY = FRILL.replace("fullness = 5", "fullness = 4.9")
"""2.94 m long: seven strips of 44 cm fill 1.4 m, which nobody need prove at length."""


def order(*parts: str, width: str = "150", quantity: int = 1, cloth: str = "") -> Order:
    tables = "".join(f'[[garment.part]]\nfabric = "tulle"\n{part}' for part in parts)
    return order_from_text(
        f"""
units = "cm"
seam_allowance = 1
hem_allowance = 2
[fabric.tulle]
width = {width}
{cloth or 'lays = ["open"]'}
[[garment]]
name = "Ada"
quantity = {quantity}
body = {{ waist = 60, height = 110 }}
{tables}
""",
        "o.toml",
    )


def planned(asked: Order, rounds: int = 1) -> FabricPlan:
    (entry,) = plan(asked, Rounds(rounds), jobs=1).fabrics
    assert verify(entry.fabric, entry.pieces, entry.marker) == ()
    return entry


def cut(entry: FabricPlan) -> list[int]:
    return [piece.cut for piece in entry.pieces]


@pytest.mark.parametrize(
    ("more", "strips", "length_mm"),
    some(
        [
            # Seven strips of 300 / 7 + 2 cm along the cloth, side by side: 7 x 20 = 140 cm.
            ("", 7, 3000 / 7 + 20),
            ('grain = "crosswise"\n', 7, 3000 / 7 + 20),
            # Two of 138 cm between their joins are 24 cm short: three, one behind the other.
            ("more_joins = false\n", 3, 600),
            # So much needs three rows too; in one it would be 3.02 m long.
            ('grain = "lengthwise"\n', 3, 600),
            # Three side by side, no more than across.
            ('grain = "crosswise"\nmore_joins = false\n', 3, 1020),
            ("joins = 0\n", 1, 3020),
            ("joins = 3\n", 4, 770),
            ("strip_length = 60\n", 6, 520),
        ]
    ),
)
def test_a_frill_of_three_metres(more: str, strips: int, length_mm: float) -> None:
    entry = planned(order(FRILL + more, width="140"))
    assert cut(entry) == [strips]
    assert entry.joins == strips - 1
    assert entry.marker.length_mm == pytest.approx(length_mm)
    assert {lay.joins for lay in entry.lays_compared} == {strips - 1}


def test_the_counter_decides_and_then_the_joins() -> None:
    """Three frills of 2.40 m buy 1.5 m in three strips each and in two: the fewer joins."""
    frill = FRILL.replace("fullness = 5", "fullness = 4") + "more_joins = false\n"
    by_hand = planned(
        order(*[frill + "joins = 2\n"] * 3, cloth='sold_by = "50 cm"\nlays = ["open"]')
    )
    entry = planned(order(*[frill] * 3, cloth='sold_by = "50 cm"\nlays = ["open"]'))
    assert entry.joins == 3 < by_hand.joins
    assert entry.purchase.length_mm <= by_hand.purchase.length_mm == 1500


@pytest.mark.parametrize(("step", "bought_mm", "joins"), [("1 m", 1000, 2), ("50 cm", 500, 6)])
def test_more_joins_only_where_they_save_a_step(step: str, bought_mm: float, joins: int) -> None:
    """A frill takes 60 cm with two joins and 44 with six: all the same where metres are sold."""
    entry = planned(order(EASY, width="140", cloth=f'sold_by = "{step}"\nlays = ["open"]'))
    assert entry.purchase.length_mm == bought_mm
    assert entry.joins == joins


def test_the_plan_tells_what_more_joins_save() -> None:
    entry = planned(order(EASY, width="140", cloth='sold_by = "10 cm"\nlays = ["open"]'))
    assert entry.fewer_joins == FewerJoins(fewer=4, purchase_mm=600)
    assert joins_told(entry, Unit.CM) == [
        "tulle tier 1 (Ada): 7 strips, 6 joins, 294 cm when joined",
        "4 more than the width asks for, which save 10 cm: "
        "the best layout tried without them buys 0.60 m",
    ]
    assert fabric_data(entry, {})["fewer_joins"] == {"fewer": 4, "purchase_mm": 600}
    plain = planned(order(FRILL + "more_joins = false\n"))
    assert plain.fewer_joins is None


def test_each_strip_is_cut_in_its_own_way() -> None:
    """4.50 m of 75 cm: two strips of 2.27 m side by side; 4.80 m of 10 cm: four rows across.

    That takes 227 + 4 x 10 cm. Cut from lengths of 2.27 m, the second would be three strips of
    1.62 m, which don't go across; from the width, the first would be four.
    """
    deep = 'draft = "tier"\nat_waist = true\nfullness = 7.5\ndepth = 72\nmore_joins = false\n'
    narrow = 'draft = "tier"\nat_waist = true\nfullness = 8\ndepth = 7\nmore_joins = false\n'
    asked = order(deep, narrow)
    entry = planned(asked)
    assert cut(entry) == [2, 4]
    assert entry.joins == 4
    assert entry.marker.length_mm == pytest.approx(2270 + 4 * 100)
    fabric = asked.fabrics["tulle"]
    sums = Sums(fabric, entry.pieces, fabric.usable_width_mm)
    for along_mm in (1500, 1520, 1620, 2270, 2420, 4520, 4820):
        for evenly in (True, False):
            assert sums.worth(Cutting(1500, along_mm + 0.01, evenly))[0] > 2670


def test_whole_widths_and_a_rest_where_that_takes_less() -> None:
    """Two frills of 2.16 m on 1.5 m: their rests of 70 cm share a width, 4 rows become 3."""
    frill = 'draft = "tier"\nat_waist = true\nfullness = 3.6\ndepth = 37\ngrain = "lengthwise"\n'
    entry = planned(order(frill, frill))
    assert entry.marker.length_mm == pytest.approx(3 * 400)
    assert entry.joins == 2
    whole, rest = entry.pieces[:2]
    assert (whole.name, rest.name) == ("tulle tier 1", "tulle tier 1 last strip")
    assert (whole.cut, rest.cut) == (1, 1)


def test_a_sash_is_joined_evenly() -> None:
    """Its join shows: whole widths and a rest are for what is gathered."""
    sash = 'draft = "sash"\nwidth = 6\n'
    pieces = planned(order(sash, FRILL, width="110")).pieces
    (own,) = (piece for piece in pieces if piece.name == "sash")
    assert own.cut == 2


def test_what_goes_across_in_one_is_not_joined() -> None:
    entry = planned(order(FRILL.replace("fullness = 5", "fullness = 2")))
    assert entry.joins == 0


def test_wider_cloth_is_never_longer_and_needs_fewer_joins() -> None:
    frill = FRILL + "more_joins = false\n"
    asked = order(frill, cloth='lays = ["open", "lengthwise-fold"]')
    (cloth,) = compare(asked, Rounds(1), widths_mm=(1100, 1500, 3100), jobs=1).cloths
    for lay in {one.figures.lay for one in cloth.alternatives}:
        own = [one for one in cloth.alternatives if one.figures.lay is lay]
        lengths = [one.figures.length_mm for one in own]
        assert [one.figures.width_mm for one in own] == [1100, 1500, 3100]
        assert lengths == sorted(lengths, reverse=True)
    whole = [one.figures.joins for one in cloth.alternatives if one.figures.lay == "open"]
    assert whole[-1] < whole[0]
    for one in cloth.alternatives:
        assert verify(one.fabric, one.pieces, one.marker) == ()
        assert one.figures.joins == sum(piece.joins for piece in one.pieces)
        assert one.figures.least_possible_mm <= one.figures.length_mm


@pytest.mark.long
def test_several_alike_take_no_more_than_one_by_itself() -> None:
    one = planned(order(EASY, width="140"))
    three = planned(order(EASY, width="140", quantity=3))
    assert {piece.cut for piece in three.pieces} == set(cut(one)) == {7}
    assert three.marker.length_mm <= 3 * one.marker.length_mm + 0.001


@pytest.mark.parametrize(("nap", "stricter"), [("none", "one-way")])
def test_without_a_nap_no_more_is_bought(nap: str, stricter: str) -> None:
    cloth = 'nap = "{}"\nlays = ["open"]'
    asked = (order(EASY, EASY, width="140", cloth=cloth.format(n)) for n in (nap, stricter))
    free, strict = map(planned, asked)
    assert free.purchase.length_mm <= strict.purchase.length_mm


@pytest.mark.long
def test_cloth_in_hand_is_shared_out_with_the_strips_that_buy_least() -> None:
    """Three rows of 20 cm come out of 60 cm; one strip of 3 m along it would not."""
    cloth = 'lays = ["open"]\nin_hand = ["60 cm"]'
    made = plan(order(FRILL, cloth=cloth), Rounds(1), jobs=1)
    (entry,) = made.fabrics
    assert entry.bolt is not None
    assert made.pieces == entry.pieces
    assert cut(entry) == [3]


def test_strips_fit_a_narrow_remnant() -> None:
    """Panels for cloth of 150 cm find no room on 80; those of half the length do."""
    skirt = 'draft = "gathered skirt"\nfullness = 2\nlength = 30\n'
    cloth = 'lays = ["open"]\nin_hand = [{ length = "70 cm", width = "80 cm", name = "end" }]'
    (entry,) = plan(order(skirt, cloth=cloth), Rounds(1), jobs=1).fabrics
    assert entry.bolt is not None
    assert cut(entry) == [2]


def test_as_many_garments_as_strips_cut_otherwise_give() -> None:
    """Two skirts of 2.16 m, their rests side by side, from 1.2 m; alike panels need 1.6 m."""
    frill = 'draft = "tier"\nat_waist = true\nfullness = 3.6\ndepth = 37\ngrain = "lengthwise"\n'
    asked = order(frill, cloth='lays = ["open"]\nin_hand = ["1.2 m"]')
    assert how_many(asked, ["Ada"], Rounds(1), jobs=1).whole == 2


@pytest.mark.long
def test_same_order_seed_and_rounds_same_joins_and_places() -> None:
    asked = order(FRILL, FRILL.replace("depth = 17", "depth = 11"), width="137")
    assert planned(asked, 2).marker == planned(asked, 2).marker


@pytest.mark.long
def test_plan_has_the_pieces_that_were_chosen() -> None:
    asked = order(FRILL, FRILL)
    made = plan(asked, Rounds(1), jobs=1)
    assert made.pieces == made.fabrics[0].pieces
    assert all(check.ok for check in made.seam_checks)


def test_strips_fit_a_cloth_that_may_only_be_folded() -> None:
    """Gathered skirts hang along the cloth: panels of half its width are cut twice by twice."""
    skirt = 'draft = "gathered skirt"\nfullness = 2\nlength = 30\n'
    entry = planned(order(skirt, cloth='lays = ["lengthwise-fold"]'))
    assert cut(entry) == [2]
    assert entry.marker.length_mm == pytest.approx(330)


def test_each_cloth_of_a_lined_skirt_has_strips_of_its_own() -> None:
    """A lining on narrower cloth has more panels; they make the same length."""
    text = """
    units = "cm"
    [fabric.satin]
    width = 150
    [fabric.lining]
    width = 70
    [[garment]]
    name = "Ada"
    body = { waist = 60, height = 110 }
    part = [{ draft = "gathered skirt", fabric = "satin", lining = "lining" }]
    """
    shell, lining = draft_order(order_from_text(text, "o.toml")).pieces
    assert (shell.cut, lining.cut) == (1, 2)
    assert shell.strip is not None
    assert lining.strip is not None
    assert shell.strip.whole_mm == lining.strip.whole_mm == 1200


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ("joins = 1\nstrip_length = 90\n", "joins"),
        ("joins = -1\n", "joins"),
        ("joins = 1.5\n", "joins"),
        ("joins = 250\n", "joins"),
        ('joins = "two"\n', "joins"),
        ('joins = 1\nstrips = "joined end to end"\n', "joins"),
        ("strip_length = 2\n", "strip_length"),
    ],
)
def test_faults_name_their_key(more: str, key: str) -> None:
    with pytest.raises(OrderFault) as caught:
        planned(order(FRILL + more))
    (fault,) = caught.value.faults
    assert fault.key == f"garment[0].part[0].{key}"
    assert fault.message
    assert fault.remedy


def test_bands_cant_be_both_a_pleated_skirt_and_so_many_joins() -> None:
    with pytest.raises(OrderFault):
        order('draft = "pleated skirt"\njoins = 2\n')


def strip_piece(
    whole_mm: float, count: int, ends_mm: float = 20.0, *, more_joins: bool = True
) -> Piece:
    long_mm = whole_mm / count + ends_mm
    return Piece(
        name="frill",
        fabric="tulle",
        outline=((0, 0), (200, 0), (200, long_mm), (0, long_mm)),
        grain=((0, long_mm / 2), (200, long_mm / 2)),
        cut=count,
        grain_rule=GrainRule.ANY,
        joins=count - 1,
        strip=Strip("frill", whole_mm, ends_mm, "frill", more_joins=more_joins),
    )


@given(
    whole=st.floats(300, 20_000),
    width=st.floats(400, 3200),
    count=st.integers(1, 12),
    more=st.booleans(),
)
@settings(max_examples=examples(50), deadline=None)
def test_two_ways_to_cut_at_most_have_more_joins_than_the_usual_one(
    whole: float, width: float, count: int, more: bool
) -> None:
    fabric = Fabric("tulle", width)
    usual, *others = cuttings_for(fabric, [strip_piece(whole, count, more_joins=more)])
    assert usual == usual_cutting(fabric)
    assert len(others) <= 4
    least = strips_for(whole, usual.along_mm, 20.0)
    counts = []
    for one in others:
        own = one.of("frill")
        strips = strips_for(whole, own.along_mm, 20.0, own.evenly)
        assert max(strips.lengths_mm) <= own.along_mm + 1e-6
        assert strips.whole_mm == pytest.approx(whole)
        if strips.count > least.count:
            counts.append(strips.count)
            assert min(strips.lengths_mm) >= 300
    assert len(counts) <= 2 * more
    assert max(counts, default=0) <= least.count + 4


@given(
    width=st.floats(250, 3000), longer=st.floats(1, 3), evenly=st.booleans(), lined=st.booleans()
)
@settings(max_examples=examples(25), deadline=None)
def test_drafts_meet_however_their_strips_are_cut(
    width: float, longer: float, evenly: bool, lined: bool
) -> None:
    """Joined, they are as long as what they are sewn to asks for."""
    lining = 'lining = "tulle"\n' if lined else ""
    asked = order(
        f'draft = "gathered skirt"\n{lining}',
        'draft = "band"\nfullness = 1.5\n',
        'draft = "underlayer"\n',
        'draft = "casing"\n',
        'draft = "sash"\n',
        FRILL,
        'draft = "tier"\nfullness = 1.5\n',
    )
    drafted = draft_order(asked, {"tulle": Cutting(width, longer * width, evenly)})
    assert all(check.ok for check in drafted.seam_checks)
    given_mm: dict[tuple[str, float], float] = {}
    for piece in drafted.pieces:
        assert piece.strip is not None
        key = piece.strip.name, piece.strip.whole_mm
        own = max(y for _, y in piece.outline) - piece.strip.ends_mm
        given_mm[key] = given_mm.get(key, 0.0) + piece.cut * own
    for (_, whole_mm), found_mm in given_mm.items():
        assert found_mm == pytest.approx(whole_mm)
    assert len({piece.name for piece in drafted.pieces}) == len(drafted.pieces)


@given(whole=st.floats(50, 20_000), strip=st.floats(150, 3000), ends=st.floats(0, 60))
def test_strips_make_the_whole_length(whole: float, strip: float, ends: float) -> None:
    """Dress Making (NIMI, 2024): as many as the length over what a strip yields, rounded up."""
    for evenly in (True, False):
        found = strips_for(whole, strip, ends, evenly)
        assert found.whole_mm == pytest.approx(whole)
        assert max(found.lengths_mm) <= strip + 1e-6 or found.count == 1
        assert (found.count - 1) * (strip - ends) < whole <= found.count * (strip - ends) + 1e-3


def test_the_verifier_misses_a_strip_that_is_too_short() -> None:
    """It measures what lies there, whatever the draft reckoned."""
    entry = planned(order(FRILL + "more_joins = false\n"))
    (piece,) = entry.pieces
    assert piece.strip is not None
    longer = replace(piece, strip=replace(piece.strip, whole_mm=3001.0))
    codes = [one.code for one in verify(entry.fabric, [longer], entry.marker)]
    assert codes == ["strip"]
    no_ends = replace(piece, strip=replace(piece.strip, whole_mm=3059.9, ends_mm=0.0))
    assert verify(entry.fabric, [no_ends], entry.marker) == ()


def test_a_cloth_drafted_by_itself_is_as_in_the_whole_order() -> None:
    asked = order(FRILL)
    usual = usual_cutting(asked.fabrics["tulle"])
    assert draft_cloth(asked, "tulle", usual) == draft_order(asked).pieces
