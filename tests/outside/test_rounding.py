"""Buying cloth: published sums and the sums they lead to.

Figures whose source rounds another way, or not at all, are worked out from its inputs; the
comment beside each says so.
"""

from __future__ import annotations

import pytest

from nesting.fabric.fabric import Fabric
from nesting.fabric.purchase import purchase

INCH = 25.4
YARD = 36 * INCH
BY_EIGHTHS = Fabric("cotton", 45 * INCH, sold_by_mm=YARD / 8)
"""Patterns and shops step by an eighth of a yard, 4.5 in. (common practice)."""
BY_TENTHS = Fabric("cotton", 1500, sold_by_mm=100)
"""Metric shops step by 10 cm (common practice)."""


@pytest.mark.parametrize(
    ("inches", "asked_for"),
    [
        # Two and three panels of 49 in. end to end on 45 in. cloth; a costume-making page on
        # the web gives 2.72 yd and buys 2 3/4. For three it says "about 4 yd": 4.08 yd needs 4 1/8.
        (2 * 49, "2 3/4 yd"),
        (3 * 49, "4 1/8 yd"),
        # A three-tier skirt of 14 widths of 13 in. and a 5 in. band: 187 in. = 5.19 yd, bought
        # as 5 1/4 (a hobby article on the web, 2013).
        (14 * 13 + 5, "5 1/4 yd"),
        # A ruffle of 220 in. three times full from 54 in. cloth: 12.22 widths, so 13, cut 23 in.
        # long: 299 in. = 8.31 yd (a costume-making page on the web; the eighths worked out here).
        (13 * 23, "8 3/8 yd"),
        # Four layers of tulle, each 27 in. long across the whole width: 108 in. = 3 yd exactly (a
        # newspaper's craft page, 2013).
        (4 * 27, "3 yd"),
    ],
)
def test_published_lengths_round_up_to_eighths(inches: float, asked_for: str) -> None:
    assert purchase(BY_EIGHTHS, inches * INCH).text.startswith(f"{asked_for} (")


@pytest.mark.parametrize("eighths", range(1, 100))
def test_exact_eighths_stay(eighths: int) -> None:
    for noise in (-1e-9, 0.0, 1e-9):
        bought = purchase(BY_EIGHTHS, eighths / 8 * YARD * (1 + noise))
        assert bought.length_mm == pytest.approx(eighths * YARD / 8, abs=1e-6)


@pytest.mark.parametrize(
    ("shrinkage", "metres"),
    # 2.00 m wanted after the wash, bought as L / (1 - s), not as L x (1 + s): worked out from
    # the definition of shrinkage (length lost over length before, as ISO 5077 has it, from memory).
    [(0.05, 2.105), (0.03, 2.062), (0.10, 2.222)],
)
def test_shrinkage_is_made_up_for(shrinkage: float, metres: float) -> None:
    bought = purchase(Fabric("cotton", 1500, shrinkage_length=shrinkage), 2000)
    assert bought.length_mm == pytest.approx(metres * 1000, abs=1.0)
    assert bought.length_mm >= 2000 / (1 - shrinkage)


def test_width_shrinks_too() -> None:
    # 114 cm at 4 % leaves 109.4 cm (worked out from the definition).
    assert Fabric("c", 1140, shrinkage_width=0.04).usable_width_mm == pytest.approx(1094, abs=0.5)


def test_selvedges_are_not_cut_into() -> None:
    # "45 in. material, 44 in. after removing selvage": a quilting table on the web.
    assert Fabric("c", 45 * INCH, selvedge_mm=INCH / 2).usable_width_mm == pytest.approx(44 * INCH)


def test_three_dresses_are_rounded_once() -> None:
    # 3 x 0.92 m = 2.76 m, bought as 2.8 m and not as 3 x 1.0 m (common practice).
    assert purchase(BY_TENTHS, 3 * 920).text == "2.80 m (3 1/8 yd)"
    assert 3 * purchase(BY_TENTHS, 920).length_mm == 3000


def test_a_dozen_shirts() -> None:
    # A textile teaching site: 1.6 yd a shirt, a dozen 19.2 yd, with 5 % 20.16 yd. Added as a
    # twentieth of what is wanted (19.2 x 1.05) where shrinkage by a twentieth needs 19.2 / 0.95.
    assert purchase(BY_EIGHTHS, 12 * 1.6 * YARD).text.startswith("19 1/4 yd")
    assert purchase(BY_EIGHTHS, 12 * 1.6 * 1.05 * YARD).text.startswith("20 1/4 yd")
    shrinking = Fabric("shirting", 56 * INCH, shrinkage_length=0.05, sold_by_mm=YARD / 8)
    assert purchase(shrinking, 12 * 1.6 * YARD).text.startswith("20 1/4 yd")


def test_a_metre_is_not_a_yard() -> None:
    # The international yard is 0.9144 m exactly (agreement of 1959): a metre taken for a yard is
    # short by 8.56 cm, a yard for a metre.
    assert purchase(BY_TENTHS, YARD).text == "1.00 m (1 yd)"
    assert purchase(BY_EIGHTHS, 1000).text == "1 1/8 yd (1.00 m)"
