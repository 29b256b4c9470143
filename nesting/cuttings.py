"""How the strips of a cloth are cut: the few ways worth a trial, by sums alone.

Strips that must lie across the cloth go from selvedge to selvedge or share their length evenly;
those that may run along it may be longer, with fewer joins. No strip that finds room across the
cloth is joined at all. Which way takes the least cloth, only layouts tell.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from nesting.fabric import Fabric, LayName
from nesting.in_hand import cloth_of
from nesting.lay import allowed_lays
from nesting.purchase import purchase
from pieces.drafting.spec import Cutting
from pieces.drafting.strips import Strips, strips_for
from pieces.geometry import bounds
from pieces.piece import GrainRule, Piece

_MOST = 3
"""Ways worth a trial for one cloth, the usual one among them."""
_MOST_LENGTHS = 8
_LEAST_MM = 10.0
"""What is less between its joins is no strip."""
_HOPE = 1.02
"""A way that seems to take so much more than the usual one may still take less."""

_Box = tuple[float, float]
"""Length and width of a rectangle, as it lies."""


def usual_cutting(fabric: Fabric) -> Cutting:
    """Equal strips, no longer than goes across the cloth, so that they may lie either way."""
    room_mm = fabric.usable_width_mm - 2 * fabric.edge_gap_mm
    return Cutting(room_mm, room_mm)


def usual_cuttings(fabrics: Mapping[str, Fabric]) -> dict[str, Cutting]:
    """That of each cloth, by its name."""
    return {name: usual_cutting(fabric) for name, fabric in fabrics.items()}


def _narrower_cuttings(fabric: Fabric) -> list[Cutting]:
    """Strips that go across where there is less room: on a fold along the cloth, if the order
    has it lie so, and on the narrowest bolt in hand."""
    usual_mm, rooms_mm = usual_cutting(fabric).across_mm, []
    if not {LayName.OPEN, LayName.CROSSWISE_FOLD} & set(allowed_lays(fabric)):
        rooms_mm.append(fabric.usable_width_mm / 2 - fabric.edge_gap_mm - fabric.gap_mm / 2)
    bolts = [usual_cutting(cloth_of(fabric, bolt)).across_mm for bolt in fabric.in_hand]
    rooms_mm += [room_mm for room_mm in sorted(bolts)[:1] if room_mm < usual_mm]
    return [Cutting(room_mm, usual_mm) for room_mm in rooms_mm]


@dataclass(frozen=True, slots=True)
class _Open:
    """A strip whose joins the order leaves open: its depth as cut, and the ways it may lie."""

    whole_mm: float
    ends_mm: float
    deep_mm: float
    rule: GrainRule
    evenly: bool

    def cut(self, cutting: Cutting) -> Strips:
        across = self.rule is GrainRule.LENGTHWISE
        longest_mm = cutting.across_mm if across else cutting.along_mm
        return strips_for(self.whole_mm, longest_mm, self.ends_mm, self.evenly or cutting.evenly)

    def boxes(self, cutting: Cutting, room_mm: float) -> list[list[_Box]]:
        """Each of its strips, in the ways it may lie."""
        found = []
        for long_mm in self.cut(cutting).lengths_mm:
            ways = []
            if self.rule is not GrainRule.CROSSWISE and long_mm <= room_mm + 1e-6:
                ways.append((self.deep_mm, long_mm))
            if self.rule is not GrainRule.LENGTHWISE:
                ways.append((long_mm, self.deep_mm))
            found.append(ways)
        return found


def cuttings_for(fabric: Fabric, pieces: Sequence[Piece]) -> tuple[Cutting, ...]:
    """The ways to cut the strips among a cloth's pieces that are worth a trial, the usual first.

    The others seem to take no more cloth than that one, or hardly more.
    """
    usual = usual_cutting(fabric)
    strips = _open_strips(pieces)
    ends_mm = max((strip.ends_mm for strip in strips), default=math.inf)
    if usual.across_mm <= ends_mm + _LEAST_MM:
        return (usual,)
    rest = [box for piece in pieces for box in _others(piece)]
    narrower = [one for one in _narrower_cuttings(fabric) if one.across_mm > ends_mm + _LEAST_MM]
    found: dict[tuple[float, ...], tuple[tuple[float, ...], Cutting]] = {}
    for cutting in (usual, *narrower, *_others_than(usual, strips)):
        cut = [strip.cut(cutting) for strip in strips]
        lengths = tuple(long_mm for one in cut for long_mm in one.lengths_mm)
        if lengths not in found:
            boxes = [box for strip in strips for box in strip.boxes(cutting, usual.across_mm)]
            takes_mm = _takes_mm(boxes + rest, usual.across_mm, fabric.gap_mm)
            bought_mm = purchase(fabric, takes_mm).length_mm
            joins = sum(one.count - 1 for one in cut)
            found[lengths] = (bought_mm, joins, takes_mm), cutting
    (least, _), *others = found.values()
    hopeful = [one for one in others if one[0][0] <= _HOPE * least[0] or one[1] in narrower]
    ranked = sorted(hopeful, key=lambda one: (one[1] not in narrower, one[0]))
    return (usual, *(cutting for _, cutting in ranked[: _MOST - 1]))


def _open_strips(pieces: Sequence[Piece]) -> list[_Open]:
    found: dict[tuple[str, str], _Open] = {}
    for piece in pieces:
        strip = piece.strip
        if strip is not None and strip.is_open:
            left, _, right, _ = bounds(piece.outline)
            key = piece.garment, strip.name
            found[key] = _Open(
                strip.whole_mm, strip.ends_mm, right - left, piece.grain_rule, strip.evenly
            )
    return list(found.values())


def _others(piece: Piece) -> list[list[_Box]]:
    """The rectangles around the parts of a piece whose joins are settled."""
    if piece.strip is not None and piece.strip.is_open:
        return []
    left, low, right, high = bounds(piece.outline)
    long_mm, wide_mm = right - left, (high - low) * (1 if piece.on_fold is None else 2)
    ways = []
    if piece.grain_rule is not GrainRule.CROSSWISE:
        ways.append((long_mm, wide_mm))
    if piece.grain_rule in (GrainRule.CROSSWISE, GrainRule.ANY):
        ways.append((wide_mm, long_mm))
    return [ways] * piece.parts


def _others_than(usual: Cutting, strips: Sequence[_Open]) -> Iterator[Cutting]:
    """Whole widths and a rest; and lengths along the cloth that some strip is shared out in."""
    across_mm = usual.across_mm
    yield Cutting(across_mm, across_mm, evenly=False)
    for along_mm in _lengths(across_mm, strips):
        yield Cutting(across_mm, along_mm)
        yield Cutting(across_mm, along_mm, evenly=False)


def _lengths(across_mm: float, strips: Sequence[_Open]) -> list[float]:
    """Longer than goes across; or, of strips that only run along, down to half of that."""
    found: set[float] = set()
    for strip in strips:
        if strip.rule is GrainRule.LENGTHWISE:
            continue
        least_mm = across_mm / 2 if strip.rule is GrainRule.CROSSWISE else across_mm
        count = 1
        while strip.whole_mm / count + strip.ends_mm > least_mm:
            found.add(round(strip.whole_mm / count + strip.ends_mm + 0.001, 3))
            count += 1
    every = sorted(found)
    step = max(1.0, (len(every) - 1) / (_MOST_LENGTHS - 1))
    return list(
        dict.fromkeys(every[round(n * step)] for n in range(min(len(every), _MOST_LENGTHS)))
    )


def _takes_mm(boxes: Sequence[Sequence[_Box]], width_mm: float, gap_mm: float) -> float:
    """A length in which rectangles find room, each laid where it ends first, the largest first.

    One that is wider than the cloth is taken to be as wide.
    """
    line = [(0.0, width_mm, 0.0)]
    for ways in sorted(boxes, key=lambda ways: -max(max(way) for way in ways)):
        places = (
            (reach + long_mm, low, wide_mm)
            for long_mm, wide in ways
            for wide_mm in [min(wide, width_mm)]
            for low, reach in _places(line, wide_mm)
        )
        end, low, wide_mm = min(places)
        line = _raised(line, low, min(width_mm, low + wide_mm + gap_mm), end + gap_mm)
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
