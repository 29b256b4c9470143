"""The search for pieces that meet a print: fixed instances, seeds and rounds.

    python -m benchmarks.prints --rounds 300 --seed 1 --seed 2 --seed 3 --results

Boxes that are cut from a strip on the lines of a print fill it again, so their optimum is known;
the others are garments on striped and checked cloth, laid open. One process; every layout is
checked: it is legal and lies on its phases.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import fmean

import click
import numpy as np

from benchmarks.apart import apart
from benchmarks.clock import Budget
from benchmarks.results_table import append_section, machine, today
from nesting.fabric.fabric import Fabric, LayName, Repeat
from nesting.order.model import Order
from nesting.order.read import example_order, order_from_text
from nesting.packing.fit import UNITS_PER_MM
from nesting.rules.parts import draft_order
from nesting.search.problem_builder import problem_for
from nesting.solver.instance import Instance, Item, Orientation, Phase
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.phases import keeps_phases, untied
from nesting.solver.programme.compact import is_legal
from nesting.solver.solve import solve, warm_up
from pieces.piece import Mark, Piece
from pieces.units import Unit

RESULTS = Path(__file__).parent / "results" / "prints.md"
_HEADING = (
    "# Pieces that meet a print\n\n"
    "Lengths in mm of layouts whose pieces lie on the lines of a print, the mean of the seeds and "
    "the least. Optimum: known, as the boxes were cut from a strip of that length on those lines; "
    "plain: what the same pieces took within the share of the same budget in which they need not "
    "meet, the least of the seeds.\n"
)
_PERIOD_MM, _WIDTH_MM, _PERIODS, _BOXES = 50.0, 1000.0, 30, 30
_ROUNDING = 1.0
_PLAID = """
name = "three plaid dresses"
units = "cm"
[fabric.check]
width = 140
selvedge = 1
repeat = { length = 12, width = 10 }
lays = ["open"]
"""
_DRESS = """
[[garment]]
name = "{size}"
size = "{size}"
[[garment.part]]
draft = "bodice"
fabric = "check"
match = ["centre front", "centre back", "waist", "front armhole notch"]
[[garment.part]]
draft = "sleeve"
fabric = "check"
match = ["front armhole notch"]
[[garment.part]]
draft = "flared skirt"
fabric = "check"
circle = "half"
length = {length}
match = ["waist"]
"""
_SIZES = {"2 years": 32, "4 years": 38, "6 years": 44}
"""Length of the skirt in cm."""


@dataclass(frozen=True, slots=True)
class Case:
    """An instance, and its optimum in mm where it is known."""

    about: str
    instance: Instance
    optimum_mm: float | None = None


def _cut_up(count: int, drawn: np.random.Generator, level: int) -> list[tuple[int, int]]:
    """Boxes that fill a strip: whole periods long, in units, and whole levels high."""
    period, width = round(_PERIOD_MM * UNITS_PER_MM), round(_WIDTH_MM * UNITS_PER_MM)
    boxes = [(_PERIODS * period, width)]
    while len(boxes) < count:
        boxes.sort(key=lambda one: (-one[0] * one[1], one))
        long, high = boxes.pop(0)
        if long > high and long >= 2 * period:
            part = period * int(drawn.integers(1, long // period))
            boxes += [(part, high), (long - part, high)]
        else:
            part = level * max(1, round(float(drawn.uniform(0.35, 0.65)) * high / level))
            boxes += [(long, part), (long, high - part)]
    return boxes


def _boxes(across: bool) -> Instance:
    """Boxes whose left edges, and lower ones on a check, lie on the lines of the print."""
    drawn = np.random.default_rng(25 + across)
    period, width = round(_PERIOD_MM * UNITS_PER_MM), round(_WIDTH_MM * UNITS_PER_MM)
    ties = ((0, 0.0), (1, 0.0)) if across else ((0, 0.0),)
    items = []
    for kind, (long, high) in enumerate(_cut_up(_BOXES, drawn, period if across else 1)):
        ring = np.array([[0, 0], [long, 0], [long, high], [0, high]])
        items.append(Item(kind, (Orientation(ring, 0, long, ((0, width - high),), 0, ties),)))
    phases = (Phase(0, float(period)), Phase(1, float(period), (0.0,)))
    return Instance(width, tuple(items), (), phases[: len(ties)])


def _laid_open(order: Order, fabric: Fabric, pieces: Sequence[Piece]) -> Instance:
    return problem_for(order, fabric, pieces, LayName.OPEN).packings[0].instance


def _plaid() -> Instance:
    """Three dresses of three sizes, bodice, sleeves and skirt, on a check."""
    garments = "".join(_DRESS.format(size=s, length=length) for s, length in _SIZES.items())
    order = order_from_text(_PLAID + garments, "plaid.toml")
    return _laid_open(order, order.fabrics["check"], draft_order(order).pieces)


def _choir() -> Instance:
    """The satin of the packaged example, as if it had stripes across that meet at every seam."""
    order = example_order()
    fabric = replace(order.fabrics["satin"], repeat=Repeat(length_mm=80.0))
    wanted = ("waist", "front armhole notch")
    pieces = [
        replace(piece, match=tuple(mark.name for mark in piece.marks if mark.name in wanted))
        for piece in draft_order(order).pieces
    ]
    return _laid_open(order, fabric, pieces)


def _random(count: int) -> Instance:
    """Garments of five pieces of random corners, each garment matched at a line of its own."""
    drawn = np.random.default_rng(7)
    pieces = []
    for garment in range(count):
        for number in range(5):
            corners = int(drawn.integers(4, 9))
            turns = np.sort(drawn.uniform(0, 2 * math.pi, corners - 3))
            turns = np.sort(np.concatenate([turns, [0.3, 2.4, 4.5]]))
            reach = drawn.uniform(0.6, 1.0, corners)
            wide, high = drawn.uniform(120, 420, 2)
            outline = tuple(
                (float(wide * r * np.cos(t)), float(high * r * np.sin(t)))
                for r, t in zip(reach, turns, strict=True)
            )
            mark = Mark("line", (float(drawn.uniform(-40, 40)), 0.0), along=True, across=False)
            pieces.append(
                Piece(
                    f"piece {number}",
                    "stripe",
                    outline,
                    ((0.0, 0.0), (10.0, 0.0)),
                    garment=f"garment {garment}",
                    marks=(mark,),
                    match=("line",),
                )
            )
    fabric = Fabric("stripe", 1200.0, repeat=Repeat(length_mm=150.0), lays=(LayName.OPEN,))
    order = Order("random", "random.toml", Unit.CM, {"stripe": fabric}, (), tuple(pieces))
    return _laid_open(order, fabric, pieces)


_OPTIMUM_MM = _PERIOD_MM * _PERIODS
CASES: dict[str, Callable[[], Case]] = {
    "boxes": lambda: Case(f"{_BOXES} boxes on stripes", _boxes(False), _OPTIMUM_MM),
    "checked": lambda: Case(f"{_BOXES} boxes on a check", _boxes(True), _OPTIMUM_MM),
    "plaid": lambda: Case("three dresses on a check", _plaid()),
    "choir": lambda: Case("satin of the example, striped", _choir()),
    "random": lambda: Case("four garments of five pieces on stripes", _random(4)),
}


@dataclass(frozen=True, slots=True)
class Run:
    """What a search came to, in mm, and the processor time that it took in seconds."""

    length_mm: float
    plain_mm: float
    worked: float


def run(name: str, budget: Budget, seed: int) -> Run:
    """Search a case once; exits with status 1 if the layout is not legal or off its phases."""
    instance = CASES[name]().instance
    begun = time.process_time()
    found = solve(instance, budget.stop(), seed=seed)
    worked = time.process_time() - begun
    free, layout = untied(instance), found.untied
    legal = is_legal(free, Nofits(free), found.layout)
    if not legal or not keeps_phases(instance, found.layout, _ROUNDING) or layout is None:
        click.echo(f"{name}, seed {seed}: the layout fails its check.", err=True)
        sys.exit(1)
    plain = free.length(layout)
    return Run(found.length / UNITS_PER_MM, plain / UNITS_PER_MM, worked)


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("names", nargs=-1, type=click.Choice(list(CASES)))
@click.option("--rounds", type=click.IntRange(min=1), help="300 if no seconds are given.")
@click.option("--seconds", type=click.FloatRange(min=0.1), help="Of processor time.")
@click.option("--seed", "seeds", multiple=True, type=int, default=(1, 2, 3), show_default=True)
@click.option("--about", default="", help="What is measured, for the section's title.")
@click.option("--results", is_flag=True, help="Add a section to prints.md in benchmarks/results.")
def main(
    names: tuple[str, ...],
    rounds: int | None,
    seconds: float | None,
    seeds: tuple[int, ...],
    about: str,
    results: bool,
) -> None:
    """Search fixed instances whose pieces meet a print."""
    if rounds is None and seconds is None:
        rounds = 300
    warm_up()
    lines = [
        "| instance | items | optimum | plain | mean | least | processor time each |",
        "|---|---|---|---|---|---|---|",
    ]
    click.echo("\n".join(lines))
    for name in names or CASES:
        budget = Budget(seconds, rounds, cpu=True)
        lines.append(_row(CASES[name](), [apart(run, name, budget, seed) for seed in seeds]))
        click.echo(lines[-1])
    if results:
        title = f"## {today()}, {about + ', ' if about else ''}{Budget(seconds, rounds, cpu=True)}"
        told = f"{machine()} Two walkers in one process, seeds {', '.join(map(str, seeds))}."
        append_section(RESULTS, _HEADING, "\n".join([title, "", told, "", *lines, ""]))


def _row(case: Case, runs: Sequence[Run]) -> str:
    lengths = [one.length_mm for one in runs]
    cells = (
        case.about,
        str(len(case.instance.items)),
        "" if case.optimum_mm is None else f"{case.optimum_mm:.0f}",
        f"{min(one.plain_mm for one in runs):.0f}",
        f"{fmean(lengths):.1f}",
        f"{min(lengths):.1f}",
        f"{fmean(one.worked for one in runs):.0f} s",
    )
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.prints")
