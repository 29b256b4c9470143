"""The plan as data: what plan.json holds. Lengths in millimetres, angles in degrees."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final

from nesting.fabric.fabric import Bolt, Border, Fabric, LayName, Price
from nesting.fabric.flaws import LaidFlaw
from nesting.fabric.lay import End, lay_of, lay_under
from nesting.fabric.marker import MAIN, OPENED_OUT, Placement
from nesting.fabric.plans import (
    ComparedLay,
    FabricPlan,
    FewerJoins,
    Plan,
    Purchase,
    Remnant,
    Saving,
)
from nesting.output.drawing.cloth import flaws_in
from nesting.output.files.cloth_records import (
    BoltRecord,
    BorderRecord,
    FabricRecord,
    FewerJoinsRecord,
    FlawRecord,
    LayerMapRecord,
    LayRecord,
    PlacementRecord,
    PriceRecord,
    PurchaseRecord,
    RemnantRecord,
    SavingRecord,
)
from nesting.output.files.notion_data import notion_data
from nesting.output.files.print_data import print_data
from nesting.output.files.records import (
    PieceRecord,
    PlanRecord,
    SeamCheckRecord,
    StripRecord,
)
from nesting.output.files.values import number
from nesting.prints.lays import motif_across_mm
from nesting.prints.prints import periods_mm
from pieces.curves import length
from pieces.geometry import area
from pieces.piece import Piece, SeamCheck, Strip

FORMAT: Final = 1
"""Raised when a key changes its meaning; new keys don't raise it."""


def plan_data(plan: Plan, files: Mapping[str, Mapping[str, str]]) -> PlanRecord:
    """Give the plan as JSON can hold it; `files` names each cloth's drawings by kind.

    A fabric has an entry for each bolt in hand that is used, and one for what is bought.

    A piece's `area_mm2` is that of its `outline_mm`: half the part for one on the fold.
    Costs are numbers, null where the fabric has no price.
    """
    return {
        "format": FORMAT,
        "order": plan.order,
        "seed": plan.seed,
        "seconds": number(plan.seconds),
        "ended": plan.ended,
        "totals": {currency: float(cost) for currency, cost in plan.totals.items()},
        "fabrics": [fabric_data(entry, files[entry.title]) for entry in plan.fabrics],
        "pieces": [_piece(piece) for piece in plan.pieces],
        "seam_checks": [_seam_check(check) for check in plan.seam_checks],
        "notions": [notion_data(one) for one in plan.notions],
        "findings": [{"code": f.code, "message": f.message, "key": f.key} for f in plan.findings],
        "cautions": list(plan.cautions),
    }


def _points(line: Iterable[tuple[float, float]]) -> list[list[float]]:
    return [[number(x), number(y)] for x, y in line]


def _cost(cost: Decimal | None) -> float | None:
    return None if cost is None else float(cost)


def fabric_data(entry: FabricPlan, files: Mapping[str, str]) -> FabricRecord:
    """One cloth as it stands in `fabrics`; `files` names its drawings by kind."""
    fabric, marker = entry.fabric, entry.marker
    return {
        "name": fabric.name,
        "title": entry.title,
        "in_hand": None if entry.bolt is None else bolt_data(entry.bolt),
        "lay": marker.lay,
        "fold_depth_mm": number(marker.fold_depth_mm),
        "opened_from_mm": _maybe(marker.opened_from_mm),
        "measured_from": "fold" if lay_under(marker, fabric).near is End.FOLD else "cut end",
        "nap": fabric.nap,
        "faces": fabric.faces,
        "gap_mm": number(fabric.gap_mm),
        "edge_gap_mm": number(fabric.edge_gap_mm),
        "tilt_deg": number(fabric.tilt_deg),
        "shrinkage": {
            "length": number(100 * fabric.shrinkage_length),
            "width": number(100 * fabric.shrinkage_width),
        },
        "width_mm": number(fabric.width_mm),
        "usable_width_mm": number(fabric.usable_width_mm),
        "length_mm": number(marker.length_mm),
        "table_length_mm": number(entry.table_length_mm),
        "least_possible_mm": number(entry.least_possible_mm),
        "purchase": purchase_data(entry.purchase),
        "one_by_one_purchase_mm": _maybe(entry.one_by_one_mm),
        "proven_least": entry.proven_least,
        "waste_percent": number(entry.waste_percent),
        "unused_percent_of_purchase": number(entry.unused_percent_of_purchase),
        "cut_outlines": entry.cut_outlines,
        "cut_metres": number(entry.cut_metres),
        "joins": entry.joins,
        "fewer_joins": fewer_joins_data(entry.fewer_joins),
        "longer_search_may_save": saving_data(entry.may_save),
        "remnants": [remnant_data(remnant) for remnant in entry.remnants],
        "flaws": [_flaw(flaw) for flaw in flaws_in(entry)],
        "print": print_data(entry),
        "lays_compared": [compared_data(lay) for lay in entry.lays_compared],
        "selvedge_mm": number(fabric.washed_selvedge_mm),
        "end_allowance_mm": number(fabric.end_allowance_mm),
        "before_motif_mm": number(fabric.before_motif_mm),
        "sold_by_mm": number(fabric.sold_by_mm),
        "minimum_mm": number(fabric.minimum_mm),
        "price": _price(fabric.price),
        "repeat_mm": [number(period) for period in periods_mm(fabric)],
        "motif_across_mm": _motif_across(fabric),
        "border": _border(fabric.border),
        "flaws_bought_mm": [_points(flaw) for flaw in fabric.flaws],
        "layer_maps": layer_maps(entry),
        "placements": [placement_data(placement) for placement in marker.placements],
        "files": dict(files),
    }


