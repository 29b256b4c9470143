"""Whether a plan.json can be cut, judged by the file alone and what nesting/output/README.md says.

It imports nothing of the project. Every layer under every outline is mapped to the flat cloth, and
there the rules of the trade are stated once more. Millimetres and degrees.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import combinations
from typing import Any

from shapely import STRtree
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box

from tests.outside.figure_check import figure_faults
from tests.outside.plan_parts import NEAR_MM, Part, Record, among, label, laid
from tests.outside.print_check import (
    border_faults,
    flaw_faults,
    motif_faults,
    print_faults,
    upward_faults,
)

THREADS = {
    "lengthwise": (0.0, 180.0),
    "crosswise": (90.0, -90.0),
    "bias": (45.0, -45.0, 135.0, -135.0),
    "any": (0.0, 90.0, 180.0, -90.0),
}
ONE_WAY = {"lengthwise": (0.0,), "crosswise": (90.0,), "bias": (45.0,), "any": (0.0, 90.0)}
"""With a nap; crosswise ones may all be the other way about, and a garment turned end for end."""


def reflected(
    outline: Sequence[Sequence[float]], edge: Sequence[Sequence[float]]
) -> list[tuple[float, float]]:
    """An outline mirrored about the line through an edge."""
    (x0, y0), (x1, y1) = edge
    length = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    found = []
    for x, y in outline:
        along, off = (x - x0) * ux + (y - y0) * uy, (y - y0) * ux - (x - x0) * uy
        found.append((x0 + along * ux + off * uy, y0 + along * uy - off * ux))
    return found


def opened(piece: Record, edges: Sequence[Any]) -> Polygon:
    """The piece opened out about some of its fold edges, with the hole that may be left."""
    region = Polygon(piece["outline_mm"])
    for edge in edges:
        rings = [region.exterior.coords[:-1]]
        halves = [region, *(Polygon(reflected(ring, edge)) for ring in rings)]
        region = (
            halves[0]
            .buffer(1e-4, join_style="mitre")
            .union(halves[1].buffer(1e-4, join_style="mitre"))
        )
    return region


def alike(one: Polygon, other: Polygon) -> bool:
    """Whether two regions are the same to a hair."""
    return bool(one.symmetric_difference(other).area <= 0.02 * one.length + 0.1)


def faults(plan: Record) -> list[str]:
    """Everything that is wrong with a plan; empty if it can be cut."""
    found = [fault for fabric in plan["fabrics"] for fault in fabric_faults(fabric, plan["pieces"])]
    costs: dict[str, Decimal] = defaultdict(Decimal)
    for fabric in plan["fabrics"]:
        if fabric["in_hand"] is None and fabric["purchase"]["cost"] is not None:
            costs[fabric["purchase"]["currency"]] += Decimal(str(fabric["purchase"]["cost"]))
    for notion in plan["notions"]:
        found += notion_faults(notion)
        if notion["cost"] is not None:
            costs[notion["currency"]] += Decimal(str(notion["cost"]))
    if {k: float(v) for k, v in costs.items()} != plan["totals"]:
        found.append(f"money: the totals are {plan['totals']}, what is bought is {dict(costs)}")
    return found + list(count_faults(plan))


def notion_faults(notion: Record) -> list[str]:
    """What is bought of a notion is enough, and its garments bear its cost to the cent."""
    found = []
    needed_mm = sum(one["count"] * one["length_mm"] for one in notion["needed"])
    if notion["sold_by"] == "length" and notion["bought_mm"] < needed_mm - 1e-3:
        found.append(f"short: {notion['name']}, {notion['bought_mm']} mm for {needed_mm}")
    many = sum(one["count"] for one in notion["needed"])
    if notion["sold_by"] != "length" and notion["bought"] < many:
        found.append(f"short: {notion['name']}, {notion['bought']} for {many}")
    shares = sum((Decimal(str(one)) for one in notion["shares"].values()), Decimal(0))
    if notion["cost"] is not None and shares != Decimal(str(notion["cost"])):
        found.append(f"money: shares of {notion['name']} come to {shares}")
    return found


def fabric_faults(fabric: Record, pieces: Sequence[Record]) -> list[str]:
    named = {(p["garment"], p["piece"]): p for p in pieces if p["fabric"] == fabric["name"]}
    unknown = [p for p in fabric["placements"] if (p["garment"], p["piece"]) not in named]
    if unknown:
        return [f"unknown: {p['piece']}" for p in unknown]
    parts = list(parts_of(fabric, named))
    return [
        *shape_faults(fabric, named),
        *room_faults(fabric, parts),
        *distance_faults(fabric, parts),
        *grain_faults(fabric, parts),
        *hand_faults(fabric, parts),
        *flaw_faults(fabric, parts),
        *print_faults(fabric, parts),
        *motif_faults(fabric, parts),
        *upward_faults(fabric, parts),
        *border_faults(fabric, parts),
        *remnant_faults(fabric),
        *purchase_faults(fabric),
        *figure_faults(fabric, list(named.values())),
    ]


def parts_of(fabric: Record, named: dict[tuple[str, str], Record]) -> Iterator[Part]:
    maps = {(one["section"], one["band"]): one["layers"] for one in fabric["layer_maps"]}
    for placement in fabric["placements"]:
        piece = named[placement["garment"], placement["piece"]]
        region = Polygon(placement["outline_mm"])
        for layer, way in enumerate(maps[placement["section"], placement["band"]]):
            yield Part(placement, piece, layer, way, affine_transform(region, list(way)))


def shape_faults(fabric: Record, named: dict[tuple[str, str], Record]) -> Iterator[str]:
    """Whether every outline is its piece's, as it says that it lies."""
    for placement in fabric["placements"]:
        piece = named[placement["garment"], placement["piece"]]
        edges = piece["fold_edges_mm"]
        if not placement["unfolded"]:
            choices = [edges[:0]]
        elif placement["on_fold"]:
            choices = [[edge] for edge in edges]
        else:
            choices = [edges]
        there = Polygon(placement["outline_mm"])
        shapes = (opened(piece, some).exterior.coords for some in choices)
        if not any(alike(Polygon([laid(p, placement) for p in s]), there) for s in shapes):
            yield f"shape: {label(placement)} is not its piece as it says it lies"


