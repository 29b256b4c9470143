"""What the command line shows while a search goes on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from nesting.batch.outcome import Outcome
from nesting.batch.outcome import State as OrderState
from nesting.batch.run import Watch as BatchWatch
from nesting.batch.run import ignore as ignore_orders
from nesting.search.state import PlanState, Watch, ignore

if TYPE_CHECKING:
    from rich.console import Console


@contextmanager
def orders_progress(quiet: bool) -> Iterator[BatchWatch]:
    """As `progress`, for the orders of a batch."""
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

    console = _console(quiet)
    if console is None:
        yield ignore_orders
        return
    columns = (TextColumn("{task.description:<34}"), BarColumn(bar_width=24))
    with Progress(
        *columns, MofNCompleteColumn(), TimeElapsedColumn(), console=console, transient=True
    ) as bar:
        task = bar.add_task("reading the orders", total=None)

        def show(orders: Sequence[Outcome]) -> None:
            done = [one for one in orders if one.state is not OrderState.OPEN]
            last = done[-1].folder[:34]
            bar.update(task, completed=len(done), total=len(orders), description=last)

        yield show


def _console(quiet: bool) -> Console | None:
    """The terminal's error stream; None where that is no terminal, or if `quiet`."""
    from rich.console import Console

    console = Console(stderr=True)
    return None if quiet or not console.is_terminal else console


@contextmanager
def progress(quiet: bool) -> Iterator[Watch]:
    """A bar on the terminal's error stream, and what to buy so far.

    Nothing where that is no terminal, or if `quiet`.
    """
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = _console(quiet)
    if console is None:
        yield ignore
        return
    columns = (
        BarColumn(bar_width=20),
        TimeElapsedColumn(),
        TextColumn("{task.description}"),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("drafting the pieces", total=1.0)
        best: dict[str, str] = {}

        def show(state: PlanState) -> None:
            if state.bought:
                best[state.fabric] = f"{state.fabric} {state.bought}"
            told = "; ".join(best.values()) or f"{state.fabric}, {state.lay.value}"
            bar.update(task, completed=state.spent, description=told)

        yield show
