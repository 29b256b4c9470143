"""Strips on the page: cut anew for another width, and told at the cutting table."""

from pathlib import Path
from typing import Any

import pytest

from nesting.page.tasks.made.choices import more_widths, pick
from nesting.page.tasks.made.cutting import cutting
from nesting.page.tasks.planning import plan_order
from nesting.page.tasks.stored import stored

pytestmark = pytest.mark.long

ORDER = """
name = "frill"
units = "cm"
[fabric.tulle]
width = 150
lays = ["open"]
[[garment]]
name = "Ada"
body = { waist = 60, height = 110 }
[[garment.part]]
draft = "tier"
fabric = "tulle"
fullness = 5
depth = 17
more_joins = false
"""


class Quiet:
    """A line to nobody."""

    def tell(self, told: dict[str, Any]) -> None:
        """Say nothing."""

    def stop_asked(self) -> bool:
        return False


def test_a_width_that_is_picked_has_strips_of_its_own(tmp_path: Path) -> None:
    """3 m with its seams: three strips from 1.5 m, two from 2.8 m."""
    line: Any = Quiet()
    request = {"order": ORDER, "folder": str(tmp_path), "rounds": 1, "seconds": 600}
    planned = plan_order(request, line)
    assert planned["plan"]["fabrics"][0]["joins"] == 2
    wider = more_widths(request | {"cloth": "tulle", "widths": ["280"], "seconds": 0.2}, line)
    widths = [lay["width_mm"] for lay in wider["lays"]["tulle"]]
    assert widths == [1500, 2800]
    assert [lay["joins"] for lay in wider["lays"]["tulle"]] == [2, 1]
    picked = pick(request | {"cloth": "tulle", "number": 1}, line)
    assert picked["plan"]["fabrics"][0]["joins"] == 1
    made = stored(tmp_path)
    assert made.pieces == made.fabrics[0].pieces
    assert sum(piece.cut for piece in made.pieces) == 2
    (cloth,) = cutting(request, line)["cloths"]
    assert cloth["joins"] == ["tulle tier 1 (Ada): 2 strips, 1 join, 300 cm when joined"]
