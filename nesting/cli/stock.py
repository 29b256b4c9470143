"""`metrage stock`: the book of bolts and remnants; and what other commands do with it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.faults import faults_in_words
from nesting.cli.options import Command, FilePath

if TYPE_CHECKING:
    from nesting.fabric.fabric import Bolt
    from nesting.fabric.plans import Plan
    from nesting.order.model import Order
    from nesting.stock.book import Entry


@click.command()
@click.argument("book", metavar="FILE", type=FilePath())
@click.option("--add", "fabric", metavar="FABRIC", help="Put a length of this cloth in.")
@click.option("--length", metavar="L", help='How long it is, such as "2.25 m".')
@click.option("--width", metavar="W", help='Its full width, such as 150 or "58 in".')
@click.option(
    "--selvedge",
    metavar="W",
    help="What each of its edges loses, if not what the order says of the cloth: 0 without.",
)
@click.option("--washed", is_flag=True, help="It has shrunk already.")
@click.option(
    "--check", is_flag=True, help="See whether FILE is whole, and what can be read of it."
)
def stock(
    book: Path,
    fabric: str | None,
    length: str | None,
    width: str | None,
    selvedge: str | None,
    washed: bool,
    check: bool,
) -> None:
    """Show the book of bolts and remnants in FILE, or put cloth in."""
    with faults_in_words():
        from nesting.fabric.fabric import Bolt
        from nesting.stock.book import add, entries

        if check:
            _require_only_check(fabric, length, width, selvedge, washed)
            _tell_check(book)
            return
        if fabric is None:
            _require_nothing(length, width, selvedge, washed)
            held = entries(book)
            click.echo(_listed(held) if held else "The book is empty.")
            return
        length_mm, width_mm, selvedge_mm = _sizes(fabric, length, width, selvedge)
        bolt = Bolt("", length_mm, width_mm, washed, selvedge_mm=selvedge_mm)
        click.echo(_listed(add(book, fabric.strip(), [bolt])))


def stock_option(command: Command) -> Command:
    """The book that is planned with."""
    return click.option(
        "--stock",
        "book",
        metavar="FILE",
        type=FilePath(),
        help="Book of bolts and remnants: what it holds is in hand as well. See metrage stock.",
    )(command)


def in_hand_too(order: Order, book: Path | None) -> tuple[Order, tuple[Entry, ...]]:
    """The order with what a book holds in hand as well, and what that is."""
    from nesting.stock.book import entries
    from nesting.stock.stock import with_stock

    held = () if book is None else entries(book)
    return with_stock(order, held), held


def require_one_order(book: Path | None) -> None:
    """A book goes with one order: what two take of it is not known before."""
    from pieces.errors import Fault, OrderFault

    if book is not None:
        raise OrderFault(
            [
                Fault(
                    "--stock",
                    "",
                    "A folder of orders can't be planned with a book: they would share cloth.",
                    "Plan one order at a time, or leave --stock out.",
                )
            ]
        )


def require_can_take(take: bool, book: Path | None, asks: bool) -> None:
    """`--take` goes with a book, and with a plan to cut by."""
    from pieces.errors import Fault, OrderFault

    if take and book is None:
        raise OrderFault([Fault("--take", "", "No book is named.", "Add --stock FILE.")])
    if take and asks:
        raise OrderFault(
            [
                Fault(
                    "--take",
                    "",
                    "--how-many and --how-full only ask; nothing is cut.",
                    "Leave --take out, or plan the order without them.",
                )
            ]
        )


def book_cut(plan: Plan, book: Path, held: tuple[Entry, ...]) -> str:
    """Book what a plan cuts, and say so; nothing after Ctrl-C.

    Raises
    ------
    As `exchange`.
    """
    from nesting.stock.book import exchange
    from nesting.stock.stock import cut_of

    if plan.interrupted:
        return "Stopped early: nothing was booked."
    taken, left = cut_of(plan, held)
    lines = []
    if taken or left:
        entered = exchange(book, taken, left)
        lines += ["Taken out of the book:", _listed(taken)] if taken else []
        lines += ["Entered, as left over:", _listed(entered)] if entered else []
    else:
        lines.append(
            "Nothing is cut from what the book holds, nor anything left; it stays as it is."
        )
    own = [
        f"{made.bolt.name} ({made.fabric.name})"
        for made in plan.fabrics
        if made.bolt is not None
        and (made.fabric.name, made.bolt) not in [(one.fabric, one.bolt) for one in taken]
    ]
    if own:
        lines.append(
            f"Now take {', '.join(own)} out of the order's in_hand, or it is planned with again."
        )
    return "\n".join(lines)


def _tell_check(book: Path) -> None:
    """Whether a book is whole; of a damaged one, what is still as it was written.

    Raises
    ------
    OrderFault : it is damaged, or can't be used
    """
    from nesting.stock.book import contents
    from nesting.stock.faults import damaged
    from pieces.errors import OrderFault

    found = contents(book)
    if not found.damages:
        count = len(found.entries)
        held = "1 length" if count == 1 else f"{count} lengths"
        more = "" if found.has_checksums else (
            " It is of an earlier release: its checksums come with the first change, and until "
            "then not every damage can be told."
        )  # fmt: skip
        click.echo(f"The book is whole: {held}.{more}")
        return
    if found.entries:
        trust = "As they were written:" if found.has_checksums else "Still read, perhaps wrong:"
        click.echo(f"{trust}\n{_listed(found.entries)}")
    raise OrderFault([damaged(book, what) for what in found.damages])


def _listed(entries: tuple[Entry, ...]) -> str:
    from pieces.units import Unit, format_in_both, format_kept

    def line(entry: Entry) -> str:
        bolt = entry.bolt
        length, width = (
            format_in_both(mm, Unit.CM, format_kept) for mm in (bolt.length_mm, bolt.width_mm)
        )
        more = [
            "washed" if bolt.washed else "",
            "with flaws" if bolt.flaws else "",
            _edges(bolt),
            entry.origin,
        ]
        told = ", ".join([f"{length} long", f"{width} wide", *filter(None, more)])
        return f"  {bolt.name}: {entry.fabric}, {told}"

    return "\n".join(map(line, entries))


def _edges(bolt: Bolt) -> str:
    from pieces.units import Unit, format_in_both

    if bolt.selvedge_mm is None:
        return ""
    if bolt.selvedge_mm == 0:
        return "without selvedges"
    return f"selvedges of {format_in_both(bolt.selvedge_mm, Unit.CM)}"


def _require_nothing(*sizes: str | bool | None) -> None:
    from pieces.errors import Fault, OrderFault

    if any(size is not None and size is not False for size in sizes):
        raise OrderFault([Fault("--add", "", "No cloth is named.", "Add --add FABRIC.")])


def _require_only_check(*others: str | bool | None) -> None:
    from pieces.errors import Fault, OrderFault

    if any(other is not None and other is not False for other in others):
        message = "It only looks, and puts nothing in."
        raise OrderFault([Fault("--check", "", message, "Leave it out, or the other options.")])


def _sizes(
    fabric: str, length: str | None, width: str | None, selvedge: str | None
) -> tuple[float, float, float | None]:
    """Length, width and selvedge in millimetres; all that is at fault is told at once."""
    from pieces.errors import Fault, OrderFault
    from pieces.units import UNDERSTOOD, Unit, parse_length

    faults = [] if fabric.strip() else [Fault("--add", "", "The cloth has no name.", "Name it.")]
    sizes = []
    for option, text in (("--length", length), ("--width", width)):
        try:
            size_mm = 0.0 if text is None else parse_length(text, Unit.CM)
        except ValueError as error:
            faults.append(Fault(option, "", str(error)))
            continue
        sizes.append(size_mm)
        if size_mm <= 0:
            faults.append(
                Fault(option, "", "It must be more than nothing.", "Write " + UNDERSTOOD + ".")
            )
    selvedge_mm = None
    if selvedge is not None:
        try:
            selvedge_mm = parse_length(selvedge, Unit.CM)
        except ValueError as error:
            faults.append(Fault("--selvedge", "", str(error)))
    if not faults and not 0 <= 2 * (selvedge_mm or 0.0) < sizes[1]:
        remedy = "Give that of one edge, or 0 if both are cut off."
        faults.append(Fault("--selvedge", "", "It leaves nothing of the width.", remedy))
    if faults:
        raise OrderFault(faults)
    return sizes[0], sizes[1], selvedge_mm
