"""`metrage trace`: the sheet true to size, and photographs as files to plan from."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner
from shapely.geometry import LinearRing

import tests.pieces.trace.photographs as ph
from nesting.cli.commands import main
from pieces.ready import read_pieces
from pieces.trace.board import boards

SCENE = ph.Scene(
    [(270, 60), (400, 60), (470, 155), (470, 340), (380, 360), (270, 352)],
    (720, 440),
    ((30, 60, 2), (510, 70, -3)),
    (2000, 1240),
)
DPI = 300


@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_sheet_is_true_to_size(tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    """Both pages, drawn by another library and found by OpenCV, as its documentation has it."""
    done = CliRunner().invoke(main, ["trace", "--sheet", paper, "--out", str(tmp_path)])
    assert done.exit_code == 0, done.output
    document = pypdfium2.PdfDocument(tmp_path / f"sheet-{paper}.pdf")
    assert len(document) == 2
    for page, board in zip(document, boards(), strict=True):
        assert [side / 72 * 25.4 for side in page.get_size()] == pytest.approx(size, abs=0.05)
        grey = page.render(scale=DPI / 72, grayscale=True).to_numpy()
        corners, names, _, _ = cv2.aruco.CharucoDetector(board).detectBoard(grey)
        assert len(names) == 54
        mm = corners.reshape(-1, 2) / DPI * 25.4
        wanted = np.asarray(board.getChessboardCorners())[names.ravel(), :2]
        apart = np.linalg.norm(mm - mm[0], axis=1), np.linalg.norm(wanted - wanted[0], axis=1)
        # A page comes out a whole number of pixels, of 0.085 mm, wide and high.
        assert np.abs(apart[0] - apart[1]).max() < 0.1
        # The line below: 150 mm of ink in one row.
        low = grey[round((size[1] / 2 + 125 + 3) / 25.4 * DPI) :]
        runs = [
            len(run) for row in low for run in "".join("#" if v < 140 else " " for v in row).split()
        ]
        longest = max(runs) / DPI * 25.4
        assert longest == pytest.approx(150, abs=0.6)


def test_a_photograph_becomes_a_drawing_that_orders_read(tmp_path: Path) -> None:
    picture = ph.photograph(SCENE)
    file = tmp_path / "front.jpg"
    _, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 95])
    private = b"Exif\0\0MM\0*\0\0\0\x08 taken at home"
    head = b"\xff\xe1" + (len(private) + 2).to_bytes(2, "big") + private
    file.write_bytes(bytes(data[:2]) + head + bytes(data[2:]))
    done = CliRunner().invoke(main, ["trace", str(file), "--out", str(tmp_path / "out")])
    assert done.exit_code == 0, done.output
    assert "front.jpg: 1 found." in done.output
    assert "within 0." in done.output
    made = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert {"front.svg", "front-over-photo.png"} <= made.keys()
    assert not any(b"taken at home" in data for data in made.values())
    (piece,) = read_pieces(tmp_path / "out" / "front.svg").pieces
    true = LinearRing(SCENE.outline)
    assert piece.name == "piece-1"
    assert LinearRing(piece.outline).length == pytest.approx(true.length, abs=2)
    seen = cv2.imread(str(tmp_path / "out" / "front-over-photo.png"))
    red = (seen[:, :, 2].astype(int) - seen[:, :, 1] > 90).sum()
    assert red > 3000


def test_all_photographs_are_told_of_and_none_is_half_written(tmp_path: Path) -> None:
    for name in ("a.jpg", "b.jpg"):
        (tmp_path / name).write_bytes(b"none")
    out = tmp_path / "out"
    args = ["trace", str(tmp_path / "a.jpg"), str(tmp_path / "b.jpg"), "--out", str(out)]
    done = CliRunner().invoke(main, args)
    assert done.exit_code == 2
    assert "2 things to put right" in done.output
    assert not out.exists()


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ([], "Name a photograph, or ask for the sheet"),
        (["--sheet", "a4", "--measured", "6 in"], ""),
        (["--sheet", "a4", "--measured", "15"], "far from the 150 mm that were drawn"),
        (["--sheet", "a4", "--measured", "long"], "--measured"),
    ],
)
def test_what_is_asked_for_wrongly(tmp_path: Path, args: list[str], said: str) -> None:
    done = CliRunner().invoke(main, ["trace", *args, "--out", str(tmp_path / "out")])
    assert done.exit_code == (2 if said else 0), done.output
    assert said in done.output
