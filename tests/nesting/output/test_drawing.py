"""The cutting plan as a picture: complete, legible, nothing cut off and nothing in the way."""

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, MultiPoint, Point, box

from nesting.fabric.fabric import LayName
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.drawing import draw_plan
from nesting.output.drawing.label import fitted
from nesting.output.drawing.piece_sheet import draw_pieces
from nesting.output.drawing.rows import Extent, Row, arrange
from nesting.output.drawing.ruler import draw_ruler
from nesting.output.drawing.sheet import INK, MM_PER_POINT, Sheet
from pieces.units import Unit
from tests.examples import examples, some
from tests.nesting.output.sample_plan import SATIN, TULLE, many_pieces, sample_plan, two_pieces

PLANS = {
    "folded": lambda: (sample_plan(), 0),
    "open": lambda: (sample_plan(), 1),
    "inches": lambda: (sample_plan(Unit.IN), 0),
    "yards": lambda: (sample_plan(Unit.YD), 1),
    "forty pieces": lambda: (many_pieces(TULLE), 0),
    "twelve metres": lambda: (many_pieces(SATIN, LayName.LENGTHWISE_FOLD), 0),
    "thirty centimetres": lambda: (two_pieces(), 0),
}


@pytest.fixture(scope="module", params=PLANS)
def drawn(request):
    plan, index = PLANS[request.param]()
    return plan, plan.fabrics[index], draw_plan(plan, plan.fabrics[index])


@pytest.fixture(scope="module")
def sheets():
    plan = sample_plan()
    return draw_pieces(plan.order, plan.pieces, plan.unit)


def _texts(sheet):
    """Every text with the box of its ink on the page, in millimetres."""
    renderer = sheet.figure.canvas.get_renderer()
    per_mm = sheet.figure.dpi / 25.4
    found = []
    for text in sheet.axes.texts:
        bbox = text.get_window_extent(renderer)
        left, low, right, high = (value / per_mm for value in bbox.extents)
        if text.get_text().isdigit():
            # a text's box has room for descenders, which figures lack
            spare = (high - low - 0.75 * text.get_fontsize() * MM_PER_POINT) / 2
            low, high = low + spare, high - spare
        found.append((text, box(left, low, right, high)))
    return found


def _assert_legible(sheet):
    page = box(0, 0, sheet.width_mm, sheet.height_mm)
    for text, place in _texts(sheet):
        assert text.get_fontsize() >= 6.5, text.get_text()
        assert page.buffer(-3).contains(place), text.get_text()


def _assert_apart(sheet):
    # a line of letters is lower than its box, which has room for every accent
    level = [(t, place.buffer(-0.25)) for t, place in _texts(sheet) if t.get_rotation() % 90 == 0]
    for (one, a), (other, b) in combinations(level, 2):
        assert not a.intersects(b), (one.get_text(), other.get_text())


def test_text_is_legible_and_on_the_page(drawn):
    _assert_legible(drawn[2])


def test_what_is_said_of_the_cloth_is_said_to_its_end(drawn):
    _, _, sheet = drawn
    assert [text.get_text() for text, _ in _texts(sheet) if text.get_text().endswith("…")] == []


def test_texts_keep_apart(drawn):
    _assert_apart(drawn[2])


def test_pieces_sheets_are_legible_too(sheets):
    assert len(sheets) == 2
    for sheet in sheets:
        _assert_legible(sheet)
        _assert_apart(sheet)


@pytest.mark.long
def test_however_long_the_orders_name_is_it_ends_on_the_page():
    plan = sample_plan()
    for sheet in draw_pieces("choir dresses " * 30, plan.pieces, plan.unit):
        _assert_legible(sheet)
    named = replace(plan, order="choir dresses " * 30)
    for entry in plan.fabrics:
        sheet = draw_plan(named, entry)
        _assert_legible(sheet)
        _assert_apart(sheet)


def test_no_line_of_a_drawing_parts_a_number():
    text = "opened out from 17 11/16 in past the crosswise fold, 8 % of 3 layers"
    for room in range(10, 120, 5):
        lines = key.wrapped(text, 7.0, room)
        assert " ".join(lines) == text
        assert not any(re.match(r"(\d+/\d+|in|%)\b", line) for line in lines)


