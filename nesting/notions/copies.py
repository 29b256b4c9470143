"""Cloths of their own for what lies behind or on pieces: interfacing, wadding, a facing of net."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from nesting.notions.along import named, near_word
from nesting.order.model import AskedNotion, Order
from pieces.errors import Fault
from pieces.piece import Draft, Piece
from pieces.units import shown
from pieces.wording import either


@dataclass(slots=True)
class Copies:
    """Pieces that are cut again from another cloth, and what is wrong with what asks for them."""

    pieces: list[Piece] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def copies_cut(order: Order, drafts: Mapping[str, Draft]) -> Copies:
    """The pieces that the order has cut again from a cloth, of each garment it is for.

    A copy is called as the piece and the notion, as in "collar interfacing", and has its outline.
    """
    found = Copies()
    for one in order.notions:
        if not one.cloth or not one.wanted:
            continue
        own = {name: drafts[name] for name in one.garments or drafts if name in drafts}
        pieces = [piece for draft in own.values() for piece in named(draft.pieces, one.of)]
        found.faults += _faults(order, one, own, pieces)
        found.pieces += [_copy(piece, one) for piece in pieces]
    return found


def _copy(piece: Piece, one: AskedNotion) -> Piece:
    return replace(
        piece,
        name=f"{piece.name} {one.name}",
        fabric=one.cloth,
        match=(),
        motif=(),
        border=False,
        strip=None,
        joins=0,
    )


def _faults(
    order: Order, one: AskedNotion, drafts: Mapping[str, Draft], pieces: list[Piece]
) -> Iterator[Fault]:
    if one.of and not pieces:
        names = sorted({piece.name for draft in drafts.values() for piece in draft.pieces})
        yield Fault(
            order.source,
            f"{one.key}.of",
            f"No piece is called {shown(one.of)}.",
            near_word(one.of, names) or f"The pieces: {', '.join(names)}.",
        )
    for piece in pieces:
        if piece.fabric == one.cloth:
            yield Fault(
                order.source,
                f"{one.key}.fabric",
                f"The {piece.name} of {piece.garment} is cut from {one.cloth} already.",
                "Name another cloth of the order, or take "
                + either("the table out.", "the notion out."),
            )
        elif piece.strip is not None and piece.strip.open_as:
            yield Fault(
                order.source,
                f"{one.key}.of",
                f"The {piece.name} of {piece.garment} is joined from strips, as its own cloth "
                "takes them.",
                f"Give that part a lining of {one.cloth}, or joins to settle its strips.",
            )
