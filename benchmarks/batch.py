"""A hundred small orders planned as a batch, against the same orders planned one by one.

    python -m benchmarks.batch --results

Frocks of all sizes, each an order of its own, in cloths of several widths. The batch is planned
by the command, in a process of its own, and so is a sample of the orders one after the other in
one warm process, on as many cores, with the same seed and rounds: the time for an order of either,
and whether their plans are the same. Then a second batch is killed at random moments, again and
again, until it is through; what is lost or done twice is counted.
"""

from __future__ import annotations

import json
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from benchmarks.results_table import append_section, machine, today
from nesting.order.read import read_order
from nesting.output.write import write_plan
from nesting.planning.planner import plan
from nesting.solver.solve import warm_up
from nesting.solver.stop import Rounds

RESULTS = Path(__file__).parent / "results" / "batch.md"
_HEADING = (
    "# Batches\n\n"
    "A folder of small orders, frocks of all sizes in cloths of several widths, planned by "
    "`metrage plan FOLDER`; a sample of the same orders planned and drawn one after the other in a "
    "process that is warm already, on as many cores, with the same seed and rounds. Time for an "
    "order: on the clock, start of the command included; processor time: of all processes. Killed "
    "(SIGKILL) at random moments and begun again until it was through: orders finished in the end, "
    "and those planned more than once though they had been finished.\n"
)
_CLOTHS = {"lawn": (135, 140, 150), "satin": (140, 145, 150), "voile": (140, 150)}
"""Cloths and the widths they come in, in cm."""
_SIZES = tuple(f"{years} years" for years in range(2, 9))
_ORDER = """\
name = "frock {number}"
units = "cm"
[fabric.{cloth}]
width = {width}
selvedge = 1
nap = "{nap}"
sold_by = "10 cm"
price = {price}
currency = "EUR"
per = "m"
lays = ["open", "lengthwise-fold"]
[[garment]]
name = "frock"
size = "{size}"
[[garment.part]]
draft = "bodice"
fabric = "{cloth}"
[[garment.part]]
draft = "sleeve"
fabric = "{cloth}"
[[garment.part]]
draft = "flared skirt"
fabric = "{cloth}"
circle = "{circle}"
length = {length}
"""


def write_orders(folder: Path, count: int, seed: int = 1) -> list[Path]:
    """So many orders, the same for the same seed."""
    draw = random.Random(seed)
    paths = []
    for number in range(1, count + 1):
        cloth = draw.choice(sorted(_CLOTHS))
        text = _ORDER.format(
            number=number,
            cloth=cloth,
            width=draw.choice(_CLOTHS[cloth]),
            nap=draw.choice(["none", "one-way"]),
            price=draw.choice(["4.50", "7.90", "11.20"]),
            size=draw.choice(_SIZES),
            circle=draw.choice(["half", "quarter"]),
            length=draw.randint(26, 40),
        )
        paths.append(folder / f"frock-{number:03d}.toml")
        paths[-1].write_text(text, encoding="utf-8")
    return paths


@dataclass(frozen=True, slots=True)
class Spent:
    """Time on the clock and of the processor, in seconds."""

    wall: float
    cpu: float


def _metrage(*words: str) -> list[str]:
    return [sys.executable, "-m", "nesting.cli", *words]


def _cpu() -> float:
    """Processor time of this process and of all children that have ended."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def _as_batch(folder: Path, out: Path, rounds: int, jobs: int) -> Spent:
    begun, cpu = time.perf_counter(), _cpu()
    words = ["plan", str(folder), "--out", str(out), "--rounds", str(rounds), "--jobs", str(jobs)]
    subprocess.run(_metrage(*words, "--quiet"), check=True)
    return Spent(time.perf_counter() - begun, _cpu() - cpu)


def _one_by_one(paths: list[Path], out: Path, rounds: int, jobs: int) -> Spent:
    """Each planned and drawn in this process, but for its walkers' processes."""
    warm_up()
    write_plan(plan(read_order(paths[0]), Rounds(1), jobs=1), out / "warm")
    begun, cpu = time.perf_counter(), _cpu()
    for path in paths:
        write_plan(plan(read_order(path), Rounds(rounds), jobs=jobs), out / path.stem)
    wall = time.perf_counter() - begun
    time.sleep(1)  # workers end after the context they were made for
    return Spent(wall, _cpu() - cpu)