def test_names_keep_off_the_cut_lines(drawn):
    _, _, sheet = drawn
    cuts = [
        LinearRing(patch.get_xy())
        for patch in sheet.axes.patches
        if hasattr(patch, "get_xy") and patch.get_linewidth() == key.CUT_PT
    ]
    discs = [Point(p.center).buffer(p.radius) for p in sheet.axes.patches if hasattr(p, "radius")]
    assert cuts
    for text, place in _texts(sheet):
        on_disc = any(disc.contains(place.centroid) for disc in discs)
        if on_disc or text.get_rotation() % 90:
            continue
        assert not any(cut.intersects(place.buffer(-0.2)) for cut in cuts), text.get_text()


def test_every_placement_is_numbered_as_in_the_report(drawn):
    _, entry, sheet = drawn
    said = " ".join(text.get_text() for text in sheet.axes.texts)
    for number, placement in enumerate(words.in_laying_order(entry.marker.placements), start=1):
        assert re.search(rf"\b{number}\b", said)
        words_of_name = placement.piece.split()
        assert all(word in said for word in words_of_name)


def test_says_what_to_buy_and_how_the_cloth_lies(drawn):
    plan, entry, sheet = drawn
    said = [text.get_text() for text in sheet.axes.texts]
    assert entry.fabric.name in said
    assert entry.purchase.text in said
    assert words.LAY[entry.marker.lay] in said
    assert any(f"waste {entry.waste_percent:.1f} %" in text for text in said)
    assert "selvedge" in said
    assert ("fold of the cloth" in said) == (entry.marker.lay is LayName.LENGTHWISE_FOLD)
    assert any(plan.order in text for text in said)
    assert any(text.startswith("drawn 1 : ") for text in said)


@pytest.mark.long
def test_a_long_marker_goes_on_in_rows_with_the_same_letter_at_both_edges():
    plan = many_pieces(SATIN, LayName.LENGTHWISE_FOLD)
    said = [text.get_text() for text in draw_plan(plan, plan.fabrics[0]).axes.texts]
    letters = [text for text in said if re.fullmatch("[A-H]", text)]
    assert len(letters) >= 4
    assert all(letters.count(letter) == 2 for letter in letters)
    assert said.count("fold of the cloth") == len(letters) // 2 + 1


def test_svg_has_every_name_as_text():
    plan = sample_plan()
    for entry in plan.fabrics:
        root = ElementTree.fromstring(draw_plan(plan, entry).saved("svg"))
        said = " ".join(" ".join(node.itertext()) for node in root.iter() if "text" in node.tag)
        for placement in entry.marker.placements:
            assert all(word in said for word in placement.piece.split())


def test_files_are_what_they_should_be_and_the_same_every_time():
    plan = two_pieces()
    first, second = (draw_plan(plan, plan.fabrics[0]) for _ in range(2))
    for kind, head in (("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")):
        data = first.saved(kind)
        assert data.startswith(head)
        assert 10_000 < len(data) < 2_000_000
        assert data == second.saved(kind)


def test_pieces_are_drawn_to_scale():
    plan = sample_plan()
    entry = plan.fabrics[0]
    sheet = draw_plan(plan, entry)
    note = next(t.get_text() for t in sheet.axes.texts if t.get_text().startswith("drawn 1 : "))
    scale = 1 / float(note.split()[3])
    cuts = [p for p in sheet.axes.patches if p.get_linewidth() == key.CUT_PT]
    placements = words.in_laying_order(entry.marker.placements)
    assert len(cuts) == len(placements)
    for patch, placement in zip(cuts, placements, strict=True):
        drawn = LinearRing(patch.get_xy()).length
        assert drawn == pytest.approx(LinearRing(placement.outline_mm).length * scale, rel=1e-6)


def test_the_edge_on_the_fold_is_the_heaviest_line():
    plan = sample_plan()
    sheet = draw_plan(plan, plan.fabrics[0])
    heavy = [line for line in sheet.axes.lines if line.get_linewidth() == key.FOLD_PT]
    on_fold = sum(p.on_fold for p in plan.fabrics[0].marker.placements)
    assert len(heavy) == on_fold + 1  # and its sample in the key
    assert max(line.get_linewidth() for line in sheet.axes.lines) == key.FOLD_PT


