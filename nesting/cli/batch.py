"""`metrage plan FOLDER`: all orders of a folder."""

from __future__ import annotations

from pathlib import Path

import click

from nesting.cli.options import Out, Searching

_INTERRUPTED, _BROKEN = 130, 1


def plan_all(
    folder: Path, out: Out, search: Searching, lay: str, tiles: str | None, quiet: bool
) -> int:
    """Plan every order of a folder and tell what came of it; the exit status."""
    from nesting.batch.run import plan_folder
    from nesting.batch.summary import batch_report, write_batch
    from nesting.cli.terminal import orders_progress
    from nesting.fabric.fabric import LayName
    from nesting.output.paper.tiling import Paper

    place = out.place(folder.resolve().name, "plans")
    with search.batch_workers() as how, orders_progress(quiet) as watch:
        made = plan_folder(
            folder,
            place.folder,
            lay=None if lay == "best" else LayName(lay),
            tiles=None if tiles is None else Paper(tiles),
            watch=watch,
            overwrite=place.overwrite,
            **how,
        )
    write_batch(made, place)
    if not quiet:
        click.echo(batch_report(made))
        click.echo(
            f"\nWritten to {place.folder}: batch.json, batch.csv and a folder for each order."
        )
    if made.broken:
        click.echo(_told_broken(search.cluster), err=True)
        return _BROKEN
    if made.interrupted:
        click.echo("Stopped. The same command goes on with the orders still open.", err=True)
        return _INTERRUPTED
    if made.exit_status and quiet:
        click.echo("\n".join(fault for one in made.orders for fault in one.faults), err=True)
    return made.exit_status


def _told_broken(cluster: str | None) -> str:
    """What became of the workers, and how to go on."""
    if cluster is None:
        what = "The processes that planned ended by themselves, perhaps for want of memory."
        remedy = "with fewer --jobs if need be"
    else:
        what = f"The cluster at {cluster} was lost."
        remedy = "once its scheduler and its workers run, or without --cluster"
    return f"{what} The same command goes on with the orders still open, {remedy}."
