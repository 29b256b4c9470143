"""How the solver fares as orders grow: more pieces on the strip, more corners on the pieces.

    python -m benchmarks.growth --seconds 60 --results

Shirts are repeated 1, 2, 5 and 10 times; 40 pieces of smooth outlines are drawn with 10 to 300
corners. Every layout is checked apart from the solver.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import click
import numpy as np

from benchmarks.academic import require_legal, run
from benchmarks.results_table import append_section, machine, today
from benchmarks.strip_set import StripPiece, StripSet, read_set, to_instance
from nesting.solver.search import workers
from nesting.stop import Seconds, State

RESULTS = Path(__file__).parent / "results"
TIMES = (1, 2, 5, 10)
CORNERS = (10, 30, 100, 300)
_KINDS, _COPIES = 8, 5
_HEADING = (
    "# Growth of orders\n\n"
    "Density in percent after the first layout and at the end, against the number of pieces and "
    "of corners. Density against time: [growth.svg](growth.svg), of the latest run.\n"
)


@dataclass(frozen=True, slots=True)
class Curve:
    """One run: the sizes of its instance, and density in percent at seconds."""

    name: str
    items: int
    corners: int
    points: tuple[tuple[float, float], ...]


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--seconds", type=click.FloatRange(min=0.1), default=10.0, show_default=True)
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True, help="Processes.")
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--results", is_flag=True, help="Write growth.md and growth.svg in benchmarks/results."
)
def main(seconds: float, jobs: int, seed: int, results: bool) -> None:
    """Pack growing orders, each for the same time."""
    curves = []
    click.echo(_line("order", "pieces", "corners", "first s", "first %", "last %"))
    with workers(jobs) as executor:
        for strip_set in [*(repeated(n) for n in TIMES), *(smooth(n) for n in CORNERS)]:
            states: list[State] = []
            done = run(strip_set, Seconds(seconds), seed, jobs, executor, states.append)
            require_legal(strip_set, done)
            curves.append(_curve(strip_set, states))
            click.echo(_line(*_cells(curves[-1])))
            if done["interrupted"]:
                break
    if results:
        budget = f"{seconds:g} s a run on {jobs} {'process' if jobs == 1 else 'processes'}"
        write_results(curves, f"{budget}, seed {seed}")


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


def _curve(strip_set: StripSet, states: Sequence[State]) -> Curve:
    instance = to_instance(strip_set)
    share = 100 * strip_set.area * strip_set.scale / strip_set.width
    return Curve(
        strip_set.name,
        len(instance.items),
        max(len(piece.outline) for piece in strip_set.pieces),
        tuple((state.seconds, share / state.length) for state in states),
    )


def _cells(curve: Curve) -> tuple[str, ...]:
    (first_seconds, first), (_, last) = curve.points[0], curve.points[-1]
    figures = f"{first_seconds:.1f}", f"{first:.2f}", f"{last:.2f}"
    return curve.name, str(curve.items), str(curve.corners), *figures


def _line(name: str, *cells: str) -> str:
    return f"{name:<14}" + "".join(f"{cell:>9}" for cell in cells)


def write_results(curves: Sequence[Curve], budget: str, folder: Path = RESULTS) -> None:
    """Add a section to the kept table and draw density against time."""
    lines = [
        f"## {today()}, {budget}",
        "",
        machine(),
        "",
        "| order | pieces | most corners | first layout, s | its density | last density |",
        "|---|---|---|---|---|---|",
        *(f"| {' | '.join(_cells(curve))} |" for curve in curves),
    ]
    append_section(folder / "growth.md", _HEADING, "\n".join(lines) + "\n")
    _draw(curves, folder / "growth.svg")


def _draw(curves: Sequence[Curve], path: Path) -> None:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(9, 4), layout="constrained")
    for axes, repeats in zip(figure.subplots(1, 2), (True, False), strict=True):
        for curve in curves:
            if curve.name.startswith("shirts") == repeats:
                axes.step(*zip(*curve.points, strict=True), where="post", label=curve.name)
        axes.set_xlabel("seconds")
        axes.set_ylabel("density in %")
        if axes.lines:
            axes.legend()
    figure.savefig(path, metadata={"Date": None})


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.growth")
