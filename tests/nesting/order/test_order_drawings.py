"""Drawing files in an order: parts of garments and ready pieces, with what the order tells."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.order.model import Order
from nesting.order.read import example_order, read_order
from nesting.output.write import write_draft
from nesting.rules.parts import draft_order
from pieces.errors import OrderFault
from pieces.geometry import area, bounds
from pieces.piece import GrainRule
from pieces.units import Unit

HEAD = """
name = "pockets"
units = "cm"
[fabric.satin]
width = 150
[fabric.lining]
width = 140
"""
SQUARE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="10cm" viewBox="0 0 200 100">'
    "{}</svg>"
)
POCKET = SQUARE.format('<rect id="pocket" width="120" height="100"/>')
TWO = SQUARE.format(
    '<rect id="flap" width="60" height="50"/><circle id="tab" cx="150" cy="50" r="30"/>'
)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The drawings of the example's pieces."""
    folder = tmp_path_factory.mktemp("drawn")
    write_draft("choir", draft_order(example_order()), Unit.CM, folder)
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "drawings").mkdir()
    (tmp_path / "drawings" / "pocket.svg").write_text(POCKET)
    (tmp_path / "two.svg").write_text(TWO)
    (tmp_path / "open.svg").write_text(SQUARE.format('<path d="M0 0H50V50H0"/>'))
    (tmp_path / "bow.svg").write_text(SQUARE.format('<path id="bow" d="M0 0H90L0 90H90Z"/>'))
    return tmp_path


def order(folder: Path, text: str) -> Order:
    (folder / "order.toml").write_text(HEAD + text, encoding="utf-8")
    return read_order(folder / "order.toml")


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(OrderFault) as caught:
        order(folder, text)
    where = str(folder / "order.toml")
    assert all(fault.where == where for fault in caught.value.faults)
    return [f"{fault.key}: {fault.message!s} {fault.remedy!s}" for fault in caught.value.faults]


def test_a_part_of_a_garment_lies_beside_the_order_file(folder: Path) -> None:
    asked = order(
        folder,
        '[[garment]]\nname = "Dora"\nquantity = 2\n'
        '[[garment.part]]\nfile = "drawings/pocket.svg"\nfabric = "satin"\n',
    )
    assert [piece.key for piece in asked.pieces] == [
        ("Dora 1 of 2", "pocket"),
        ("Dora 2 of 2", "pocket"),
    ]
    assert {piece.fabric for piece in asked.pieces} == {"satin"}
    assert [found.code for found in asked.findings] == ["grain-assumed"]
    assert draft_order(asked).pieces == asked.pieces
    assert "grain-assumed" in {found.code for found in draft_order(asked).findings}


def test_a_path_of_its_own_is_taken_as_it_is(folder: Path) -> None:
    path = (folder / "drawings" / "pocket.svg").as_posix()
    (piece,) = order(folder, f'[[piece]]\nfile = "{path}"\nfabric = "satin"\n').pieces
    assert area(piece.outline) == pytest.approx(12000)


def test_what_the_order_tells_counts_more_than_the_file(folder: Path) -> None:
    text = """
        [[piece]]
        file = "drawings/pocket.svg"
        name = "patch"
        fabric = "satin"
        garment = "Dora"
        cut = 3
        pair = true
        grain = [[0, 0], [0, 5]]
        grain_rule = "any"
        unit = "in"
    """
    (piece,) = order(folder, text).pieces
    assert (piece.name, piece.garment, piece.cut, piece.pair) == ("patch", "Dora", 3, True)
    assert piece.grain_rule is GrainRule.ANY
    assert bounds(piece.outline) == pytest.approx((0, 0, 2540, 3048))


def test_a_name_goes_before_those_of_several_pieces(folder: Path) -> None:
    named = order(folder, '[[piece]]\nfile = "two.svg"\nname = "left"\nfabric = "satin"\n')
    assert [piece.name for piece in named.pieces] == ["left flap", "left tab"]


def test_an_allowance_makes_the_outline_the_sewing_line(folder: Path) -> None:
    text = '[[piece]]\nfile = "drawings/pocket.svg"\nfabric = "satin"\nallowance = 1\n'
    (piece,) = order(folder, text).pieces
    assert bounds(piece.outline) == pytest.approx((0, 0, 140, 120))
    assert bounds(piece.sewing_line) == pytest.approx((10, 10, 130, 110))


