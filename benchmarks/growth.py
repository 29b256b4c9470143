"""How the solver fares as orders grow: more pieces on the strip, more corners on the pieces.

    python -m benchmarks.growth --seconds 60 --results

Shirts are repeated 1, 2, 5 and 10 times; 40 pieces of smooth outlines are drawn with 10 to 300
corners. Every layout is checked apart from the solver.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click
import numpy as np

from benchmarks.clock import Budget
from benchmarks.ledger import Ledger, Run
from benchmarks.results_table import append_section, machine, today
from benchmarks.running import run
from benchmarks.strip_set import StripPiece, StripSet, read_set

RESULTS = Path(__file__).parent / "results"
TIMES = (1, 2, 5, 10)
CORNERS = (10, 30, 100, 300)
_KINDS, _COPIES = 8, 5
_COLUMNS = (
    "order", "pieces", "most corners", "first layout, s", "its density", "last density",
    "memory, MB",
)  # fmt: skip
_HEADING = (
    "# Growth of orders\n\n"
    "Density in percent after the first layout and at the end, against the number of pieces and "
    "of corners. Density against time: [growth.svg](growth.svg), of the latest run.\n"
)


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--seconds", type=click.FloatRange(min=0.1), default=10.0, show_default=True)
@click.option(
    "--clock",
    type=click.Choice(["wall", "cpu"]),
    default="wall",
    show_default=True,
    help="What seconds are of: time on the clock, or of the processor (with --jobs 1).",
)
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True, help="Processes.")
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--keep",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    help="File of finished runs, which are not run again.",
)
@click.option(
    "--results", is_flag=True, help="Write growth.md and growth.svg in benchmarks/results."
)
def main(
    seconds: float, clock: str, jobs: int, seed: int, keep: Path | None, results: bool
) -> None:
    """Pack growing orders, each for the same time."""
    if clock == "cpu" and jobs > 1:
        raise click.UsageError("--clock cpu counts one process: give --jobs 1 with it.")
    budget, ledger = Budget(seconds, cpu=clock == "cpu"), Ledger(keep)
    runs: list[Run] = []
    click.echo(_line(*_COLUMNS))
    for strip_set in [*(repeated(n) for n in TIMES), *(smooth(n) for n in CORNERS)]:
        wanted = {"set": strip_set.name, "seed": seed, "jobs": jobs, "budget": str(budget)}
        done = ledger.find(**wanted)
        if done is None:
            done = wanted | _sizes(strip_set) | run(strip_set, budget, seed, jobs)
            del done["placements"]
            if not done["interrupted"]:
                ledger.add(done)
        runs.append(done)
        click.echo(_line(*_cells(done)))
        if done["interrupted"]:
            break
    if results:
        processes = "1 process" if jobs == 1 else f"{jobs} processes"
        write_results(runs, f"{budget} a run on {processes}, seed {seed}")


def _sizes(strip_set: StripSet) -> Run:
    return {
        "items": sum(piece.quantity for piece in strip_set.pieces),
        "corners": max(len(piece.outline) for piece in strip_set.pieces),
    }


def repeated(times: int) -> StripSet:
    """Shirts several times over, on the same strip."""
    shirts = read_set("shirts")
    pieces = tuple(replace(piece, quantity=piece.quantity * times) for piece in shirts.pieces)
    return replace(shirts, name=f"shirts x {times}", pieces=pieces)


def smooth(corners: int) -> StripSet:
    """Pieces of wavy outlines that are alike for any number of corners."""
    pieces = tuple(
        StripPiece(f"wave {kind}", _COPIES, (0.0, 180.0), _wave(kind, corners))
        for kind in range(_KINDS)
    )
    return StripSet(f"{corners} corners", 100.0, pieces)


def _wave(kind: int, corners: int) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """An outline about the origin, anticlockwise, in a form that depends on the kind alone."""
    own = np.random.default_rng(kind)
    size, turns = own.uniform(8, 16), own.uniform(0, 2 * math.pi, 2)
    angle = np.arange(corners) * 2 * math.pi / corners
    radius = size * (1 + 0.3 * np.cos(2 * angle + turns[0]) + 0.12 * np.cos(3 * angle + turns[1]))
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]).round(4)


def _cells(done: Run) -> tuple[str, ...]:
    seconds, first = done["curve"][0]
    sizes = done["set"], str(done["items"]), str(done["corners"])
    figures = f"{seconds:.1f}", f"{first:.2f}", f"{done['density']:.2f}"
    return *sizes, *figures, f"{done['memory_mb']}"


def _line(name: str, *cells: str) -> str:
    return f"{name:<14}" + "".join(f"{cell:>15}" for cell in cells)


def write_results(runs: Sequence[Run], budget: str, folder: Path = RESULTS) -> None:
    """Add a section to the kept table and draw density against time."""
    lines = [
        f"## {today()}, {budget}",
        "",
        machine(),
        "",
        f"| {' | '.join(_COLUMNS)} |",
        f"|{'---|' * len(_COLUMNS)}",
        *(f"| {' | '.join(_cells(done))} |" for done in runs),
    ]
    append_section(folder / "growth.md", _HEADING, "\n".join(lines) + "\n")
    _draw(runs, folder / "growth.svg")


def _draw(runs: Sequence[Run], path: Path) -> None:
    from matplotlib.figure import Figure

    repeated_ones = [done for done in runs if done["set"].startswith("shirts")]
    smooth_ones = [done for done in runs if not done["set"].startswith("shirts")]
    kinds = [some for some in (repeated_ones, smooth_ones) if some]
    figure = Figure(figsize=(4.5 * len(kinds), 4), layout="constrained")
    panels = figure.subplots(1, len(kinds), squeeze=False).ravel()
    for axes, some in zip(panels, kinds, strict=True):
        for done in some:
            points = [*done["curve"], [done["seconds"], done["density"]]]
            axes.step(*zip(*points, strict=True), where="post", label=done["set"])
        axes.set_xlabel("seconds")
        axes.set_ylabel("density in %")
        axes.legend()
    figure.savefig(path, metadata={"Date": None})


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.growth")
