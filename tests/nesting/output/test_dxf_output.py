"""DXF: clean for a strict reader, true to size, one block a piece, and in its place."""

import io
import itertools

import ezdxf
import pytest
from shapely.geometry import LinearRing, Polygon

from nesting.output import words
from nesting.output.files.dxf import LAYERS, marker_dxf, pieces_dxf
from pieces.piece import Draft
from tests.nesting.output.sample_plan import many_pieces, sample_plan


def _read(data: bytes):
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@pytest.fixture(scope="module")
def plan():
    return sample_plan()


@pytest.fixture(scope="module")
def drawings(plan):
    return [_read(marker_dxf(entry)) for entry in plan.fabrics]


def _cut_lines(insert):
    return [
        [tuple(point)[:2] for point in entity.vertices_in_wcs()]
        for entity in insert.virtual_entities()
        if entity.dxf.layer == "CUT"
    ]


def test_opens_without_audit_errors(plan, drawings):
    pieces = _read(pieces_dxf(Draft(plan.pieces)))
    for drawing in [*drawings, pieces]:
        audit = drawing.audit()
        assert not audit.errors
        assert not audit.fixes


def test_is_millimetres_of_release_2010_on_named_layers(drawings):
    for drawing in drawings:
        assert drawing.dxfversion == "AC1024"  # the release's own mark, from the open reference
        assert drawing.units == 4
        used = {entity.dxf.layer for entity in drawing.entitydb.values() if entity.is_alive
                and entity.dxftype() in {"LWPOLYLINE", "TEXT", "INSERT"}}  # fmt: skip
        assert used <= set(LAYERS)
        assert all(drawing.layers.has_entry(name) for name in LAYERS)


def test_inserted_blocks_lie_where_the_plan_says(plan, drawings):
    seen = set()
    for entry, drawing in zip(plan.fabrics, drawings, strict=True):
        inserts = list(drawing.modelspace().query("INSERT"))
        placements = words.in_laying_order(entry.marker.placements)
        assert len(inserts) == len(placements)
        for insert, placement in zip(inserts, placements, strict=True):
            (corners,) = _cut_lines(insert)
            drawn, planned = LinearRing(corners), LinearRing(placement.outline_mm)
            assert drawn.hausdorff_distance(planned) < 0.001
            seen.add((placement.mirrored, placement.unfolded, placement.turn_deg))
    # the sample has all of these, or the test would say too little
    assert {(True, False, 0.0), (False, True, 180.0), (False, False, 45.0)} <= seen


def test_one_block_a_piece_and_one_more_opened_out(drawings):
    names = [block.name for block in drawings[1].blocks if not block.is_any_layout]
    assert "Dora - skirt front opened out" in names
    assert "Dora - skirt back" in names
    assert len(names) == 6


def test_names_that_differ_only_for_people_get_blocks_of_their_own():
    from dataclasses import replace

    piece = sample_plan().pieces[0]
    others = [replace(piece, name=name) for name in ("a/b", "A b", "a:b", "*a b", "日本", "/")]
    drawing = _read(pieces_dxf(Draft((piece, *others))))
    inserted = [insert.dxf.name for insert in drawing.modelspace().query("INSERT")]
    assert len({name.lower() for name in inserted}) == 7
    assert not drawing.audit().errors


def test_fold_and_selvedges_lie_on_their_layers(drawings):
    satin, tulle = (drawing.modelspace() for drawing in drawings)
    (fold,) = satin.query('LWPOLYLINE[layer=="FOLD"]')
    assert {y for _, y, *_ in fold.get_points()} == {0.0}
    (selvedge,) = satin.query('LWPOLYLINE[layer=="SELVEDGE"]')
    assert {y for _, y, *_ in selvedge.get_points()} == {750.0}
    assert len(tulle.query('LWPOLYLINE[layer=="SELVEDGE"]')) == 2
    assert not tulle.query('LWPOLYLINE[layer=="FOLD"]')


def test_draft_blocks_lie_side_by_side_at_true_size(plan):
    drawing = _read(pieces_dxf(Draft(plan.pieces)))
    inserts = list(drawing.modelspace().query("INSERT"))
    outlines = [Polygon(_cut_lines(insert)[0]) for insert in inserts]
    for outline, piece in zip(outlines, plan.pieces, strict=True):
        assert outline.area == pytest.approx(Polygon(piece.outline).area, abs=0.01)
    for left, right in itertools.pairwise(outlines):
        assert left.bounds[2] < right.bounds[0]
    texts = [text.dxf.text for text in drawing.modelspace().query("TEXT")]
    assert texts[:3] == ["skirt front (Dora)", "cut 1 on the fold", "red satin"]


def test_forty_pieces_are_drawn_once_each():
    plan = many_pieces()
    drawing = _read(marker_dxf(plan.fabrics[0]))
    assert len(drawing.modelspace().query("INSERT")) == 40
    assert not drawing.audit().errors
