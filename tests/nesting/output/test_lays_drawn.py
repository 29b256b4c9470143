"""Each lay as it is drawn and told: its folds, its layers, its inner edges."""

from __future__ import annotations

import io
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import ezdxf
import pytest

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.lay import lay_of, lay_under
from nesting.fabric.marker import Marker
from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.output import words
from nesting.output.drawing.drawing import draw_plan
from nesting.output.files.data import fabric_data
from nesting.output.files.dxf import marker_dxf
from nesting.output.report.report import report
from nesting.page.table.steps import folding
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.piece import Piece
from pieces.units import Unit
from tests.examples import some

GRAIN = ((0.0, 0.0), (10.0, 0.0))
PIECES = (
    Piece(
        "front",
        "lawn",
        ((0, 0), (300, 0), (280, 150), (0, 170)),
        GRAIN,
        on_fold=((0, 0), (300, 0)),
        cut=2,
    ),
    Piece("side", "lawn", ((0, 0), (300, 0), (200, 140), (0, 140)), GRAIN, pair=True),
    Piece("flap", "lawn", ((0, 0), (120, 0), (90, 60), (0, 60)), GRAIN),
)
LAWN = Fabric("lawn", 1000, selvedge_mm=10)


def laid(lay: LayName, fabric: Fabric = LAWN) -> Plan:
    order = Order("lays", "lays.toml", Unit.CM, {"lawn": fabric}, (), PIECES)
    return plan(order, Rounds(2), jobs=1, lay=lay)


@pytest.mark.parametrize(
    ("lay", "folds", "selvedges", "told"),
    some(
        [
            (LayName.OPEN, 0, 2, "laid open, one layer"),
            (LayName.LENGTHWISE_FOLD, 1, 1, "its fold edge on the fold"),
            (LayName.CROSSWISE_FOLD, 1, 2, "on the table"),
            (LayName.DOUBLE_FOLD, 2, 0, "its fold edge on the upper fold"),
            (LayName.PARTIAL_FOLD, 1, 1, "from the edge folded in"),
            (LayName.QUARTER_FOLD, 2, 1, "four layers give"),
        ]
    ),
)
def test_folds_and_edges_of_each_lay(lay: LayName, folds: int, selvedges: int, told: str) -> None:
    made = laid(lay)
    (entry,) = made.fabrics
    svg = draw_plan(made, entry).saved("svg").decode()
    assert svg.count(">fold of the cloth<") == folds
    assert svg.count(">selvedge<") == selvedges + 1, "and once in the key"
    text = " ".join(report(made).split())
    assert told in text or "against the edge folded in" in text
    drawing = ezdxf.read(io.StringIO(marker_dxf(entry).decode()))
    lines = drawing.modelspace().query("LWPOLYLINE[layer=='FOLD']")
    assert len(lines) == folds
    assert not drawing.audit().has_errors


def test_with_a_nap_a_crosswise_fold_is_cut_and_turned() -> None:
    made = laid(LayName.CROSSWISE_FOLD, replace(LAWN, nap=Nap.ONE_WAY))
    (entry,) = made.fabrics
    svg = draw_plan(made, entry).saved("svg").decode()
    assert ">cut here, turn the upper layer<" in svg
    assert ">fold of the cloth<" not in svg
    assert "the upper layer turned end for end" in " ".join(report(made).split())
    assert all(placement.turn_deg == 0 for placement in entry.marker.placements)


def test_a_partial_fold_says_how_deep() -> None:
    made = laid(LayName.PARTIAL_FOLD)
    (entry,) = made.fabrics
    depth_mm = entry.marker.fold_depth_mm
    assert 170 + 10 <= depth_mm <= 500
    assert f"; fold {depth_mm / 10:g} cm in" in " ".join(report(made).split())
    layers = {p.piece: (p.layers, p.band, p.spare) for p in entry.marker.placements}
    assert layers == {"front": (2, 0, 0), "side": (2, 0, 0), "flap": (1, 1, 0)}


