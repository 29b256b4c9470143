"""The printed sheets in a photograph: their corners, and what is wrong where they can't serve."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pieces.trace.board import COLUMNS, boards, opencv
from pieces.trace.camera import Camera, Places, Points, Seen, View, fitted
from pieces.trace.photo import Picture, refused
from pieces.wording import either

_LEAST_CORNERS = 30
_BENT_MM = 0.4
_SEARCHED = 2600
"""Markers are looked for in a picture no wider; their corners then in all of it."""
_OF_SQUARE = 0.11


def sheets_in(picture: Picture, path: Path, scale: float = 1.0) -> View:
    """The sheets that a photograph shows; `scale` is theirs as printed.

    Raises
    ------
    OrderFault : there is none, or too little of it is seen
    """
    cv2: Any = opencv()
    grey = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY)
    tall, wide = grey.shape
    shrink = min(1.0, _SEARCHED / max(grey.shape))
    small = cv2.resize(grey, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    seen = []
    most = 0
    markers, marked, _ = cv2.aruco.ArucoDetector(boards()[0].getDictionary()).detectMarkers(small)
    if marked is None:
        raise _unseen(path, 0)
    for sheet, board in enumerate(boards()):
        if not np.isin(marked, board.getIds()).any():
            continue
        corners, names, _, _ = cv2.aruco.CharucoDetector(board).detectBoard(
            small, None, None, markers, marked
        )
        count = 0 if names is None else len(names)
        most = max(most, count)
        if count < _LEAST_CORNERS:
            continue
        pixels = (corners.reshape(-1, 2) + 0.5) / shrink - 0.5
        pixels = np.ascontiguousarray(pixels, dtype=np.float32).reshape(-1, 1, 2)
        ends = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.002)
        # A window within the white rim that every marker has, as wide as can be.
        half = int(
            np.clip(
                _OF_SQUARE * _square_px(pixels.reshape(-1, 2).astype(float), names.ravel()), 3, 20
            )
        )
        cv2.cornerSubPix(grey, pixels, (half, half), (-1, -1), ends)
        places = np.asarray(board.getChessboardCorners())[names.ravel(), :2] * scale
        seen.append(Seen(sheet, pixels.reshape(-1, 2).astype(float), places.astype(float)))
    if not seen:
        raise _unseen(path, most)
    return View((wide, tall), seen)


def cameras(
    views: Sequence[View], paths: Sequence[Path], scale: float = 1.0
) -> tuple[list[Camera], Places]:
    """The cameras that took photographs of one table, by the sheets in them, and where these lie.

    Raises
    ------
    OrderFault : a sheet doesn't lie flat, or photographs have no sheet in common
    """
    try:
        found, places = fitted(views)
    except LookupError as error:
        raise refused(
            paths[error.args[0]],
            "It shows no sheet that the other photographs show, so it can't be joined to them.",
            "Lay the sheets so that each photograph shows one that another shows too, all of it, "
            "and leave them where they lie.",
        ) from error
    for camera, path in zip(found, paths, strict=True):
        if camera.rms_mm > _BENT_MM * scale:
            moved = "" if len(views) == 1 else ", or was moved between the photographs"
            raise refused(
                path,
                f"The corners of the sheet lie {camera.rms_mm:.1f} mm off a flat one: it is bent, "
                f"or the picture is blurred{moved}.",
                "Stick the sheet down flat, hold the camera still, and take it again in better "
                "light.",
            )
    return found, places


def _square_px(pixels: Points, names: NDArray[np.int32]) -> float:
    """The side of the squares in the picture, by corners that are neighbours in a row."""
    place = {int(name): pixel for name, pixel in zip(names, pixels, strict=True)}
    inner = COLUMNS - 1
    sides = [
        float(np.hypot(*(place[name + 1] - pixel)))
        for name, pixel in place.items()
        if name % inner < inner - 1 and name + 1 in place
    ]
    return float(np.median(sides)) if sides else 0.0


def _unseen(path: Path, most: int) -> Exception:
    if most:
        return refused(
            path,
            f"Only {most} of the 54 corners of the sheet are seen: it is covered, in glare, or "
            "blurred.",
            "Lay all of the sheet in the picture, nothing on it. Hold the camera still, in good "
            "light, and take it again.",
        )
    return refused(
        path,
        "There is no sheet of ours in it, or it is blurred, too small, or in glare.",
        either("Print one with metrage trace --sheet a4 (or letter)", "Print the sheet")
        + ", lay it beside the pieces, and take the photograph from above.",
    )
