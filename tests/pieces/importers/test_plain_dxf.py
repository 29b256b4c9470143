"""Plain DXF drawings: closed outlines out of every kind of line, by the format's open reference.

Areas are those of school geometry; a chord may stray by 0.1 mm from its curve.
"""

from __future__ import annotations

import io
import math
import random
from pathlib import Path

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st

import tests.pieces.importers.drawings as d
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.importers.gathering import Gathering
from pieces.importers.strokes import Stroke, joined
from pieces.piece import Draft, Outline

MM, INCHES = 4, 1


def plain(folder: Path, entities: str, units: int | None = MM, **more: object) -> Draft:
    return d.read(folder, "pocket.dxf", d.dxf(entities, units=units), **more)


def areas(draft: Draft) -> list[float]:
    return [area(piece.outline) for piece in draft.pieces]


def near(exact: float, length: float) -> object:
    """An area to what chords within a tenth of a millimetre of a curve of this length allow."""
    return pytest.approx(exact, abs=0.1 * length)


def test_closed_polylines_old_and_new(tmp_path: Path) -> None:
    draft = plain(tmp_path, d.polyline(d.SQUARE) + d.lwpolyline([(300, 0), (400, 0), (400, 50)]))
    assert areas(draft) == [20000, 2500]
    assert [piece.name for piece in draft.pieces] == ["pocket", "pocket 2"]
    assert d.codes(draft) == {"grain-assumed"}


def test_a_circle_an_ellipse_and_a_closed_arc_of_two_bulges(tmp_path: Path) -> None:
    ellipse = d.tags(
        *((0, "ELLIPSE"), (100, "AcDbEntity"), (8, "0"), (100, "AcDbEllipse"), (10, 600), (20, 0)),
        *((30, 0), (11, 80), (21, 0), (31, 0), (40, 0.5), (41, 0), (42, math.tau)),
    )
    disc = d.lwpolyline([(900, 0, 1), (1000, 0, 1)])
    draft = plain(tmp_path, d.circle((0, 0), 500) + ellipse + disc)
    circle, oval, bulged = areas(draft)
    assert circle == near(math.pi * 500**2, math.tau * 500)
    assert oval == near(math.pi * 80 * 40, math.tau * 80)
    assert bulged == near(math.pi * 50**2, math.tau * 50)


def test_lines_and_arcs_join_into_one_outline_whatever_their_order(tmp_path: Path) -> None:
    # A stadium: 100 by 60, with half a disc at each end.
    parts = [d.line((0, 0), (100, 0)), d.line((100, 60), (0, 60))]
    parts += [d.arc((100, 30), 30, 270, 90), d.arc((0, 30), 30, 90, 270)]
    for order in ((0, 1, 2, 3), (3, 1, 0, 2), (2, 3, 1, 0)):
        draft = plain(tmp_path, "".join(parts[i] for i in order))
        assert areas(draft) == [near(6000 + math.pi * 900, math.tau * 30)]
        assert d.codes(draft) == {"grain-assumed"}


def test_a_spline_within_a_tenth_of_a_millimetre(tmp_path: Path) -> None:
    # Half a parabola's segment: a quadratic Bezier encloses two some of its triangle.
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = MM
    space = document.modelspace()
    space.add_open_spline([(0, 0), (200, 300), (400, 0)], degree=2)
    space.add_line((0, 0), (400, 0))
    written = io.StringIO()
    document.write(written)
    draft = d.read(tmp_path, "a.dxf", written.getvalue())
    assert areas(draft) == [near(2 / 3 * 400 * 300 / 2, 700)]


@pytest.mark.parametrize(("units", "scale"), [(MM, 1), (INCHES, 25.4), (5, 10), (6, 1000)])
def test_the_header_tells_the_unit(tmp_path: Path, units: int, scale: float) -> None:
    draft = plain(tmp_path, d.polyline([(0, 0), (8, 0), (8, 6), (0, 6)]), units)
    assert areas(draft) == [pytest.approx(48 * scale**2)]
    assert d.codes(draft) == {"grain-assumed"}


def test_a_curve_in_inches_is_as_fine_as_one_in_millimetres(tmp_path: Path) -> None:
    inches = plain(tmp_path, d.circle((0, 0), 10), INCHES).pieces[0]
    metric = plain(tmp_path, d.circle((0, 0), 254)).pieces[0]
    assert len(inches.outline) == len(metric.outline)


