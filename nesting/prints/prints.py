"""Prints: at which places the pieces of a cloth must lie so that stripes and checks meet.

The named points of a garment's pieces lie on the same place of the print: their places along
the cloth are congruent modulo the repeat's length, those across it modulo its width. Pieces
that share a point share a phase; points of one piece tie the phases of several together.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from nesting.fabric.fabric import Fabric
from pieces.geometry import mirrored, rotated
from pieces.piece import GrainRule, Mark, Piece

ALONG, ACROSS = 0, 1
"""Axes of the cloth."""
MEETS_MM = 0.5
"""Lines of a print that are nearer to each other meet, as seams do; common practice."""
_MOTIF = "\0motif"
"""The node of the motif among the names of points, which no name of an order can be."""

Way = tuple[float, bool]
_Place = tuple[str, int, float]
"""Name of a point, whether its place is along the grain (0) or across it (1), and the place."""
_Member = tuple[Piece, list[_Place]]
"""A piece and its tied places on one axis of the cloth."""


@dataclass(frozen=True, slots=True)
class Root:
    """What ties a piece on one axis: its phase, and the point of the piece that lies on it.

    `number` is 0 where that place is along the piece's grain, 1 where it is across it.
    """

    phase: int
    number: int
    place_mm: float


@dataclass(frozen=True, slots=True)
class Clash:
    """A piece whose points can't all meet those of others: by how much, and which two."""

    piece: Piece
    names: tuple[str, str]
    off_mm: float


@dataclass(slots=True)
class Prints:
    """The phases of a cloth's pieces, whatever the lay, and what ties each piece to them."""

    periods_mm: tuple[float, float]
    axes: list[int] = field(default_factory=list)
    motifs: dict[int, int] = field(default_factory=dict)
    roots: dict[tuple[tuple[str, str], int], Root] = field(default_factory=dict)
    clashes: list[Clash] = field(default_factory=list)

    def ties(self, piece: Piece, way: Way) -> tuple[tuple[int, float], ...]:
        """Phase and offset from the reference point, for each axis on which a piece is tied."""
        found = []
        for axis in (ALONG, ACROSS):
            root = self.roots.get((piece.key, axis))
            if root is not None:
                found.append((root.phase, offset_mm(root, axis, way)))
        return tuple(found)


def offset_mm(root: Root, axis: int, way: Way) -> float:
    """How far the point of a piece lies from its reference point along an axis of the cloth."""
    turn_deg, is_mirrored = way
    at = (root.place_mm, 0.0) if root.number == 0 else (0.0, root.place_mm)
    return rotated(mirrored((at,)) if is_mirrored else (at,), turn_deg)[0][axis]


def lies_across(piece: Piece) -> bool:
    """Whether a piece lies across the cloth: its grain does, or its hem lies on a border."""
    return piece.grain_rule is GrainRule.CROSSWISE


def asked_marks(piece: Piece) -> Iterator[tuple[str, Mark]]:
    """The points of a piece at which the print matters, a motif's under its own name."""
    for name, wanted in ((None, piece.match), (_MOTIF, piece.motif)):
        for mark in piece.marks:
            if mark.name in wanted:
                yield name or mark.name, mark


def _tied_places(piece: Piece, periods_mm: Sequence[float]) -> Iterator[tuple[int, _Place]]:
    """Each tied place of a piece, with the axis of the cloth on which it is tied."""
    turned = lies_across(piece)
    for name, mark in asked_marks(piece):
        for number, counts in ((0, mark.along), (1, mark.across)):
            axis = 1 - number if turned else number
            if counts and periods_mm[axis] > 0:
                yield axis, (name, number, mark.at[number])


def tied_axes(piece: Piece, fabric: Fabric) -> Iterator[tuple[int, str]]:
    """Axis of the cloth and name, for each place of a piece at which the print repeats."""
    for axis, (name, _, _) in _tied_places(piece, periods_mm(fabric)):
        yield axis, name


def keeps_one_way(piece: Piece, fabric: Fabric) -> bool:
    """Whether the print lets a piece, and all that is matched with it, lie one way only.

    Turned end for end it would meet the others at its points and nowhere else. Where only its
    places across its grain are tied, either way will do.
    """
    return any(number == 0 for _, (_, number, _) in _tied_places(piece, periods_mm(fabric)))