def _price(price: Price | None) -> PriceRecord | None:
    """What the shop asks for a length: a metre or a yard."""
    if price is None:
        return None
    return {"amount": str(price.amount), "currency": price.currency, "per_mm": price.per_mm}


def _motif_across(fabric: Fabric) -> float | None:
    """How far from the inside of the lower selvedge the middle of a motif lies, washed."""
    if not periods_mm(fabric)[1]:
        return None
    return number(motif_across_mm(fabric, lay_of(fabric, LayName.OPEN)))


def _border(border: Border | None) -> BorderRecord | None:
    """A print along a selvedge, as bought."""
    if border is None:
        return None
    return {"edge": border.edge, "depth_mm": number(border.depth_mm)}


def layer_maps(entry: FabricPlan) -> list[LayerMapRecord]:
    """How every layer of every band lies on the flat cloth, the one right side up first.

    A layer's map [a, b, c, d, e, f] takes x, y of a placement to a x + b y + e, c x + d y + f.
    """
    fabric, marker = entry.fabric, entry.marker
    lay, table_mm = lay_under(marker, fabric), marker.table_length_mm
    found = []
    for index, band in enumerate(lay.bands):
        across = [(1.0, lay.origin_mm)]
        if band.fold_mm is not None:
            across.append((-1.0, lay.origin_mm + 2 * band.fold_mm))
        maps = [[1.0, 0.0, 0.0, d, lay.begins_mm, f] for d, f in across]
        if lay.turned:
            maps += [[1.0, 0.0, 0.0, -d, table_mm, lay.depth_mm - f] for d, f in across]
        elif lay.lengths > 1:
            back_mm = lay.begins_mm if lay.near is End.FOLD else 2 * table_mm
            maps += [[-1.0, 0.0, 0.0, d, back_mm, f] for d, f in across]
        found.append((MAIN, index, maps))
    if marker.opened_from_mm is not None:
        found.append((OPENED_OUT, 0, [[1.0, 0.0, 0.0, 1.0, lay.begins_mm, 0.0]]))
    return [
        {"section": section, "band": band, "layers": [[number(n) for n in one] for one in maps]}
        for section, band, maps in found
    ]


def fewer_joins_data(fewer: FewerJoins | None) -> FewerJoinsRecord | None:
    """What would be bought without the joins that save cloth."""
    if fewer is None:
        return None
    return {"fewer": fewer.fewer, "purchase_mm": number(fewer.purchase_mm)}


def saving_data(saving: Saving | None) -> SavingRecord | None:
    """What a search as long again is likely to save; null where that is not likely."""
    if saving is None:
        return None
    return {"length_mm": number(saving.length_mm), "cost": _cost(saving.cost)}


def bolt_data(bolt: Bolt) -> BoltRecord:
    """A bolt or a remnant as it was before the cut."""
    return {
        "name": bolt.name,
        "length_mm": number(bolt.length_mm),
        "width_mm": number(bolt.width_mm),
        "washed": bolt.washed,
        "selvedge_mm": _maybe(bolt.selvedge_mm),
    }


