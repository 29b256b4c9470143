"""Ready pieces from a drawing file: the one door for every format."""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from pieces.importers.gathering import LARGEST_PDF_BYTES, Gathering, content
from pieces.piece import Draft
from pieces.units import Unit

if TYPE_CHECKING:
    from pieces.pdf.sheets import Asked
    from pieces.trace.marked import Marks


def read_pieces(
    path: str | PathLike[str],
    unit: Unit | None = None,
    grain_deg: float | None = None,
    asked: Asked | None = None,
    marks: Marks | None = None,
) -> Draft:
    """The pieces of a DXF, SVG or PDF file, in their laid form, with what was found and repaired.

    DXF by the open interchange standard (ASTM D6673) gives pieces with their names, grain,
    folds, notches, lines and numbers; `fabric` is the material and `garment` the style it names.
    Plain DXF and SVG give closed outlines, and the grain that a line on a layer of that name, or
    called so itself, shows in each. `unit` is that of the drawing's numbers, where the
    file does not tell it or tells it wrong; `grain_deg` the way of the thread from the drawing's
    x axis, for pieces that show none, and for all of a plain drawing. A PDF gives closed outlines
    at true size, with what is written and drawn in them; `asked` tells of its sheets and sizes.
    `marks` are told of pieces by the numbers of their corners.

    Raises
    ------
    OrderFault : it can't be read, or holds no piece that can be cut
    """
    return read_with(Gathering(Path(path), unit, grain_deg, marks), asked)


def read_with(gathering: Gathering, asked: Asked | None = None) -> Draft:
    """The same, by what gathers all that is found in the file.

    Raises
    ------
    OrderFault : as `read_pieces`
    """
    file, suffix = gathering.source, gathering.path.suffix.lower()
    if suffix == ".dxf":
        from pieces.importers.dxf import read_dxf

        return read_dxf(content(file), gathering)
    if suffix == ".svg":
        from pieces.importers.svg import read_svg

        return read_svg(content(file), gathering)
    if suffix == ".pdf":
        from pieces.pdf.read import read_pdf

        return read_pdf(content(file, LARGEST_PDF_BYTES), gathering, asked)
    raise gathering.refused(
        "Pieces are read from files whose names end in .dxf, .svg or .pdf.",
        "Save the drawing as DXF, SVG or PDF.",
    )
