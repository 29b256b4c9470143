"""The cutter's rules: which outlines a lay asks for, and which ways each may lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, Faces, LayName, Nap
from nesting.prints.lays import border_turns
from nesting.prints.prints import keeps_one_way, lies_across
from nesting.rules.ways import of_one_sense, signed, turns
from pieces.corner import halves
from pieces.geometry import doubled, mirrored, rotated, same_under_mirror
from pieces.piece import GrainRule, Line, Piece

_ACROSS = "\0across"
"""What begins the names of groups that share a way across the cloth; no garment's name does."""
_ON_THE_FOLD_MM = 0.001
"""How far a fold edge may stray from the fold: rounding, no more."""


def _good_below(piece: Piece, fabric: Fabric, about_deg: float = 0.0) -> tuple[float, ...]:
    """The turns at which the layer below gives a wanted part too, whichever way up it lies.

    There lies the mirror image, at turn b - t, where b is 0, or 180 below a fold across the cloth.
    It is wanted as the other of a pair if that is a turn of the same sense; and as the piece itself
    if that is its own mirror image at turn r, and r + b - t such a turn; r is 0 for a hem on the
    border, which would lie at the other end. Turned over, where the faces are alike, it lies at
    turn t again.
    """
    nap = _nap_for(piece, fabric)
    own = turns(piece.grain_rule, nap)
    if _either_face(piece, fabric):
        return own

    def alike(turn: float) -> bool:
        wanted = own if nap is Nap.NONE else of_one_sense(piece.grain_rule, turn)
        if piece.pair and signed(about_deg - turn) in wanted:
            return True
        ways = (0.0,) if piece.border else (0.0, 90.0, 180.0, -90.0)
        found = (r for r in ways if signed(r + about_deg - turn) in wanted)
        return same_under_mirror(whole, tuple(found))

    whole = doubled(piece.outline, piece.on_fold) if piece.on_fold else piece.outline
    return tuple(turn for turn in own if alike(turn))


def _either_face(piece: Piece, fabric: Fabric) -> bool:
    """Whether a piece may be used with either face up.

    Turned over, a piece that lies along the cloth keeps its nap; across it, that points the other
    way.
    """
    along = fabric.nap is Nap.NONE or piece.grain_rule is GrainRule.LENGTHWISE
    return along and fabric.faces is Faces.ALIKE


def _fold_edges(piece: Piece, turn_deg: float, is_mirrored: bool) -> tuple[Line, list[Line]]:
    """The piece's outline and fold edges after mirroring and turning."""

    def laid(line: Line) -> Line:
        return rotated(mirrored(line) if is_mirrored else line, turn_deg)

    return laid(piece.outline), [laid(edge) for edge in piece.fold_edges]


def _lies_on_fold(outline: Line, edge: Line, either: bool = False) -> bool:
    """Whether the fold edge lies lowest, along the cloth; or highest, where `either` will do."""
    tail, head = edge
    level = abs(tail[1] - head[1]) <= _ON_THE_FOLD_MM
    lowest = min(y for _, y in outline) >= min(tail[1], head[1]) - _ON_THE_FOLD_MM
    highest = max(y for _, y in outline) <= max(tail[1], head[1]) + _ON_THE_FOLD_MM
    return level and (lowest or (either and highest))


def _lies_on_cross_fold(outline: Line, edge: Line) -> bool:
    """Whether the fold edge lies across the cloth, and the piece past it."""
    tail, head = edge
    upright = abs(tail[0] - head[0]) <= _ON_THE_FOLD_MM
    return upright and min(x for x, _ in outline) >= min(tail[0], head[0]) - _ON_THE_FOLD_MM


