"""How full, how many, and the ways out where cloth is short."""

from __future__ import annotations

import pytest

from nesting.fabric.purchase import purchase
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.report.yields import yields_report
from nesting.solver.stop import Rounds
from nesting.studies.enough import Laid, WhatIf
from nesting.studies.fullness import CIRCLES, By, how_full
from nesting.studies.sharing import share
from nesting.studies.yields import how_many
from pieces.errors import OrderFault

ORDER = """
name = "summer frock"
units = "cm"
[fabric.lawn]
width = 112
sold_by = "10 cm"
{more}
[fabric.net]
width = 150
[[garment]]
name = "Ines"
size = "4 years"
[[garment.part]]
draft = "{draft}"
fabric = "lawn"
length = 30
{measures}
"""


def frock(more: str, draft: str = "gathered skirt", measures: str = "") -> Order:
    return order_from_text(ORDER.format(more=more, draft=draft, measures=measures), "frock.toml")


def test_the_largest_fullness_is_enough_and_the_next_is_not() -> None:
    order = frock('in_hand = ["60 cm"]')
    found = how_full(order, "gathered skirt", By.FULLNESS, Rounds(1), jobs=1)
    assert found.largest is not None
    values = [step.value for step in found.steps]
    assert values == sorted(values)
    for step in found.steps:
        assert step.enough == (step.value <= found.largest.value)
        assert not step.enough or step.length_mm <= 600.01
    above = values[values.index(found.largest.value) + 1]
    assert above - found.largest.value == pytest.approx(0.05)