def plan_of(folder: Path) -> dict[str, Any]:
    """A plan as written, but for the time it took."""
    data: dict[str, Any] = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    return data | {"seconds": 0}


@dataclass(frozen=True, slots=True)
class Killed:
    """What became of a batch that was killed again and again."""

    kills: int
    finished: int
    doubled: int


def _killed(folder: Path, out: Path, count: int, rounds: int, jobs: int, most: float) -> Killed:
    """Begin a batch again after each kill at a random moment, until it is through."""
    draw = random.Random(count)
    words = ["plan", str(folder), "--out", str(out), "--rounds", str(rounds), "--jobs", str(jobs)]
    kills, seen, doubled = 0, dict[str, int](), 0
    while True:
        process = subprocess.Popen(_metrage(*words, "--quiet"))
        try:
            status = process.wait(draw.uniform(1, most))
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
            kills, status = kills + 1, None
        now = {p.parent.name: p.stat().st_mtime_ns for p in out.glob("*/finished.json")}
        doubled += sum(name not in now or now[name] != when for name, when in seen.items())
        seen = now
        if status is not None:
            return Killed(kills, len(seen), doubled)


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--orders", type=click.IntRange(min=2), default=100, show_default=True)
@click.option("--sample", type=click.IntRange(min=1), default=20, show_default=True)
@click.option("--rounds", type=click.IntRange(min=1), default=60, show_default=True)
@click.option("--jobs", type=click.IntRange(min=1), default=os.cpu_count() or 1, show_default=True)
@click.option(
    "--kill-within",
    type=click.FloatRange(min=1),
    help="Kill a second batch each time within so many seconds.  [default: it is not tried]",
)
@click.option("--results", is_flag=True, help="Add a section to batch.md in benchmarks/results.")
def main(
    orders: int, sample: int, rounds: int, jobs: int, kill_within: float | None, results: bool
) -> None:
    """Plan small orders as a batch and one by one, and kill a batch at random moments."""
    with tempfile.TemporaryDirectory() as place:
        folder, out = Path(place, "orders"), Path(place, "out")
        folder.mkdir()
        paths = write_orders(folder, orders)
        some = paths[:: max(1, orders // sample)]
        single = _one_by_one(some, Path(place, "alone"), rounds, jobs)
        batch = _as_batch(folder, out, rounds, jobs)
        same = sum(plan_of(out / p.stem) == plan_of(Path(place, "alone", p.stem)) for p in some)
        times = batch.wall / orders / (single.wall / len(some))
        lines = [
            "| | orders | time for an order | processor time for an order |",
            "|---|---|---|---|",
            _row("one by one", single, len(some)),
            _row("batch", batch, orders),
            "",
            f"Time for an order in the batch: {times:.2f} times that of one alone. "
            f"Same plans: {same} of {len(some)}.",
        ]
        if kill_within is not None:
            end = _killed(folder, Path(place, "killed"), orders, rounds, jobs, kill_within)
            lines.append(
                f"Killed {end.kills} times: {end.finished} of {orders} orders finished, "
                f"{end.doubled} lost or planned again."
            )
    click.echo("\n".join(lines))
    if results:
        title = f"## {today()}, {orders} orders, {rounds} rounds on {jobs} processes"
        append_section(RESULTS, _HEADING, "\n".join([title, "", machine(), "", *lines, ""]))


def _row(name: str, spent: Spent, orders: int) -> str:
    return f"| {name} | {orders} | {spent.wall / orders:.2f} s | {spent.cpu / orders:.2f} s |"


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.batch")
