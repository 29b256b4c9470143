"""Paper patterns: photographs traced, the sheet beside them, and the sizes in a PDF, as pictures.

Files come as content and are opened here alone, in the worker, with the limits on pixels, pages and
paths that their readers have. Of a photograph nothing is kept but its pixels.
"""

from __future__ import annotations

import base64
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from nesting.output.files.traced import over_photograph, traced_svg
from nesting.output.paper.tiling import Paper
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.pictures import path_of
from nesting.page.tasks.reading import decoded
from pieces.errors import Fault, OrderFault
from pieces.geometry import bounds
from pieces.importers.gathering import Gathering
from pieces.importers.svg import read_svg
from pieces.trace.marking import lines_of
from pieces.units import Unit, format_length

_MOST_PHOTOS = 8


def sheet(request: Record, _: TaskChannel) -> Record:
    """The sheets to print, on the `paper` asked for: {pdf, in base64}."""
    from nesting.output.paper.trace_sheet import sheet_pdf  # takes a while to load

    return {"pdf": _text(sheet_pdf(Paper(request["paper"])))}


def trace_photos(request: Record, _: TaskChannel) -> Record:
    """The pieces in `photos`, contents by names, which all show one table.

    The answer has a `drawing` by its `name`, for orders to read, the `picture` with the outlines
    over the photograph, and what is to be `told`.

    Raises
    ------
    OrderFault : why they can't be measured, and what would help
    """
    from pieces.trace.tracing import trace, trace_joined  # takes a while to load

    with _laid_down(request["photos"]) as paths:
        found = trace(paths[0], fold=True) if len(paths) == 1 else trace_joined(paths, fold=True)
    names = [f"piece-{number}" for number in range(1, len(found.pieces) + 1)]
    lines = lines_of(found.pieces, names, ())
    name = f"{Path(next(iter(request['photos']))).stem}.svg"
    drawing = traced_svg(found, names, lines)
    # Sizes are told as the order has the pieces, along their grain.
    draft = read_svg(drawing, Gathering(Path(name)))
    said = []
    for piece, traced in zip(draft.pieces, found.pieces, strict=True):
        left, low, right, high = bounds(piece.outline)
        along, across = (format_length(mm, Unit.CM) for mm in (right - left, high - low))
        half = "; its halves mirror each other, so one is drawn, on the fold" if traced.fold else ""
        size = f"{along} along the grain, {across} across"
        said.append(f"{piece.name}: {size}, within {traced.within_mm:.1f} mm{half}")
    return {
        "name": name,
        "drawing": _text(drawing),
        "picture": _text(over_photograph(found, names, lines)),
        "told": said,
    }


@contextmanager
def _laid_down(photos: Record) -> Iterator[list[Path]]:
    """The photographs as files under numbers; faults bear the names that they came with."""
    if not 0 < len(photos) <= _MOST_PHOTOS:
        message = f"{len(photos)} photographs, and 1 to {_MOST_PHOTOS} are traced at once."
        raise OrderFault([Fault("", "", message, "Choose fewer.")])
    with tempfile.TemporaryDirectory(prefix="metrage-") as home:
        names = {}
        for number, (name, content) in enumerate(photos.items()):
            path = Path(home) / f"{number}.photo"
            path.write_bytes(decoded(name, content))
            names[str(path)] = name
        try:
            yield [Path(path) for path in names]
        except OrderFault as error:
            faults = [
                replace(
                    one, where="", message=f"{names.get(one.where, 'A photograph')}: " + one.message
                )
                for one in error.faults
            ]
            raise OrderFault(faults) from error


def sizes(request: Record, _: TaskChannel) -> Record:
    """The sizes drawn in one another in a PDF, by its `name` and `content`: each with a picture.

    Raises
    ------
    OrderFault : it can't be read
    """
    from pieces.pdf.read import sizes_in  # takes a while to load

    gathering = Gathering(Path(request["name"]))
    found = sizes_in(decoded(request["name"], request["content"]), gathering)
    every = [outline for outlines in found.values() for outline in outlines]
    if not every:
        return {"sizes": []}
    left, low, right, high = bounds([point for outline in every for point in outline])
    return {
        "box": [0, 0, round(right - left), round(high - low)],
        "sizes": [
            {
                "layer": name,
                "count": len(outlines),
                "path": "".join(
                    path_of([(round(x - left), round(high - y)) for x, y in outline]) + "Z"
                    for outline in outlines
                ),
            }
            for name, outlines in found.items()
        ],
    }


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode()
