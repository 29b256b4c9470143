"""The command line. Heavy packages are imported inside commands, so that help is instant."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.batch import plan_all
from nesting.cli.faults import faults_in_words
from nesting.cli.options import (
    LayChoice,
    Out,
    Searching,
    order_argument,
    out_option,
    search_options,
    tiles_option,
)
from nesting.cli.page import page
from nesting.cli.stock import (
    book_cut,
    in_hand_too,
    require_can_take,
    require_one_order,
    stock,
    stock_option,
)
from nesting.cli.trace import trace
from nesting.cli.wearers import recorded, require_no_record, require_wearers, wearers

if TYPE_CHECKING:
    from nesting.order.model import Order
    from nesting.output.paper.tiling import Paper
    from nesting.output.place import Place
    from nesting.stock.book import Entry


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="metrage", message="metrage %(version)s")
def main() -> None:
    """Plan how cloth is cut: which pieces, how to fold, where each lies, how much to buy.

    Without an ORDER file, the packaged example is used.
    """


main.add_command(page)
main.add_command(stock)
main.add_command(trace)
main.add_command(wearers)


@main.command()
@order_argument
@out_option
@search_options
@click.option(
    "--lay", type=LayChoice(), default="best", show_default=True, help="How the cloth must lie."
)
@stock_option
@tiles_option
@click.option("--record", is_flag=True, help="Note the plan in the order's book of wearers.")
@click.option("--quiet", is_flag=True, help="Write the files and say nothing.")
def plan(
    order: Path | None,
    out: Out,
    search: Searching,
    lay: str,
    book: Path | None,
    tiles: str | None,
    record: bool,
    quiet: bool,
) -> None:
    """Lay out an ORDER: what to buy of each cloth, and drawings to cut from.

    If ORDER is a folder, all its orders are planned, each into a folder of its own. What is
    finished is not planned again: the same command goes on where it was stopped.
    """
    with faults_in_words():
        from nesting.cli.terminal import progress
        from nesting.fabric.fabric import LayName
        from nesting.output.report.report import report
        from nesting.output.report.shopping import in_one_line
        from nesting.output.report.text import paragraph
        from nesting.output.write import plan_names, write_plan
        from nesting.planning.planner import plan as make_plan

        if order is not None and order.is_dir():
            require_one_order(book)
            require_no_record(record)
            sys.exit(plan_all(order, out, search, lay, tiles, quiet))
        read, inputs = _read(order)
        if record:
            require_wearers(read)
        asked, _ = in_hand_too(read, book)
        paper = _paper(tiles)
        name = None if lay == "best" else LayName(lay)
        with out.held(asked, _with(inputs, book), plan_names(asked, paper)) as place:
            with search.workers() as how, progress(quiet) as watch:
                made = make_plan(asked, lay=name, watch=watch, drawn=True, **how)
            written = write_plan(made, place, paper)
        if record:
            recorded(read, in_one_line(made))
        if not quiet:
            click.echo(report(made))
            _tell_files(written)
            click.echo(paragraph(in_one_line(made), ""))


@main.command()
@order_argument
@out_option
@click.option(
    "--width",
    "widths",
    multiple=True,
    metavar="W",
    help='Full width of the cloth to try, such as 115 or "58 in"; may be given again and again.'
    "  [default: each cloth's own]",
)
@click.option(
    "--against",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="OTHER",
    help="Another order, such as the same in another cloth: its offer beside this one's.",
)
@search_options
@click.option("--quiet", is_flag=True, help="Write the files and say nothing.")
def compare(
    order: Path | None,
    out: Out,
    widths: tuple[str, ...],
    against: Path | None,
    search: Searching,
    quiet: bool,
) -> None:
    """Compare the lays and widths for an ORDER: cloth, cost and cutting side by side."""
    with faults_in_words():
        from nesting.cli.terminal import progress
        from nesting.output.report.comparison import comparison_report
        from nesting.output.write import COMPARISON_NAMES, write_comparison
        from nesting.planning.comparer import compare as make_comparison
        from nesting.planning.comparer import widths_mm

        asked, inputs = _read(order)
        wide, other = widths_mm(asked, widths), None
        beside = None if against is None else _offered(asked, against)
        with out.held(asked, _with(inputs, against), COMPARISON_NAMES) as place:
            with search.workers() as how, progress(quiet) as watch:
                made = make_comparison(asked, widths_mm=wide, watch=watch, **how)
                if beside is not None:
                    other = make_comparison(beside, watch=watch, **how)
            written = write_comparison(made, place, other)
        if not quiet:
            click.echo(comparison_report(made, other))
            _tell_files(written)


@main.command()
@order_argument
@out_option
@search_options
@click.option(
    "--how-many",
    "garments",
    multiple=True,
    metavar="GARMENT",
    help="Count the whole garments of this kind that come out of what is in hand; of several in "
    "turn, if given again and again.",
)
@click.option(
    "--how-full",
    "part",
    metavar="PART",
    help='Find how full this part can be, such as "gathered skirt" or tier.',
)
@click.option(
    "--by",
    type=click.Choice(["fullness", "length", "layers"]),
    default="fullness",
    show_default=True,
    help="What of the part is to be as large as can be.",
)
@stock_option
@click.option("--take", is_flag=True, help="Book the cut: bolts out, what is left of them in.")
@click.option("--quiet", is_flag=True, help="Write the files and say nothing.")
def bolt(
    order: Path | None,
    out: Out,
    search: Searching,
    garments: tuple[str, ...],
    part: str | None,
    by: str,
    book: Path | None,
    take: bool,
    quiet: bool,
) -> None:
    """Cut an ORDER from cloth in hand: what comes out of which bolt, and is it enough?"""
    with faults_in_words():
        from nesting.order.read import IN_HAND_EXAMPLE
        from nesting.output.write import BOLT_NAMES, drawing_names

        require_can_take(take, book, bool(garments) or part is not None)
        read, inputs = _read(order, IN_HAND_EXAMPLE)
        asked, held = in_hand_too(read, book)
        names = (*BOLT_NAMES, *drawing_names(asked))
        with out.held(asked, _with(inputs, book), names) as place:
            if garments:
                said, written = _how_many(asked, garments, place, quiet, search)
            elif part is not None:
                said, written = _how_full(asked, part, by, place, quiet, search)
            else:
                said, written = _share(asked, place, quiet, search, book if take else None, held)
        if not quiet:
            click.echo(said)
            _tell_files(written)


def _share(
    order: Order,
    place: Place,
    quiet: bool,
    search: Searching,
    book: Path | None,
    held: tuple[Entry, ...],
) -> tuple[str, tuple[Path, ...]]:
    from nesting.cli.terminal import progress
    from nesting.output.report.bolts import sharing_report
    from nesting.output.write import write_sharing
    from nesting.studies.sharing import share

    with search.workers() as how, progress(quiet) as watch:
        made = share(order, watch=watch, **how)
    written = write_sharing(made, place)
    # Booked last: whoever is cut short before has drawings, and all cloth still in the book.
    booked = "" if book is None else f"\n\n{book_cut(made.plan, book, held)}"
    return sharing_report(made) + booked, written


def _how_many(
    order: Order, garments: tuple[str, ...], place: Place, quiet: bool, search: Searching
) -> tuple[str, tuple[Path, ...]]:
    from nesting.cli.terminal import progress
    from nesting.output.report.yields import yields_report
    from nesting.output.write import write_yields
    from nesting.studies.yields import how_many

    with search.workers() as how, progress(quiet) as watch:
        made = how_many(order, garments, watch=watch, **how)
    return yields_report(made), write_yields(made, place)


def _how_full(
    order: Order, part: str, by: str, place: Place, quiet: bool, search: Searching
) -> tuple[str, tuple[Path, ...]]:
    from nesting.cli.terminal import progress
    from nesting.output.report.fullness import fullness_report
    from nesting.output.write import write_fullness
    from nesting.studies.fullness import By, how_full

    with search.workers() as how, progress(quiet) as watch:
        made = how_full(order, part, By(by), watch=watch, **how)
    return fullness_report(made), write_fullness(made, place)


@main.command()
@order_argument
@out_option
@tiles_option
@click.option("--quiet", is_flag=True, help="Write the files and say nothing.")
def draft(order: Path | None, out: Out, tiles: str | None, quiet: bool) -> None:
    """Draft the pieces of an ORDER and compare the seams that must meet."""
    with faults_in_words():
        from nesting.output.report.report import draft_report
        from nesting.output.write import write_draft
        from nesting.rules.parts import draft_order

        asked, inputs = _read(order)
        with out.held(asked, inputs) as place:
            drafted = draft_order(asked)
            written = write_draft(asked.name, drafted, asked.unit, place, _paper(tiles))
        if not quiet:
            click.echo(draft_report(asked.name, drafted, asked.unit))
            _tell_files(written)


@main.command()
@order_argument
@out_option
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Paper to print on.  [default: Letter for an order in inches, else A4]",
)
@click.option("--filled", is_flag=True, help="With the measures that were taken, to compare.")
def card(order: Path | None, out: Out, paper: str | None, filled: bool) -> None:
    """Write a card to take the measures by that an ORDER's drafts need, a page a garment."""
    with faults_in_words():
        from nesting.output.write import CARD_NAME, write_card

        asked, inputs = _read(order)
        with out.held(asked, inputs, (CARD_NAME,)) as place:
            written = write_card(asked, place, _paper(paper), filled=filled)
        _tell_files(written)


def _read(order: Path | None, example: str = "") -> tuple[Order, tuple[Path, ...]]:
    """The order, and the files that it is read from."""
    from nesting.order.read import EXAMPLE, example_order, read_with_drawings

    if order is None:
        return example_order(example or EXAMPLE), ()
    found, drawings = read_with_drawings(order)
    book = () if found.wearers is None else (found.wearers.book,)
    return found, (order, *drawings.values(), *book)


def _offered(order: Order, against: Path) -> Order:
    """The other order of two offers; a fault where the first has no costing to reckon by."""
    from pieces.errors import Fault, OrderFault

    if order.costing is None:
        what, remedy = "The order has no prices of work.", "Add a table [costing] to it."
        raise OrderFault([Fault("--against", "", what, remedy)])
    return _read(against)[0]


def _with(inputs: tuple[Path, ...], book: Path | None) -> tuple[Path, ...]:
    return inputs if book is None else (*inputs, book)


def _paper(tiles: str | None) -> Paper | None:
    from nesting.output.paper.tiling import Paper

    return None if tiles is None else Paper(tiles)


def _tell_files(written: tuple[Path, ...]) -> None:
    folder = written[0].parent
    click.echo(f"\nWritten to {folder}: " + ", ".join(path.name for path in written))
