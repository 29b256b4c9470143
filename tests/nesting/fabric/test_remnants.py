"""What is left of the cloth, against rectangles reckoned by hand and random markers."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.lay import allowed_lays, lay_of, lay_under
from nesting.fabric.marker import OPENED_OUT, Marker, Placement
from nesting.fabric.plans import Remnant
from nesting.fabric.remnants import largest_whole_mm2, remnants
from nesting.fabric.unfold import opened
from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.piece import Outline, Piece
from tests.examples import examples
from tests.nesting.verify.hand_made import placed

LAWN = Fabric("lawn", 1000.0)
OPEN = lay_of(LAWN, LayName.OPEN)


def block(left: float, low: float, long: float, wide: float) -> Placement:
    outline: Outline = ((0, 0), (long, 0), (long, wide), (0, wide))
    return placed(Piece("block", "lawn", outline, ((0, 0), (1, 0))), outline, (left, low))


def left_over(placements: list[Placement], used_mm: float, bought_mm: float) -> list[Remnant]:
    marker = Marker("lawn", LayName.OPEN, used_mm, tuple(placements))
    return list(remnants(marker, OPEN, LAWN, bought_mm))


def test_a_corner_left_free_is_found_to_the_millimetre() -> None:
    found = left_over([block(0, 0, 1003, 505), block(0, 505, 333, 495)], 1003, 1200)
    assert found == [
        Remnant(333.0, 505.0, 867.0, 495.0, 1),
        Remnant(1003.0, 0.0, 197.0, 505.0, 1),
    ]


def test_scraps_are_no_remnants() -> None:
    assert left_over([block(0, 0, 1000, 951)], 1000, 1000) == []
    assert left_over([block(0, 0, 1000, 950)], 1000, 1000) != []
    assert left_over([block(0, 0, 200, 910), block(199, 900, 801, 100)], 1000, 1000) != []
    assert left_over([block(0, 0, 1000, 1000)], 1000, 1049) == []


def test_a_scrap_with_more_cloth_in_it_hides_no_remnant() -> None:
    """Along the selvedge 4 cm by 520 cm are left, which is more than 20 by 100 cm at the end."""
    assert left_over([block(0, 0, 5000, 960)], 5000, 5200) == [
        Remnant(5000.0, 0.0, 200.0, 1000.0, 1)
    ]


def cut_as(*corners: tuple[float, float]) -> Placement:
    return placed(Piece("piece", "lawn", corners, ((0, 0), (1, 0))), corners, (0, 0))


def test_what_a_piece_reaches_round_is_left() -> None:
    bay = (700, 1000), (700, 300), (300, 300), (300, 1000)
    shape = cut_as((0, 0), (1000, 0), (1000, 1000), *bay, (0, 1000))
    assert left_over([shape], 1000, 1000) == [Remnant(300.0, 300.0, 400.0, 700.0, 1)]


def test_a_piece_as_long_as_a_bolt_is_looked_at_row_by_row() -> None:
    """Cell by cell it would take as long as the search."""
    shape = cut_as((0, 0), (100_000, 0), (100_000, 970), (0, 960))
    begun = time.process_time()
    assert left_over([shape], 100_000, 100_200)[0] == Remnant(100_000.0, 0.0, 200.0, 1000.0, 1)
    assert time.process_time() - begun < 1.5


def test_shrinkage_and_squared_ends_leave_less() -> None:
    cloth = Fabric("lawn", 1000.0, shrinkage_length=0.1, end_allowance_mm=100.0)
    marker = Marker("lawn", LayName.OPEN, 400.0, (block(0, 0, 400, 1000),))
    (only,) = remnants(marker, lay_of(cloth, LayName.OPEN), cloth, 1100.0)
    assert only.x_mm + only.length_mm == pytest.approx(900.0)


@pytest.mark.parametrize(
    ("lay", "layers", "lengths", "widths"),
    [
        (LayName.LENGTHWISE_FOLD, [2], 1, [500]),
        (LayName.CROSSWISE_FOLD, [2], 2, [1000]),
        (LayName.DOUBLE_FOLD, [2, 2], 1, [250, 250]),
        (LayName.PARTIAL_FOLD, [1, 2], 1, [400, 300]),
        (LayName.QUARTER_FOLD, [4], 2, [500]),
    ],
)
def test_the_end_of_each_lay_is_left_in_its_layers(
    lay: LayName, layers: list[int], lengths: int, widths: list[int]
) -> None:
    """20 cm more than used; folded crosswise that is 10 cm on the table."""
    cloth = lay_of(LAWN, lay, 300.0 if lay is LayName.PARTIAL_FOLD else 0.0)
    marker = Marker("lawn", lay, 100.0 * lengths, (), cloth.fold_depth_mm)
    found = remnants(marker, cloth, LAWN, 100.0 * lengths + 200.0)
    assert [one.layers for one in found] == layers
    assert [one.width_mm for one in found] == widths
    assert {one.x_mm + one.length_mm for one in found} == {100.0 + 200.0 / lengths}


@given(
    st.lists(
        st.tuples(st.floats(0, 1500), st.floats(0, 700), st.floats(30, 400), st.floats(30, 300)),
        max_size=12,
    )
)
@settings(max_examples=examples(60), deadline=None)
def test_remnants_are_free_cloth_and_lie_apart(
    blocks: list[tuple[float, float, float, float]],
) -> None:
    placements = [block(*one) for one in blocks]
    cloth = box(0, 0, 2000, 1000)
    found = [
        box(one.x_mm, one.y_mm, one.x_mm + one.length_mm, one.y_mm + one.width_mm)
        for one in left_over(placements, 1900.0, 2000.0)
    ]
    assert found
    for one in found:
        assert one.area >= 20_000
        assert one.difference(cloth).area < 1e-6
        for placement in placements:
            assert one.intersection(Polygon(placement.outline_mm)).area < 1e-3
    for one, other in combinations(found, 2):
        assert one.intersection(other).area < 1e-6


def on(lay: LayName, placement: Placement, used_mm: float, **more: float | None) -> Marker:
    return Marker("lawn", lay, used_mm, (placement,), **more)  # type: ignore[arg-type]


WHOLE = [
    # What is cut out of 2000 by 1000 mm, and by hand the sides of the largest rectangle left.
    (on(LayName.OPEN, block(0, 0, 600, 700), 600), (1400, 1000)),
    # Twice 600 by 200 beside the fold are one hole in the middle of the cloth.
    (on(LayName.LENGTHWISE_FOLD, block(0, 0, 600, 200), 600), (1400, 1000)),
    (on(LayName.LENGTHWISE_FOLD, block(0, 300, 1900, 200), 1900), (2000, 600)),
    # The cut ends come together: the fold lies at 500 of the cloth, the free 1000 past it.
    (on(LayName.CROSSWISE_FOLD, block(300, 0, 200, 1000), 1000), (1300, 1000)),
    # Two pieces at the ends of the folded part, and one sheet between them, across the fold.
    (on(LayName.CROSSWISE_FOLD, block(0, 0, 200, 1000), 2000), (1600, 1000)),
    (on(LayName.QUARTER_FOLD, block(0, 400, 200, 100), 2000), (2000, 800)),
    (on(LayName.QUARTER_FOLD, block(0, 0, 200, 500), 2000), (1600, 1000)),
    # Both selvedges in the middle of the table, so a band's low edge is the cloth's own.
    (on(LayName.DOUBLE_FOLD, block(0, 0, 1800, 50), 1800), (2000, 700)),
    (on(LayName.PARTIAL_FOLD, block(0, 0, 1900, 100), 1900, fold_depth_mm=200.0), (2000, 700)),
    (on(LayName.PARTIAL_FOLD, block(0, 300, 1900, 100), 1900, fold_depth_mm=200.0), (2000, 500)),
]


@pytest.mark.parametrize(("marker", "sides"), WHOLE)
def test_the_largest_whole_remnant_is_that_of_the_cloth_opened_out(
    marker: Marker, sides: tuple[float, float]
) -> None:
    assert largest_whole_mm2(marker, LAWN, 2000.0) == pytest.approx(sides[0] * sides[1], rel=1e-6)


def test_a_section_lies_past_its_fold() -> None:
    """Folded for 400 from a fold across, so 800 of cloth, and opened out for the next 300."""
    piece = replace(block(400, 0, 300, 1000), section=OPENED_OUT)
    marker = on(LayName.CROSSWISE_FOLD, piece, 1100, opened_from_mm=400.0)
    assert largest_whole_mm2(marker, LAWN, 1300.0) == pytest.approx(800_000)
    along = on(LayName.LENGTHWISE_FOLD, piece, 700, opened_from_mm=400.0)
    assert largest_whole_mm2(along, LAWN, 1300.0) == pytest.approx(600_000)


def test_cloth_that_was_cut_apart_is_not_whole() -> None:
    """With a nap a fold across is cut through: 1000 long each, one piece at the end of both."""
    velvet = replace(LAWN, nap=Nap.ONE_WAY)
    marker = on(LayName.CROSSWISE_FOLD, block(0, 0, 200, 1000), 2000)
    assert largest_whole_mm2(marker, velvet, 2000.0) == pytest.approx(800_000)
    assert largest_whole_mm2(marker, LAWN, 2000.0) == pytest.approx(1_600_000)


def test_a_flaw_and_a_scrap_are_not_counted_in() -> None:
    stain = ((1000.0, 0.0), (1010.0, 0.0), (1010.0, 1000.0), (1000.0, 1000.0))
    marker = on(LayName.LENGTHWISE_FOLD, block(0, 0, 600, 500), 600)
    assert largest_whole_mm2(marker, replace(LAWN, flaws=(stain,)), 2000.0) == 990_000
    assert largest_whole_mm2(on(LayName.OPEN, block(0, 0, 600, 960), 600), LAWN, 640.0) == 0


def test_the_same_cuts_leave_the_same_on_every_lay() -> None:
    """Each lay's marker, laid out open as it is cut."""
    text = """
    units = "cm"
    [fabric.lawn]
    width = 112
    selvedge = 1
    faces = "alike"
    [[piece]]
    name = "front"
    fabric = "lawn"
    outline = [[0, 0], [31, 0], [30, 17], [4, 22]]
    cut = 4
    """
    order = order_from_text(text, "four.toml")
    lawn = order.fabrics["lawn"]
    for lay in allowed_lays(lawn):
        (entry,) = plan(order, Rounds(1), jobs=1, lay=lay).fabrics
        cut = [Polygon(one) for _, one in opened(entry.marker, lay_under(entry.marker, lawn))]
        flat = tuple(
            placed(entry.pieces[0], tuple(shape.exterior.coords[:-1]), shape.bounds[:2])
            for shape in cut
        )
        same = Marker("lawn", LayName.OPEN, entry.marker.length_mm, flat)
        whole_mm2 = largest_whole_mm2(same, lawn, 1500.0)
        assert largest_whole_mm2(entry.marker, lawn, 1500.0) == pytest.approx(whole_mm2)
        free_mm2 = lawn.usable_width_mm * 1500.0 - sum(shape.area for shape in cut)
        assert 0.3 * free_mm2 < whole_mm2 < free_mm2


def test_it_is_quick_enough_to_be_asked_of_every_lay() -> None:
    blocks = tuple(block(40.0 * n, 90.0 * (n % 10), 70.0, 80.0) for n in range(100))
    marker = Marker("lawn", LayName.LENGTHWISE_FOLD, 4100.0, blocks)
    largest_whole_mm2(marker, LAWN, 4200.0)
    begun = time.process_time()
    largest_whole_mm2(marker, LAWN, 4200.0)
    assert time.process_time() - begun < 0.5
