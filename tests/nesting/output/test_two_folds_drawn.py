"""How a piece with two fold edges is drawn: as a quarter, a half or whole, as it lies."""

from __future__ import annotations

import io
from collections import Counter
from pathlib import Path

import ezdxf
import pytest
from shapely.geometry import Polygon

from nesting.fabric.fabric import LayName
from nesting.fabric.lay import lay_under
from nesting.fabric.plans import FabricPlan
from nesting.order.read import order_from_text
from nesting.output import words
from nesting.output.drawing.shape import laid, opened_about, shape_of
from nesting.output.files.dxf import marker_dxf
from nesting.output.files.interchange import interchange_dxf
from nesting.output.report.report import step
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from nesting.solver.stop import Rounds
from pieces.piece import Piece
from pieces.ready import read_pieces
from pieces.units import Unit

ORDER = """
name = "choir skirt"
units = "cm"
hem_allowance = 1
[fabric.satin]
width = 102
[[garment]]
name = "Dora"
body = { waist = 52 }
[[garment.part]]
draft = "flared skirt"
fabric = "satin"
circle = "full"
panels = 1
length = 40
"""
SKIRT: Piece = draft_order(order_from_text(ORDER, "skirt.toml")).pieces[0]


def planned(lay: LayName) -> FabricPlan:
    (entry,) = plan(order_from_text(ORDER, "skirt.toml"), Rounds(1), jobs=1, lay=lay).fabrics
    return entry


@pytest.mark.parametrize(
    ("lay", "quarters", "said"),
    [
        (LayName.QUARTER_FOLD, 1, "cut in the corner of both folds"),
        (LayName.LENGTHWISE_FOLD, 2, "cut on the fold, opened out to a half"),
        (LayName.CROSSWISE_FOLD, 2, "cut on the fold, opened out to a half"),
        (LayName.OPEN, 4, "opened out"),
    ],
)
def test_it_is_drawn_as_it_lies(lay: LayName, quarters: int, said: str) -> None:
    entry = planned(lay)
    (placement,) = entry.marker.placements
    shape = laid(shape_of(SKIRT, opened_about(SKIRT, placement)), placement)
    drawn, cut = Polygon(shape.outline), Polygon(placement.outline_mm)
    assert drawn.symmetric_difference(cut).area < 1e-3
    assert len(shape.folds) == {1: 2, 2: 1, 4: 0}[quarters]
    # Its waist once in each quarter, and its slit once.
    assert len(shape.inside) == quarters + 1
    assert all(drawn.buffer(0.01).covers(Polygon(line)) for line in shape.inside if len(line) > 2)
    assert len(shape.notches) == 1
    assert ", ".join(words.notes(placement, 1)) == said
    lying = step(
        placement, 1, lay_under(entry.marker, entry.fabric), "cut end", entry.fabric, Unit.CM
    )
    assert said in lying


def test_the_drawing_to_scale_has_hem_waist_and_slit_on_the_layer_to_cut() -> None:
    drawing = ezdxf.read(io.StringIO(marker_dxf(planned(LayName.QUARTER_FOLD)).decode("utf-8")))
    assert not drawing.audit().errors
    (insert,) = drawing.modelspace().query("INSERT")
    layers = Counter(entity.dxf.layer for entity in insert.virtual_entities())
    assert (layers["CUT"], layers["FOLD"], layers["CENTRE"]) == (3, 2, 0)


def test_the_interchange_file_has_half_of_it_and_one_mirror_line(tmp_path: Path) -> None:
    """The standard knows one. Waist, as two arcs, and slit are cut-outs there; they come back as
    drawn lines, as does the stitching of hem and waist, which closes no ring."""
    file = tmp_path / "skirt.dxf"
    file.write_bytes(interchange_dxf([SKIRT], "Dora"))
    (back,) = read_pieces(file).pieces
    assert back.on_fold is not None
    assert back.second_fold is None
    half = Polygon(shape_of(SKIRT, SKIRT.fold_edges[1:]).outline)
    assert Polygon(back.outline).area == pytest.approx(half.area, rel=1e-6)
    assert half.area == pytest.approx(2 * Polygon(SKIRT.outline).area, rel=1e-6)
    assert len(back.drawn_lines) == 3 + 2
