"""A cloth's print in a plan: in words, and lightly on the drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from nesting.fabric.fabric import Edge, Fabric
from nesting.fabric.lay import Lay, lay_under
from nesting.fabric.plans import FabricPlan
from nesting.fabric.purchase import asked_for_length, asked_for_marker
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.cloth import drawn, stretches
from nesting.output.drawing.rows import Row
from nesting.output.drawing.sheet import DASHED, Sheet
from nesting.prints.lays import motif_across_mm
from nesting.prints.places import PrintPoint, first_motif_mm, print_points
from nesting.prints.prints import periods_mm
from pieces.piece import Line, Outline
from pieces.units import Unit, format_length, format_needed

if TYPE_CHECKING:
    from matplotlib.patches import Rectangle


def points_in(entry: FabricPlan) -> list[PrintPoint]:
    """The points of a plan that lie on the print as asked."""
    return list(print_points(entry.marker, entry.pieces, entry.fabric))


def bordered(entry: FabricPlan) -> bool:
    """Whether some hem of a plan lies on a border."""
    return any(piece.border for piece in entry.pieces)


# --- in words ------------------------------------------------------------------------------------


def print_words(entry: FabricPlan, unit: Unit) -> Iterator[str]:
    """What the print asks of the cutter, and what it costs; nothing where nothing asks for it."""
    points = points_in(drawn(entry))
    if points:
        yield _repeat(entry, unit)
    if bordered(entry) and entry.fabric.border is not None:
        depth = format_length(entry.fabric.washed_border_mm, unit)
        edge = {Edge.BOTH: "both selvedges"}.get(
            entry.fabric.border.edge, f"the {entry.fabric.border.edge.value} selvedge"
        )
        yield f"a border {depth} deep along {edge}; hems lie against it"
    yield from _motifs(entry, points, unit)
    for garment, name, places in _meeting(entry, points):
        owner = f" of {garment}" if garment else ""
        yield f"{name}{owner}: {_places(places, periods_mm(entry.fabric), unit)}"
    yield from _cost(entry, unit)


def _repeat(entry: FabricPlan, unit: Unit) -> str:
    along, across = (format_length(period, unit) for period in periods_mm(entry.fabric))
    repeats = [
        f"{text} {way}"
        for text, way, period in zip(
            (along, across), ("along", "across"), periods_mm(entry.fabric), strict=True
        )
        if period > 0
    ]
    layers = "" if all(p.layers == 1 for p in entry.marker.placements) else "; pin the layers so "
    pinned = f"{layers}that their prints lie on each other" if layers else ""
    return f"repeats every {' and '.join(repeats)}{pinned}"


def _motifs(entry: FabricPlan, points: Sequence[PrintPoint], unit: Unit) -> Iterator[str]:
    first_mm = first_motif_mm(points, entry.fabric)
    if first_mm is not None:
        first = format_length(first_mm, unit)
        yield f"begin where the middle of the first motif lies {first} from the cut end"
    if any(point.motif and point.across for point in points):
        lay = lay_under(entry.marker, entry.fabric)
        outside_mm = words.outside_mm(lay.bands[0], entry.fabric)
        first_mm = motif_across_mm(entry.fabric, lay) + outside_mm
        across_mm = first_mm % periods_mm(entry.fabric)[1]
        yield (
            f"across, a motif's middle lies {format_length(across_mm, unit)} from the "
            f"{words.measured_from(lay.bands[0], lay)}"
        )


Places = tuple[float | None, float | None]
"""How far into a repeat a point lies along and across; None where that doesn't count."""


def _meeting(
    entry: FabricPlan, points: Sequence[PrintPoint]
) -> Iterator[tuple[str, str, Places]]:  # fmt: skip
    """Each garment's matched points, once, with where in the repeat they lie."""
    told: set[tuple[str, str]] = set()
    along_mm, across_mm = periods_mm(entry.fabric)
    for point in points:
        garment = entry.marker.placements[point.placement].garment
        if point.motif or (garment, point.name) in told:
            continue
        told.add((garment, point.name))
        places = (
            point.at[0] % along_mm if point.along else None,
            point.at[1] % across_mm if point.across else None,
        )
        yield garment, point.name, places


def _places(places: Places, periods: tuple[float, float], unit: Unit) -> str:
    """Counted in whole repeats from the cut end, and from the lower edge of the lay."""
    ways = zip(places, periods, ("along", "across"), strict=True)
    said = [_place(at, period, way, unit) for at, period, way in ways if at is not None]
    return " and ".join(said)


