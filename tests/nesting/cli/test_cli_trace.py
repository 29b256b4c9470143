"""`metrage trace`: the sheet true to size, and photographs as files to plan from."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner
from shapely.geometry import LinearRing

import tests.pieces.trace.photographs as ph
from nesting.cli.commands import main
from nesting.order.read import order_from_text
from nesting.output.files.traced import kept_svg
from nesting.rules.parts import draft_order
from pieces.curves import length
from pieces.geometry import area, bounds
from pieces.ready import read_pieces
from pieces.trace.board import boards
from tests.examples import some

SCENE = ph.Scene(
    [(270, 60), (400, 60), (470, 155), (470, 340), (380, 360), (270, 352)],
    (720, 440),
    ((30, 60, 2), (510, 70, -3)),
    (2000, 1240),
)
DPI = 300


@pytest.mark.parametrize(
    ("paper", "size"),
    [("a4", (210, 297)), pytest.param("letter", (215.9, 279.4), marks=pytest.mark.long)],
)
def test_the_sheet_is_true_to_size(tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    """All pages, drawn by another library and found by OpenCV, as its documentation has it."""
    done = CliRunner().invoke(main, ["trace", "--sheet", paper, "--out", str(tmp_path)])
    assert done.exit_code == 0, done.output
    document = pypdfium2.PdfDocument(tmp_path / f"sheet-{paper}.pdf")
    assert len(document) == len(boards()) == 4
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


@pytest.mark.long
def test_a_photograph_becomes_a_drawing_that_orders_read(tmp_path: Path) -> None:
    picture = ph.photograph(SCENE)
    file = tmp_path / "front.jpg"
    _, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 95])
    private = b"Exif\0\0MM\0*\0\0\0\x08 taken at home"
    head = b"\xff\xe1" + (len(private) + 2).to_bytes(2, "big") + private
    file.write_bytes(bytes(data[:2]) + head + bytes(data[2:]))
    done = CliRunner().invoke(main, ["trace", str(file), "--out", str(tmp_path / "out")])
    assert done.exit_code == 0, done.output
    assert "front: 1 found." in done.output
    assert "within 0." in done.output
    made = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert {"front.svg", "front-over-photo.png"} <= made.keys()
    assert not any(b"taken at home" in data for data in made.values())
    draft = read_pieces(tmp_path / "out" / "front.svg")
    assert {found.code for found in draft.findings} == {"grain-assumed"}  # the picture is no fault
    (piece,) = draft.pieces
    true = LinearRing(SCENE.outline)
    assert piece.name == "piece-1"
    assert LinearRing(piece.outline).length == pytest.approx(true.length, abs=2)
    seen = cv2.imread(str(tmp_path / "out" / "front-over-photo.png"))
    red = (seen[:, :, 2].astype(int) - seen[:, :, 1] > 90).sum()
    assert red > 3000


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A piece whose halves mirror each other."""
    outline = [(270, 60), (470, 60), (480, 360), (420, 340), (320, 340), (260, 360)]
    folder = tmp_path_factory.mktemp("photo")
    return ph.written(folder, replace(SCENE, outline=outline), "skirt.jpg")


def run(*args: object) -> str:
    done = CliRunner().invoke(main, ["trace", *map(str, args)])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.mark.long
def test_pieces_are_kept_and_orders_use_them_again(photo: Path, tmp_path: Path) -> None:
    keep = tmp_path / "kept"
    said = run(
        *(photo, "--out", tmp_path, "--keep", keep, "--names", "skirt", "--size", "4 years"),
        *("--cloth", "lawn", "--mark", "skirt: seam side 2-3"),
    )
    assert "Its halves mirror each other within 0." in said
    (piece,) = read_pieces(keep / "skirt-4-years.svg").pieces
    assert (piece.name, piece.fabric, piece.cut) == ("skirt", "lawn", 1)
    assert piece.on_fold is not None
    assert piece.on_fold[0][1] == piece.on_fold[1][1] == 0.0
    (seam,) = piece.seams
    # What is kept reads back exactly, however often.
    again = read_pieces(tmp_path / "skirt.svg").pieces[0]
    assert np.abs(np.subtract(piece.outline, again.outline)).max() < 1e-4
    assert np.abs(np.subtract(seam.line, again.seams[0].line)).max() < 1e-4
    (tmp_path / "twice.svg").write_bytes(kept_svg(piece, "4 years"))
    (twice,) = read_pieces(tmp_path / "twice.svg").pieces
    assert np.abs(np.subtract(twice.outline, piece.outline)).max() < 2e-6
    order = order_from_text(
        f"""
        units = "cm"
        [fabric.lawn]
        width = 140
        [[piece]]
        file = "skirt-4-years.svg"
        fabric = "lawn"
        [[piece]]
        name = "panel"
        fabric = "lawn"
        outline = [[0, 0], [{length(seam.line) / 10:.3f}, 0], [20, 30]]
        seams = "side: 1-2"
        [[seam]]
        what = "side seam"
        this = "skirt: side"
        that = "panel: side"
        """,
        "order.toml",
        lambda name: keep / name,
    )
    (check,) = draft_order(order).seam_checks
    assert check.ok
    assert check.difference_mm == pytest.approx(0, abs=0.01)


