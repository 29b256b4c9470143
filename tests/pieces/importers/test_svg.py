"""SVG drawings: shapes, paths, transforms and sizes by the W3C's Scalable Vector Graphics 1.1.

Areas are those of school geometry; a chord may stray by 0.1 mm from its curve. Equivalences of
basic shapes and path commands: SVG 1.1, chapters 8 and 9; of units: CSS Values and Units, 96 px
to the inch.
"""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import tests.pieces.importers.drawings as d
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.importers.svg_path import PathError, Pen, Subpath, read_path
from pieces.importers.svg_space import length, moved, times, transform
from pieces.piece import Draft


def read(folder: Path, content: str, head: str | None = None, **told: object) -> Draft:
    drawing = d.svg(content) if head is None else d.svg(content, head)
    return d.read(folder, "pocket.svg", drawing, **told)


def areas(folder: Path, content: str, head: str | None = None, **told: object) -> list[float]:
    return [area(piece.outline) for piece in read(folder, content, head, **told).pieces]


def near(exact: float, girth: float) -> object:
    return pytest.approx(exact, abs=0.1 * girth)


@pytest.mark.parametrize(
    ("shape", "exact", "girth"),
    [
        ('<rect x="10" y="10" width="100" height="50"/>', 5000, 0),
        ('<rect width="100" height="50" rx="10"/>', 5000 - (4 - math.pi) * 100, 63),
        ('<rect width="100" height="50" rx="90" ry="90"/>', math.pi * 50 * 25, 240),
        ('<rect width="100" height="50" ry="5"/>', 5000 - (4 - math.pi) * 25, 32),
        ('<circle cx="100" cy="100" r="90"/>', math.pi * 8100, 566),
        ('<ellipse cx="100" cy="100" rx="90" ry="20"/>', math.pi * 1800, 380),
        ('<polygon points="0,0 100,0 100,50"/>', 2500, 0),
        ('<polyline points="0,0 100,0 100,50 0,0"/>', 2500, 0),
        ('<path d="M0 0 H100 V50 H0 Z"/>', 5000, 0),
        ('<path d="m10 10 100 0 0 50 -100 0z"/>', 5000, 0),
        ('<path d="M0 0C0 0 100 0 100 0L100 50L0 50z"/>', 5000, 0),
        # A quadratic Bezier encloses two some of its triangle.
        ('<path d="M0 0 Q50 60 100 0 Z"/>', 2 / 3 * 3000, 130),
        ('<path d="M0 0 q25 30 50 30 t50-30 Z"/>', 1500 + 2 * 2 / 3 * 375, 130),
        # Half a disc, and three quarters of one, by arcs with flags run together.
        ('<path d="M0 100 A50 50 0 0 1 100 100 Z"/>', math.pi * 1250, 157),
        ('<path d="M150 100a50 50 0 1150 50v-50z"/>', 0.75 * math.pi * 2500, 236),
        # Radii too small for the chord grow until they reach (SVG 1.1, F.6.6).
        ('<path d="M0 100 A1 1 0 0 1 100 100 Z"/>', math.pi * 1250, 157),
        # An ellipse turned by 90 degrees is one with its radii swapped.
        ('<path d="M0 0 A20 50 90 0 0 100 0 A20 50 90 0 0 0 0"/>', math.pi * 1000, 230),
        ('<g><path d="M0 0H100V100H0Z" transform="scale(2,.5)"/></g>', 10000, 0),
        ('<g transform="rotate(33 7 9)"><rect width="100" height="50"/></g>', 5000, 0),
        ('<rect width="100" height="50" transform="skewX(30)"/>', 5000, 0),
        ('<rect width="100" height="50" transform="matrix(2 0 0 3 7 8)"/>', 30000, 0),
        ('<rect width="10" height="10" transform="scale(10) translate(3)"/>', 10000, 0),
    ],
)  # fmt: skip
def test_areas_of_shapes(tmp_path: Path, shape: str, exact: float, girth: float) -> None:
    assert areas(tmp_path, shape) == [near(exact, max(girth, 1e-6))]


def test_what_is_drawn_as_two_curves_that_cross_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OrderFault, match="crosses or touches itself"):
        read(tmp_path, '<path d="M0 0 L100 100 L100 0 L0 100 Z"/>')


