"""The verifier's geometry: shapes, room and distances on the cloth, stated afresh. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, LayName, Nap
from nesting.fabric.marker import Marker, Placement
from pieces.piece import Finding, Line, Piece
from pieces.wording import Wording, either, exact

TOLERANCE_MM = 0.002
"""Depth to which an outline may stray or two may overlap. Rounding to the solver's whole
numbers moves a point by a tenth of this at most; a sewing thread is fifty times as thick."""

LENGTH_TOLERANCE_MM = 0.01
"""How much longer than its pieces ask for a marker may be: less than any tape shows."""

_MEASURED_OVERLAPS = 20
"""Measuring a depth takes a while; nobody needs more of them."""

Points = NDArray[np.float64]
"""Corners, one a row: shape (n, 2)."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch across the lay, its layers, and which of its limits is a fold."""

    low_mm: float
    high_mm: float
    layers: int
    fold_low: bool = False
    fold_high: bool = False

    @property
    def folded(self) -> bool:
        """Whether a fold runs along it."""
        return self.fold_low or self.fold_high


Keep = tuple[float, str]
"""What is to be kept from a limit, in mm, and the code of the finding if it isn't."""


@dataclass(frozen=True, slots=True)
class Spread:
    """The cloth of one section as it lies: its strips, and its two ends along the length.

    `ends_together` tells that an upper layer was brought over from the other cut end: folded
    back, or, if `turned`, cut apart there and turned end for end. `before_mm` of flat cloth lie
    folded over where a fold is at the near end, `holds` tells that pieces may lie on that.
    """

    strips: tuple[Strip, ...]
    near: Keep
    far: Keep
    begins_mm: float = 0.0
    before_mm: float = 0.0
    ends_together: bool = False
    turned: bool = False
    holds: bool = False

    @property
    def layers_along(self) -> int:
        """How many times the flat cloth lies above each other along the length."""
        return 2 if self.ends_together else 1

    def strip_of(self, placement: Placement) -> Strip:
        """The strip in which a placement says it lies; the first where there is none such."""
        known = 0 <= placement.band < len(self.strips)
        return self.strips[placement.band if known else 0]


@dataclass(frozen=True, slots=True)
class Laid:
    """A placement, the piece it stands for, what it covers, and the cloth of its section."""

    piece: Piece
    placement: Placement
    region: Polygon
    cloth: Spread

    @property
    def label(self) -> str:
        """What a message calls it."""
        return label(self.placement)


def label(placement: Placement) -> str:
    """A placement's piece, garment and copy, in words."""
    return f"{named(placement.garment, placement.piece)}, copy {placement.copy}"


def named(garment: str, piece: str) -> str:
    """A piece and its garment, in words."""
    return f"{piece} of {garment}" if garment else piece


def spreads(fabric: Fabric, marker: Marker) -> dict[str, Spread]:
    """How a marker spreads the cloth between its selvedges, after the wash, by section.

    Where the cloth goes on from one section into the other, pieces on both sides keep half the
    gap to the line between; an upper layer ends there, if it was brought over from a cut end.

    >>> cloth = Fabric("lawn", 1120, selvedge_mm=10)
    >>> spreads(cloth, Marker("lawn", LayName.LENGTHWISE_FOLD, 900.0, ()))["main"].strips
    (Strip(low_mm=0.0, high_mm=550.0, layers=2, fold_low=True, fold_high=False),)
    """
    together = marker.lay in (LayName.CROSSWISE_FOLD, LayName.QUARTER_FOLD)
    # Folded back, the upper layer's nap would run back: with a nap it is cut off and turned.
    turned = together and fabric.nap is not Nap.NONE
    edge_mm, half_mm = fabric.edge_gap_mm, fabric.gap_mm / 2
    edge, fold = (edge_mm, "edge-gap"), (half_mm, "gap")
    # What ends where the cloth is cut apart, and what begins there, were neighbours.
    apart = (max(edge_mm, fabric.gap_mm - edge_mm), "edge-gap")
    folded_back = together and not turned
    strips = _strips(fabric, marker.lay, marker.fold_depth_mm)
    crosswise = marker.lay is LayName.CROSSWISE_FOLD and not turned
    quarter = marker.lay is LayName.QUARTER_FOLD and not turned
    holds = (crosswise and any(placement.on_fold for placement in marker.placements)) or (
        quarter and any(placement.in_corner for placement in marker.placements)
    )
    if marker.opened_from_mm is None and holds:
        # Measured from the fold, half of the cloth lies folded over past it.
        half = marker.length_mm / 2
        return {"main": Spread(strips, fold, edge, 0.0, half, together, turned, holds)}
    if marker.opened_from_mm is None:
        end = fold if folded_back else apart if turned else edge
        return {"main": Spread(strips, edge, end, 0.0, 0.0, together, turned)}
    opened_mm, before_mm = marker.opened_from_mm, marker.opened_from_mm * folded_back
    near = fold if folded_back else edge
    between = (max(edge_mm, half_mm), "edge-gap") if together else fold
    single = _strips(fabric, LayName.OPEN, 0.0)
    return {
        "main": Spread(strips, near, between, 0.0, before_mm, together, turned, holds),
        "opened-out": Spread(single, fold, apart if turned else edge, opened_mm, before_mm),
    }


