"""`metrage trace`: pieces from photographs of paper on a table, and the sheet to lay beside it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path

import click

from nesting.cli.faults import faults_in_words
from nesting.cli.options import FilePath

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
@click.option("--join", is_flag=True, help="All PHOTOs show one table, its sheets left in place.")
@click.option("--whole", is_flag=True, help="Leave pieces whole whose halves mirror each other.")
@click.option("--names", metavar="NAMES", help='What the pieces are called: "front, back, sleeve".')
@click.option(
    "--mark",
    "marks",
    metavar="TEXT",
    multiple=True,
    help="What runs between corners, by their numbers in the picture: "
    '"front: fold 4-5", "front: grain 4-5", "front: seam side 2-3", '
    '"front: notch 2-3 at 12 cm". May be repeated.',
)
@click.option("--keep", type=FilePath(), help="Keep each piece in this folder, for orders to name.")
@click.option("--size", metavar="TEXT", default="", help="The size of the pieces kept.")
@click.option("--cloth", metavar="TEXT", default="", help="The cloth of the pieces kept.")
@click.option("--out", type=FilePath(), help=f"Folder for the files.  [default: ./{_FOLDER}]")
@click.option("--overwrite", is_flag=True, help="Replace files there that metrage did not write.")
def trace(
    photos: tuple[Path, ...],
    paper: str | None,
    out: Path | None,
    overwrite: bool,
    **asked: object,
) -> None:
    """Trace paper pieces in each PHOTO, true to size, by the printed sheet beside them.

    Print the sheet first (--sheet), at 100 %, and measure its line. Lay the pieces flat on a table
    that is much darker or lighter, a sheet beside the middle of each, or both sheets at the ends of
    a long one, and take the photograph from above. The drawing (.svg) that comes of it may be
    edited in any drawing program and named here again in place of the PHOTO.
    """
    with faults_in_words():
        from nesting.cli.traced import Tracer, Wanted
        from nesting.output.folder import held
        from nesting.output.place import Place
        from nesting.output.written import write_files

        _require_something(photos, paper)
        wanted = Wanted(**asked)  # type: ignore[arg-type]
        tracer = Tracer(photos, wanted)
        own = tracer.files() + ([f"sheet-{paper}.pdf"] if paper else [])
        place = Place(out or Path(_FOLDER), photos, overwrite)
        with held(place, own) if own else nullcontext(place) as folder:
            contents = _sheet(paper) | tracer.contents(click.echo)
            kept = tracer.kept(overwrite=overwrite)
            _tell(write_files(folder, contents) if contents else ())
        if wanted.keep is not None:
            _tell(write_files(wanted.keep, kept))


def _tell(written: Sequence[Path]) -> None:
    if written:
        click.echo(f"Written to {written[0].parent}: " + ", ".join(path.name for path in written))


def _require_something(photos: Sequence[Path], paper: str | None) -> None:
    if not photos and paper is None:
        raise click.UsageError("Name a photograph, or ask for the sheet with --sheet a4 or letter.")


def _sheet(paper: str | None) -> dict[str, bytes]:
    if paper is None:
        return {}
    from nesting.output.paper.tiling import Paper
    from nesting.output.paper.trace_sheet import sheet_pdf

    return {f"sheet-{paper}.pdf": sheet_pdf(Paper(paper))}
