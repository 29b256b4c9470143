"""What garments need besides cloth: what drafts propose, as the order changes, refuses or adds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from nesting.notions.along import edges_of, named, near_word, runs_along
from nesting.notions.sizes import next_size, sizes_of
from nesting.order.faults import nearest
from nesting.order.model import AskedNotion, Order, Shop
from pieces.counts import at_least
from pieces.errors import Fault
from pieces.notions import Notion, Sold
from pieces.piece import Draft, Piece
from pieces.units import format_length, format_needed, shown
from pieces.wording import either

_BY_SIZE = ("zip", "zipper")


@dataclass(slots=True)
class Needed:
    """The notions of an order's garments, and what is wrong with the tables that ask for them."""

    notions: list[Notion] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def notions_needed(order: Order, drafts: dict[str, Draft]) -> Needed:
    """The notions of each garment, by the drafts of all, under their names.

    A table that says how much takes the place of what drafts propose by that name; any other
    changes that, or refuses it.
    """
    needed = Needed()
    for garment, draft in drafts.items():
        asked = [one for one in order.notions if not one.garments or garment in one.garments]
        told = {one.name for one in asked if one.measures or not one.wanted}
        kept = [_changed(notion, asked) for notion in draft.notions if notion.name not in told]
        needed.notions += kept
    for one in order.notions:
        if one.measures and one.wanted:
            _add_measured(order, drafts, one, needed)
    needed.faults += _unknown(order, drafts)
    needed.faults += _too_long(order, needed.notions)
    return needed


def _add_measured(order: Order, drafts: dict[str, Draft], one: AskedNotion, needed: Needed) -> None:
    """Add what a table says, measured on each of its garments.

    One that is for all garments is for those that have such an edge; it is at fault where none has.
    """
    measuring = _Measuring(order, [], one)
    own = [name for name in one.garments or drafts if name in drafts]
    if not one.edge:  # pieces that belong to nobody wear no ribbon
        own = [name for name in own if name] or own
    found = [notion for name in own for notion in measuring.of(name, drafts[name])]
    needed.notions += found
    if one.garments or not found:
        needed.faults += measuring.faults if one.garments else measuring.faults[:1]


def _too_long(order: Order, notions: Sequence[Notion]) -> Iterator[Fault]:
    """What is bought by size and longer than any that is sold."""
    for notion in notions:
        asked = [one for one in order.notions if one.name == notion.name]
        shop = next((one.shop for one in asked if one.shop is not None), Shop())
        if notion.sold is not Sold.SIZE or next_size(notion.length_mm, shop, order.unit):
            continue
        longest = format_length(sizes_of(shop, order.unit)[-1], order.unit)
        key = f"{asked[0].key}.sizes" if asked else f"notion '{notion.name}'"
        yield Fault(
            order.source,
            key,
            f"{notion.garment} needs a {notion.name} of "
            f"{format_needed(notion.length_mm, order.unit)} ({notion.where}); the longest sold is "
            f"{longest}.",
            "Give longer sizes of it, or a shorter length, "
            + either("in a table [[notion]] of its name", "among the notions")
            + "; or close the garment with buttons.",
        )


def _changed(notion: Notion, asked: Sequence[AskedNotion]) -> Notion:
    """A notion that a draft proposes, as the order changes it."""
    for one in asked:
        if one.name == notion.name:
            notion = replace(
                notion,
                where=one.where or notion.where,
                width_mm=one.width_mm or notion.width_mm,
                length_mm=notion.length_mm * (1 + one.waste_percent / 100),
            )
    return notion


def _unknown(order: Order, drafts: dict[str, Draft]) -> Iterator[Fault]:
    """Tables that neither say how much, nor name what a draft of theirs proposes."""
    for one in order.notions:
        if (one.measures and one.wanted) or one.cloth:
            continue
        own = [drafts[name] for name in one.garments or drafts if name in drafts]
        known = {notion.name for draft in own for notion in draft.notions}
        measured = {other.name for other in order.notions if other.measures and other is not one}
        if one.name in known | measured:
            continue
        proposed = f" The drafts ask for: {', '.join(sorted(known))}." if known else ""
        yield Fault(
            order.source,
            f"{one.key}.name",
            f"No draft asks for {shown(one.name)}, and the table doesn't say how much of it.",
            nearest(one.name, known)
            or "Say how much: "
            + either('edge = "hem", length = "2 m" or count = 6.', "an edge, a length or a count.")
            + proposed,
        )


