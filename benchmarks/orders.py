"""Whole orders planned as a user would have them planned, against the best that is known.

    python -m benchmarks.orders --seconds 5 --seconds 20 --seconds 60 --label "after" --results

Each order is planned through the door that everybody uses, in a process of its own, at each
budget and with each seed; with `--busy 4` beside so many processes that do nothing but work. The
best known length of each cloth stands in `whole_orders/best_known.json` and is lowered by any run
that beats it.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import Process, Value
from pathlib import Path
from typing import Any

import click

from benchmarks.apart import apart
from benchmarks.ledger import Ledger, Run
from benchmarks.orders_results import append_orders, draw_orders, row, summary
from nesting.fabric.plans import FabricPlan
from nesting.order.read import read_order
from nesting.planning.planner import plan
from nesting.rules.parts import draft_order
from nesting.search.state import PlanState
from nesting.solver.search.walk import Walker
from nesting.solver.solve import warm_up
from nesting.solver.stop import Seconds
from pieces.piece import Piece

ORDERS = Path(__file__).parent / "whole_orders"
BEST_KNOWN = ORDERS / "best_known.json"
NAMES = tuple(sorted(path.stem for path in ORDERS.glob("*.toml")))


def best_known() -> dict[str, dict[str, float]]:
    """The shortest length known, in mm, by order and cloth."""
    found: dict[str, dict[str, float]] = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))
    return found


def lower(run: Run) -> None:
    """Enter what a run found shorter than was known."""
    known = best_known()
    own = known.setdefault(run["order"], {})
    for name, cloth in run["cloths"].items():
        own[name] = min(own.get(name, 1e9), round(cloth["used_mm"], 2))
    BEST_KNOWN.write_text(json.dumps(known, indent=2, sort_keys=True) + "\n", encoding="utf-8")


class _Searching:
    """Counts the processor time that walkers take, in this process and those forked from it."""

    def __init__(self) -> None:
        self.seconds = Value("d", 0.0)
        walker: Any = Walker
        advance, total = walker.advance, self.seconds

        def counted(*args: Any) -> Any:
            begun = time.thread_time()
            try:
                return advance(*args)
            finally:
                with total.get_lock():
                    total.value += time.thread_time() - begun

        walker.advance = counted


class _Curves:
    """When each cloth had a first layout of all its pieces, and every shorter one."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.begun = time.perf_counter()
        self.points: dict[str, list[tuple[float, float]]] = {}
        self._whole = {
            name: {piece.key for piece in pieces if piece.fabric == name}
            for name in {piece.fabric for piece in pieces}
        }

    def __call__(self, state: PlanState) -> None:
        if state.layout is None:
            return
        if {cut.piece.key for cut in state.packing.cuts} != self._whole[state.fabric]:
            return
        points = self.points.setdefault(state.fabric, [])
        if not points or state.length_mm < points[-1][1]:
            points.append((time.perf_counter() - self.begun, state.length_mm))


def planned(name: str, seconds: float, seed: int) -> Run:
    """One order planned once, in this process and those that it starts."""
    searching = _Searching()
    order = read_order(ORDERS / f"{name}.toml")
    curves = _Curves(draft_order(order).pieces)
    begun = time.perf_counter()
    made = plan(order, Seconds(seconds), seed=seed, watch=curves)
    took = time.perf_counter() - begun
    bought = {one.fabric.name: one for one in made.fabrics if one.bolt is None}
    return {
        "order": name,
        "seconds": seconds,
        "seed": seed,
        "took": round(took, 2),
        "searched": round(searching.seconds.value / (took * (os.cpu_count() or 1)), 3),
        "cloths": {one: _cloth(entry, curves.points.get(one, [])) for one, entry in bought.items()},
    }


def _cloth(entry: FabricPlan, points: Sequence[tuple[float, float]]) -> dict[str, Any]:
    return {
        "used_mm": round(entry.marker.length_mm, 3),
        "bought_mm": float(entry.purchase.length_mm),
        "cost": float(entry.purchase.cost or 0.0),
        "step_mm": entry.fabric.sold_by_mm,
        "lay": entry.marker.lay.value,
        "curve": [[round(at, 2), round(length, 2)] for at, length in points],
    }


@contextmanager
def busy(count: int) -> Iterator[None]:
    """So many processes that work without end."""
    others = [Process(target=_work, daemon=True) for _ in range(count)]
    for other in others:
        other.start()
    try:
        yield
    finally:
        for other in others:
            other.kill()


def _work() -> None:
    while True:
        pass


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("names", nargs=-1, metavar="[ORDER ...]")
@click.option("--seconds", multiple=True, type=float, default=[20.0], help="Budgets of a plan.")
@click.option("--seed", "seeds", multiple=True, type=int, default=[1, 2, 3], show_default=True)
@click.option("--busy", "others", type=int, default=0, help="Busy processes beside each plan.")
@click.option("--label", default="", help="What was measured, for the table.")
@click.option("--keep", type=click.Path(path_type=Path), help="Go on from the runs in this file.")
@click.option("--results", is_flag=True, help="Add a section to orders.md in benchmarks/results.")
def main(
    names: Sequence[str],
    seconds: Sequence[float],
    seeds: Sequence[int],
    others: int,
    label: str,
    keep: Path | None,
    results: bool,
) -> None:
    """Plan whole orders, and tell how far each cloth is above the best known."""
    ledger = Ledger(keep)
    warm_up()
    runs = []
    for budget in seconds:
        for name in names or NAMES:
            for seed in seeds:
                sought = {"order": name, "seconds": budget, "seed": seed, "busy": others}
                run = ledger.find(**sought, label=label)
                if run is None:
                    with busy(others):
                        done = apart(planned, name, budget, seed)
                    run = ledger.add(done | {"busy": others, "label": label})
                    lower(run)
                runs.append(run)
                click.echo(row(run, best_known()))
    click.echo(summary(runs, best_known()))
    if results:
        append_orders(runs, best_known(), label)
        draw_orders(runs, best_known())


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.orders")
