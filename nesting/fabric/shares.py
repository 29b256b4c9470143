"""Sums of money shared out and rounded: exact fractions, whole cents, nothing lost."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction


def shared(amount: Decimal, weights: Mapping[str, int | Fraction]) -> dict[str, Decimal]:
    """An amount by weights, in whole cents that add up to it; the largest remainders go first.

    >>> shared(Decimal("1.00"), {"Ada": 1, "Bea": 1, "Cleo": 1})
    {'Ada': Decimal('0.34'), 'Bea': Decimal('0.33'), 'Cleo': Decimal('0.33')}
    """
    cents, whole = int(amount.scaleb(2)), sum(weights.values())
    if not whole:
        return {}
    exact = {name: Fraction(cents * weight) / whole for name, weight in weights.items()}
    given = {name: math.floor(share) for name, share in exact.items()}
    by_rest = sorted(exact, key=lambda name: given[name] - exact[name])
    for name in by_rest[: cents - sum(given.values())]:
        given[name] += 1
    return {name: Decimal(share).scaleb(-2) for name, share in given.items()}


def to_the_cent(amount: Fraction) -> Decimal:
    """An amount in whole cents, half a cent upwards.

    >>> to_the_cent(Fraction(1, 8)), to_the_cent(Fraction(1, 3))
    (Decimal('0.13'), Decimal('0.33'))
    """
    return Decimal(math.floor(amount * 100 + Fraction(1, 2))).scaleb(-2)
