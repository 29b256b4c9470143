"""`metrage trace`: pieces from photographs of paper on a table, and the sheet to lay beside it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.faults import faults_in_words
from nesting.cli.options import FilePath

if TYPE_CHECKING:
    from pieces.trace.tracing import Tracing

_FOLDER = "traced"


@click.command()
@click.argument("photos", metavar="PHOTO...", nargs=-1, type=FilePath())
@click.option(
    "--sheet",
    "paper",
    type=click.Choice(["a4", "letter"]),
    help="Write the sheet to print and lay beside the pieces, on this paper.",
)
@click.option(
    "--measured",
    metavar="L",
    help='What the line on the printed sheet measures, if not 150 mm: "149 mm", "5 7/8 in".',
)
@click.option("--out", type=FilePath(), help=f"Folder for the files.  [default: ./{_FOLDER}]")
@click.option("--overwrite", is_flag=True, help="Replace files there that metrage did not write.")
def trace(
    photos: tuple[Path, ...],
    paper: str | None,
    measured: str | None,
    out: Path | None,
    overwrite: bool,
) -> None:
    """Trace paper pieces in each PHOTO, true to size, by the printed sheet beside them.

    Print the sheet first (--sheet), at 100 %, and measure its line. Lay the pieces flat on a table
    that is much darker or lighter, a sheet beside the middle of each, or both sheets at the ends of
    a long one, and take the photograph from above.
    """
    with faults_in_words():
        from nesting.output.folder import held
        from nesting.output.place import Place
        from nesting.output.written import write_files

        scale = _scale(measured)
        names = [*_names(photos).values()]
        wanted = [f"{name}{end}" for name in names for end in (".svg", "-over-photo.png")]
        wanted += [f"sheet-{paper}.pdf"] if paper else []
        _require_something(photos, paper)
        with held(Place(out or Path(_FOLDER), photos, overwrite), wanted) as place:
            contents = _sheet(paper) | _traced(photos, scale)
            written = write_files(place, contents)
        click.echo(f"Written to {written[0].parent}: " + ", ".join(path.name for path in written))


def _require_something(photos: Sequence[Path], paper: str | None) -> None:
    if not photos and paper is None:
        raise click.UsageError("Name a photograph, or ask for the sheet with --sheet a4 or letter.")


def _scale(measured: str | None) -> float:
    """How much larger the sheet was printed than drawn, by its line."""
    from nesting.output.paper.trace_sheet import LINE_MM
    from pieces.errors import Fault, OrderFault
    from pieces.units import Unit, parse_length

    if measured is None:
        return 1.0
    try:
        scale = parse_length(measured, Unit.MM) / LINE_MM
    except ValueError as error:
        raise OrderFault([Fault("--measured", "", str(error))]) from error
    if not 0.9 <= scale <= 1.1:
        message = f"A line of {measured} is far from the 150 mm that were drawn."
        remedy = "Print the sheet at 100 %, and give what its line measures, with the unit."
        raise OrderFault([Fault("--measured", "", message, remedy)])
    return scale


def _names(photos: Sequence[Path]) -> dict[Path, str]:
    """The name of the files of each photograph."""
    from pieces.importers.outlines import named_apart

    return dict(zip(photos, named_apart(path.stem for path in photos), strict=True))


def _sheet(paper: str | None) -> dict[str, bytes]:
    if paper is None:
        return {}
    from nesting.output.paper.tiling import Paper
    from nesting.output.paper.trace_sheet import sheet_pdf

    return {f"sheet-{paper}.pdf": sheet_pdf(Paper(paper))}


def _traced(photos: Sequence[Path], scale: float) -> dict[str, bytes]:
    """The files of all photographs; all faults at once, and then none is written.

    Raises
    ------
    OrderFault : with what is wrong with each
    """
    from nesting.output.files.traced import over_photograph, pieces_svg
    from pieces.errors import Fault, OrderFault
    from pieces.trace.tracing import trace as trace_photo

    contents: dict[str, bytes] = {}
    faults: list[Fault] = []
    for path, name in _names(photos).items():
        try:
            found = trace_photo(path, scale)
        except OrderFault as error:
            faults += error.faults
            continue
        _tell(path, found)
        contents[f"{name}.svg"] = pieces_svg(found.pieces)
        contents[f"{name}-over-photo.png"] = over_photograph(found)
    if faults:
        raise OrderFault(faults)
    return contents


def _tell(path: Path, found: Tracing) -> None:
    from pieces.geometry import bounds
    from pieces.units import Unit, format_length

    click.echo(f"{path.name}: {len(found.pieces)} found.")
    for number, piece in enumerate(found.pieces, 1):
        left, low, right, high = bounds(piece.outline)
        wide, tall = format_length(right - left, Unit.CM), format_length(high - low, Unit.CM)
        click.echo(f"  piece-{number}: {wide} by {tall}, within {piece.within_mm:.1f} mm")
    click.echo("  Look at the picture with the outlines drawn over it before you cut.")
