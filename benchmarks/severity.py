"""Which measure of overlap leads the search to the shortest layouts.

    python -m benchmarks.severity --seconds 20 --results

Each measure of `benchmarks.severities` fills the tables of a process of its own in place of the
solver's. One walker searches in that process; the budget is processor
time, so that other work on the machine doesn't distort the comparison, and compiling is not
counted. The runs of all measures on a set and seed follow one another.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from itertools import product
from multiprocessing import get_context
from pathlib import Path
from statistics import fmean, stdev
from tempfile import TemporaryDirectory

import click

from benchmarks.clock import Budget
from benchmarks.layout_check import faults
from benchmarks.ledger import Ledger, Run
from benchmarks.results_table import append_section, machine, today
from benchmarks.severities import MEASURES, OWN, use
from benchmarks.strip_set import read_set, to_instance, to_placements
from nesting.solver.solve import solve

RESULTS = Path(__file__).parent / "results"
SETS = ("shirts", "swim", "dagli", "trousers")
SEEDS = (1, 2, 3, 4, 5)
_SECONDS = 20.0
_HEADING = (
    "# Measures of overlap\n\n"
    "Density in percent, mean of the seeds and their standard deviation, for each way to tell how "
    "badly two outlines overlap. All else is the solver's own. Each run is one search in one "
    "process. A budget in seconds is processor time of that process, not time on the clock, so "
    "the load of the machine does not distort it; compiling is not counted. The last column is "
    "the mean over sets and seeds of the difference to the solver's own measure on the same set "
    "and seed, with the standard error of that mean. Runs one by one, of the latest section: "
    "[severity.svg](severity.svg).\n"
)


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("sets", nargs=-1, metavar="[SET ...]")
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, min_open=True),
    default=_SECONDS,
    show_default=True,
    help="Processor time for each run.",
)
@click.option("--rounds", type=click.IntRange(min=1), help="Rounds for each run, instead of time.")
@click.option(
    "--seed", "seeds", type=int, multiple=True, default=SEEDS, help="May be given several times."
)
@click.option(
    "--measure",
    "names",
    type=click.Choice(list(MEASURES)),
    multiple=True,
    help="Only these, besides the solver's own. May be given several times.",
)
@click.option(
    "--keep",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    help="File of finished runs, which are not run again.",
)
@click.option(
    "--results", is_flag=True, help="Write severity.md and severity.svg in benchmarks/results."
)
def main(
    sets: tuple[str, ...],
    seconds: float,
    rounds: int | None,
    seeds: tuple[int, ...],
    names: tuple[str, ...],
    keep: Path | None,
    results: bool,
) -> None:
    """Search the same sets with every measure of overlap and compare the densities."""
    measures = [name for name in MEASURES if not names or name in {*names, OWN}]
    budget = Budget(seconds, cpu=True) if rounds is None else Budget(None, rounds)
    ledger = Ledger(keep)
    runs: list[Run] = []
    with ExitStack() as stack:
        processes: dict[str, Executor] = {}
        for seed, set_name, measure in product(seeds, sets or SETS, measures):
            wanted = {"set": set_name, "seed": seed, "measure": measure}
            wanted["budget"] = str(budget)
            run = ledger.find(**wanted)
            if run is None:
                if measure not in processes:
                    processes[measure] = stack.enter_context(_process(measure))
                task = processes[measure].submit(density, set_name, seed, budget)
                run = ledger.add(wanted | {"density": task.result()})
            click.echo(f"{set_name:<10}{seed:>4}  {measure:<10}{run['density']:>9.3f}")
            runs.append(run)
    click.echo("\n".join(table(runs)))
    if results:
        write_results(runs, f"{budget} a run, one process")


@contextmanager
def _process(measure: str) -> Iterator[Executor]:
    """A process that searches with a measure; what it compiles is kept apart."""
    with TemporaryDirectory() as folder:
        before = os.environ.get("NUMBA_CACHE_DIR")
        os.environ["NUMBA_CACHE_DIR"] = folder
        context = get_context("spawn")
        try:
            with ProcessPoolExecutor(1, context, initializer=use, initargs=(measure,)) as executor:
                executor.submit(int).result()
                yield executor
        finally:
            os.environ.pop("NUMBA_CACHE_DIR")
            if before is not None:
                os.environ["NUMBA_CACHE_DIR"] = before


def density(set_name: str, seed: int, budget: Budget) -> float:
    """Search a set once in this process; the density of the checked layout, in percent."""
    strip_set = read_set(set_name)
    result = solve(to_instance(strip_set), budget.stop(), seed=seed, walkers=1)
    placements = to_placements(strip_set, result.layout)
    length = max(x for placement in placements for x, _ in placement["outline"])
    found = 100 * strip_set.area / (strip_set.width * length)
    wrong = faults(strip_set, {"placements": placements, "length": length, "density": found})
    if wrong:
        raise RuntimeError(f"{set_name}, seed {seed}: the layout fails its check: {wrong[0]}")
    return found


def table(runs: Sequence[Run]) -> list[str]:
    """A row for each measure: mean and deviation on each set, and the gain on the solver's own."""
    sets = list(dict.fromkeys(run["set"] for run in runs))
    lines = [
        f"| measure | {' | '.join(sets)} | mean | gain |",
        f"|---|{'---|' * (len(sets) + 2)}",
    ]
    for measure in dict.fromkeys(run["measure"] for run in runs):
        own = [run for run in runs if run["measure"] == measure]
        cells = [_spread([r["density"] for r in own if r["set"] == name]) for name in sets]
        mean = fmean(run["density"] for run in own)
        lines.append(
            f"| {MEASURES[measure].about} | {' | '.join(cells)} | {mean:.2f} | {_gain(runs, own)} |"
        )
    return lines


