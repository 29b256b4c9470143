"""`metrage bolt` as its user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.nesting.cli.test_cli import metrage

ORDER = """
name = "two frocks"
units = "cm"
[fabric.lawn]
width = 100
sold_by = "10 cm"
price = 8
currency = "EUR"
in_hand = [{ length = 90, name = "end" }]
[[garment]]
name = "Ada"
[[garment]]
name = "Ines"
"""
PIECE = """
[[piece]]
name = "front"
fabric = "lawn"
garment = "{}"
outline = [[0, 0], [60, 0], [60, 90], [0, 90]]
"""


@pytest.fixture
def order(tmp_path: Path) -> Path:
    path = tmp_path / "frocks.toml"
    path.write_text(ORDER + PIECE.format("Ada") + PIECE.format("Ines"))
    return path


@pytest.mark.long
def test_bolt_says_what_comes_from_where_and_what_is_missing(order: Path, tmp_path: Path) -> None:
    done = metrage("bolt", order.name, "--rounds", "2", "--out", "o", cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    names = {path.name for path in (tmp_path / "o").glob("[!.]*")}
    kinds = ("png", "dxf", "svg", "pdf")
    drawings = {f"{name}.{kind}" for name in ("lawn-end", "lawn") for kind in kinds}
    assert names == {"bolts.json", "bolts.txt", *drawings}
    data = json.loads((tmp_path / "o" / "bolts.json").read_text())
    assert [(one["garment"], one["bolt"]) for one in data["garments"]] == [
        ("Ada", "end"),
        ("Ines", None),
    ]
    (answer,) = data["enough"]
    assert (answer["enough"], answer["missing"]) == (False, ["Ines"])
    assert answer["purchase"]["cost"] == 4.8
    assert [entry["purchase"]["length_mm"] for entry in data["fabrics"]] == [0, 600]
    (bolt,) = data["bolts"]
    assert bolt["remnants"][0]["length_mm"] == pytest.approx(300, abs=0.01)
    assert "Buy 0.60 m" in done.stdout
    assert "lawn, end  90 cm  100 cm  60 cm  30 cm by 100 cm" in done.stdout
    assert [entry["one_by_one_purchase_mm"] for entry in data["fabrics"]] == [600, 600]


@pytest.mark.long
def test_bolt_tells_what_to_buy_of_cloths_of_which_nothing_is_there(
    order: Path, tmp_path: Path
) -> None:
    net = '[fabric.net]\nwidth = 100\nsold_by = "10 cm"\nprice = 3\ncurrency = "EUR"\n'
    text = order.read_text().replace("[[garment]]", f"{net}[[garment]]", 1)
    order.write_text(text + PIECE.format("Ada").replace("front", "veil").replace("lawn", "net"))
    done = metrage("bolt", order.name, "--rounds", "1", "--out", "o", cwd=tmp_path)
    told = (tmp_path / "o" / "bolts.txt").read_text()
    assert "- net, 100 cm wide: 0.60 m (3/4 yd), 1.80 EUR" in told
    assert "- lawn, 100 cm wide: 0.60 m (3/4 yd), 4.80 EUR" in told
    assert "In all: 6.60 EUR." in told
    assert told in done.stdout


def test_bolt_counts_garments(order: Path, tmp_path: Path) -> None:
    done = metrage(
        "bolt", order.name, "--how-many", "Ada", "--rounds", "2", "--out", "o", cwd=tmp_path
    )
    assert done.exit_code == 0, done.stderr
    assert "1 whole garment." in done.stdout
    assert "would need 30 cm more" in done.stdout
    assert (
        json.loads((tmp_path / "o" / "bolts.json").read_text())["how_many"]["whole_garments"] == 1
    )


def test_bolt_refuses_a_part_that_is_not_there(order: Path, tmp_path: Path) -> None:
    done = metrage("bolt", order.name, "--how-full", "frnt", cwd=tmp_path)
    assert done.exit_code == 2
    assert 'Did you mean "front"?' in done.stderr
