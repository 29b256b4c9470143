"""Which pieces to cut in an opened-out section.

Guesses by areas and longest pieces say which choices to look at; first layouts say which of
them is the best.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from nesting.fabric.cut import Cut, on_cross_fold
from nesting.fabric.fabric import LayName
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.sections import Opened
from nesting.rules.rules import cuts_apart
from pieces.geometry import area, oriented
from pieces.piece import Piece

_MOST_STEPS = 60
_MOST_WAYS = 5
_LOOSEST = 0.5
"""No strip is reckoned to be filled less than this."""
_OUTLINE = 0.005
"""What an outline more to cut must save of the length, or the piece stays folded."""
_HOPE = 1.02
"""A first layout may be so much longer than the fold's alone and still be worth a search."""


def may_open(packing: Packing) -> bool:
    """Whether a section could save cloth: where cuts leave spares, or a band is kept for singles.

    >>> from nesting.fabric.fabric import Fabric
    >>> from nesting.fabric.lay import lay_of
    >>> may_open(Packing((), Fabric("lawn", 1120), lay_of(Fabric("lawn", 1120), LayName.OPEN)))
    False
    """
    folded = packing.lay.name is not LayName.OPEN
    return folded and any(cut.spare or cut.layers == 1 for cut in packing.cuts)


def way_to_open(
    packing: Packing, singly: Sized, pieces: Sequence[Piece], least: Opened
) -> Opened | None:
    """The choice of what is cut in a section that comes out shortest; None if none promises much.

    `packing` has what can be folded, and at `least` the rest must be cut in the section;
    `singly` has all the pieces on open cloth. First layouts are compared, of the best guesses and
    then of what differs from the best of them by one piece.
    """
    folded = Sized(packing)
    there = on_cross_fold(packing.cuts, packing.lay.name)
    _, must_open = cuts_apart(pieces, packing.fabric, packing.lay.name, least, there)
    most_folded_mm = folded.length_mm(packing.cuts) + singly.length_mm(must_open)
    guess = _Guess(packing, pieces, least, most_folded_mm)

    def length_mm(way: Opened) -> float:
        first, second = cuts_apart(pieces, packing.fabric, packing.lay.name, way, there)
        return folded.length_mm(first) + singly.length_mm(second)

    def price_mm(way: Opened) -> float:
        return length_mm(way) + guess.worth(way)[1] * _OUTLINE * most_folded_mm

    ways = sorted(guess.ways(), key=guess.worth)[:_MOST_WAYS]
    best = min(ways, key=price_mm, default=least or None)
    if best is None:
        return None
    for _ in range(_MOST_STEPS):
        steps = sorted(guess.steps(best), key=guess.worth)[:_MOST_WAYS]
        better = min(steps, key=price_mm, default=best)
        if price_mm(better) >= price_mm(best):
            break
        best = better
    return best if least or length_mm(best) < _HOPE * most_folded_mm else None


class Sized:
    """Lengths of first layouts of some of a packing's cuts."""

    def __init__(self, packing: Packing) -> None:
        from nesting.solver.search.subsets import Subsets

        self._lay = packing.lay
        self._subsets = Subsets(packing.instance)
        self._like: dict[object, list[int]] = {}
        for index, cut in enumerate(packing.cuts):
            self._like.setdefault(_kind(cut), []).append(index)

    def length_mm(self, cuts: Iterable[Cut]) -> float:
        """Of flat cloth; infinite where a cut is none of the packing's."""
        indices: list[int] = []
        for kind, number in Counter(map(_kind, cuts)).items():
            alike = self._like.get(kind, [])
            if len(alike) < number:
                return math.inf
            indices += alike[:number]
        return self._subsets.length(indices) * self._lay.lengths / UNITS_PER_MM


