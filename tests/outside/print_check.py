"""Prints, borders and flaws of a plan.json, on the flat cloth. Millimetres and degrees."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from shapely import unary_union
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from tests.outside.plan_parts import NEAR_MM, Part, Record, among, label, laid

MEETS_MM = 1.0
"""Lines of a print no further apart at a seam meet; common practice."""


def flaw_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """No layer lies on a flaw of the flat cloth, nor an outline on one where it is said to lie."""
    flat = list(washed_flaws(fabric))
    for part in parts:
        core = part.region.buffer(-NEAR_MM)
        if any(core.intersects(flaw) for flaw in flat):
            yield f"flaw: layer {part.layer + 1} of {label(part.placement)} lies on one"
    for flaw in fabric["flaws"]:
        there = Polygon(flaw["outline_mm"])
        for one in fabric["placements"]:
            same = (one["section"], one["band"]) == (flaw["section"], flaw["band"])
            if same and Polygon(one["outline_mm"]).buffer(-NEAR_MM).intersects(there):
                yield f"flaw: {label(one)} lies on one"


def washed_flaws(fabric: Record) -> Iterator[BaseGeometry]:
    """The flaws on the washed cloth, with all places that they may have before the first motif."""
    along, across = (1 - fabric["shrinkage"][key] / 100 for key in ("length", "width"))
    back = fabric["before_motif_mm"] * along
    for flaw in fabric["flaws_bought_mm"]:
        ring = [(x * along, y * across - fabric["selvedge_mm"]) for x, y in flaw]
        edges = zip(ring, [*ring[1:], ring[0]], strict=True)
        swept = [MultiPoint([*e, *((x - back, y) for x, y in e)]).convex_hull for e in edges]
        yield unary_union([Polygon(ring), *swept])


def places_of(
    fabric: Record, parts: Sequence[Part], kind: str
) -> dict[tuple[Any, ...], list[tuple[Part, float]]]:
    """Where points that are to meet or to be centred lie on the flat cloth, on axes that repeat."""
    found: dict[tuple[Any, ...], list[tuple[Part, float]]] = defaultdict(list)
    for part in parts:
        grain = 1 if part.piece["grain_rule"] == "crosswise" else 0
        if part.placement["on_fold"] and part.flips:
            continue
        for point in (one for one in part.piece["points"] if one["name"] in part.piece[kind]):
            x, y = laid(point["at_mm"], part.placement)
            a, b, c, d, e, f = part.way
            at = a * x + b * y + e, c * x + d * y + f
            for axis, counts in ((grain, point["along"]), (1 - grain, point["across"])):
                if counts and fabric["repeat_mm"][axis] > 0:
                    key = part.piece["garment"], grain, point["name"], axis
                    found[key].append((part, at[axis]))
    return found


def print_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """Matched points of a garment lie on one place of the repeat."""
    for (garment, _, name, axis), found in places_of(fabric, parts, "match").items():
        period, first = fabric["repeat_mm"][axis], found[0][1]
        if any(abs(math.remainder(one - first, period)) > MEETS_MM for _, one in found):
            yield f"print: {name} of {garment} does not meet"


def motif_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """Centred points lie in the middle of a motif: across where that is, along all at one place."""
    wanted: dict[int, float] = {}
    if fabric["motif_across_mm"] is not None:
        wanted[1] = fabric["motif_across_mm"]
    for (*_, name, axis), found in places_of(fabric, parts, "motif").items():
        for part, place in found:
            off = math.remainder(place - wanted.setdefault(axis, place), fabric["repeat_mm"][axis])
            if abs(off) > MEETS_MM:
                yield f"motif: {name} of {label(part.placement)} lies {off:g} mm off its middle"


def upward_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """What meets the print at a height along its grain lies one way up in each garment."""
    first: dict[tuple[str, int], float] = {}
    for part in parts:
        grain = 1 if part.piece["grain_rule"] == "crosswise" else 0
        asked = {*part.piece["match"], *part.piece["motif"]}
        heights = any(one["along"] and one["name"] in asked for one in part.piece["points"])
        if heights and fabric["repeat_mm"][grain] > 0:
            thread = first.setdefault((part.piece["garment"], grain), part.thread_deg)
            if not among(part.thread_deg, [thread], 0.001):
                yield f"upward: {label(part.placement)} lies the other way up"


def border_faults(fabric: Record, parts: Sequence[Part]) -> Iterator[str]:
    """Hems that are to lie on a border lie along it, as near to the selvedge as they may."""
    kept = 1 - fabric["shrinkage"]["width"] / 100
    for part in (one for one in parts if one.piece["border"]):
        _, low, _, high = part.region.bounds
        lower = among(part.thread_deg, [90.0], 0.001)
        edge, off = ("lower", low) if lower else ("upper", fabric["usable_width_mm"] - high)
        border = fabric["border"]
        if border is None or border["edge"] not in (edge, "both"):
            yield f"border: {label(part.placement)} lies along none"
        elif not lower and not among(part.thread_deg, [-90.0], 0.001):
            yield f"border: {label(part.placement)} does not run square to it"
        elif off > fabric["edge_gap_mm"] + NEAR_MM:
            yield f"border: {label(part.placement)} lies {off:g} mm from the selvedge"
        elif off + part.piece["hem_mm"] > border["depth_mm"] * kept + MEETS_MM:
            yield f"border: the finished hem of {label(part.placement)} lies past it"
