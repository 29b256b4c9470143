"""Cloth in hand shared out over garments: what must hold whatever the search finds."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Bolt, Border, Edge, Fabric, LayName, Repeat
from nesting.fabric.in_hand import cloth_of, holds
from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds, Seconds
from nesting.stock.stock import left_of
from nesting.studies.sharing import share
from nesting.studies.yields import how_many
from nesting.verify.judge import verify
from pieces.body.measurements import Body
from pieces.drafting.printed import bordered
from pieces.drafting.spec import GarmentSpec
from pieces.piece import Mark, Piece
from pieces.units import Unit
from tests.examples import examples, some

GRAIN = ((0.0, 0.0), (10.0, 0.0))
LAWN = Fabric("lawn", 1000.0, sold_by_mm=100.0)


def box(garment: str, name: str, length: float, width: float, cut: int = 1) -> Piece:
    corners = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return Piece(name, "lawn", corners, GRAIN, cut=cut, garment=garment)


def strip(garment: str, length: float) -> Piece:
    """As wide as the cloth: the lay is a matter of lengths alone."""
    return box(garment, "strip", length, 1000.0)


def ell(garment: str) -> Piece:
    """An L of 40 by 100 cm, half as deep over one half of its width."""
    low = ((0.0, 0.0), (400.0, 0.0), (400.0, 500.0), (200.0, 500.0), (200.0, 1000.0), (0.0, 1000.0))
    return Piece("part", "lawn", low, GRAIN, garment=garment)


def order_of(
    pieces: list[Piece], fabric: Fabric, priorities: dict[str, int] | None = None
) -> Order:
    garments = tuple(
        GarmentSpec(name, Body(), (), "garment", priority=rank)
        for name, rank in (priorities or {}).items()
    )
    return Order("test", "test.toml", Unit.CM, {fabric.name: fabric}, garments, tuple(pieces))


def bolts(*lengths: float, width: float = 1000.0) -> tuple[Bolt, ...]:
    return tuple(Bolt(f"bolt {n}", length, width) for n, length in enumerate(lengths, start=1))


def require_sound(order: Order, made: Plan) -> None:
    """Each marker verifies and its bolt holds it; no part is lost or doubled or in two bolts."""
    owners: dict[tuple[str, str], list[str]] = {}
    found: Counter[tuple[str, str, str]] = Counter()
    for entry in made.fabrics:
        assert verify(entry.fabric, entry.pieces, entry.marker) == ()
        for piece in entry.pieces:
            owners.setdefault((piece.fabric, piece.garment or piece.name), []).append(entry.title)
            found[piece.fabric, *piece.key] += 1
        if entry.bolt is not None:
            assert holds(entry.fabric, entry.bolt, entry.marker.length_mm)
            assert entry.fabric == cloth_of(order.fabrics[entry.fabric.name], entry.bolt)
    assert found == Counter((piece.fabric, *piece.key) for piece in made.pieces)
    assert all(len(set(titles)) == 1 for titles in owners.values())
    assert len({entry.title for entry in made.fabrics}) == len(made.fabrics)


def bought_mm(made: Plan) -> float:
    return sum(entry.purchase.length_mm for entry in made.fabrics)


sizes = st.tuples(
    st.integers(5, 30).map(lambda n: 20.0 * n), st.sampled_from([200.0, 330.0, 500.0, 1000.0])
)


@given(
    boxes=st.lists(sizes, min_size=1, max_size=4),
    lengths=st.lists(st.integers(2, 30).map(lambda n: 50.0 * n), min_size=1, max_size=3),
    twice=st.booleans(),
)
@settings(max_examples=examples(6), deadline=None, suppress_health_check=list(HealthCheck))
def test_nothing_is_lost_and_no_more_bought_than_without_bolts(
    boxes: list[tuple[float, float]], lengths: list[float], twice: bool
) -> None:
    pieces = [box(f"g{n}", "part", *size, cut=1 + twice) for n, size in enumerate(boxes)]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(*lengths)))
    made = plan(order, Rounds(3), jobs=1)
    require_sound(order, made)
    without = plan(order_of(pieces, LAWN), Rounds(3), jobs=1)
    assert bought_mm(made) <= bought_mm(without)
    (one_by_one_mm,) = {entry.one_by_one_mm for entry in made.fabrics}
    assert one_by_one_mm is not None
    assert bought_mm(made) <= one_by_one_mm


@given(
    lengths=st.lists(st.integers(2, 14).map(lambda n: 50.0 * n), min_size=1, max_size=5),
    rooms=st.lists(st.integers(2, 30).map(lambda n: 50.0 * n), min_size=1, max_size=2),
)
@settings(max_examples=examples(10), deadline=None, suppress_health_check=list(HealthCheck))
def test_strips_as_wide_as_the_cloth_are_shared_out_as_well_as_can_be(
    lengths: list[float], rooms: list[float]
) -> None:
    """In one dimension the least to buy follows from the sums that each bolt can hold."""
    reachable = {(0.0,) * (len(rooms) + 1)}
    for length in lengths:
        reachable = {
            (*used[:place], used[place] + length, *used[place + 1 :])
            for used in reachable
            for place in range(len(rooms) + 1)
            if place == len(rooms) or used[place] + length <= rooms[place]
        }
    least = min(used[-1] for used in reachable)
    pieces = [strip(f"g{n}", length) for n, length in enumerate(lengths)]
    fabric = replace(LAWN, in_hand=bolts(*rooms), sold_by_mm=0.0)
    made = plan(order_of(pieces, fabric), Rounds(2), jobs=1)
    require_sound(order_of(pieces, fabric), made)
    assert bought_mm(made) == pytest.approx(least, abs=1.0)


def test_what_one_by_one_would_take_is_told_even_where_there_is_no_time_for_more() -> None:
    """Two L shapes take 40 cm each and 60 cm together: the second one would be bought."""
    pieces = [ell("Ada"), ell("Ines")]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(620)))
    for stop, bought in ((Seconds(1e-6), 400.0), (Rounds(30), 0.0)):
        made = plan(order, stop, jobs=1)
        require_sound(order, made)
        assert {entry.one_by_one_mm for entry in made.fabrics} == {400.0}
        assert bought_mm(made) == bought


def test_garments_of_higher_priority_come_out_of_what_is_in_hand() -> None:
    pieces = [strip("Ada", 600), strip("Ines", 600), strip("Maren", 600)]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(700)), {"Ada": 2, "Ines": 1, "Maren": 3})
    found = share(order, Rounds(2), jobs=1)
    assert found.whole == ("Ines",)
    assert found.enough[0].missing == ("Ada", "Maren")


def test_what_is_enough_is_said_to_be_and_a_bolt_not_used_stays_whole() -> None:
    order = order_of([strip("Ada", 600)], replace(LAWN, in_hand=bolts(2000, 650)))
    (answer,) = share(order, Rounds(2), jobs=1).enough
    assert answer.bought is None
    assert [bolt.name for bolt in answer.unused] == ["bolt 1"]


def test_two_garments_share_a_bolt_that_is_too_short_for_one_behind_the_other() -> None:
    """Two L shapes that close to a rectangle of 60 by 100 cm; by themselves each takes 40 cm."""
    pieces = [ell("Ada"), ell("Ines")]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(620)))
    made = plan(order, Rounds(30), jobs=1)
    require_sound(order, made)
    assert bought_mm(made) == 0


def test_a_flaw_in_a_bolt_is_cut_round() -> None:
    flaw = ((250.0, 0.0), (300.0, 0.0), (300.0, 1000.0), (250.0, 1000.0))
    pieces = [strip("Ada", 400), strip("Ines", 200)]
    whole = Bolt("whole", 600, 1000)
    for bolt, left in ((whole, 0.0), (replace(whole, flaws=(flaw,)), 400.0)):
        order = order_of(pieces, replace(LAWN, in_hand=(bolt,)))
        made = plan(order, Rounds(3), jobs=1)
        require_sound(order, made)
        assert bought_mm(made) == left


def test_sets_left_over_that_a_flaw_keeps_off_the_only_lay_are_not_bought() -> None:
    """What is bought lies on a crosswise fold, its flaw in the near half of two strips or more.

    The bolt would hold three of four; of the one then left nobody knows where the flaw lies.
    """
    fabric = replace(
        LAWN,
        lays=(LayName.CROSSWISE_FOLD,),
        flaws=(((0.0, 0.0), (400.0, 0.0), (400.0, 10.0), (0.0, 10.0)),),
        in_hand=bolts(1800),
    )
    order = order_of([box(name, "strip", 300, 1000, cut=2) for name in "ABCD"], fabric)
    require_sound(order, plan(order, Rounds(1), jobs=1))


def test_a_bolt_shrinks_unless_it_is_washed_and_its_ends_are_squared() -> None:
    cloth = replace(LAWN, shrinkage_length=0.1, end_allowance_mm=20.0)
    for bolt, enough in (
        (Bolt("new", 1020, 1000), True),
        (Bolt("new", 1019, 1000), False),
        (Bolt("old", 920, 1000, washed=True), True),
        (Bolt("old", 919, 1000, washed=True), False),
    ):
        order = order_of([strip("Ada", 900)], replace(cloth, in_hand=(bolt,)))
        made = plan(order, Rounds(2), jobs=1)
        assert (bought_mm(made) == 0) is enough, bolt


@pytest.mark.long
def test_a_bolt_has_a_repeat_to_spare_before_its_first_motif() -> None:
    """As what is bought has: it may have been cut off anywhere in its print."""
    hem = Mark("hem", (0.0, 0.0), across=False)
    piece = replace(strip("Ada", 900), marks=(hem,), motif=("hem",))
    for length_mm, enough in ((1199.0, False), (1200.0, True)):
        cloth = replace(LAWN, repeat=Repeat(length_mm=300.0), in_hand=bolts(length_mm))
        made = plan(order_of([piece], cloth), Rounds(1), jobs=1)
        assert (bought_mm(made) == 0) is enough
    (entry,) = made.fabrics
    assert left_of(entry) == ()
    short = replace(strip("Ada", 300), marks=(hem,), motif=("hem",))
    cloth = replace(LAWN, repeat=Repeat(length_mm=300.0), in_hand=bolts(1500.0))
    assert how_many(order_of([short], cloth, {"Ada": 1}), ["Ada"], Rounds(1), jobs=1).whole == 4


def test_a_piece_cut_out_between_the_selvedges_has_no_border_to_lay_a_hem_on() -> None:
    cloth = replace(LAWN, selvedge_mm=10.0, border=Border(Edge.LOWER, 100.0))
    hemmed = bordered(box("Ada", "panel", 400, 300))
    for bolt, enough in (
        (Bolt("whole", 500, 1000), True),
        (Bolt("trimmed", 500, 900, selvedge_mm=0.0), False),
    ):
        made = plan(order_of([hemmed], replace(cloth, in_hand=(bolt,))), Rounds(1), jobs=1)
        assert (bought_mm(made) == 0) is enough


def test_a_print_is_matched_on_every_bolt_and_has_shrunk_on_one_that_is_washed() -> None:
    text = """
    units = "cm"
    [fabric.lawn]
    width = 110
    shrinkage = { length = 10, width = 10 }
    repeat = { length = 20, width = 10 }
    in_hand = [100, { length = 90, washed = true }]
    """ + "".join(
        f"""
    [[garment]]
    name = "g{n}"
    size = "4 years"
    [[garment.part]]
    draft = "gathered skirt"
    fabric = "lawn"
    length = 25
    strip_length = 80
    match = ["hem"]
    """
        for n in range(3)
    )
    order = order_from_text(text, "order.toml")
    new, washed = (cloth_of(order.fabrics["lawn"], b) for b in order.fabrics["lawn"].in_hand)
    assert new.washed_repeat.length_mm == washed.washed_repeat.length_mm == 180.0
    assert new.usable_width_mm == washed.usable_width_mm
    made = plan(order, Rounds(2), jobs=1)
    require_sound(order, made)
    assert any(entry.bolt is not None for entry in made.fabrics)


@pytest.mark.parametrize(
    "lay", some([LayName.LENGTHWISE_FOLD, LayName.CROSSWISE_FOLD, LayName.OPEN])
)
def test_bolts_are_laid_as_the_order_says(lay: LayName) -> None:
    fabric = replace(LAWN, in_hand=bolts(800), lays=(lay,))
    pieces = [box(name, "part", 300, 480, cut=2) for name in ("Ada", "Ines", "Maren")]
    order = order_of(pieces, fabric)
    made = plan(order, Rounds(3), jobs=1)
    require_sound(order, made)
    assert {entry.marker.lay for entry in made.fabrics} == {lay}


@pytest.mark.long
def test_a_plan_and_a_sharing_use_the_same() -> None:
    pieces = [box(f"g{n}", "part", 130.0 * n, 470.0, cut=2) for n in range(1, 5)]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(700, 400)))
    assert plan(order, Rounds(3), jobs=1).fabrics == share(order, Rounds(3), jobs=1).plan.fabrics


@pytest.mark.long
def test_the_same_rounds_give_the_same_sharing() -> None:
    pieces = [box(f"g{n}", "part", 130.0 * n, 470.0, cut=2) for n in range(1, 5)]
    order = order_of(pieces, replace(LAWN, in_hand=bolts(700, 400)))
    one, other = (plan(order, Rounds(3), jobs=jobs) for jobs in (1, 2))
    assert one.fabrics == other.fabrics


def test_priority_is_its_place_in_the_order_unless_it_is_given() -> None:
    text = """
    units = "cm"
    [fabric.lawn]
    width = 100
    in_hand = [{ length = "1 m", name = "end", washed = true, width = 90, selvedge = 0 }, 50]
    [[garment]]
    name = "Ada"
    [[garment]]
    name = "Ines"
    quantity = 2
    priority = 1
    [[piece]]
    name = "p"
    fabric = "lawn"
    garment = "Ada"
    outline = [[0, 0], [20, 0], [20, 20]]
    [[piece]]
    name = "q"
    fabric = "lawn"
    garment = "Ines"
    outline = [[0, 0], [20, 0], [20, 20]]
    """
    order = order_from_text(text, "order.toml")
    assert [(g.name, g.priority) for g in order.garments] == [
        ("Ada", 1),
        ("Ines 1 of 2", 1),
        ("Ines 2 of 2", 1),
    ]
    assert order.fabrics["lawn"].in_hand == (
        Bolt("end", 1000.0, 900.0, washed=True, selvedge_mm=0.0),
        Bolt("bolt 2", 500.0, 1000.0),
    )
