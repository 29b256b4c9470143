"""From the length of a marker to what to ask for at the counter, and how much goes unused.

Sums run in whole micrometres and exact fractions: a length that fills the counter's step to
the last hair must not cost another step because of a floating error.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from nesting.fabric.fabric import Fabric, Price
from nesting.fabric.plans import Purchase
from nesting.fabric.shares import to_the_cent
from pieces.units import Unit, format_length

_UM_PER_MM = 1_000
_CM_UM = 10_000
_METRE_STEP_UM = 100_000
"""Metres are asked for in tenths."""
_YARD_STEP_UM = 114_300
"""Yards are asked for in eighths: 4.5 in."""
_ASKED_UM = {Unit.M: _METRE_STEP_UM, Unit.YD: _YARD_STEP_UM}
_GRAIN_UM = {Unit.M: _CM_UM, Unit.YD: _YARD_STEP_UM}
"""A counter whose step is a multiple of this sells by that unit."""
_SIXTEENTH_UM = Fraction(25_400, 16)


def purchase(fabric: Fabric, marker_length_mm: float) -> Purchase:
    """What to buy for a marker of this length of flat, washed cloth.

    The cloth shrinks first, then a repeat is added where motifs are centred along it, its ends are
    squared, and the sum is rounded up last, to the counter's step or to a millimetre where the
    order names none.

    >>> from nesting.fabric.fabric import Fabric
    >>> purchase(Fabric("lawn", 1120, sold_by_mm=100), 2314).text
    '2.40 m (2 5/8 yd)'
    """
    need_um, steps = _need(fabric, _um(marker_length_mm))
    bought_um = _bought_um(fabric, need_um)
    steps += _rounding(fabric, bought_um)
    return Purchase(
        length_mm=bought_um / _UM_PER_MM,
        text=_text(fabric, need_um, bought_um),
        cost=None if fabric.price is None else _cost(fabric.price, bought_um),
        currency="" if fabric.price is None else fabric.price.currency,
        steps=tuple(steps),
    )


def asked_for_marker(fabric: Fabric, marker_length_mm: float) -> str:
    """What to ask for, in the counter's own unit alone, for a marker of flat, washed cloth.

    >>> from nesting.fabric.fabric import Fabric
    >>> [asked_for_marker(Fabric("lawn", 1120, by_yards=way), 962.7) for way in (False, True)]
    ['1.00 m', '1 1/8 yd']
    """
    need_um, _ = _need(fabric, _um(marker_length_mm))
    return _asked(fabric, need_um, _bought_um(fabric, need_um), counter_of(fabric))


def asked_for_length(fabric: Fabric, bought_mm: float) -> str:
    """What to ask for where all that is known is the length to buy; as `asked_for_marker`."""
    return _asked(fabric, _um(bought_mm), _um(bought_mm), counter_of(fabric))


def longest_for_less(fabric: Fabric, marker_length_mm: float) -> float:
    """The longest marker for which the counter cuts a step less than for this one.

    Below 0 where it sells no less.

    >>> from nesting.fabric.fabric import Fabric
    >>> longest_for_less(Fabric("lawn", 1120, sold_by_mm=100), 2314)
    2300.0
    """
    need_um, _ = _need(fabric, _um(marker_length_mm))
    less_um = _bought_um(fabric, need_um) - _step_um(fabric)
    if less_um < _um(fabric.minimum_mm):
        return -1.0
    kept_um = less_um - _um(fabric.end_allowance_mm) - _um(fabric.before_motif_mm)
    return math.floor(kept_um * _kept(fabric)) / _UM_PER_MM


def waste_percent(fabric: Fabric, wanted_mm2: float, length_mm: float) -> float:
    """Share of the usable cloth in a marker of `length_mm` that is in no wanted part.

    `wanted_mm2` is the area of all wanted parts, each copy counted.

    >>> waste_percent(Fabric("lawn", 1000), 1_500_000, 2000)
    25.0
    """
    return 100 * (1 - wanted_mm2 / (fabric.usable_width_mm * length_mm))


def unused_percent_of_purchase(fabric: Fabric, wanted_mm2: float, purchase_mm: float) -> float:
    """Share of the cloth bought, selvedges and all, that is in no wanted part.

    >>> unused_percent_of_purchase(Fabric("lawn", 1000, selvedge_mm=20), 1_500_000, 2000)
    25.0
    """
    return 100 * (1 - wanted_mm2 / (fabric.width_mm * purchase_mm))


def _need(fabric: Fabric, marker_um: int) -> tuple[Fraction, list[str]]:
    """Cloth to buy before rounding, and how it came about."""
    need = Fraction(marker_um)
    kept = _kept(fabric)
    washed = " of washed cloth" if kept < 1 or fabric.shrinkage_width else ""
    steps = [f"The marker takes {_said(fabric, need)}{washed}."]
    if kept < 1:
        need /= kept
        steps.append(
            f"The cloth shrinks by {float(100 * (1 - kept)):g} % in length, "
            f"so that is {_said(fabric, need)} before washing."
        )
    if fabric.before_motif_mm:
        repeat_um = Fraction(_um(fabric.before_motif_mm))
        need += repeat_um
        steps.append(
            "The cloth may begin anywhere in its repeat, so that up to one repeat goes before "
            f"the first motif: {_said(fabric, repeat_um)} more, {_said(fabric, need)}."
        )
    if fabric.end_allowance_mm:
        ends_um = Fraction(_um(fabric.end_allowance_mm))
        need += ends_um
        steps.append(
            f"Squaring the ends takes {_said(fabric, ends_um)} more: {_said(fabric, need)}."
        )
    least_um = _um(fabric.minimum_mm)
    if need < least_um:
        need = Fraction(least_um)
        steps.append(f"The shop sells no less than {_said(fabric, need)}.")
    return need, steps


def _step_um(fabric: Fabric) -> int:
    """The counter's step; a millimetre where the order names none."""
    return _um(fabric.sold_by_mm) or _UM_PER_MM


