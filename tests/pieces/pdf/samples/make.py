"""Writes the samples beside it, with general tools: reportlab, cairo (cairocffi), Inkscape,
LibreOffice. Run by hand, where these are installed; the tests read what it wrote.

All show one drawing, in mm from the lower left of a sheet of 420 by 297: a front, half drawn, with
a neck that is a cubic curve; a pocket; a test square.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import cairocffi
from reportlab.pdfgen import canvas

HERE = Path(__file__).parent
WIDE, TALL = 420.0, 297.0
K = 72 / 25.4
FRONT = [(30, 20), (230, 20), (230, 160), (120, 180)]
NECK = ((90, 180), (60, 150), (30, 140))
POCKET = [(260, 20), (380, 20), (380, 150), (260, 150)]
NOTCH = ((230, 90), (225, 90))
GRAIN = ((150, 40), (150, 130))
BARBS = (((150, 130), (146, 122)), ((150, 130), (154, 122)))
POCKET_GRAIN = ((280, 40), (280, 120))
POCKET_BARBS = (((280, 120), (276, 112)), ((280, 120), (284, 112)))
SQUARE = (300, 200, 50, 50)
LINES = [NOTCH, GRAIN, *BARBS, POCKET_GRAIN, *POCKET_BARBS]
WORDS = [
    ("Front", 6, 80, 110), ("cut 1", 4, 80, 100), ("Pocket", 6, 300, 90), ("cut 2", 4, 300, 80),
    ("test square 50 mm", 4, 300, 190),
]  # fmt: skip
UPRIGHT = ("place on fold", 4, 36, 60)


def svg() -> str:
    """The drawing as SVG, its y axis down."""

    def at(x: float, y: float) -> str:
        return f"{x} {TALL - y}"

    neck = " ".join(at(*point) for point in NECK)
    front = "M" + " L".join(at(*point) for point in FRONT) + f" C{neck} Z"
    pocket = "M" + " L".join(at(*point) for point in POCKET) + " Z"
    x, y, wide, tall = SQUARE
    paths = [front, pocket, *(f"M{at(*a)} L{at(*b)}" for a, b in LINES)]
    drawn = "".join(f'<path d="{path}"/>' for path in paths)
    drawn += f'<rect x="{x}" y="{TALL - y - tall}" width="{wide}" height="{tall}"/>'
    words = "".join(
        f'<text x="{x}" y="{TALL - y}" font-size="{size}">{text}</text>'
        for text, size, x, y in WORDS
    )
    text, size, x, y = UPRIGHT
    words += (
        f'<text transform="translate({x} {TALL - y}) rotate(-90)" font-size="{size}">{text}</text>'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}mm" height="{TALL}mm" '
        f'viewBox="0 0 {WIDE} {TALL}"><g fill="none" stroke="black" stroke-width="0.4">{drawn}</g>'
        f'<g font-family="DejaVu Sans">{words}</g></svg>'
    )


def by_reportlab(file: Path) -> None:
    page = canvas.Canvas(str(file), pagesize=(WIDE * K, TALL * K))
    page.scale(K, K)
    page.setLineWidth(0.4)
    path = page.beginPath()
    path.moveTo(*FRONT[0])
    for point in FRONT[1:]:
        path.lineTo(*point)
    path.curveTo(*(value for point in NECK for value in point))
    path.close()
    page.drawPath(path)
    pocket = page.beginPath()
    pocket.moveTo(*POCKET[0])
    for point in POCKET[1:]:
        pocket.lineTo(*point)
    pocket.close()
    page.drawPath(pocket)
    for a, b in LINES:
        page.line(*a, *b)
    page.rect(*SQUARE)
    for text, size, x, y in WORDS:
        page.setFont("Helvetica", size)
        page.drawString(x, y, text)
    text, size, x, y = UPRIGHT
    page.translate(x, y)
    page.rotate(90)
    page.drawString(0, 0, text)
    page.save()


def by_cairo(file: Path) -> None:
    surface = cairocffi.PDFSurface(str(file), WIDE * K, TALL * K)
    pen = cairocffi.Context(surface)
    pen.scale(K, K)
    pen.set_line_width(0.4)
    pen.move_to(FRONT[0][0], TALL - FRONT[0][1])
    for x, y in FRONT[1:]:
        pen.line_to(x, TALL - y)
    pen.curve_to(*(value for x, y in NECK for value in (x, TALL - y)))
    pen.close_path()
    pen.stroke()
    for index, (x, y) in enumerate(POCKET):
        (pen.line_to if index else pen.move_to)(x, TALL - y)
    pen.close_path()
    pen.stroke()
    for (ax, ay), (bx, by) in LINES:
        pen.move_to(ax, TALL - ay)
        pen.line_to(bx, TALL - by)
        pen.stroke()
    x, y, wide, tall = SQUARE
    pen.rectangle(x, TALL - y - tall, wide, tall)
    pen.stroke()
    pen.select_font_face("DejaVu Sans")
    for text, size, x, y in WORDS:
        pen.set_font_size(size)
        pen.move_to(x, TALL - y)
        pen.show_text(text)
    text, size, x, y = UPRIGHT
    pen.translate(x, TALL - y)
    pen.rotate(-1.5707963267948966)
    pen.move_to(0, 0)
    pen.show_text(text)
    surface.finish()


def by_others(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as where:
        drawing = Path(where) / "libreoffice.svg"
        drawing.write_text(svg(), encoding="utf-8")
        out = folder / "inkscape.pdf"
        subprocess.run(["inkscape", str(drawing), f"--export-filename={out}"], check=True)
        subprocess.run(
            ["soffice", "--headless", "--convert-to", "pdf:draw_pdf_Export", "--outdir",
             str(folder), str(drawing)],
            check=True,
        )  # fmt: skip


if __name__ == "__main__":
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    by_reportlab(folder / "reportlab.pdf")
    by_cairo(folder / "cairo.pdf")
    by_others(folder)
