"""Folds that end in an opened-out section, planned: where they must be shorter, and why not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Fabric, LayName, Nap, Repeat
from nesting.fabric.lay import lay_of
from nesting.fabric.marker import OPENED_OUT
from nesting.fabric.plans import FabricPlan
from nesting.output.drawing.cloth import drawn_flaws, flaws_in
from nesting.packing.convert import Packing
from nesting.packing.sections import opened_in, opened_strips, parted
from nesting.planning.planner import plan
from nesting.rules.rules import cuts_for
from nesting.search.clock import Clock
from nesting.search.lay_result import LayResult
from nesting.search.problem import FabricProblem
from nesting.search.problem_builder import problem_for
from nesting.search.session import Session
from nesting.search.warm_start.replicated_marker import repeated
from nesting.solver.stop import Rounds
from nesting.verify.judge import verify
from pieces.errors import CannotFit, OrderFault
from pieces.geometry import bounds
from pieces.piece import Mark, Outline, Piece
from tests.examples import examples
from tests.nesting.order.any_orders import Table, orders, read
from tests.nesting.planning.test_planner import order_of
from tests.nesting.rules.rules_table import CROSSWISE_FOLD, FOLD, OPENS_OUT
from tests.nesting.verify.hand_made import codes, shifted

GRAIN = ((0.0, 0.0), (10.0, 0.0))


def rectangle(length: float, width: float) -> Outline:
    """Not quite: a corner is off by a millimetre, so that it differs from its mirror image."""
    return ((0, 0), (length, 0), (length, width), (1, width))


def square(length: float, width: float) -> Outline:
    return ((0, 0), (length, 0), (length, width), (0, width))


def piece(name: str, length: float, width: float, **more: object) -> Piece:
    return Piece(name, "lawn", rectangle(length, width), GRAIN, garment="Ada", **more)  # type: ignore[arg-type]


def planned(pieces: list[Piece], fabric: Fabric, lay: LayName) -> FabricPlan:
    (entry,) = plan(order_of(pieces, fabric), Rounds(2), jobs=1, lay=lay).fabrics
    assert verify(replace(fabric, lays=(lay,)), pieces, entry.marker) == ()
    return entry


LAWN = Fabric("lawn", 1000)
BODICE, SLEEVE = piece("bodice", 600, 500, pair=True), piece("sleeve", 450, 500, pair=True)
WRAP = piece("wrap front", 900, 500)
"""Asymmetric, and cut once."""


@pytest.mark.parametrize("nap", Nap)
def test_a_bodice_with_one_asymmetric_front_is_as_short_as_its_area(nap: Nap) -> None:
    """Folded all along 600 + 450 + 900 mm. The bodice folded, the rest fills a section of 900:
    1.5 square metres of cloth, a metre wide."""
    entry = planned([BODICE, SLEEVE, WRAP], replace(LAWN, nap=nap), FOLD)
    assert entry.marker.length_mm == pytest.approx(1500, abs=2.5)
    assert entry.marker.opened_from_mm == pytest.approx(600, abs=2)
    there = {p.piece for p in entry.marker.placements if p.section == OPENED_OUT}
    assert there == {"sleeve", "wrap front"}


def test_two_singles_share_the_width_of_a_crosswise_folds_section() -> None:
    entry = planned([replace(BODICE, cut=2), FLAP, OTHER], LAWN, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 600 + 400, abs=2.5)
    assert entry.table_length_mm == pytest.approx(600 + 400, abs=2.5)


def test_where_nothing_is_spared_the_cloth_stays_folded() -> None:
    entry = planned([BODICE, SLEEVE], LAWN, FOLD)
    assert entry.marker.opened_from_mm is None


def test_a_garment_lies_one_way_in_both_parts() -> None:
    velvet = replace(LAWN, nap=Nap.PER_GARMENT)
    pieces = [BODICE, SLEEVE, WRAP]
    strips = opened_strips(pieces, velvet, lay_of(velvet, FOLD), {WRAP.key: 1}, {"Ada": 1})
    assert strips is not None
    ways = {way for strip in strips for cut in strip.cuts for way, _ in cut.orientations}
    assert ways == {180.0}


def test_a_marker_is_parted_into_its_strips() -> None:
    entry = planned([BODICE, SLEEVE, WRAP], LAWN, FOLD)
    folded, single = parted(entry.marker)
    assert folded.length_mm + single.length_mm == pytest.approx(entry.marker.length_mm)
    assert single.lay is LayName.OPEN
    assert min(x for p in single.placements for x, _ in p.outline_mm) == pytest.approx(0, abs=2)
    assert opened_in(entry.marker, [BODICE, SLEEVE, WRAP]) == {SLEEVE.key: 1, WRAP.key: 1}


# --- Cloth with flaws, with a print, and pieces off the grain ------------------------------------


def block(left: float, low: float, length: float, width: float) -> Outline:
    return tuple((left + x, low + y) for x, y in square(length, width))


def across(start: float, end: float) -> Outline:
    """A flaw from selvedge to selvedge."""
    return ((start, 0), (end, 0), (end, 1000), (start, 1000))


@pytest.mark.parametrize(
    ("start", "end", "length_mm", "opened_mm"),
    [(600, 640, 1540, 600), (100, 140, 1640, 740), (1500, 1600, 1500, 600)],
)
def test_flaws_lie_in_a_section_where_the_fold_leaves_them(
    start: float, end: float, length_mm: float, opened_mm: float
) -> None:
    """1500 mm of pieces without gaps; 40 mm can't be used, nor 100 mm shorter than any piece."""
    pieces, cloth = [BODICE, SLEEVE, WRAP], replace(LAWN, flaws=(across(start, end),))
    entry = planned(pieces, cloth, FOLD)
    assert entry.marker.length_mm == pytest.approx(length_mm, abs=2.5)
    assert entry.marker.opened_from_mm == pytest.approx(opened_mm, abs=2)


