"""Files of the open interchange standard: what each layer and text means.

Meanings of layers and texts: ASTM D6673, Standard Practice for Sewn Products Pattern Data
Interchange, as summarised in public previews of it and in NISTIR 5969 (NIST, 1997).
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

import tests.pieces.importers.drawings as d
from pieces.errors import OrderFault
from pieces.geometry import area
from pieces.importers.interchange import quantity
from pieces.piece import GrainRule, Piece
from pieces.ready import read_pieces

GRAIN = d.line((20, 50), (180, 50), "7")


def one(folder: Path, *more: str, **told: object) -> Piece:
    """The piece of a file with one block, which has a grain line."""
    (piece,) = d.read(folder, "a.dxf", d.interchange(d.piece_block(GRAIN, *more)), **told).pieces
    return piece


def found(folder: Path, *more: str) -> set[str]:
    return d.codes(d.read(folder, "a.dxf", d.interchange(d.piece_block(GRAIN, *more))))


def refused(folder: Path, drawing: str) -> str:
    with pytest.raises(OrderFault) as caught:
        d.read(folder, "a.dxf", drawing)
    return str(caught.value)


def test_a_block_is_a_piece_with_its_boundary_on_layer_1(tmp_path: Path) -> None:
    piece = one(tmp_path)
    assert (piece.name, piece.cut, piece.pair) == ("front", 1, False)
    assert piece.outline == ((0, 0), (200, 0), (200, 100), (0, 100))
    assert found(tmp_path) == set()


def test_newer_polylines_and_single_lines_make_a_boundary_too(tmp_path: Path) -> None:
    edges = zip(d.SQUARE, d.SQUARE[1:] + d.SQUARE[:1], strict=True)
    lines = "".join(d.line(a, b, "1") for a, b in edges)
    for boundary in (d.lwpolyline(d.SQUARE, "1"), lines):
        draft = d.read(
            tmp_path, "a.dxf", d.interchange(boundary + GRAIN + d.text("Piece Name: cuff"))
        )
        assert [(piece.name, area(piece.outline)) for piece in draft.pieces] == [("cuff", 20000)]


def test_metric_is_millimetres_and_english_inches(tmp_path: Path) -> None:
    for units, width in (("METRIC", 200), ("English", 5080)):
        (piece,) = d.read(
            tmp_path, "a.dxf", d.interchange(d.piece_block(GRAIN), units=units)
        ).pieces
        assert max(x for x, _ in piece.outline) == pytest.approx(width)


@pytest.mark.parametrize(("size", "width_mm"), [(240, 240), (14, 355.6)])
def test_a_unit_not_told_is_guessed_from_the_size_and_told(
    tmp_path: Path, size: float, width_mm: float
) -> None:
    outline = ((0, 0), (size, 0), (size, size / 2), (0, size / 2))
    block = d.polyline(outline, "1") + d.line((0, 1), (size, 1), "7") + d.text("Piece Name: yoke")
    draft = d.read(tmp_path, "a.dxf", d.interchange(block, units=""))
    assert max(x for x, _ in draft.pieces[0].outline) == pytest.approx(width_mm)
    assert d.codes(draft) == {"unit-guessed"}
    told = d.read(tmp_path, "a.dxf", d.interchange(block, units=""), unit="cm")
    assert max(x for x, _ in told.pieces[0].outline) == pytest.approx(10 * size)
    assert d.codes(told) == set()


def test_the_order_overrules_the_unit_of_the_file_and_says_so(tmp_path: Path) -> None:
    draft = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block(GRAIN)), unit="cm")
    assert area(draft.pieces[0].outline) == pytest.approx(2_000_000)
    assert d.codes(draft) == {"unit-overruled"}


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("3", [(3, False)]),
        ("2,2", [(2, True)]),
        ("2, 0", [(2, False)]),
        ("1 1", [(1, True)]),
        ("3/1", [(1, True), (2, False)]),
    ],
)
def test_quantity_as_drawn_and_mirrored(
    tmp_path: Path, said: str, meant: list[tuple[int, bool]]
) -> None:
    drawing = d.interchange(d.piece_block(GRAIN, d.text(f"Quantity: {said}")))
    pieces = d.read(tmp_path, "a.dxf", drawing).pieces
    assert [(piece.cut, piece.pair) for piece in pieces] == meant
    drawn, mirrored = quantity(said) or (0, 0)
    assert sum(piece.parts for piece in pieces) == drawn + mirrored


def test_only_mirrored_is_the_piece_turned_over(tmp_path: Path) -> None:
    outline = ((0, 0), (200, 0), (200, 100))
    block = d.polyline(outline, "1") + d.line((10, 5), (90, 5), "7") + d.text("Quantity: 0,2")
    (piece,) = d.read(tmp_path, "a.dxf", d.interchange(block + d.text("Piece Name: gore"))).pieces
    assert (piece.cut, piece.pair) == (2, False)
    assert set(piece.outline) == {(0, 100), (200, 100), (200, 0)}


def test_on_the_fold_all_copies_are_whole(tmp_path: Path) -> None:
    piece = one(tmp_path, d.line((0, 0), (200, 0), "6"), d.text("Quantity: 1,1"))
    assert (piece.cut, piece.pair, piece.on_fold) == (2, False, ((0, 0), (200, 0)))


def test_a_quantity_that_says_no_number_is_told(tmp_path: Path) -> None:
    assert one(tmp_path, d.text("Quantity: a few")).cut == 1
    assert found(tmp_path, d.text("Quantity: a few")) == {"quantity-guessed"}


def test_the_mirror_line_is_the_fold_and_the_piece_lies_above_it(tmp_path: Path) -> None:
    upper = one(tmp_path, d.line((0, 100), (200, 100), "6"))
    assert {y for _, y in upper.on_fold or ()} == {0}
    assert min(y for _, y in upper.outline) == 0


def test_a_mirror_line_along_part_of_the_edge_stands_for_all_of_it(tmp_path: Path) -> None:
    piece = one(tmp_path, d.line((60, 0.2), (90, 0.2), "6"))
    assert piece.on_fold == ((0, 0), (200, 0))


def test_points_along_the_fold_edge_leave_it_straight(tmp_path: Path) -> None:
    outline = ((0, 0), (80, 0.3), (200, 0), (200, 100), (0, 100))
    block = d.piece_block(GRAIN, d.line((0, 0), (200, 0), "6"), outline=outline)
    draft = d.read(tmp_path, "a.dxf", d.interchange(block))
    assert draft.pieces[0].outline == d.SQUARE
    assert d.codes(draft) == {"fold-straightened"}


def test_a_boundary_left_open_at_its_mirror_line_is_closed_there(tmp_path: Path) -> None:
    half = ((0, 0), (0, 100), (200, 100), (200, 0))
    block = d.polyline(half, "1", closed=False) + GRAIN + d.line((0, 0), (200, 0), "6")
    (piece,) = d.read(tmp_path, "a.dxf", d.interchange(block + d.text("Piece Name: yoke"))).pieces
    assert area(piece.outline) == 20000
    assert piece.on_fold is not None


def test_a_piece_drawn_whole_about_its_mirror_line_is_not_folded(tmp_path: Path) -> None:
    mirror = d.line((0, 50), (200, 50), "6")
    assert one(tmp_path, mirror).on_fold is None
    assert found(tmp_path, mirror) == {"whole-at-mirror-line"}


def test_a_mirror_line_elsewhere_is_refused(tmp_path: Path) -> None:
    said = refused(tmp_path, d.interchange(d.piece_block(d.line((0, 30), (200, 30), "6"))))
    assert "piece 'front'" in said
    assert "mirror line" in said


def test_the_grain_line_turns_the_piece_from_tail_to_head(tmp_path: Path) -> None:
    block = d.piece_block(d.line((50, 20), (50, 90), "7"))
    (piece,) = d.read(tmp_path, "a.dxf", d.interchange(block)).pieces
    assert max(x for x, _ in piece.outline) == 100
    (tail, head) = piece.grain
    assert head[0] - tail[0] == pytest.approx(70)


def test_without_a_grain_line_the_fold_or_the_x_axis_is_taken_and_told(tmp_path: Path) -> None:
    upright = d.interchange(d.piece_block(d.line((0, 0), (0, 100), "6")))
    draft = d.read(tmp_path, "a.dxf", upright)
    assert max(x for x, _ in draft.pieces[0].outline) == 100
    assert d.codes(draft) == {"grain-assumed"}
    plain = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block()))
    assert max(x for x, _ in plain.pieces[0].outline) == 200
    assert d.codes(plain) == {"grain-assumed"}
    told = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block()), grain_deg=90.0)
    assert max(x for x, _ in told.pieces[0].outline) == pytest.approx(100)
    assert d.codes(told) == set()


def test_a_grain_line_drawn_by_eye_is_squared_to_the_fold(tmp_path: Path) -> None:
    block = d.piece_block(d.line((20, 50), (180, 50.6), "7"), d.line((0, 0), (200, 0), "6"))
    (piece,) = d.read(tmp_path, "a.dxf", d.interchange(block)).pieces
    assert piece.on_fold == ((0, 0), (200, 0))


@pytest.mark.parametrize("layer", ["4", "80", "81", "82", "83"])
def test_notches_of_every_kind_point_into_the_piece(tmp_path: Path, layer: str) -> None:
    # Group 30 is the depth, 39 the width at the boundary, 50 the angle from the x axis.
    inwards = one(tmp_path, d.point((80, 100), layer, (30, 6), (39, 0), (50, 265)))
    outwards = one(tmp_path, d.point((80, 100), layer, (30, 6), (39, 0), (50, 85)))
    no_angle = one(tmp_path, d.point((80, 100), layer))
    assert [notch.at for notch in inwards.notches] == [(80, 100)]
    assert [notch.inward_deg for notch in inwards.notches] == [265]
    assert outwards.notches == inwards.notches
    assert no_angle.notches[0].inward_deg == pytest.approx(270)


def test_a_notch_drawn_as_a_line_begins_at_the_edge(tmp_path: Path) -> None:
    for ends in (((80, 100), (80, 94)), ((80, 94), (80, 100))):
        (notch,) = one(tmp_path, d.line(*ends, "4")).notches
        assert notch.at == (80, 100)
        assert notch.inward_deg == pytest.approx(270)


def test_the_name_of_a_strange_layer_is_told_without_unseen_signs(tmp_path: Path) -> None:
    strange = d.line((50, 20), (50, 90), "7") + d.line((0, 50), (200, 50), "\x1147")
    (found,) = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block(strange))).findings
    assert "(47)" in found.message


def test_the_longest_line_is_the_grain_and_its_arrow_head_is_told(tmp_path: Path) -> None:
    arrow = d.line((50, 90), (45, 80), "7") + d.line((50, 20), (50, 90), "7")
    draft = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block(arrow)))
    assert max(x for x, _ in draft.pieces[0].outline) == 100
    assert d.codes(draft) == {"line-ignored"}


@pytest.mark.parametrize("comment", ["", "999\nASTM/D6673\n", "999\none\n 999\ntwo\n"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_comments_and_line_ends_of_other_systems_make_no_difference(
    tmp_path: Path, comment: str, ending: str
) -> None:
    block = d.lwpolyline(d.SQUARE, "1") + GRAIN + d.text("Piece Name: cuff")
    drawing = (comment + d.interchange(block)).replace("\n", ending)
    (tmp_path / "a.dxf").write_bytes(drawing.encode())
    draft = read_pieces(tmp_path / "a.dxf")
    assert [area(piece.outline) for piece in draft.pieces] == [20000]
    assert d.codes(draft) == set()


def test_internal_lines_are_drawn(tmp_path: Path) -> None:
    dart = ((50, 100), (60, 60), (70, 100))
    assert one(tmp_path, d.polyline(dart, "8", closed=False)).drawn_lines == (dart,)


def test_cutouts_are_drawn_and_told(tmp_path: Path) -> None:
    hole = d.polyline(((50, 50), (60, 50), (60, 60)), "11")
    (line,) = one(tmp_path, hole).drawn_lines
    assert line[0] == line[-1]
    assert found(tmp_path, hole) == {"cutout-ignored"}


def test_drill_holes_become_crosses_and_are_told(tmp_path: Path) -> None:
    hole = d.point((50, 40), "13")
    lines = one(tmp_path, hole).drawn_lines
    assert len(lines) == 2
    for (ax, ay), (bx, by) in lines:
        assert ((ax + bx) / 2, (ay + by) / 2) == (50, 40)
    assert found(tmp_path, hole) == {"drill-hole-drawn"}


def test_a_sew_line_round_the_piece_is_its_sewing_line(tmp_path: Path) -> None:
    ring = ((10, 10), (190, 10), (190, 90), (10, 90))
    assert one(tmp_path, d.polyline(ring, "14")).sewing_line == ring
    fold = d.line((0, 0), (200, 0), "6")
    half = ((190, 0), (190, 90), (10, 90), (10, 0))
    assert one(tmp_path, fold, d.polyline(half, "14", closed=False)).sewing_line == half


def test_a_sew_line_that_does_not_go_round_is_drawn_and_told(tmp_path: Path) -> None:
    seam = ((10, 10), (190, 10))
    piece = one(tmp_path, d.polyline(seam, "14", closed=False))
    assert (piece.sewing_line, piece.drawn_lines) == ((), (seam,))
    assert found(tmp_path, d.polyline(seam, "14", closed=False)) == {"sewing-line-open"}


def test_turn_points_curve_points_grading_and_check_curves_are_passed_over(tmp_path: Path) -> None:
    more = [d.point((200, 0), "2"), d.point((100, 0), "3"), d.text("# 7", "2")]
    more += [d.line((0, 50), (200, 50), "5"), d.polyline(d.SQUARE, "84")]
    plain = one(tmp_path)
    assert one(tmp_path, *more) == plain
    assert found(tmp_path, *more) == set()


def test_stripe_and_plaid_lines_and_strange_layers_are_told(tmp_path: Path) -> None:
    for layer in ("9", "10", "47", "0"):
        assert found(tmp_path, d.line((0, 50), (200, 50), layer)) == {"line-ignored"}


def test_texts_of_style_and_piece(tmp_path: Path) -> None:
    block = d.piece_block(
        GRAIN,
        d.text("MATERIAL:  printed  cotton "),
        d.text("Category: top"),
        d.text("Annotation: mind the nap", "15"),
        d.text("Grain rule: crosswise", "15"),
        d.text("Joins: 3", "15"),
    )
    drawing = d.interchange(block + d.text("Style Name: Dora"))
    (piece,) = d.read(tmp_path, "a.dxf", drawing).pieces
    assert (piece.fabric, piece.garment, piece.joins) == ("printed cotton", "Dora", 3)
    assert piece.grain_rule is GrainRule.CROSSWISE


def test_pieces_of_one_name_are_told_apart_by_size_or_number(tmp_path: Path) -> None:
    blocks = [d.piece_block(GRAIN, d.text(f"Size: {size}")) for size in ("4", "6")]
    draft = d.read(tmp_path, "a.dxf", d.interchange(*blocks, d.piece_block(GRAIN)))
    assert [piece.name for piece in draft.pieces] == ["front size 4", "front size 6", "front"]
    draft = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block(GRAIN), d.piece_block(GRAIN)))
    assert [piece.name for piece in draft.pieces] == ["front", "front 2"]


def test_a_block_without_a_name_is_called_by_its_own(tmp_path: Path) -> None:
    drawing = d.interchange(d.polyline(d.SQUARE, "1") + GRAIN)
    assert d.read(tmp_path, "a.dxf", drawing).pieces[0].name == "block 0"


def test_the_largest_of_several_boundaries_is_taken_and_told(tmp_path: Path) -> None:
    inner = ((10, 10), (50, 10), (50, 50))
    draft = d.read(tmp_path, "a.dxf", d.interchange(d.piece_block(GRAIN, d.polyline(inner, "1"))))
    assert area(draft.pieces[0].outline) == 20000
    assert d.codes(draft) == {"duplicate-outline"}


def test_a_small_gap_in_the_boundary_is_closed_and_told(tmp_path: Path) -> None:
    open_ended = (*d.SQUARE, (0, 0.6))
    block = d.polyline(open_ended, "1", closed=False) + GRAIN + d.text("Piece Name: yoke")
    draft = d.read(tmp_path, "a.dxf", d.interchange(block))
    assert area(draft.pieces[0].outline) == pytest.approx(20000, abs=60)
    assert d.codes(draft) == {"gap-closed"}


def test_a_large_gap_in_the_boundary_is_refused(tmp_path: Path) -> None:
    block = d.polyline(d.SQUARE, "1", closed=False) + d.text("Piece Name: yoke")
    assert "piece 'yoke': The boundary of this piece is not closed." in refused(
        tmp_path, d.interchange(block)
    )


def test_every_piece_that_cannot_be_cut_is_refused_together(tmp_path: Path) -> None:
    bow = ((0, 0), (200, 100), (200, 0), (0, 90))
    blocks = [d.polyline(bow, "1") + d.text(f"Piece Name: {name}") for name in ("one", "two")]
    said = refused(tmp_path, d.interchange(*blocks))
    assert "piece 'one': The outline crosses or touches itself." in said
    assert "piece 'two': The outline crosses or touches itself." in said


def test_a_curved_boundary_keeps_within_a_tenth_of_a_millimetre(tmp_path: Path) -> None:
    # Half a disc of 10 in. radius, its arc one bulge of 1 (a tangent of a quarter of 180 degrees).
    block = d.lwpolyline([(10, 0, 1), (-10, 0)], "1") + d.line((-5, 1), (5, 1), "7")
    drawing = d.interchange(block + d.text("Piece Name: half disc"), units="ENGLISH")
    (piece,) = d.read(tmp_path, "a.dxf", drawing).pieces
    centre = (254.0, 0.0)
    arc = [point for point in piece.outline if point[1] > 0]
    assert len(arc) > 20
    for a, b in itertools.pairwise(arc):
        assert math.dist(a, centre) == pytest.approx(254)
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert 254 - math.dist(middle, centre) < 0.1
