"""What must hold between the answers to two orders, whatever the search finds.

The relations of the trade, one test each: the first four over all lays, with the same rounds and
seed on both sides, the others for the sums behind a purchase. Where no source is named they follow
from the words themselves.
"""

from __future__ import annotations

import math
from copy import deepcopy
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.plans import ComparedLay, FabricPlan
from nesting.fabric.purchase import purchase, waste_percent
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.body.measurements import Body
from pieces.drafting.garment import draft_garment
from pieces.drafting.registry import DRAFTS
from pieces.drafting.skirts.flared_skirt import CIRCLES, waist_radius
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.drafting.strips import strips_for
from pieces.errors import CannotFit, OrderFault
from tests.examples import examples
from tests.nesting.order.any_orders import STRIPS_THAT_OPEN_OUT, Table, orders, read

_SLACK_MM = 0.01
"""Rounding to the solver's units, copied a few times."""
sums = settings(deadline=None)
few = settings(max_examples=examples(5), deadline=None, suppress_health_check=list(HealthCheck))


@st.composite
def bought(draw: st.DrawFn, pieces: int = 2, *, flawed: bool = True) -> Table:
    """An order of few pieces with nothing in hand, that can be laid on any lay it likes."""
    tables = draw(orders(most_pieces=pieces))
    cloth = tables["fabric"]["lawn"]
    cloth["in_hand"] = []
    cloth["tilt"] = 0  # pieces are turned off the grain only where less is bought
    cloth["flaws"] = cloth["flaws"] if flawed else []
    return tables


def planned(tables: Table, **cloth: object) -> FabricPlan:
    changed = deepcopy(tables)
    changed["fabric"]["lawn"] |= cloth
    return plan(read(changed), Rounds(1), jobs=1).fabrics[0]


def by_lay(lays: tuple[ComparedLay, ...]) -> dict[LayName, float]:
    return {one.lay: one.length_mm for one in lays}


@pytest.mark.long
@few
@example(tables=STRIPS_THAT_OPEN_OUT)
@given(tables=bought())
def test_with_nap_is_never_shorter_than_without(tables: Table) -> None:
    """A published pair of yardages has 1.85 m with nap and 1.90 m without: a slip of the press.

    Flaws lie otherwise where a crosswise fold is cut and turned for a nap. A partial fold is left
    out where without a nap every piece may lie double.
    """
    try:
        naps = [planned(tables, nap=nap) for nap in (Nap.NONE, Nap.PER_GARMENT, Nap.ONE_WAY)]
    except (CannotFit, OrderFault):
        return
    for freer, stricter in pairwise(naps):
        free_mm = by_lay(freer.lays_compared)
        for lay, length_mm in by_lay(stricter.lays_compared).items():
            if not (lay.folds_across and freer.fabric.flaws):
                least_mm = free_mm.get(lay, min(free_mm.values()))
                assert least_mm <= length_mm + _SLACK_MM, (lay, free_mm, length_mm)
                assert lay in free_mm or lay is LayName.PARTIAL_FOLD
        if LayName.OPEN in free_mm or not freer.fabric.flaws:
            assert freer.purchase.length_mm <= stricter.purchase.length_mm


@few
@given(tables=bought(4))
def test_cutting_on_a_fold_is_never_shorter_than_cutting_open(tables: Table) -> None:
    tables["fabric"]["lawn"].pop("lays", None)
    try:
        found = by_lay(planned(tables).lays_compared)
    except (CannotFit, OrderFault):
        return
    assert found.get(LayName.OPEN, math.inf) <= min(found.values()) + _SLACK_MM or (
        LayName.OPEN not in found
    )


@few
@given(tables=bought(flawed=False), wider=st.integers(20, 400))
def test_wider_cloth_never_needs_more_length(tables: Table, wider: int) -> None:
    """The tables of the trade agree row by row. A print's middle moves with the width."""
    assume("repeat" not in tables["fabric"]["lawn"] and "border" not in tables["fabric"]["lawn"])
    width = tables["fabric"]["lawn"]["width"]
    try:
        order = read(tables)
        (cloth,) = compare(order, Rounds(1), widths_mm=(width, width + wider), jobs=1).cloths
    except (CannotFit, OrderFault):
        return
    lengths = [
        {a.figures.lay: a.figures.length_mm for a in cloth.alternatives if a.fabric.width_mm == w}
        for w in (width, width + wider)
    ]
    for lay, length_mm in lengths[0].items():
        assert lengths[1][lay] <= length_mm + _SLACK_MM, lay


@pytest.mark.long
@few
@given(tables=bought(), count=st.integers(2, 3))
def test_several_dresses_need_no_more_than_so_many_times_one(tables: Table, count: int) -> None:
    """On every lay; motifs along the cloth fall alike in all, a whole repeat from each other.

    Flaws cost no more than the length up to the end of the last, but for a fold across the cloth.
    """
    cloth = tables["fabric"]["lawn"]
    tables.pop("garment", None)
    cloth["edge_gap"] = cloth["gap"]  # a gap between dresses is none at the ends of one
    one = [piece for piece in tables["piece"] if piece["garment"] == tables["piece"][0]["garment"]]
    several = [piece | {"garment": f"dress {n}"} for n in range(count) for piece in one]
    try:
        alone, together = (planned(tables | {"piece": pieces}) for pieces in (one, several))
    except (CannotFit, OrderFault):
        return
    centred = any(piece.get("motif") for piece in one)
    repeat_mm = alone.fabric.washed_repeat.length_mm if centred else 0.0
    found = by_lay(together.lays_compared)
    # One fold across the cloth is one dress's alone.
    singly = {a.figures.lay for a in alone.alternatives if a.marker.on_cross_fold}
    flaws_mm = max((x for flaw in alone.fabric.flaws for x, _ in flaw), default=0.0)
    for lay, length_mm in by_lay(alone.lays_compared).items():
        if lay in singly or (lay.folds_across and flaws_mm):
            continue
        more_mm = (count - 1) * repeat_mm * (2 if lay.folds_across else 1) + flaws_mm
        more_mm += repeat_mm if flaws_mm else 0.0
        assert found[lay] <= count * length_mm + more_mm + _SLACK_MM, lay
    if not centred and not flaws_mm and (LayName.OPEN in found or not singly):
        assert together.purchase.length_mm <= count * alone.purchase.length_mm