def test_no_unit_is_guessed_and_told_unless_the_order_tells(tmp_path: Path) -> None:
    drawing = d.polyline([(0, 0), (12, 0), (12, 10), (0, 10)])
    draft = plain(tmp_path, drawing, None)
    assert areas(draft) == [pytest.approx(120 * 25.4**2)]
    assert "unit-guessed" in d.codes(draft)
    told = plain(tmp_path, drawing, None, unit="cm")
    assert areas(told) == [pytest.approx(12000)]
    assert "unit-guessed" not in d.codes(told)


def test_the_order_tells_the_grain(tmp_path: Path) -> None:
    draft = plain(tmp_path, d.polyline(d.SQUARE), grain_deg=90.0)
    assert bounds(draft.pieces[0].outline) == pytest.approx((0, 0, 100, 200))
    assert d.codes(draft) == set()


def test_a_small_gap_is_closed_and_told(tmp_path: Path) -> None:
    corners = [((0, 0), (200, 0)), ((200, 0.8), (200, 100)), ((200, 100), (0, 100))]
    draft = plain(tmp_path, "".join(d.line(*ends) for ends in [*corners, ((0, 100), (0, 0))]))
    assert areas(draft) == [pytest.approx(20000, abs=100)]
    assert "gap-closed" in d.codes(draft)


def test_an_open_outline_is_told_or_where_it_is_all_there_is_refused(tmp_path: Path) -> None:
    gaping = d.polyline([(300, 0), (400, 0), (400, 50), (300, 50)], closed=False)
    draft = plain(tmp_path, d.polyline(d.SQUARE) + gaping)
    assert areas(draft) == [20000]
    (told,) = [finding for finding in draft.findings if finding.code == "open-outline"]
    assert "near (300 mm, 0 mm)" in told.message
    assert "50 mm apart" in told.message
    with pytest.raises(OrderFault, match="no closed outline of a piece"):
        plain(tmp_path, gaping)


def test_the_same_outline_twice_in_one_place_is_one_piece(tmp_path: Path) -> None:
    turned = d.SQUARE[2:] + d.SQUARE[:2]
    draft = plain(tmp_path, d.polyline(d.SQUARE) + d.lwpolyline(turned[::-1]))
    assert areas(draft) == [20000]
    assert "duplicate-outline" in d.codes(draft)
    beside = [(x, y + 150) for x, y in d.SQUARE]
    assert len(plain(tmp_path, d.polyline(d.SQUARE) + d.polyline(beside)).pieces) == 2


def test_specks_are_left_out_and_told(tmp_path: Path) -> None:
    draft = plain(tmp_path, d.polyline(d.SQUARE) + d.polyline([(300, 0), (304, 0), (304, 4)]))
    assert areas(draft) == [20000]
    assert "speck-left-out" in d.codes(draft)


def test_closed_lines_inside_are_drawn_and_told_and_open_ones_drawn(tmp_path: Path) -> None:
    hole, dart = (
        d.circle((50, 50), 20),
        d.polyline([(150, 100), (160, 50), (170, 100)], closed=False),
    )
    draft = plain(tmp_path, hole + dart + d.polyline(d.SQUARE))
    assert areas(draft) == [20000]
    closed, opened = draft.pieces[0].drawn_lines
    assert closed[0] == closed[-1]
    assert opened == ((150, 100), (160, 50), (170, 100))
    assert "cutout-ignored" in d.codes(draft)
    assert "open-outline" not in d.codes(draft)


def test_where_lines_branch_the_outer_edge_is_taken_and_told(tmp_path: Path) -> None:
    edges = zip(d.SQUARE, d.SQUARE[1:] + d.SQUARE[:1], strict=True)
    drawing = "".join(d.line(a, b) for a, b in edges) + d.line((0, 0), (200, 100))
    draft = plain(tmp_path, drawing)
    assert areas(draft) == [20000]
    assert draft.pieces[0].drawn_lines == (((0, 0), (200, 100)),)
    assert "branched-outline" in d.codes(draft)


def test_lines_of_two_layers_do_not_join(tmp_path: Path) -> None:
    edges = list(zip(d.SQUARE, d.SQUARE[1:] + d.SQUARE[:1], strict=True))
    drawing = "".join(d.line(a, b, "seam" if i else "grain") for i, (a, b) in enumerate(edges))
    with pytest.raises(OrderFault):
        plain(tmp_path, drawing)


