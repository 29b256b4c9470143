"""Whether a marker can be cut as it stands.

Shares no code with the search, the rules or the conversion that made the marker: it states
the cloth, the shapes and the cutter's rules again, so that a mistake elsewhere shows here.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.marker import Marker, Placement
from nesting.verify.flaws import flaw_findings, shortened_onto_flaw
from nesting.verify.folds import fold_findings, opened_out, shape_findings
from nesting.verify.prints import lies_one_way, print_findings
from nesting.verify.rules import (
    SENSES_DEG,
    grain_findings,
    nap_findings,
    shared_senses,
    tie,
    yield_findings,
)
from nesting.verify.shape import (
    TOLERANCE_MM,
    Laid,
    Spread,
    distance_findings,
    label,
    length_findings,
    named,
    room_findings,
    spreads,
)
from nesting.verify.strips import strip_findings
from pieces.errors import OwnFailure
from pieces.piece import Finding, Piece
from pieces.wording import Wording, exact


def verify(fabric: Fabric, pieces: Sequence[Piece], marker: Marker) -> tuple[Finding, ...]:
    """All that is wrong with a marker for `pieces` on `fabric`; nothing if it can be cut.

    Codes: ``lay``, ``wrong-fabric``, ``duplicate-piece``, ``unknown-piece``, ``empty``;
    ``not-finite``, ``self-crossing``, ``shape``, ``area``; ``section``, ``band``, ``layers``,
    ``outside-band``, ``beyond-end``, ``beyond-length``, ``edge-gap``, ``length``;
    ``overlap``, ``gap``; ``fold``, ``off-fold``, ``fold-depth``; ``grain``, ``grain-stated``,
    ``flaw``, ``nap``; ``match``, ``motif``, ``print-way``, ``border``; ``mirrored``, ``pair``,
    ``yields``, ``spare``, ``count``, ``copies``, ``strip``.
    """
    found = [*_heading_findings(fabric, pieces, marker), *_lay_findings(fabric, marker)]
    cloths = spreads(fabric, marker)
    by_key = {piece.key: piece for piece in pieces}
    laid: list[Laid] = []
    for placement in marker.placements:
        problem = _unreadable(placement, by_key)
        if problem is not None:
            found.append(problem)
            continue
        piece = by_key[placement.garment, placement.piece]
        cloth = cloths.get(placement.section, cloths["main"])
        laid.append(Laid(piece, placement, Polygon(placement.outline_mm), cloth))
    if not math.isfinite(marker.length_mm):
        found.append(Finding("not-finite", f"The marker's length is {marker.length_mm} mm."))
    for one in laid:
        found += _placement_findings(one, fabric, marker, cloths)
    for section, cloth in cloths.items():
        own = [one for one in laid if one.placement.section == section]
        if own and math.isfinite(marker.length_mm):
            too_long = list(length_findings(marker, own, cloth))
            found += [] if shortened_onto_flaw(own, fabric, marker) else too_long
        found += distance_findings(own, fabric.gap_mm)
    found += flaw_findings(laid, fabric, marker)
    found += print_findings(laid, fabric, marker)
    found += _rule_findings(fabric, pieces, laid)
    found += _count_findings(pieces, marker)
    found += _area_findings(pieces, laid)
    found += strip_findings(pieces, laid)
    return tuple(found)


def require_valid(fabric: Fabric, pieces: Sequence[Piece], marker: Marker) -> None:
    """Let a marker pass only if it can be cut.

    Raises
    ------
    OwnFailure : it can't; the message lists every finding
    """
    found = verify(fabric, pieces, marker)
    if found:
        lines = "\n".join(f"  {one.code}: {one.message!s}" for one in found)
        raise OwnFailure(
            f"This is our mistake, not yours: the layout found for {fabric.name} can't be cut as "
            f"it stands, so no plan is given. Please report it together with the order.\n{lines}"
        )


def _heading_findings(fabric: Fabric, pieces: Sequence[Piece], marker: Marker) -> Iterator[Finding]:
    """What is wrong before any placement is looked at."""
    if marker.fabric != fabric.name:
        yield Finding(
            "wrong-fabric", f"The marker is for {marker.fabric}, the cloth is {fabric.name}."
        )
    for piece in pieces:
        if piece.fabric != fabric.name:
            yield Finding(
                "wrong-fabric",
                f"{named(*piece.key)} is to be cut from {piece.fabric}, the cloth is "
                f"{fabric.name}.",
            )
    for key, times in Counter(piece.key for piece in pieces).items():
        if times > 1:
            yield Finding("duplicate-piece", f"{named(*key)} is asked for {times} times over.")
    if pieces and not marker.placements:
        wanted = sum(piece.parts for piece in pieces)
        yield Finding("empty", f"The marker is empty; {wanted} parts are wanted.")


def _lay_findings(fabric: Fabric, marker: Marker) -> Iterator[Finding]:
    """Whether the cloth may lie so, and is folded in no farther than it can be."""
    if fabric.lays is not None and marker.lay not in fabric.lays:
        allowed = ", ".join(fabric.lays)
        yield Finding("lay", f"The marker lies {marker.lay}; {fabric.name} allows {allowed}.")
    if marker.lay is LayName.QUARTER_FOLD and fabric.nap is not Nap.NONE:
        yield Finding("lay", f"The marker lies {marker.lay}; the nap is {fabric.nap}.")
    depth_mm, width_mm = marker.fold_depth_mm, fabric.width_mm * (1 - fabric.shrinkage_width)
    if marker.lay is LayName.PARTIAL_FOLD:
        possible = 0 < depth_mm <= width_mm / 2 + TOLERANCE_MM
        within = "more than 0 and at most " + exact(width_mm / 2)
    else:
        possible, within = depth_mm == 0, Wording("0 mm")
    if not possible:
        yield Finding(
            "fold-depth",
            f"The marker lies {marker.lay}, folded in by "
            + exact(depth_mm)
            + "; it can be "
            + within
            + ".",
        )
    yield from _section_findings(marker)


def _section_findings(marker: Marker) -> Iterator[Finding]:
    """Whether an opened-out section follows a fold, and there are pieces in both."""
    start_mm = marker.opened_from_mm
    if start_mm is None:
        return
    if marker.lay is LayName.OPEN:
        yield Finding("section", "The marker lies open; there is no fold to open out.")
    if not 0 < start_mm < marker.table_length_mm:
        yield Finding(
            "section",
            "The marker opens out from "
            + exact(start_mm)
            + "; it lies from 0 to "
            + exact(marker.table_length_mm)
            + " on the table.",
        )
    for section in ("main", "opened-out"):
        if all(placement.section != section for placement in marker.placements):
            yield Finding("section", f"The marker opens out, but nothing lies in {section!r}.")


def _unreadable(placement: Placement, by_key: dict[tuple[str, str], Piece]) -> Finding | None:
    """Why a placement can't be looked at more closely, if so."""
    numbers = [placement.x_mm, placement.y_mm, placement.turn_deg, placement.grain_deg]
    numbers += [value for point in placement.outline_mm for value in point]
    name = label(placement)
    if (placement.garment, placement.piece) not in by_key:
        return Finding("unknown-piece", f"{name}: no such piece is wanted from this cloth.")
    if not all(map(math.isfinite, numbers)):
        return Finding("not-finite", f"{name}: some of its numbers are no numbers in mm.")
    corners = len(placement.outline_mm)
    if corners < 3 or not Polygon(placement.outline_mm).is_valid:
        return Finding("self-crossing", f"{name}: its outline of {corners} corners crosses itself.")
    return None


