"""The interchange file: what a reader of ASTM D6673 finds in it, and that it reads back equal.

Layers and texts: ASTM D6673 as summarised in public previews and in NISTIR 5969 (NIST, 1997). The
structure of the file is read by ezdxf, a library that knows nothing of ours.
"""

from __future__ import annotations

import io
import math
from collections import Counter
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing

from nesting.order.read import example_order
from nesting.output.files.interchange import interchange_dxf
from nesting.output.write import write_draft
from nesting.rules.parts import draft_order
from pieces.piece import Draft, GrainRule, Line, Piece
from pieces.ready import read_pieces
from pieces.units import Unit
from tests.examples import examples

EXAMPLE = draft_order(example_order())
POCKET = Piece(
    name="pocket",
    fabric="cotton",
    outline=((0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (0.0, 100.0)),
    grain=((20.0, 50.0), (100.0, 50.0)),
    garment="Ada",
)


def read_back(folder: Path, *pieces: Piece, style: str = "Ada") -> Draft:
    file = folder / "pieces.dxf"
    file.write_bytes(interchange_dxf(pieces, style))
    return read_pieces(file)


def same(one: Line, other: Line) -> bool:
    """Equal point by point to a hundredth of a millimetre."""
    return len(one) == len(other) and all(
        math.dist(a, b) < 0.01 for a, b in zip(one, other, strict=True)
    )


def assert_equal(drawn: Piece, back: Piece) -> None:
    """All that the standard can carry is as it was; seams by their names it can't."""
    plain = ("name", "garment", "fabric", "cut", "pair", "grain_rule", "joins")
    for attribute in plain:
        assert getattr(back, attribute) == getattr(drawn, attribute), attribute
    assert same(back.outline, drawn.outline)
    assert same(back.grain, drawn.grain)
    assert same(back.on_fold or (), drawn.on_fold or ())
    assert len(back.notches) == len(drawn.notches)
    for notch, was in zip(back.notches, drawn.notches, strict=True):
        assert math.dist(notch.at, was.at) < 0.01
        assert notch.inward_deg == pytest.approx(was.inward_deg, abs=1e-4)
    assert len(back.drawn_lines) == len(drawn.drawn_lines)
    for line, before in zip(back.drawn_lines, drawn.drawn_lines, strict=True):
        assert same(line, before)
    assert bool(back.sewing_line) == bool(drawn.sewing_line)
    if drawn.sewing_line:
        # The ring may begin elsewhere: at the fold, where nothing is sewn.
        apart = LinearRing(back.sewing_line).hausdorff_distance(LinearRing(drawn.sewing_line))
        assert apart < 0.01


@pytest.mark.long
def test_every_drafted_piece_of_the_example_reads_back_equal(tmp_path: Path) -> None:
    written = write_draft("choir", EXAMPLE, Unit.CM, tmp_path)
    files = [path for path in written if path.name.startswith("pieces-interchange")]
    read = {piece.key: piece for path in files for piece in read_pieces(path).pieces}
    assert set(read) == {piece.key for piece in EXAMPLE.pieces}
    for piece in EXAMPLE.pieces:
        assert_equal(piece, read[piece.key])


def test_reading_back_finds_nothing(tmp_path: Path) -> None:
    for garment in {piece.garment for piece in EXAMPLE.pieces}:
        own = [piece for piece in EXAMPLE.pieces if piece.garment == garment]
        assert read_back(tmp_path, *own, style=garment).findings == ()


def test_what_the_example_lacks_reads_back_too(tmp_path: Path) -> None:
    bias = replace(
        POCKET,
        name="Spitze / ñandú 日本 😀 %%d ^I",
        grain=((10.0, 10.0), (60.0, 60.0)),
        grain_rule=GrainRule.BIAS,
        cut=3,
        pair=True,
        joins=2,
        drawn_lines=(((10.0, 10.0), (20.0, 20.0), (30.0, 20.0)), ((5.0, 5.0), (6.0, 6.0))),
    )
    from pieces.geometry import laid

    pieces = (POCKET, laid(bias), replace(POCKET, name="patch", fabric="", cut=500))
    for piece, back in zip(pieces, read_back(tmp_path, *pieces).pieces, strict=True):
        assert_equal(piece, back)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=examples(40))
