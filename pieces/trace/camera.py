"""From places in a photograph to places on the table, and how well that is known.

A pixel is first moved along its ray from the middle of the picture by the lens's distortion, then
by a homography to the plane of the table (Hartley and Zisserman, Multiple View Geometry, 2.3 and
7.4). All that is fitted at once to the corners of the sheets, of all photographs of one table;
where further sheets lie is fitted with it. The covariance of the fit, from the corners' own
residuals, tells how far off a place may be, which grows with its distance from the sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
"""An array of shape (n, 2)."""
_LENSES = 2
_PRIOR = (0.05, 0.02)
"""How much distortion, at the picture's corner, a lens is thought to have before it is seen."""
_VIEW = _LENSES + 8
"""Values of a view: of its lens, and of its homography."""
_PLACE = 3
"""Values of a sheet: its turn, and where its corner lies."""
_BESIDE = 1.3
"""Of the way from the middle of a picture to its corners; beyond it no lens is followed."""
_ROUNDS = 20
"""Of an iteration that gains a digit or more in each, for any lens that is let through."""


@dataclass(frozen=True, slots=True)
class Seen:
    """The corners of one sheet: in the picture, in pixels, and on the sheet, in mm.

    `sheet` is its number: the same sheet in several photographs lies in one place.
    """

    sheet: int
    pixels: Points
    sheet_mm: Points


@dataclass(frozen=True)
class View:
    """A photograph: its width and height in pixels, and the sheets in it."""

    size: tuple[int, int]
    seen: Sequence[Seen]