def test_a_flaw_under_a_piece_of_a_section_is_found() -> None:
    pieces = [BODICE, SLEEVE, WRAP]
    marker = planned(pieces, LAWN, FOLD).marker
    # 700 mm from the cut end only the section lies; 550 mm up is above the fold, 50 mm below it.
    for low in (450.0, 550.0):
        flaw = ((700.0, low), (710.0, low), (710.0, low + 10), (700.0, low + 10))
        found = verify(replace(LAWN, flaws=(flaw,)), pieces, marker)
        assert {one.code for one in found} == {"flaw"}
        assert len(found) == 1


def test_a_flaw_in_a_section_is_drawn_and_told_once() -> None:
    cloth = replace(LAWN, flaws=(across(600, 640),))
    entry = planned([BODICE, SLEEVE, WRAP], cloth, FOLD)
    (flaw,) = flaws_in(entry)
    assert flaw.section == OPENED_OUT
    assert bounds(flaw.outline_mm) == pytest.approx((600, 0, 640, 1000), abs=1)
    (shown,) = drawn_flaws(entry.marker, cloth, 2000.0)
    assert bounds(shown) == pytest.approx((600, -500, 640, 500), abs=1)


@pytest.mark.parametrize(("start", "end", "lost_mm"), [(0, 20, 2 * 20), (200, 220, 2 * 220)])
def test_a_crosswise_fold_lies_where_its_flaws_are_clear(
    start: float, end: float, lost_mm: float
) -> None:
    """Two bodices fill the folded part, so the flaw must come to lie past them: the cloth is folded
    600 mm past it, and what lies before that is lost in both layers."""
    cloth, pieces = (
        replace(LAWN, flaws=(across(start, end),)),
        [replace(BODICE, cut=2), FLAP, OTHER],
    )
    entry = planned(pieces, cloth, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 600 + 400 + lost_mm, abs=2.5)
    assert entry.marker.opened_from_mm == pytest.approx(600 + lost_mm / 2, abs=2)


def test_a_quarter_fold_that_must_open_out_lies_where_its_flaws_are_clear() -> None:
    """The yokes 300 mm deep on four layers, past 20 mm of flaw; the panel is too wide for them."""
    cloth = replace(LAWN, flaws=(across(0, 20),))
    pieces = [piece("yoke", 300, 300, pair=True), piece("panel", 700, 800)]
    entry = planned(pieces, cloth, LayName.QUARTER_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 320 + 700, abs=2.5)


@pytest.mark.parametrize("low", [600.0, 350.0])
def test_a_fold_lies_where_the_flaws_of_all_its_layers_are_clear(low: float) -> None:
    """Folded in four the yokes fill the depth, and a flaw on either side of the middle would lie
    under them: it is folded 300 mm past the flaw."""
    cloth = replace(LAWN, flaws=(block(250, low, 30, 50),))
    pieces = [piece("yoke", 300, 500, pair=True), piece("panel", 700, 800)]
    entry = planned(pieces, cloth, LayName.QUARTER_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * (280 + 300) + 700, abs=2.5)


