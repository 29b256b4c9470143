"""Placements and markers made by hand, point by point, for the verifier to judge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from nesting.fabric.fabric import Fabric
from nesting.fabric.marker import Marker, Placement
from nesting.verify.judge import verify
from pieces.piece import Outline, Piece
from tests.nesting.rules.rules_shapes import HALF_FRONT, LOPSIDED, STRIP, WHOLE_FRONT
from tests.nesting.rules.rules_table import FOLD, OPEN, Way


def moved(outline: Outline, way: Way, x_mm: float = 0.0, y_mm: float = 0.0) -> Outline:
    """An outline mirrored, turned and shifted, point by point."""
    turn, mirrored = math.radians(way[0]), way[1]
    flip = -1 if mirrored else 1
    return tuple(
        (
            x * math.cos(turn) - flip * y * math.sin(turn) + x_mm,
            x * math.sin(turn) + flip * y * math.cos(turn) + y_mm,
        )
        for x, y in outline
    )


def low_left(outline: Outline) -> tuple[float, float]:
    return min(x for x, _ in outline), min(y for _, y in outline)


def right(outline: Outline) -> float:
    return max(x for x, _ in outline)


def placed(
    piece: Piece,
    outline: Outline,
    corner: tuple[float, float],
    *,
    way: Way = (0.0, False),
    copy: int = 1,
    gives: tuple[int, int, int] = (1, 0, 1),
    on_fold: bool = False,
    unfolded: bool = False,
) -> Placement:
    """A placement with the lower left of its box at `corner`; `gives` yields, spare, layers."""
    left, low = low_left(moved(outline, way))
    x_mm, y_mm = corner[0] - left, corner[1] - low
    yields, spare, layers = gives
    return Placement(
        garment=piece.garment,
        piece=piece.name,
        copy=copy,
        yields=yields,
        spare=spare,
        layers=layers,
        section="main",
        band=0,
        on_fold=on_fold,
        unfolded=unfolded,
        turn_deg=way[0],
        mirrored=way[1],
        x_mm=x_mm,
        y_mm=y_mm,
        grain_deg=way[0],
        outline_mm=moved(outline, way, x_mm, y_mm),
    )


def shifted(placement: Placement, dx_mm: float, dy_mm: float) -> Placement:
    return replace(
        placement,
        x_mm=placement.x_mm + dx_mm,
        y_mm=placement.y_mm + dy_mm,
        outline_mm=tuple((x + dx_mm, y + dy_mm) for x, y in placement.outline_mm),
    )


def codes(fabric: Fabric, pieces: Sequence[Piece], marker: Marker) -> set[str]:
    return {finding.code for finding in verify(fabric, pieces, marker)}


CLOTH = Fabric("sateen", 220.0, selvedge_mm=5.0)
SLEEVE = Piece("sleeve", "sateen", LOPSIDED, ((10, 10), (50, 10)), pair=True, garment="Ada")
FRONT = Piece(
    "front",
    "sateen",
    HALF_FRONT,
    ((10, 10), (50, 10)),
    on_fold=((0.0, 0.0), (100.0, 0.0)),
    garment="Ada",
)
BAND = Piece("band", "sateen", STRIP, ((0, 0), (200, 0)), cut=2, garment="Ada")
PIECES = (SLEEVE, FRONT, BAND)


def folded_marker(gap_mm: float = 0.0, edge_mm: float = 0.0) -> Marker:
    """The front on the fold, sleeves beside it, bands above: 200 mm of double cloth."""
    x_mm = edge_mm + 100 + gap_mm
    front = placed(FRONT, HALF_FRONT, (edge_mm, 0), gives=(1, 0, 2), on_fold=True)
    sleeve = placed(SLEEVE, LOPSIDED, (x_mm, gap_mm / 2), gives=(2, 0, 2))
    bands = placed(BAND, STRIP, (edge_mm, 50 + gap_mm), gives=(2, 0, 2))
    length_mm = max(x_mm + 90, edge_mm + 200) + edge_mm
    return Marker("sateen", FOLD, length_mm, (front, sleeve, bands))


def open_marker() -> Marker:
    """The same, unfolded, one placement a part."""
    front = placed(FRONT, WHOLE_FRONT, (0, 0), unfolded=True)
    left = placed(SLEEVE, LOPSIDED, (100, 0))
    other = placed(SLEEVE, LOPSIDED, (100, 40), way=(0.0, True), copy=2)
    upper = placed(BAND, STRIP, (0, 100))
    lower = placed(BAND, STRIP, (0, 120), way=(180.0, False), copy=2)
    return Marker("sateen", OPEN, 200.0, (front, left, other, upper, lower))


def changed(marker: Marker, index: int, placement: Placement) -> Marker:
    entries = list(marker.placements)
    entries[index] = placement
    return replace(marker, placements=tuple(entries))
