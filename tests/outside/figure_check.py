"""Whether the figures that a plan.json gives of its cloths follow from its placements."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shapely.geometry import Polygon

from tests.outside.plan_parts import Record

_OFF = 1e-3
"""In percent, and in mm: what rounding to a millionth may add up to."""


def figure_faults(fabric: Record, pieces: Sequence[Record]) -> Iterator[str]:
    """Areas, shares and counts, and the lay that was chosen among those compared."""
    named = {(one["garment"], one["piece"]): one for one in pieces}
    for one in pieces:
        if not math.isclose(Polygon(one["outline_mm"]).area, one["area_mm2"], abs_tol=1.0):
            yield f"figure: the area of {one['piece']}"
    wanted_mm2 = 0.0
    for placement in fabric["placements"]:
        piece = named[placement["garment"], placement["piece"]]
        wanted_mm2 += placement["yields"] * piece["area_mm2"] * 2 ** len(piece["fold_edges_mm"])
    had = fabric["in_hand"] or fabric["purchase"]
    for key, cloth_mm2 in (
        ("waste_percent", fabric["usable_width_mm"] * fabric["length_mm"]),
        ("unused_percent_of_purchase", fabric["width_mm"] * had["length_mm"]),
    ):
        percent = 100 * (1 - wanted_mm2 / cloth_mm2)
        if abs(fabric[key] - percent) > _OFF:
            yield f"figure: {key} is {fabric[key]}, not {percent}"
    if fabric["cut_outlines"] != len(fabric["placements"]):
        yield "figure: outlines are not counted right"
    if fabric["least_possible_mm"] > fabric["length_mm"] + _OFF:
        yield "figure: shorter than any layout can be"
    if fabric["table_length_mm"] > fabric["length_mm"] + _OFF:
        yield "figure: longer on the table than flat"
    same = ("lay", "length_mm", "cut_outlines", "cut_metres", "waste_percent", "opened_from_mm")
    if not any(all(one[k] == fabric[k] for k in same) for one in fabric["lays_compared"]):
        yield "figure: the lay is not among those compared"