def test_inserted_blocks_are_scaled_turned_mirrored_and_name_their_pieces(tmp_path: Path) -> None:
    blocks = {"cuff": d.polyline([(0, 0), (100, 0, 0.3), (100, 50), (0, 50)])}
    straight = d.read(tmp_path, "a.dxf", d.dxf(d.insert("cuff"), blocks, MM))
    placed = d.insert("cuff", (41, -2), (42, 2), (50, 30))
    changed = d.read(tmp_path, "a.dxf", d.dxf(placed, blocks, MM))
    assert [piece.name for piece in changed.pieces] == ["cuff"]
    assert areas(changed)[0] == pytest.approx(4 * areas(straight)[0], rel=2e-3)
    two = d.dxf(d.insert("cuff", (70, 2), (44, 300)), blocks, MM)
    assert [piece.name for piece in d.read(tmp_path, "a.dxf", two).pieces] == ["cuff", "cuff 2"]


def test_a_block_that_holds_itself_is_told(tmp_path: Path) -> None:
    blocks = {"cuff": d.polyline(d.SQUARE) + d.insert("cuff", (41, 0.9), (42, 0.9))}
    draft = d.read(tmp_path, "a.dxf", d.dxf(d.insert("cuff"), blocks, MM))
    assert "line-unreadable" in d.codes(draft)


def test_writing_inside_an_outline_is_its_name(tmp_path: Path) -> None:
    drawing = d.polyline(d.SQUARE) + d.text("outside", "0", (-50, 0)) + d.text("patch pocket", "0")
    assert plain(tmp_path, drawing).pieces[0].name == "patch pocket"


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.dxf", b"hello", "no DXF drawing"),
        ("a.dxf", b"AutoCAD Binary DXF\r\n\x1a\x00", "binary DXF"),
        ("a.dxf", b"", "no DXF drawing"),
        ("a.eps", b"", "end in .dxf, .svg or .pdf"),
        ("a.dxf", b"0\nSECTION\n" * 1_000_001, "far too large"),
    ],
)
def test_what_is_no_drawing_is_refused(tmp_path: Path, name: str, data: bytes, said: str) -> None:
    from pieces.ready import read_pieces

    (tmp_path / name).write_bytes(data)
    with pytest.raises(OrderFault, match=said):
        read_pieces(tmp_path / name)


def test_a_decimal_comma_is_refused_and_not_guessed(tmp_path: Path) -> None:
    with pytest.raises(OrderFault, match="damaged"):
        plain(tmp_path, d.polyline(d.SQUARE).replace("\n200\n", "\n200,5\n"))


def test_far_too_many_outlines_or_points_are_refused(tmp_path: Path) -> None:
    many = "".join(d.polyline([(x, 0), (x + 9, 0), (x + 9, 9)]) for x in range(0, 5100, 10))
    with pytest.raises(OrderFault, match="more than 500 closed outlines"):
        plain(tmp_path, many)
    with pytest.raises(OrderFault, match="numbers out of all measure"):
        plain(tmp_path, d.polyline([(0, 0), (2e6, 0), (0, 100)]))


STARS = st.lists(st.floats(50, 100), min_size=4, max_size=12)


@given(STARS, st.integers(0, 2**32))
def test_an_outline_cut_into_strokes_is_found_again(radii: list[float], seed: int) -> None:
    rng = random.Random(seed)
    count = len(radii)
    outline: Outline = tuple(
        (r * math.cos(math.tau * i / count), r * math.sin(math.tau * i / count))
        for i, r in enumerate(radii)
    )
    cuts = sorted(rng.sample(range(count), rng.randint(1, count)))
    strokes = []
    for start, end in zip(cuts, [*cuts[1:], cuts[0] + count], strict=True):
        line = tuple(outline[i % count] for i in range(start, end + 1))
        strokes.append(Stroke(line if rng.random() < 0.5 else line[::-1], False))
    rng.shuffle(strokes)
    closed, loose = joined(strokes, Gathering(Path("star.dxf")))
    assert loose == []
    assert len(closed) == 1
    assert set(closed[0].line) == set(outline)
    assert len(closed[0].line) == count
    assert area(closed[0].line) == pytest.approx(area(outline))


# ---- grain -------------------------------------------------------------------------------


def _way(piece):
    """How the outline lies to the thread: its length along the grain and across it."""
    left, low, right, high = bounds(piece.outline)
    return right - left, high - low


