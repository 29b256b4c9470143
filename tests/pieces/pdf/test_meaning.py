"""What lines and words of a pattern mean, and what is asked where that isn't plain.

How patterns are marked (an arrow for the thread, strokes for notches, "cut 2 on fold") is common
practice.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import tests.pieces.pdf.pdf_pages as p
from pieces.errors import OrderFault
from pieces.geometry import area, bounds

PIECE = [(20, 20), (140, 20), (140, 180), (80, 200), (20, 180)]
"""120 by 180, pointed above."""


def grown(points: list[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    x, y = (sum(values) / len(points) for values in zip(*points, strict=True))
    return [(x + (a - x) * by, y + (b - y) * by) for a, b in points]


SIZES = {"size 2": 1.0, "size 4": 1.12, "size 6": 1.2}


def nested(*layers: str, dashes: bool = False) -> bytes:
    drawn = ""
    for number, (name, by) in enumerate(SIZES.items()):
        line = p.path(grown(PIECE, by))
        if dashes:
            line = p.styled(line, dashes=("[] 0", "[3 2] 0", "[0.3 1] 0")[number])
        drawn += p.on_layer(layers.index(name), line) if layers else line
        if not (layers or dashes):
            drawn = drawn.replace(line, p.styled(line, ("1 0 0", "0 0 1", "0 0.6 0")[number]))
    drawn += p.text("front", 70, 100) + p.text("cut 1", 70, 90)
    return p.pdf(p.Sheet(drawn, layers=layers))


@pytest.mark.parametrize(("size", "by"), SIZES.items())
def test_a_size_is_asked_for_by_its_layer(tmp_path: Path, size: str, by: float) -> None:
    (piece,) = p.read(tmp_path, nested(*SIZES), layers=(size,)).pieces
    assert piece.name == "front"
    assert bounds(piece.outline) == pytest.approx((0, 0, 120 * by, 180 * by), abs=0.02)


@pytest.mark.parametrize(
    ("dashes", "name", "by"),
    [
        (False, "red", 1.0), (False, "blue", 1.12), (False, "Green", 1.2),
        (True, "black", 1.0), (True, "black dashed", 1.12), (True, "black dotted", 1.2),
    ],
)  # fmt: skip
def test_without_layers_by_how_its_line_is_drawn(
    tmp_path: Path, dashes: bool, name: str, by: float
) -> None:
    (piece,) = p.read(tmp_path, nested(dashes=dashes), layers=(name,)).pieces
    assert bounds(piece.outline)[2:] == pytest.approx((120 * by, 180 * by), abs=0.02)


def test_sizes_in_one_another_are_never_guessed(tmp_path: Path) -> None:
    with pytest.raises(OrderFault) as refused:
        p.read(tmp_path, nested(*SIZES))
    said = str(refused.value)
    assert "layer = \"…\" beside the file: 'size 2' (1), 'size 4' (1), 'size 6' (1)" in said
    with pytest.raises(OrderFault, match="no outlines on a layer or in lines called 'size 8'"):
        p.read(tmp_path, nested(*SIZES), layers=("size 8",))


def test_a_sewing_line_is_no_other_size(tmp_path: Path) -> None:
    from shapely.geometry import Polygon

    inner = list(Polygon(PIECE).buffer(-10, join_style="mitre").exterior.coords)[:-1]
    for line in (p.path(inner), p.styled(p.path(inner), dashes="[3 2] 0")):
        (piece,) = p.read(tmp_path, p.pdf(p.Sheet(p.path(PIECE) + line))).pieces
        assert area(piece.sewing_line) == pytest.approx(Polygon(inner).area, rel=1e-3)
        assert piece.drawn_lines == ()


def strokes(points: list[tuple[float, float]], dash: float, gap: float) -> str:
    """A closed line as a pen would make it in single dashes, from one corner on."""
    drawn = ""
    for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
        side = math.hypot(bx - ax, by - ay)
        at = 0.0
        while at < side:
            ends = [(ax + (bx - ax) * s / side, ay + (by - ay) * s / side)
                    for s in (at, min(at + dash, side))]  # fmt: skip
            drawn += p.path(ends, closed=False)
            at += dash + gap
    return drawn


def test_many_short_strokes_that_nearly_meet_are_one_outline(tmp_path: Path) -> None:
    (piece,) = p.read(tmp_path, p.pdf(p.Sheet(strokes(PIECE, 7, 0.2)))).pieces
    assert bounds(piece.outline) == pytest.approx((0, 0, 120, 180), abs=0.3)


def test_dashes_drawn_one_by_one_are_one_outline(tmp_path: Path) -> None:
    (piece,) = p.read(tmp_path, p.pdf(p.Sheet(strokes(PIECE, 6, 3)))).pieces
    assert area(piece.outline) == pytest.approx(120 * 160 + 120 * 20 / 2, rel=2e-3)


ARROW = p.path([(60, 40), (60, 150)], closed=False)
HEAD = p.path([(57, 144), (60, 150), (63, 144)], closed=False)
FOOT = p.path([(57, 46), (60, 40)], closed=False) + p.path([(60, 40), (63, 46)], closed=False)
FILLED = "60 150 m 58 143 l 62 143 l f\n"


@pytest.mark.parametrize(
    ("drawn", "how"),
    [
        (ARROW + HEAD, "the longest arrow in it, 90 degrees"),
        (ARROW + FILLED, "the longest arrow in it, 90 degrees"),
        (ARROW + FOOT, "the longest arrow in it, 270 degrees"),
        (ARROW + HEAD + FOOT, "90 degrees from the x axis, its head taken to be the upper end"),
        (ARROW + p.text("grain", 63, 100), "the line beside that word, 90 degrees"),
    ],
)
def test_the_grain_is_an_arrow_or_a_line_called_so(tmp_path: Path, drawn: str, how: str) -> None:
    draft = p.read(tmp_path, p.pdf(p.Sheet(p.path(PIECE) + drawn)))
    assert bounds(draft.pieces[0].outline)[2:] == pytest.approx((180, 120), abs=0.02)
    assert how in p.told(draft, "grain-read")
    # The point is at the grain's head, or at its tail.
    tip = max(draft.pieces[0].outline) if "270" not in how else min(draft.pieces[0].outline)
    assert tip[1] == pytest.approx(60, abs=0.02)


def test_a_line_without_a_head_or_a_word_is_no_grain(tmp_path: Path) -> None:
    draft = p.read(tmp_path, p.pdf(p.Sheet(p.path(PIECE) + ARROW)))
    assert "grain-assumed" in p.codes(draft)
    assert len(draft.pieces[0].drawn_lines) == 1


@pytest.mark.parametrize(
    ("words", "cut", "pair", "code"),
    [
        ("cut 1", 1, False, ""),
        ("CUT 3", 3, False, ""),
        ("cut two", 1, True, "pair-assumed"),
        ("cut 4 (2 pairs)", 2, True, ""),
        ("cut 2 mirrored", 1, True, ""),
        ("2 x cut", 1, True, "pair-assumed"),
        ("for the table", 1, False, "count-assumed"),
    ],
)
def test_how_many(tmp_path: Path, words: str, cut: int, pair: bool, code: str) -> None:
    uneven = [(20, 20), (140, 20), (140, 180), (60, 200), (20, 180)]
    draft = p.read(tmp_path, p.pdf(p.Sheet(p.path(uneven) + p.text(words, 50, 100))))
    (piece,) = draft.pieces
    assert (piece.cut, piece.pair) == (cut, pair)
    assert {"count-assumed", "pair-assumed"} & p.codes(draft) == ({code} if code else set())


def test_the_fold_is_the_edge_along_its_words_or_as_the_order_says(tmp_path: Path) -> None:
    words = "BT /F1 4 Tf 0 1 -1 0 26 70 Tm (place on fold) Tj ET\n"
    (piece,) = p.read(tmp_path, p.pdf(p.Sheet(p.path(PIECE) + words))).pieces
    assert piece.on_fold is not None
    assert math.dist(*piece.on_fold) == pytest.approx(160, abs=0.02)
    plain = p.pdf(p.Sheet(p.path(PIECE) + p.text("cut 1 on fold", 70, 100)))
    with pytest.raises(OrderFault, match="can't be told which edge lies on it") as refused:
        p.read(tmp_path, plain)
    assert 'Give fold = "left", "right"' in str(refused.value)
    both = p.path([(x + 150, y) for x, y in PIECE]) + p.text("back on fold", 220, 100)
    two = p.pdf(p.Sheet(p.path(PIECE) + p.text("front on fold", 70, 100) + both, (420, 297)))
    with pytest.raises(OrderFault) as refused:
        p.read(tmp_path, two)
    assert len(refused.value.faults) == 2  # all at once
    (piece,) = p.read(tmp_path, plain, fold="bottom").pieces
    assert piece.on_fold is not None
    assert math.dist(*piece.on_fold) == pytest.approx(120, abs=0.02)
    with pytest.raises(OrderFault, match="no straight edge on its top"):
        p.read(tmp_path, plain, fold="top")


def test_words_of_another_language_may_be_added(tmp_path: Path) -> None:
    words = p.text("pliure", 80, 23) + p.text("couper 2", 70, 100) + p.text("devant", 70, 120, 6)
    data = p.pdf(p.Sheet(p.path(PIECE) + words))
    more = (("fold", ("pliure",)), ("cut", ("couper",)))
    (piece,) = p.read(tmp_path, data, words=more).pieces
    assert (piece.name, piece.cut, piece.on_fold is None) == ("devant", 2, False)


def test_notches_are_strokes_at_the_edge_across_it_or_small_shapes_on_it(tmp_path: Path) -> None:
    at = p.path([(140, 60), (135, 60)], closed=False)
    across = p.path([(140, 100), (144, 100)], closed=False)
    through = p.path([(137, 140), (143, 140)], closed=False)
    wedge = p.path([(20, 97), (20, 103), (25, 100)])
    (piece,) = p.read(
        tmp_path, p.pdf(p.Sheet(p.path(PIECE) + at + across + through + wedge))
    ).pieces
    places = sorted((round(n.at[0]), round(n.at[1]), round(n.inward_deg)) for n in piece.notches)
    assert places == [(0, 80, 0), (120, 40, 180), (120, 80, 180), (120, 120, 180)]


@pytest.mark.parametrize(
    ("written", "side"), [("4 in", 101.6), ('test square 2"', 50.8), ("10 cm x 10 cm", 100)]
)
def test_the_square_is_compared_with_what_is_written(
    tmp_path: Path, written: str, side: float
) -> None:
    square = p.box(20, 210, 60, 60).replace("60 60 re", f"{side / 1.1} {side / 1.1} re")
    words = p.text(f"test {written}", 22, 220)
    drawn = p.path(PIECE) + square + words
    with pytest.raises(OrderFault, match="is written beside it: the file is not at true size"):
        p.read(tmp_path, p.pdf(p.Sheet(drawn)))
    draft = p.read(tmp_path, p.pdf(p.Sheet(drawn)), square_mm=side)
    assert bounds(draft.pieces[0].outline)[2:] == pytest.approx((132, 198), abs=0.05)
    assert len(draft.pieces) == 1
    right = p.path(PIECE) + p.box(20, 205, side, side).replace("205", "190") + words
    assert "square or line of" in p.told(
        p.read(tmp_path, p.pdf(p.Sheet(right.replace("190", "205"), (300, 400)))),
        "test-square-right",
    )


def test_an_outline_that_does_not_close_is_told(tmp_path: Path) -> None:
    broken = p.path([(20, 220), (140, 220), (140, 280), (20, 280), (20, 250)], closed=False)
    draft = p.read(tmp_path, p.pdf(p.Sheet(p.path(PIECE) + broken)))
    assert len(draft.pieces) == 1
    assert "its ends lie 30 mm apart" in p.told(draft, "open-outline")


def test_a_square_pocket_is_a_piece(tmp_path: Path) -> None:
    pocket = p.box(20, 20, 100, 100) + p.text("pocket, cut 2", 40, 60)
    (piece,) = p.read(tmp_path, p.pdf(p.Sheet(pocket))).pieces
    assert bounds(piece.outline) == pytest.approx((0, 0, 100, 100), abs=0.02)


@pytest.mark.parametrize("size", [-6.0, 6.0, 0.0, 1e30])
def test_writing_upside_down_or_of_no_size_is_read_or_passed_over(
    tmp_path: Path, size: float
) -> None:
    """A font's size may be negative, with a text matrix that turns it back (ISO 32000-1, 9.4.4)."""
    matrix = "-1 0 0 -1" if size < 0 else "1 0 0 1"
    words = f"BT /F1 {size:f} Tf {matrix} 70 120 Tm (sleeve) Tj ET\n"
    drawn = p.path(PIECE) + words + p.text("cut 2", 70, 90)
    (piece,) = p.read(tmp_path, p.pdf(p.Sheet(drawn))).pieces
    assert piece.cut == 2
    assert piece.name == ("sleeve" if abs(size) == 6 else piece.name)
