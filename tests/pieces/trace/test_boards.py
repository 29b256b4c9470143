"""OpenCV's own boards: the sheets are those that it draws, and its sample photographs are measured.

`chessboards.json` holds the 54 inner corners, 9 to a row, that OpenCV's `findChessboardCorners` and
`cornerSubPix` find in photographs of a chessboard among its samples (left01.jpg and others, 640 by
480 pixels, of its documentation's tutorial "Camera Calibration"). How long a square is isn't told
there; it is taken for 30 mm, so that a pixel covers about 1 mm.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from pieces.trace.board import COLUMNS, ROWS, SHEETS, SQUARE_MM, TALL_MM, black_cells, boards
from pieces.trace.camera import Seen, View, fitted

PX_PER_MM = 4
SQUARE = 30.0
CORNERS = json.loads((Path(__file__).parent / "chessboards.json").read_text(encoding="utf-8"))
GRID = np.array([(i % 9, i // 9) for i in range(54)], dtype=float) * SQUARE


@pytest.mark.parametrize("sheet", range(SHEETS))
def test_what_is_printed_is_what_the_library_draws(sheet: int) -> None:
    wide, tall = (round(n * SQUARE_MM * PX_PER_MM) for n in (COLUMNS, ROWS))
    wanted = boards()[sheet].generateImage((wide, tall))
    drawn = np.full((tall, wide), 255, np.uint8)
    for cell in black_cells(sheet):
        (left, low), side = cell.at, cell.side_mm
        x, y = (np.array([left, TALL_MM - low - side]) * PX_PER_MM).round().astype(int)
        end = np.round(np.array([left + side, TALL_MM - low]) * PX_PER_MM).astype(int)
        drawn[y : end[1], x : end[0]] = 0
    # Of markers the library rounds each bit to whole pixels, which moves an edge by one at most.
    off = (drawn > 127) != (wanted > 127)
    assert off.mean() < 0.03
    inner = off[:-1, :-1] & off[1:, 1:] & off[:-1, 1:] & off[1:, :-1]
    assert not (inner[:-1, :-1] & inner[1:, 1:]).any()


def test_no_two_sheets_share_a_marker() -> None:
    names = np.concatenate([board.getIds().ravel() for board in boards()])
    assert len(np.unique(names)) == len(names) == SHEETS * COLUMNS * ROWS // 2


@pytest.mark.parametrize("name", sorted(CORNERS))
def test_a_chessboard_in_a_published_photograph_is_measured_right(name: str) -> None:
    """The lens is fitted to three columns at each end, and the three between are measured."""
    pixels = np.array(CORNERS[name])
    ends = np.isin(np.arange(54) % 9, (0, 1, 2, 6, 7, 8))
    (camera,), _ = fitted([View((640, 480), [Seen(0, pixels[ends], GRID[ends])])])
    between = pixels[~ends]
    away = np.linalg.norm(camera.on_table(between) - GRID[~ends], axis=1)
    _, coarse = camera.stretch(between)
    # The old lens bends lines by 20 pixels, and corners are known to a tenth of one.
    assert np.all(away <= coarse)
    assert away.mean() < 0.5 * coarse.mean()
    sides = np.diff(camera.on_table(pixels).reshape(6, 9, 2), axis=1)
    assert np.linalg.norm(sides, axis=2) == pytest.approx(SQUARE, rel=0.03)
    assert np.linalg.norm(sides, axis=2).mean() == pytest.approx(SQUARE, rel=2e-3)
