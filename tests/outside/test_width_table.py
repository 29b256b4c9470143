"""Our lengths at several widths against the table of fabric width conversion.

Source: the table of yards by width that US cooperative extension services publish, from two
independent copies on the web that agree in these columns (secondary copies). A row is one pattern;
its yards are rounded up to eighths. How lengths fall with the width is all that can be compared, so
the ratio of ours at two widths must lie within what the rows show, their rounding allowed for. The
table says nothing beyond its columns and rows.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from nesting.fabric.fabric import LayName
from nesting.order.model import Order
from nesting.order.read import example_order
from nesting.planning.comparer import compare
from nesting.solver.stop import Rounds

INCH = 25.4
EIGHTHS = {
    35: (14, 16, 18, 20, 23, 25, 27, 30, 34, 36, 38, 40),
    45: (11, 13, 14, 17, 18, 20, 22, 23, 25, 27, 29, 31),
    54: (9, 11, 12, 14, 15, 16, 18, 19, 21, 22, 23, 25),
    60: (8, 10, 11, 13, 14, 15, 16, 18, 19, 21, 22, 23),
}
"""Yards in eighths, row by row, at 35 to 36, 44 to 45, 52 to 54 and 58 to 60 inches."""


def spread(narrow: int, wide: int) -> tuple[float, float]:
    """The least and the greatest share of the narrow cloth's length that the wide one takes.

    Each figure may be up to an eighth of a yard more than was needed.
    """
    rows = list(zip(EIGHTHS[narrow], EIGHTHS[wide], strict=True))
    return min((b - 1) / a for a, b in rows), max(b / (a - 1) for a, b in rows)


def satin_and_lining() -> Order:
    """The packaged order without its strips."""
    order = example_order()
    cloths = {name: order.fabrics[name] for name in ("satin", "lining")}
    garments = tuple(
        replace(one, parts=tuple(part for part in one.parts if part.fabric == "satin"))
        for one in order.garments
    )
    return replace(order, fabrics=cloths, garments=garments)


def test_the_table_falls_with_the_width_and_is_no_mere_proportion() -> None:
    """As the copies have it: every row falls, and strays up to a tenth from equal areas."""
    for narrow, wide in combinations(EIGHTHS, 2):
        shares = [b / a for a, b in zip(EIGHTHS[narrow], EIGHTHS[wide], strict=True)]
        assert max(shares) < 1
        assert all(0.85 < share * wide / narrow < 1.15 for share in shares)


@pytest.mark.long
@pytest.mark.long
@pytest.mark.parametrize(
    "order",
    [
        pytest.param(satin_and_lining(), id="satin and lining"),
        pytest.param(example_order(), id="every cloth"),
    ],
)
def test_the_choirs_dresses_fall_with_the_width_as_the_table_does(order: Order) -> None:
    """The packaged order, cut open; skirts and tiers are no wider than 44 in."""
    plain = {
        name: replace(cloth, lays=(LayName.OPEN,), shrinkage_length=0.0, shrinkage_width=0.0)
        for name, cloth in order.fabrics.items()
    }
    widths = [inches * INCH for inches in (45, 54, 60)]
    made = compare(replace(order, fabrics=plain), Rounds(3), widths_mm=widths, jobs=1)
    for cloth in made.cloths:
        length = {
            round(one.figures.width_mm / INCH): one.figures.length_mm for one in cloth.alternatives
        }
        for narrow, wide in combinations((45, 54, 60), 2):
            low, high = spread(narrow, wide)
            share = length[wide] / length[narrow]
            assert low <= share <= high, (cloth.fabric.name, narrow, wide, share, low, high)
