"""Ways out are laid out exactly as they are told: who does as told cuts what was checked."""

from __future__ import annotations

import pytest

from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.solver.stop import Rounds
from nesting.studies import enough
from nesting.studies.enough import Laid, WhatIf, ways_out
from pieces.units import format_length, parse_length

ORDER = """
name = "frock"
units = "{unit}"
seam_allowance = "{seam}"
[fabric.lawn]
width = "{width}"
in_hand = ["20 cm"]
[[garment]]
name = "Ada"
size = "4 years"
[[garment.part]]
draft = "bodice"
fabric = "lawn"
[[garment.part]]
draft = "gathered skirt"
fabric = "lawn"
fullness = 2.5
"""


@pytest.mark.parametrize(
    ("unit", "seam", "width", "narrow"),
    [
        ("in", "5/8 in", "44 in", "1/4 in instead of 5/8 in"),
        ("in", "5/8 in", "111.3 cm", "1/4 in instead of 5/8 in"),
        ("cm", "1.5 cm", "111.37 cm", "0.6 cm instead of 1.5 cm"),
        ("mm", "15 mm", "44 in", "6 mm instead of 15 mm"),
    ],
)
def test_what_is_told_is_what_was_laid_out(
    unit: str, seam: str, width: str, narrow: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried: list[Order] = []

    def laid(_: WhatIf, order: Order) -> Laid:
        tried.append(order)
        return Laid((), (), None)

    monkeypatch.setattr(enough.WhatIf, "laid", laid)
    order = order_from_text(ORDER.format(unit=unit, seam=seam, width=width), "o.toml")
    found = ways_out(order, "lawn", 1000.0, Rounds(1), {})
    told = {way.what: other for way, other in zip(found, tried, strict=False)}
    joins = next(what for what in told if what.startswith("join"))
    skirt = told[joins].garments[0].parts[1]
    length_mm = skirt.options.strip_length  # type: ignore[attr-defined]
    assert joins == f"join strips from lengths of {format_length(length_mm, order.unit)}"
    assert length_mm == pytest.approx(parse_length(joins.split("of ")[1], order.unit), abs=1e-9)
    seams = f"seam allowances of {narrow}"
    sewn_mm = told[seams].garments[0].parts[0].seam_allowance_mm
    assert sewn_mm == pytest.approx(parse_length(narrow.split(" instead")[0], order.unit), abs=1e-9)
