"""A garment: its parts drafted in order, each with what the parts before it give."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from pieces.body.doubts import doubts
from pieces.body.ranges import impossible
from pieces.body.shoulders import one_shoulder, shoulder_told
from pieces.drafting.assembly import bands_depth, hosts, kind_of, labels, place_in_tiers
from pieces.drafting.closures import closures
from pieces.drafting.context import Bodice, DraftContext, DraftResult, Layer, Remainder
from pieces.drafting.printed import printed
from pieces.drafting.spec import USUAL, Cutting, GarmentSpec, PartSpec
from pieces.errors import Fault, OrderFault
from pieces.joins import check, found_on, step
from pieces.piece import Draft, Finding, Join, Piece, SeamCheck, Sewing, Step


@dataclass(slots=True)
class _Progress:
    """What has been drafted so far, and what it gives to the parts that follow."""

    cutting: Cutting = USUAL
    made: dict[int, DraftResult] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    failed: set[int | None] = field(default_factory=set)
    bodice_failed: bool = False
    bodice: Bodice | None = None
    waist_mm: float | None = None
    waist_drop_mm: float = 0.0
    waist_edge: str = "waist"
    hems: dict[int, tuple[float, str]] = field(default_factory=dict)
    reaches: dict[int, float] = field(default_factory=dict)
    left: dict[int, Remainder | None] = field(default_factory=dict)
    layer: Layer | None = None

    def add(self, index: int, host: int | None, made: DraftResult) -> None:
        self.made[index] = made
        if made.bodice is not None:
            self.bodice = made.bodice
        if made.waist_mm is not None:
            self.waist_mm, self.waist_drop_mm = made.waist_mm, made.waist_drop_mm
            self.waist_edge = made.waist_edge
        if made.hem_mm is not None:
            self.hems[index] = made.hem_mm, f"hem of {made.name or made.pieces[0].name}"
        self.left[index] = made.left
        self.layer = made.layer or self.layer
        if made.long_mm is not None:
            above = 0.0 if host is None else self.reaches[host]
            self.reaches[index] = above + made.long_mm

    def refuse(self, index: int, part: PartSpec, faults: Sequence[Fault]) -> None:
        self.failed.add(index)
        self.bodice_failed |= kind_of(part).gives_bodice
        self.faults += [fault for fault in faults if fault.key not in self._keys()]

    def _keys(self) -> set[str]:
        return {fault.key for fault in self.faults}


Cuttings = Mapping[str, Cutting]
"""How strips are cut of each cloth, by its name; the usual way of one that is not named."""
_ALL_USUAL: Cuttings = {}


def draft_garment(spec: GarmentSpec, cuttings: Cuttings = _ALL_USUAL) -> Draft:
    """Draft a garment's parts in the order given.

    A sleeve takes the armhole of the bodice before it, skirts its waist; a tier is gathered to
    the waist or to the tier before it, a band to the hem before it.

    Raises
    ------
    OrderFault : with all that is missing or can't be drawn, by the keys of the order
    """
    seam_checks: list[SeamCheck] = []
    told = doubts(one_shoulder(spec.body), spec.unit, spec.filled)
    told += shoulder_told(spec.body, spec.unit)
    findings = [
        Finding(found.code, f"{spec.name}: " + found.message, f"{spec.key}.{found.key}")
        for found in told
    ]
    pieces: list[Piece] = []
    joins: list[Join] = []
    steps: list[Step] = []
    every = parts_made(spec, cuttings)
    for part, made in zip(spec.parts, every, strict=True):
        pieces += made.pieces
        joins += made.joins
        by_name = {piece.name: piece for piece in pieces}
        seam_checks += [
            check(join, spec.name, by_name) for join in made.joins if join.this != join.that
        ]
        steps += (step(join, by_name) for join in made.joins)
        steps += made.steps
        seam_checks += made.seam_checks
        findings += (replace(found, key=found.key or part.key) for found in made.findings)
    seams = found_on(spec.name, pieces, joins)
    findings += (replace(found, key=found.key or spec.key) for found in seams)
    notions = [notion for made in every for notion in made.notions]
    return Draft(
        tuple(pieces),
        tuple(seam_checks),
        tuple(findings),
        tuple(joins),
        (*notions, *closures(spec, every)),
        (Sewing(spec.name, tuple(steps)),),
    )


def parts_made(spec: GarmentSpec, cuttings: Cuttings = _ALL_USUAL) -> tuple[DraftResult, ...]:
    """What each part of a garment gives, its pieces of each cloth as its own strips are cut.

    Raises
    ------
    OrderFault : as `draft_garment`
    """
    cuttings = _of_strips(spec, cuttings)
    every = _each_way(spec, cuttings)
    faults = [fault for progress in every.values() for fault in progress.faults]
    if faults:
        raise OrderFault(tuple(dict.fromkeys(faults)))
    return tuple(
        replace(
            every[cuttings.get(part.fabric, USUAL)].made[index],
            pieces=tuple(_pieces_of(part, index, every, cuttings)),
        )
        for index, part in enumerate(spec.parts)
    )


def pieces_by_part(
    spec: GarmentSpec, cuttings: Cuttings = _ALL_USUAL
) -> tuple[tuple[Piece, ...], ...]:
    """The pieces of each part of a garment; none for a part that can't be drafted."""
    cuttings = _of_strips(spec, cuttings)
    try:
        every = _each_way(spec, cuttings)
    except OrderFault:
        return tuple(() for _ in spec.parts)
    return tuple(
        tuple(_pieces_of(part, index, every, cuttings)) for index, part in enumerate(spec.parts)
    )


