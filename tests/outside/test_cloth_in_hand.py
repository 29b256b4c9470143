"""Cloth in hand against examples of others: cutting stock, tulle in layers, rounding up once."""

from __future__ import annotations

from collections import Counter

import pytest

from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from nesting.studies.fullness import By, how_full
from nesting.studies.yields import how_many

HEAD = 'units = "{units}"\n[fabric.tulle]\nwidth = {width}\nfaces = "alike"\n{more}\n'


def strips(lengths: list[float], width: float) -> str:
    """Garments of one strip each, as wide as the cloth."""
    return "".join(
        f'[[garment]]\nname = "g{n}"\n[[piece]]\nname = "strip"\nfabric = "tulle"\n'
        f'garment = "g{n}"\noutline = [[0, 0], [{one}, 0], [{one}, {width}], [0, {width}]]\n'
        for n, one in enumerate(lengths)
    )


@pytest.mark.long
@pytest.mark.parametrize(
    ("lengths", "bolt", "least"),
    [
        # Bin packing example of the OR-Tools documentation: 4 bins of 100.
        ([48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30], 100, 4),
        # Cutting stock example of the Python-MIP documentation: 3 bars of 250.
        ([187, 119, 119, 74, 74, 90], 250, 3),
    ],
)
def test_cutting_stock_with_a_published_optimum(
    lengths: list[float], bolt: float, least: int
) -> None:
    for count, enough in ((least, True), (least - 1, False)):
        head = HEAD.format(units="cm", width=150, more=f"in_hand = {[bolt] * count}")
        made = plan(order_from_text(head + strips(lengths, 150), "o.toml"), Rounds(1), jobs=1)
        assert (made.bought == ()) is enough
        cut = Counter(piece.garment for entry in made.fabrics for piece in entry.pieces)
        assert cut == Counter(f"g{n}" for n in range(len(lengths)))


def test_four_layers_of_tulle_take_three_yards_exactly() -> None:
    """A newspaper's craft page of 2013: four layers 27 in. long, 108 in. wide, are 3 yd.

    The page tells its reader to buy more; what is enough is told here.
    """
    layer = '[[piece]]\nname = "layer"\nfabric = "tulle"\noutline = {}\n'.format(
        "[[0, 0], [27, 0], [27, 108], [0, 108]]"
    )
    more = 'in_hand = ["3 yd"]\nsold_by = "1/8 yd"'
    order = order_from_text(HEAD.format(units="in", width=108, more=more) + layer, "o.toml")
    found = how_full(order, "layer", By.LAYERS, Rounds(1), jobs=1)
    assert found.largest is not None
    assert found.largest.value == 4
    assert found.largest.purchase.length_mm == pytest.approx(3 * 914.4)


def test_dresses_are_rounded_up_once_together_and_not_one_by_one() -> None:
    """Three of 0.92 m are 2.76 m: 2.8 m, not 3 m (arithmetic)."""
    more = 'sold_by = "10 cm"\nin_hand = ["2.8 m"]'
    text = HEAD.format(units="cm", width=150, more=more) + strips([92, 92, 92], 150)
    made = plan(order_from_text(text, "o.toml"), Rounds(1), jobs=1)
    assert [entry.bolt is None for entry in made.fabrics] == [False]
    text = text.replace('in_hand = ["2.8 m"]', "")
    (entry,) = plan(order_from_text(text, "o.toml"), Rounds(1), jobs=1).fabrics
    assert entry.purchase.length_mm == 2800


def test_a_bolt_gives_as_many_strips_as_its_length_holds() -> None:
    """*Dress Making* (NIMI, 2024), p. 212: strips of a frill cut 15 cm deep; five take 75 cm."""
    for length, count in ((75, 5), (74, 4)):
        head = HEAD.format(units="cm", width=110, more=f"in_hand = [{length}]")
        order = order_from_text(head + strips([15], 110), "o.toml")
        found = how_many(order, ["g0"], Rounds(1), jobs=1)
        assert found.whole == count
        (bolt,) = found.bolts
        assert bolt.short_mm == pytest.approx((count + 1) * 150 - 10 * length, abs=0.01)
        (entry,) = found.plan.fabrics
        assert len(entry.marker.placements) == count
