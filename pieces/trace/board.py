"""The sheet that lies beside the pieces: a chessboard with markers, as OpenCV finds it.

Its documentation ("Detection of ChArUco Boards") is the source of the board: whole markers name the
corners of squares, and corners are found to a fraction of a pixel. There are four sheets with
markers of their own: one for each end of a large piece, and more for one that needs several
photographs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pieces.errors import Fault, OrderFault
from pieces.piece import Point

COLUMNS, ROWS = 7, 10
SQUARE_MM, MARKER_MM = 25.0, 18.0
WIDE_MM, TALL_MM = COLUMNS * SQUARE_MM, ROWS * SQUARE_MM
"""Fits A4 and Letter with room to print."""
SHEETS = 4
_MARKERS = COLUMNS * ROWS // 2
_BITS = 7
"""Of a marker with its black rim."""


def opencv() -> Any:
    """The library, or the sentence that tells how to get it.

    Raises
    ------
    OrderFault : it is not installed
    """
    try:
        import cv2
    except ImportError as error:
        fault = Fault(
            "metrage trace",
            "",
            "Photographs are read with OpenCV, which is not installed.",
            "Install it with: pip install 'metrage[trace]'",
        )
        raise OrderFault([fault]) from error
    return cv2


def boards() -> list[Any]:
    """OpenCV's boards, one for each sheet."""
    import numpy as np

    cv2 = opencv()
    words = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    return [
        cv2.aruco.CharucoBoard(
            (COLUMNS, ROWS),
            SQUARE_MM,
            MARKER_MM,
            words,
            np.arange(sheet * _MARKERS, (sheet + 1) * _MARKERS),
        )
        for sheet in range(SHEETS)
    ]


@dataclass(frozen=True, slots=True)
class Cell:
    """A black square of the sheet: its lower left corner and its side, mm from the board's."""

    at: Point
    side_mm: float


def black_cells(sheet: int) -> Iterator[Cell]:
    """Everything that is black on a sheet, y upwards from the board's lower left corner."""
    cv2 = opencv()
    board = boards()[sheet]
    marked = {tuple(map(float, corners[0][:2])) for corners in board.getObjPoints()}
    rim = (SQUARE_MM - MARKER_MM) / 2
    for row in range(ROWS):
        for column in range(COLUMNS):
            left, top = column * SQUARE_MM, row * SQUARE_MM
            if (left + rim, top + rim) not in marked:
                yield Cell((left, TALL_MM - top - SQUARE_MM), SQUARE_MM)
    bit = MARKER_MM / _BITS
    words = board.getDictionary()
    for number, corners in zip(board.getIds(), board.getObjPoints(), strict=True):
        drawn = cv2.aruco.generateImageMarker(words, int(number), _BITS)
        left, top = map(float, corners[0][:2])
        for i in range(_BITS):
            for j in range(_BITS):
                if drawn[i, j] == 0:
                    yield Cell((left + j * bit, TALL_MM - top - (i + 1) * bit), bit)