def test_a_piece_is_not_mirrored_by_the_axis_that_points_down(tmp_path: Path) -> None:
    # In the drawing the point is at the upper right.
    draft = read(tmp_path, '<polygon points="0,50 100,0 100,50"/>')
    assert max(draft.pieces[0].outline, key=lambda point: point[1]) == pytest.approx((100, 50))


@pytest.mark.parametrize(
    ("head", "mm_per_unit"),
    [
        ('width="400mm" height="300mm" viewBox="0 0 400 300"', 1),
        ('width="40cm" height="30cm" viewBox="0 0 400 300"', 1),
        ('width="4in" height="3in" viewBox="0 0 400 300"', 0.254),
        ('width="288pt" height="216pt" viewBox="0 0 400 300"', 0.254),
        ('width="400mm" viewBox="5 5 400 300"', 1),
        ('width="800mm" height="300mm" viewBox="0 0 400 300"', 1),
        ('width="800mm" height="300mm" viewBox="0 0 400 300" preserveAspectRatio="x slice"', 2),
        ('width="400mm" height="300mm"', 25.4 / 96),
    ],
)  # fmt: skip
def test_the_width_and_view_box_give_the_scale(
    tmp_path: Path, head: str, mm_per_unit: float
) -> None:
    draft = read(tmp_path, '<rect width="100" height="50"/>', head)
    assert area(draft.pieces[0].outline) == pytest.approx(5000 * mm_per_unit**2)
    assert "unit-guessed" not in d.codes(draft)


def test_scales_may_differ_along_and_down(tmp_path: Path) -> None:
    head = 'width="800mm" height="300mm" viewBox="0 0 400 300" preserveAspectRatio="none"'
    draft = read(tmp_path, '<rect width="100" height="50"/>', head)
    assert bounds(draft.pieces[0].outline) == pytest.approx((0, 0, 200, 50))


@pytest.mark.parametrize("head", ["", 'viewBox="0 0 400 300"', 'width="400px" height="100%"'])
def test_without_a_real_size_px_are_taken_and_told(tmp_path: Path, head: str) -> None:
    draft = read(tmp_path, '<rect width="96" height="192"/>', head)
    assert area(draft.pieces[0].outline) == pytest.approx(2 * 25.4**2)
    assert "unit-guessed" in d.codes(draft)


def test_a_unit_told_is_that_of_the_drawings_numbers(tmp_path: Path) -> None:
    for head in ("", 'width="4in" height="3in" viewBox="0 0 400 300"'):
        draft = read(tmp_path, '<rect width="10" height="5"/>', head, unit="cm")
        assert area(draft.pieces[0].outline) == pytest.approx(5000)
        assert "unit-guessed" not in d.codes(draft)


def test_lengths_inside_may_have_units_of_their_own(tmp_path: Path) -> None:
    head = 'width="400mm" height="300mm"'
    assert areas(tmp_path, '<rect width="10cm" height="2in"/>', head) == [pytest.approx(5080)]


def test_an_inner_drawing_has_its_own_view_box(tmp_path: Path) -> None:
    inner = '<svg x="50" y="7" width="100" height="100" viewBox="0 0 10 10">{}</svg>'
    content = inner.format('<rect width="5" height="5"/>')
    assert areas(tmp_path, content) == [pytest.approx(2500)]


def test_names_are_ids_of_shapes_or_of_the_groups_round_them(tmp_path: Path) -> None:
    rect = '<rect x="{}" width="20" height="20"{}/>'
    content = rect.format(0, ' id="cuff"') + '<g id="collar"><g>' + rect.format(30, "")
    content += rect.format(60, "") + "</g></g>" + rect.format(90, "")
    names = [piece.name for piece in read(tmp_path, content).pieces]
    assert names == ["cuff", "collar", "collar 2", "pocket"]  # in the order drawn


def test_what_is_not_seen_is_not_read(tmp_path: Path) -> None:
    rect = '<rect width="30" height="30"/>'
    hidden = "".join(f"<{kind}>{rect}</{kind}>" for kind in ("defs", "clipPath", "symbol", "mask"))
    hidden += f'<g display="none">{rect}</g><g style="fill:red; display : none">{rect}</g>'
    hidden += f'<other xmlns="urn:other">{rect}</other>'
    seen = '<rect x="50" width="20" height="20" style="display:inline"/>'
    assert areas(tmp_path, hidden + seen) == [pytest.approx(400)]


