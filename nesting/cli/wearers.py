"""The book of wearers on the command line."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.faults import faults_in_words

if TYPE_CHECKING:
    from nesting.order.model import Order
    from nesting.wearers.wearer import Wearer
    from pieces.units import Unit

_book = click.argument("book", type=click.Path(path_type=Path, dir_okay=False))
_name = click.argument("name")
_unit = click.option(
    "--unit", type=click.Choice(["cm", "in"]), default="cm", show_default=True, help="To tell in."
)


@click.group()
def wearers() -> None:
    """Keep wearers' measures by date in a BOOK, a file on this computer alone."""


@wearers.command()
@_book
@_name
@click.option("--born", metavar="DATE", help="Date of birth, as 2019-04-30, to guess growth by.")
@click.option(
    "--table",
    type=click.Choice(["girl", "boy"]),
    default="girl",
    show_default=True,
    help="Whose rows of the size tables to guess by.",
)
def add(book: Path, name: str, born: str | None, table: str) -> None:
    """Enter a wearer called NAME; starts the BOOK if there is none."""
    with faults_in_words():
        from nesting.wearers.book import add as enter

        day = None if born is None else _date("--born", born)
        enter(book, _called(name), day, table, date.today())
        click.echo(f"Entered: {_called(name)}.")


@wearers.command(name="list")
@_book
def list_all(book: Path) -> None:
    """List the wearers of a BOOK."""
    with faults_in_words():
        from nesting.wearers.book import wearers as read

        for one in read(book):
            last = one.measured[-1].day.isoformat() if one.measured else "never"
            click.echo(f"{one.name}: measured {last}, orders {len(one.orders)}")


@wearers.command()
@_book
@_name
@_unit
def show(book: Path, name: str, unit: str) -> None:
    """Show all measures of NAME, what changed, and what is likely by now."""
    with faults_in_words():
        from nesting.wearers.book import wearer
        from pieces.units import Unit

        click.echo(_told(wearer(book, name), Unit(unit)))


@wearers.command()
@_book
@_name
@click.argument("measures", nargs=-1, required=True, metavar="MEASURE=LENGTH...")
@click.option("--on", "day", metavar="DATE", help="When, as 2025-03-01.  [default: today]")
@_unit
def measure(book: Path, name: str, measures: tuple[str, ...], day: str | None, unit: str) -> None:
    """Note measures of NAME, such as chest=56 "back_waist=10 1/2 in"."""
    with faults_in_words():
        from nesting.wearers.book import measure as note
        from pieces.body.measurements import in_words
        from pieces.units import Unit

        when = date.today() if day is None else _date("--on", day)
        lengths = _lengths(measures, Unit(unit))
        note(book, name, when, lengths)
        click.echo(f"Noted of {name}, {when.isoformat()}: {', '.join(map(in_words, lengths))}.")


@wearers.command()
@_book
@_name
def export(book: Path, name: str) -> None:
    """Write all that the BOOK has of NAME, as JSON; lengths in millimetres."""
    with faults_in_words():
        from nesting.wearers.book import exported, wearer

        click.echo(json.dumps(exported(wearer(book, name)), indent=1, ensure_ascii=False))


@wearers.command()
@_book
@_name
@click.option("--yes", is_flag=True, help="Don't ask.")
def erase(book: Path, name: str, yes: bool) -> None:
    """Erase all that the BOOK has of NAME; there is no way back."""
    with faults_in_words():
        from nesting.wearers.book import erase as take_out
        from nesting.wearers.book import wearer

        wearer(book, name)
        if not yes:
            click.confirm(f"Erase all measures and orders of {name}?", abort=True)
        take_out(book, name)
        click.echo(f"Erased: {name}. Copies of the book elsewhere still have it.")


def recorded(order: Order, bought: str) -> None:
    """Note a planned order in the book for each of its wearers.

    Raises
    ------
    OrderFault : the book can't be written
    """
    from nesting.wearers.book import record

    assert order.wearers is not None
    for name in order.wearers.names:
        record(order.wearers.book, name, date.today(), order.name, bought)


