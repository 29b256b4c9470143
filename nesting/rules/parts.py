"""From an order to the pieces it asks for, and the outlines that must be cut for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from nesting.notions.copies import copies_cut
from nesting.notions.needed import notions_needed
from nesting.order.model import Order
from nesting.prints.faults import print_faults
from nesting.strips.cuttings import usual_cuttings
from nesting.verify.lengths import require_lengths
from pieces.check import check
from pieces.drafting.garment import Cuttings, draft_garment, pieces_by_part
from pieces.drafting.spec import Cutting, GarmentSpec
from pieces.drafting.worn import worn
from pieces.errors import Fault, OrderFault
from pieces.notions import Notion
from pieces.piece import Draft, Finding, Piece, SeamCheck, Sewing


def draft_order(order: Order, cuttings: Cuttings | None = None) -> Draft:
    """Draft every garment of the order and add the pieces it gives as points or in files.

    Strips are cut as `cuttings` say for their cloth, or else in the usual way. Whoever shows a
    marker has its pieces from here, so here they are checked against the order.

    Raises
    ------
    OrderFault : with the faults of all garments together, or if two pieces share a name
    OwnFailure : a strip is not as long as the order asks
    """
    cuttings = usual_cuttings(order.fabrics) | dict(cuttings or {})
    drafts: dict[str, Draft] = {}
    sewing: list[Sewing] = []
    pieces: list[Piece] = list(order.pieces)
    seam_checks: list[SeamCheck] = list(order.seam_checks)
    findings: list[Finding] = [*order.findings, *_filled(order.garments)]
    faults: list[Fault] = []
    for garment in order.garments:
        try:
            draft = draft_garment(garment, cuttings)
        except OrderFault as fault:
            faults += [
                replace(one, where=order.source, said=order.said(one.key)) for one in fault.faults
            ]
            continue
        drafts[garment.name] = draft
        sewing += draft.sewing
        pieces += draft.pieces
        seam_checks += draft.seam_checks
        findings += draft.findings
        ready = any(piece.garment == garment.name for piece in order.pieces)
        findings += worn(garment, cuttings, ready=ready)
    faults += _shared_names(order, pieces)
    beside, notions = _beside_cloth(order, drafts, faults)
    pieces += beside
    for fabric in order.fabrics.values():
        own = of_fabric(pieces, fabric.name)
        faults += print_faults(own, fabric, order.unit, order.source)
    if faults:
        # Copies of a garment share their faults; each is told once.
        raise OrderFault(tuple(dict.fromkeys(faults)))
    require_lengths(order.garments, pieces)
    findings += check(pieces, order.unit, _places(order, cuttings))
    return Draft(
        tuple(pieces),
        tuple(seam_checks),
        tuple(findings),
        notions=notions,
        sewing=tuple(sewing),
    )


def _places(order: Order, cuttings: Cuttings) -> dict[tuple[str, str], str]:
    """The key of the table that asks for each piece."""
    found = {
        piece.key: part.key
        for garment in order.garments
        for part, own in zip(garment.parts, pieces_by_part(garment, cuttings), strict=True)
        for piece in own
    }
    # An order made in Python names no keys.
    ready = zip(order.ready_keys, order.pieces, strict=False)
    return found | {piece.key: key for key, piece in ready}


def _beside_cloth(
    order: Order, drafts: Mapping[str, Draft], faults: list[Fault]
) -> tuple[Sequence[Piece], tuple[Notion, ...]]:
    """Pieces cut again from other cloths, and all notions; faults are added to those noted.

    A table of notions is left alone where a garment of its own can't be drafted.
    """
    every = {garment.name: drafts.get(garment.name) for garment in order.garments}
    failed = {name for name, draft in every.items() if draft is None}
    asked = (one for one in order.notions if failed.isdisjoint(one.garments or every))
    order = replace(order, notions=tuple(asked))
    for piece in order.pieces:
        every.setdefault(piece.garment, Draft(()))
    whole = {
        name: replace(draft, pieces=(*draft.pieces, *_ready(order, name)))
        for name, draft in every.items()
        if draft is not None
    }
    copies, needed = copies_cut(order, whole), notions_needed(order, whole)
    faults += [*copies.faults, *needed.faults]
    return copies.pieces, tuple(needed.notions)


def _ready(order: Order, garment: str) -> Iterator[Piece]:
    return (piece for piece in order.pieces if piece.garment == garment)


def draft_cloth(order: Order, name: str, cutting: Cutting) -> tuple[Piece, ...]:
    """The pieces of one cloth, its strips cut so.

    Raises
    ------
    OrderFault : some can't be cut so
    OwnFailure : a strip is not as long as the order asks
    """
    return of_fabric(draft_order(order, {name: cutting}).pieces, name)


def _filled(garments: Sequence[GarmentSpec]) -> Iterator[Finding]:
    """A reminder of the measures that a size table gave, once for all who have the same of it."""
    same: dict[str, list[GarmentSpec]] = {}
    for garment in garments:
        if garment.filled:
            measures = ", ".join(name.replace("_", " ") for name in garment.filled)
            same.setdefault(measures, []).append(garment)
    for measures, own in same.items():
        keys = {f"{one.key}.size" for one in own}
        yield Finding(
            "filled-from-table",
            f"{', '.join(one.name for one in own)}: {measures} taken from the size table, not from "
            "the tape. Tables differ by a size; measure the wearer before you cut.",
            keys.pop() if len(keys) == 1 else "",
        )


def _shared_names(order: Order, pieces: Sequence[Piece]) -> list[Fault]:
    """Pieces given ready that are called like a drafted piece of the same garment."""
    drafted = [piece.key for piece in pieces[len(order.pieces) :]]
    return [
        Fault(
            order.source,
            f"piece '{piece.name}'",
            f"{piece.garment} already has a drafted piece of this name.",
            "Give this one a name of its own.",
        )
        for piece in order.pieces
        if piece.key in drafted
    ]


def of_fabric(pieces: Sequence[Piece], fabric: str) -> tuple[Piece, ...]:
    """Those pieces that are cut from one fabric."""
    return tuple(piece for piece in pieces if piece.fabric == fabric)