eighths = st.integers(1, 400)
EIGHTH_MM = 36 * 25.4 / 8


@sums
@given(eighths=eighths, over_mm=st.floats(0.01, EIGHTH_MM - 0.01), noise=st.floats(-1e-9, 1e-9))
def test_purchases_are_rounded_up_only(eighths: int, over_mm: float, noise: float) -> None:
    """2.72 yd are 2 3/4, 4.08 are 4 1/8 (a costume-making page); exact eighths stay as they are."""
    cotton = Fabric("cotton", 1100, sold_by_mm=EIGHTH_MM)
    exact_mm = eighths * EIGHTH_MM
    assert purchase(cotton, exact_mm * (1 + noise)).length_mm == pytest.approx(exact_mm, abs=1e-6)
    more_mm = purchase(cotton, exact_mm + over_mm).length_mm
    assert more_mm == pytest.approx(exact_mm + EIGHTH_MM, abs=1e-6)


@sums
@given(
    marker_mm=st.integers(100, 9000),
    shrinks=st.sampled_from([0.0, 0.03, 0.05]),
    ends_mm=st.integers(0, 60),
    step_mm=st.sampled_from([50, 100]),
)
def test_cloth_shrinks_before_its_ends_are_squared_and_is_rounded_last(
    marker_mm: int, shrinks: float, ends_mm: int, step_mm: int
) -> None:
    cloth = Fabric(
        "c", 1100, shrinkage_length=shrinks, end_allowance_mm=ends_mm, sold_by_mm=step_mm
    )
    need_mm = marker_mm / (1 - Fraction(str(shrinks))) + ends_mm
    wanted_mm = math.ceil(need_mm / step_mm) * step_mm
    assert purchase(cloth, marker_mm).length_mm == pytest.approx(wanted_mm, abs=1e-6)


@sums
@given(
    width_mm=st.integers(600, 1600),
    selvedge_mm=st.integers(0, 20),
    filled=st.floats(0.2, 0.99),
    length_mm=st.integers(300, 5000),
)
def test_efficiency_counts_the_usable_width_alone(
    width_mm: int, selvedge_mm: int, filled: float, length_mm: int
) -> None:
    """Area over usable width times length; the full width makes it less by the selvedges' share."""
    cloth = Fabric("c", width_mm, selvedge_mm=selvedge_mm)
    wanted_mm2 = filled * (width_mm - 2 * selvedge_mm) * length_mm
    efficiency = 1 - waste_percent(cloth, wanted_mm2, length_mm) / 100
    assert efficiency == pytest.approx(filled)
    by_full_width = wanted_mm2 / (width_mm * length_mm)
    assert by_full_width / efficiency == pytest.approx(1 - 2 * selvedge_mm / width_mm)


@sums
@given(
    waist_mm=st.integers(400, 1200),
    length_mm=st.integers(150, 1100),
    circle=st.sampled_from(sorted(CIRCLES)),
)
def test_a_circle_is_as_long_at_its_waist_and_as_large_as_its_ring(
    waist_mm: int, length_mm: int, circle: str
) -> None:
    """W = 2 pi f r to 0.01 cm; area pi f (R^2 - r^2), to what is lost between points of an arc."""
    share, radius_mm = CIRCLES[circle], waist_radius(waist_mm, CIRCLES[circle])
    assert 2 * math.pi * share * radius_mm == pytest.approx(waist_mm, abs=0.1)
    options = DRAFTS["flared skirt"].options(circle=circle, length=float(length_mm))
    part = PartSpec("flared skirt", options, "cloth", None, 0.0, 0.0, "part[0]")
    draft = draft_garment(GarmentSpec("skirt", Body(waist=float(waist_mm)), (part,), "garment[0]"))
    drawn_mm2 = sum(
        Polygon(piece.sewing_line or piece.outline).area * piece.parts * (2 if piece.on_fold else 1)
        for piece in draft.pieces
    )
    ring_mm2 = math.pi * share * ((radius_mm + length_mm) ** 2 - radius_mm**2)
    assert drawn_mm2 == pytest.approx(ring_mm2, rel=0.01)


@sums
@given(
    pattern_mm=st.integers(500, 12000),
    width_mm=st.integers(300, 1500),
    seam_mm=st.integers(1, 40),
    whole=st.integers(1, 12),
)
def test_frill_strips_are_the_pattern_over_what_a_strip_yields(
    pattern_mm: int, width_mm: int, seam_mm: int, whole: int
) -> None:
    """*Dress Making* (NIMI, 2024) p. 212; where widths just make it, the joins ask for one more."""
    strips = strips_for(pattern_mm, width_mm, seam_mm)
    assert strips.count == math.ceil(Fraction(pattern_mm, width_mm - seam_mm))
    assert strips.count * (width_mm - seam_mm) >= pattern_mm
    assert strips_for(whole * width_mm, width_mm, 0).count == whole
    assert strips_for(whole * width_mm, width_mm, seam_mm).count > whole