def _strips(fabric: Fabric, lay: LayName, fold_depth_mm: float) -> tuple[Strip, ...]:
    """The strips of a lay across the width."""
    kept = 1 - fabric.shrinkage_width
    full_mm, selvedge_mm = fabric.width_mm * kept, fabric.selvedge_mm * kept
    usable_mm = full_mm - 2 * selvedge_mm
    if lay is LayName.OPEN:
        return (Strip(0.0, usable_mm, layers=1),)
    if lay is LayName.LENGTHWISE_FOLD:
        return (Strip(0.0, usable_mm / 2, layers=2, fold_low=True),)
    if lay is LayName.CROSSWISE_FOLD:
        return (Strip(0.0, usable_mm, layers=2),)
    if lay is LayName.QUARTER_FOLD:
        return (Strip(0.0, usable_mm / 2, layers=4, fold_low=True),)
    if lay is LayName.DOUBLE_FOLD:
        near_mm, far_mm = full_mm / 4 - selvedge_mm, full_mm / 4 + selvedge_mm
        lower = Strip(0.0, near_mm, layers=2, fold_low=True)
        return (lower, Strip(far_mm, full_mm / 2, layers=2, fold_high=True))
    double = Strip(0.0, fold_depth_mm - selvedge_mm, layers=2, fold_low=True)
    beyond_mm = full_mm - fold_depth_mm - selvedge_mm
    if beyond_mm <= fold_depth_mm:
        return (double,)
    return (double, Strip(fold_depth_mm, beyond_mm, layers=1))


def turned(points: Points, turn_deg: float, mirrored: bool) -> Points:
    """Points after mirroring (y to -y) and then turning anticlockwise about the origin."""
    flipped = points * np.array([1.0, -1.0]) if mirrored else points
    cosine, sine = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    result: Points = flipped @ np.array([[cosine, sine], [-sine, cosine]])
    return result


def carried(points: Points | Line, placement: Placement) -> Points:
    """Points of a piece where a placement says they lie."""
    moved = turned(np.asarray(points, dtype=np.float64), placement.turn_deg, placement.mirrored)
    moved += (placement.x_mm, placement.y_mm)
    return moved


def same_region(one: Polygon, other: Polygon, within_mm: float) -> bool:
    """Whether no point of either is farther than `within_mm` from the other.

    Corners alone would not tell: two shapes may share them all and join them differently.
    """
    if not (one.is_valid and other.is_valid):
        return False
    near = one.buffer(within_mm).covers(other)
    return bool(near and other.buffer(within_mm).covers(one))


def lies_across(laid: Laid) -> bool:
    """Whether a fold edge of a placement lies on the fold across the cloth."""
    placement = laid.placement
    alone = placement.on_fold and not laid.cloth.strip_of(placement).folded
    return placement.in_corner or alone


def room_findings(laid: Laid, fabric: Fabric, marker: Marker) -> Iterator[Finding]:
    """Whether a placement keeps inside its band and its section, and clear of the edges."""
    left, low, right, high = laid.region.bounds
    cloth = laid.cloth
    strip = cloth.strip_of(laid.placement)
    far_mm = _ends_mm(marker, cloth)
    edge = (fabric.edge_gap_mm, "edge-gap")
    # Across a fold its neighbour is its own copy in the layer below: each keeps half.
    fold = (0.0 if laid.placement.on_fold else fabric.gap_mm / 2, "gap")
    near = (0.0 if lies_across(laid) else fabric.gap_mm / 2, "gap") if cloth.holds else cloth.near
    sides = (
        (low - strip.low_mm, *(fold if strip.fold_low else edge), "lower limit", "outside-band"),
        (strip.high_mm - high, *(fold if strip.fold_high else edge), "upper limit", "outside-band"),
        (left - cloth.begins_mm, *near, "near end", "beyond-end"),
        (far_mm - right, *cloth.far, "far end", "beyond-length"),
    )
    for room_mm, wanted_mm, near_code, side, out_code in sides:
        if room_mm < -TOLERANCE_MM:
            yield Finding(
                out_code,
                f"{laid.label}: reaches "
                + exact(-room_mm)
                + f" beyond the {side} of its cloth"
                + allowing(0),
            )
        elif room_mm < wanted_mm - TOLERANCE_MM:
            yield Finding(
                near_code,
                f"{laid.label}: lies "
                + exact(room_mm)
                + f" from the {side} of its cloth; "
                + exact(wanted_mm)
                + " is to be kept.",
            )


