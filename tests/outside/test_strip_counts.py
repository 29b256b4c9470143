"""Strips as the planner cuts them, against worked examples of publications.

NIMI is *Dress Making*, CITS Trade Practical vol. 2, National Instructional Media Institute, 2024.
"""

import pytest

from nesting.fabric.plans import FabricPlan
from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds

IN = 25.4


def planned(width: str, parts: str, waist: str, seam: str = "0", hem: str = "0") -> FabricPlan:
    text = f"""
    units = "cm"
    seam_allowance = {seam}
    hem_allowance = {hem}
    [fabric.cloth]
    width = {width}
    lays = ["open"]
    [[garment]]
    name = "one"
    body = {{ waist = {waist} }}
    {parts}
    """
    (entry,) = plan(order_from_text(text, "strips.toml"), Rounds(1), jobs=1).fabrics
    return entry


def tier(fullness: float, depth: str, *, more: str = "", at_waist: bool = True) -> str:
    return f"""
    [[garment.part]]
    draft = "tier"
    fabric = "cloth"
    at_waist = {str(at_waist).lower()}
    fullness = {fullness}
    depth = {depth}
    {more}
    """


def counts(entry: FabricPlan) -> list[int]:
    return [piece.cut for piece in entry.pieces]


def test_frill_of_five_strips() -> None:
    """NIMI, p. 212: 5.40 m from cloth of 1.10 m, cut 15 cm deep: 5 strips, 75 cm."""
    entry = planned("110", tier(3, "12"), "180", hem="3")
    assert sum(counts(entry)) == 5
    assert entry.joins == 4
    assert entry.marker.length_mm == pytest.approx(750)


def test_frill_of_eight_strips() -> None:
    """NIMI, p. 212, exercise, by the book's method: 9.40 m from 1.19 m, 9.5 cm deep: 76 cm."""
    entry = planned("119", tier(10, "7.5"), "94", hem="2")
    assert sum(counts(entry)) == 8
    assert entry.marker.length_mm == pytest.approx(760)


@pytest.mark.parametrize(("seam", "strips"), [("0", 5), ("1", 6)])
def test_an_exact_number_of_strips_needs_one_more_for_the_joins(seam: str, strips: int) -> None:
    """NIMI, p. 212."""
    entry = planned("110", tier(5, "12", more='grain = "lengthwise"'), "110", seam=seam)
    assert sum(counts(entry)) == strips


def test_doubling_tiers_share_the_rests_of_their_widths() -> None:
    """A forum's child's skirt: tiers of 48, 96 and 192 in. in strips of 6 in., "1.4 yards".

    On 45 in. cloth ten strips, each tier by itself, take 60 in.; joined end to end eight take 48.
    So do strips of 48 in. along the cloth, seven side by side, one, two and four of them.
    """
    tiers = tier(2, '"6 in"') + 2 * tier(2, '"6 in"', at_waist=False)
    entry = planned('"45 in"', tiers, '"24 in"')
    assert entry.marker.length_mm == pytest.approx(48 * IN)
    assert entry.joins == 0 + 1 + 3


def test_household_ruffle() -> None:
    """220 in. to cover, three times as full, 23 in. deep, from 54 in.: 13 widths, 8 3/8 yd."""
    more = 'grain = "lengthwise"'
    entry = planned('"54 in"', tier(11, '"20 in"', more=more), '"60 in"', hem='"3 in"')
    assert sum(counts(entry)) == 13
    assert entry.marker.length_mm == pytest.approx(299 * IN)
    assert "8 3/8 yd" in entry.purchase.text


def test_household_ruffle_with_its_last_strip_along_the_cloth() -> None:
    """The same where the grain may go either way: twelve widths, and 12 in. turned: geometry."""
    entry = planned('"54 in"', tier(11, '"20 in"'), '"60 in"', hem='"3 in"')
    assert entry.marker.length_mm == pytest.approx((12 * 23 + 12) * IN)


def test_widths_of_a_curtain() -> None:
    """A furnishing glossary: 300 cm to cover from 135 cm cloth, 3 m long: 3 widths, 9 m."""
    entry = planned("135", tier(2, "300", more='grain = "lengthwise"'), "150")
    assert sum(counts(entry)) == 3
    assert entry.marker.length_mm == pytest.approx(9000)


def test_four_layers_of_tulle_as_wide_as_it_is() -> None:
    """A newspaper's craft page: 108 in. of tulle, four layers of 27 in.: 3 yd, no joins."""
    entry = planned('"108 in"', 4 * tier(2, '"27 in"'), '"54 in"')
    assert entry.joins == 0
    assert entry.marker.length_mm == pytest.approx(108 * IN)
    assert "(3 yd)" in entry.purchase.text


def test_straight_panels() -> None:
    """A costume site: two panels of 49 in. on 45 in. cloth: 98 in., 2 3/4 yd."""
    skirt = """
    [[garment.part]]
    draft = "gathered skirt"
    fabric = "cloth"
    fullness = 2
    length = "49 in"
    """
    entry = planned('"45 in"', skirt, '"45 in"')
    assert counts(entry) == [2]
    assert entry.marker.length_mm == pytest.approx(98 * IN)
    assert "2 3/4 yd" in entry.purchase.text
