"""Pieces from a PDF: its lines at true size, its sheets stuck together, its writing read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pieces.importers.gathering import BESIDE_FILE, Gathering
from pieces.importers.outlines import shapes_of
from pieces.importers.strokes import SAME_MM, Stroke, chained, scaled
from pieces.pdf.dashes import undashed
from pieces.pdf.furnish import Furnisher, sewing_lines
from pieces.pdf.pages import Page, read_pages
from pieces.pdf.paths import Style
from pieces.pdf.said import Vocabulary
from pieces.pdf.sheets import Asked, Drawing, stuck_together
from pieces.pdf.sizes import named_styles, wanted
from pieces.pdf.square import scale_of, squares_in
from pieces.pdf.words import lines_of
from pieces.piece import Draft, Line
from pieces.wording import either

_REACH_MM = 0.3
"""Ends of strokes nearer than this were meant to meet; wider gaps are closed as in any drawing."""
_LEAST_MM2 = 400.0
_MOST_STROKES = 20_000


def read_pdf(data: bytes, gathering: Gathering, asked: Asked | None = None) -> Draft:
    """The pieces of a PDF, with what was found; `asked` is what the order tells of it.

    Raises
    ------
    OrderFault : it can't be read, needs to be told more, or holds no piece
    """
    asked = asked or Asked()
    if gathering.unit is not None:
        gathering.find(
            "unit-overruled",
            "a PDF tells its own size, so the unit" + BESIDE_FILE + " was left out.",
        )
    pages = read_pages(data, gathering, asked.layers)
    _refuse_pictures(pages, gathering)
    drawing = stuck_together(pages, asked, gathering)
    drawing = replace(drawing, words=tuple(lines_of(drawing.words)))
    strokes, styles = joined_strokes(drawing, gathering)
    scale = scale_of(pages, strokes, asked.square_mm, gathering)
    squares = {checked.stroke for checked in squares_in(strokes, drawing.words)}
    patterned = [one for one in strokes if one not in squares]
    own, others = wanted(_larger(patterned, scale), styles, asked.layers, gathering)
    sewing, outlines = sewing_lines([one for one in own if _may_be_piece(one)])
    rest = [one for one in (*own, *others) if not _may_be_piece(one)]
    shapes = shapes_of(outlines, gathering)
    words = [
        replace(said, at=scaled((said.at,), scale)[0], high_mm=said.high_mm * scale)
        for said in drawing.words
    ]
    furnisher = Furnisher(rest, words, sewing, Vocabulary(asked.words), asked.fold, gathering)
    return gathering.draft(furnisher.pieces(shapes))


def sizes_in(
    data: bytes, gathering: Gathering, asked: Asked | None = None
) -> dict[str, list[Line]]:
    """The outlines of a PDF by the name of their layer or kind of line, in mm as they are drawn.

    Raises
    ------
    OrderFault : it can't be read, or its sheets can't be stuck together
    """
    asked = asked or Asked()
    pages = read_pages(data, gathering, asked.layers)
    _refuse_pictures(pages, gathering)
    drawing = stuck_together(pages, asked, gathering)
    strokes, styles = joined_strokes(drawing, gathering)
    squares = {checked.stroke for checked in squares_in(strokes, lines_of(drawing.words))}
    names = named_styles(sorted(set(styles.values())))
    found: dict[str, list[Line]] = {}
    for stroke in strokes:
        if stroke not in squares and _may_be_piece(stroke):
            found.setdefault(names[styles[stroke.group]], []).append(stroke.line)
    return dict(sorted(found.items()))


def _refuse_pictures(pages: Sequence[Page], gathering: Gathering) -> None:
    if any(page.lines for page in pages):
        return
    if any(page.pictures for page in pages):
        raise gathering.refused(
            "It holds pictures and no lines, as a scan does.",
            "Get the pattern as drawn lines, or print it, lay it on a table and photograph it"
            + either(" for metrage trace.", "."),
        )
    raise gathering.refused(
        "There is no line in it.", "Look whether it is the right file and not locked or empty."
    )


def joined_strokes(drawing: Drawing, gathering: Gathering) -> tuple[list[Stroke], dict[str, Style]]:
    """The lines of a drawing as strokes, joined end to end; and the style of each group."""
    groups: dict[Style, str] = {}
    by_group: dict[str, list[Stroke]] = {}
    for drawn in drawing.lines:
        group = groups.setdefault(drawn.style, str(len(groups)))
        stroke = Stroke(drawn.line, drawn.closed, group=group)
        by_group.setdefault(group, []).append(stroke)
    found: list[Stroke] = []
    for strokes in by_group.values():
        loose = [stroke for stroke in strokes if not stroke.closed]
        if len(loose) > _MOST_STROKES:
            raise gathering.refused(
                "It has far too many short lines.",
                "Save the pages with the outlines of the pieces alone, of one size.",
            )
        found += [stroke for stroke in strokes if stroke.closed]
        for reach in (SAME_MM, _REACH_MM):
            done, loose = chained(loose, reach)
            found += done
        found += undashed(loose)
    return found, {group: style for style, group in groups.items()}


def _larger(strokes: Sequence[Stroke], scale: float) -> list[Stroke]:
    return [replace(one, line=scaled(one.line, scale)) for one in strokes]


def _may_be_piece(stroke: Stroke) -> bool:
    from pieces.geometry import area

    return stroke.closed and area(stroke.line) >= _LEAST_MM2
