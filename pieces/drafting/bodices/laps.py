"""Lines of an opening that laps for buttons: fold, middle, buttonholes. Millimetres."""

from __future__ import annotations

from pieces.counts import nearest
from pieces.piece import Line

_APART_MM = 60.0
_FROM_END_MM = 15.0
_HOLE_MM, _PAST_MM = 15.0, 3.0
"""A hole for a button of 12 mm, from 3 mm past the middle inwards; common practice, as all here."""


def lap_lines(middle: Line, opening_mm: float) -> tuple[Line, ...]:
    """What is drawn along an upright middle whose extension lies to its left.

    The line at which half the extension is folded back, the middle, and a buttonhole across it
    every 6 cm or so.
    """
    (x, high), (_, low) = middle[0], middle[-1]
    fold = x - opening_mm / 2
    holes: list[Line] = []
    if opening_mm > 0:
        heights = (high - down for down in buttons_down(high - low))
        holes = [((x - _PAST_MM, y), (x - _PAST_MM + _HOLE_MM, y)) for y in heights]
    return (((fold, high), (fold, low)), middle, *holes)


def buttons_down(long_mm: float) -> tuple[float, ...]:
    """How far down a lapped middle each button sits: every 6 cm or so, 1.5 cm from both ends.

    >>> buttons_down(210.0)
    (15.0, 75.0, 135.0, 195.0)
    """
    room = long_mm - 2 * _FROM_END_MM
    if room <= 0:
        return ()
    spaces = max(1, nearest(room / _APART_MM))
    return tuple(_FROM_END_MM + room * i / spaces for i in range(spaces + 1))
