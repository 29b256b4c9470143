"""Pages and their spaces, by ISO 32000-1: boxes, turns, units, forms; and what is refused."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject

import tests.pieces.pdf.pdf_pages as p
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.units import Unit

SHAPE = [(20, 30), (120, 30), (120, 80), (60, 80), (20, 60)]
"""Unlike its mirror image."""
DRAWN = p.path(SHAPE) + p.text("yoke", 50, 50)
AREA_MM2 = 100 * 50 - 40 * 20 / 2


def corner(draft: object) -> list[tuple[float, float]]:
    (piece,) = draft.pieces  # type: ignore[attr-defined]
    return [(round(x, 1), round(y, 1)) for x, y in piece.outline]


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_turned_page_is_read_as_it_is_seen(tmp_path: Path, turn: int) -> None:
    draft = p.read(tmp_path, p.pdf(p.Sheet(DRAWN, more=f"/Rotate {turn}")))
    box = (0, 0, 50, 100) if turn in (90, 270) else (0, 0, 100, 50)
    assert bounds(draft.pieces[0].outline) == pytest.approx(box, abs=0.01)
    assert area(draft.pieces[0].outline) == pytest.approx(AREA_MM2, abs=0.1)
    # The slanted corner, upper left in the drawing, goes round with the hands of a clock.
    missing = {0: (0, 50), 90: (50, 100), 180: (100, 0), 270: (0, 0)}[turn]
    assert missing not in corner(draft)
    assert len(corner(draft)) == 5


@pytest.mark.parametrize(("unit", "times"), [("1.0", 1), ("2.5", 2.5), ("10", 10)])
def test_the_unit_of_a_page(tmp_path: Path, unit: str, times: float) -> None:
    draft = p.read(tmp_path, p.pdf(p.Sheet(DRAWN, more=f"/UserUnit {unit}")))
    assert bounds(draft.pieces[0].outline)[2] == pytest.approx(100 * times, rel=1e-4)


def test_each_page_has_its_own_unit(tmp_path: Path) -> None:
    sheets = [
        p.Sheet(DRAWN, more="/UserUnit 2"),
        p.Sheet(DRAWN),
        p.Sheet(DRAWN, more="/UserUnit 3"),
    ]
    draft = p.read(tmp_path, p.pdf(*sheets))
    wide = [bounds(piece.outline)[2] for piece in draft.pieces]
    assert wide == pytest.approx([200, 100, 300], rel=1e-4)
    assert [piece.name for piece in draft.pieces] == ["yoke", "yoke 2", "yoke 3"]


def test_a_box_that_begins_elsewhere_and_cuts_off(tmp_path: Path) -> None:
    box = f"/MediaBox[-100 -50 700 800]/CropBox[{10 * p.K} {20 * p.K} {130 * p.K} {90 * p.K}]"
    outside = p.path([(10, 100), (90, 100), (90, 150)])
    draft = p.read(tmp_path, p.pdf(p.Sheet(DRAWN + outside, more=box)))
    (piece,) = draft.pieces
    assert area(piece.outline) == pytest.approx(AREA_MM2, abs=0.1)


def test_forms_and_transforms(tmp_path: Path) -> None:
    inside = "q 2 0 0 2 0 0 cm\n" + p.path([(x / 2, y / 2) for x, y in SHAPE]) + "Q\n"
    draft = p.read(tmp_path, p.pdf(p.Sheet("/X1 Do\n", forms={"X1": inside})))
    (piece,) = draft.pieces
    assert area(piece.outline) == pytest.approx(AREA_MM2, abs=0.1)
    assert bounds(piece.outline) == pytest.approx((0, 0, 50, 100), abs=0.01)


def test_what_is_white_or_not_painted_is_not_read(tmp_path: Path) -> None:
    white = p.styled(p.path([(10, 100), (90, 100), (90, 150)]), "1 1 1")
    unpainted = "10 200 m 90 200 l 90 250 l h n\n"
    assert len(p.read(tmp_path, p.pdf(p.Sheet(DRAWN + white + unpainted))).pieces) == 1


def test_a_unit_told_is_left_out_which_is_told(tmp_path: Path) -> None:
    from pieces.ready import read_pieces

    (tmp_path / "a.pdf").write_bytes(p.pdf(p.Sheet(DRAWN)))
    draft = read_pieces(tmp_path / "a.pdf", Unit.IN)
    assert bounds(draft.pieces[0].outline)[2] == pytest.approx(100, abs=0.01)
    assert "unit-overruled" in p.codes(draft)


NESTED = p.on_layer(0, p.box(20, 20, 100, 120)) + p.on_layer(1, p.box(20, 20, 113, 131))


def test_a_layer_that_is_off_is_left_out_and_told_unless_it_is_asked_for(tmp_path: Path) -> None:
    """Two sizes in one another: with one of them off nothing is left to ask."""
    data = p.pdf(p.Sheet(NESTED, layers=("size 2", "size 4")), off=["size 4"])
    draft = p.read(tmp_path, data)
    (piece,) = draft.pieces
    assert area(piece.outline) == pytest.approx(100 * 120, abs=0.1)
    assert "layer 'size 4' is turned off" in p.told(draft, "layer-off")
    asked = p.read(tmp_path, data, layers=("Size 4",))
    assert area(asked.pieces[0].outline) == pytest.approx(113 * 131, abs=0.1)
    assert "layer-off" not in p.codes(asked)
    with pytest.raises(OrderFault, match="size"):
        p.read(tmp_path, p.pdf(p.Sheet(NESTED, layers=("size 2", "size 4"))))


@pytest.mark.parametrize("packed", [True, False])
def test_layers_turned_off_by_another_library(tmp_path: Path, packed: bool) -> None:
    """All are off by default but one, in objects of their own, with a name beyond Latin letters."""
    made = PdfWriter(clone_from=PdfReader(io.BytesIO(p.pdf(
        p.Sheet(NESTED, layers=("size 2", "size 4"))
    ))))  # fmt: skip
    root = made.root_object
    properties = root["/OCProperties"]
    first, second = (one.indirect_reference for one in properties["/OCGs"])
    second.get_object()[NameObject("/Name")] = TextStringObject("größe 4 \u0142")
    usual = DictionaryObject({
        NameObject("/BaseState"): NameObject("/OFF"), NameObject("/ON"): ArrayObject([first]),
    })  # fmt: skip
    properties[NameObject("/D")] = made._add_object(usual)
    root[NameObject("/OCProperties")] = made._add_object(properties)
    if packed:
        made.compress_identical_objects()
    written = io.BytesIO()
    made.write(written)
    draft = p.read(tmp_path, written.getvalue())
    assert area(draft.pieces[0].outline) == pytest.approx(100 * 120, abs=0.1)
    assert "layer 'größe 4 \u0142' is turned off" in p.told(draft, "layer-off")


@pytest.mark.parametrize("password", ["secret", ""])
def test_encrypted_files_are_refused(tmp_path: Path, password: str) -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(p.pdf(p.Sheet(DRAWN)))))
    writer.encrypt(password, "owner", algorithm="RC4-128")
    locked = io.BytesIO()
    writer.write(locked)
    with pytest.raises(OrderFault, match="encrypted: its maker asks for a password"):
        p.read(tmp_path, locked.getvalue())


PICTURE = "q 100 0 0 100 20 20 cm BI /W 2 /H 2 /CS /G /BPC 8 ID \x10\x90\x90\x10 EI Q\n"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "This is no PDF, or it is damaged"),
        (b"%PDF-1.7 and nothing", "This is no PDF, or it is damaged"),
        (p.pdf(p.Sheet("")), "There is no line in it"),
        (p.pdf(p.Sheet(PICTURE)), "It holds pictures and no lines, as a scan does"),
        (p.pdf(p.Sheet(p.path(SHAPE[:3], closed=False))), "no closed outline of a piece"),
        (p.pdf(*[p.Sheet(DRAWN)] * 251), "has 251 pages, more than the 250"),
        (p.pdf(p.Sheet("0 0 m 9 9 l S\n" * 60_001)), "far too many lines"),
    ],
)
def test_what_is_refused(tmp_path: Path, data: bytes, said: str) -> None:
    with pytest.raises(OrderFault, match=said):
        p.read(tmp_path, data)