def test_the_edge_on_the_fold_is_as_heavy_as_in_the_key():
    plan = sample_plan()
    sheet = draw_plan(plan, plan.fabrics[0])
    heavy = [line for line in sheet.axes.lines if line.get_linewidth() == key.FOLD_PT]
    assert len(heavy) >= 3
    half = key.FOLD_PT * MM_PER_POINT / 2
    for line in heavy:
        seen = line.get_clip_box().transformed(sheet.axes.transData.inverted())
        for x, y in line.get_xydata():
            assert seen.y0 <= y - half + 1e-6
            assert seen.y1 >= y + half - 1e-6
            assert seen.x0 <= x + 1e-6


def test_odd_names_are_written_as_they_are():
    plan = two_pieces()
    entry = plan.fabrics[0]
    fabric = replace(entry.fabric, name=r"$\alpha$ & <b> 100 % \frac 日本")
    entry = replace(entry, fabric=fabric)
    sheet = draw_plan(replace(plan, fabrics=(entry,)), entry)
    root = ElementTree.fromstring(sheet.saved("svg"))
    assert any(fabric.name in "".join(node.itertext()) for node in root.iter())
    assert sheet.saved("png")


@settings(max_examples=examples(25), deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 60), st.floats(0, 60)), min_size=4, max_size=9),
    st.sampled_from([0.0, 45.0, 90.0, 180.0]),
)
def test_a_label_lies_inside_its_room(corners, grain):
    room = MultiPoint(corners).convex_hull
    if room.geom_type != "Polygon" or room.area < 1:
        return
    label = fitted([room], [[[("12 skirt front", True), ("Dora", False)]], [[("12", True)]]], grain)
    if label is None:
        assert room.buffer(-0.3).is_empty or room.area < 12 or _narrowest(room) < 4
        return
    block = label.block
    half = (block.width_mm / 2, block.height_mm / 2)
    from shapely import affinity

    lying = affinity.rotate(box(-half[0], -half[1], *half), label.turn_deg, origin=(0, 0))
    assert room.contains(affinity.translate(lying, *label.at))
    assert block.size_pt * MM_PER_POINT * len(block.lines) <= block.height_mm * 1.4


def _narrowest(room):
    corners = list(room.minimum_rotated_rectangle.exterior.coords)
    return min(Point(a).distance(Point(b)) for a, b in pairwise(corners))


@settings(max_examples=examples(40), deadline=None)
@given(st.floats(100, 30_000), st.floats(200, 3_000), st.floats(20, 150))
def test_rows_cover_the_cloth_and_stay_on_the_page(length, depth, key_mm):
    spans = tuple((x, x + 300.0) for x in range(0, int(length), 310))
    page = arrange(Extent(length, 0.0, depth, spans), lambda columns: key_mm / columns)
    rows = page.rows
    assert rows[0].start_mm == 0.0
    assert rows[-1].end_mm == length
    assert all(a.end_mm == b.start_mm for a, b in pairwise(rows))
    for row in rows:
        assert row.right <= page.width_mm - 9.99
        assert row.y(0.0) >= 10.0
        assert row.y(depth) <= page.height_mm - 10.0
    assert len({row.scale for row in rows}) == 1


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("ratio", some([3, 6, 10, 14, 16, 20, 26, 40]))
def test_named_marks_of_a_ruler_are_among_its_fine_ones(unit, ratio):
    sheet = Sheet(297.0, 210.0, "ruler")
    draw_ruler(sheet, Row(0.0, 200.0 * ratio, 20.0, 100.0, 1 / ratio), 0.0, unit)
    ends = [(line.get_xdata()[0], min(line.get_ydata())) for line in sheet.axes.lines]
    fine = [x for x, low in ends if low == 99.0]
    named = [x for x, low in ends if low == 98.0]
    assert len(named) >= 3
    assert all(min(abs(x - other) for other in fine) < 1e-6 for x in named)


def test_ink_is_dark_on_every_fill():
    """Contrast of at least 7 to 1 (Web Content Accessibility Guidelines 2.1, level AAA)."""

    def luminance(colour):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for fill in (*key.PALETTE, key.CLOTH):
        assert (luminance(fill) + 0.05) / (luminance(INK) + 0.05) >= 7
