"""`metrage stock`: the book of bolts and remnants; and what `metrage bolt` does with it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli_faults import faults_in_words

if TYPE_CHECKING:
    from nesting.plans import Plan
    from nesting.stock import Entry


@click.command()
@click.argument("book", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--add", "fabric", metavar="FABRIC", help="Put a length of this cloth in.")
@click.option("--length", metavar="L", help='How long it is, such as "2.25 m".')
@click.option("--width", metavar="W", help='Its full width, such as 150 or "58 in".')
@click.option("--washed", is_flag=True, help="It has shrunk already.")
def stock(
    book: Path, fabric: str | None, length: str | None, width: str | None, washed: bool
) -> None:
    """Show the book of bolts and remnants in FILE, or put cloth in."""
    with faults_in_words():
        from nesting.fabric import Bolt
        from nesting.stock import add, entries

        if fabric is None:
            _require_nothing(length, width, washed)
            held = entries(book)
            click.echo(_listed(held) if held else "The book is empty.")
            return
        length_mm, width_mm = _sizes(fabric, length, width)
        click.echo(_listed(add(book, fabric.strip(), [Bolt("", length_mm, width_mm, washed)])))


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
    from nesting.stock import cut_of, exchange

    if plan.interrupted:
        return "Stopped early: nothing was booked."
    taken, left = cut_of(plan, held)
    if not taken:
        return "Nothing is cut from what the book holds; nothing was booked."
    entered = exchange(book, taken, left)
    lines = ["Taken out of the book:", _listed(taken)]
    if entered:
        lines += ["Entered, as left over:", _listed(entered)]
    return "\n".join(lines)


def _listed(entries: tuple[Entry, ...]) -> str:
    from pieces.units import Unit, format_in_both

    def line(entry: Entry) -> str:
        bolt = entry.bolt
        length, width = (format_in_both(mm, Unit.CM) for mm in (bolt.length_mm, bolt.width_mm))
        more = (", washed" if bolt.washed else "") + (", with flaws" if bolt.flaws else "")
        return f"  {bolt.name}: {entry.fabric}, {length} long, {width} wide{more}"

    return "\n".join(map(line, entries))


def _require_nothing(length: str | None, width: str | None, washed: bool) -> None:
    from pieces.errors import Fault, OrderFault

    if length is not None or width is not None or washed:
        raise OrderFault([Fault("--add", "", "No cloth is named.", "Add --add FABRIC.")])


def _sizes(fabric: str, length: str | None, width: str | None) -> tuple[float, float]:
    """Length and width in millimetres; all that is at fault is told at once."""
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
                Fault(option, "", "It must be more than nothing.", f"Write {UNDERSTOOD}.")
            )
    if faults:
        raise OrderFault(faults)
    return sizes[0], sizes[1]
