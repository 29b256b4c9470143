"""Plots of runs: density as time passes, and how far it is from what is published."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from statistics import fmean
from typing import TYPE_CHECKING

from benchmarks.ledger import Run
from benchmarks.results_table import published

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARKS = (("best", ":"), ("mean", "--"), ("before", "-."))
_PANEL = 3.0
"""Inches, each way."""
_SOONEST = 0.05
"""Seconds where the time axis begins: no first layout is sooner."""


def draw_curves(runs: Sequence[Run], path: Path) -> None:
    """Density against time: a panel for each set, a line for each seed, the published figures."""
    from matplotlib.figure import Figure

    names = list(dict.fromkeys(run["set"] for run in runs))
    columns = min(3, len(names))
    rows = math.ceil(len(names) / columns)
    figure = Figure(figsize=(_PANEL * columns + 1, _PANEL * rows), layout="constrained")
    panels = figure.subplots(rows, columns, squeeze=False).ravel()
    for axes, name in zip(panels, names, strict=False):
        _draw_curves_of(axes, [run for run in runs if run["set"] == name])
        axes.set_xlim(_SOONEST, max(run["seconds"] for run in runs))
    for axes in panels[len(names) :]:
        axes.remove()
    figure.supxlabel("seconds", fontsize="medium")
    figure.supylabel("density in %", fontsize="medium")
    figure.savefig(path, metadata={"Date": None})


def _draw_curves_of(axes: Axes, runs: Sequence[Run]) -> None:
    from matplotlib.ticker import NullFormatter, StrMethodFormatter

    for run in runs:
        ends = [*run["curve"], [run["seconds"], run["density"]]]
        axes.step(*zip(*ends, strict=True), where="post", label=f"seed {run['seed']}")
    known = published().get(runs[0]["set"], {})
    for key, style in _MARKS:
        if key in known:
            axes.axhline(known[key], color="grey", linestyle=style, label=f"published: {key}")
    # Most is gained in the first seconds.
    axes.set_xscale("log")
    axes.xaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.set_title(runs[0]["set"])
    axes.legend(fontsize="xx-small", loc="lower right")


def draw_gaps(runs: Sequence[Run], path: Path) -> None:
    """For each set how far our best and mean are from the published best and mean.

    Nothing is drawn where no set has published figures.
    """
    from matplotlib.figure import Figure

    names = [name for name in dict.fromkeys(run["set"] for run in runs) if name in published()]
    if not names:
        return
    figure = Figure(figsize=(0.9 * len(names) + 3, 4), layout="constrained")
    axes = figure.subplots()
    for shift, (label, key, of) in enumerate(
        (("best less best", "best", max), ("mean less mean", "mean", fmean))
    ):
        gaps = [
            of([run["density"] for run in runs if run["set"] == name]) - published()[name][key]
            for name in names
        ]
        bars = axes.bar([i + 0.4 * shift for i in range(len(names))], gaps, 0.38, label=label)
        axes.bar_label(bars, fmt="%+.2f", fontsize="xx-small", padding=2)
    axes.axhline(0, color="black", linewidth=0.8)
    axes.set_xticks([i + 0.2 for i in range(len(names))], names, rotation=30)
    axes.set_ylabel("our density less the published, points")
    axes.margins(y=0.15)
    axes.legend()
    figure.savefig(path, metadata={"Date": None})
