"""True-size pages, read back with a PDF library that had no part in writing them."""

import io
import math
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream
from shapely.affinity import translate
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from nesting.output.drawing.piece_lines import grain_arrow
from nesting.output.drawing.rows import Row
from nesting.output.drawing.shape import shape_of
from nesting.output.paper.tiles import _overview, _tile_page, marker_tiles, pieces_tiles
from nesting.output.paper.tiling import (
    LAP_MM,
    MARGIN_MM,
    Item,
    Paper,
    board_of_marker,
    boards_of,
    letters,
)
from nesting.page.tasks.made.cutting import print_tiles
from nesting.page.tasks.planning import finish
from pieces.piece import Seam
from pieces.units import Unit
from tests.nesting.output.sample_plan import rectangle, sample_plan, skirt_front, two_pieces

MM_PER_POINT = 25.4 / 72
# ISO 216:2007, A4; ANSI/ASME Y14.1-2012, size A: 8.5 by 11 in.
SIZES = {Paper.A4: (210.0, 297.0), Paper.LETTER: (8.5 * 25.4, 11 * 25.4)}


def rings(page, width_pt=None):
    """The closed and open lines stroked on a page, in mm from its lower left corner.

    With `width_pt` only those that are so heavy. matplotlib draws text in fonts, so that no
    letters are among them.
    """
    found, current, width = [], [], 1.0
    here = []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        values = [float(v) for v in operands if not isinstance(v, (list, str, dict))
                  and re.fullmatch(r"-?[\d.]+", str(v))]  # fmt: skip
        if operator == b"w":
            width = values[0]
        elif operator == b"m":
            here = [tuple(v * MM_PER_POINT for v in values)]
            current.append((width, here))
        elif operator == b"l":
            here.append(tuple(v * MM_PER_POINT for v in values))
        elif operator == b"re":
            x, y, w, h = (v * MM_PER_POINT for v in values)
            current.append((width, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]))
        elif operator in (b"S", b"s", b"B", b"b"):
            found += [line for w, line in current if width_pt is None or abs(w - width_pt) < 1e-3]
            current = []
        elif operator in (b"n", b"f"):
            current = []
    return found


def read(pdf):
    return PdfReader(io.BytesIO(pdf))


@pytest.mark.parametrize("paper", list(Paper))
def test_pages_are_the_papers_size_to_a_tenth_of_a_millimetre(paper):
    pdf = read(pieces_tiles("sisters", [rectangle("pocket", "", "lawn", 90, 80)], Unit.CM, paper))
    for page in pdf.pages:
        size = [float(v) * MM_PER_POINT for v in page.mediabox[2:]]
        assert size == pytest.approx(SIZES[paper], abs=0.1)
        assert page.get("/UserUnit", 1) == 1
        assert page.rotation == 0


@pytest.mark.parametrize("paper", list(Paper))
def test_squares_measure_ten_centimetres_and_four_inches(paper):
    pdf = read(pieces_tiles("sisters", [rectangle("pocket", "", "lawn", 90, 80)], Unit.CM, paper))
    sides = []
    for ring in rings(pdf.pages[0]):
        xs, ys = zip(*ring, strict=True)
        if len(ring) >= 4 and math.isclose(max(xs) - min(xs), max(ys) - min(ys), abs_tol=0.05):
            sides.append(max(xs) - min(xs))
            assert min(xs) >= 0 <= min(ys)
            assert max(xs) <= SIZES[paper][0]
            assert max(ys) <= SIZES[paper][1]
    assert sorted(sides) == pytest.approx([100.0, 4 * 25.4], abs=0.01)
    text = pdf.pages[0].extract_text()
    assert "10 cm each way" in text
    assert "4 in each way" in text


@pytest.mark.parametrize("paper", list(Paper))
def test_a_piece_comes_out_at_true_size_over_its_pages(paper):
    """The outline put together from the pages is the piece, to 0.01 mm."""
    piece = skirt_front("Dora", "lawn")
    (board,) = boards_of([Item(shape_of(piece), "front")], paper)
    assert len(board.tiles) > 2
    pages = read(pieces_tiles("sisters", [piece], Unit.CM, paper)).pages[2:]
    assert len(pages) == len(board.tiles)
    # What a page shows of the board, from the size of the paper alone.
    sides = [side - 2 * MARGIN_MM for side in SIZES[paper]]
    frame = box(MARGIN_MM, MARGIN_MM, MARGIN_MM + sides[0], MARGIN_MM + sides[1])
    seen = []
    for page, tile in zip(pages, board.tiles, strict=True):
        dx, dy = (place * (side - LAP_MM) - MARGIN_MM
                  for place, side in zip((tile.column, tile.row), sides, strict=True))  # fmt: skip
        seen += [
            translate(LineString(line).intersection(frame), dx, dy)
            for line in rings(page, width_pt=1.1)
        ]
    meant = Polygon(board.items[0].shape.outline)
    assert meant.area == pytest.approx(Polygon(piece.outline).area)
    drawn = unary_union(seen)
    assert drawn.buffer(0.01).contains(meant.exterior)
    assert meant.exterior.buffer(0.01).contains(drawn)
    # Neighbours show the strip they share twice.
    assert sum(line.length for line in seen) > meant.exterior.length + 2 * LAP_MM


