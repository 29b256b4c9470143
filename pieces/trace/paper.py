"""The edges of paper on a table, in a photograph: to a fraction of a pixel.

Paper and table are told apart by colour, whichever is darker. Each point of a rough edge is then
moved along its normal to where the picture is halfway between the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pieces.errors import OrderFault
from pieces.trace.board import opencv
from pieces.trace.camera import Points
from pieces.trace.photo import Picture, refused
from pieces.wording import either

_SMALL = 1400
"""The rough edge is sought in a picture no wider."""
_LEAST_SHARE = 0.004
"""Of the picture; smaller things are pins and tape."""
_LEAST_CONTRAST = 22.0
_LEAST_ALIKE = 0.2
"""Of the way from the table's colour to a piece's own: what is nearer to the table is no paper."""
_WEAK = 0.25
"""An edge with less of a step than this share of the usual one is that of a patch or a shadow."""
_REACH = 7
"""Pixels to both sides of the rough edge, at the size of the small picture, where it may lie."""
_WIDEST_GAP = 2.0
"""Of that reach: an edge is not drawn across a wider one."""
_STEPS = 4
"""Samples to a pixel along a normal."""
_DARKEST = 0.5
"""Of the table's light; a shadow indoors leaves more."""
_LIGHTEST = 1.5
"""Of the light that the rim of the picture has, some of which may lie in shadow."""
_SHADE = 0.6
"""How much of a difference in brightness counts: shadows are one, paper seldom only one."""


@dataclass(frozen=True, slots=True)
class Edge:
    """The edge of one piece of paper: points in pixels in their order round it, and its width.

    `real` tells which of them are its own and not where the picture ends; `soft_px` is over how
    many pixels the picture goes from a fifth to four fifths of the step.
    """

    pixels: Points
    real: NDArray[np.bool_]
    soft_px: float


def edges_of(
    picture: Picture, sheets: Sequence[Points], path: Path, *, whole: bool = True
) -> list[Edge]:
    """Every piece of paper on the table but the sheets, whose rims are given in pixels.

    Raises
    ------
    OrderFault : there is none, it looks like the table, or, if it is to be `whole`, runs out of the
        picture
    """
    cv2: Any = opencv()
    shrink = min(1.0, _SMALL / max(picture.shape[:2]))
    small = cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    cover = np.zeros(small.shape[:2], np.uint8)
    for rim in sheets:
        cv2.fillPoly(cover, [np.round(rim * shrink).astype(np.int32)], 255)
    rings = _rings(_rough(small, cover, path))
    if any(_runs_out(ring, cover.shape) for ring in rings):
        rings = _in_shadow(small, cover, path) or rings
    if not rings:
        raise refused(
            path,
            "No piece of paper is found on the table.",
            "Lay the pieces beside the sheet, on a table or cloth that is much darker or lighter "
            "than they are.",
        )
    if whole and any(_runs_out(ring, cover.shape) for ring in rings):
        raise refused(
            path,
            "A piece runs out of the picture, or a shadow does that looks like one.",
            "Take the photograph from farther away, with table all round every piece and in even "
            "light; or take several, each with a sheet that another shows too, and "
            + either("join them with --join.", "choose them all."),
        )
    edges = [_fine(picture, (ring + 0.5) / shrink - 0.5, shrink) for ring in rings]
    if any(_gap(edge) > _WIDEST_GAP * _REACH / shrink for edge in edges):
        raise refused(
            path,
            "A part of a piece's edge can't be told from the table, by a shadow or a bright patch.",
            "Lay the pieces on a plain table or cloth that is much darker or lighter, in even "
            "light, without glare.",
        )
    return edges