def room_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    length, width = fabric["length_mm"], fabric["usable_width_mm"]
    keep = fabric["edge_gap_mm"]
    inside = box(keep, keep, length - keep, width - keep).buffer(NEAR_MM, join_style="mitre")
    for part in parts:
        if not inside.covers(part.region):
            yield f"room: {label(part.placement)} leaves the cloth, or comes too near its edge"


def distance_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """Nothing lies on another part, nor nearer than the gap; what a fold joins is one part."""
    gap = fabric["gap_mm"]
    tree = STRtree([part.region.buffer(gap / 2) for part in parts])
    for one, other in combinations(range(len(parts)), 2) if len(parts) < 3 else _pairs(tree):
        a, b = parts[one], parts[other]
        if a.region.buffer(-NEAR_MM).intersects(b.region.buffer(-NEAR_MM)):
            yield f"overlap: {label(a.placement)} and {label(b.placement)}"
        elif _joined(a, b):
            continue
        elif a.region.distance(b.region) < gap - 2 * NEAR_MM:
            yield f"gap: {label(a.placement)} and {label(b.placement)}"


def _joined(one: Part, other: Part) -> bool:
    """Whether two layers are one part: on both sides of the fold, or all round the corner."""
    placement = one.placement
    if placement is not other.placement or not placement["on_fold"]:
        return False
    return bool(placement["in_corner"]) or one.layer // 2 == other.layer // 2


def _pairs(tree: STRtree) -> Iterator[tuple[int, int]]:
    first, second = tree.query(tree.geometries)
    for one, other in zip(first.tolist(), second.tolist(), strict=True):
        if one < other:
            yield one, other


