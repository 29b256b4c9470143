"""Pieces entered from tape and set square: curves through their corners, lengths to compare.

And what is told of pieces in a drawing by the numbers of their corners.

The corners of an outline are counted from 1, as the page counts them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Annotated

from pydantic import BeforeValidator, ValidationInfo

from nesting.order.faults import FaultCollector, joined
from pieces.curves import length, smooth
from pieces.errors import BadValue
from pieces.geometry import signed_area, stretch
from pieces.piece import Finding, Outline, Point, Seam
from pieces.trace.marking import EXAMPLE, Told, told
from pieces.units import Unit, format_length, parse_length
from pieces.wording import either, write

_STRETCH = re.compile(r"\s*([0-9]{1,5})\s*[-–]\s*([0-9]{1,5})\s*")
_MAY_DIFFER_MM = 3.0
"""A tape is read to an eighth of an inch."""
_CURVES = write("curves", "2-5, 7-9") + "."
_MEASURED = write("measured", "2-5: 31.5; 6-1: 12 1/4 in") + "."
_SEAMS = write("seams", "side: 2-3; waist: 4-5") + "."


def _curves(value: object) -> object:
    if not isinstance(value, str):
        raise BadValue("Curves are told by their corners.", _CURVES)
    return [_stretch(part, _CURVES) for part in value.split(",")]


def _measured(value: object, info: ValidationInfo) -> object:
    if not isinstance(value, str):
        raise BadValue("What was measured is told by its corners.", _MEASURED)
    found = []
    for part in value.split(";"):
        ends, colon, length = part.partition(":")
        if not colon:
            raise BadValue(f"'{part.strip()}' has no length.", _MEASURED)
        mm = parse_length(length.strip(), info.context["unit"])  # type: ignore[index]
        found.append((*_stretch(ends, _MEASURED), mm))
    return found


def _seams(value: object) -> object:
    if not isinstance(value, str):
        raise BadValue("Seams are told by their corners.", _SEAMS)
    found = []
    for part in value.split(";"):
        name, colon, ends = (text.strip() for text in part.partition(":"))
        if not colon or not name:
            raise BadValue(f"'{part.strip()}' has no name and stretch.", _SEAMS)
        found.append((name, *_stretch(ends, _SEAMS)))
    return found


def _marks(value: object, info: ValidationInfo) -> object:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        wrong = either("Marks are a list of texts in quotes.", "Each mark is a line of its own.")
        raise BadValue(wrong, f"Write them like {EXAMPLE}.")
    return [told(text, info.context["unit"]) for text in value]  # type: ignore[index]


MarkTexts = Annotated[list[Told], BeforeValidator(_marks)]
"""What is told of pieces in a drawing by the numbers of their corners."""


def _stretch(text: str, remedy: str) -> tuple[int, int]:
    found = _STRETCH.fullmatch(text)
    if found is None:
        raise BadValue(f"'{text.strip()}' is not from one corner to another.", remedy)
    return int(found[1]), int(found[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedKeys:
    """Keys of a piece that is entered by points.

    Along each of the `curves`, from one corner to another, the outline is one smooth line through
    the corners between. What was `measured` from one corner to another is compared with it.
    `seams` are named stretches, which tables [[seam]] compare.
    """

    curves: Annotated[list[tuple[int, int]], BeforeValidator(_curves)] = field(default_factory=list)
    measured: Annotated[list[tuple[int, int, float]], BeforeValidator(_measured)] = field(
        default_factory=list
    )
    seams: Annotated[list[tuple[str, int, int]], BeforeValidator(_seams)] = field(
        default_factory=list
    )


def named_seams(
    collector: FaultCollector, corners: Outline, table: TracedKeys, key: str
) -> tuple[Seam, ...]:
    """The seams that are named, each the way that the outline runs anticlockwise."""
    drawn = _drawn(collector, corners, table, key) if table.seams else None
    if drawn is None:
        return ()
    outline, places = drawn
    found = []
    for name, first, last in table.seams:
        if not _refused(collector, corners, (first, last), joined(key, "seams")):
            line = stretch(outline, places[first - 1], places[last - 1])
            found.append(Seam(name, line if signed_area(outline) > 0 else line[::-1]))
    return tuple(found)


def curved(
    collector: FaultCollector, corners: Outline, table: TracedKeys, key: str
) -> Outline | None:
    """The outline with its curves; None, with the fault noted, where they can't be drawn."""
    if not table.curves:
        return corners
    drawn = _drawn(collector, corners, table, key)
    return None if drawn is None else drawn[0]