def _rings(rough: NDArray[np.uint8]) -> list[NDArray[np.int32]]:
    """The rough edges of what is large enough to be a piece."""
    cv2: Any = opencv()
    found, _ = cv2.findContours(rough, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    least = _LEAST_SHARE * rough.size
    return [ring.reshape(-1, 2) for ring in found if cv2.contourArea(ring) >= least]


def _gap(edge: Edge) -> float:
    """The farthest from one point of an edge to the next, in pixels, but where the picture ends."""
    apart = np.hypot(*(np.roll(edge.pixels, -1, axis=0) - edge.pixels).T)
    between = edge.real & np.roll(edge.real, -1)
    return float(np.max(apart[between], initial=0.0))


def _runs_out(ring: NDArray[np.int32], shape: tuple[int, ...]) -> bool:
    tall, wide = shape
    high = ring.max(axis=0)
    return bool(ring.min() <= 1 or high[0] >= wide - 2 or high[1] >= tall - 2)


def _in_shadow(
    small: Picture, cover: NDArray[np.uint8], path: Path
) -> list[NDArray[np.int32]] | None:
    """The rough edges where a shadow over the table is taken for table; None if they run out, too.

    A shadow darkens all colours of the table alike, and paper of another colour does not.
    """
    try:
        rings = _rings(_rough(_lit(small, cover), cover, path))
    except OrderFault:
        return None
    return None if not rings or any(_runs_out(ring, cover.shape) for ring in rings) else rings


def _lit(small: Picture, cover: NDArray[np.uint8]) -> Picture:
    """The picture with what may be table, in shadow or in the light, as bright as all of it."""
    seen = small.astype(np.float32)
    table = _table(seen, cover)
    share = np.sum(seen * table, axis=2) / np.maximum(np.sum(table * table, axis=2), 1.0)
    share = np.clip(share, _DARKEST, _LIGHTEST)[:, :, None]
    result: Picture = np.clip(seen / share, 0, 255).astype(np.uint8)
    return result


def _rough(small: Picture, cover: NDArray[np.uint8], path: Path) -> NDArray[np.uint8]:
    """Where paper is, in the small picture: 255, else 0."""
    cv2: Any = opencv()
    lab = cv2.cvtColor(cv2.GaussianBlur(small, (0, 0), 1.5), cv2.COLOR_BGR2LAB).astype(np.float32)
    lab[:, :, 0] *= _SHADE
    table = _table(lab, cover)
    off = np.linalg.norm(lab - table, axis=2)
    off[cover > 0] = 0
    scaled = np.clip(off * 2, 0, 255).astype(np.uint8)
    level, _ = cv2.threshold(scaled[cover == 0].reshape(1, -1), 0, 255, cv2.THRESH_OTSU)
    mask = np.where(scaled > level, 255, 0).astype(np.uint8)
    inside, outside = off[(mask > 0) & (cover == 0)], off[(mask == 0) & (cover == 0)]
    if len(inside) == 0 or np.median(inside) - np.median(outside) < _LEAST_CONTRAST * _SHADE:
        raise refused(
            path,
            "Paper and table can't be told apart.",
            "Lay the pieces on a table or cloth that is much darker or lighter than they are, and "
            "plain, without a strong shadow over them.",
        )
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5))
    mask = cv2.morphologyEx(mask, cv2.MORPH_OPEN, kernel)
    mask = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, kernel)
    mask = cv2.morphologyEx(_like_itself(mask, lab - table), cv2.MORPH_OPEN, kernel)
    near = cv2.dilate(cover, np.ones((9, 9), np.uint8))
    return _without_touching(mask, near)


def _like_itself(mask: NDArray[np.uint8], off: NDArray[np.float32]) -> NDArray[np.uint8]:
    """The mask without what is off the table's colour another way than the piece that it touches.

    So a bright patch of a light table doesn't grow onto the edge of darker paper. Paper in shadow
    is off the same way, only less.
    """
    cv2: Any = opencv()
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask)
    for label in range(1, count):
        if stats[label, cv2.CC_STAT_AREA] < _LEAST_SHARE * mask.size:
            continue
        own = labels == label
        usual = np.median(off[own], axis=0)
        share = off[own] @ usual / max(float(usual @ usual), 1.0)
        mask[own] = np.where(share > _LEAST_ALIKE, 255, 0)
    return mask


def _without_touching(mask: NDArray[np.uint8], near: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The mask without what is left of the sheets' own rims."""
    cv2: Any = opencv()
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask)
    for label in range(1, count):
        own = labels == label
        if np.count_nonzero(near[own]) > 0.5 * stats[label, cv2.CC_STAT_AREA]:
            mask[own] = 0
    return mask