def grain_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    tilt = fabric["tilt_deg"]
    for part in (one for one in parts if one.layer == 0):
        if not among(part.thread_deg, THREADS[part.piece["grain_rule"]], tilt):
            yield f"grain: {label(part.placement)} runs at {part.thread_deg:g} degrees"
        if not among(part.thread_deg, [part.placement["grain_deg"]], 0.001):
            yield f"grain: {label(part.placement)} states another direction than it has"


def serves(part: Part, mirrored: bool, allowed: Sequence[float], fabric: Record) -> bool:
    """Whether a part can be used as the piece, or as its mirror image, right side out.

    Turned over, where the faces are alike, its thread points the other way across.
    """
    tilt, rule = fabric["tilt_deg"], part.piece["grain_rule"]
    over = fabric["faces"] == "alike" and (fabric["nap"] == "none" or rule == "lengthwise")
    if part.face_down == mirrored and among(part.thread_deg, allowed, tilt):
        return True
    if over and among(-part.thread_deg, allowed, tilt):
        return True
    way = 1 if part.face_down else -1
    return any(
        among(part.thread_deg + way * turn, allowed, tilt) for turn in mirror_turns(part.piece)
    )


_TURNS: dict[str, list[float]] = {}


def mirror_turns(piece: Record) -> list[float]:
    """The turns that bring the whole piece, grain along the length, onto its mirror image."""
    key = f"{piece['fabric']}\0{piece['garment']}\0{piece['piece']}\0{piece['outline_mm']}"
    if key not in _TURNS:
        whole = opened(piece, piece["fold_edges_mm"])
        (x0, y0), (x1, y1) = piece["grain_mm"]
        straight = Polygon(_turned(whole.exterior.coords, -math.atan2(y1 - y0, x1 - x0)))
        image = _at_home(Polygon([(x, -y) for x, y in straight.exterior.coords]))
        _TURNS[key] = [
            float(turn)
            for turn in range(0, 360, 45)
            if alike(
                _at_home(Polygon(_turned(straight.exterior.coords, math.radians(turn)))), image
            )
        ]
    return _TURNS[key]


def _turned(points: Sequence[Sequence[float]], turn: float) -> list[tuple[float, float]]:
    cos, sin = math.cos(turn), math.sin(turn)
    return [(p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos) for p in points]


def _at_home(region: Polygon) -> Polygon:
    left, low, _, _ = region.bounds
    return Polygon([(x - left, y - low) for x, y in region.exterior.coords])


def hand_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """Whether every placement gives what it says, all that a nap ties together lying one way."""
    groups: dict[tuple[Any, ...], list[Part]] = defaultdict(list)
    for part in parts:
        across = part.piece["grain_rule"] == "crosswise"
        garment = part.placement["garment"] if fabric["nap"] == "per-garment" else ""
        groups[(across, garment) if fabric["nap"] != "none" else ("",)].append(part)
    for (across, *_), own in groups.items():
        senses: list[tuple[float, ...]] = [(0.0, 180.0)]
        if fabric["nap"] != "none":
            free = across or fabric["nap"] == "per-garment"
            senses = [(0.0,), (180.0,)] if free else [(0.0,)]
        tried = [list(given_faults(fabric, own, sense)) for sense in senses]
        yield from min(tried, key=len)