@pytest.mark.long
def test_the_garments_own_interchange_file_comes_back_as_a_part(drawn: Path) -> None:
    drafted = draft_order(example_order())
    text = '[[garment]]\nname = "Tilda"\n[[garment.part]]\nfabric = "satin"\n'
    asked = order(drawn, text + 'file = "pieces-interchange-tilda.dxf"\n')
    wanted = {piece.name: piece for piece in drafted.pieces if piece.garment == "Tilda"}
    assert {piece.name for piece in asked.pieces} == set(wanted)
    for piece in asked.pieces:
        was = wanted[piece.name]
        assert area(piece.outline) == pytest.approx(area(was.outline), abs=0.1)
        assert (piece.cut, piece.pair, piece.garment) == (was.cut, was.pair, "Tilda")
        # A material that is a cloth of the order is that cloth, any other is the part's.
        assert piece.fabric == (was.fabric if was.fabric in ("satin", "lining") else "satin")
    told = [found.message for found in asked.findings if found.code == "material-unknown"]
    assert any("no cloth called 'tulle'" in message for message in told)


def test_an_allowance_on_a_file_that_shows_its_sewing_line_is_refused(drawn: Path) -> None:
    text = '[[piece]]\nfile = "pieces-interchange-tilda.dxf"\nfabric = "satin"\nallowance = 1\n'
    said = faults(drawn, text)
    assert said[0].startswith("piece[0].allowance: bodice front shows its sewing line")
    folds = '[[piece]]\nfile = "pieces-interchange-tilda.dxf"\nfabric = "satin"\npair = true\n'
    assert any(
        line.startswith("piece[0].pair: bodice front is cut on") for line in faults(drawn, folds)
    )


def test_the_drawing_for_people_is_refused_since_it_would_lose_the_folds(drawn: Path) -> None:
    (said,) = faults(drawn, '[[piece]]\nfile = "pieces.dxf"\nfabric = "satin"\n')
    assert "Name the file pieces-interchange beside it." in said


def test_faults_of_a_file_name_the_order_its_key_and_the_file(folder: Path) -> None:
    text = "".join(
        f'[[piece]]\nfile = "{name}"\nfabric = "satin"\n' for name in ("open.svg", "bow.svg", ".")
    )
    closed, crossing, folder_itself = faults(folder, text)
    assert closed.startswith(
        "piece[0].file: open.svg: There is no closed outline of a piece in it."
    )
    assert "its ends lie 50 mm apart" in closed
    assert crossing.startswith("piece[1].file: bow.svg, piece 'bow': The outline crosses")
    assert folder_itself.startswith("piece[2].file: .: Pieces are read from files whose names end")


def test_names_taken_before_are_refused(folder: Path) -> None:
    text = '[[piece]]\nfile = "drawings/pocket.svg"\nfabric = "satin"\n' * 2
    (said,) = faults(folder, text)
    assert said.startswith("piece[1].name: The name 'pocket' is taken by piece 1.")


def test_what_a_pdf_needs_to_be_told_stands_beside_its_name(folder: Path) -> None:
    import matplotlib.figure as figures

    figure = figures.Figure(figsize=(200 / 25.4, 150 / 25.4))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.axis("off")
    axes.set(xlim=(0, 200), ylim=(0, 150))
    for colour, by in (("red", 1.0), ("blue", 1.3)):
        right, top = 20 + 80 * by, 20 + 90 * by
        axes.plot([20, right, right, 20, 20], [20, 20, top, 20 + 60 * by, 20], color=colour)
    axes.text(40, 80, "pochette")
    axes.text(40, 70, "couper 1, pliure")
    figure.savefig(folder / "sizes.pdf")
    head = '[[piece]]\nfile = "sizes.pdf"\nfabric = "satin"\n'
    assert 'Say which is wanted with layer = "…" beside the file' in faults(folder, head)[0]
    head += 'layer = "blue"\nwords = { cut = "couper", fold = ["pliure", "pli"] }\n'
    assert "can't be told which edge lies on it" in faults(folder, head)[0]
    (piece,) = order(folder, head + 'fold = "left"\n').pieces
    assert piece.name == "pochette"
    assert (piece.cut, piece.on_fold is None) == (1, False)
    assert bounds(piece.outline)[2:] == pytest.approx((117, 104), abs=0.1)
    said = faults(
        folder, head + 'columns = 0\nwords.fould = "x"\n'.replace("words.fould", "square")
    )
    assert {line.split(":")[0] for line in said} >= {"piece[0].columns", "piece[0].square"}
    assert "each by what it stands for" in faults(folder, head.replace("cut =", "cute ="))[0]
