"""A cloth's print as it stands in plan.json."""

from __future__ import annotations

from nesting.fabric.plans import FabricPlan
from nesting.output.drawing.printed import bordered, points_in
from nesting.output.files.cloth_records import PrintPointRecord, PrintRecord
from nesting.output.files.values import number
from nesting.prints.places import PrintPoint, first_motif_mm
from nesting.prints.prints import periods_mm


def print_data(entry: FabricPlan) -> PrintRecord | None:
    """The print of a cloth and where it meets; None where no piece asks for it."""
    points = points_in(entry)
    if not points and not bordered(entry):
        return None
    along_mm, across_mm = (number(period) for period in periods_mm(entry.fabric))
    border, plain_mm = entry.fabric.border, entry.plain_purchase_mm
    first_mm = first_motif_mm(points, entry.fabric)
    more_mm = None if plain_mm is None else entry.purchase.length_mm - plain_mm
    return {
        "repeat_mm": {"length": along_mm, "width": across_mm},
        "border": None
        if border is None
        else {"edge": border.edge, "depth_mm": number(entry.fabric.washed_border_mm)},
        "first_motif_mm": None if first_mm is None else number(first_mm),
        "plain_purchase_mm": None if plain_mm is None else number(plain_mm),
        "more_than_plain_mm": None if more_mm is None else number(more_mm),
        "points": [_point(entry, point) for point in points],
    }


def _point(entry: FabricPlan, point: PrintPoint) -> PrintPointRecord:
    placement = entry.marker.placements[point.placement]
    return {
        "garment": placement.garment,
        "piece": placement.piece,
        "copy": placement.copy,
        "point": point.name,
        "motif": point.motif,
        "along": point.along,
        "across": point.across,
        "x_mm": number(point.at[0]),
        "y_mm": number(point.at[1]),
    }