def test_a_napped_crosswise_fold_opens_out_on_flawed_cloth() -> None:
    """Cut and turned it begins at the cut end: 20 mm of flaw, 600 folded and 400 opened out."""
    velvet = replace(LAWN, nap=Nap.ONE_WAY, flaws=(across(0, 20),))
    entry = planned([replace(BODICE, cut=2), FLAP, OTHER], velvet, CROSSWISE_FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 620 + 400, abs=2.5)


MARKS = (Mark("waist", (100.0, 250.0), across=False), Mark("middle", (0.0, 250.0), along=False))
FLAP, OTHER = piece("left flap", 400, 500), piece("right flap", 400, 500)


def matched(one: Piece) -> Piece:
    return replace(one, marks=MARKS, match=("waist", "middle"))


@pytest.mark.parametrize("across_mm", [0.0, 100.0])
def test_a_print_runs_on_into_a_section(across_mm: float) -> None:
    """Waists meet 350 mm apart: the flaps begin 700 mm after the bodice, side by side."""
    plaid = replace(LAWN, repeat=Repeat(length_mm=350.0, width_mm=across_mm))
    pieces = [matched(BODICE), matched(FLAP), matched(OTHER)]
    entry = planned(pieces, plaid, FOLD)
    assert entry.marker.length_mm == pytest.approx(700 + 400, abs=2.5)
    there = next(p for p in entry.marker.placements if p.section == OPENED_OUT)
    for off in (5.0, -5.0):
        moved = tuple(shifted(p, off, 0.0) if p is there else p for p in entry.marker.placements)
        assert "match" in codes(plaid, pieces, replace(entry.marker, placements=moved))
    assert entry.plain_purchase_mm == pytest.approx(1000, abs=3)


def test_where_the_print_leaves_a_section_no_place_it_is_said() -> None:
    """The fold holds the bodice's middle on a line of the print, or half a repeat from one; the
    panel has 50 mm to move, and its middle keeps 10 mm from such a place."""
    plaid = replace(LAWN, repeat=Repeat(350.0, 100.0), lays=(FOLD, LayName.OPEN))
    panel = matched(piece("panel", 700, 950))
    pieces = [matched(BODICE), replace(panel, marks=(MARKS[0], replace(MARKS[1], at=(0.0, 260.0))))]
    made = plan(order_of(pieces, plaid), Rounds(2), jobs=1)
    assert [one.code for one in made.findings] == ["section-refused"]
    with pytest.raises(CannotFit, match="the print as it runs on"):
        plan(order_of(pieces, plaid), Rounds(2), jobs=1, lay=FOLD)


def test_a_print_and_flaws_meet_in_one_section() -> None:
    """The panel is wider than the fold; it begins two repeats on, past the flaw."""
    plaid = replace(LAWN, repeat=Repeat(350.0, 100.0), flaws=(across(650, 690),))
    entry = planned([matched(BODICE), matched(piece("panel", 700, 800))], plaid, FOLD)
    assert entry.marker.length_mm == pytest.approx(1400, abs=2.5)


def test_pieces_of_a_section_may_be_tilted() -> None:
    """A strip as wide as the section is long lies slanted between two wedges."""
    pieces = [BODICE, SLEEVE, WRAP]
    entry = planned(pieces, replace(LAWN, tilt_deg=2.0), FOLD)
    assert entry.marker.length_mm == pytest.approx(1500, abs=2.5)
    assert {p.turn_deg for p in entry.marker.placements} <= {0.0, 180.0}


# --- Pieces that no folded layer holds -----------------------------------------------------------


@pytest.mark.parametrize(
    ("lay", "length_mm", "opened_mm"),
    [(FOLD, 600 + 700, 600), (LayName.QUARTER_FOLD, 2 * 600 + 700, 600)],
)
def test_a_piece_wider_than_the_fold_is_cut_from_a_section(
    lay: LayName, length_mm: float, opened_mm: float
) -> None:
    """The bodice folded takes 600 mm; 800 mm of panel need the cloth's full metre, for 700 mm."""
    panel = piece("skirt panel", 700, 800)
    entry = planned([BODICE, panel], LAWN, lay)
    assert entry.marker.length_mm == pytest.approx(length_mm, abs=2.5)
    assert entry.marker.opened_from_mm == pytest.approx(opened_mm, abs=2)
    assert {p.piece for p in entry.marker.placements if p.section == OPENED_OUT} == {"skirt panel"}


