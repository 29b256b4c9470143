"""The layout of one cloth as the browser draws and moves it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from nesting.fabric.fabric import Nap
from nesting.fabric.lay import lay_under
from nesting.fabric.marker import Placement
from nesting.fabric.plans import FabricPlan, Plan
from nesting.manual.by_hand import SECTIONS, packings_of, spots_of, strips_at
from nesting.manual.requests import CutId, PlacementRequest, cut_id_of
from nesting.output import words
from nesting.output.drawing.shape import opened_about, shape_of
from nesting.packing.convert import Packing
from nesting.packing.fit import UNITS_PER_MM
from nesting.packing.opening import may_open
from nesting.page.table.shapes import shape_data
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.made.choices import entry_of
from nesting.page.tasks.stored import stored
from nesting.page.tasks.told import cloth_told
from nesting.rules.ways import is_straight
from nesting.solver.instance import IntArray
from pieces.geometry import mirrored, rotated
from pieces.piece import Outline, Piece, Point


def layout(request: Record, _: TaskChannel) -> Record:
    """A `cloth` of the job's plan: how it lies, and each part with its lines and its ways.

    `folded_mm` is how long the first strip is at the least, where flaws say so. A part's lines are
    as drawn, about its reference point. A way turns it (mirrored first, where it says so) and tells
    whether that keeps to the grain, and from where along the cloth and where across it that point
    may lie. `keep` is the outline that must not meet another's: with half of any gap added. Spots
    and ranges of an opened-out section are its own: x from where it begins, y from the lower
    selvedge.
    """
    made = stored(Path(request["folder"]))
    return layout_data(made, entry_of(made, request.get("cloth")))


def layout_data(made: Plan, entry: FabricPlan) -> Record:
    """A cloth as the browser moves it; `changes_over` tells whether parts may change sections."""
    spots = {spot.cut_id: spot for spot in spots_of(entry.marker)}
    strips = strips_at(packings_of(entry.fabric, entry.pieces, entry.marker), spots.values())
    packings = [packing for packing, _ in strips]
    found = {
        (*cut.piece.key, cut.copy): (packing, index)
        for packing in packings
        for index, cut in enumerate(packing.cuts)
    }
    by_key = {piece.key: piece for piece in entry.pieces}
    laid = words.in_laying_order(entry.marker.placements)
    copies = words.copies(laid)
    opens = entry.marker.opened_from_mm is not None
    return {
        **_cloth(made, entry),
        "changes_over": opens or may_open(packings[0]),
        "folded_mm": _folded_mm(packings[0]),
        "flaws": [
            {"section": section, "outline": _scaled(outline)}
            for section, packing in zip(SECTIONS, packings, strict=False)
            for outline in packing.instance.obstacles
        ],
        "parts": [
            {
                "number": number,
                "notes": ", ".join(words.notes(one, copies[one.garment, one.piece])),
                **_part(by_key[one.garment, one.piece], one, spots[cut_id_of(one)]),
                "ways": _ways(*found[cut_id_of(one)]),
                "keep": _keep(*found[cut_id_of(one)]),
            }
            for number, one in enumerate(laid, start=1)
        ],
    }


def _folded_mm(packing: Packing) -> float:
    """How long the folded part is where flaws say so; 0 where its parts alone do."""
    moves = packing.lay.moves_flaws(packing.fabric)
    return round(packing.lay.begins_mm, 6) if moves else 0.0


def _cloth(made: Plan, entry: FabricPlan) -> Record:
    lay = lay_under(entry.marker, entry.fabric)
    unit = words.tape(made.unit)
    ends = [remnant.x_mm + remnant.length_mm for remnant in entry.remnants]
    return {
        "title": entry.title,
        "unit": unit.value,
        "lay_name": entry.marker.lay.value,
        "lay": words.laid(entry.marker, entry.fabric, unit),
        "near_end": words.near_end(lay),
        "nap": words.NAP[entry.fabric.nap],
        "arrows": "two" if entry.fabric.nap is Nap.NONE else "one",
        "garments": list(dict.fromkeys(piece.garment for piece in made.pieces)),
        "shape": shape_data(entry.marker, entry.fabric),
        "turned": lay.turned,
        "table_length_mm": round(entry.table_length_mm, 6),
        "told": cloth_told(entry, made.unit),
        "cloth_mm": round(max([entry.table_length_mm, *ends]), 6),
    }


def _part(piece: Piece, placement: Placement, spot: PlacementRequest) -> Record:
    shape = shape_of(piece, opened_about(piece, placement))
    return {
        "which": list(cut_id_of(placement)),
        "garment": piece.garment,
        "name": words.named(piece.name, piece.garment),
        "section": spot.section,
        "spot": [spot.turn_deg, spot.mirrored, round(spot.x_mm, 6), round(spot.y_mm, 6)],
        "outline": _points(shape.outline),
        "sewing": [_points(line) for line in shape.sewing],
        "drawn": [_points(line) for line in shape.drawn],
        "inside": [_points(line) for line in shape.inside],
        "centres": [_points(line) for line in shape.centres],
        "folds": [_points(line) for line in shape.folds],
        "grain": _points(shape.grain),
        "notches": [[*_point(notch.at), round(notch.inward_deg, 2)] for notch in shape.notches],
    }


def _ways(packing: Packing, index: int) -> list[Record]:
    """Each turn that finds room, once: a nap may list it for both of its senses."""
    found: dict[tuple[float, bool], Record] = {}
    for (number, _), way in packing.ways(index):
        turn_deg, is_mirrored = packing.cuts[index].orientations[number]
        found.setdefault(
            (turn_deg, is_mirrored),
            {
                "turn_deg": turn_deg,
                "mirrored": is_mirrored,
                "straight": is_straight(packing.cuts[index].piece.grain_rule, turn_deg),
                "x_low": way.x_low / UNITS_PER_MM,
                "x_reach": way.x_reach / UNITS_PER_MM,
                "y_ranges": [
                    [low / UNITS_PER_MM, high / UNITS_PER_MM] for low, high in way.y_ranges
                ],
            },
        )
    return list(found.values())


def _keep(packing: Packing, index: int) -> list[list[float]]:
    """The outline that the search keeps apart from others, turned back to how it is drawn."""
    (number, _), way = packing.ways(index)[0]
    turn_deg, is_mirrored = packing.cuts[index].orientations[number]
    drawn = rotated(tuple((x, y) for x, y in _scaled(way.outline)), -turn_deg)
    return _points(mirrored(drawn) if is_mirrored else drawn)


def _scaled(outline: IntArray) -> list[list[float]]:
    return [[x / UNITS_PER_MM, y / UNITS_PER_MM] for x, y in outline.tolist()]


def _point(point: Point) -> list[float]:
    return [round(point[0], 4), round(point[1], 4)]


def _points(line: Iterable[Point] | Outline) -> list[list[float]]:
    return [_point(point) for point in line]


def which_in(value: object) -> CutId | None:
    """A cut as a request names it: garment, piece, copy."""
    match value:
        case [str() as garment, str() as piece, int() as copy]:
            return garment, piece, copy
    return None