def allowing(most_mm: float) -> Wording:
    """The end of a finding on what may be off by so much; whoever cuts needs no such figure."""
    return either(f"; {most_mm} mm is allowed.", ".")


def _ends_mm(marker: Marker, cloth: Spread) -> float:
    """Where the cloth of a section ends along the table."""
    start_mm = marker.opened_from_mm
    if start_mm is None:
        return marker.length_mm / cloth.layers_along
    if cloth.begins_mm < start_mm:
        return start_mm
    together = marker.lay in (LayName.CROSSWISE_FOLD, LayName.QUARTER_FOLD)
    return marker.length_mm - start_mm * (1 if together else 0)


def length_findings(marker: Marker, laid: Sequence[Laid], cloth: Spread) -> Iterator[Finding]:
    """Whether a section is no longer than the farthest piece in it asks for."""
    farthest = max(laid, key=lambda one: float(one.region.bounds[2]))
    given_mm = _ends_mm(marker, cloth) * cloth.layers_along
    needed_mm = (farthest.region.bounds[2] + cloth.far[0]) * cloth.layers_along
    if given_mm > needed_mm + LENGTH_TOLERANCE_MM:
        yield Finding(
            "length",
            "The marker states "
            + exact(given_mm)
            + f" of length, its farthest piece ({farthest.label}) needs "
            + exact(needed_mm)
            + ".",
        )


def distance_findings(laid: Sequence[Laid], gap_mm: float) -> Iterator[Finding]:
    """Whether any two overlap, or lie nearer to each other than the gap.

    They overlap where one reaches deeper into the other than the tolerance: a depth, since
    contact along a long edge may share more area, all of it rounding, than a corner that
    pokes in. Where some shift of d parts two shapes, no point is deeper than d in both.
    """
    if len(laid) < 2:
        return
    regions = [one.region for one in laid]
    tree = STRtree(regions)
    cores = [region.buffer(-TOLERANCE_MM) for region in regions]
    overlapping = _pairs(tree.query(cores, predicate="intersects"))
    for i, j in sorted(overlapping)[:_MEASURED_OVERLAPS]:
        depth_mm = _depth_mm(regions[i], regions[j])
        yield Finding(
            "overlap",
            f"{laid[i].label} and {laid[j].label} overlap by "
            + exact(depth_mm)
            + allowing(TOLERANCE_MM),
        )
    if len(overlapping) > _MEASURED_OVERLAPS:
        further = len(overlapping) - _MEASURED_OVERLAPS
        yield Finding("overlap", f"{further} further pairs of placements overlap.")
    if gap_mm <= TOLERANCE_MM:
        return
    near = _pairs(tree.query(regions, predicate="dwithin", distance=gap_mm - TOLERANCE_MM))
    for i, j in sorted(near - overlapping):
        yield Finding(
            "gap",
            f"{laid[i].label} and {laid[j].label} lie "
            + exact(regions[i].distance(regions[j]))
            + " apart; "
            + exact(gap_mm)
            + " is to be kept.",
        )


def _pairs(found: NDArray[np.int64]) -> set[tuple[int, int]]:
    return {(min(i, j), max(i, j)) for i, j in found.T.tolist() if i != j}


def _depth_mm(one: Polygon, other: Polygon) -> float:
    """How deep the deepest point of either lies in the other, to a thousandth."""
    shallow, deep = 0.0, math.sqrt(max(one.area, other.area))
    while deep - shallow > TOLERANCE_MM / 4:
        middle = (shallow + deep) / 2
        inside = one.buffer(-middle).intersects(other) or other.buffer(-middle).intersects(one)
        shallow, deep = (middle, deep) if inside else (shallow, middle)
    return shallow
