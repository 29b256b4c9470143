"""The verifier's account of fold edges: what a piece opens out to, and where its edges must lie."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from shapely.geometry import Polygon

from nesting.verify.shape import (
    TOLERANCE_MM,
    Laid,
    Points,
    Strip,
    allowing,
    carried,
    lies_across,
    same_region,
)
from pieces.piece import Finding, Piece
from pieces.wording import exact


def fold_edges(piece: Piece) -> list[Points]:
    """The edges of a piece that may lie on folds, each as two points."""
    edges = (piece.on_fold, piece.second_fold)
    return [np.asarray(edge, dtype=np.float64) for edge in edges if edge is not None]


def opened_out(piece: Piece, held: Sequence[int] = ()) -> Points:
    """A piece's corners, opened out about all its fold edges but those `held`, by number."""
    corners, edges = np.asarray(piece.outline, dtype=np.float64), fold_edges(piece)
    for number, edge in enumerate(edges):
        if number in held:
            continue
        corners = _opened_about(corners, edge)
        # The other edge goes on as far beyond.
        for other in range(number + 1, len(edges)):
            far = max(edges[other], key=lambda end: abs(float(_off(end, edge))))
            image = far - 2 * _off(far, edge) * _normal(edge)
            edges[other] = np.array([image, far])
    return corners


def _normal(edge: Points) -> Points:
    (x0, y0), (x1, y1) = edge
    return np.array([y0 - y1, x1 - x0]) / math.hypot(x1 - x0, y1 - y0)


def _off(point: Points, edge: Points) -> np.float64:
    """How far a point lies off the line of an edge."""
    return np.float64((point - edge[0]) @ _normal(edge))


def _opened_about(corners: Points, edge: Points) -> Points:
    """The corners together with their image beyond an edge, which is no longer among them."""
    (tail, head), across = edge, _normal(edge)
    ends = [int(np.argmin(np.linalg.norm(corners - end, axis=1))) for end in (tail, head)]
    rolled = np.roll(corners, -ends[0], axis=0)
    stop = (ends[1] - ends[0]) % len(corners)
    ways = (rolled[: stop + 1], np.vstack([rolled[stop:], rolled[:1]]))
    half = max(ways, key=lambda way: float(np.abs((way - tail) @ across).max()))
    inner = half[1:-1]
    image: Points = inner - 2 * np.outer((inner - tail) @ across, across)
    return np.vstack([half, image[::-1]])


def shape_findings(laid: Laid) -> Iterator[Finding]:
    """Whether the outline is the piece's own, mirrored, turned and shifted as stated."""
    meant = Polygon(carried(opened_out(laid.piece, _held(laid)), laid.placement))
    if not same_region(laid.region, meant, TOLERANCE_MM):
        off_mm = laid.region.hausdorff_distance(meant)
        yield Finding(
            "shape",
            f"{laid.label}: its outline lies up to "
            + exact(off_mm)
            + " from the piece's own as mirrored, turned and shifted"
            + allowing(TOLERANCE_MM),
        )
    if abs(laid.region.area - meant.area) > TOLERANCE_MM * meant.length:
        yield Finding(
            "area",
            f"{laid.label}: covers {laid.region.area:.1f} mm², the piece has {meant.area:.1f} mm².",
        )


def _held(laid: Laid) -> list[int]:
    """The fold edges, by number, about which a placement says that it isn't opened out.

    Of two, that is the one which runs as the fold does: along the cloth, or across it.
    """
    edges = fold_edges(laid.piece)
    if not laid.placement.unfolded:
        return list(range(len(edges)))
    if not laid.placement.on_fold or len(edges) < 2:
        return []
    axis = 1 if laid.cloth.strip_of(laid.placement).folded else 0
    strays = [float(np.ptp(carried(edge, laid.placement)[:, axis])) for edge in edges]
    return [strays.index(min(strays))]


def fold_findings(laid: Laid, strip: Strip) -> Iterator[Finding]:
    """Whether a piece drawn for the fold lies on it, or opened out where there is none."""
    placement, edges = laid.placement, fold_edges(laid.piece)
    stated = (placement.on_fold, placement.unfolded, placement.in_corner)
    wanted = _folds_wanted(laid, strip)
    if stated != wanted:
        yield Finding(
            "fold",
            f"{laid.label}: {_fold_words(*stated)}; it should be {_fold_words(*wanted)}.",
        )
    if not placement.on_fold:
        return
    along_mm = strip.high_mm if strip.fold_high else strip.low_mm
    for number in _held(laid):
        ends = carried(edges[number], placement)
        across = lies_across(laid)
        if placement.in_corner:
            across = bool(np.ptp(ends[:, 0]) < np.ptp(ends[:, 1]))
        off = ends[:, 0] - laid.cloth.begins_mm if across else ends[:, 1] - along_mm
        off_mm = float(np.abs(off).max())
        if off_mm > TOLERANCE_MM:
            yield Finding(
                "off-fold",
                f"{laid.label}: its fold edge lies "
                + exact(off_mm)
                + " off the fold"
                + allowing(TOLERANCE_MM),
            )


def _folds_wanted(laid: Laid, strip: Strip) -> tuple[bool, bool, bool]:
    """Whether it is to lie on a fold, opened out, and in the corner of two folds.

    On a quarter fold a piece drawn for two folds lies in the corner or on the one along the cloth.
    Beside a crosswise fold a piece drawn for one lies opened out, or on it.
    """
    edges, holds = len(fold_edges(laid.piece)), laid.cloth.holds
    if edges == 2 and holds and strip.folded and laid.placement.in_corner:
        return True, False, True
    on_fold = edges > 0 and (strip.folded or (holds and laid.placement.on_fold))
    return on_fold, edges == 2 or (edges == 1 and not on_fold), False


def _fold_words(on_fold: bool, unfolded: bool, in_corner: bool) -> str:
    if in_corner:
        return "in the corner of the folds" + (" and opened out" if unfolded else "")
    if on_fold:
        return "on the fold and opened out" if unfolded else "on the fold"
    return "opened out" if unfolded else "neither on the fold nor opened out"
