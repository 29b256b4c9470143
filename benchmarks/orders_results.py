"""Runs of whole orders against the best known: rows on the terminal, a kept table, a plot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import fmean

from benchmarks.ledger import Run
from benchmarks.results_table import append_section, machine, today
from nesting.fabric.purchase import purchase
from nesting.order.model import Order
from nesting.order.read import read_order

RESULTS = Path(__file__).parent / "results" / "orders.md"
PLOT = RESULTS.with_suffix(".svg")
Known = dict[str, dict[str, float]]
"""The shortest length known, in mm, by order and cloth."""
_NEAR = 1.02
_HEADING = (
    "# Whole orders\n\n"
    "Eight orders of our own, planned as anybody has them planned, on two processes. For each "
    "cloth: how much longer its layout is than the best known "
    "([best_known.json](../whole_orders/best_known.json), which any run lowers that beats it, so "
    "older sections were measured against longer ones), what is bought too much, in the order's "
    "money, and the time until the layout shown is within 2 % of the best known; a dash where some "
    "run never is. Searched: processor time in search rounds, as a share of the time of all cores. "
    "Means of all seeds, and the worst. Of the latest runs: "
    "[distance at each budget](orders.svg).\n"
)


@dataclass(frozen=True, slots=True)
class Cloth:
    """One cloth of one run: percent above the best known, money lost, seconds."""

    run: Run
    name: str
    above: float
    lost: float
    first: float | None
    near: float | None


def cloths(runs: Iterable[Run], known: Known) -> list[Cloth]:
    """Every cloth of every run."""
    return [_cloth(run, name, known) for run in runs for name in run["cloths"]]


def _cloth(run: Run, name: str, known: Known) -> Cloth:
    own, best_mm = run["cloths"][name], known[run["order"]][name]
    least = purchase(_order(run["order"]).fabrics[name], best_mm)
    near = (at for at, length_mm in own["curve"] if length_mm <= _NEAR * best_mm)
    return Cloth(
        run,
        name,
        100 * (own["used_mm"] / best_mm - 1),
        max(0.0, own["cost"] - float(least.cost or 0)),
        own["curve"][0][0] if own["curve"] else None,
        next(near, None),
    )


@cache
def _order(name: str) -> Order:
    return read_order(Path(__file__).parent / "whole_orders" / f"{name}.toml")


def row(run: Run, known: Known) -> str:
    """One run as a line of the terminal table."""
    parts = (f"{one.name} +{one.above:.1f} %" for one in cloths([run], known))
    loaded = f", {run['busy']} busy" if run["busy"] else ""
    return (
        f"{run['order']:<20} {run['seconds']:>4g} s{loaded} seed {run['seed']}: "
        f"took {run['took']:.1f} s, searched {100 * run['searched']:.0f} %: {', '.join(parts)}"
    )


def summary(runs: Sequence[Run], known: Known) -> str:
    """The mean and the worst cloth at each budget."""
    return "\n".join(f"{seconds:g} s: {_said(some, known)}" for seconds, some in _budgets(runs))


def _budgets(runs: Sequence[Run]) -> list[tuple[float, list[Run]]]:
    budgets = dict.fromkeys(run["seconds"] for run in runs)
    return [(one, [run for run in runs if run["seconds"] == one]) for one in budgets]


def _said(runs: Sequence[Run], known: Known) -> str:
    found = cloths(runs, known)
    if not found:
        return "nothing is bought"
    worst = max(found, key=lambda one: one.above)
    means = _cloth_means(found)
    return (
        f"mean +{fmean(one.above for one in found):.2f} %, worst cloth in the mean of its seeds "
        f"+{max(means.values()):.2f} %, worst run +{worst.above:.2f} % ({worst.name}, "
        f"{worst.run['order']}, seed {worst.run['seed']}), lost "
        f"{sum(one.lost for one in found) / len({one.run['seed'] for one in found}):.2f} a seed, "
        f"searched {100 * fmean(run['searched'] for run in runs):.0f} %"
    )


def _cloth_means(found: Sequence[Cloth]) -> dict[tuple[str, str], float]:
    keys = dict.fromkeys((one.run["order"], one.name) for one in found)
    return {
        key: fmean(one.above for one in found if (one.run["order"], one.name) == key)
        for key in keys
    }


def append_orders(runs: Sequence[Run], known: Known, label: str) -> None:
    """Add a section to the kept table, which is begun if it isn't there."""
    seeds = ", ".join(str(seed) for seed in sorted({run["seed"] for run in runs}))
    others = max(run["busy"] for run in runs)
    lines = [f"## {today()}, {label}" + (f", {others} busy processes beside it" if others else "")]
    lines += ["", f"{machine()} Seeds: {seeds}."]
    for seconds, some in _budgets(runs):
        lines += ["", f"### {seconds:g} s", "", _said(some, known).capitalize() + ".", ""]
        lines += [
            "| order | cloth | above, % | worst, % | lost | first layout, s | within 2 %, s |"
        ]
        lines += ["|---|---|---|---|---|---|---|"]
        found = cloths(some, known)
        for key in _cloth_means(found):
            lines.append(_table_row([one for one in found if (one.run["order"], one.name) == key]))
    append_section(RESULTS, _HEADING, "\n".join(lines) + "\n")


def _table_row(own: Sequence[Cloth]) -> str:
    near = [one.near for one in own if one.near is not None]
    first = [one.first for one in own if one.first is not None]
    cells = (
        own[0].run["order"],
        own[0].name,
        f"{fmean(one.above for one in own):.2f}",
        f"{max(one.above for one in own):.2f}",
        f"{fmean(one.lost for one in own):.2f}",
        f"{fmean(first):.1f}" if first else "-",
        f"{fmean(near):.1f}" if len(near) == len(own) else "-",
    )
    return f"| {' | '.join(cells)} |"


def draw_orders(runs: Sequence[Run], known: Known) -> None:
    """How far each cloth is above the best known, a mark for each run, at each budget."""
    from matplotlib.figure import Figure

    found = cloths(runs, known)
    keys = list(_cloth_means(found))
    figure = Figure(figsize=(8, 0.32 * len(keys) + 1.4), layout="constrained")
    axes = figure.subplots()
    budgets = _budgets(runs)
    for place, (seconds, _) in enumerate(budgets):
        own = [one for one in found if one.run["seconds"] == seconds]
        shift = 0.22 * (place - (len(budgets) - 1) / 2)
        heights = [keys.index((one.run["order"], one.name)) + shift for one in own]
        axes.plot([one.above for one in own], heights, "o", markersize=4, label=f"{seconds:g} s")
    axes.set_yticks(range(len(keys)), [f"{order}: {name}" for order, name in keys])
    axes.invert_yaxis()
    axes.set_xlim(left=-0.1)
    axes.grid(axis="x", linewidth=0.4)
    axes.set_xlabel("used length above the best known, %")
    axes.legend()
    figure.savefig(PLOT, metadata={"Date": None})
