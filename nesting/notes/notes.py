"""A garment's sewing notes, from its pieces, its joins and what is bought for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from nesting.fabric.notions import NotionPurchase
from nesting.fabric.plans import Plan
from nesting.notes.steps import in_order, listed
from pieces.notions import Notion, Sold
from pieces.piece import Piece, Seam, Sewing
from pieces.units import Unit, format_length, format_needed

_LINING = " lining"


@dataclass(frozen=True, slots=True)
class Section:
    """Lines under a title; `numbered` where they are done one after another."""

    title: str
    lines: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class GarmentNotes:
    """The notes on one garment: only what concerns it."""

    garment: str
    sections: tuple[Section, ...]


def notes_of(plan: Plan) -> tuple[GarmentNotes, ...]:
    """The notes on each drafted garment of a plan, lengths in the unit of its tape."""
    unit = {Unit.M: Unit.CM, Unit.YD: Unit.IN}.get(plan.unit, plan.unit)
    return tuple(_of_garment(plan, sewing, unit) for sewing in plan.sewing)


def _of_garment(plan: Plan, sewing: Sewing, unit: Unit) -> GarmentNotes:
    pieces = [piece for piece in plan.pieces if piece.garment == sewing.garment]
    bought = [
        (purchase, notion)
        for purchase in plan.notions
        for notion in purchase.notions
        if notion.garment == sewing.garment
    ]
    sections = (
        Section("Allowances in these pieces", tuple(_allowances(pieces, unit))),
        Section("Which notch is which", tuple(_notches(sewing, pieces))),
        Section("In this order", tuple(in_order(sewing, pieces, bought, unit)), numbered=True),
        Section("Linings", tuple(_linings(pieces))),
        Section("Besides cloth", tuple(_beside(*one, unit) for one in bought)),
    )
    return GarmentNotes(sewing.garment, tuple(one for one in sections if one.lines))


def _allowances(pieces: Sequence[Piece], unit: Unit) -> Iterator[str]:
    """For each cloth what lies outside the line to sew."""
    for fabric in dict.fromkeys(piece.fabric for piece in pieces):
        own = [seam for piece in pieces if piece.fabric == fabric for seam in piece.seams]
        told = list(_of_cloth([seam for seam in own if seam.allowance_mm is not None], unit))
        if told:
            yield f"{fabric}: {'; '.join(told)}."


def _of_cloth(seams: Sequence[Seam], unit: Unit) -> Iterator[str]:
    usual = Counter(seam.allowance_mm for seam in seams if not seam.hem).most_common(1)
    main = usual[0][0] if usual else None
    if main is not None:
        yield f"seams {_size(main, unit)}"
    others: dict[str, list[str]] = {}
    for seam in seams:
        if seam.allowance_mm is not None and not seam.hem and seam.allowance_mm != main:
            others.setdefault(seam.name, []).append(_size(seam.allowance_mm, unit))
    for name, sizes in others.items():
        yield f"{name} {' or '.join(dict.fromkeys(sizes))}"
    hems = sorted({seam.allowance_mm for seam in seams if seam.hem and seam.allowance_mm})
    if hems:
        told = listed(format_length(hem, unit) for hem in hems)
        yield f"hem{'s' if len(hems) > 1 else ''} {told}"


def _size(length_mm: float, unit: Unit) -> str:
    return format_length(length_mm, unit) if length_mm else "none"


def _darted(marked: Collection[tuple[str, str]]) -> Iterator[str]:
    """What the notches of darts stand for, by piece and edge."""
    for kind, where, what in (
        ("waist dart", "at the waist", "a dart"),
        ("bust dart", "in the side or the shoulder", "a bust dart"),
    ):
        names = [name for name, edge in marked if edge == kind and _LINING not in name]
        if names:
            yield f"Two notches {where} of the {listed(names)} are the legs of {what}."


def _notches(sewing: Sewing, pieces: Sequence[Piece]) -> Iterator[str]:
    """What each kind of notch that these pieces have stands for."""
    marked = {
        (piece.name, seam.name): len(seam.marks_mm)
        for piece in pieces
        for seam in piece.seams
        if seam.marks_mm
    }
    edges = {edge for _, edge in marked}
    if "cap front" in edges:
        yield "One notch marks the front of armhole and sleeve, two the back."
        yield "The notch at the top of the sleeve meets the shoulder seam."
    elif "armhole" in edges:
        yield "On the armhole one notch marks the front, two the back."
    elif "cap back" in edges:
        yield "The notch at the top of the sleeve meets the shoulder seam."
    yield from _darted(marked)
    if any(step.quarters for step in sewing.steps):
        yield "Notches along an upper edge mark its quarters; a ring of several strips has more."
    if any("collar" in name for name, edge in marked if edge == "neck"):
        yield "The notch in the collar's neck edge meets the shoulder seam."
    opened = [
        f"{edge} of the {name}"
        for name, edge in marked
        if edge.startswith("centre") and _LINING not in name
    ]
    if opened:
        yield f"The notch in the {listed(opened)} is where the opening ends."
    joined = [name for name, edge in marked if edge == "join" and _LINING not in name]
    if joined:
        yield f"The notch in a join of the {listed(joined)} is where the opening ends."
    if any(edge.startswith("side") and count == 2 for (_, edge), count in marked.items()):
        yield "Two notches in a side seam are the ends of a pocket's opening."


def _linings(pieces: Sequence[Piece]) -> Iterator[str]:
    """Which linings hang free, and which are sewn in all round."""
    linings = [piece for piece in pieces if piece.name.endswith(_LINING)]
    free = [piece.name for piece in linings if any(seam.hem for seam in piece.seams)]
    caught = [piece.name for piece in linings if piece.name not in free]
    if linings:
        names = listed(piece.name for piece in linings)
        yield f"Sew the seams of the {names} like the outer ones."
    if free:
        several = len(free) > 1
        yield (
            f"The {listed(free)} {'hang' if several else 'hangs'} free below the seam at the top, "
            f"{'each ' if several else ''}with a hem of its own."
        )
    if caught:
        yield f"The {listed(caught)} {'are' if len(caught) > 1 else 'is'} caught in all round."


def _beside(purchase: NotionPurchase, notion: Notion, unit: Unit) -> str:
    """A notion, where it goes, and how long to cut it."""
    much = str(notion.count)
    if notion.sold is Sold.LENGTH:
        many = f"{notion.count} of " if notion.count > 1 else ""
        much = many + format_needed(notion.length_mm, unit)
    return f"{purchase.name}: {', '.join(filter(None, (much, notion.where)))}."