OPENED = Marker("lawn", LayName.CROSSWISE_FOLD, 990.0, (), opened_from_mm=140.0)


@pytest.mark.parametrize(
    ("lay", "told"),
    [
        (
            LayName.CROSSWISE_FOLD,
            "crosswise",
        ),
        (
            LayName.QUARTER_FOLD,
            "lengthwise, then crosswise",
        ),
    ],
)
def test_where_a_fold_across_opens_out_the_cut_ends_do_not_meet(lay: LayName, told: str) -> None:
    marker = replace(OPENED, lay=lay)
    assert words.laid(marker, LAWN, Unit.CM) == (
        f"folded {told}, the first 14 cm from the cut end laid over the rest; past its end the "
        "cloth lies open, one layer"
    )


def test_with_a_nap_a_fold_that_opens_out_is_cut_where_the_pieces_end() -> None:
    """99 cm, of which the last 14 cm come to lie on the first: the cut is not in the middle."""
    napped = replace(LAWN, nap=Nap.ONE_WAY)
    assert words.laid(OPENED, napped, Unit.CM) == (
        "cut across 85 cm from the cut end, what is past it laid on top, turned end for end; "
        "one layer from 14 cm past the cut end"
    )
    entry: Any = SimpleNamespace(fabric=napped, marker=OPENED, table_length_mm=850.0)
    told = " ".join(folding(entry, lay_under(OPENED, napped), Unit.CM))
    assert told.startswith("Cut it across 85 cm from its squared cut end.")
    assert "on the first 14 cm, right sides together and turned end for end" in told


def test_of_two_folds_it_is_said_which() -> None:
    quarter = lay_of(LAWN, LayName.QUARTER_FOLD, opens=True)
    assert words.measured_from(quarter.bands[0], quarter) == "lengthwise fold"
    assert words.near_end(quarter) == "crosswise fold"


@pytest.mark.parametrize("lay", [LayName.LENGTHWISE_FOLD, LayName.CROSSWISE_FOLD])
def test_an_opened_out_section_is_drawn_and_told(lay: LayName) -> None:
    """A wrap front, cut once, beside a folded bodice: the cloth is opened out for it."""

    def lopsided(name: str, long: float, *, pair: bool = False) -> Piece:
        return Piece(name, "lawn", ((0, 0), (long, 0), (long, 480), (1, 480)), GRAIN, pair=pair)

    pieces = (
        lopsided("bodice", 600, pair=True),
        lopsided("left wrap", 900),
        lopsided("right wrap", 880),
    )
    order = Order("lays", "lays.toml", Unit.CM, {"lawn": LAWN}, (), pieces)
    made = plan(order, Rounds(1), jobs=1, lay=lay)
    (entry,) = made.fabrics
    start_mm = entry.marker.opened_from_mm
    assert start_mm == pytest.approx(600, abs=2)
    svg = draw_plan(made, entry).saved("svg").decode()
    assert svg.count(">from here on: open out, single layer, ") == 1
    assert svg.count(">fold of the cloth<") == 1
    text = " ".join(report(made).split())
    assert "open the cloth out, one layer" in text
    end = "fold" if lay is LayName.CROSSWISE_FOLD else "cut end"
    assert f"in order from the {end}. Places are measured from the {end}, and across" in text
    assert "cut ends together" not in text
    drawing = ezdxf.read(io.StringIO(marker_dxf(entry).decode()))
    assert len(drawing.modelspace().query("LWPOLYLINE[layer=='FOLD']")) == 1
    assert len(drawing.modelspace().query("LWPOLYLINE[layer=='CLOTH']")) == 2
    record = fabric_data(entry, {})
    assert record["opened_from_mm"] == pytest.approx(start_mm)
    assert {one["section"] for one in record["placements"]} == {"main", "opened-out"}
    assert record["lays_compared"][0]["opened_from_mm"] == record["opened_from_mm"]