def _placement_findings(
    laid: Laid, fabric: Fabric, marker: Marker, cloths: Mapping[str, Spread]
) -> Iterator[Finding]:
    """What is wrong with one placement by itself."""
    placement, strips = laid.placement, laid.cloth.strips
    yield from shape_findings(laid)
    yield from grain_findings(laid, fabric.nap, fabric.tilt_deg)
    if placement.section not in cloths:
        yield Finding(
            "section",
            f"{laid.label}: lies in section {placement.section!r}; the marker has "
            f"{' and '.join(map(repr, cloths))}.",
        )
        return
    if not 0 <= placement.band < len(strips):
        yield Finding(
            "band",
            f"{laid.label}: lies in band {placement.band} of {placement.section!r}; it has "
            f"{len(strips)}, counted from 0.",
        )
        return
    band = laid.cloth.strip_of(placement)
    if placement.layers != band.layers:
        yield Finding(
            "layers",
            f"{laid.label}: states {placement.layers} layers; its band has {band.layers}.",
        )
    yield from fold_findings(laid, band)
    yield from room_findings(laid, fabric, marker)


def _rule_findings(
    fabric: Fabric, pieces: Sequence[Piece], laid: Sequence[Laid]
) -> Iterator[Finding]:
    """What is wrong with the placements of a piece or a garment together.

    Those whose grain is wrong were reported; what they give can't be told.
    """
    nap, tilt_deg = fabric.nap, fabric.tilt_deg
    straight = [one for one in laid if not any(grain_findings(one, nap, tilt_deg))]
    by_piece: dict[tuple[str, str], list[Laid]] = defaultdict(list)
    for one in straight:
        by_piece[one.piece.key].append(one)
    yield from nap_findings(straight, nap, tilt_deg)
    senses = shared_senses(straight, nap, tilt_deg)
    # Without a nap the print ties those that it meets to one way, as a nap per garment does.
    met = {piece.key for piece in pieces if nap is Nap.NONE and lies_one_way(piece, fabric)}
    printed = replace(fabric, nap=Nap.PER_GARMENT)
    by_print = shared_senses([o for o in straight if o.piece.key in met], printed.nap, tilt_deg)
    for piece in pieces:
        rules, tied = (printed, by_print) if piece.key in met else (fabric, senses)
        open_deg = tied.get(tie(piece, rules.nap), SENSES_DEG)
        yield from yield_findings(piece, by_piece[piece.key], open_deg, rules)