def test_copies_and_pictures_are_told(tmp_path: Path) -> None:
    for unread in ('<use href="#a"/>', '<image href="a.png"/>'):
        draft = read(tmp_path, '<rect id="a" width="20" height="20"/>' + unread)
        assert "element-ignored" in d.codes(draft)


def test_lines_of_one_group_join_and_of_two_do_not(tmp_path: Path) -> None:
    sides = '<line x1="0" y1="0" x2="100" y2="0"/><path d="M100 0 L100 50"/>'
    last = '<polyline points="100,50 0,50 0,0"/>'
    assert areas(tmp_path, f"<g>{sides}{last}</g>") == [pytest.approx(5000)]
    with pytest.raises(OrderFault, match="no closed outline"):
        read(tmp_path, f"<g>{sides}</g><g>{last}</g>")


def test_a_hole_in_a_path_is_drawn_and_told(tmp_path: Path) -> None:
    draft = read(tmp_path, '<path d="M0 0h100v100h-100zm20 20h20v20h-20z"/>')
    assert [area(piece.outline) for piece in draft.pieces] == [pytest.approx(10000)]
    assert len(draft.pieces[0].drawn_lines) == 1
    assert "cutout-ignored" in d.codes(draft)


@pytest.mark.parametrize(
    "broken",
    [
        '<path d="M0 100 H100 L5"/>',
        '<path d="M0 100 H100 X5"/>',
        '<path d="L0 100"/>',
        '<path d="M0 0 A 5 5 0 2 1 9 9"/>',
        '<polygon points="0,0 9"/>',
        '<circle r="2em"/>',
        '<rect width="5" height="5" transform="scale(1 2 3)"/>',
        '<rect width="5" height="5" transform="turn(1)"/>',
    ],
)
def test_what_cannot_be_read_is_told(tmp_path: Path, broken: str) -> None:
    draft = read(tmp_path, '<rect x="200" width="20" height="20"/>' + broken)
    assert "line-unreadable" in d.codes(draft)


BOMB = """<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>"""


@pytest.mark.parametrize(
    ("drawing", "said"),
    [
        (BOMB, "declares entities"),
        ("<html><body/></html>", "This is no SVG drawing"),
        ("<svg><rect></svg>", "damaged at line 1"),
        ("", "damaged at line 1"),
        (d.svg("<g>" * 150 + "</g>" * 150), "too many inside each other"),
        (d.svg("<g/>" * 50_001), "far too many parts"),
        (d.svg('<path d="M0 0' + "L1 1 2 2" * 100_001 + '"/>'), "far too many points"),
        (d.svg('<rect width="1e7" height="1e7"/>'), "kilometres away"),
        (d.svg('<rect width="1e999" height="1e999"/>'), "no closed outline"),
        (d.svg('<g transform="scale(0)"><rect width="9" height="9"/></g>'), "no closed outline"),
    ],
)
def test_what_is_refused(tmp_path: Path, drawing: str, said: str) -> None:
    with pytest.raises(OrderFault, match=said):
        d.read(tmp_path, "pocket.svg", drawing)


def test_a_doctype_alone_does_no_harm(tmp_path: Path) -> None:
    head = '<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">'
    drawing = head + d.svg('<rect width="20" height="20"/>')
    assert len(d.read(tmp_path, "a.svg", drawing).pieces) == 1


def drawn(data: str) -> list[Subpath]:
    pen = Pen()
    read_path(data, pen)
    return pen.subpaths


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("M1 2 3 4 5 6", "M1 2 L3 4 L5 6"),
        ("m1 2 3 4 5 6", "M1 2 L4 6 L9 12"),
        ("M1,2h3v4H5V6", "M1 2L4 2L4 6L5 6L5 6"),
        ("M0 0c1 2 3 4 5 6s1 1 2 2", "M0 0C1 2 3 4 5 6C7 8 6 7 7 8"),
        ("M0 0S1 1 2 2", "M0 0C0 0 1 1 2 2"),
        ("M0 0Q3 3 6 0T12 0", "M0 0Q3 3 6 0Q9-3 12 0"),
        ("M0 0L5 5T10 5", "M0 0L5 5Q5 5 10 5"),
        ("M1-2.5.5-1e0", "M1 -2.5 L0.5 -1"),
        ("M0 0h4v4zl1 1", "M0 0H4V4Z M0 0L1 1"),
        ("M0 0a2 2 0 01 4 0", "M0 0A2 2 0 0 1 4 0"),
        ("M0 0A0 5 0 0 1 4 0", "M0 0L4 0"),
    ],
)
def test_equal_ways_of_writing_a_path(one: str, other: str) -> None:
    assert drawn(one) == drawn(other)


