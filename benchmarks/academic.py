"""Run the solver on open sets of irregular strip packing and compare with published results.

    python -m benchmarks.academic shirts swim --seconds 120 --seed 1 --seed 2 --json runs.json

Every layout is checked apart from the solver before it is printed; one that fails ends the run
with exit status 1.
"""

from __future__ import annotations

import json
import sys
from concurrent.futures import Executor
from itertools import product
from pathlib import Path
from typing import Any

import click

from benchmarks.layout_check import faults
from benchmarks.results_table import append_results, head, row
from benchmarks.strip_set import SetError, StripSet, read_set, to_instance, to_placements
from nesting.progress import Watch, ignore
from nesting.solver.search import solve, workers
from nesting.stop import FirstOf, Rounds, Seconds, Stop

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
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True, help="Processes.")
@click.option(
    "--seed", "seeds", type=int, multiple=True, default=(1,), help="May be given several times."
)
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    help="File for the layouts: one run as an object, several as a list of them.",
)
@click.option("--results", is_flag=True, help="Add the runs to benchmarks/results/academic.md.")
def main(
    sets: tuple[str, ...],
    seconds: float | None,
    rounds: int | None,
    jobs: int,
    seeds: tuple[int, ...],
    json_file: Path | None,
    results: bool,
) -> None:
    """Pack open sets and compare their density with the best published."""
    try:
        strip_sets = [read_set(name) for name in sets]
    except SetError as fault:
        raise click.UsageError(str(fault)) from fault
    if json_file is not None and not json_file.absolute().parent.is_dir():
        raise click.BadParameter(f"{json_file}: there is no such folder.", param_hint="--json")
    click.echo(head())
    runs = []
    with workers(jobs) as executor:
        for strip_set, seed in product(strip_sets, seeds):
            done = run(strip_set, _stop(seconds, rounds), seed, jobs, executor)
            interrupted = done.pop("interrupted")
            require_legal(strip_set, done)
            click.echo(row(done))
            runs.append(done)
            if interrupted:
                break
    if json_file is not None:
        written = runs[0] if len(runs) == 1 else runs
        json_file.write_text(json.dumps(written, indent=1) + "\n", encoding="utf-8")
    if results:
        append_results(runs, _budget(seconds, rounds, jobs))


def run(
    strip_set: StripSet,
    stop: Stop,
    seed: int,
    jobs: int,
    executor: Executor | None,
    watch: Watch = ignore,
) -> dict[str, Any]:
    """Search one set once; the run as it is written, in the set's own unit.

    Beside what is written it tells whether Ctrl-C ended it.
    """
    instance = to_instance(strip_set)
    result = solve(instance, stop, seed=seed, watch=watch, executor=executor, walkers=jobs)
    placements = to_placements(strip_set, result.layout)
    length = max(x for placement in placements for x, _ in placement["outline"])
    return {
        "set": strip_set.name,
        "seconds": round(result.seconds, 3),
        "rounds": result.rounds,
        "jobs": jobs,
        "seed": seed,
        "length": length,
        "bound": result.bound / strip_set.scale,
        "density": 100 * strip_set.area / (strip_set.width * length),
        "placements": placements,
        "interrupted": result.interrupted,
    }


def _stop(seconds: float | None, rounds: int | None) -> Stop:
    """Rounds alone never look at the clock, so that they repeat."""
    if rounds is None:
        return Seconds(seconds or _SECONDS)
    return Rounds(rounds) if seconds is None else FirstOf(Rounds(rounds), Seconds(seconds))


def _budget(seconds: float | None, rounds: int | None, jobs: int) -> str:
    parts = [] if rounds is None else [f"{rounds} rounds"]
    if seconds is not None or rounds is None:
        parts.append(f"{seconds or _SECONDS:g} s")
    return f"{' or '.join(parts)} a run on {jobs} {'process' if jobs == 1 else 'processes'}"


def require_legal(strip_set: StripSet, done: dict[str, Any]) -> None:
    """End the program with exit status 1 if a run's layout fails its check."""
    found = faults(strip_set, done)
    if found:
        click.echo(f"{strip_set.name}, seed {done['seed']}: the layout fails its check.", err=True)
        for fault in found:
            click.echo(f"  {fault}", err=True)
        sys.exit(1)


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.academic")
