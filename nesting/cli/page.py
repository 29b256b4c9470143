"""The page in the browser, and a plan as one file for a phone."""

from __future__ import annotations

from pathlib import Path

import click

from nesting.cli.faults import faults_in_words
from nesting.cli.options import FilePath, Out, out_option

_WARNING = """
Whoever is on this network and has the address can read this plan, names of wearers and doubts about
their measures among it; it is sent unencrypted. Nothing else of this computer can be reached by it.
Use it at home, not in a café. Ctrl-C ends it."""


@click.command()
@click.option(
    "--port",
    type=click.IntRange(min=1024, max=65535),
    default=8427,
    show_default=True,
    help="Where on this computer the page is served.",
)
@click.option("--no-browser", is_flag=True, help="Open no browser.")
@click.option(
    "--data",
    type=FilePath(),
    metavar="FOLDER",
    help="Where orders and plans are kept; else as METRAGE_DATA says, or in the user's data.",
)
@click.option(
    "--share",
    type=FilePath(),
    metavar="ORDER",
    help="Serve no page, but plan this order and write its steps as one file for a phone, "
    "cutting-table.html: it opens from a message or a drive, without a server.",
)
@click.option(
    "--at-home",
    is_flag=True,
    help="With --share: also serve that file, and nothing else, to the home network under an "
    "address that can't be guessed, until Ctrl-C.",
)
@out_option
def page(
    port: int, no_browser: bool, data: Path | None, share: Path | None, at_home: bool, out: Out
) -> None:
    """Do the whole job on a page in the browser, served to this computer alone."""
    with faults_in_words():
        if share is None:
            if at_home or out.folder is not None or out.overwrite:
                raise click.UsageError("--at-home, --out and --overwrite go with --share ORDER.")
            from nesting.books.folder import data_folder
            from nesting.page.server.serve import serve_page

            serve_page(port, browser=not no_browser, folder=data or data_folder())
            return
        content = _shared(share, out)
        if at_home:
            _serve(content)


def _shared(order: Path, out: Out) -> bytes:
    """Plan an order and write its steps as one file, which is given too."""
    from nesting.cli.terminal import progress
    from nesting.order.read import read_with_drawings
    from nesting.output.written import write_files
    from nesting.page.table.share import SHARED_FILE, shared_page
    from nesting.planning.planner import plan

    read, drawings = read_with_drawings(order)
    with out.held(read, (order, *drawings.values()), [SHARED_FILE]) as place:
        with progress(False) as watch:
            made = plan(read, watch=watch)
        content = shared_page(made)
        (written,) = write_files(place, {SHARED_FILE: content})
    click.echo(f"{written}: send it to the phone, and open it there.")
    return content


def _serve(content: bytes) -> None:
    from nesting.page.table.code import code
    from nesting.page.table.network import serve_shared
    from pieces.errors import Fault, OrderFault

    def tell(address: str) -> None:
        square = code(address)
        if square:
            click.echo(square)
        click.echo(f"On a phone in the same network: {address}")
        click.echo(_WARNING.strip())

    try:
        serve_shared(content, tell)
    except KeyboardInterrupt:
        click.echo("It is served no more.")
    except OSError as error:
        message = f"It can't be served to the network: {(error.strerror or str(error)).lower()}."
        raise OrderFault(
            [Fault("--at-home", "", message, "Send the file to the phone instead.")]
        ) from error