def require_wearers(order: Order) -> None:
    """Say before the search that an order names no wearer for whom to note it."""
    from pieces.errors import Fault, OrderFault

    if order.wearers is None or not order.wearers.names:
        what, remedy = "The order names no wearer of a book.", 'Add wearers = "FILE" to it.'
        raise OrderFault([Fault("--record", "", what, remedy)])


def require_no_record(record: bool) -> None:
    """Of a folder of orders nothing is noted, as their plans may be of another day."""
    from pieces.errors import Fault, OrderFault

    if record:
        what = "Of a folder of orders nothing is noted."
        raise OrderFault([Fault("--record", "", what, "Leave it out, or plan them one by one.")])


def _told(one: Wearer, unit: Unit) -> str:
    from nesting.output.report.text import heading, paragraph, section
    from pieces.body.measurements import in_words
    from pieces.units import format_length

    born = "" if one.born is None else f", born {one.born.isoformat()}"
    last = [
        f"{in_words(name)}: {format_length(mm, unit)}, {day.isoformat()}"
        for name, (mm, day) in one.latest.items()
    ]
    changed = [
        f"{in_words(change.measure)}: {format_length(change.before_mm, unit)} on "
        f"{change.before.isoformat()}, {format_length(change.now_mm, unit)} on "
        f"{change.now.isoformat()}"
        for change in one.changes()
        if change.before_mm != change.now_mm
    ]
    guesses = list(one.likely(date.today()))
    likely = [f"{in_words(g.measure)}: about {format_length(g.likely_mm, unit)}" for g in guesses]
    sources = dict.fromkeys(guess.source for guess in guesses)
    if guesses:
        likely.append(
            "A guess: each measure grown by the share by which its row of the size table grows. "
            f"Measure anew before you cut. The rows: {'; '.join(sources)}."
        )
    orders = [f"{order.day.isoformat()}, {order.order}: {order.bought}" for order in one.orders]
    lines = [heading(f"{one.name}{born}", "=")]
    for title, body in (
        ("Measured last", last),
        ("Changed since the time before", changed),
        ("Likely by now", likely),
        ("Orders", orders),
    ):
        lines += section(title, map(paragraph, body))
    return "\n".join(lines)


def _called(name: str) -> str:
    from pieces.errors import Fault, OrderFault

    plain = " ".join(name.split())
    if not plain or not plain.isprintable():
        raise OrderFault([Fault("NAME", "", "There is no name in it.", "Name the wearer.")])
    return plain


def _date(option: str, text: str) -> date:
    from pieces.errors import Fault, OrderFault

    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or day > date.today():
        what = f"'{text}' is not a date of the past." if day else f"'{text}' is not a date."
        raise OrderFault([Fault(option, "", what, "Write year, month and day, as 2025-03-01.")])
    return day


def _lengths(told: tuple[str, ...], unit: Unit) -> dict[str, float]:
    """Measures in mm; all that is at fault is told at once."""
    from nesting.order.faults import nearest
    from nesting.wearers.wearer import MEASURES
    from pieces.body.measurements import OTHER_NAMES, Body
    from pieces.body.ranges import impossible
    from pieces.errors import Fault, OrderFault
    from pieces.units import parse_length

    faults, found = [], {}
    for text in told:
        name, _, length = (part.strip() for part in text.partition("="))
        name = name.replace(" ", "_")
        name = OTHER_NAMES.get(name, name)
        if name not in MEASURES:
            remedy = nearest(name, MEASURES) or f"There are: {', '.join(MEASURES)}."
            faults.append(Fault(text, "", "This is no measure of a body known here.", remedy))
            continue
        try:
            found[name] = parse_length(length, unit)
        except ValueError as error:
            faults.append(Fault(name, "", str(error)))
    faults += [
        Fault(one.key.removeprefix(".body."), "", one.message, one.remedy)
        for one in impossible(Body(**found), "", unit)
    ]
    if faults:
        raise OrderFault(faults)
    return found