@pytest.mark.parametrize(
    "layer", ["GRAIN", "grainline", "Grain line", "2_straight-grain", "THREAD LINE"]
)
def test_a_line_on_a_layer_called_grain_is_the_grain(tmp_path, layer):
    drawing = d.dxf(d.polyline(d.SQUARE, "OUTLINE") + d.line((50, 20), (50, 80), layer), units=4)
    draft = d.read(tmp_path, "a.dxf", drawing)
    (piece,) = draft.pieces
    assert _way(piece) == pytest.approx((100, 200))
    assert piece.drawn_lines == ()
    assert d.codes(draft) == {"grain-read"}


def test_the_grain_points_from_the_beginning_of_its_line(tmp_path):
    corner = ((0, 0), (200, 0), (200, 50), (0, 100))
    up, down = (
        d.read(
            tmp_path,
            "a.dxf",
            d.dxf(d.polyline(corner) + d.line((50, start), (50, end), "GRAIN"), units=4),
        ).pieces[0]
        for start, end in ((20, 80), (80, 20))
    )
    assert up.grain[0][0] < up.grain[1][0]
    assert up.outline != down.outline
    assert _way(up) == pytest.approx(_way(down))


def test_each_piece_has_the_grain_that_lies_in_it(tmp_path):
    other = [(x + 500, y) for x, y in d.SQUARE]
    third = [(x + 900, y) for x, y in d.SQUARE]
    drawing = d.dxf(
        d.polyline(d.SQUARE)
        + d.polyline(other)
        + d.polyline(third)
        + d.line((50, 20), (50, 80), "GRAIN")
        + d.line((50, 80), (45, 70), "GRAIN")  # half of its arrow's head
        + d.line((540, 50), (600, 50), "GRAIN"),
        units=4,
    )
    draft = d.read(tmp_path, "a.dxf", drawing)
    ways = [_way(piece) for piece in draft.pieces]
    assert ways == [pytest.approx(way) for way in ((100, 200), (200, 100), (200, 100))]
    assert d.codes(draft) == {"grain-read", "grain-assumed"}
    (assumed,) = [found.message for found in draft.findings if found.code == "grain-assumed"]
    assert assumed.startswith("a.dxf: a 3 shows no grain")


@pytest.mark.parametrize(("wide", "high", "asked"), [(100, 200, True), (200, 100, False)])
def test_an_upright_drawing_without_grain_is_asked_about(tmp_path, wide, high, asked):
    """Pieces hang by their grain: one that stands upright is not laid across it in silence."""
    corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
    draft = d.read(tmp_path, "a.dxf", d.dxf(d.polyline(corners), units=4))
    (found,) = (found for found in draft.findings if found.code == "grain-assumed")
    assert ("which is across what stands upright" in found.message) is asked
    assert "grain = [[0, 0], [0, 1]]" in found.message


def test_one_grain_beside_the_pieces_is_for_all(tmp_path):
    other = [(x + 500, y) for x, y in d.SQUARE]
    drawing = d.polyline(d.SQUARE) + d.polyline(other) + d.line((300, 0), (300, 90), "GRAIN")
    draft = d.read(tmp_path, "a.dxf", d.dxf(drawing, units=4))
    assert [_way(piece) for piece in draft.pieces] == [pytest.approx((100, 200))] * 2
    assert d.codes(draft) == {"grain-read"}


def test_the_orders_grain_counts_more_and_that_is_told(tmp_path):
    drawing = d.dxf(d.polyline(d.SQUARE) + d.line((50, 20), (50, 80), "GRAIN"), units=4)
    draft = d.read(tmp_path, "a.dxf", drawing, grain_deg=0.0)
    assert _way(draft.pieces[0]) == pytest.approx((200, 100))
    assert d.codes(draft) == {"grain-overruled"}
    agreed = d.read(tmp_path, "a.dxf", drawing, grain_deg=90.0)
    assert _way(agreed.pieces[0]) == pytest.approx((100, 200))
    assert d.codes(agreed) == set()


def test_a_block_of_the_standard_may_call_its_grain_by_name(tmp_path):
    block = d.piece_block(d.line((50, 20), (50, 80), "GRAIN"))
    draft = d.read(tmp_path, "a.dxf", d.interchange(block))
    assert _way(draft.pieces[0]) == pytest.approx((100, 200))
    assert "line-ignored" not in d.codes(draft)
