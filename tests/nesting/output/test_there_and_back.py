"""Our own pieces on pages of paper, read back from the PDF within 0.05 mm, with their marks."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely.geometry import LinearRing

from nesting.order.read import order_from_text
from nesting.output.paper.tiles import pieces_tiles
from nesting.output.paper.tiling import Paper
from nesting.rules.parts import draft_order
from pieces.ready import read_pieces
from pieces.units import Unit

ORDER = """
name = "frock"
units = "cm"
[fabric.lawn]
width = 140
[[garment]]
name = "Ines"
size = "4 years"
[[garment.part]]
draft = "bodice"
fabric = "lawn"
[[garment.part]]
draft = "sleeve"
fabric = "lawn"
[[garment.part]]
draft = "flared skirt"
fabric = "lawn"
circle = "half"
length = 40
"""


@pytest.mark.long
@pytest.mark.parametrize("paper", list(Paper))
def test_pieces_on_pages_come_back(tmp_path: Path, paper: Paper) -> None:
    drafted = draft_order(order_from_text(ORDER, "frock.toml"))
    file = tmp_path / "frock.pdf"
    file.write_bytes(pieces_tiles("frock", drafted.pieces, Unit.CM, paper))
    draft = read_pieces(file)
    found = {piece.name: piece for piece in draft.pieces}
    assert len(found) == len(drafted.pieces)
    for wanted in drafted.pieces:
        piece = found[f"{wanted.name} (Ines)"]
        apart = LinearRing(piece.outline).hausdorff_distance(LinearRing(wanted.outline))
        assert apart < 0.05, wanted.name
        assert (piece.cut, piece.pair) == (wanted.cut, wanted.pair)
        assert (piece.on_fold is None) == (wanted.on_fold is None)
        assert len(piece.notches) == len(wanted.notches)
        assert bool(piece.sewing_line) == bool(wanted.sewing_line)
    told = " ".join(finding.message for finding in draft.findings)
    assert "the test square or line of 100.0 mm measures 100.0 mm" in told