def test_nothing_of_a_piece_is_drawn_in_the_printers_margin():
    page = read(pieces_tiles("s", [skirt_front("Dora", "lawn")], Unit.CM, Paper.A4)).pages[2]
    clips, current = {}, None
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"re":
            current = [float(v) * MM_PER_POINT for v in operands]
        elif operator == b"w":
            clips.setdefault(float(operands[0]), []).append(current)
    for heavy in (1.1, 0.45, 3.0):  # cut line, sewing line, fold
        for clip in clips[heavy]:
            assert clip == pytest.approx([10.0, 10.0, 190.0, 277.0], abs=0.01)


@given(
    st.floats(20, 1500), st.floats(20, 1200), st.sampled_from(list(Paper)), st.booleans()
)  # fmt: skip
def test_pages_of_a_board_cover_its_shapes(long, wide, paper, cut_corner):
    piece = rectangle("sash", "", "lawn", long, wide)
    if cut_corner:
        piece = replace(piece, outline=((0.0, 0.0), (long, 0.0), (0.0, wide)))
    (board,) = boards_of([Item(shape_of(piece), "sash")], paper)
    width, height = (side - 2 * MARGIN_MM for side in SIZES[paper])
    frames = []
    for tile in board.tiles:
        x, y = board.origin_mm(tile)
        frames.append(box(x, y, x + width, y + height))
    shape = Polygon(board.items[0].shape.outline)
    assert shape.difference(unary_union(frames)).area < 1e-6
    assert all(frame.intersects(shape.buffer(3)) for frame in frames)
    assert sorted(tile.number for tile in board.tiles) == list(range(1, len(frames) + 1))


def test_small_pieces_share_pages_without_touching():
    pieces = [rectangle(f"tab {n}", "", "lawn", 30 + 7 * n, 25 + 5 * n) for n in range(12)]
    items = [Item(shape_of(piece), piece.name) for piece in pieces]
    boards = boards_of(items, Paper.A4)
    assert sum(len(board.items) for board in boards) == 12
    assert len(boards) < 4
    for board in boards:
        assert len(board.tiles) == 1
        shapes = [Polygon(item.shape.outline) for item in board.items]
        frame = box(0, 0, 190, 277)
        assert all(frame.contains(shape) for shape in shapes)
        for index, shape in enumerate(shapes):
            assert all(shape.distance(other) >= 5.99 for other in shapes[:index])


def test_pieces_of_one_shape_are_drawn_once():
    front = rectangle("front", "Dora", "satin", 120, 90)
    lining = replace(front, name="front lining", fabric="lawn", cut=2)
    pdf = read(pieces_tiles("sisters", [front, lining], Unit.CM, Paper.A4))
    assert len(pdf.pages) == 3
    text = pdf.pages[2].extract_text()
    assert "front (Dora): cut 1, satin" in text
    assert "front lining (Dora): cut 2, lawn" in text


def test_each_page_says_where_it_belongs():
    piece = skirt_front("Dora", "lawn")
    (board,) = boards_of([Item(shape_of(piece), "front")], Paper.A4)
    pdf = read(pieces_tiles("sisters", [piece], Unit.CM, Paper.A4))
    for page, tile in zip(pdf.pages[2:], board.tiles, strict=True):
        text = page.extract_text()
        assert board.label(tile) in text
        for columns, rows in ((1, 0), (0, 1)):
            other = board.beside(tile, columns, rows)
            assert (f"{board.label(other)} here" in text) if other else True
    overview = pdf.pages[1].extract_text()
    assert all(board.label(tile) in overview for tile in board.tiles)
    assert any("lay this edge on the fold" in page.extract_text() for page in pdf.pages)


@pytest.mark.long
def test_a_layout_at_true_size_is_as_long_as_the_marker():
    plan = sample_plan()
    entry = plan.fabrics[0]
    pdf = read(marker_tiles(plan.order, entry, Paper.A4))
    across = 210.0 - 2 * MARGIN_MM
    upright = set()
    for page in pdf.pages[3:]:
        column = int(re.search(r"column (\d+), row", page.extract_text())[1]) - 1
        for line in rings(page, width_pt=0.8):
            (x0, _), (x1, _) = line[0], line[-1]
            if abs(x1 - x0) < 1e-6 and MARGIN_MM <= x0 <= MARGIN_MM + across:
                shift = column * (across - LAP_MM)
                upright.add(round(x0 - MARGIN_MM + shift, 2))
    assert max(upright) - min(upright) == pytest.approx(entry.table_length_mm, abs=0.02)
    assert len(upright) == 2