def test_a_fold_edge_across_the_grain_is_opened_out_in_a_section() -> None:
    """Along a lengthwise fold its grain would run across the cloth."""
    yoke = replace(BODICE, name="yoke", pair=False)
    yoke = replace(yoke, on_fold=((0.0, 0.0), (0.0, 400.0)), outline=square(300, 400))
    entry = planned([BODICE, yoke], LAWN, FOLD)
    (there,) = (p for p in entry.marker.placements if p.section == OPENED_OUT)
    assert there.unfolded
    assert entry.marker.length_mm == pytest.approx(600 + 600, abs=2.5)


def test_a_piece_wider_than_the_cloth_is_told_with_the_cloths_own_width() -> None:
    with pytest.raises(CannotFit, match="the cloth has 100 cm between the selvedges"):
        planned([BODICE, piece("tent", 1100, 1200)], LAWN, FOLD)


def test_where_no_piece_is_left_to_fold_the_fold_is_refused() -> None:
    with pytest.raises(CannotFit, match="50 cm from the fold to the selvedge"):
        planned([piece("skirt panel", 700, 800)], LAWN, FOLD)


def test_garments_alike_have_their_wide_pieces_in_one_section() -> None:
    """Panels as wide as the cloth lie one behind the other, after both bodices."""
    pieces = [
        replace(one, garment=name)
        for name in ("Ada", "Eve")
        for one in (replace(BODICE, cut=1), piece("skirt panel", 700, 1000))
    ]
    entry = planned(pieces, LAWN, FOLD)
    assert entry.marker.length_mm == pytest.approx(2 * 600 + 2 * 700, abs=3)


@pytest.mark.parametrize("tilt_deg", [0.0, pytest.param(1.0, marks=pytest.mark.long)])
def test_several_alike_take_no_more_than_one_after_another(tilt_deg: float) -> None:
    """All folded parts of the one first, then all of its sections: shown without any search."""
    cloth = replace(LAWN, tilt_deg=tilt_deg, gap_mm=4.0, width_mm=1100.0)
    own = [BODICE, WRAP, piece("panel", 700, 800)]
    (one,) = job_of([replace(p, garment="Ada") for p in own], cloth)
    (alone,) = (lay_result for lay_result in one[1] if lay_result.section is not None)
    several = [replace(p, garment=name) for name in ("Ada", "Eve", "Mia") for p in own]
    found = repeated(problem_for(order_of(several, cloth), cloth, several, FOLD), alone)
    assert found is not None
    shown = found.lay_result
    assert verify(cloth, several, shown.marker) == ()
    # The gap is kept at the opening too, so the ends cost no more than they do once.
    assert shown.marker.length_mm <= 3 * (alone.marker.length_mm + 4.0)


def job_of(pieces: list[Piece], cloth: Fabric) -> list[tuple[FabricProblem, list[LayResult]]]:
    """A job of pieces folded lengthwise, and what a brief search finds."""
    job = problem_for(order_of(pieces, cloth), cloth, pieces, FOLD)
    session = Session(Clock(Rounds(1)))
    searched = session.cloth(job)
    session.search([searched])
    return [(job, searched.best_of_each_lay())]


@settings(max_examples=examples(6), deadline=None, suppress_health_check=list(HealthCheck))
@given(
    tables=orders(),
    lay=st.sampled_from(sorted(OPENS_OUT)),
    flaw_mm=st.none() | st.integers(0, 900),
    tilt_deg=st.sampled_from([0.0, 0.0, 2.0]),
)
def test_a_section_never_makes_a_lay_longer(
    tables: Table, lay: LayName, flaw_mm: int | None, tilt_deg: float
) -> None:
    """Against the same search without sections; what is shown verifies."""
    tables["fabric"]["lawn"]["in_hand"] = []
    try:
        order = read(tables)
    except OrderFault:
        return
    ((name, cloth),) = order.fabrics.items()
    cloth = replace(cloth, tilt_deg=tilt_deg)
    if flaw_mm is not None:
        cloth = replace(cloth, flaws=(block(flaw_mm, flaw_mm / 2, 40, 60),))
    order = replace(order, fabrics={name: cloth})
    found: list[float] = []
    for sections in (True, False):
        with pytest.MonkeyPatch.context() as patch:
            if not sections:
                patch.setattr(FabricProblem, "strips", lambda *_: None)
            try:
                (entry,) = plan(order, Rounds(2), jobs=1, lay=lay).fabrics
            except (CannotFit, OrderFault):
                return
        found.append(entry.marker.length_mm)
    assert found[0] <= found[1] + 0.001


def test_room_is_told() -> None:
    tall = Piece("tall", "lawn", rectangle(100, 600), GRAIN)
    cuts = cuts_for([tall], LAWN, FOLD)
    assert not Packing(cuts, LAWN, lay_of(LAWN, FOLD)).has_room