def cross_fold_ways(piece: Piece, fabric: Fabric) -> tuple[tuple[float, bool], ...]:
    """The ways in which a piece may lie on a crosswise fold; with a nap that is cut through."""
    if piece.on_fold is None or fabric.nap is not Nap.NONE:
        return ()

    def suits(way: tuple[float, bool]) -> bool:
        outline, edges = _fold_edges(piece, *way)
        return _lies_on_cross_fold(outline, edges[0])

    ways = _ways(turns(piece.grain_rule, fabric.nap), (False, True))
    return tuple(way for way in ways if suits(way))


def corner_ways(piece: Piece, fabric: Fabric) -> tuple[tuple[float, bool], ...]:
    """The ways in which a piece may lie in the corner of a quarter fold, an edge on each fold."""
    if piece.second_fold is None or fabric.nap is not Nap.NONE:
        return ()

    def suits(way: tuple[float, bool]) -> bool:
        outline, edges = _fold_edges(piece, *way)
        return any(
            _lies_on_fold(outline, along) and _lies_on_cross_fold(outline, across)
            for along, across in (edges, edges[::-1])
        )

    ways = _ways(turns(piece.grain_rule, fabric.nap), (False, True))
    return tuple(way for way in ways if suits(way))


def half_on(piece: Piece, lay: LayName) -> Piece:
    """A piece drawn for two folds as it lies where only one is: opened out about one edge.

    The other is the one that can lie on the lay's fold, as its grain runs. Other pieces stay.
    """
    if piece.second_fold is None:
        return piece
    along, across = _halves(piece)
    lies_across = piece.grain_rule is GrainRule.CROSSWISE
    return along if lies_across == (lay is LayName.CROSSWISE_FOLD) else across


_halves = lru_cache(maxsize=256)(halves)


def _ways(turn_set: Iterable[float], mirrors: Iterable[bool]) -> tuple[tuple[float, bool], ...]:
    mirror_set = tuple(mirrors)
    return tuple((turn, mirror) for turn in turn_set for mirror in mirror_set)