def _pieces_of(
    part: PartSpec, index: int, every: Mapping[Cutting, _Progress], cuttings: Cuttings
) -> Iterator[Piece]:
    """The pieces of a part, those of each cloth as its own strips are cut."""
    for name in dict.fromkeys((part.fabric, part.lining or part.fabric)):
        made = every[cuttings.get(name, USUAL)].made.get(index)
        if made is not None:
            yield from (piece for piece in made.pieces if piece.fabric == name)


def _of_strips(spec: GarmentSpec, cuttings: Cuttings) -> Cuttings:
    """How strips are cut of each cloth of a garment; of one that has none, as of another."""
    joined: dict[str, Cutting] = {}
    every: dict[str, Cutting] = {}
    for part in spec.parts:
        for name in filter(None, (part.fabric, part.lining)):
            every[name] = cuttings.get(name, USUAL)
            if hasattr(part.options, "strip_length"):
                joined[name] = every[name]
    any_of_them = next(iter(joined.values()), USUAL)
    return {name: joined.get(name, any_of_them) for name in every}


def _each_way(spec: GarmentSpec, cuttings: Cuttings) -> dict[Cutting, _Progress]:
    """The garment drafted once for each way in which strips of its cloths are cut."""
    return {cutting: _drafted(spec, cutting) for cutting in dict.fromkeys(cuttings.values())}


@lru_cache(maxsize=1024)  # an order is drafted again and again as its strips are cut otherwise
def _drafted(spec: GarmentSpec, cutting: Cutting) -> _Progress:
    """All parts drafted as far as they can be."""
    wrong = impossible(spec.body, spec.key, spec.unit)
    if wrong:  # what a draft says to such a measure would only confuse
        raise OrderFault(wrong)
    progress = _Progress(cutting)
    for index, part in enumerate(spec.parts):
        if _waits_in_vain(spec, index, progress):
            progress.failed.add(index)
            continue
        try:
            made = kind_of(part).draft(_context(spec, index, progress), part.options)
            pieces = (replace(piece, draft=part.draft) for piece in made.pieces)
            made = replace(made, pieces=printed(tuple(pieces), part))
        except OrderFault as refused:
            progress.refuse(index, part, refused.faults)
        else:
            progress.add(index, hosts(spec.parts)[index], made)
    return progress


def _waits_in_vain(spec: GarmentSpec, index: int, progress: _Progress) -> bool:
    """Whether a part it depends on has failed: its own fault would only repeat that one."""
    if kind_of(spec.parts[index]).needs_bodice:
        return progress.bodice_failed
    return hosts(spec.parts)[index] in progress.failed


def _context(spec: GarmentSpec, index: int, progress: _Progress) -> DraftContext:
    parts = spec.parts
    above = hosts(parts)
    host = above[index]
    number, tiers = place_in_tiers(parts, index) if kind_of(parts[index]).tiered else (1, 1)
    edge_mm, edge = (None, progress.waist_edge) if host is None else progress.hems[host]
    return DraftContext(
        garment=spec.name,
        garment_key=spec.key,
        body=one_shoulder(spec.body),
        part=parts[index],
        label=labels(parts)[index],
        number=number,
        tiers=tiers,
        bodice=progress.bodice,
        waist_mm=progress.waist_mm,
        waist_drop_mm=progress.waist_drop_mm,
        edge_mm=edge_mm,
        edge=edge,
        left=None if host is None else progress.left[host],
        skirt_mm=max(
            (reach + bands_depth(parts, i) for i, reach in progress.reaches.items()), default=0.0
        ),
        curved_edge=host is not None and kind_of(parts[host]).curved_hem,
        joined_below=index in above,
        below_mm=bands_depth(parts, index),
        cutting=progress.cutting,
        unit=spec.unit,
        sized=bool(spec.filled),
        on_elastic=any(kind_of(part).on_elastic for part in parts),
        layer=progress.layer,
        pocket_mm=max(kind_of(part).side_opening(part.options, spec.body) for part in parts),
    )
