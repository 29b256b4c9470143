"""Twelve dresses of four sizes out of bolts of 10 m, 6 m and two remnants.

    python -m benchmarks.bolts --seconds 120 --results

One cloth is shared out in so many seconds; the answer is set against cutting the dresses one by
one, which is where the sharing itself begins, and against buying all of it. Every marker is
verified, as in any plan.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass, replace
from pathlib import Path

import click

from benchmarks.results_table import append_section, machine, today
from nesting.fabric.fabric import Bolt
from nesting.fabric.in_hand import room_mm
from nesting.fabric.plans import Plan
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds, Seconds, Stop
from nesting.solver.workers import workers

RESULTS = Path(__file__).parent / "results" / "bolts.md"
_HEADING = (
    "# Bolts\n\n"
    "Twelve dresses of four sizes, three of each, out of satin in hand: bolts of 10 m and 6 m, "
    "remnants of 1.4 m and 0.9 m; the rest is bought in steps of 10 cm. One by one: each dress as "
    "short as it was found by itself in the same run, the dresses shared out as well as can be "
    "(CP-SAT) and laid one behind the other, verified; the sharing goes on from there. Kept: "
    "lengths past the pieces, with no cut in them. Worked: processor time of all processes.\n"
)
_SIZES = {"2 years": 36, "4 years": 44, "6 years": 52, "8 years": 58}
"""Length of the skirt in cm."""
_BOLTS = ((10_000.0, 1500.0), (6_000.0, 1500.0), (1_400.0, 1500.0), (900.0, 1500.0))
_FABRIC = """
name = "twelve dresses"
units = "cm"
[fabric.satin]
width = 150
selvedge = 1
nap = "{nap}"
sold_by = "10 cm"
"""
_GARMENT = """
[[garment]]
name = "{size}"
size = "{size}"
quantity = {quantity}
[[garment.part]]
draft = "bodice"
fabric = "satin"
[[garment.part]]
draft = "sleeve"
fabric = "satin"
[[garment.part]]
draft = "flared skirt"
fabric = "satin"
lining = "satin"
circle = "full"
length = {length}
[[garment.part]]
draft = "sash"
fabric = "satin"
"""


@dataclass(frozen=True, slots=True)
class Run:
    """What a sharing comes to, in mm: bought together, one by one, and without bolts; kept.

    `worked` are the seconds that all processes worked.
    """

    nap: str
    seconds: float
    worked: float
    bought_mm: float
    one_by_one_mm: float | None
    without_mm: float
    from_bolts: int
    kept_mm: float


def order_of(nap: str, quantity: int, bolts: tuple[Bolt, ...] = ()) -> Order:
    """So many dresses of each of the four sizes."""
    garments = "".join(
        _GARMENT.format(size=size, length=length, quantity=quantity)
        for size, length in _SIZES.items()
    )
    order = order_from_text(_FABRIC.format(nap=nap) + garments, "bolts.toml")
    satin = replace(order.fabrics["satin"], in_hand=bolts)
    return replace(order, fabrics={"satin": satin})


def _bought_mm(made: Plan) -> float:
    return sum(entry.purchase.length_mm for entry in made.fabrics)


def _worked() -> float:
    """Seconds that this process has worked, and those that it started and that have ended."""
    return sum(os.times()[:4])


def run(nap: str, quantity: int, stop: Stop, jobs: int) -> Run:
    """Share the dresses out, and reckon what else could be done."""
    bolts = tuple(Bolt(f"bolt {n}", *size) for n, size in enumerate(_BOLTS, start=1))
    begun, worked = time.perf_counter(), _worked()
    with workers(jobs) as pool:
        made = plan(order_of(nap, quantity, bolts), stop, jobs=jobs, executor=pool)
        seconds = time.perf_counter() - begun
        if pool is not None:
            # Only processes that have ended tell how long they worked.
            pool.shutdown()
    cut = [entry for entry in made.fabrics if entry.bolt is not None]
    rooms = sum(
        room_mm(entry.fabric, entry.bolt.length_mm) for entry in cut if entry.bolt is not None
    )
    return Run(
        nap,
        seconds,
        _worked() - worked,
        _bought_mm(made),
        next((one.one_by_one_mm for one in made.fabrics), None),
        _bought_mm(plan(order_of(nap, quantity), stop.portion(0.5), jobs=jobs)),
        len({piece.garment for entry in cut for piece in entry.pieces}),
        rooms - sum(entry.marker.length_mm for entry in cut),
    )


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--seconds", type=click.FloatRange(min=0.1), default=120.0, show_default=True)
@click.option("--rounds", type=click.IntRange(min=1), help="Rounds for each search instead.")
@click.option(
    "--dresses", type=click.IntRange(min=1), default=3, show_default=True, help="Of each size."
)
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True, help="Processes.")
@click.option("--results", is_flag=True, help="Add a section to bolts.md in benchmarks/results.")
def main(seconds: float, rounds: int | None, dresses: int, jobs: int, results: bool) -> None:
    """Share twelve dresses out over four bolts, with and without a nap."""
    stop: Stop = Seconds(seconds) if rounds is None else Rounds(rounds)
    runs = [run(nap, dresses, stop, jobs) for nap in ("none", "one-way")]
    lines = [
        "| nap | time | worked | bought | one by one | all bought, no bolts | from bolts | kept |",
        "|---|---|---|---|---|---|---|---|",
        *(_row(one) for one in runs),
    ]
    click.echo("\n".join(lines))
    if results:
        budget = f"{seconds:g} s" if rounds is None else f"{rounds} rounds a search"
        title = f"## {today()}, {budget} on {jobs} processes"
        append_section(RESULTS, _HEADING, "\n".join([title, "", machine(), "", *lines, ""]))


def _row(one: Run) -> str:
    def metres(length_mm: float | None) -> str:
        return "" if length_mm is None else f"{length_mm / 1000:.2f} m"

    cells = (
        one.nap,
        f"{one.seconds:.1f} s",
        f"{one.worked:.0f} s",
        metres(one.bought_mm),
        metres(one.one_by_one_mm),
        metres(one.without_mm),
        str(one.from_bolts),
        metres(one.kept_mm),
    )
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.bolts")