def _place(at_mm: float, period_mm: float, way: str, unit: Unit) -> str:
    """A whole repeat past one is where the next begins."""
    told = format_length(at_mm, unit)
    if told in (format_length(0.0, unit), format_length(period_mm, unit)):
        return f"where a repeat begins {way}"
    return f"{told} past where a repeat begins {way}"


def _cost(entry: FabricPlan, unit: Unit) -> Iterator[str]:
    if entry.plain_purchase_mm is None:
        return
    more_mm = entry.purchase.length_mm - entry.plain_purchase_mm
    plain = asked_for_length(entry.fabric, entry.plain_purchase_mm)
    if more_mm <= 0:
        yield f"takes no more than plain cloth, {plain}"
        return
    bought = asked_for_marker(entry.fabric, entry.marker.length_mm)
    yield f"takes {format_needed(more_mm, unit)} more than plain cloth: {bought}, not {plain}"


# --- on the drawing ------------------------------------------------------------------------------


def print_entries(entry: FabricPlan) -> list[key.Entry]:
    """What of the print the key has to explain."""
    points = points_in(entry)
    found = [key.PRINT_LINE, key.MEETING_POINT] if points else []
    return found + ([key.BORDER] if bordered(entry) else [])


def draw_border(sheet: Sheet, entry: FabricPlan, row: Row, clip: Rectangle) -> None:
    """Shade the border along those edges of the lay that all layers have it at."""
    if not bordered(entry):
        return
    for stretch in stretches(entry.marker, entry.fabric, row.end_mm):
        start_mm, end_mm = max(stretch.start_mm, row.start_mm), stretch.end_mm
        for outer_mm, inner_mm in _border_strips(entry.fabric, stretch.lay):
            inner = ((start_mm, inner_mm), (end_mm, inner_mm))
            outline: Outline = (*inner, (end_mm, outer_mm), (start_mm, outer_mm))
            sheet.area(row.on_page(outline), key.BORDER_FILL, layer=1, clip=clip)
            line = row.on_page(inner)
            sheet.line(line, key.BORDER_PT, colour=key.PRINT_INK, dashes=DASHED, layer=3, clip=clip)


def _border_strips(fabric: Fabric, lay: Lay) -> Iterator[tuple[float, float]]:
    """Outer and inner limits across a lay, as it is drawn, of what all its layers have printed."""
    assert fabric.border is not None
    edge, depth_mm = fabric.border.edge, fabric.washed_border_mm
    low_mm, high_mm = lay.bands[0].low_mm, lay.bands[-1].high_mm
    if edge in (Edge.LOWER, Edge.BOTH) and not lay.bands[0].fold_low:
        yield low_mm, low_mm + depth_mm
    if edge in (Edge.UPPER, Edge.BOTH):
        yield high_mm, high_mm - depth_mm


def draw_print(sheet: Sheet, entry: FabricPlan, row: Row, clip: Rectangle) -> None:
    """Draw the repeat's lines on each matched piece, and a sign at each point that meets it."""
    for point in points_in(entry):
        outline = entry.marker.placements[point.placement].outline_mm
        for line in _lines(point, outline, periods_mm(entry.fabric)):
            sheet.line(row.on_page(line), key.PRINT_PT, colour=key.PRINT, layer=3, clip=clip)
    for point in points_in(entry):
        if row.start_mm <= point.at[0] <= row.end_mm:
            key.draw_sign(sheet, row.on_page([point.at])[0])


def _lines(point: PrintPoint, outline: Outline, periods: tuple[float, float]) -> Iterator[Line]:
    """The lines of the repeat through a point and beside it, as far as they cross its piece."""
    from shapely.geometry import LineString, Polygon

    region = Polygon(outline).buffer(0)
    left, low, right, high = region.bounds
    for axis, counts, start, end in (
        (0, point.along, left, right),
        (1, point.across, low, high),
    ):
        if not counts:
            continue
        at, period_mm = point.at[axis], periods[axis]
        first, last = int((start - at) // period_mm) + 1, int((end - at) // period_mm)
        for step in range(first, last + 1):
            place = at + step * period_mm
            ends = ((place, low), (place, high)) if axis == 0 else ((left, place), (right, place))
            found = LineString(ends).intersection(region)
            for part in getattr(found, "geoms", [found]):
                if len(part.coords) == 2:
                    yield tuple((float(x), float(y)) for x, y in part.coords)