def test_less_fullness_takes_no_more_as_it_may_be_cut_from_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whatever the search came to: here each fuller skirt was laid out shorter than the last."""
    lengths_mm = iter(range(900, 500, -10))

    def laid(table: WhatIf, order: Order, share: float | None = None) -> Laid:
        length_mm = float(next(lengths_mm))
        return Laid((), (), purchase(order.fabrics["lawn"], length_mm), length_mm)

    monkeypatch.setattr(WhatIf, "laid", laid)
    found = how_full(frock(""), "gathered skirt", By.FULLNESS, Rounds(1), jobs=1)
    taken = [step.length_mm for step in found.steps]
    assert len(taken) > 3
    assert taken == sorted(taken)
    assert all(step.purchase.length_mm >= step.length_mm for step in found.steps)


@pytest.mark.long
def test_the_largest_length_is_found_to_a_centimetre() -> None:
    order = frock('in_hand = ["80 cm"]')
    found = how_full(order, "gathered skirt", By.LENGTH, Rounds(1), jobs=1)
    assert found.largest is not None
    # Two panels of skirt length, seam and hem allowance, one above the other or side by side.
    assert 250 <= found.largest.value <= 420


@pytest.mark.long
def test_a_flared_skirt_is_fuller_by_its_circle() -> None:
    found = how_full(frock("", "flared skirt"), "flared skirt", By.FULLNESS, Rounds(1), jobs=1)
    assert [step.said for step in found.steps] == [f"{name} circle" for name in CIRCLES]
    assert found.largest is None
    quarter, half, three_quarters, full = (step.length_mm for step in found.steps)
    # The halves of a full circle lie closer than those of three quarters, so it may take less.
    assert quarter < half < min(three_quarters, full)


@pytest.mark.parametrize(
    ("part", "by", "word"),
    [
        ("gathered skrit", By.FULLNESS, "gathered skirt"),
        ("gathered skirt", By.LAYERS, "drafted"),
        ("gathered skirt", By.LENGTH, ""),
    ],
)
def test_a_part_or_measure_that_is_not_there_is_told(part: str, by: By, word: str) -> None:
    text = ORDER.format(more="", draft="gathered skirt", measures="").replace("length = 30", "")
    with pytest.raises(OrderFault) as caught:
        how_full(order_from_text(text, "frock.toml"), part, by, Rounds(1), jobs=1)
    assert word in str(caught.value)


def test_where_cloth_is_short_less_fullness_or_narrower_seams_are_offered() -> None:
    order = frock('in_hand = ["60 cm"]', measures="fullness = 3")
    (answer,) = share(order, Rounds(2), jobs=1).enough
    assert answer.bought is not None
    assert answer.missing == ("Ines",)
    assert answer.ways_out
    for way in answer.ways_out:
        less = way.bought is None or way.bought.length_mm < answer.bought.purchase.length_mm
        assert less
    assert any("fullness" in way.what for way in answer.ways_out)


def test_what_other_lays_would_spare_is_offered() -> None:
    """Two squares lie side by side on open cloth and one behind the other on the fold."""
    text = """
    units = "cm"
    [fabric.lawn]
    width = 100
    lays = ["lengthwise-fold"]
    in_hand = [45]
    [[piece]]
    name = "patch"
    fabric = "lawn"
    outline = [[0, 0], [45, 0], [45, 30], [0, 26]]
    cut = 2
    """
    (answer,) = share(order_from_text(text, "o.toml"), Rounds(2), jobs=1).enough
    assert answer.bought is not None
    assert [way.what for way in answer.ways_out] == ["lay the cloth otherwise"]
    assert answer.ways_out[0].bought is None


def test_garments_asked_for_in_turn_are_counted_in_turn() -> None:
    order = frock('in_hand = ["2 m", "50 cm"]')
    found = how_many(order, ["Ines"], Rounds(2), jobs=1)
    assert found.whole == sum(len(bolt.garments) for bolt in found.bolts)
    assert {entry.bolt for entry in found.plan.fabrics} <= {bolt.bolt for bolt in found.bolts}
    with pytest.raises(OrderFault, match="Ines"):
        how_many(order, ["Inez"], Rounds(1), jobs=1)
    with pytest.raises(OrderFault, match="in_hand"):
        how_many(frock(""), ["Ines"], Rounds(1), jobs=1)


def in_turn(cloths: str, *cut_from: tuple[str, str]) -> Order:
    """Patches of 30 by 20 cm, each of a garment and a cloth."""
    pieces = "".join(
        f"""
    [[piece]]
    name = "{fabric} patch"
    garment = "{garment}"
    fabric = "{fabric}"
    outline = [[0, 0], [30, 0], [30, 20], [0, 20]]
    """
        for garment, fabric in cut_from
    )
    return order_from_text(f'units = "cm"\n{cloths}\n{pieces}', "o.toml")


@pytest.mark.long
def test_a_garment_that_takes_nothing_of_a_cloth_has_its_turn_there_all_the_same() -> None:
    """Six patches come out of the lawn, three for each; six out of the net, all for Bea."""
    cloths = """
    [fabric.lawn]
    width = 50
    in_hand = [100]
    [fabric.net]
    width = 50
    in_hand = [100]
    """
    order = in_turn(cloths, ("Ada", "lawn"), ("Bea", "lawn"), ("Bea", "net"))
    found = how_many(order, ["Ada", "Bea"], Rounds(1), jobs=1)
    assert found.by_cloth == {"lawn": 6, "net": 13}
    assert [bolt.garments for bolt in found.bolts] == [("Ada", "Bea") * 3, ("Bea",) * 6]
    assert [len(entry.marker.placements) for entry in found.plan.fabrics] == [6, 6]


def test_where_one_more_would_fold_a_flaw_under_it_no_length_is_told() -> None:
    """One pair ends before the flaw's own half of the cloth begins; of two nobody can tell."""
    cloths = """
    [fabric.lawn]
    width = 20
    lays = ["crosswise-fold"]
    in_hand = [{ length = 300, flaws = [{ from = 150, to = 152, across = [0, 10] }] }]
    """
    found = how_many(in_turn(cloths, ("Ada", "lawn")), ["Ada"], Rounds(1), jobs=1)
    assert found.whole == 1
    assert found.bolts[0].short_mm is None
    assert "finds no room on it" in " ".join(yields_report(found).split())


def test_a_bolt_shorter_than_its_ends_to_square_is_short_by_those_too() -> None:
    cloths = """
    [fabric.lawn]
    width = 20
    end_allowance = 50
    in_hand = [40]
    """
    found = how_many(in_turn(cloths, ("Ada", "lawn")), ["Ada"], Rounds(1), jobs=1)
    assert found.bolts[0].short_mm == pytest.approx(400.0)
