"""Every cell of the rules table as a case: a piece, a cloth, a lay, and what is to be cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from nesting.fabric.fabric import Fabric, Faces, LayName, Nap
from pieces.piece import GrainRule, Outline, Piece
from tests.nesting.rules.rules_shapes import (
    FOLD_EDGES,
    OPENED_OUT,
    QUARTER_ROUND,
    SHAPES,
    WHOLE_ROUND,
)
from tests.nesting.rules.rules_table import (
    CORNER_CUTS,
    CORNER_WAYS,
    CROSS_FOLD_CUTS,
    CROSS_FOLD_WAYS,
    CROSSWISE_FOLD,
    CUTS,
    DIFFERENT,
    DOUBLE_FOLD,
    GOOD_BELOW,
    HALF_ON_FOLD,
    HALVES,
    HANDS,
    HAS_LENGTHWISE_FOLD,
    ITSELF_FACE_DOWN,
    LAYERS,
    LENGTHWISE,
    NEVER,
    ON_FOLD_WAYS,
    OPEN,
    OPENS_OUT,
    QUARTER_FOLD,
    TURNS,
    UPPER_FOLD_WAYS,
    Way,
)


@dataclass(frozen=True)
class Outlined:
    """One outline to cut: what it gives, and the ways it must and may be allowed to lie."""

    yields: int
    spare: int
    layers: int
    on_fold: bool
    unfolded: bool
    must: frozenset[Way]
    may: frozenset[Way]
    in_corner: bool = False
    shape: Outline = ()
    """What is cut, of a piece with two fold edges; of others it is told by `unfolded`."""


@dataclass(frozen=True)
class Case:
    """A piece on a cloth in a lay, and the outlines to cut for it, in order of their copies."""

    kind: str
    lay: LayName
    fabric: Fabric
    piece: Piece
    outlines: tuple[Outlined, ...]
    half: str = ""
    """As which kind a piece with two fold edges lies on one fold."""

    @property
    def whole(self) -> Outline:
        """The piece's outline, opened out if it is drawn for the fold."""
        return OPENED_OUT.get(self.kind, self.piece.outline)

    def __str__(self) -> str:
        words = (self.lay, self.fabric.nap, self.fabric.faces, self.kind, self.piece.grain_rule)
        return f"{' / '.join(words)} / cut {self.piece.cut}"


_AS_WHOLE = {"fold along": "same on both sides", "fold across": "same at both ends"}
"""What a piece drawn for the fold is opened out."""


def _as_whole(kind: str) -> str:
    return "strip" if kind == "two folds" else _AS_WHOLE.get(kind, kind)


def good_below(kind: str, rule: GrainRule, nap: Nap) -> frozenset[float]:
    """The turns at which the layer below gives a wanted part too, on cloth whose faces differ."""
    shape = _as_whole(kind)
    every = frozenset(TURNS[rule, nap])
    if nap is Nap.NONE:
        return frozenset() if shape == "single" else every
    return every & frozenset(GOOD_BELOW[shape][rule])


def _faces(faces: Faces, rule: GrainRule, nap: Nap) -> Faces:
    """What the faces count as: turned over, what lies across a nap shows it the other way."""
    return faces if nap is Nap.NONE or rule is LENGTHWISE else DIFFERENT


def _row(lay: LayName, kind: str, rule: GrainRule, nap: Nap) -> str:
    """Which row of CUTS a kind of piece follows."""
    if (kind in FOLD_EDGES or kind == "two folds") and lay in HAS_LENGTHWISE_FOLD:
        return "on fold"
    good = good_below(kind, rule, nap)
    if kind == "pair":
        return "pair" if good or lay is OPEN else "pair one by one"
    return "own mirror image" if good else "single"


def _outlined(
    case: str, lay: LayName, kind: str, rule: GrainRule, nap: Nap, whole: str | None = None
) -> Outlined:
    """What a cell of CUTS says; `whole` is the kind that lies opened out, if not the piece's."""
    counts, _, hands = case.partition(" ")
    yields, spare = map(int, counts.split("+"))
    if hands:
        below = good_below(whole or kind, rule, nap) if yields > max(1, spare) else frozenset()
        turns = below or TURNS[rule, nap]
        if kind != "pair" and hands in ("drawn", "same"):
            hands = "same" if _as_whole(whole or kind) in ITSELF_FACE_DOWN[nap] else "drawn"
        must, may = (frozenset(product(turns, mirrors)) for mirrors in HANDS[hands])
    else:
        ways = ON_FOLD_WAYS[kind, rule, nap]
        if lay is DOUBLE_FOLD:
            ways += UPPER_FOLD_WAYS.get((kind, rule, nap), ())
        must = may = frozenset(ways)
    folded = kind in FOLD_EDGES
    on_fold = folded and lay in HAS_LENGTHWISE_FOLD
    layers = (yields + spare) * (2 if on_fold else 1)
    return Outlined(yields, spare, layers, on_fold, folded and not on_fold, must, may)


def _case(
    lay: LayName,
    nap: Nap,
    faces: Faces,
    kind: str,
    rule: GrainRule,
    cut: int,
    row: str,
    section: bool = False,
    whole: str | None = None,
) -> Case:
    piece = Piece(
        name="trial piece",
        fabric="sateen",
        outline=SHAPES[kind],
        grain=((10.0, 10.0), (50.0, 10.0)),
        on_fold=FOLD_EDGES.get(kind),
        cut=cut,
        pair=kind == "pair",
        grain_rule=rule,
        garment="Ada",
    )
    there = OPEN if section else lay
    outlines = CUTS[LAYERS[there], _faces(faces, rule, nap), row][cut - 1].split(", ")
    return Case(
        kind,
        lay,
        Fabric("sateen", 1000.0, nap=nap, faces=faces),
        piece,
        tuple(_outlined(outline, there, kind, rule, nap, whole) for outline in outlines),
    )


