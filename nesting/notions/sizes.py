"""Lengths in which zips are sold. Millimetres."""

from __future__ import annotations

from nesting.order.model import Shop
from pieces.units import Unit, mm_per

_CM = range(10, 85, 5)
_IN = (4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30)
"""Lengths of zips where the order names none; common practice."""


def sizes_of(shop: Shop, unit: Unit) -> tuple[float, ...]:
    """The lengths sold, in rising order: the shop's, or else the usual ones in the order's unit."""
    if shop.sizes_mm:
        return shop.sizes_mm
    if unit in (Unit.IN, Unit.YD):
        return tuple(float(size * mm_per(Unit.IN)) for size in _IN)
    return tuple(10.0 * size for size in _CM)


def next_size(long_mm: float, shop: Shop, unit: Unit) -> float | None:
    """The shortest that is sold and long enough; None where none is.

    >>> [next_size(long, Shop(), unit) for long, unit in ((321, Unit.CM), (321, Unit.IN))]
    [350.0, 355.6]
    """
    long_enough = (size for size in sizes_of(shop, unit) if round(size - long_mm, 3) >= 0)
    return next(long_enough, None)