@pytest.mark.long
def test_a_kept_piece_is_not_replaced_unasked(photo: Path, tmp_path: Path) -> None:
    drawing = tmp_path / "a.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">'
        '<rect id="cuff" width="80" height="60"/></svg>'
    )
    keep = tmp_path / "kept"
    assert "cuff: 8 cm along the grain, 6 cm across" in run(drawing, "--keep", keep)
    run(drawing, "--keep", keep)  # the same again changes nothing
    drawing.write_text(drawing.read_text().replace('width="80"', 'width="70"'))
    done = CliRunner().invoke(main, ["trace", str(drawing), "--keep", str(keep)])
    assert done.exit_code == 2
    assert "Another piece is kept there as cuff.svg" in done.output
    run(drawing, "--keep", keep, "--overwrite")
    assert 'd="M' in (keep / "cuff.svg").read_text()
    assert read_pieces(keep / "cuff.svg").pieces[0].outline[1][0] == pytest.approx(70)


def test_pieces_of_like_names_are_all_kept(tmp_path: Path) -> None:
    drawing = tmp_path / "a.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="90mm" viewBox="0 0 300 90">'
        '<rect id="cuff" width="80" height="60"/><rect id="Cuff" x="100" width="50" height="60"/>'
        '<rect aria-label="cuff" x="200" width="40" height="60"/></svg>'
    )
    run(drawing, "--keep", tmp_path / "kept")
    files = sorted((tmp_path / "kept").iterdir())
    wide = [bounds(read_pieces(file).pieces[0].outline)[2] for file in files]
    assert sorted(wide) == pytest.approx([40, 50, 80])
    done = CliRunner().invoke(main, ["trace", str(drawing), "--mark", "sleeve: fold 1-2"])
    assert done.exit_code == 2
    assert "There is no piece called 'sleeve'" in done.output


@pytest.mark.long
def test_a_kept_piece_is_changed_and_kept_again(photo: Path, tmp_path: Path) -> None:
    keep = tmp_path / "kept"
    named = ("--names", "skirt", "--size", "4 years", "--cloth", "lawn")
    run(photo, "--out", tmp_path, *named)
    # The size and the cloth stand in the drawing that was made, and in the piece that is kept.
    said = run(tmp_path / "skirt.svg", "--keep", keep)
    assert "skirt, 4 years: " in said
    file = keep / "skirt-4-years.svg"
    (before,) = read_pieces(file).pieces
    assert before.fabric == "lawn"
    said = run(file, "--mark", "skirt: notch 3-4 at 2 cm", "--keep", keep, "--overwrite")
    assert "1 notch" in said
    assert [one.name for one in keep.iterdir() if one.suffix == ".svg"] == [file.name]
    (after,) = read_pieces(file).pieces
    assert len(after.notches) == 1
    assert (after.fabric, after.on_fold) == (before.fabric, before.on_fold)


def test_a_grain_that_was_assumed_is_told_each_time(tmp_path: Path) -> None:
    drawing, keep = tmp_path / "a.svg", tmp_path / "kept"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">'
        '<rect id="cuff" width="60" height="80"/></svg>'
    )
    assert 'Tell the grain of cuff, as --mark "cuff: grain 1-2".' in run(drawing, "--keep", keep)
    assert {one.code for one in read_pieces(keep / "cuff.svg").findings} == {"grain-assumed"}
    run(drawing, "--mark", "cuff: grain 2-3", "--keep", keep, "--overwrite")
    told = read_pieces(keep / "cuff.svg")
    assert not told.findings
    assert bounds(told.pieces[0].outline) == pytest.approx((0, 0, 80, 60))


@pytest.mark.long
def test_what_is_drawn_over_a_photograph_can_be_moved(photo: Path, tmp_path: Path) -> None:
    run(photo, "--out", tmp_path, "--whole")
    file = tmp_path / "skirt.svg"
    (before,) = read_pieces(file).pieces
    text = file.read_text()
    # The corner at which the outline starts is moved, as a drawing program would.
    (start,) = re.findall(r'd="M([\d.]+) ([\d.]+) L', text)
    first, x, y = f"{start[0]} {start[1]}", float(start[0]), float(start[1])
    file.write_text(text.replace(first, f"{x - 30:.3f} {y:.3f}"))
    assert "skirt.svg: 1 read." in run(file)
    (after,) = read_pieces(file).pieces
    assert abs(area(after.outline) - area(before.outline)) > 1000
    assert "data:image/jpeg;base64," in text


@pytest.mark.long
@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--names", "a, b"], "2 names for 1 pieces"),
        (["--mark", "sleeve: fold 1-2"], "There is no piece called 'sleeve'"),
        (["--mark", "piece-1: fold 1-12"], "piece-1 has 6 corners, so 1-12 is no stretch"),
        (["--mark", "piece-1 fold"], "is not understood. Write it like"),
    ],
)
def test_what_is_marked_wrongly(photo: Path, tmp_path: Path, args: list[str], said: str) -> None:
    out = tmp_path / "out"
    done = CliRunner().invoke(main, ["trace", str(photo), "--whole", *args, "--out", str(out)])
    assert done.exit_code == 2
    assert said in " ".join(done.output.split())
    assert not out.exists()


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
    some(
        [
            ([], "Name a photograph, or ask for the sheet"),
            (["--sheet", "a4", "--measured", "6 in"], ""),
            (["--sheet", "a4", "--measured", "15"], "far from the 150 mm that were drawn"),
            (["--sheet", "a4", "--measured", "long"], "--measured"),
        ]
    ),
)
def test_what_is_asked_for_wrongly(tmp_path: Path, args: list[str], said: str) -> None:
    done = CliRunner().invoke(main, ["trace", *args, "--out", str(tmp_path / "out")])
    assert done.exit_code == (2 if said else 0), done.output
    assert said in done.output
