"""One run of the solver on a set, measured: what every benchmark of whole searches shares."""

from __future__ import annotations

import sys

import click

from benchmarks.apart import apart, peak_memory_mb
from benchmarks.clock import Budget
from benchmarks.layout_check import faults
from benchmarks.ledger import Run
from benchmarks.strip_set import StripSet, to_instance, to_placements
from nesting.solver.solve import solve, warm_up
from nesting.solver.stop import State
from nesting.solver.workers import workers


def run(strip_set: StripSet, budget: Budget, seed: int, jobs: int) -> Run:
    """Search a set once, in a process of its own; the run as it is written, in the set's unit.

    `curve` holds seconds and density in percent from the first layout on; `memory_mb` is the
    most that all processes held. A layout that fails its check ends the program with exit
    status 1.
    """
    # Compiled here once, the kernels are there for every run.
    warm_up()
    return checked(strip_set, apart(measured, strip_set, budget, seed, jobs, jobs))


def checked(strip_set: StripSet, done: Run) -> Run:
    """The run, if its layout passes its check; else the program ends with exit status 1."""
    found = faults(strip_set, done)
    if found:
        click.echo(f"{strip_set.name}, seed {done['seed']}: the layout fails its check.", err=True)
        for fault in found:
            click.echo(f"  {fault}", err=True)
        sys.exit(1)
    return done


def measured(strip_set: StripSet, budget: Budget, seed: int, walkers: int, jobs: int = 1) -> Run:
    """A run in this process, or from here on so many; on a cluster it is sent to a worker."""
    clock = budget.clock
    begun, points = clock(), list[tuple[float, int]]()

    def note(state: State) -> None:
        if not points or state.length < points[-1][1]:
            points.append((clock() - begun, state.length))

    with workers(jobs) as executor:
        result = solve(
            to_instance(strip_set),
            budget.stop(),
            seed=seed,
            watch=note,
            executor=executor,
            walkers=walkers,
        )
        seconds = clock() - begun
        if executor is not None:
            # Only processes that have ended tell what they held.
            executor.shutdown()
    placements = to_placements(strip_set, result.layout)
    length = max(x for placement in placements for x, _ in placement["outline"])
    points = points or [(seconds, result.length)]
    share = 100 * strip_set.area * strip_set.scale / strip_set.width
    return {
        "set": strip_set.name,
        "seconds": round(seconds, 3),
        "rounds": result.rounds,
        "jobs": walkers,
        "seed": seed,
        "length": length,
        "bound": result.bound / strip_set.scale,
        "density": 100 * strip_set.area / (strip_set.width * length),
        "curve": [[round(at, 3), round(share / units, 4)] for at, units in points],
        "memory_mb": round(peak_memory_mb(jobs if jobs > 1 else 0)),
        "interrupted": result.interrupted,
        "placements": placements,
    }
