"""What is left of the cloth, against rectangles reckoned by hand and random markers."""

from __future__ import annotations

import time
from itertools import combinations

import pytest
from hand_made import placed
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from nesting.fabric import Fabric, LayName
from nesting.lay import lay_of
from nesting.marker import Marker, Placement
from nesting.plans import Remnant
from nesting.remnants import remnants
from pieces.piece import Outline, Piece

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
@settings(max_examples=60, deadline=None)
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
