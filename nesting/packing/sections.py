"""A folded lay that ends in an opened-out section, one layer, so that singles leave no spare.

No piece crosses from the one into the other, so the two are strips of their own: the marker is
as long as both together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import Lay, ending_at, lay_of, section_lay
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker, Placement
from nesting.packing.convert import Packing
from nesting.prints.prints import ALONG, prints_of
from nesting.rules.rules import cuts_apart, cuts_for
from nesting.rules.ways import directions
from nesting.solver.instance import Layout
from pieces.geometry import translated
from pieces.piece import Piece

Strip = tuple[Packing, Layout]
"""What is cut in a section, and where it lies there."""
Opened = dict[tuple[str, str], int]
"""How many of each piece, by key, are cut in the section; pairs, of a pair."""


def open_packing(pieces: Sequence[Piece], fabric: Fabric) -> Packing:
    """All the pieces of a cloth that lies open."""
    cuts = cuts_for(pieces, fabric, LayName.OPEN)
    return Packing(cuts, fabric, lay_of(fabric, LayName.OPEN))


def cuts_in(marker: Marker, pieces: Sequence[Piece], fabric: Fabric) -> tuple[Cut, ...]:
    """The cuts of a marker that lies folded all along, those on a crosswise fold as there."""
    return cuts_for(pieces, fabric, marker.lay, marker.on_cross_fold)


def opened_strips(
    pieces: Sequence[Piece],
    fabric: Fabric,
    lay: Lay,
    opened: Opened,
    senses: Mapping[str, int],
    there: Mapping[tuple[str, str], int] | None = None,
) -> tuple[Packing, Packing] | None:
    """The folded part of a lay and its section; None if either is empty or has no room.

    `there` says by key how many of a piece lie on a crosswise fold, of those that are folded.
    A garment with pieces in both lies one way along a nap in both: the way in `senses`. Where
    the section begins is not known yet: see `section_after`.
    """
    first, second = cuts_apart(pieces, fabric, lay.name, opened, there)
    both = {cut.nap_group for cut in first} & {cut.nap_group for cut in second} - {None}

    prints = prints_of(pieces, fabric)

    def packed(cuts: Sequence[Cut], where: Lay) -> Packing:
        tied = [_one_way(cut, senses) if cut.nap_group in both else cut for cut in cuts]
        return Packing(tied, fabric, where, prints)

    folded = lay_of(fabric, lay.name, lay.fold_depth_mm, opens=True)
    strips = packed(first, folded), packed(second, section_lay(fabric, folded))
    has_room = all(strip.cuts and strip.has_room and strip.meets for strip in strips)
    return strips if has_room else None


def folded_until(folded: Packing, opened_from_mm: float) -> Packing:
    """The folded part of a lay, its flaws where they lie once it is so long on the table."""
    if not folded.fabric.flaws:
        return folded
    return Packing(folded.cuts, folded.fabric, ending_at(folded.lay, opened_from_mm), folded.prints)


def section_after(folded: Packing, layout: Layout, single: Packing) -> Packing:
    """The section behind a layout of the folded part.

    It is the same cloth: its flaws come where that part ends, and its print runs on.
    """
    fabric, prints = folded.fabric, folded.prints
    if not fabric.flaws and not prints.axes:
        return single
    start_mm = folded.marker(layout).table_length_mm
    lay = section_lay(fabric, folded.lay, start_mm)
    along_mm = ending_at(folded.lay, start_mm).begins_mm - lay.begins_mm
    places = {
        number: place + (along_mm if prints.axes[number] == ALONG else folded.lay.origin_mm)
        for number, place in folded.places_mm(layout).items()
    }
    return Packing(single.cuts, fabric, lay, prints, places)


def _one_way(cut: Cut, senses: Mapping[str, int]) -> Cut:
    """A cut whose garment's direction is settled."""
    garment = cut.piece.garment
    sense = senses.get(cut.nap_group or garment, senses.get(garment, 0))
    rule = cut.piece.grain_rule
    ways = tuple(way for way in cut.orientations if sense in directions(rule, way[0]))
    return replace(cut, orientations=ways, nap_group=None)


def marker_of(packing: Packing, layout: Layout, section: Strip | None = None) -> Marker:
    """The marker of a lay; of its folded part and the section after it, if it ends in one."""
    first = packing.marker(layout)
    if section is None:
        return first
    second, start_mm = section[0].marker(section[1]), first.table_length_mm
    return replace(
        first,
        length_mm=first.length_mm + second.length_mm,
        placements=first.placements
        + tuple(_along(one, start_mm, OPENED_OUT) for one in second.placements),
        opened_from_mm=start_mm,
    )


def parted(marker: Marker) -> tuple[Marker, ...]:
    """The markers of a lay's strips, each as if it lay alone."""
    start_mm = marker.opened_from_mm
    if start_mm is None:
        return (marker,)
    folded = tuple(one for one in marker.placements if one.section == MAIN)
    single = tuple(
        _along(one, -start_mm, MAIN) for one in marker.placements if one.section == OPENED_OUT
    )
    folded_mm = start_mm * (2 if marker.lay.folds_across else 1)
    return (
        replace(marker, length_mm=folded_mm, placements=folded, opened_from_mm=None),
        Marker(marker.fabric, LayName.OPEN, marker.length_mm - folded_mm, single),
    )


def _along(placement: Placement, by_mm: float, section: str) -> Placement:
    """A placement moved along the cloth, into a section."""
    outline = translated(placement.outline_mm, by_mm, 0.0)
    return replace(placement, x_mm=placement.x_mm + by_mm, outline_mm=outline, section=section)


def opened_in(marker: Marker, pieces: Sequence[Piece]) -> Opened:
    """How many of each piece a marker cuts in its section."""
    found: Opened = {}
    for piece in pieces:
        own = (
            p.yields
            for p in marker.placements
            if (p.garment, p.piece) == piece.key and p.section == OPENED_OUT
        )
        number = sum(own) // (2 if piece.pair else 1)
        if number:
            found[piece.key] = number
    return found
