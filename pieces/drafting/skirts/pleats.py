"""Pleats: how many, how wide, and the width of cloth they are laid from. Any unit, one throughout.

Source of all rules: *Dress Making*, CITS Trade Practical vol. 2 (NIMI, 2024), pp. 203 to 205.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.counts import nearest

PleatKind = Literal["knife", "box", "inverted"]
FOLDS = {"knife": 1, "box": 2, "inverted": 2}
"""Folds a pleat takes up: a box or an inverted pleat is two knife pleats back to back."""


@dataclass(frozen=True, slots=True)
class Pleats:
    """So many pleats, each so wide as it shows, and the width of the pattern before pleating."""

    count: int
    width: float
    pattern: float


def pleats_across(finished: float, depth: float, width: float, kind: PleatKind = "knife") -> Pleats:
    """Pleats all round a finished width: the nearest whole number, and their width corrected.

    Half-way between two it is the greater.

    >>> pleats_across(92, 4, 5)
    Pleats(count=18, width=5.111111111111111, pattern=236)
    >>> pleats_across(50, 2.5, 2.5).count
    20
    """
    count = max(1, nearest(finished / width))
    return Pleats(count, finished / count, pleated_width(finished, depth, count, kind))


def pleated_width(finished: float, depth: float, count: int, kind: PleatKind = "knife") -> float:
    """Width of the pattern: finished width, and twice the depth for each fold of each pleat.

    >>> pleated_width(60, 12, 1, "box"), pleated_width(66, 6.5, 1, "inverted")
    (108, 92.0)
    """
    return finished + 2 * depth * count * FOLDS[kind]


def fold_places(pleats: Pleats, depth: float, kind: PleatKind, count: int) -> list[float]:
    """Where the top of a strip with so many of the pleats is marked, from its start.

    At folds, and at the lines they are laid to.

    A knife pleat is folded at the first of two marks and laid to the second. An inverted pleat is
    folded at the first and last of three, both laid to the one between. A box pleat stands
    between two folds, which are laid to the line where it meets the next, or the strip's end.

    >>> fold_places(Pleats(2, 5.0, 26), 4, "knife", 2)
    [2.5, 10.5, 15.5, 23.5]
    >>> fold_places(Pleats(2, 6.0, 36), 3, "box", 2)
    [6.0, 12.0, 18.0, 24.0, 30.0]
    """
    width = pleats.width
    within = {
        "knife": (width / 2, width / 2 + 2 * depth),
        "inverted": (width / 2, width / 2 + 2 * depth, width / 2 + 4 * depth),
        "box": (2 * depth, 2 * depth + width, 4 * depth + width),
    }[kind]
    each = width + 2 * depth * FOLDS[kind]
    places = [each * i + place for i in range(count) for place in within]
    return places[:-1] if kind == "box" else places
