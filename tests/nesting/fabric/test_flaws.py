"""Flaws of the cloth: read, laid, cut round, and judged."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, LayName, Nap, Repeat
from nesting.fabric.flaws import laid_flaws
from nesting.fabric.lay import lay_of
from nesting.fabric.marker import Marker
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.output.write import write_plan
from nesting.planning.planner import plan
from nesting.search.problem_builder import problems_for
from nesting.solver.stop import Rounds
from pieces.errors import CannotFit, OrderFault
from pieces.geometry import bounds
from pieces.piece import GrainRule, Mark, Outline, Piece
from pieces.units import Unit
from tests.examples import examples
from tests.nesting.verify.hand_made import codes, placed

GRAIN = ((0.0, 0.0), (10.0, 0.0))


def block(left: float, low: float, right: float, high: float) -> Outline:
    return ((left, low), (right, low), (right, high), (left, high))


def square(side: float, name: str = "patch", cut: int = 1) -> Piece:
    return Piece(name, "lawn", block(0, 0, side, side), GRAIN, cut=cut)


def planned(fabric: Fabric, *pieces: Piece, lay: LayName | None = LayName.OPEN) -> Marker:
    order = Order("test", "test.toml", Unit.CM, {fabric.name: fabric}, (), pieces)
    return plan(order, Rounds(20), jobs=1, lay=lay).fabrics[0].marker


# --- reading -----------------------------------------------------------------------------

ORDER = """units = "cm"
[fabric.lawn]
width = 100
selvedge = 1
flaws = [{flaw}]
[[piece]]
name = "patch"
fabric = "lawn"
outline = [[0, 0], [30, 0], [30, 20], [0, 20]]
"""


def read(flaw: str) -> Outline:
    (found,) = order_from_text(ORDER.format(flaw=flaw), "frock.toml").fabrics["lawn"].flaws
    return found


def test_flaws_are_read_as_stretches_or_outlines() -> None:
    assert read("{ from = 40, to = 45, across = [20, 25] }") == block(400, 200, 450, 250)
    assert bounds(read("{ from = 2.5, to = 45 }")) == pytest.approx((25, 0, 450, 1000))
    corners = read("{ outline = [[0, 3], [3, 0], [0, 0]] }")
    assert set(corners) == {(0, 30), (30, 0), (0, 0)}


@pytest.mark.parametrize(
    ("flaw", "key"),
    [
        ("{ from = 45, to = 40 }", "[0].to"),
        ("{ from = 40 }", "[0]"),
        ("{ from = 1, to = 2, across = [5] }", "[0].across"),
        ("{ from = 1, to = 2, across = [8, 5] }", "[0].across"),
        ("{ from = 1, to = 2, across = [120, 130] }", "[0]"),
        ("{ from = 1, to = 2, outline = [[0, 0], [3, 0], [3, 3]] }", "[0]"),
        ("{ outline = [[0, 0], [3, 3], [3, 0], [0, 3]] }", "[0].outline"),
        ('{ from = "x", to = 2 }', "[0].from"),
        ("3", ""),
    ],
)
def test_flaws_that_make_no_sense_are_refused_at_their_place(flaw: str, key: str) -> None:
    with pytest.raises(OrderFault) as caught:
        read(flaw)
    assert [fault.key for fault in caught.value.faults] == [f"fabric.lawn.flaws{key}"]


# --- where they lie ----------------------------------------------------------------------

CLOTH = Fabric("lawn", 1000.0, selvedge_mm=20.0, flaws=(block(100, 120, 150, 170),))
"""960 mm to use; the flaw is from 100 to 150 mm above the inside of the lower selvedge."""


@pytest.mark.parametrize(
    ("lay", "depth_mm", "wanted"),
    [
        (LayName.OPEN, 0.0, [(0, 1, 100, 150)]),
        # The lower half is folded over the upper: 480 less 100 to 150.
        (LayName.LENGTHWISE_FOLD, 0.0, [(0, 2, 330, 380)]),
        (LayName.CROSSWISE_FOLD, 0.0, [(0, 1, 100, 150)]),
        # The lower quarter, 250 less the selvedge, is folded over.
        (LayName.DOUBLE_FOLD, 0.0, [(0, 2, 80, 130)]),
        (LayName.PARTIAL_FOLD, 300.0, [(0, 2, 130, 180)]),
        # Folded in by 80, of which 60 are to use: at 40 to 90, partly under the edge.
        (LayName.PARTIAL_FOLD, 80.0, [(0, 1, 40, 60), (1, 1, 80, 90)]),
    ],
)
def test_a_flaw_lies_in_the_layer_that_the_fold_brings_it_to(
    lay: LayName, depth_mm: float, wanted: list[tuple[int, int, float, float]]
) -> None:
    laid = laid_flaws(CLOTH, lay_of(CLOTH, lay, depth_mm))
    found = []
    for flaw in laid:
        left, low, right, high = bounds(flaw.outline_mm)
        assert (left, right) == (100, 150)
        found.append((flaw.band, flaw.layer, low, high))
    assert [one[:2] for one in found] == [one[:2] for one in wanted]
    assert [one[2:] for one in found] == [pytest.approx(one[2:]) for one in wanted]


def test_flaws_shrink_with_the_cloth_and_end_at_the_selvedge() -> None:
    washed = replace(
        CLOTH, shrinkage_length=0.1, shrinkage_width=0.2, flaws=(block(100, 0, 200, 120),)
    )
    (flaw,) = laid_flaws(washed, lay_of(washed, LayName.OPEN))
    assert bounds(flaw.outline_mm) == pytest.approx((90, 0, 180, 80))
    selvedge = replace(CLOTH, flaws=(block(100, 0, 200, 20),))
    assert laid_flaws(selvedge, lay_of(selvedge, LayName.OPEN)) == ()


# --- the judge ---------------------------------------------------------------------------


def judged(lay: LayName, corner: tuple[float, float], **changes: object) -> set[str]:
    """What is said of one square of 100 mm on cloth 400 mm wide, flawed at one place."""
    changes = {"nap": Nap.NONE, "band": 0, "fold_depth_mm": 0.0} | changes
    flaw = changes.pop("flaw", block(110, 20, 120, 30))
    cloth = Fabric("lawn", 400.0, nap=changes.pop("nap"), flaws=(flaw,))  # type: ignore[arg-type]
    double = lay is not LayName.OPEN and not changes["band"]
    piece = square(100.0, cut=2 if double else 1)
    gives = (2, 0, 2) if double else (1, 0, 1)
    one = replace(placed(piece, piece.outline, corner, gives=gives), band=changes["band"])  # type: ignore[arg-type]
    length_mm = (corner[0] + 100) * (2 if lay.folds_across else 1)
    marker = Marker("lawn", lay, length_mm, (one,), changes["fold_depth_mm"])  # type: ignore[arg-type]
    return codes(cloth, [piece], marker)


def test_no_layer_of_a_cut_may_touch_a_flaw() -> None:
    assert judged(LayName.OPEN, (100, 0)) == {"flaw"}
    assert judged(LayName.OPEN, (120, 0)) == set()
    assert judged(LayName.OPEN, (100, 30)) == set()
    # Folded in half, 20 to 30 from the lower edge is 170 to 180 from the fold, in the upper layer.
    assert judged(LayName.LENGTHWISE_FOLD, (100, 0)) == set()
    assert judged(LayName.LENGTHWISE_FOLD, (100, 90)) == {"flaw"}
    assert judged(LayName.LENGTHWISE_FOLD, (100, 70)) == set()
    # Both selvedges to the middle: 70 to 80 from the lower fold; and what lies on the table.
    assert judged(LayName.DOUBLE_FOLD, (100, 0)) == {"flaw"}
    assert judged(LayName.DOUBLE_FOLD, (120, 0)) == set()
    # Folded in by 100, that is 70 to 80 from the fold; the single cloth has none of it.
    assert judged(LayName.PARTIAL_FOLD, (100, 0), fold_depth_mm=100.0) == {"flaw"}
    partial = {"fold_depth_mm": 100.0, "band": 1}
    assert judged(LayName.PARTIAL_FOLD, (100, 100), **partial) == set()
    beyond = block(110, 250, 120, 260)
    assert judged(LayName.PARTIAL_FOLD, (100, 100), **partial, flaw=beyond) == {"flaw"}


def test_the_far_layer_of_a_crosswise_fold_is_looked_at_too() -> None:
    """The square lies at 100 to 200 of 200 mm folded: the far layer is 200 to 300 mm out."""
    assert judged(LayName.CROSSWISE_FOLD, (100, 0)) == {"flaw"}
    far = {"flaw": block(250, 20, 260, 30)}
    assert judged(LayName.CROSSWISE_FOLD, (100, 0), **far) == {"flaw"}
    assert judged(LayName.CROSSWISE_FOLD, (100, 40), **far) == set()
    # Cut off and turned end for end, the far layer is 300 to 400 mm out, its edges exchanged.
    turned = {"nap": Nap.ONE_WAY}
    assert judged(LayName.CROSSWISE_FOLD, (100, 0), **far, **turned) == set()
    far = {"flaw": block(350, 370, 360, 380)}
    assert judged(LayName.CROSSWISE_FOLD, (100, 0), **far, **turned) == {"flaw"}
    assert judged(LayName.CROSSWISE_FOLD, (100, 40), **far, **turned) == set()


# --- planning ----------------------------------------------------------------------------


def test_pieces_go_before_and_past_a_flaw_that_crosses_the_cloth() -> None:
    """Two squares of 40 mm on cloth of 50: one fits before the flaw, one only past it."""
    cloth = Fabric("lawn", 50.0, flaws=(block(45, 0, 60, 50),))
    assert planned(cloth, square(40.0, cut=2)).length_mm == pytest.approx(100)
    assert planned(cloth, square(46.0)).length_mm == pytest.approx(106)


def test_a_flaw_past_all_that_is_needed_costs_nothing() -> None:
    plain = Fabric("lawn", 100.0)
    flawed = replace(plain, flaws=(block(5000, 0, 5100, 100),))
    pieces = (square(60.0, cut=3), square(35.0, "corner", cut=2))
    assert planned(flawed, *pieces) == planned(plain, *pieces)


def test_a_flaw_that_only_a_print_takes_pieces_to_is_kept_clear_of() -> None:
    """Two strips as wide as the cloth, on the same place of a repeat that is longer than both."""
    repeat = Repeat(length_mm=1000.0)
    cloth = Fabric("lawn", 50.0, repeat=repeat, flaws=(block(1005, 0, 1030, 50),))
    hem = Mark("hem", (0.0, 0.0), across=False)
    one = replace(square(40.0, cut=2), garment="Ada", marks=(hem,), match=("hem",))
    assert planned(cloth, one).length_mm == pytest.approx(1070)


@pytest.mark.long
def test_a_flaw_lies_anywhere_in_a_repeat_that_is_cut_off_before_the_first_motif() -> None:
    """It is 150 mm from the cut end, and up to 100 mm less once that is cut off for the motif."""
    plain = Fabric("lawn", 50.0, repeat=Repeat(length_mm=100.0))
    flawed = replace(plain, flaws=(block(150, 0, 160, 50),))
    hem = Mark("hem", (0.0, 0.0), across=False)
    meets = replace(square(40.0, cut=2), garment="Ada", marks=(hem,), match=("hem",))
    assert planned(flawed, meets).length_mm == pytest.approx(140)
    centred = replace(meets, match=(), motif=("hem",))
    before = planned(plain, centred)
    assert before.length_mm == pytest.approx(140)
    assert codes(flawed, [centred], before) == {"flaw"}
    assert planned(flawed, centred).length_mm == pytest.approx(240)


def test_a_flaw_in_either_layer_keeps_double_pieces_away_and_single_ones_their_own() -> None:
    """On a fold of 50, a flaw in one layer; open, the other half of the cloth is whole."""
    cloth = Fabric("lawn", 100.0, flaws=(block(0, 60, 30, 70),))
    patches = square(45.0, cut=2)
    assert planned(cloth, patches, lay=LayName.LENGTHWISE_FOLD).length_mm == pytest.approx(75)
    one = square(45.0)
    assert planned(cloth, one).length_mm == pytest.approx(45)


def test_a_flaw_whose_layer_is_not_known_refuses_the_crosswise_fold() -> None:
    cloth = Fabric("lawn", 100.0, flaws=(block(60, 10, 70, 20),))
    with pytest.raises(CannotFit, match="depends on how long the layout is"):
        planned(cloth, square(80.0, cut=2), lay=LayName.CROSSWISE_FOLD)
    # Before half of what the pieces must have by their area it can only lie in the near half.
    near = replace(cloth, flaws=(block(0, 0, 30, 100),))
    found = planned(near, square(80.0, cut=2), lay=LayName.CROSSWISE_FOLD)
    assert found.table_length_mm == pytest.approx(110)


def test_a_fold_that_is_tried_is_not_said_to_be_refused() -> None:
    """It begins at its fold and ends opened out for what is printed; only folded whole it can't."""
    half, hem = block(0, 0, 60, 40), Mark("hem", (0.0, 0.0), across=False)
    yoke = Piece("yoke", "lawn", half, GRAIN, on_fold=((0, 0), (0, 40)), cut=2)
    patch = replace(square(40.0), garment="Ada", marks=(hem,), match=("hem",))
    cloth = Fabric("lawn", 100.0, repeat=Repeat(30.0), flaws=(block(90, 0, 95, 10),))
    order = Order("test", "test.toml", Unit.CM, {"lawn": cloth}, (), (yoke, patch))
    (job,) = problems_for(order, order.pieces, None)
    assert LayName.CROSSWISE_FOLD in {one.lay.name for one in job.all_packings}
    assert LayName.CROSSWISE_FOLD not in {name for name, _ in job.refused}