def _kind(cut: Cut) -> object:
    return cut.piece.key, cut.layers, cut.on_fold, cut.orientations


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the cuts of a piece ask of a strip: cloth by its layers, length of the longest."""

    area_mm2: Mapping[int, float]
    longest_mm: float
    outlines: int
    spare: int


class _Guess:
    """What choices may cost, reckoned piece by piece."""

    def __init__(
        self, packing: Packing, pieces: Sequence[Piece], least: Opened, length_mm: float
    ) -> None:
        self.fabric, self.lay, self.pieces = packing.fabric, packing.lay, pieces
        self.least = least
        self.there = on_cross_fold(packing.cuts, packing.lay.name)
        self.depths_mm: dict[int, list[float]] = {}
        for band in packing.lay.bands:
            self.depths_mm.setdefault(band.layers, []).append(band.depth_mm)
        self.open_mm = {1: [packing.fabric.usable_width_mm]}
        self.known: dict[tuple[tuple[str, str], int], tuple[_Asked, _Asked]] = {}
        self.filled = 1.0
        full_mm, _ = self.worth(least)
        self.filled = min(1.0, max(_LOOSEST, full_mm / length_mm))

    def without_spares(self) -> Opened:
        """So few of each piece in the section that none is cut for nothing, if that can be."""
        found: Opened = {}
        for piece in self.pieces:
            least = self.least.get(piece.key, 0)
            spares = [self._of(piece, number)[0].spare for number in range(least, piece.cut + 1)]
            number = least + spares.index(min(spares))
            if number:
                found[piece.key] = number
        return found

    def ways(self) -> list[Opened]:
        """What is looked at on the way from no spares to the least worth, piece by piece."""
        way = self.without_spares()
        seen = [way] if math.isfinite(self.worth(way)[0]) else []
        for _ in range(_MOST_STEPS):
            steps = list(self.steps(way))
            seen += steps
            better = min(steps, key=self.worth, default=way)
            if self.worth(better) >= self.worth(way):
                break
            way = better
        distinct = {frozenset(one.items()): one for one in seen if one}
        return list(distinct.values())

    def steps(self, way: Opened) -> Iterator[Opened]:
        """Choices that differ by one of one piece, and leave something to fold."""
        for piece in self.pieces:
            now, least = way.get(piece.key, 0), self.least.get(piece.key, 0)
            for number in sorted({max(least, now - 1), min(piece.cut, now + 1)} - {now}):
                other = {**way, piece.key: number} if number else _without(way, piece.key)
                if math.isfinite(self.worth(other)[0]):
                    yield other

    def worth(self, way: Opened) -> tuple[float, int]:
        """Smaller is better: the length of flat cloth, then the outlines to cut.

        Infinite where a piece finds no room or nothing is left to fold.
        """
        asked = [self._of(piece, way.get(piece.key, 0)) for piece in self.pieces]
        folded, single = [first for first, _ in asked], [second for _, second in asked]
        if not any(one.outlines for one in folded):
            return math.inf, 0
        length_mm = self.lay.lengths * self._strip_mm(folded, self.depths_mm)
        length_mm += self._strip_mm(single, self.open_mm)
        return length_mm, sum(one.outlines for one in (*folded, *single))

    def _strip_mm(self, asked: Sequence[_Asked], depths_mm: Mapping[int, list[float]]) -> float:
        longest_mm = max((one.longest_mm for one in asked), default=0.0)
        by_area = (
            sum(one.area_mm2.get(layers, 0.0) for one in asked) / (sum(depths) * self.filled)
            for layers, depths in depths_mm.items()
        )
        return max(longest_mm, *by_area)

    def _of(self, piece: Piece, number: int) -> tuple[_Asked, _Asked]:
        """What a piece asks of both strips if so many are cut in the section."""
        key = (piece.key, number)
        if key not in self.known:
            opened = {piece.key: number}
            first, second = cuts_apart([piece], self.fabric, self.lay.name, opened, self.there)
            self.known[key] = _asked(first, self.depths_mm), _asked(second, self.open_mm)
        return self.known[key]


def _without(way: Opened, key: tuple[str, str]) -> Opened:
    return {other: number for other, number in way.items() if other != key}


def _asked(cuts: Sequence[Cut], depths_mm: Mapping[int, list[float]]) -> _Asked:
    by_layers: dict[int, float] = {}
    for cut in cuts:
        by_layers[cut.layers] = by_layers.get(cut.layers, 0.0) + area(cut.outline_mm)
    longest_mm = max(
        (_least_length_mm(cut, depths_mm) for cut in (*cuts[:1], *cuts[-1:])), default=0
    )
    return _Asked(by_layers, longest_mm, len(cuts), sum(cut.spare for cut in cuts))


def _least_length_mm(cut: Cut, depths_mm: Mapping[int, Iterable[float]]) -> float:
    """How far along the cloth a cut reaches at the least; infinite where it has no room."""
    room_mm = max(depths_mm.get(cut.layers, ()), default=0.0) + 1e-6
    lengths = [math.inf]
    for way in cut.orientations:
        xs, ys = zip(*oriented(cut.outline_mm, *way), strict=True)
        if max(ys) - min(ys) <= room_mm:
            lengths.append(max(xs) - min(xs))
    return min(lengths)
