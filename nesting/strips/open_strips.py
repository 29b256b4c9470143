"""The strips of a cloth whose joins the order leaves open, and what a way to cut them takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.fabric.fabric import Fabric
from nesting.fabric.purchase import purchase
from nesting.strips.rectangles import Box, taken_mm
from pieces.corner import opened_out
from pieces.drafting.spec import Cutting
from pieces.drafting.strips import Strips, strips_for
from pieces.geometry import bounds
from pieces.piece import GrainRule, Piece


@dataclass(frozen=True, slots=True)
class OpenStrip:
    """A strip whose joins the order leaves open: its depth as cut, and the ways it may lie.

    `garment` is whose it is; `name`, `evenly` and `more_joins` are as in `pieces.piece.Strip`
    (`name` is its `open_as`).
    """

    garment: str
    name: str
    whole_mm: float
    ends_mm: float
    deep_mm: float
    rule: GrainRule
    evenly: bool
    more_joins: bool

    def cut(self, cutting: Cutting) -> Strips:
        """What it is joined from, so cut."""
        own = cutting.of(self.name, self.garment)
        across = self.rule is GrainRule.LENGTHWISE
        longest_mm = own.across_mm if across else own.along_mm
        return strips_for(self.whole_mm, longest_mm, self.ends_mm, self.evenly or own.evenly)

    def as_cut_mm(self, count: int) -> float:
        """How long each of so many strips is cut, rounded up to a thousandth."""
        return round(self.whole_mm / count + self.ends_mm + 0.001, 3)

    def boxes(self, cutting: Cutting, room_mm: float) -> list[list[Box]]:
        """Each of its strips, in the ways it may lie where there is so much room across."""
        found = []
        for long_mm in self.cut(cutting).lengths_mm:
            ways = []
            if self.rule is not GrainRule.CROSSWISE and long_mm <= room_mm + 1e-6:
                ways.append((self.deep_mm, long_mm))
            if self.rule is not GrainRule.LENGTHWISE:
                ways.append((long_mm, self.deep_mm))
            found.append(ways)
        return found


def open_strips(pieces: Sequence[Piece]) -> list[OpenStrip]:
    """Those among a cloth's pieces."""
    found: dict[tuple[str, str], OpenStrip] = {}
    for piece in pieces:
        strip = piece.strip
        if strip is not None and strip.open_as:
            left, _, right, _ = bounds(piece.outline)
            found[piece.garment, strip.name] = OpenStrip(
                piece.garment,
                strip.open_as,
                strip.whole_mm,
                strip.ends_mm,
                right - left,
                piece.grain_rule,
                strip.evenly,
                strip.more_joins,
            )
    return list(found.values())


Worth = tuple[float, int, float]
"""What seems to be bought, the joins, and the length that seems to be taken: smaller is better."""


class Sums:
    """What each way to cut the strips of a cloth seems to take, reckoned once."""

    def __init__(self, fabric: Fabric, pieces: Sequence[Piece], room_mm: float) -> None:
        self.fabric, self.room_mm = fabric, room_mm
        self.strips = open_strips(pieces)
        self.laid = 0
        """How many rectangles have been laid out so far."""
        self._rest = [box for piece in pieces for box in _others(piece)]
        self._known: dict[tuple[float, ...], Worth] = {}

    def lengths(self, cutting: Cutting) -> tuple[float, ...]:
        """Those of all strips: two ways that have the same are one."""
        return tuple(long_mm for strip in self.strips for long_mm in strip.cut(cutting).lengths_mm)

    def worth(self, cutting: Cutting) -> Worth:
        """What it seems to take: bought mm, joins, mm of open cloth."""
        lengths = self.lengths(cutting)
        if lengths not in self._known:
            boxes = [box for strip in self.strips for box in strip.boxes(cutting, self.room_mm)]
            boxes += self._rest
            self.laid += len(boxes)
            takes_mm = taken_mm(boxes, self.room_mm, self.fabric.gap_mm)
            bought_mm = purchase(self.fabric, takes_mm).length_mm
            self._known[lengths] = bought_mm, len(lengths) - len(self.strips), takes_mm
        return self._known[lengths]


def _others(piece: Piece) -> list[list[Box]]:
    """The rectangles around the parts of a piece whose joins are settled."""
    if piece.strip is not None and piece.strip.open_as:
        return []
    left, low, right, high = bounds(opened_out(piece))
    long_mm, wide_mm = right - left, high - low
    ways = []
    if piece.grain_rule is not GrainRule.CROSSWISE:
        ways.append((long_mm, wide_mm))
    if piece.grain_rule in (GrainRule.CROSSWISE, GrainRule.ANY):
        ways.append((wide_mm, long_mm))
    return [ways] * piece.parts