def periods_mm(fabric: Fabric) -> tuple[float, float]:
    """The repeat along and across the washed cloth, 0 for none."""
    repeat = fabric.washed_repeat
    return repeat.length_mm, repeat.width_mm


def prints_of(pieces: Sequence[Piece], fabric: Fabric) -> Prints:
    """The phases that the pieces of a cloth share."""
    found = Prints(periods_mm(fabric))
    places = _places(pieces, found.periods_mm)
    for (axis, _, _), members in _by_garment(places).items():
        for component in _components(members):
            _enter(found, axis, component)
    return found


def with_motifs(fabric: Fabric, pieces: Sequence[Piece]) -> Fabric:
    """The cloth, and with its repeat whether the pieces want motifs at places along it."""
    if fabric.repeat is None:
        return fabric
    centred = ALONG in prints_of(pieces, fabric).motifs
    return replace(fabric, repeat=replace(fabric.repeat, centred=centred))


def _places(
    pieces: Sequence[Piece], periods: Sequence[float]
) -> Iterator[tuple[tuple[int, str, bool], _Member]]:
    for piece in pieces:
        by_axis: dict[int, list[_Place]] = defaultdict(list)
        for axis, place in _tied_places(piece, periods):
            by_axis[axis].append(place)
        for axis, own in by_axis.items():
            yield (axis, piece.garment, lies_across(piece)), (piece, own)


def _by_garment(
    places: Iterable[tuple[tuple[int, str, bool], _Member]],
) -> dict[tuple[int, str, bool], list[_Member]]:
    found: dict[tuple[int, str, bool], list[_Member]] = defaultdict(list)
    for key, member in places:
        found[key].append(member)
    return found


def _components(members: Sequence[_Member]) -> list[list[_Member]]:
    """Pieces that share points, directly or through others."""
    components: list[tuple[set[str], list[_Member]]] = []
    for member in members:
        names = {name for name, _, _ in member[1]}
        joined = [one for one in components if one[0] & names]
        components = [one for one in components if not one[0] & names]
        merged: list[_Member] = [other for _, own in joined for other in own]
        components.append((names.union(*(one[0] for one in joined)), [*merged, member]))
    return [own for _, own in components]


def _enter(found: Prints, axis: int, component: Sequence[_Member]) -> None:
    """Give a component its phase, and each of its pieces the point that lies on it."""
    names = {name for _, own in component for name, _, _ in own}
    period_mm = found.periods_mm[axis]
    if _MOTIF in names and axis in found.motifs:
        phase = found.motifs[axis]
    else:
        phase = len(found.axes)
        found.axes.append(axis)
        if _MOTIF in names:
            found.motifs[axis] = phase
    apart = {_MOTIF if _MOTIF in names else component[0][1][0][0]: 0.0}
    waiting = list(component)
    while waiting:
        member = next(one for one in waiting if any(name in apart for name, _, _ in one[1]))
        waiting.remove(member)
        piece, own = member
        known, number, place_mm = next(one for one in own if one[0] in apart)
        root_mm = place_mm - apart[known]
        found.roots[piece.key, axis] = Root(phase, number, root_mm)
        for name, other, at_mm in own:
            # Across its grain a piece may lie as drawn or mirrored: only one line serves both.
            wanted = apart.setdefault(name, 0.0 if other == 1 else at_mm - root_mm)
            off_mm = from_whole_mm(at_mm - root_mm - wanted, period_mm)
            if off_mm > MEETS_MM:
                found.clashes.append(Clash(piece, (said(known), said(name)), off_mm))


def said(name: str) -> str:
    """A point's name as the order has it."""
    return "motif" if name == _MOTIF else name


def from_whole_mm(difference_mm: float, period_mm: float) -> float:
    """How far a difference is from a whole number of periods."""
    return abs((difference_mm + period_mm / 2) % period_mm - period_mm / 2)


def plain_cloth(fabric: Fabric) -> Fabric:
    """The cloth without its print."""
    return replace(fabric, repeat=None, border=None)


def plain_pieces(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """The pieces, asking nothing of a print."""
    return tuple(replace(piece, match=(), motif=(), border=False) for piece in pieces)


def asks_for_print(pieces: Iterable[Piece]) -> bool:
    """Whether any piece is matched, or lies on a border."""
    return any(piece.match or piece.motif or piece.border for piece in pieces)