def _maybe(value_mm: float | None) -> float | None:
    """A length that there may not be, such as where a fold ends and the cloth lies open."""
    return None if value_mm is None else number(value_mm)


def purchase_data(purchase: Purchase) -> PurchaseRecord:
    """What is bought."""
    return {
        "length_mm": number(purchase.length_mm),
        "text": purchase.text,
        "cost": _cost(purchase.cost),
        "currency": purchase.currency,
        "steps": list(purchase.steps),
    }


def remnant_data(remnant: Remnant) -> RemnantRecord:
    """What is left over."""
    return {
        "x_mm": number(remnant.x_mm),
        "y_mm": number(remnant.y_mm),
        "length_mm": number(remnant.length_mm),
        "width_mm": number(remnant.width_mm),
        "layers": remnant.layers,
    }


def _flaw(flaw: LaidFlaw) -> FlawRecord:
    return {
        "section": flaw.section,
        "band": flaw.band,
        "layer": flaw.layer,
        "outline_mm": _points(flaw.outline_mm),
    }


def compared_data(lay: ComparedLay) -> LayRecord:
    """One lay as it stands in `lays_compared`."""
    return {
        "lay": lay.lay,
        "width_mm": number(lay.width_mm),
        "length_mm": number(lay.length_mm),
        "least_possible_mm": number(lay.least_possible_mm),
        "purchase_mm": number(lay.purchase_mm),
        "cost": _cost(lay.cost),
        "waste_percent": number(lay.waste_percent),
        "cut_outlines": lay.cut_outlines,
        "cut_metres": number(lay.cut_metres),
        "joins": lay.joins,
        "opened_from_mm": _maybe(lay.opened_from_mm),
        "longer_search_may_lose_mm": number(lay.may_lose_mm),
    }


def placement_data(placement: Placement) -> PlacementRecord:
    """One placement as it stands in `placements`."""
    return {
        "garment": placement.garment,
        "piece": placement.piece,
        "copy": placement.copy,
        "yields": placement.yields,
        "spare": placement.spare,
        "layers": placement.layers,
        "section": placement.section,
        "band": placement.band,
        "on_fold": placement.on_fold,
        "in_corner": placement.in_corner,
        "unfolded": placement.unfolded,
        "turn_deg": number(placement.turn_deg),
        "mirrored": placement.mirrored,
        "x_mm": number(placement.x_mm),
        "y_mm": number(placement.y_mm),
        "grain_deg": number(placement.grain_deg),
        "outline_mm": _points(placement.outline_mm),
    }


def _piece(piece: Piece) -> PieceRecord:
    return {
        "garment": piece.garment,
        "piece": piece.name,
        "fabric": piece.fabric,
        "cut": piece.cut,
        "pair": piece.pair,
        "joins": piece.joins,
        "strip": None if piece.strip is None else _strip(piece.strip),
        "on_fold": piece.on_fold is not None,
        "second_fold": piece.second_fold is not None,
        "hole_mm": _points(piece.hole),
        "slit_mm": _points(piece.slit),
        "grain_rule": piece.grain_rule,
        "grain_mm": _points(piece.grain),
        "fold_edges_mm": [_points(edge) for edge in piece.fold_edges],
        "match": list(piece.match),
        "motif": list(piece.motif),
        "border": piece.border,
        "hem_mm": number(piece.hem_mm),
        "points": [
            {"name": m.name, "at_mm": _points([m.at])[0], "along": m.along, "across": m.across}
            for m in piece.marks
        ],
        "area_mm2": number(area(piece.outline)),
        "outline_mm": _points(piece.outline),
        "seams": [
            {"name": s.name, "length_mm": number(length(s.line)), "line_mm": _points(s.line)}
            for s in piece.seams
        ],
    }


def _strip(strip: Strip) -> StripRecord:
    """What its pieces make together, when joined."""
    return {"name": strip.name, "length_mm": number(strip.whole_mm)}


def _seam_check(check: SeamCheck) -> SeamCheckRecord:
    return {
        "what": check.what,
        "garment": check.garment,
        "this_mm": number(check.this_mm),
        "that_mm": number(check.that_mm),
        "difference_mm": number(check.difference_mm),
        "allowed_mm": number(check.allowed_mm),
        "ok": check.ok,
    }