def compared(
    collector: FaultCollector, corners: Outline, table: TracedKeys, key: str, name: str
) -> list[Finding]:
    """What is told of measured stretches that the outline doesn't have as long."""
    drawn = _drawn(collector, corners, table, key) if table.measured else None
    if drawn is None:
        return []
    outline, places = drawn
    found = []
    for first, last, wanted_mm in table.measured:
        if _refused(collector, corners, (first, last), joined(key, "measured")):
            continue
        has_mm = _along(outline, places[first - 1], places[last - 1])
        if abs(has_mm - wanted_mm) > _MAY_DIFFER_MM:
            told = _told(collector.unit, (first, last), has_mm, wanted_mm)
            found.append(Finding("measured-differs", f"{name}: {told}", joined(key, "measured")))
    return found


def _told(unit: Unit, ends: tuple[int, int], has_mm: float, wanted_mm: float) -> str:
    has, wanted = format_length(has_mm, unit), format_length(wanted_mm, unit)
    return (
        f"from corner {ends[0]} to {ends[1]} its outline is {has} long, and {wanted} was "
        "measured. Look at the corners between, and whether it is a curve."
    )


def _drawn(
    collector: FaultCollector, corners: Outline, table: TracedKeys, key: str
) -> tuple[Outline, dict[int, int]] | None:
    """The outline with its curves, and where in it each corner stands."""
    where = joined(key, "curves")
    wrong = [one for one in table.curves if _refused(collector, corners, one, where)]
    if wrong:
        return None
    count = len(corners)
    ends = {first - 1: (last - first) % count for first, last in table.curves}
    inner = [(start + step) % count for start, size in ends.items() for step in range(1, size)]
    if len(set(inner)) < len(inner) or len(ends) < len(table.curves) or ends.keys() & set(inner):
        collector.fault(
            where,
            "Two curves share more than an end.",
            "Give each stretch of the outline to one curve.",
        )
        return None
    points: list[Point] = []
    places: dict[int, int] = {}
    at = next(index for index in range(count) if index not in inner)
    gone = 0
    while gone < count:
        here, size = (at + gone) % count, ends.get((at + gone) % count, 1)
        own = tuple(corners[(here + step) % count] for step in range(size + 1))
        line = _line(own) if here in ends else own
        place = 0
        for step in range(size):
            place = line.index(own[step], place)
            places[(here + step) % count] = len(points) + place
        points += line[:-1]
        gone += size
    return tuple(points), places


def _line(points: Sequence[Point]) -> Outline:
    """A smooth line through points; through those of them that are apart."""
    if any(math.dist(a, b) == 0 for a, b in pairwise(points)):
        return tuple(points)
    return smooth(points)


def _refused(collector: FaultCollector, corners: Outline, ends: tuple[int, int], key: str) -> bool:
    """Whether a stretch can't be one of the outline, which is then noted."""
    count = len(corners)
    if ends[0] != ends[1] and all(1 <= end <= count for end in ends):
        return False
    collector.fault(
        key,
        f"{ends[0]}-{ends[1]} is no stretch of an outline of {count} corners.",
        f"Count its corners from 1 to {count}, and name two of them.",
    )
    return True


def _along(outline: Outline, start: int, end: int) -> float:
    """Length of an outline from one of its points on to another."""
    return length(stretch(outline, start, end))
