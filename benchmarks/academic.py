"""Run the solver on open sets of irregular strip packing and compare with published results.

    python -m benchmarks.academic shirts swim --seconds 60 --seed 1 --seed 2 --seed 3 \
        --keep runs.jsonl --results
    python -m benchmarks.academic shirts --seed 1 --seed 2 --cluster tcp://192.168.1.20:8786

Every layout is checked apart from the solver before it is printed; one that fails ends the run
with exit status 1. With --keep a series that was broken off goes on where it ended.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager, nullcontext
from itertools import product
from pathlib import Path

import click

from benchmarks.clock import Budget
from benchmarks.ledger import Ledger, Run
from benchmarks.results_plots import draw_curves, draw_gaps
from benchmarks.results_table import RESULTS, append_results, head, row
from benchmarks.running import checked, measured, run
from benchmarks.strip_set import SetError, StripSet, read_set
from nesting.search.parallel.cluster import cluster as cluster_at
from pieces.errors import OrderFault

_SECONDS = 60.0


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("sets", nargs=-1, required=True, metavar="SET.json|NAME ...")
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, min_open=True),
    help=f"Time for each run.  [default: {_SECONDS:g}]",
)
@click.option(
    "--rounds", type=click.IntRange(min=1), help="Rounds for each run: the same result every time."
)
@click.option(
    "--clock",
    type=click.Choice(["wall", "cpu"]),
    default="wall",
    show_default=True,
    help="What seconds are of: time on the clock, or of the processor (with --jobs 1).",
)
@click.option(
    "--jobs",
    type=click.IntRange(min=1),
    default=2,
    show_default=True,
    help="Processes; on a cluster, walkers of a run that one worker takes in turn.",
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Spread the runs over the workers of a Dask cluster; local: started here, one a core.",
)
@click.option(
    "--seed", "seeds", type=int, multiple=True, default=(1,), help="May be given several times."
)
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    help="File for the layouts: one run as an object, several as a list of them.",
)
@click.option(
    "--keep",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    help="File of finished runs, which are not run again.",
)
@click.option(
    "--results", is_flag=True, help="Add the runs to academic.md in benchmarks/results, and plot."
)
def main(
    sets: tuple[str, ...],
    seconds: float | None,
    rounds: int | None,
    clock: str,
    jobs: int,
    cluster: str | None,
    seeds: tuple[int, ...],
    json_file: Path | None,
    keep: Path | None,
    results: bool,
) -> None:
    """Pack open sets and compare their density with the best published."""
    try:
        strip_sets = [read_set(name) for name in sets]
    except SetError as fault:
        raise click.UsageError(str(fault)) from fault
    for option, path in (("--json", json_file), ("--keep", keep)):
        if path is not None and not path.absolute().parent.is_dir():
            raise click.BadParameter(f"{path}: there is no such folder.", param_hint=option)
    if clock == "cpu" and jobs > 1 and cluster is None:
        raise click.UsageError("--clock cpu counts one process: give --jobs 1 with it.")
    if seconds is None and rounds is None:
        seconds = _SECONDS
    budget = Budget(seconds, rounds, cpu=clock == "cpu")
    with nullcontext() if cluster is None else _cluster(cluster) as executor:
        runs = run_all(strip_sets, seeds, budget, jobs, Ledger(keep), executor)
    if json_file is not None:
        written = runs[0] if len(runs) == 1 else runs
        json_file.write_text(json.dumps(written, indent=1) + "\n", encoding="utf-8")
    if results:
        processes = "1 process" if jobs == 1 else f"{jobs} processes"
        where = processes if cluster is None else f"one worker of a cluster, {jobs} walkers"
        append_results(runs, f"{budget} a run on {where}")
        draw_curves(runs, RESULTS.with_name("academic-time.svg"))
        draw_gaps(runs, RESULTS.with_name("academic-gap.svg"))


@contextmanager
def _cluster(address: str) -> Iterator[Executor]:
    """The cluster's executor; what keeps it from being one is told as a fault of the command."""
    try:
        with cluster_at(address) as (executor, _):
            yield executor
    except OrderFault as fault:
        raise click.UsageError(str(fault)) from fault


def run_all(
    strip_sets: list[StripSet],
    seeds: tuple[int, ...],
    budget: Budget,
    jobs: int,
    ledger: Ledger,
    executor: Executor | None = None,
) -> list[Run]:
    """Every set with every seed, those kept before as they are; after Ctrl-C what was done.

    On an executor all runs are begun at once, each whole on one of its workers.
    """
    runs: list[Run] = []
    click.echo(head())
    tasks = list(product(strip_sets, seeds))
    keys = [
        {"set": strip_set.name, "seed": seed, "jobs": jobs, "budget": str(budget)}
        for strip_set, seed in tasks
    ]
    begun = [
        None
        if executor is None or ledger.find(**wanted)
        else executor.submit(measured, strip_set, budget, seed, jobs)
        for (strip_set, seed), wanted in zip(tasks, keys, strict=True)
    ]
    for (strip_set, seed), wanted, future in zip(tasks, keys, begun, strict=True):
        done = ledger.find(**wanted)
        if done is None:
            try:
                done = wanted | (
                    run(strip_set, budget, seed, jobs)
                    if future is None
                    else checked(strip_set, future.result())
                )
            except KeyboardInterrupt:
                return runs
            if done.pop("interrupted"):
                return [*runs, done]
            ledger.add(done)
        click.echo(row(done))
        runs.append(done)
    return runs


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.academic")
