"""Quotes, offers and notes in the book of wearers, as the command writes them."""

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from nesting.cli import main
from nesting.wearers.book import add, wearer

ORDER = """
name = "squares"
units = "cm"
wearers = "clients.book"
[fabric.lawn]
width = 110
selvedge = 1
price = 6.50
currency = "EUR"
sold_by = "10 cm"
[costing]
rate = 12
minutes = { sewing = 30 }
margin = 20
[[garment]]
name = "Ada"
wearer = "Ada"
[[piece]]
name = "square"
garment = "Ada"
fabric = "lawn"
outline = [[0, 0], [40, 0], [40, 40], [0, 40]]
cut = 2
"""


@pytest.fixture
def order(tmp_path: Path) -> Path:
    add(tmp_path / "clients.book", "Ada", None, "girl", date(2025, 1, 1))
    path = tmp_path / "squares.toml"
    path.write_text(ORDER)
    return path


def run(*args: str) -> str:
    result = CliRunner().invoke(main, [*args, "--rounds", "1", "--jobs", "1"])
    assert result.exit_code == 0, result.output
    return result.output


def test_a_plan_has_its_quote_and_is_noted_if_asked(order: Path, tmp_path: Path) -> None:
    """By hand: 40 cm at 6.50 are 2.60, half an hour 6.00; 8.60 is four fifths of 10.75."""
    out = tmp_path / "out"
    run("plan", str(order), "--out", str(out), "--record")
    text = (out / "quote.txt").read_text()
    for amount in ("2.60 EUR", "6.00 EUR", "2.15 EUR", "10.75 EUR", "7.50 EUR"):
        assert amount in text
    assert (out / "quote.pdf").read_bytes().startswith(b"%PDF")
    (noted,) = wearer(tmp_path / "clients.book", "Ada").orders
    assert noted.order == "squares"
    assert "lawn 0.40 m" in noted.bought


def test_two_orders_are_two_offers(order: Path, tmp_path: Path) -> None:
    other = tmp_path / "dearer.toml"
    other.write_text(ORDER.replace("6.50", "13.00").replace('"squares"', '"in silk"'))
    said = run("compare", str(order), "--against", str(other), "--out", str(tmp_path / "c"))
    offers = said[said.index("Offers") :]
    assert "in silk" in offers
    assert "2.60 EUR" in offers
    assert "5.20 EUR" in offers


def test_what_is_noted_needs_a_book_and_one_order(order: Path, tmp_path: Path) -> None:
    order.write_text(ORDER.replace("wearer", "#"))
    result = CliRunner().invoke(main, ["plan", str(tmp_path), "--record"])
    assert (result.exit_code, "Of a folder of orders nothing is noted" in result.output) == (
        2,
        True,
    )
    done = CliRunner().invoke(
        main, ["plan", str(order), "--record", "--rounds", "1", "--out", str(tmp_path / "n")]
    )
    assert (done.exit_code, "names no wearer of a book" in done.output) == (2, True)
    assert not (tmp_path / "n").exists()
