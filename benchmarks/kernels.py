"""How fast the solver's inner loops are, each beside the first of them.

    python -m benchmarks.kernels --results

Times depend on the machine and its load, so what is to be compared is the ratio within one run.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np

from benchmarks.growth import repeated
from benchmarks.results_table import append_section, machine, today
from benchmarks.strip_set import to_instance
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import (
    Effort,
    Fields,
    Floats,
    Ints,
    Placed,
    Strip,
    scratch_for,
)
from nesting.solver.overlap.kernels import separate
from nesting.solver.overlap.severity import (
    fast,
    measure_all,
    near_items,
    overlap,
)
from nesting.solver.programme.compact import compact
from nesting.solver.programme.halfplanes import MOST_PLANES, depth_inside, half_planes
from nesting.solver.search.construct import layout_in_order, orders
from nesting.solver.search.prepared import Prepared

RESULTS = Path(__file__).parent / "results"
_BATCH = 20_000
_LINES = 60
_HEADING = (
    "# Kernels of the solver\n\n"
    "Calls a second on one core, on shirts and on shirts ten times over, and the time of a call "
    "as a multiple of the first row's. Latest run: [kernels.svg](kernels.svg).\n"
)


@dataclass(frozen=True, slots=True)
class Rate:
    """A kernel and its calls a second."""

    name: str
    calls: float


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--seconds",
    type=click.FloatRange(min=0.01),
    default=0.5,
    show_default=True,
    help="Time for each kernel.",
)
@click.option(
    "--results", is_flag=True, help="Write kernels.md and kernels.svg in benchmarks/results."
)
def main(seconds: float, results: bool) -> None:
    """Call each kernel for a while and tell how often it can be called in a second."""
    rates: list[Rate] = []
    for times in (1, 10):
        for name, calls, work in Bench(times).kernels():
            rates.append(Rate(f"{name}, shirts x {times}", _rate(work, calls, seconds)))
            click.echo(_line(rates[-1], rates[0]))
    if results:
        write_results(rates)


def _rate(work: Callable[[], object], calls: int, seconds: float) -> float:
    """Calls a second of processor time; the fastest of several goes, the first one apart."""
    work()
    best, left = 0.0, seconds
    while left > 0:
        begun = time.process_time()
        work()
        taken = max(time.process_time() - begun, 1e-9)
        best = max(best, calls / taken)
        left -= taken
    return best


@fast
def _overlaps(fields: Fields, rows: Ints, apart: Floats) -> float:
    total = 0.0
    for k in range(len(rows)):
        total += overlap(fields, rows[k, 0], rows[k, 1], apart[k, 0], apart[k, 1], False)
    return total


@fast
def _nears(boxes: Floats, near: Ints, corners: Floats, side: float) -> int:
    count = 0
    for k in range(len(corners)):
        x, y = corners[k, 0], corners[k, 1]
        count += near_items(boxes, -1, x, y, x + side, y + side, near)
    return count


class Bench:
    """Shirts some times over, laid out and then shaken so that neighbours overlap."""

    def __init__(self, times: int) -> None:
        self.instance = to_instance(repeated(times))
        self.prepared = Prepared(self.instance)
        self.layout = layout_in_order(self.prepared, orders(self.prepared)[0], _LINES)
        self.random = np.random.default_rng(1)
        self.placed = Placed(*self.prepared.arrays(self.layout))
        places = self.placed.places
        places += self.random.normal(0, 0.02 * self.instance.width, places.shape)
        self.scratch = scratch_for(len(self.prepared.first), len(places))
        self._measure()
        self.prepared.build_missing(self.prepared.fields.tables)

    def kernels(self) -> list[tuple[str, int, Callable[[], object]]]:
        """Names, the calls that one go makes, and what makes them."""
        own = self.prepared
        low = own.pairs[:, at.PAIR_X0 : at.PAIR_X1]
        rows = self.random.integers(0, len(own.shapes), (_BATCH, 2))
        row = rows[:, 0] * len(own.shapes) + rows[:, 1]
        apart = low[row] + self.random.random((_BATCH, 2)) * (
            own.pairs[row, at.PAIR_X1 : at.FIRST_CROSSING] - low[row]
        )
        reach = self.placed.places.max(axis=0)
        corners = self.random.random((_BATCH, 2)) * reach
        edges = own.nofits.edges(0, 0, 0, 0)
        x, y = edges[0, :2] * 0.9
        planes = np.empty((MOST_PLANES, 3))
        side = 0.2 * self.instance.width
        return [
            (
                "severity of a pair",
                _BATCH,
                lambda: _overlaps(own.fields.tables, rows, apart),
            ),
            ("boxes near a place", _BATCH, self._nears(corners, side)),
            ("all severities", 1, self._measure),
            ("sweep", 1, self._sweep),
            ("depth in a no-fit polygon", 1, lambda: depth_inside(edges, x, y)),
            (
                "half-planes of a pair",
                1,
                lambda: half_planes(edges, x, y, side, True, 1.0, planes),
            ),
            (
                "linear programme",
                1,
                lambda: compact(self.instance, own.nofits, self.layout, 1),
            ),
        ]

    def _measure(self) -> None:
        own = self.prepared
        measure_all(own.fields.tables, own.shapes, self.placed, self.scratch, len(own.first))

    def _nears(self, corners: Floats, side: float) -> Callable[[], object]:
        self._measure()
        return lambda: _nears(self.scratch.boxes, self.scratch.near, corners, side)

    def _sweep(self) -> None:
        own = self.prepared
        placed = self.placed.copy()
        options = own.options(own.directions(placed.chosen))
        separate(
            Strip(own.fields.tables, own.shapes, options, float(own.length(self.layout))),
            placed,
            placed.copy(),
            np.ones_like(self.scratch.severity),
            np.array([np.inf, np.inf, 0.0, 0.0, np.inf]),
            Effort(1, 200, 3),
            np.array([1], dtype=np.uint64),
            self.scratch,
            None,
        )


def _line(rate: Rate, first: Rate) -> str:
    return f"{rate.name:<42}{rate.calls:>14,.0f} a second{first.calls / rate.calls:>14,.2f}"


def write_results(rates: Sequence[Rate], folder: Path = RESULTS) -> None:
    """Add a section to the kept table and draw the latest rates."""
    lines = [
        f"## {today()}",
        "",
        machine(),
        "",
        "| kernel | calls a second | time of a call beside the first |",
        "|---|---|---|",
        *(f"| {r.name} | {r.calls:,.0f} | {rates[0].calls / r.calls:,.2f} |" for r in rates),
    ]
    append_section(folder / "kernels.md", _HEADING, "\n".join(lines) + "\n")
    _draw(rates, folder / "kernels.svg")


def _draw(rates: Sequence[Rate], path: Path) -> None:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(8, 0.4 * len(rates) + 1), layout="constrained")
    axes = figure.subplots()
    axes.barh([rate.name for rate in rates][::-1], [rate.calls for rate in rates][::-1])
    axes.set_xscale("log")
    axes.set_xlabel("calls a second")
    figure.savefig(path, metadata={"Date": None})


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.kernels")