def test_plain_strips_are_told_and_take_no_pages():
    band = replace(
        rectangle("band", "Dora", "lawn", 140, 1100, 2),
        sewing_line=((10, 10), (120, 10), (120, 1090), (10, 1090)),
        seams=(
            Seam("hem", ((120, 10), (120, 1090)), (), 20.0, True),
            Seam("top", ((10, 1090), (10, 10)), (270,), 10.0),
        ),
    )
    front = skirt_front("Dora", "lawn")
    pdf = read(pieces_tiles("sisters", [band, front], Unit.CM, Paper.A4))
    alone = read(pieces_tiles("sisters", [front], Unit.CM, Paper.A4))
    assert len(pdf.pages) == len(alone.pages) + 1
    told = " ".join(pdf.pages[1].extract_text().split())
    assert "band (Dora): cut 2, lawn; 14 cm along the grain by 110 cm; of which allowances:" in told
    assert "hem 2 cm, top 1 cm; notches on the top, from its end: 27 cm." in told
    only = read(pieces_tiles("sisters", [band], Unit.IN, Paper.LETTER))
    assert len(only.pages) == 2
    assert "5 1/2 in along the grain" in " ".join(only.pages[1].extract_text().split())


@pytest.mark.long
def test_a_layout_has_no_blank_pages_and_none_of_strips():
    """Each page shows an outline; strips are told where they lie, as in the report."""
    plan = sample_plan()
    entry = plan.fabrics[0]
    pdf = read(marker_tiles(plan.order, entry, Paper.A4))
    told = pdf.pages[1].extract_text()
    assert "Plain strips" in told
    assert "sash (Dora)" in told
    assert "skirt" not in told
    frame = box(MARGIN_MM, MARGIN_MM, 200.0, 287.0)
    for page in pdf.pages[3:]:
        cut = [line for line in rings(page, width_pt=1.1) if len(line) > 1]
        inside = any(LineString(line).intersects(frame) for line in cut)
        around = any(len(line) > 3 and Polygon(line).buffer(3).intersects(frame) for line in cut)
        assert inside or around
    strips = [one for one in entry.marker.placements if one.piece in ("sash", "pocket")]
    only = replace(entry, marker=replace(entry.marker, placements=tuple(strips)))
    assert len(read(marker_tiles(plan.order, only, Paper.A4)).pages) == 2


def test_the_same_pieces_give_the_same_bytes():
    pieces = [rectangle("pocket", "", "lawn", 90, 80)]
    once, again = (pieces_tiles("s", pieces, Unit.IN, Paper.LETTER) for _ in range(2))
    assert once == again


def test_letters_go_on_after_z():
    assert [letters(n) for n in (0, 25, 26, 27, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


@pytest.mark.long
def test_names_of_pages_keep_apart_in_the_overview_of_six_metres():
    edges = (((0.0, 0.0), (6_000.0, 0.0)), ((0.0, 1400.0), (6_000.0, 1400.0)))
    whole = Item(shape_of(rectangle("train", "", "satin", 6_000, 1400)), "train")
    board = board_of_marker("six metres", [whole], edges, Paper.A4)
    sheet = _overview("layout", [board], [3], Paper.A4)
    names = {board.label(tile) for tile in board.tiles}
    boxes = [
        box(*place).buffer(-0.4)
        for text, place in zip(sheet.axes.texts, sheet.written, strict=True)
        if text.get_text() in names
    ]
    assert len(boxes) == len(board.tiles) > 180
    assert unary_union(boxes).area == pytest.approx(sum(one.area for one in boxes))


def test_no_thread_line_runs_through_a_name():
    piece = skirt_front("Dora", "satin")
    (board,) = boards_of([Item(shape_of(piece), "skirt front", ("cut 1",))], Paper.A4)
    (item,), crossed = board.items, 0
    for tile in board.tiles:
        sheet = _tile_page("pieces", board, tile)
        x, y = board.origin_mm(tile)
        row = Row(x, x + 190.0, MARGIN_MM, MARGIN_MM - y, 1.0)
        arrow = LineString(grain_arrow(item.shape, row))
        for text, place in zip(sheet.axes.texts, sheet.written, strict=True):
            if text.get_text() in ("skirt front", "cut 1"):
                crossed += 1
                assert arrow.distance(box(*place)) > 0
    assert crossed == 2


@pytest.mark.long
def test_pages_of_a_layout_that_was_changed_are_not_offered(tmp_path):
    """Printed, changed, and printed on other paper: the first pages are of another layout."""

    class Silent:
        def tell(self, told):
            pass

    made = two_pieces()
    finish(made, tmp_path, Silent())
    first = print_tiles({"folder": str(tmp_path), "paper": "a4"}, Silent())["files"]
    assert "red-satin-a4.pdf" in first
    again = finish(made, tmp_path, Silent())["files"]
    assert "red-satin-a4.pdf" not in again
    last = print_tiles({"folder": str(tmp_path), "paper": "letter"}, Silent())["files"]
    assert [name for name in last if "a4" in name] == []
    assert set(last) == {*again, "red-satin-letter.pdf", "pieces-letter.pdf"}
