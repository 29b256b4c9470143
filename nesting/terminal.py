"""What the command line shows while a search goes on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from nesting.trials import PlanState, Watch, ignore


@contextmanager
def progress(quiet: bool) -> Iterator[Watch]:
    """A bar on the terminal's error stream; nothing where that is no terminal, or if `quiet`."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    if quiet or not console.is_terminal:
        yield ignore
        return
    columns = (
        TextColumn("{task.description:<34}"),
        BarColumn(bar_width=24),
        TextColumn("{task.fields[length]:>9}"),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("drafting the pieces", total=1.0, length="")

        def show(state: PlanState) -> None:
            bar.update(
                task,
                completed=state.spent,
                description=f"{state.fabric}, {state.lay.value.replace('-', ' ')}",
                length=f"{state.length_mm / 1000:.3f} m",
            )

        yield show