def _spread(values: Sequence[float]) -> str:
    return f"{fmean(values):.2f} ± {stdev(values) if len(values) > 1 else 0:.2f}"


def _gain(runs: Sequence[Run], own: Sequence[Run]) -> str:
    """The mean difference to the solver's measure, with its standard error."""
    usual = {(r["set"], r["seed"]): r["density"] for r in runs if r["measure"] == OWN}
    gains = [run["density"] - usual[run["set"], run["seed"]] for run in own]
    if not any(gains):
        return ""
    error = stdev(gains) / len(gains) ** 0.5 if len(gains) > 1 else 0.0
    return f"{fmean(gains):+.2f} ± {error:.2f}"


def write_results(runs: Sequence[Run], budget: str, folder: Path = RESULTS) -> None:
    """Add a section to the kept table and draw the runs."""
    seeds = ", ".join(str(seed) for seed in sorted({run["seed"] for run in runs}))
    lines = [f"## {today()}, {budget}", "", f"{machine()} Seeds: {seeds}.", "", *table(runs)]
    append_section(folder / "severity.md", _HEADING, "\n".join(lines) + "\n")
    _draw(runs, folder / "severity.svg")


def _draw(runs: Sequence[Run], path: Path) -> None:
    """A dot for each run, a line for each mean, a panel for each set."""
    from matplotlib.figure import Figure

    sets = list(dict.fromkeys(run["set"] for run in runs))
    measures = list(dict.fromkeys(run["measure"] for run in runs))
    figure = Figure(figsize=(3 * len(sets), 4), layout="constrained")
    panels = figure.subplots(1, len(sets), squeeze=False)[0]
    for axes, name in zip(panels, sets, strict=True):
        for column, measure in enumerate(measures):
            found = [
                run["density"] for run in runs if (run["set"], run["measure"]) == (name, measure)
            ]
            axes.plot([column] * len(found), found, "o", alpha=0.5, color=f"C{column}")
            axes.hlines(fmean(found), column - 0.3, column + 0.3, color=f"C{column}")
        axes.set_title(name)
        axes.set_xticks(range(len(measures)), measures, rotation=60)
    panels[0].set_ylabel("density in %")
    figure.savefig(path, metadata={"Date": None})


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.severity")