def test_what_comes_before_a_mistake_is_drawn() -> None:
    pen = Pen()
    with pytest.raises(PathError):
        read_path("M0 0 L5 5 L7", pen)
    assert pen.subpaths == [Subpath((0, 0), [((5, 5),)])]


SMALL = st.floats(-100, 100)
TURNS = st.floats(-360, 360)


@given(st.floats(1, 100), st.floats(1, 100), TURNS, st.booleans(), st.booleans(), SMALL, SMALL)
def test_every_point_of_an_arc_is_on_an_ellipse_of_its_shape(
    rx: float, ry: float, turn: float, large: bool, sweep: bool, x: float, y: float
) -> None:
    if math.hypot(x, y) < 1:
        return
    pen = Pen()
    pen.move((0, 0))
    pen.arc((rx, ry), turn, large, sweep, (x, y))
    parts = pen.subpaths[0].parts
    assert parts[-1][-1] == (x, y)
    # Squeezed and turned to a circle, all ends of its parts lie on one circle about one centre.
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ends = [(0.0, 0.0), *(part[-1] for part in parts)]
    unit = [((cos * a + sin * b) / rx, (-sin * a + cos * b) / ry) for a, b in ends]
    chords = [math.dist(a, b) for a, b in pairwise(unit)]
    assert max(chords) == pytest.approx(min(chords), rel=1e-6, abs=1e-9)
    turns = 2 * math.pi / 12 * len(parts)
    assert (turns > math.pi - 1e-6) or not large


@given(TURNS, SMALL, SMALL, SMALL, SMALL)
def test_transforms_work_from_right_to_left(
    turn: float, x: float, y: float, px: float, py: float
) -> None:
    both = transform(f"translate({x!r} {y!r}) rotate({turn!r})")
    first, second = transform(f"translate({x!r},{y!r})"), transform(f"rotate({turn!r})")
    assert both is not None
    assert first is not None
    assert second is not None
    assert both == times(first, second)
    assert moved(both, (px, py)) == pytest.approx(moved(first, moved(second, (px, py))))


def test_units_of_css() -> None:
    inch = length("1in")
    assert inch is not None
    for text in ("2.54cm", "25.4mm", "72pt", "6pc", "96px", "101.6Q"):
        same = length(text)
        assert same is not None
        assert same[0] == pytest.approx(inch[0])


@pytest.mark.parametrize(
    "line",
    [
        '<line id="grainline" x1="50" y1="80" x2="50" y2="20"/>',
        '<path class="thin grain" d="M50 80V20"/>',
        '<g id="front_grain"><path d="M50 80V20l-3 6M50 20l3 6"/></g>',
        '<path xmlns:x="urn:any" x:label="Grain line" d="M50 80V20"/>',
        '<polyline aria-label="grain" points="50,80 50,20 47,26"/>',
    ],
)
def test_a_line_called_grain_is_the_grain(tmp_path, line):
    drawing = d.svg('<rect id="front" x="10" y="10" width="200" height="100"/>' + line)
    draft = d.read(tmp_path, "a.svg", drawing)
    (piece,) = draft.pieces
    left, low, right, high = bounds(piece.outline)
    assert (right - left, high - low) == pytest.approx((100, 200))
    assert piece.name == "front"
    assert d.codes(draft) == {"grain-read"}
    (told,) = draft.findings
    assert "90 degrees" in told.message


def test_a_bag_for_grain_is_a_piece(tmp_path):
    drawing = d.svg('<rect id="grain" width="200" height="100"/>')
    (piece,) = d.read(tmp_path, "a.svg", drawing).pieces
    assert piece.name == "grain"


def test_an_upright_drawing_without_grain_is_asked_about(tmp_path: Path) -> None:
    """Pieces hang by their grain: one that stands upright is not laid across it in silence."""

    def told(wide: int, high: int) -> str:
        draft = read(tmp_path, f'<rect width="{wide}" height="{high}"/>')
        (found,) = (found for found in draft.findings if found.code == "grain-assumed")
        return found.message

    assert "which is across what stands upright" in told(100, 200)
    assert "grain = [[0, 0], [0, 1]]" in told(100, 200)
    assert "upright" not in told(200, 100)
