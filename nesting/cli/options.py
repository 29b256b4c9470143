"""What commands have in common: the order, the folder for files, and how to search."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from nesting.order.model import Order
    from nesting.output.place import Place
    from nesting.solver.stop import Stop

_MOST_SECONDS, _MOST_ROUNDS, _MOST_JOBS = 10_000_000, 1_000_000_000, 512
"""Far more than any search is worth, and no more than the parts beneath can count."""
Command = Callable[..., Any]


class LayChoice(click.Choice[str]):
    """The lays by name, with `best` for whichever is best."""

    def __init__(self) -> None:
        from nesting.fabric.fabric import LayName

        super().__init__([*(name.value for name in LayName), "best"])


class FilePath(click.Path):
    """A file or folder, which must have a name: an empty one would be the folder at hand."""

    def __init__(self) -> None:
        super().__init__(path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path."""
        if not str(value).strip() or "\0" in str(value):
            self.fail("it has no name. The folder at hand is called . (a dot).", param, ctx)
        try:
            Path(value).exists()
        except OSError as error:
            self.fail(f"{value}: {(error.strerror or str(error)).lower()}.", param, ctx)
        return super().convert(value, param, ctx)


class _Time(click.FloatRange):
    """Seconds on the clock."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        seconds = super().convert(value, param, ctx)
        if math.isnan(seconds):
            self.fail(f"{value} is not a number of seconds.", param, ctx)
        return seconds


def _tell_gone(names: Sequence[str]) -> None:
    click.echo(
        f"Taken away, as they went with files that are now replaced: {', '.join(names)}.", err=True
    )


@dataclass(frozen=True, slots=True)
class Out:
    """Where files are to go, as asked on the command line."""

    folder: Path | None
    overwrite: bool

    def place(self, name: str, suffix: str, inputs: Iterable[Path] = ()) -> Place:
        """The folder that was asked for, or one called by a name; `inputs` stay as they are."""
        from nesting.output.place import Place
        from nesting.output.write import file_name

        folder = self.folder or Path(f"{file_name(name)}-{suffix}")
        return Place(folder, tuple(inputs), self.overwrite, _tell_gone)

    @contextmanager
    def held(
        self, order: Order, inputs: Iterable[Path], names: Iterable[str] = ()
    ) -> Iterator[Place]:
        """The folder for an order, held for files of these names; see `folder.held`."""
        from nesting.output.folder import held

        with held(self.place(order.name, "plan", inputs), names) as place:
            yield place


@dataclass(frozen=True, slots=True)
class Searching:
    """How to search, as asked on the command line."""

    seconds: float | None
    rounds: int | None
    seed: int
    jobs: int | None
    cluster: str | None

    @property
    def stop(self) -> Stop:
        """When to end. Rounds alone never look at the clock, so that they repeat."""
        from nesting.solver.stop import FirstOf, Rounds, Seconds, UntilUnlikely

        if self.rounds is None:
            return UntilUnlikely() if self.seconds is None else Seconds(self.seconds)
        limit = Rounds(self.rounds)
        return limit if self.seconds is None else FirstOf(limit, Seconds(self.seconds))

    @contextmanager
    def workers(self) -> Iterator[dict[str, Any]]:
        """The keywords that every door takes of its search; a cluster is held meanwhile.

        Where that is lost the search goes on in this process, which is told at the end.
        """
        with self.batch_workers() as how:
            if "executor" not in how:
                yield how
                return
            from nesting.search.parallel.cluster import OrHere

            executor = OrHere(how["executor"])
            try:
                yield how | {"executor": executor}
            finally:
                executor.shutdown(wait=False, cancel_futures=True)
                if executor.lost:
                    click.echo(
                        f"The cluster at {self.cluster} was lost; the search went on in one "
                        "process on this machine. See that its scheduler and its workers run "
                        "before you name it again.",
                        err=True,
                    )

    @contextmanager
    def batch_workers(self) -> Iterator[dict[str, Any]]:
        """As `workers`, for whole orders: those that a cluster had when it was lost stay open."""
        asked = {"stop": self.stop, "seed": self.seed, "jobs": self.jobs}
        if self.cluster is None:
            yield asked
            return
        from nesting.search.parallel.cluster import cluster

        with cluster(self.cluster, self.jobs) as (executor, jobs):
            yield asked | {"executor": executor, "jobs": jobs}


def order_argument(command: Command) -> Command:
    """The order file."""
    return click.argument("order", required=False, type=FilePath())(command)


def out_option(command: Command) -> Command:
    """The folder for files, and whether what lies there may go; given as `out`."""

    @wraps(command)
    def gathered(*, out: Path | None, overwrite: bool, **others: Any) -> Any:
        return command(out=Out(out, overwrite), **others)

    folder = click.option(
        "--out",
        type=FilePath(),
        help="Folder for the files.  [default: ./<order name>-plan, or ./<folder name>-plans]",
    )
    replaced = click.option(
        "--overwrite",
        is_flag=True,
        help="Replace files there that metrage did not write, but never what the order reads.",
    )
    found: Command = folder(replaced(gathered))
    return found


def tiles_option(command: Command) -> Command:
    """True-size pages."""
    return click.option(
        "--tiles",
        type=click.Choice(["a4", "letter"]),
        help="True-size PDF on pages of this paper as well, to print and stick together.",
    )(command)


def search_options(command: Command) -> Command:
    """What every command that searches can be told of its search; it is given as `search`."""

    @wraps(command)
    def gathered(
        *,
        seconds: float | None,
        rounds: int | None,
        seed: int,
        jobs: int | None,
        cluster: str | None,
        **others: Any,
    ) -> Any:
        return command(search=Searching(seconds, rounds, seed, jobs, cluster), **others)

    options = (
        click.option(
            "--seconds",
            type=_Time(0.1, _MOST_SECONDS),
            help="Time on the clock, all cloths together.  [default: until more is unlikely to "
            "change what is bought]",
        ),
        click.option(
            "--rounds",
            type=click.IntRange(1, _MOST_ROUNDS),
            help="Search so many rounds on each lay instead: the same answer every time.",
        ),
        click.option(
            "--seed", type=int, default=1, show_default=True, help="Start of the random search."
        ),
        click.option(
            "--jobs",
            type=click.IntRange(1, _MOST_JOBS),
            help="Processes to use.  [default: all cores]",
        ),
        click.option(
            "--cluster",
            metavar="ADDRESS",
            help="Search on the workers of a Dask cluster at this address; local: on --jobs "
            "workers started here.",
        ),
    )
    found: Command = gathered
    for option in reversed(options):
        found = option(found)
    return found