def test_the_plan_tells_its_flaws(tmp_path: Path) -> None:
    cloth = replace(CLOTH, lays=(LayName.LENGTHWISE_FOLD,))
    order = Order("test", "test.toml", Unit.CM, {"lawn": cloth}, (), (square(300.0, cut=4),))
    write_plan(plan(order, Rounds(5), jobs=1), tmp_path)
    (fabric,) = json.loads((tmp_path / "plan.json").read_text())["fabrics"]
    (flaw,) = fabric["flaws"]
    assert (flaw["band"], flaw["layer"]) == (0, 2)
    for placement in fabric["placements"]:
        assert Polygon(placement["outline_mm"]).intersection(Polygon(flaw["outline_mm"])).area < 1
    report = " ".join((tmp_path / "report.txt").read_text().split())
    assert (
        "5 cm along by 5 cm across, 10 cm from the cut end, 33 cm from the fold, in the upper"
        in report
    )


@st.composite
def flawed_cloths(draw: st.DrawFn) -> Fabric:
    flaws = []
    for _ in range(draw(st.integers(1, 4))):
        x, y = draw(st.integers(0, 500)), draw(st.integers(0, 380))
        if draw(st.booleans()):
            flaws.append(block(x, y, x + draw(st.integers(1, 150)), y + draw(st.integers(1, 80))))
        else:
            flaws.append(((x, y), (x + 90, y + 20), (x + 30, y + 70)))
    nap = draw(st.sampled_from(list(Nap)))
    shrinkage = draw(st.sampled_from([0.0, 0.05]))
    gap_mm = draw(st.sampled_from([0.0, 6.0]))
    return Fabric(
        "lawn", 400.0, 10.0, nap, gap_mm=gap_mm, shrinkage_length=shrinkage, flaws=tuple(flaws)
    )


@given(
    flawed_cloths(),
    st.lists(st.integers(40, 180), min_size=1, max_size=5),
    st.sampled_from(LayName),
)
@settings(max_examples=examples(60), deadline=None)
def test_every_plan_on_flawed_cloth_verifies_or_is_refused(
    cloth: Fabric, sides: list[int], lay: LayName
) -> None:
    pieces = [
        replace(
            square(side, f"patch {n}", cut=1 + n % 2), pair=n % 3 == 2, grain_rule=GrainRule.ANY
        )
        for n, side in enumerate(sides)
    ]
    with suppress(CannotFit):
        planned(cloth, *pieces, lay=lay)