@dataclass(slots=True)
class _Measuring:
    """One table of the order, measured on garments."""

    order: Order
    faults: list[Fault]
    asked: AskedNotion

    def of(self, garment: str, draft: Draft) -> list[Notion]:
        """What a garment needs by it; nothing, with the fault noted, where that can't be told."""
        one = self.asked
        where = one.where or (f"{one.edge} of {one.of}" if one.of else one.edge)
        notion = Notion(
            name=one.name,
            garment=garment,
            where=where,
            sold=self._sold(),
            count=one.count or 1,
            length_mm=one.length_mm or 0.0,
            width_mm=one.width_mm,
        )
        if one.edge:
            return self._along(notion, draft)
        if one.length_mm is not None and notion.sold is Sold.LENGTH:
            notion = replace(notion, length_mm=self._wasted(one.length_mm + one.ends_mm))
        return [notion]

    def _sold(self) -> Sold:
        one = self.asked
        if one.spacing_mm is not None or (not one.edge and one.length_mm is None):
            return Sold.PIECE
        if (one.shop is not None and one.shop.sizes_mm) or one.name.split()[-1].lower() in _BY_SIZE:
            return Sold.SIZE
        return Sold.LENGTH

    def _wasted(self, long_mm: float) -> float:
        return long_mm * (1 + self.asked.waste_percent / 100)

    def _along(self, notion: Notion, draft: Draft) -> list[Notion]:
        one = self.asked
        pieces = named(draft.pieces, one.of)
        if not pieces:
            self._fault("of", *_no_piece(one, notion.garment, draft.pieces))
            return []
        runs = runs_along(pieces, draft.joins, one.edge)
        if runs is None:
            self._fault("edge", *_no_edge(one, notion.garment, pieces))
            return []
        count = one.count if one.count and one.spacing_mm is None else runs.count
        kept_mm = runs.count * runs.each_mm / count - 2 * one.shorter_mm
        if kept_mm <= 0:
            self._fault(
                "shorter",
                f"{self._told(one.shorter_mm)} less at both ends leaves nothing of an edge of "
                f"{self._told(kept_mm + 2 * one.shorter_mm)}.",
                "Give less.",
            )
            return []
        if one.spacing_mm is not None:
            spaces = max(1, at_least(kept_mm / one.spacing_mm))
            return [replace(notion, count=count * (spaces + 1), length_mm=0.0)]
        long_mm = kept_mm * one.fullness / (1 + one.stretch_percent / 100)
        if notion.sold is Sold.LENGTH:
            long_mm = self._wasted(long_mm + one.ends_mm)
        return [replace(notion, count=count, length_mm=long_mm)]

    def _told(self, length_mm: float) -> str:
        return format_length(length_mm, self.order.unit)

    def _fault(self, name: str, message: str, remedy: str) -> None:
        self.faults.append(Fault(self.order.source, f"{self.asked.key}.{name}", message, remedy))


def _no_piece(one: AskedNotion, garment: str, pieces: Sequence[Piece]) -> tuple[str, str]:
    names = sorted({piece.name for piece in pieces})
    return (
        f"No piece of {garment} is called {shown(one.of)}.",
        near_word(one.of, names) or f"Its pieces: {', '.join(names)}.",
    )


def _no_edge(one: AskedNotion, garment: str, pieces: Sequence[Piece]) -> tuple[str, str]:
    known = edges_of(pieces)
    whose = f"the {one.of} of {garment}" if one.of else garment
    return (
        f"No piece of {whose} has an edge called {shown(one.edge)}.",
        nearest(one.edge, known) or f"Their edges: {', '.join(known)}.",
    )
