"""Twelve dresses of four sizes out of bolts of 10 m, 6 m and two remnants.

    python -m benchmarks.bolts --seconds 120 --results

One cloth is shared out in so many seconds; the answer is set against cutting the dresses one by
one, each as short as it was found by itself, and against buying all of it. Every marker is
verified, as in any plan.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

import click

from benchmarks.results_table import append_section, machine, today
from nesting.assign import Counter, Place, Question, assign
from nesting.fabric import Bolt
from nesting.in_hand import cloth_of, room_mm
from nesting.order import Order
from nesting.order_file import order_from_text
from nesting.planner import plan
from nesting.plans import Plan
from nesting.purchase import purchase
from nesting.stop import Rounds, Seconds, Stop

RESULTS = Path(__file__).parent / "results" / "bolts.md"
_UM_PER_MM = 1_000
_SINGLE = 0.04
"""The share of the budget that the sharing itself has for one dress of a size."""
_HEADING = (
    "# Bolts\n\n"
    "Twelve dresses of four sizes, three of each, out of satin in hand: bolts of 10 m and 6 m, "
    "remnants of 1.4 m and 0.9 m; the rest is bought in steps of 10 cm. One by one: each dress by "
    "itself as short as it was found in the time that the sharing has for it, the dresses shared "
    "out as well as can be (CP-SAT). Kept: lengths past the pieces, with no cut in them.\n"
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
    """What a sharing comes to, in mm: bought together, one by one, and without bolts; kept."""

    nap: str
    seconds: float
    bought_mm: float
    one_by_one_mm: float
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


def one_by_one_mm(nap: str, quantity: int, bolts: tuple[Bolt, ...], stop: Stop, jobs: int) -> float:
    """What is bought if each dress has its own length of a bolt or of the purchase."""
    singles = []
    order = order_of(nap, 1)
    for garment in order.garments:
        alone = replace(order, garments=(garment,))
        (entry,) = plan(alone, stop, jobs=jobs).fabrics
        singles.append(int(_UM_PER_MM * entry.marker.length_mm))
    satin = order.fabrics["satin"]
    places = tuple(
        Place(int(_UM_PER_MM * room_mm(cloth_of(satin, bolt), bolt)), tuple(singles))
        for bolt in bolts
    )
    worths = ((1,) * quantity,) * len(singles)
    found = assign(Question(worths, places, Counter(tuple(singles))))
    assert found is not None
    left = sum(n * single for n, single in zip(found.left, singles, strict=True))
    return purchase(satin, left / _UM_PER_MM).length_mm if left else 0.0


def _bought_mm(made: Plan) -> float:
    return sum(entry.purchase.length_mm for entry in made.fabrics)


def run(nap: str, quantity: int, stop: Stop, jobs: int) -> Run:
    """Share the dresses out, and reckon what else could be done."""
    bolts = tuple(Bolt(f"bolt {n}", *size) for n, size in enumerate(_BOLTS, start=1))
    begun = time.perf_counter()
    made = plan(order_of(nap, quantity, bolts), stop, jobs=jobs)
    seconds = time.perf_counter() - begun
    single = stop.portion(_SINGLE)
    cut = [entry for entry in made.fabrics if entry.bolt is not None]
    rooms = sum(room_mm(entry.fabric, entry.bolt) for entry in cut if entry.bolt is not None)
    return Run(
        nap,
        seconds,
        _bought_mm(made),
        one_by_one_mm(nap, quantity, bolts, single, jobs),
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
        "| nap | time | bought | one by one | all bought, no bolts | dresses from bolts | kept |",
        "|---|---|---|---|---|---|---|",
        *(_row(one) for one in runs),
    ]
    click.echo("\n".join(lines))
    if results:
        budget = f"{seconds:g} s" if rounds is None else f"{rounds} rounds a search"
        title = f"## {today()}, {budget} on {jobs} processes"
        append_section(RESULTS, _HEADING, "\n".join([title, "", machine(), "", *lines, ""]))


def _row(one: Run) -> str:
    def metres(length_mm: float) -> str:
        return f"{length_mm / 1000:.2f} m"

    cells = (
        one.nap,
        f"{one.seconds:.0f} s",
        metres(one.bought_mm),
        metres(one.one_by_one_mm),
        metres(one.without_mm),
        str(one.from_bolts),
        metres(one.kept_mm),
    )
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.bolts")