def cases() -> Iterator[Case]:
    """Every cell of the table."""
    for lay, nap, faces, kind, rule in product(LayName, Nap, Faces, SHAPES, GrainRule):
        if (lay, nap) in NEVER:
            continue
        row = _row(lay, kind, rule, nap)
        for cut in (1, 2, 3):
            yield _case(lay, nap, faces, kind, rule, cut, row)


def cross_fold_cases() -> Iterator[tuple[Case, int]]:
    """Three of a piece on a crosswise fold, one, two or all of them with their edge on the fold."""
    for (kind, rule), ways in CROSS_FOLD_WAYS.items():
        row = _row(CROSSWISE_FOLD, kind, rule, Nap.NONE)
        for number in (1, 2, 3) if ways else ():
            case = _case(CROSSWISE_FOLD, Nap.NONE, DIFFERENT, kind, rule, 3, row)
            texts = CROSS_FOLD_CUTS[number].split(", ")
            outlines = [
                _outlined(text, CROSSWISE_FOLD, kind, rule, Nap.NONE)
                if " " in text
                else Outlined(1, 0, 2, True, False, frozenset(ways), frozenset(ways))
                for text in texts
            ]
            yield replace(case, outlines=tuple(outlines)), number


def section_cases() -> Iterator[Case]:
    """A piece cut in the opened-out section of each lay that may have one, once and twice."""
    for lay, nap, faces, kind, rule in product(sorted(OPENS_OUT), Nap, Faces, SHAPES, GrainRule):
        if (lay, nap) in NEVER:
            continue
        row = _row(OPEN, kind, rule, nap)
        for cut in (1, 2):
            yield _case(lay, nap, faces, kind, rule, cut, row, section=True)


def quarter_round(rule: GrainRule, cut: int = 1) -> Piece:
    """A piece with two fold edges."""
    return Piece(
        name="trial piece",
        fabric="sateen",
        outline=QUARTER_ROUND,
        grain=((10.0, 10.0), (50.0, 10.0)),
        on_fold=((0.0, 0.0), (120.0, 0.0)),
        second_fold=((0.0, 0.0), (0.0, 80.0)),
        cut=cut,
        grain_rule=rule,
        garment="Ada",
    )


def _either_side_up(one: Outlined) -> frozenset[Way]:
    """The ways of an outline that is itself face down: those across a nap face down, too."""
    return one.may | {(turn, True) for turn, _ in one.may if one.on_fold and abs(turn) == 90}


def two_fold_cases() -> Iterator[Case]:
    """A piece with two fold edges on every lay, none of it on a fold across the cloth.

    It is as a piece with one: a half on a fold along the cloth, whole where there is none.
    """
    for lay, nap, faces, rule in product(LayName, Nap, Faces, GrainRule):
        if (lay, nap) in NEVER:
            continue
        kind = HALF_ON_FOLD["lengthwise", rule]
        on_fold = lay in HAS_LENGTHWISE_FOLD
        row = _row(lay, "two folds", rule, nap)
        ways = None if on_fold else "two folds"
        for cut in (1, 2, 3):
            case = _case(lay, nap, faces, kind, rule, cut, row, whole=ways)
            shape = HALVES[kind] if on_fold else WHOLE_ROUND
            outlines = tuple(
                replace(one, unfolded=True, shape=shape, may=_either_side_up(one))
                for one in case.outlines
            )
            piece = quarter_round(rule, cut)
            yield replace(case, kind="two folds", half=kind, piece=piece, outlines=outlines)


def corner_cases() -> Iterator[Case]:
    """One, two and three of a piece with two fold edges on a quarter fold, one in its corner."""
    fabric = Fabric("sateen", 1000.0)
    for rule, ways in CORNER_WAYS.items():
        kind = HALF_ON_FOLD["lengthwise", rule]
        there = frozenset(ways)
        corner = Outlined(1, 0, 4, True, False, there, there, in_corner=True, shape=QUARTER_ROUND)
        for cut in (1, 2, 3) if ways else ():
            outlines = [corner]
            for text in CORNER_CUTS[cut].split(", ")[1:]:
                beside = _outlined(text.split()[-1], QUARTER_FOLD, kind, rule, Nap.NONE)
                outlines.append(replace(beside, unfolded=True, shape=HALVES[kind]))
            piece = quarter_round(rule, cut)
            yield Case("two folds", QUARTER_FOLD, fabric, piece, tuple(outlines), kind)


def two_folds_on_cross_fold() -> Iterator[tuple[Case, int]]:
    """Three of it on a crosswise fold, one, two or all of them as halves with their edge there."""
    for case, number in cross_fold_cases():
        rule = case.piece.grain_rule
        kind = HALF_ON_FOLD["crosswise", rule]
        if case.kind == kind:
            outlines = tuple(
                replace(one, unfolded=True, shape=HALVES[kind] if one.on_fold else WHOLE_ROUND)
                for one in case.outlines
            )
            piece = quarter_round(rule, 3)
            yield replace(case, kind="two folds", half=kind, piece=piece, outlines=outlines), number
