"""The card to take measures by: what is asked for, and what is drawn."""

import io
from dataclasses import fields, replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from nesting.cli import main
from nesting.order.model import Order
from nesting.order.read import example_order, order_from_text
from nesting.output.drawing.figure import measured_on_a_figure
from nesting.output.paper.card import HOW, measuring_card
from nesting.output.paper.tiling import Paper
from nesting.rules.parts import draft_order
from pieces.body.measurements import Body
from pieces.drafting.asked import measures_asked
from pieces.drafting.spec import GarmentSpec
from pieces.errors import OrderFault
from pieces.piece import Piece
from pieces.units import Unit

SLEEVED = """
units = "in"
[fabric.lawn]
width = 60
[[garment]]
name = "Pia"
body = { chest = 22, waist = 20, back_waist = 10, shoulder = 3, neck = 10, upper_arm = 7, arm = 14 }
[[garment.part]]
draft = "bodice"
fabric = "lawn"
[[garment.part]]
draft = "sleeve"
fabric = "lawn"
style = "long"
"""


def read(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def drawn(order: Order, garment: GarmentSpec, body: Body) -> tuple[Piece, ...] | None:
    alone = replace(order, notions=(), garments=(replace(garment, body=body),))
    try:
        return draft_order(alone).pieces
    except OrderFault:
        return None


def test_exactly_the_measures_without_which_it_comes_out_otherwise_are_asked_for() -> None:
    """With them alone it is the same; with one less it can't be drafted, or is another."""
    order = example_order()
    for garment in order.garments:
        asked = measures_asked(garment)
        alone = Body(**{name: getattr(garment.body, name) for name in asked})
        whole = drawn(order, garment, garment.body)
        assert whole is not None
        assert drawn(order, garment, alone) == whole
        for name in set(asked) - {"hip"}:  # by which it is only told where it must open
            assert drawn(order, garment, replace(alone, **{name: None})) != whole, name


def test_every_measure_has_a_line_and_a_word_how_it_is_taken() -> None:
    names = {one.name for one in fields(Body)}
    assert set(HOW) == names
    assert measured_on_a_figure() == names


@pytest.mark.parametrize("paper", list(Paper))
def test_a_page_a_garment_numbered_in_the_dresser_s_unit(paper: Paper) -> None:
    order = example_order()
    pages = read(measuring_card(order.name, order.garments, Unit.CM, paper, filled=False))
    assert len(pages) == len(order.garments)
    for page, garment in zip(pages, order.garments, strict=True):
        assert f"Measures: {garment.name}" in page
        assert "in centimetres" in page
        assert "1 chest" in page
        assert "arm length" not in page
        assert "27 cm" not in page


def test_filled_are_those_that_were_taken_and_no_others() -> None:
    order = example_order()
    *_, yrsa = read(measuring_card(order.name, order.garments, Unit.CM, Paper.A4, filled=True))
    assert "59 cm" in yrsa
    assert "58.8 cm" not in yrsa, "the hip comes from the table"
    inches = order_from_text(SLEEVED.replace('style = "long"', ""), "o.toml")
    (page,) = read(measuring_card("o", inches.garments, Unit.IN, Paper.LETTER, filled=True))
    assert "in inches" in page
    assert "22 in" in page


def test_the_command_writes_it(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        main, ["card", "--out", str(tmp_path / "card"), "--paper", "letter"]
    )
    assert result.exit_code == 0, result.output
    assert (tmp_path / "card" / "measures.pdf").read_bytes().startswith(b"%PDF")
