"""What commands have in common: the order, the folder for files, and how to search."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from nesting.stop import Stop

Command = Callable[..., Any]


class LayChoice(click.Choice[str]):
    """The lays by name, with `best` for whichever is best."""

    def __init__(self) -> None:
        from nesting.fabric import LayName

        super().__init__([*(name.value for name in LayName), "best"])


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
        from nesting.stop import FirstOf, Rounds, Seconds, UntilUnlikely

        if self.rounds is None:
            return UntilUnlikely() if self.seconds is None else Seconds(self.seconds)
        limit = Rounds(self.rounds)
        return limit if self.seconds is None else FirstOf(limit, Seconds(self.seconds))

    @contextmanager
    def workers(self) -> Iterator[dict[str, Any]]:
        """The keywords that every door takes of its search; a cluster is held meanwhile."""
        asked = {"stop": self.stop, "seed": self.seed, "jobs": self.jobs}
        if self.cluster is None:
            yield asked
            return
        from nesting.cluster import cluster

        with cluster(self.cluster, self.jobs) as (executor, jobs):
            yield asked | {"executor": executor, "jobs": jobs}


def order_argument(command: Command) -> Command:
    """The order file."""
    return click.argument("order", required=False, type=click.Path(path_type=Path))(command)


def out_option(command: Command) -> Command:
    """The folder for files."""
    return click.option(
        "--out",
        type=click.Path(path_type=Path),
        help="Folder for the files.  [default: ./<order name>-plan, or ./<folder name>-plans]",
    )(command)


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
            type=click.FloatRange(min=0.1),
            help="Time on the clock, all cloths together.  [default: until more is unlikely to "
            "change what is bought]",
        ),
        click.option(
            "--rounds",
            type=click.IntRange(min=1),
            help="Search so many rounds on each lay instead: the same answer every time.",
        ),
        click.option(
            "--seed", type=int, default=1, show_default=True, help="Start of the random search."
        ),
        click.option(
            "--jobs", type=click.IntRange(min=1), help="Processes to use.  [default: all cores]"
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