def _numbered(parts: int, per_cut: int) -> Iterator[tuple[int, int]]:
    """Copy and wanted parts of each cut that gives up to `per_cut` of so many parts."""
    for copy in range(1, -(-parts // per_cut) + 1):
        yield copy, min(per_cut, parts - per_cut * (copy - 1))


def _cut_singly(piece: Piece, fabric: Fabric) -> list[Cut]:
    """Open cloth: every part by itself, the second of a pair mirrored."""
    turn_set = turns(piece.grain_rule, fabric.nap)
    either = _either_face(piece, fabric)
    hands: list[tuple[bool, ...]] = []
    for _ in range(piece.cut):
        hands += [(False,), (True,)] if piece.pair else [(False,)]
    return [
        Cut(
            piece,
            copy,
            on_fold=False,
            unfolded=piece.on_fold is not None,
            layers=1,
            yields=1,
            spare=0,
            orientations=_ways(turn_set, (False, True) if either else hand),
        )
        for copy, hand in enumerate(hands, start=1)
    ]


def _cut_on_fold(piece: Piece, fabric: Fabric, layers: int, either_fold: bool) -> list[Cut]:
    """A fold edge on the fold: one whole part from every two layers."""

    def suits(way: tuple[float, bool]) -> bool:
        outline, edges = _fold_edges(piece, *way)
        # Drawn half upside down, the whole of it would point the other way across a nap.
        against = fabric.nap is not Nap.NONE and abs(way[0]) == 90.0 and way[1]
        return _lies_on_fold(outline, edges[0], either_fold) and not against

    every = _ways(turns(piece.grain_rule, fabric.nap), (False, True))
    ways = tuple(way for way in every if suits(way))
    whole = layers // 2
    return [
        Cut(piece, copy, True, False, layers, good, whole - good, orientations=ways)
        for copy, good in _numbered(piece.parts, whole)
    ]


def _nap_for(piece: Piece, fabric: Fabric) -> Nap:
    """What the nap is for a piece: a matched one lies as the others of its garment do."""
    matched = fabric.nap is Nap.NONE and keeps_one_way(piece, fabric)
    return Nap.PER_GARMENT if matched else fabric.nap


def _cut_double(piece: Piece, fabric: Fabric, layers: int, about_deg: float = 0.0) -> list[Cut]:
    """Layers face to face: a cut gives one as laid and one mirrored from every two of them."""
    good, unfolded = _good_below(piece, fabric, about_deg), piece.on_fold is not None
    if piece.pair and not good:
        # Below a hand lies the other, pointing against the nap: each is cut by itself.
        singly = _cut_singly(piece, fabric)
        return [replace(cut, layers=layers, spare=layers - 1) for cut in singly]
    per_cut = layers if good else layers // 2
    hands = (False, True) if piece.pair or _either_face(piece, fabric) else (False,)
    own = turns(piece.grain_rule, fabric.nap)
    found = []
    for copy, given in _numbered(piece.parts, per_cut):
        ways = _ways(good if given > layers // 2 else own, hands)
        found.append(Cut(piece, copy, False, unfolded, layers, given, layers - given, ways))
    return found


def _cut_on_ends(piece: Piece, fabric: Fabric) -> list[Cut]:
    """Cut ends together: with a nap the cloth is cut at the fold and turned, else it is not."""
    return _cut_double(piece, fabric, 2, 180.0 if fabric.nap is Nap.NONE else 0.0)


def _cut_beside(piece: Piece, fabric: Fabric) -> list[Cut]:
    """Two layers beside one: what leaves no spare from two layers, the rest from one."""
    singly = _cut_singly(piece, fabric)
    if not _good_below(piece, fabric):
        return singly
    double = [cut for cut in _cut_double(piece, fabric, layers=2) if not cut.spare]
    return [*double, *(replace(cut, copy=len(double) + 1) for cut in singly[2 * len(double) :])]


def _cuts_of(piece: Piece, fabric: Fabric, lay: LayName) -> list[Cut]:
    layers = 4 if lay is LayName.QUARTER_FOLD else 2
    if lay is LayName.OPEN:
        return _cut_singly(piece, fabric)
    if lay is LayName.CROSSWISE_FOLD:
        return _cut_on_ends(piece, fabric)
    if piece.on_fold is not None:
        return _cut_on_fold(piece, fabric, layers, either_fold=lay is LayName.DOUBLE_FOLD)
    if lay is LayName.PARTIAL_FOLD:
        return _cut_beside(piece, fabric)
    return _cut_double(piece, fabric, layers)


def _grouped(cut: Cut, nap: Nap) -> Cut:
    """Tie the cut to those that are to lie the same way: of its garment, or of all across."""
    garment = cut.piece.garment if nap is Nap.PER_GARMENT else ""
    if nap is Nap.NONE or not cut.orientations:
        return cut
    if cut.piece.grain_rule is GrainRule.CROSSWISE:
        return replace(cut, nap_group=_ACROSS + garment)
    return replace(cut, nap_group=garment) if nap is Nap.PER_GARMENT else cut


def _cut_across_fold(piece: Piece, fabric: Fabric, number: int) -> list[Cut]:
    """So many on the crosswise fold, the others opened out on its two layers."""
    ways, number = cross_fold_ways(piece, fabric), min(number, piece.cut)
    there = [Cut(piece, n + 1, True, False, 2, 1, 0, orientations=ways) for n in range(number)]
    if number == piece.cut:
        return there
    beside = _cut_on_ends(replace(piece, cut=piece.cut - number), fabric)
    return [*there, *(replace(cut, piece=piece, copy=cut.copy + number) for cut in beside)]


def _cut_in_corner(piece: Piece, fabric: Fabric) -> list[Cut]:
    """One in the corner of a quarter fold, which has no room for more; the others on one fold."""
    ways = corner_ways(piece, fabric)
    there = Cut(piece, 1, True, False, 4, 1, 0, orientations=ways, in_corner=True)
    if piece.cut == 1:
        return [there]
    others = _cuts(replace(piece, cut=piece.cut - 1), fabric, LayName.QUARTER_FOLD, 0)
    return [there, *(_one_of(piece.cut, cut, after=1) for cut in others)]


def _one_of(count: int, cut: Cut, after: int = 0) -> Cut:
    """A cut of a piece of which so many are cut in all, counted on from those before it."""
    return replace(cut, piece=replace(cut.piece, cut=count), copy=cut.copy + after)


def _cuts(piece: Piece, fabric: Fabric, lay: LayName, number: int) -> list[Cut]:
    """Those of one piece, so many of which lie with a fold edge on a fold across the cloth."""
    if piece.second_fold is None:
        return _cut_across_fold(piece, fabric, number) if number else _cuts_of(piece, fabric, lay)
    if number and lay is LayName.QUARTER_FOLD:
        return _cut_in_corner(piece, fabric)
    half = half_on(piece, lay)
    return [replace(cut, halved=True) for cut in _cuts(half, fabric, lay, number)]


def cuts_for(
    pieces: Sequence[Piece],
    fabric: Fabric,
    lay: LayName,
    on_cross_fold: Mapping[tuple[str, str], int] | None = None,
) -> tuple[Cut, ...]:
    """The outlines to cut from `fabric` laid as `lay`, with the ways each may lie.

    `on_cross_fold` tells by key how many of a piece have a fold edge on a fold across the cloth:
    on a crosswise fold, or in the corner of a quarter fold, where there is room for one. Elsewhere
    a piece drawn for the corner is cut as a half, opened out about one edge. A piece that can't
    lie so at all (its fold edge never comes to lie along the fold) has a cut without orientations.
    """
    there = on_cross_fold or {}
    cuts = [cut for piece in pieces for cut in _cuts(piece, fabric, lay, there.get(piece.key, 0))]
    cuts = [_printed(cut, fabric, lay) for cut in cuts]
    return tuple(_grouped(cut, _nap_for(cut.piece, fabric)) for cut in cuts)


def _printed(cut: Cut, fabric: Fabric, lay: LayName) -> Cut:
    """Only those ways that the print leaves: hems on the border, matched pieces all one way."""
    piece = cut.piece
    allowed = turns(piece.grain_rule, fabric.nap)
    if piece.border:
        allowed = border_turns(fabric, lay)
    if lies_across(piece) and keeps_one_way(piece, fabric):
        # As hems on the border lie, if there is one.
        allowed = (border_turns(fabric, lay) or allowed)[:1]
    ways = tuple(way for way in cut.orientations if way[0] in allowed)
    return cut if ways == cut.orientations else replace(cut, orientations=ways)


def cuts_apart(
    pieces: Sequence[Piece],
    fabric: Fabric,
    lay: LayName,
    opened: Mapping[tuple[str, str], int],
    on_cross_fold: Mapping[tuple[str, str], int] | None = None,
) -> tuple[tuple[Cut, ...], tuple[Cut, ...]]:
    """The outlines to cut from a folded lay, and those from the opened-out section at its end.

    `opened` says by key how many of a piece are cut in the section, or how many pairs: there
    as on open cloth. Of the others as many as are left lie `on_cross_fold`, as in `cuts_for`.
    Copies in the section are counted on from the folded part's.
    """
    there = {piece.key: min(piece.cut, opened.get(piece.key, 0)) for piece in pieces}
    count = {piece.key: piece.cut for piece in pieces}
    folded = [replace(p, cut=p.cut - there[p.key]) for p in pieces if there[p.key] < p.cut]
    singly = [replace(p, cut=there[p.key]) for p in pieces if there[p.key]]
    first = cuts_for(folded, fabric, lay, on_cross_fold)
    before = Counter(cut.piece.key for cut in first)
    second = cuts_for(singly, fabric, LayName.OPEN)
    return (
        tuple(_one_of(count[cut.piece.key], cut) for cut in first),
        tuple(_one_of(count[cut.piece.key], cut, before[cut.piece.key]) for cut in second),
    )
