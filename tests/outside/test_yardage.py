"""Our lengths against those printed for children's dresses.

Source: the yardages printed on the envelope of one children's dress pattern for 3, 4-5 and 6-8
years (a published pair with and without nap; brand withheld). What the dress looks like is not
known, so the lengths themselves can't be compared, but how they grow with size, width and nap
can: against a knee-long, long-sleeved dress with a full circle skirt of our own drafts, every
cell must stand in much the same ratio. A printed layout is laid by hand and rounded up to 5 cm,
so ours should be the shorter. Ours are cut open, as no lay takes less.
"""

from __future__ import annotations

import pytest

from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds

WIDTHS_CM = (120, 140, 150)
PRINTED_M = {
    ("3 years", "none"): (1.25, 1.05, 1.00),
    ("5 years", "none"): (1.50, 1.35, 1.15),
    ("7 years", "none"): (1.90, 1.55, 1.30),
    ("3 years", "one-way"): (1.35, 1.15, 1.10),
    ("5 years", "one-way"): (1.55, 1.35, 1.25),
    # 1.85 m at 120 cm is printed too, less than without nap: a slip, left out.
    ("7 years", "one-way"): (None, 1.75, 1.55),
}


def planned_m(size: str, nap: str, width_cm: int) -> float:
    parts = "".join(
        f'[[garment.part]]\nfabric = "cotton"\n{part}\n'
        for part in (
            'draft = "bodice"',
            'draft = "sleeve"\nstyle = "long"',
            'draft = "flared skirt"\ncircle = "full"\npanels = 4',
        )
    )
    order = order_from_text(
        f'name = "dress"\nunits = "cm"\nseam_allowance = 1.5\nhem_allowance = 4\n'
        f'[fabric.cotton]\nwidth = {width_cm}\nselvedge = 1\nnap = "{nap}"\nlays = ["open"]\n'
        f'[[garment]]\nname = "child"\nsize = "{size}"\n{parts}',
        "dress.toml",
    )
    (entry,) = plan(order, Rounds(3), jobs=1).fabrics
    return entry.marker.length_mm / 1000


@pytest.mark.long
def test_lengths_grow_with_size_width_and_nap_as_printed_ones_do() -> None:
    ratios = {
        (size, nap, width): planned_m(size, nap, width) / printed
        for (size, nap), row in PRINTED_M.items()
        for width, printed in zip(WIDTHS_CM, row, strict=True)
        if printed is not None
    }
    mean = sum(ratios.values()) / len(ratios)
    assert 0.6 < mean < 0.9, ratios
    for cell, ratio in ratios.items():
        assert 0.85 * mean < ratio < 1.15 * mean, (cell, ratio, mean)
