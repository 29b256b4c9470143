"""The range in which a measure can be a body's: outside it the tape or the unit is wrong.

From a small newborn to a large grown-up, with room to spare; common practice. What is possible
and yet unlikely is for `pieces.body.doubts`.
"""

from __future__ import annotations

from pieces.body.measurements import Body, in_words
from pieces.errors import Fault
from pieces.units import Unit, format_kept, format_needed

RANGES_MM: dict[str, tuple[float, float]] = {
    "height": (400.0, 2200.0),
    "chest": (250.0, 1800.0),
    "waist": (250.0, 1800.0),
    "hip": (250.0, 1900.0),
    "back_waist": (100.0, 600.0),
    "shoulder": (30.0, 550.0),  # or across both, see `pieces.body.shoulders`
    "upper_arm": (70.0, 600.0),
    "arm": (120.0, 900.0),
    "wrist": (60.0, 300.0),
    "neck": (130.0, 600.0),
    "across_shoulders": (120.0, 600.0),
    "across_back": (100.0, 550.0),
    "across_front": (100.0, 550.0),
    "bust_height": (120.0, 480.0),
    "bust_span": (80.0, 350.0),
    "front_waist": (120.0, 700.0),
    "rise": (80.0, 450.0),
}
"""Least and greatest of each measure, both still a body's."""


def impossible(body: Body, key: str, unit: Unit = Unit.CM) -> tuple[Fault, ...]:
    """A fault for each measure that is no body's; `key` is the garment's path in the order.

    Lengths are told in the dresser's `unit`.

    >>> [fault.key for fault in impossible(Body(chest=5.2), "garment[0]")]
    ['garment[0].body.chest']
    """
    found = []
    for name, (least, most) in RANGES_MM.items():
        value: float | None = getattr(body, name)
        if value is None or least <= value <= most:
            continue
        # Rounded outwards, so that it does not look like a length that could be one.
        given = (format_kept if value < least else format_needed)(value, unit)
        low, high = format_needed(least, unit), format_kept(most, unit)
        message = f"{given} is no {in_words(name)} of a body; from {low} to {high} it could be one."
        remedy = "Look whether the unit is right, and measure again."
        found.append(Fault("", f"{key}.body.{name}", message, remedy))
    return tuple(found)