@dataclass(frozen=True)
class Camera:
    """A fitted view of the table.

    Attributes
    ----------
    size : width and height of the picture in pixels
    values : distortion (2), homography (8)
    covariance : of the values
    rms_mm : root mean square of the corners' residuals, on the sheets
    """

    size: tuple[int, int]
    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    rms_mm: float

    def on_table(self, pixels: Points) -> Points:
        """Where pixels lie on the table, mm, in the first sheet's axes (y downwards)."""
        return _mapped(self.values, _normalised(pixels, self.size))

    def in_picture(self, table_mm: Points) -> Points:
        """Where places on the table lie in the picture, in pixels."""
        straight = self._straight(table_mm)
        at = straight.copy()
        for _ in range(_ROUNDS):
            r2 = np.sum(at**2, axis=1, keepdims=True)
            at = straight / (1 + self.values[0] * r2 + self.values[1] * r2**2)
        middle = (np.array(self.size, dtype=float) - 1) / 2
        result: Points = at * np.hypot(*middle) + middle
        return result

    def may_show(self, table_mm: Points) -> bool:
        """Whether some of these places lie in the picture, or not far beside it."""
        return bool(np.min(np.linalg.norm(self._straight(table_mm), axis=1)) < _BESIDE)

    def _straight(self, table_mm: Points) -> Points:
        """Where places would lie, from the middle of the picture, without distortion."""
        a, b, c, d, e, f, g, h = self.values[_LENSES:]
        back = np.linalg.inv(np.array([[a, b, c], [d, e, f], [g, h, 1.0]]))
        flat = np.concatenate([table_mm, np.ones((len(table_mm), 1))], axis=1) @ back.T
        result: Points = flat[:, :2] / flat[:, 2:]
        return result

    def off_mm(self, pixels: Points) -> NDArray[np.float64]:
        """How far off those places may be: one standard deviation."""
        at = _normalised(pixels, self.size)
        slopes = _slopes(lambda values: _mapped(values, at).ravel(), self.values)
        slopes = slopes.reshape(len(pixels), 2, -1)
        spread = np.einsum("nij,jk,nik->n", slopes, self.covariance, slopes)
        result: NDArray[np.float64] = np.sqrt(np.maximum(spread, 0.0))
        return result

    def stretch(self, pixels: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The least and the greatest mm that a pixel covers, along any direction, at places."""
        base = self.on_table(pixels)
        along = self.on_table(pixels + np.array([1.0, 0.0])) - base
        down = self.on_table(pixels + np.array([0.0, 1.0])) - base
        sizes = np.linalg.svd(np.stack([along, down], axis=-1), compute_uv=False)
        return sizes[:, 1], sizes[:, 0]


Places = dict[int, NDArray[np.float64]]
"""Where each sheet lies on the table: its turn in radians, and its corner, mm."""


def fitted(views: Sequence[View]) -> tuple[list[Camera], Places]:
    """The cameras that see these sheets, all at once; the very first sheet gives the axes.

    Raises
    ------
    LookupError : with the place of a view that shares no sheet with the others
    """
    from scipy.optimize import least_squares  # takes a while to load

    own, places = _started(views)
    order = {sheet: _VIEW * len(views) + _PLACE * rank for rank, sheet in enumerate(places)}
    start = np.concatenate([*own, *places.values()])
    spots = [[_normalised(one.pixels, view.size) for one in view.seen] for view in views]
    lenses = np.concatenate([_VIEW * i + np.arange(_LENSES) for i in range(len(views))])

    def parts(values: NDArray[np.float64]) -> list[NDArray[np.float64]]:
        found = []
        for i, view in enumerate(views):
            mine = values[_VIEW * i : _VIEW * (i + 1)]
            for at, one in zip(spots[i], view.seen, strict=True):
                place = order.get(one.sheet)
                moved = one.sheet_mm
                if place is not None:
                    moved = placed(values[place : place + _PLACE], one.sheet_mm)
                found.append((_mapped(mine, at) - moved).ravel())
        return found

    def off(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate(parts(values))

    # Distortion is held back by what lenses have; residuals are taken for a tenth of a millimetre.
    scales = np.tile(_PRIOR, len(views))

    def held(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate([off(values) / 0.1, values[lenses] / scales])

    found = least_squares(held, start, x_scale="jac", loss="soft_l1", f_scale=3.0)
    residuals = off(found.x)
    variance = float(residuals @ residuals) / max(1, len(residuals) - len(start))
    slopes = _slopes(off, found.x)
    prior = np.zeros(len(start))
    prior[lenses] = 1 / np.square(scales)
    # Corners of one square share what bends the paper, so that they tell less than their number.
    information = slopes.T @ slopes / (variance * _SHARED) + np.diag(prior)
    covariance: NDArray[np.float64] = np.asarray(np.linalg.pinv(information, hermitian=True), float)
    left = iter(parts(found.x))
    cameras = []
    for i, view in enumerate(views):
        mine = slice(_VIEW * i, _VIEW * (i + 1))
        here = np.concatenate([next(left) for _ in view.seen])
        rms = float(np.sqrt(2 * np.mean(here**2)))
        cameras.append(Camera(view.size, found.x[mine], covariance[mine, mine], rms))
    first = {views[0].seen[0].sheet: np.zeros(_PLACE)}
    return cameras, first | {one: found.x[at : at + _PLACE] for one, at in order.items()}


def _started(views: Sequence[View]) -> tuple[list[NDArray[np.float64]], Places]:
    """First guesses: of every view, and of where each sheet but the first lies."""
    first = views[0].seen[0].sheet
    own: dict[int, NDArray[np.float64]] = {}
    places = {first: np.zeros(_PLACE)}
    while len(own) < len(views):
        ready = next(
            (
                (i, one)
                for i, view in enumerate(views)
                for one in view.seen
                if i not in own and one.sheet in places
            ),
            None,
        )
        if ready is None:
            raise LookupError(next(i for i in range(len(views)) if i not in own))
        i, one = ready
        there = placed(places[one.sheet], one.sheet_mm)
        plane = _homography(_normalised(one.pixels, views[i].size), there)
        own[i] = np.concatenate([np.zeros(_LENSES), plane])
        for other in views[i].seen:
            if other.sheet not in places:
                places[other.sheet] = _place(own[i], other, views[i].size)
    del places[first]
    return [own[i] for i in range(len(views))], places


_SHARED = 1.5


def _normalised(pixels: Points, size: tuple[int, int]) -> Points:
    """Pixels from the middle of the picture, half its diagonal being 1."""
    middle = (np.array(size, dtype=float) - 1) / 2
    result: Points = (np.asarray(pixels, dtype=float) - middle) / np.hypot(*middle)
    return result


def _mapped(values: NDArray[np.float64], at: Points) -> Points:
    r2 = np.sum(at**2, axis=1, keepdims=True)
    straight = at * (1 + values[0] * r2 + values[1] * r2**2)
    a, b, c, d, e, f, g, h = values[_LENSES:_VIEW]
    x, y = straight[:, 0], straight[:, 1]
    depth = g * x + h * y + 1
    mapped: Points = np.stack([(a * x + b * y + c) / depth, (d * x + e * y + f) / depth], axis=1)
    return mapped


def placed(place: NDArray[np.float64], sheet_mm: Points) -> Points:
    """Places on a sheet, as they lie on the table."""
    turn, x, y = place
    cos, sin = np.cos(turn), np.sin(turn)
    result: Points = sheet_mm @ np.array([[cos, sin], [-sin, cos]]) + (x, y)
    return result


def _homography(at: Points, mm: Points) -> NDArray[np.float64]:
    """A first guess, by the direct linear transformation."""
    import cv2

    found, _ = cv2.findHomography(at, mm)
    matrix: Any = found / found[2, 2]
    result: NDArray[np.float64] = matrix.ravel()[:8]
    return result


def _place(own: NDArray[np.float64], seen: Seen, size: tuple[int, int]) -> NDArray[np.float64]:
    """A first guess of where a further sheet lies: its turn and its corner."""
    there = _mapped(own, _normalised(seen.pixels, size))
    centre, middle = there.mean(axis=0), seen.sheet_mm.mean(axis=0)
    a, b = seen.sheet_mm - middle, there - centre
    turn = np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b))
    cos, sin = np.cos(turn), np.sin(turn)
    corner = centre - middle @ np.array([[cos, sin], [-sin, cos]])
    return np.array([turn, *corner])


def _slopes(function: Any, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The derivative of a function by each value, by differences both ways."""
    columns = []
    for index in range(len(values)):
        step = 1e-6 * max(1.0, abs(values[index]))
        ahead, behind = values.copy(), values.copy()
        ahead[index] += step
        behind[index] -= step
        columns.append((function(ahead) - function(behind)) / (2 * step))
    return np.stack(columns, axis=-1)