@given(
    st.lists(st.floats(40, 400), min_size=3, max_size=9),
    st.integers(1, 500),
    st.sampled_from(GrainRule),
    st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=40),
    st.booleans(),
)
def test_pieces_of_any_shape_read_back_equal(
    tmp_path: Path, radii: list[float], cut: int, rule: GrainRule, name: str, folded: bool
) -> None:
    from pieces.geometry import laid

    angles = [math.pi * i / (len(radii) - 1) for i in range(len(radii))]
    half = tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True))
    piece = replace(
        POCKET,
        name=name,
        outline=half,
        grain=(half[-1], half[0]),
        on_fold=(half[-1], half[0]) if folded else None,
        cut=cut,
        grain_rule=rule,
        pair=not folded,
    )
    (back,) = read_back(tmp_path, laid(piece)).pieces
    assert_equal(laid(piece), back)


@pytest.fixture(scope="module")
def document() -> ezdxf.document.Drawing:
    own = [piece for piece in EXAMPLE.pieces if piece.garment == "Tilda"]
    return ezdxf.read(io.StringIO(interchange_dxf(own, "Tilda").decode("ascii")))


def test_opens_without_audit_errors_as_an_old_release(document: ezdxf.document.Drawing) -> None:
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.dxfversion == "AC1009"


def test_the_file_has_blocks_for_pieces_and_no_others() -> None:
    own = [piece for piece in EXAMPLE.pieces if piece.garment == "Tilda"]
    lines = interchange_dxf(own, "Tilda").decode("ascii").split("\n")
    assert lines.count("BLOCK") == lines.count("ENDBLK") == lines.count("INSERT") == len(own)
    assert max(len(line) for line in lines) < 256


def test_every_entity_is_on_a_layer_of_the_standard(document: ezdxf.document.Drawing) -> None:
    meanings = {
        "POLYLINE": {"1", "8", "14"},
        "LINE": {"6", "7"},
        "POINT": {"2", "3", "4"},
        "TEXT": {"1", "15"},
    }
    for block in document.blocks:
        if not block.is_any_layout:
            for entity in block:
                assert entity.dxf.layer in meanings[entity.dxftype()]
            boundary = block.query('POLYLINE[layer=="1"]')
            assert len(boundary) == 1
            assert boundary[0].is_closed


def test_texts_are_those_of_the_standard(document: ezdxf.document.Drawing) -> None:
    style = [text.dxf.text for text in document.modelspace().query("TEXT")]
    assert style == ["Units: METRIC", "Style Name: Tilda"]
    front = next(block for block in document.blocks if block.name.endswith("BODICE-FRONT"))
    said = {text.dxf.text for text in front.query("TEXT")}
    assert said == {"Piece Name: bodice front", "Quantity: 1", "Material: satin"}
    back = next(block for block in document.blocks if block.name.endswith("BODICE-BACK"))
    assert "Quantity: 1,1" in {text.dxf.text for text in back.query("TEXT")}


def test_corners_are_turn_points_and_all_else_curve_points(
    document: ezdxf.document.Drawing,
) -> None:
    front = next(block for block in document.blocks if block.name.endswith("SKIRT-FRONT"))
    count = Counter(point.dxf.layer for point in front.query("POINT"))
    # A skirt's panel has four corners; its waist and hem are curves.
    assert count["2"] == 4
    assert count["3"] > 10


def test_stitching_stops_at_the_fold(document: ezdxf.document.Drawing) -> None:
    front = next(block for block in document.blocks if block.name.endswith("BODICE-FRONT"))
    (seam,) = front.query('POLYLINE[layer=="14"]')
    assert not seam.is_closed
    (mirror,) = front.query('LINE[layer=="6"]')
    level = mirror.dxf.start.y
    first, last = seam.vertices[0].dxf.location, seam.vertices[-1].dxf.location
    assert first.y == last.y == level
    assert first.x != last.x