def _count_findings(pieces: Sequence[Piece], marker: Marker) -> Iterator[Finding]:
    """Whether every part wanted is cut, once."""
    by_key: dict[tuple[str, str], list[Placement]] = defaultdict(list)
    for placement in marker.placements:
        by_key[placement.garment, placement.piece].append(placement)
    for piece in pieces:
        own = by_key[piece.key]
        given = sum(placement.yields for placement in own)
        if given != piece.parts:
            yield Finding(
                "count",
                f"{named(*piece.key)}: the marker gives {given} parts, {piece.parts} are wanted.",
            )
        copies = sorted(placement.copy for placement in own)
        if copies != list(range(1, len(own) + 1)):
            numbers = ", ".join(map(str, copies))
            yield Finding(
                "copies",
                f"{named(*piece.key)}: its copies are numbered {numbers}, not 1 to {len(own)}.",
            )


def _times_drawn(placement: Placement) -> int:
    """How many times what is cut of it a whole part is."""
    if placement.in_corner:
        return 4
    return 2 if placement.on_fold else 1


def _area_findings(pieces: Sequence[Piece], laid: Sequence[Laid]) -> Iterator[Finding]:
    """Whether the cloth in the wanted parts is what the pieces ask for."""
    given_mm2 = sum(
        one.region.area * one.placement.yields * _times_drawn(one.placement) for one in laid
    )
    whole = [(piece.parts, Polygon(opened_out(piece))) for piece in pieces]
    wanted_mm2 = sum(parts * region.area for parts, region in whole)
    allowed_mm2 = TOLERANCE_MM * sum(parts * region.length for parts, region in whole)
    if abs(given_mm2 - wanted_mm2) > allowed_mm2:
        yield Finding(
            "area",
            f"The wanted parts of the marker cover {given_mm2:.1f} mm² of cloth; the pieces ask "
            f"for {wanted_mm2:.1f} mm².",
        )
