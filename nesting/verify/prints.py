"""The verifier's own account of prints: where each part shows which place of the repeat.

All is reckoned on the flat cloth after the wash: x from the cut end, y from inside the lower
selvedge, each part of cloth in whichever layer it lies.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nesting.fabric.fabric import Edge, Fabric
from nesting.fabric.marker import Marker
from nesting.verify.flaws import Affine, ways_to_flat
from nesting.verify.shape import TOLERANCE_MM, Laid, carried
from pieces.piece import Finding, GrainRule, Mark, Piece
from pieces.wording import exact

MEETS_MM = 1.0
"""Lines of a print that lie no further apart at a seam meet; common practice."""
_AXES = ("along", "across")


@dataclass(frozen=True, slots=True)
class _Shown:
    """One place of one point of a part, on an axis of the flat cloth."""

    label: str
    axis: int
    place_mm: float


def _periods(fabric: Fabric) -> tuple[float, float]:
    if fabric.repeat is None:
        return 0.0, 0.0
    return (
        fabric.repeat.length_mm * (1 - fabric.shrinkage_length),
        fabric.repeat.width_mm * (1 - fabric.shrinkage_width),
    )


def _along_axis(piece: Piece) -> int:
    """The axis of the cloth along which the grain of a piece that meets a print runs."""
    return 1 if piece.grain_rule is GrainRule.CROSSWISE else 0


def lies_one_way(piece: Piece, fabric: Fabric) -> bool:
    """Whether a piece meets the print at a height along its grain: then only one way up."""
    wanted = {*piece.match, *piece.motif}
    heights = any(mark.along and mark.name in wanted for mark in piece.marks)
    return heights and _periods(fabric)[_along_axis(piece)] > 0


def print_findings(laid: Sequence[Laid], fabric: Fabric, marker: Marker) -> Iterator[Finding]:
    """Whether the print meets where it is asked to, motifs are centred and hems on the border."""
    parts = [(one, way) for one in laid for way in ways_to_flat(one, marker)]
    meeting: dict[_Key, list[_Shown]] = defaultdict(list)
    motifs: dict[int, list[_Shown]] = defaultdict(list)
    for one, way in (part for part in parts if not _is_other_half(*part)):
        for mark in one.piece.marks:
            for shown in _shown(one, mark, way, fabric):
                if mark.name in one.piece.match:
                    meeting[_key(one.piece, mark, shown)].append(shown)
                if mark.name in one.piece.motif:
                    motifs[shown.axis].append(shown)
    for key, places in meeting.items():
        yield from _meeting_findings(key[2], places, fabric)
    for axis, places in motifs.items():
        yield from _motif_findings(axis, places, fabric)
    yield from _upward_findings(parts, fabric)
    for one, way in parts:
        if one.piece.border:
            yield from _border_findings(one, way, fabric)


def _is_other_half(laid: Laid, way: Affine) -> bool:
    """Whether a layer is the half of a piece beyond its fold, where its points are not drawn.

    So it is where the piece lies opened out: its points are those of the half that is drawn.
    """
    return laid.placement.on_fold and way[3] < 0


_Key = tuple[str, int, str, int]
"""Garment, the axis along which its grain runs, name of the point, and the axis that counts."""


def _key(piece: Piece, mark: Mark, shown: _Shown) -> _Key:
    return piece.garment, _along_axis(piece), mark.name, shown.axis


def _shown(laid: Laid, mark: Mark, way: Affine, fabric: Fabric) -> Iterator[_Shown]:
    """The places of a point that count, on those axes on which the print repeats."""
    along = _along_axis(laid.piece)
    spot = _flat(carried(np.array([mark.at]), laid.placement)[0], way)
    for axis, counts in ((along, mark.along), (1 - along, mark.across)):
        if counts and _periods(fabric)[axis] > 0:
            yield _Shown(laid.label, axis, spot[axis])


def _flat(point: Sequence[float] | NDArray[np.float64], way: Affine) -> tuple[float, float]:
    a, b, c, d, e, f = way
    x, y = float(point[0]), float(point[1])
    return a * x + b * y + e, c * x + d * y + f


def _thread_deg(laid: Laid, way: Affine) -> float:
    """Where the thread of a part runs on the flat cloth."""
    tail, head = (_flat(point, way) for point in carried(laid.piece.grain, laid.placement))
    return math.degrees(math.atan2(head[1] - tail[1], head[0] - tail[0]))


def _apart_mm(one: float, other: float, period_mm: float) -> float:
    return abs(math.remainder(one - other, period_mm))


def _meeting_findings(name: str, places: Sequence[_Shown], fabric: Fabric) -> Iterator[Finding]:
    first = places[0]
    period_mm = _periods(fabric)[first.axis]
    for other in places[1:]:
        apart_mm = _apart_mm(first.place_mm, other.place_mm, period_mm)
        if apart_mm > MEETS_MM:
            yield Finding(
                "match",
                f"{first.label} and {other.label}: at '{name}' the print lies "
                + exact(apart_mm)
                + f" apart {_AXES[first.axis]} the cloth; its repeat is "
                + exact(period_mm)
                + ".",
            )


def _motif_findings(axis: int, places: Sequence[_Shown], fabric: Fabric) -> Iterator[Finding]:
    """Across, motifs stand where the order says; along, all on the same place of the repeat."""
    assert fabric.repeat is not None
    wanted_mm = places[0].place_mm
    if axis == 1:
        from_edge_mm = fabric.repeat.from_edge_mm
        bought_mm = fabric.width_mm / 2 if from_edge_mm is None else from_edge_mm
        wanted_mm = (bought_mm - fabric.selvedge_mm) * (1 - fabric.shrinkage_width)
    for shown in places:
        apart_mm = _apart_mm(shown.place_mm, wanted_mm, _periods(fabric)[axis])
        if apart_mm > MEETS_MM:
            yield Finding(
                "motif",
                f"{shown.label}: lies "
                + exact(apart_mm)
                + f" off the middle of a motif {_AXES[axis]} the cloth.",
            )


def _upward_findings(
    parts: Sequence[tuple[Laid, Affine]], fabric: Fabric
) -> Iterator[Finding]:  # fmt: skip
    """Whether the matched parts of each garment lie the same way up."""
    first: dict[tuple[str, int], tuple[str, float]] = {}
    for one, way in parts:
        if not lies_one_way(one.piece, fabric):
            continue
        thread = _thread_deg(one, way)
        key = (one.piece.garment, _along_axis(one.piece))
        label, wanted = first.setdefault(key, (one.label, thread))
        if abs(math.remainder(thread - wanted, 360.0)) > 1e-6:
            yield Finding(
                "print-way",
                f"{label} lies at {wanted:g} degrees on the flat cloth and {one.label} at "
                f"{thread:g}; a print meets between pieces only where they lie the same way.",
            )


def _border_findings(laid: Laid, way: Affine, fabric: Fabric) -> Iterator[Finding]:
    if fabric.border is None:
        yield Finding("border", f"{laid.label}: asks for a border, and the cloth has none.")
        return
    kept = 1 - fabric.shrinkage_width
    usable_mm = (fabric.width_mm - 2 * fabric.selvedge_mm) * kept
    ys = [_flat(point, way)[1] for point in laid.placement.outline_mm]
    thread = _thread_deg(laid, way)
    lower = abs(math.remainder(thread - 90.0, 360.0)) <= 1e-6
    upper = abs(math.remainder(thread + 90.0, 360.0)) <= 1e-6
    off_mm = min(ys) if lower else usable_mm - max(ys)
    has = (Edge.LOWER, Edge.BOTH) if lower else (Edge.UPPER, Edge.BOTH)
    if not (lower or upper) or fabric.border.edge not in has:
        yield Finding(
            "border",
            f"{laid.label}: its hem lies along no border of the cloth; its grain runs at "
            f"{thread:g} degrees.",
        )
    elif off_mm > fabric.edge_gap_mm + TOLERANCE_MM:
        yield Finding(
            "border",
            f"{laid.label}: its hem lies "
            + exact(off_mm)
            + " from the selvedge of the border; "
            + exact(fabric.edge_gap_mm)
            + " is to be kept, and no more.",
        )
    elif off_mm + laid.piece.hem_mm > fabric.border.depth_mm * kept + MEETS_MM:
        yield Finding(
            "border",
            f"{laid.label}: its finished hem lies "
            + exact(off_mm + laid.piece.hem_mm)
            + " from the selvedge; the border is "
            + exact(fabric.border.depth_mm * kept)
            + " deep.",
        )
