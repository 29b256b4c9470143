"""What went wrong, in words on the command line."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pieces.errors import Faults

_INTERRUPTED = 130
_WORKERS_LOST = (
    "The processes that searched ended by themselves, perhaps for want of memory. Run it again, "
    "with fewer --jobs."
)


class faults_in_words:  # noqa: N801 - reads as a context manager
    """Turn what went wrong into words and an exit status; never a traceback."""

    def __enter__(self) -> None: ...

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        from concurrent.futures import BrokenExecutor

        from pieces.errors import Faults, MetrageError

        if isinstance(error, KeyboardInterrupt):
            click.echo("Stopped before there was a plan; nothing was written.", err=True)
            sys.exit(_INTERRUPTED)
        if isinstance(error, BrokenExecutor):
            click.echo(_WORKERS_LOST, err=True)
            sys.exit(1)
        if isinstance(error, Faults):
            _tell_faults(error)
            sys.exit(error.exit_status)
        if isinstance(error, MetrageError):
            click.echo(str(error), err=True)
            sys.exit(error.exit_status)


def _tell_faults(error: Faults) -> None:
    count = len(error.faults)
    click.echo(
        "One thing to put right:" if count == 1 else f"{count} things to put right:", err=True
    )
    for fault in error.faults:
        click.echo(f"  {fault}", err=True)
