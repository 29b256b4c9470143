"""Rectangles side by side on a cloth: how much of it they take at most, by sums alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Box = tuple[float, float]
"""Length and width of a rectangle, as it lies, mm."""


_MOST_LIMITS = 6


def taken_mm(boxes: Sequence[Sequence[Box]], width_mm: float, gap_mm: float) -> float:
    """A length in which rectangles find room, the largest laid first; each may lie in several ways.

    Each is laid where it ends first; or, within some lengths that are less, where it begins first,
    the longer way if that has room. One that is wider than the cloth is taken to be as wide.

    >>> taken_mm([[(200, 1000)], [(200, 500), (500, 200)]], 1500, 0)
    200.0
    >>> taken_mm([[(200, 450), (450, 200)]] * 7, 1500, 0)
    450.0
    """
    ways = [[(along, min(wide, width_mm)) for along, wide in box] for box in boxes]
    ways.sort(key=lambda box: -max(max(way) for way in box))
    most_mm = _laid(ways, width_mm, gap_mm, None)
    assert most_mm is not None  # without a limit all find room
    for limit_mm in _limits(ways, width_mm, most_mm):
        found = _laid(ways, width_mm, gap_mm, limit_mm)
        if found is not None:
            return found
    return most_mm


def _limits(boxes: Sequence[Sequence[Box]], width_mm: float, most_mm: float) -> list[float]:
    """Lengths of one rectangle, or of two behind each other, that their area leaves possible."""
    lengths = {along for box in boxes for along, _ in box}
    lengths |= {one + other for one in lengths for other in lengths}
    least_mm = sum(box[0][0] * box[0][1] for box in boxes) / width_mm
    every = sorted(length for length in lengths if least_mm <= length < most_mm)
    step = max(1.0, len(every) / _MOST_LIMITS)
    return [every[int(n * step)] for n in range(min(len(every), _MOST_LIMITS))]


def _laid(
    boxes: Sequence[Sequence[Box]], width_mm: float, gap_mm: float, limit_mm: float | None
) -> float | None:
    """How far they reach; None if they find no room within the limit."""
    line = [(0.0, width_mm, 0.0)]
    for box in boxes:
        places = [
            (reach + along, reach, low, wide)
            for along, wide in box
            for low, reach in _places(line, wide)
        ]
        if limit_mm is None:
            end, _, low, wide = min(places)
        else:
            within = [place for place in places if place[0] <= limit_mm + 1e-6]
            if not within:
                return None
            end, _, low, wide = min(within, key=lambda place: (place[1], -place[0], place[2]))
        line = _raised(line, low, min(width_mm, low + wide + gap_mm), end + gap_mm)
    return max(reach for _, _, reach in line) - gap_mm


_Stretch = tuple[float, float, float]
"""Of the width, from and to; and how far along the cloth it is taken."""


def _places(line: Sequence[_Stretch], wide_mm: float) -> Iterator[tuple[float, float]]:
    """Where a rectangle may begin across the cloth, and how far along it must."""
    for index, (low, _, _) in enumerate(line):
        high = low + wide_mm
        if high <= line[-1][1] + 1e-6:
            yield low, max(reach for a, _, reach in line[index:] if a < high - 1e-6)


def _raised(line: Sequence[_Stretch], low: float, high: float, end: float) -> list[_Stretch]:
    """The line after a stretch of it was taken."""
    found = []
    for a, b, reach in line:
        found += [(a, min(b, low), reach)] if a < low else []
        found += [(max(a, high), b, reach)] if b > high else []
    return sorted([*found, (low, high, end)])