def given_faults(fabric: Record, parts: Sequence[Part], senses: Sequence[float]) -> Iterator[str]:
    by_piece: dict[tuple[str, str], dict[int, list[Part]]] = defaultdict(lambda: defaultdict(list))
    for part in parts:
        by_piece[part.piece["garment"], part.piece["piece"]][part.placement["copy"]].append(part)
    for copies in by_piece.values():
        hands = {"either": 0, "drawn": 0, "mirrored": 0}
        given = 0
        for own in copies.values():
            piece, placement = own[0].piece, own[0].placement
            base = (THREADS if fabric["nap"] == "none" else ONE_WAY)[piece["grain_rule"]]
            allowed = [turn + sense for turn in base for sense in senses]
            # What a fold joins is one part, told by the layer that lies as drawn.
            own = _wholes(own)
            good = 0
            for part in own:
                drawn, image = (serves(part, hand, allowed, fabric) for hand in (False, True))
                image = image and piece["pair"]
                good += drawn or image
                name = "either" if drawn and image else "drawn" if drawn else "mirrored"
                hands[name] += bool(drawn or image)
            given += placement["yields"]
            if placement["yields"] > good:
                yield f"hands: {label(placement)} says it gives {placement['yields']}, not {good}"
            if placement["yields"] + placement["spare"] != len(own):
                yield f"layers: {label(placement)} cuts {len(own)} parts"
        if piece["pair"]:
            short = max(0, given // 2 - hands["drawn"]) + max(0, given // 2 - hands["mirrored"])
            if short > hands["either"]:
                yield f"pairs: {piece['piece']} ({piece['garment']}) lacks hands"


def _wholes(parts: Sequence[Part]) -> list[Part]:
    placement = parts[0].placement
    if placement.get("in_corner"):
        return [parts[0]]
    if not placement["on_fold"]:
        return list(parts)
    return list(parts[::2] if len(parts) > 1 else parts)


def count_faults(plan: Record) -> Iterator[str]:
    given: dict[tuple[str, str, str], list[Record]] = defaultdict(list)
    for fabric in plan["fabrics"]:
        for placement in fabric["placements"]:
            given[fabric["name"], placement["garment"], placement["piece"]].append(placement)
    for piece in plan["pieces"]:
        own = given[piece["fabric"], piece["garment"], piece["piece"]]
        wanted = piece["cut"] * (2 if piece["pair"] else 1)
        if sum(one["yields"] for one in own) != wanted:
            yield f"count: {piece['piece']} ({piece['garment']}) is not cut {wanted} times"
        if sorted(one["copy"] for one in own) != list(range(1, len(own) + 1)):
            yield f"copies: {piece['piece']} ({piece['garment']}) are not counted from 1"


def remnant_faults(fabric: Record) -> Iterator[str]:
    opened_from = fabric["opened_from_mm"]
    for number, rest in enumerate(fabric["remnants"], start=1):
        x, y = rest["x_mm"], rest["y_mm"]
        there = box(x, y, x + rest["length_mm"], y + rest["width_mm"]).buffer(-0.01)
        for one in fabric["placements"]:
            in_section = opened_from is not None and x >= opened_from - NEAR_MM
            beside = (one["section"] == "opened-out") == in_section
            if beside and Polygon(one["outline_mm"]).intersects(there):
                yield f"remnant: {number} has {label(one)} in it"


def purchase_faults(fabric: Record) -> Iterator[str]:
    """What is asked for holds the marker, is a whole number of steps, and costs what it costs."""
    if fabric["in_hand"] is not None:
        return
    bought = _exact(fabric["purchase"]["length_mm"])
    kept = 1 - _exact(fabric["shrinkage"]["length"]) / 100
    need = _exact(round(fabric["length_mm"], 3)) / kept
    need += _exact(fabric["before_motif_mm"]) + _exact(fabric["end_allowance_mm"])
    need = max(need, _exact(fabric["minimum_mm"]))
    step = _exact(fabric["sold_by_mm"]) or Fraction(1)
    if bought != math.ceil(need / step) * step:
        yield f"purchase: {float(bought):g} mm, for {float(need):g} mm in steps of {float(step):g}"
    price = fabric["price"]
    if price is not None:
        exact = Fraction(price["amount"]) * bought / _exact(price["per_mm"])
        cents = (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(
            Decimal("0.01"), ROUND_HALF_UP
        )
        if Decimal(str(fabric["purchase"]["cost"])) != cents:
            yield f"money: {fabric['purchase']['cost']} instead of {cents}"


def _exact(value: float) -> Fraction:
    return Fraction(str(value))