def _table(lab: NDArray[np.float32], cover: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The table's colour all over the picture: a plane through what its rim shows.

    So light that falls off from one side to the other does no harm.
    """
    tall, wide = cover.shape
    band = max(4, min(tall, wide) // 25)
    rim = np.zeros(cover.shape, bool)
    rim[:band] = rim[-band:] = True
    rim[:, :band] = rim[:, -band:] = True
    rim &= cover == 0
    rows, columns = np.nonzero(rim)
    values = lab[rows, columns]
    middle = np.median(values, axis=0)
    spread = np.linalg.norm(values - middle, axis=1)
    kept = spread <= max(12.0, 2 * float(np.median(spread)))
    base = np.stack([np.ones(kept.sum()), columns[kept] / wide, rows[kept] / tall], axis=1)
    slopes, *_ = np.linalg.lstsq(base, values[kept], rcond=None)
    x, y = np.arange(wide) / wide, np.arange(tall) / tall
    plane = slopes[0] + x[None, :, None] * slopes[1] + y[:, None, None] * slopes[2]
    result: NDArray[np.float32] = plane.astype(np.float32)
    return result


def _fine(picture: Picture, ring: Points, shrink: float) -> Edge:
    """A rough ring moved to where the picture steps from table to paper."""
    cv2: Any = opencv()
    smooth, normals = _normals(_evenly(ring, 2.0), 9)
    reach = _REACH / shrink
    along = np.arange(-reach, reach + 1e-6, 1 / _STEPS)
    spots = smooth[:, None, :] + along[None, :, None] * normals[:, None, :]
    maps = spots.astype(np.float32)
    seen = _sampled(cv2, picture, maps)
    third = len(along) // 4
    inner, outer = np.median(seen[:, :third], axis=1), np.median(seen[:, -third:], axis=1)
    step = inner - outer
    share = np.einsum("nkc,nc->nk", seen - outer[:, None, :], step)
    share /= np.maximum(np.sum(step**2, axis=1), 1e-6)[:, None]
    at = _crossing(share, along, 0.5)
    soft = np.abs(_crossing(share, along, 0.2) - _crossing(share, along, 0.8))
    strength = np.linalg.norm(step, axis=1)
    known = np.isfinite(at) & (strength > _WEAK * np.median(strength))
    pixels = smooth + np.where(known, at, 0.0)[:, None] * normals
    tall, wide = picture.shape[:2]
    inside = np.all((smooth > reach) & (smooth < np.array([wide, tall]) - reach), axis=1)
    kept = known | ~inside
    return Edge(pixels[kept], (known & inside)[kept], float(np.nanmedian(soft)))


def _sampled(cv2: Any, picture: Picture, maps: NDArray[np.float32]) -> NDArray[np.float64]:
    """The picture along all normals; in parts, as a map may be no higher than 32,767."""
    parts = [
        cv2.remap(
            picture, part[:, :, 0], part[:, :, 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        for part in np.array_split(maps, max(1, len(maps) // 16_000 + 1))
    ]
    result: NDArray[np.float64] = np.concatenate(parts).astype(float)
    return result


def _crossing(share: Any, along: Any, level: float) -> NDArray[np.float64]:
    """Where each profile, from inside to outside, falls through a level, nearest to the middle."""
    before, after = share[:, :-1], share[:, 1:]
    falls = (before >= level) & (after < level)
    place = along[:-1] + (before - level) / np.maximum(before - after, 1e-9) * (1 / _STEPS)
    place = np.where(falls, place, np.nan)
    away = np.where(falls, np.abs(place), np.inf)
    best = np.argmin(away, axis=1)
    result: NDArray[np.float64] = np.take_along_axis(place, best[:, None], axis=1)[:, 0]
    return result


def _evenly(ring: Points, step: float) -> Points:
    """Points round a ring at even steps."""
    closed = np.concatenate([ring, ring[:1]])
    gone = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    count = max(16, int(gone[-1] / step))
    at = np.linspace(0, gone[-1], count, endpoint=False)
    return np.stack([np.interp(at, gone, closed[:, i]) for i in (0, 1)], axis=1)


def _normals(ring: Points, half: int) -> tuple[Points, Points]:
    """A ring smoothed over its neighbours, and the way out of it at each point."""
    window = np.hanning(2 * half + 1)
    window /= window.sum()
    wrapped = np.concatenate([ring[-half:], ring, ring[:half]])
    smooth = np.stack([np.convolve(wrapped[:, i], window, "valid") for i in (0, 1)], axis=1)
    ahead, behind = np.roll(smooth, -3, axis=0), np.roll(smooth, 3, axis=0)
    way = ahead - behind
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    x, y = smooth[:, 0], smooth[:, 1]
    turning = np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)
    outward = np.stack([way[:, 1], -way[:, 0]], axis=1) * (1 if turning > 0 else -1)
    return smooth, outward