def _bought_um(fabric: Fabric, need_um: Fraction) -> int:
    return _rounded_up(need_um, _step_um(fabric))


def _kept(fabric: Fabric) -> Fraction:
    """The share of its length that the wash leaves."""
    return 1 - Fraction(round(fabric.shrinkage_length * 1_000_000), 1_000_000)


def _rounding(fabric: Fabric, bought_um: int) -> list[str]:
    if fabric.sold_by_mm:
        counter = counter_of(fabric)
        step = _in_measure(Fraction(_um(fabric.sold_by_mm)), counter)
        return [f"Sold in steps of {step}: {_in_measure(Fraction(bought_um), counter)}."]
    if fabric.price is None:
        return []
    exact = _said(fabric, Fraction(bought_um))
    return [f"The order names no step of the shop, so the cost is for {exact} exactly."]


def _cost(price: Price, bought_um: int) -> Decimal:
    """The price of the length, half a cent upwards."""
    return to_the_cent(Fraction(price.amount) * bought_um / _um(price.per_mm))


def _text(fabric: Fabric, need_um: Fraction, bought_um: int) -> str:
    """The purchase in metres and in yards, the counter's own unit first.

    The unit of the counter's step names what is bought; the other is rounded up on its own
    step from what is needed, for a shop that sells by the other. Who measures in inches and buys
    by the yard has no use for metres.
    """
    metres, yards = (_asked(fabric, need_um, bought_um, unit) for unit in (Unit.M, Unit.YD))
    if fabric.by_yards and counter_of(fabric) is Unit.YD:
        return yards
    return f"{yards} ({metres})" if counter_of(fabric) is Unit.YD else f"{metres} ({yards})"


def _asked(fabric: Fabric, need_um: Fraction | int, bought_um: int, unit: Unit) -> str:
    """What to ask for, in metres or in yards."""
    step_um = _um(fabric.sold_by_mm)
    if step_um and step_um % _GRAIN_UM[unit] == 0:
        return format_length(bought_um / _UM_PER_MM, unit)
    by_the_other = any(step_um % grain_um == 0 for grain_um in _GRAIN_UM.values())
    wanted_um = need_um if by_the_other else bought_um
    return format_length(_rounded_up(wanted_um, _ASKED_UM[unit]) / _UM_PER_MM, unit)


def counter_of(fabric: Fabric) -> Unit:
    """Metres or yards: by the counter's step, the price, or else as the order is written."""
    step_um = _um(fabric.sold_by_mm)
    by_step = [unit for unit, grain_um in _GRAIN_UM.items() if step_um and step_um % grain_um == 0]
    if by_step:
        return by_step[-1]
    by_yards = fabric.by_yards if fabric.price is None else fabric.price.by_yards
    return Unit.YD if by_yards else Unit.M


def _said(fabric: Fabric, length_um: Fraction) -> str:
    """A length in the order's measure, or else the shop's; no step looks too short."""
    return _in_measure(length_um, Unit.YD if fabric.by_yards else counter_of(fabric))


def _in_measure(length_um: Fraction, counter: Unit) -> str:
    """A length as one counts who buys by the metre or by the yard, rounded up."""
    if counter is Unit.YD:
        if length_um % _YARD_STEP_UM == 0:
            return format_length(float(length_um / _UM_PER_MM), Unit.YD)
        sixteenths = math.ceil(length_um / _SIXTEENTH_UM)
        return format_length(float(sixteenths * _SIXTEENTH_UM / _UM_PER_MM), Unit.IN)
    millimetres = math.ceil(length_um / _UM_PER_MM)
    if millimetres < 1000:
        return format_length(millimetres, Unit.CM)
    return f"{millimetres // 1000}.{millimetres % 1000:03d} m"


def _um(mm: float) -> int:
    return round(mm * _UM_PER_MM)


def _rounded_up(length_um: Fraction | int, step_um: int) -> int:
    return math.ceil(Fraction(length_um) / step_um) * step_um
